//! The shape of a cut list as a file writes it: pieces whose ends somebody has decided already. What the values mean and
//! whether they can be is left to `meaning`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::number::Written;
use super::object::{object, objects};
use super::setup::{MouldingForm, SawForm, usual_unit};
use super::words::{FACES, JOINTS, MARKS, UNITS, listed, listed_or_null};

/// A cut list: pieces with both ends decided, the saw and the stock.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "A cut list for baserun")]
pub struct CutListForm {
    /// The version of this form: 1.
    #[schemars(extend("const" = 1))]
    pub cut_list: u32,
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
    /// The saw.
    #[serde(default, deserialize_with = "object")]
    pub saw: SawForm,
    /// The mouldings and what there is of each: at least one, here or in a set-up file.
    #[serde(default, deserialize_with = "objects")]
    pub mouldings: Vec<MouldingForm>,
    /// The pieces, in any order.
    #[schemars(length(min = 1))]
    #[serde(deserialize_with = "objects")]
    pub pieces: Vec<PieceForm>,
}

/// A piece, its ends as installed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PieceForm {
    /// The room's name.
    pub room: String,
    /// The wall's number in the room, from 1.
    #[serde(default)]
    #[schemars(range(min = 1))]
    pub wall: Option<u32>,
    /// The name of the moulding.
    pub moulding: String,
    /// Along the back.
    pub length: Written,
    /// The left end.
    #[serde(deserialize_with = "object")]
    pub left: EndForm,
    /// The right end.
    #[serde(deserialize_with = "object")]
    pub right: EndForm,
}

/// One end of a piece.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EndForm {
    /// What the end is.
    #[schemars(extend("enum" = listed(&JOINTS)))]
    pub joint: String,
    /// The corner's gauge angle in degrees, for a butt, a cope or a miter; absent: 90.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("exclusiveMinimum" = 0, "exclusiveMaximum" = 180))]
    pub gauge: Option<f64>,
    /// A scarf's bevel from square; absent: 45.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("exclusiveMinimum" = 0, "maximum" = 60))]
    pub degrees: Option<f64>,
    /// A scarf's face against its back: the longer face laps over the mate. A scarf must say it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("enum" = listed_or_null(&FACES)))]
    pub face: Option<String>,
}
