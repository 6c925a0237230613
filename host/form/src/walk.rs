//! The shape of a walk as a file writes it: rooms as measured, and how the carpenter works. What the values mean and
//! whether they can be is left to `meaning`.

use schemars::JsonSchema;
use serde::{Deserialize, Deserializer, Serialize};

use super::number::Written;
use super::object::{object, objects};
use super::setup::{MouldingForm, SawForm, usual_unit};
use super::words::{
    DIRECTIONS, JOINTS, MARKS, MEASURES, RINGS, SIDES, TURNS, UNITS, listed, listed_or_null,
};

/// A walk: the rooms of a level as measured, the saw and the stock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "A walk for baserun")]
pub struct WalkForm {
    /// The version of this form: 1.
    #[schemars(extend("const" = 1))]
    pub walk: u32,
    /// The level's name.
    pub level: String,
    /// Text sheets that hold saw, stock and ways of working for many levels, by their names from this file's folder on.
    /// What this file says itself goes before them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub setup: Vec<String>,
    /// The house is so old that its paint may hold lead: said on paper, by `check`, and at the saw before the list is begun.
    #[serde(default)]
    pub old_house: bool,
    /// The unit of every bare number below.
    #[serde(default = "usual_unit")]
    #[schemars(extend("enum" = listed(&UNITS)))]
    pub unit: String,
    /// The finest mark of the tape on which lengths are shown at the saw; absent: 1/16 in, or 1 mm in a file in mm.
    #[serde(default)]
    #[schemars(extend("enum" = listed_or_null(&MARKS)))]
    pub mark: Option<String>,
    /// Which way the rooms are walked, seen from above. Clockwise meets every wall's left end first.
    #[serde(default = "usual_direction")]
    #[schemars(extend("enum" = listed(&DIRECTIONS)))]
    pub direction: String,
    /// The end, as installed, that is coped at an inside corner.
    #[serde(default = "usual_cope")]
    #[schemars(extend("enum" = listed(&SIDES)))]
    pub cope: String,
    /// Inside corners wider than this, in degrees, are mitered.
    #[serde(default = "usual_cope_up_to")]
    #[schemars(range(min = 90, max = 135))]
    pub cope_up_to: f64,
    /// A wall shorter than this is left square and its neighbours are coped over it, where that can be; absent or null: every
    /// wall may be coped.
    #[serde(default)]
    pub cope_least: Option<Written>,
    /// What is left open between a board and each casing that it meets; absent or null: nothing.
    #[serde(default)]
    pub casing_gap: Option<Written>,
    /// What is added to pieces that run between two walls, by length; nothing unless given.
    #[serde(default, deserialize_with = "objects")]
    pub spring: Vec<SpringForm>,
    /// How walls longer than a stick are joined.
    #[serde(default, deserialize_with = "object")]
    pub scarf: ScarfForm,
    /// How far the readings may be out, for checking that rooms close.
    #[serde(default, deserialize_with = "object")]
    pub accuracy: AccuracyForm,
    /// The saw.
    #[serde(default, deserialize_with = "object")]
    pub saw: SawForm,
    /// The mouldings and what there is of each: at least one, here or in a set-up file.
    #[serde(default, deserialize_with = "objects")]
    pub mouldings: Vec<MouldingForm>,
    /// The rooms.
    #[schemars(length(min = 1))]
    #[serde(deserialize_with = "objects")]
    pub rooms: Vec<RoomForm>,
}

fn usual_stud_side() -> String {
    "left".to_owned()
}

fn usual_direction() -> String {
    "clockwise".to_owned()
}

fn usual_cope() -> String {
    "left".to_owned()
}

fn usual_cope_up_to() -> f64 {
    100.0
}

/// Pieces between two walls that are longer than `over` are lengthened by `add` and sprung in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpringForm {
    /// The length above which this holds.
    pub over: Written,
    /// What is added.
    pub add: Written,
}

/// How walls longer than a stick are joined.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct ScarfForm {
    /// The bevel, from square.
    #[schemars(extend("exclusiveMinimum" = 0, "maximum" = 60))]
    pub degrees: f64,
    /// Stud spacing from the wall's end named by `from`; null: a joint may be anywhere.
    pub stud: Option<Written>,
    /// The end of the wall, as installed, from which the studs are known.
    #[schemars(extend("enum" = listed(&SIDES)))]
    pub from: String,
    /// The shortest part.
    pub least: Written,
}

