//! One stick on its way out: its pieces and every full-depth cut in order.

use planner::plan::{Plan, Stick, StickCut};
use schemars::JsonSchema;
use serde::Serialize;
use shared_model::{Angle, Way};

use super::piece::{SettingOut, cut_of};
use crate::number::Decimal;

/// A stick and what is cut from it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "Stick")]
pub struct StickOut {
    /// Its number, from 1, in the order in which sticks are cut.
    number: u32,
    /// The moulding's name.
    moulding: String,
    /// How long it is.
    length: Decimal,
    /// "bought", or "offcut" where it is in hand.
    from: &'static str,
    /// The ids of its pieces, in the order in which they are cut.
    pieces: Vec<String>,
    /// What is left after the last cut, at its shorter arris.
    leftover: Decimal,
    /// Every full-depth cut in order.
    cuts: Vec<CutOut>,
}

/// One full-depth cut.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "Cut")]
struct CutOut {
    /// How the saw is set for it.
    #[serde(flatten)]
    setting: SettingOut,
    /// The ends that it makes: none for trim and waste, two where one cut serves both neighbours.
    ends: Vec<CutEndOut>,
}

/// An end that a cut makes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "CutEnd")]
struct CutEndOut {
    /// The piece's id.
    piece: String,
    /// The side of the saw at which the end lies for this cut: "left" or "right". A piece that is turned between its
    /// cuts can have both ends at one side.
    end: &'static str,
    /// The same end as installed: "left" or "right".
    installed: &'static str,
}

impl StickOut {
    /// A stick of the plan as it is written.
    pub fn of(plan: &Plan, stick: &Stick) -> StickOut {
        StickOut {
            number: stick.number,
            moulding: plan.mouldings[stick.moulding].name.clone(),
            length: Decimal::of_length(stick.length, plan.unit),
            from: if stick.from_offcut {
                "offcut"
            } else {
                "bought"
            },
            pieces: stick
                .pieces
                .iter()
                .map(|piece| plan.pieces[*piece].id.to_string())
                .collect(),
            leftover: Decimal::of_length(stick.leftover, plan.unit),
            cuts: stick.cuts.iter().map(|cut| CutOut::of(plan, cut)).collect(),
        }
    }
}

impl CutOut {
    fn of(plan: &Plan, cut: &StickCut) -> CutOut {
        // the ends of one cut are parallel, so the first tells how it is set
        let (way, degrees, scale) = match cut.ends.first() {
            Some(end) => {
                let set = cut_of(plan, &plan.pieces[end.piece], end.installed);
                (set.way, set.degrees, set.scale)
            }
            None => (Way::None, Angle::ZERO, Angle::ZERO),
        };
        CutOut {
            setting: SettingOut::of(cut.posture, way, degrees, scale),
            ends: cut
                .ends
                .iter()
                .map(|end| CutEndOut {
                    piece: plan.pieces[end.piece].id.to_string(),
                    end: cut.posture.swaps(end.installed).word(),
                    installed: end.installed.word(),
                })
                .collect(),
        }
    }
}
