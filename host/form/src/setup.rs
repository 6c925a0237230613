//! The shape of what walk and cut list have in common: the saw and the mouldings as a file writes them, with the saw
//! that is assumed where nothing is said. What the values mean and whether they can be is left to `meaning`.

use planner::walk::Saw;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use shared_model::Unit;

use super::number::Written;
use super::object::{object, objects};
use super::out::{decimal, saw_form};
use super::words::{POSTURES, SIDES, listed};

/// The unit of every bare number in a file: inches where nothing is said.
pub fn usual_unit() -> String {
    "in".to_owned()
}

/// What the saw can do and how it is set up. Every key may be absent; the usual saw is a 12 in one whose head does not
/// slide.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct SawForm {
    /// How the board rides, unless a cut cannot be made so; "any": the planner picks.
    #[schemars(extend("enum" = listed(&POSTURES)))]
    pub posture: String,
    /// The tallest board that the saw takes on edge.
    pub standing_height: Written,
    /// The widest board that it takes lying flat.
    pub flat_width: Written,
    /// How far the table swings with its handle to the left, in degrees; 0: it cannot.
    #[schemars(range(min = 0, max = 89))]
    pub swing_left: f64,
    /// The same to the right.
    #[schemars(range(min = 0, max = 89))]
    pub swing_right: f64,
    /// How far the blade tilts with its top to the left, in degrees; 0: it cannot.
    #[schemars(range(min = 0, max = 89))]
    pub tilt_left: f64,
    /// The same to the right.
    #[schemars(range(min = 0, max = 89))]
    pub tilt_right: f64,
    /// What the saw really does where its scales read 45, as measured on test cuts.
    #[serde(deserialize_with = "object")]
    pub true_45: True45Form,
    /// The widest back cut that is made, in degrees: a coped or butted corner wants what it is over 90 and no
    /// margin, and one that wants more than this is told.
    #[schemars(range(min = 0, max = 45))]
    pub back_cut_up_to: f64,
    /// The saw's head slides.
    pub slides: bool,
    /// The width of wood that the blade turns to dust.
    pub kerf: Written,
    /// What is cut off a factory end.
    pub end_trim: Written,
    /// The side of the saw at which the uncut stick lies.
    #[schemars(extend("enum" = listed(&SIDES)))]
    pub stock_side: String,
    /// What must remain of the stick in the hand as a short piece comes off.
    pub least_hold: Written,
    /// A piece shorter than this, tip to tip, is short.
    pub short_piece: Written,
}

impl Default for SawForm {
    fn default() -> SawForm {
        // lengths name their unit, so that they mean the same in a file in millimetres
        saw_form(&Saw::default(), |length| {
            Written(format!("{} in", decimal(length, Unit::Inch)))
        })
    }
}

/// How far the saw swings and tilts where its scale reads 45, in degrees as measured on test cuts; absent: 45.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct True45Form {
    /// Swung with the handle to the left.
    #[schemars(range(min = 40, max = 50))]
    pub swing_left: f64,
    /// The same to the right.
    #[schemars(range(min = 40, max = 50))]
    pub swing_right: f64,
    /// Tilted with the top of the blade to the left.
    #[schemars(range(min = 40, max = 50))]
    pub tilt_left: f64,
    /// The same to the right.
    #[schemars(range(min = 40, max = 50))]
    pub tilt_right: f64,
}

impl Default for True45Form {
    fn default() -> True45Form {
        True45Form {
            swing_left: 45.0,
            swing_right: 45.0,
            tilt_left: 45.0,
            tilt_right: 45.0,
        }
    }
}

/// A moulding and what there is of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MouldingForm {
    /// The name by which rooms ask for it.
    pub name: String,
    /// From bottom edge to top edge. Height, thickness and profile may be absent only where a set-up file gives them.
    #[serde(default)]
    pub height: Written,
    /// From back to face.
    #[serde(default)]
    pub thickness: Written,
    /// The height of the shaped part at the top; 0: square-edged stock.
    #[serde(default)]
    pub profile: Written,
    /// The lengths in which it is bought.
    #[serde(default, deserialize_with = "objects")]
    pub sticks: Vec<StickForm>,
    /// Offcuts in hand; they cost nothing and are used first.
    #[serde(default)]
    pub offcuts: Vec<Written>,
}

/// A length in which a moulding is bought.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StickForm {
    /// How long.
    pub length: Written,
    /// What one costs; where any stick has no price, cost goes by length.
    #[serde(default)]
    #[schemars(range(min = 0, max = 100_000))]
    pub price: Option<f64>,
    /// How many there are; absent or null: as many as needed.
    #[serde(default)]
    #[schemars(range(min = 1))]
    pub count: Option<u32>,
}