impl Default for ScarfForm {
    fn default() -> ScarfForm {
        // lengths name their unit, so that they mean the same in a file in millimetres
        ScarfForm {
            degrees: 45.0,
            stud: Some(Written("16 in".to_owned())),
            from: usual_stud_side(),
            least: Written("24 in".to_owned()),
        }
    }
}

/// How far the readings may be out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct AccuracyForm {
    /// What lengths are taken with; absent: an inch tape, or one of class 2 where lengths are shown in mm. The laser is one
    /// good to 1/16 in.
    #[schemars(extend("enum" = listed_or_null(&MEASURES)))]
    pub with: Option<String>,
    /// The standard deviation of a corner that was only called square, in degrees.
    #[schemars(extend("exclusiveMinimum" = 0, "maximum" = 5))]
    pub corners: f64,
    /// How far an angle finder's reading is out at most, in degrees.
    #[schemars(extend("exclusiveMinimum" = 0, "maximum" = 5))]
    pub gauge: f64,
}

impl Default for AccuracyForm {
    fn default() -> AccuracyForm {
        AccuracyForm {
            with: None,
            corners: 0.25,
            gauge: 0.5,
        }
    }
}

/// A room, a run, or a column standing in a room.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RoomForm {
    /// Its name; no two rooms of a level have the same.
    pub name: String,
    /// The name of its moulding.
    pub moulding: String,
    /// The outline's last item meets its first.
    #[serde(default = "usually_closed")]
    pub closed: bool,
    /// "island": a column or an island in a room, walked with the wall on the same hand.
    #[serde(default)]
    #[schemars(extend("enum" = listed_or_null(&RINGS)))]
    pub ring: Option<String>,
    /// The opening by which people come in, counted among the room's openings from 1; absent: the first. Scarfs lap away
    /// from it.
    #[serde(default)]
    #[schemars(range(min = 1))]
    pub entry: Option<u32>,
    /// The outline in walking order.
    #[schemars(length(min = 1))]
    #[serde(deserialize_with = "objects")]
    pub outline: Vec<ItemForm>,
    /// Lengths taken across the room as a check.
    #[serde(default, deserialize_with = "objects")]
    pub diagonals: Vec<DiagonalForm>,
}

fn usually_closed() -> bool {
    true
}

/// One stretch of an outline, with exactly one of `wall`, `opening` and `existing`, and the corner at its end in walking
/// order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("oneOf" = [{ "required": ["wall"] }, { "required": ["opening"] }, { "required": ["existing"] }]))]
pub struct ItemForm {
    /// A wall that gets board: its length from corner to corner or casing.
    #[serde(
        default,
        deserialize_with = "present",
        skip_serializing_if = "Option::is_none"
    )]
    #[schemars(with = "Written")]
    pub wall: Option<Written>,
    /// Anything that stops board: a door from casing edge to casing edge, a cabinet, a tub, a hearth; null: not measured.
    #[serde(
        default,
        deserialize_with = "present",
        skip_serializing_if = "Option::is_none"
    )]
    #[schemars(with = "Option<Written>")]
    pub opening: Option<Option<Written>>,
    /// A wall whose board hangs already: it is not cut, its neighbours meet it.
    #[serde(
        default,
        deserialize_with = "present",
        skip_serializing_if = "Option::is_none"
    )]
    #[schemars(with = "Written")]
    pub existing: Option<Written>,
    /// The corner at the end; absent: the next item goes straight on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("enum" = listed_or_null(&TURNS)))]
    pub corner: Option<String>,
    /// What an angle finder reads in or on that corner, in degrees; absent: 90.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("exclusiveMinimum" = 0, "exclusiveMaximum" = 180))]
    pub gauge: Option<f64>,
    /// The radius of a rounded outside corner; the walls are measured to where their lines would meet. Absent: a sharp one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub radius: Option<Written>,
    /// The joint forced at the wall's left end as installed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("enum" = listed_or_null(&JOINTS)))]
    pub left: Option<String>,
    /// The joint forced at the wall's right end as installed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("enum" = listed_or_null(&JOINTS)))]
    pub right: Option<String>,
}

/// Keeps a key that is there with null apart from one that is absent.
fn present<'de, T: Deserialize<'de>, D: Deserializer<'de>>(from: D) -> Result<Option<T>, D::Error> {
    T::deserialize(from).map(Some)
}

/// A length taken across a room between two corners.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DiagonalForm {
    /// From this corner, by the number of the item that it follows; 0: where the walk begins.
    pub from: u32,
    /// To this one.
    pub to: u32,
    /// How long.
    pub length: Written,
}
