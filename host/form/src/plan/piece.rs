//! One piece on its way out: as installed, and at the saw with what is set for each end.

use planner::plan::{Plan, PlannedPiece};
use schemars::JsonSchema;
use serde::Serialize;
use shared_model::{Angle, End, Length, PieceEnd, Posture, SawCut, Side, Unit, Way};

use crate::number::Decimal;

/// A piece with both ends decided.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "Piece")]
pub struct PieceOut {
    /// Eight hex digits; the same for as long as the piece is the same.
    id: String,
    /// The room's name.
    room: String,
    /// The wall's number in its room, from 1; null where the cut list names none.
    wall: Option<u32>,
    /// Which part of the wall, from 1 at its left end as installed; 0 for a small piece.
    part: u32,
    /// How many parts the wall has; 0 for a small piece.
    parts: u32,
    /// "wedge": closes the return at an end of this wall's board. "filler": goes round the rounded corner after this wall in
    /// walking order. Absent on a part of the wall's board.
    #[serde(skip_serializing_if = "Option::is_none")]
    small: Option<&'static str>,
    /// The moulding's name.
    moulding: String,
    /// Along the back; a square end in an inside corner under 90 and a butt are shortened already.
    length: Decimal,
    /// Along the face.
    face: Decimal,
    /// Tip to tip.
    overall: Decimal,
    /// The ends as the board hangs, seen facing the wall.
    installed: InstalledOut,
    /// The ends as the board lies at the saw, by the side at which each lies in the posture asked for.
    saw: SawOut,
    /// The number of the stick it comes from; null where no stick can give it, or where it was cut before.
    stick: Option<u32>,
    /// Its place in the order of cutting, from 1; null where no stick can give it, or where it was cut before.
    order: Option<u32>,
    /// It was cut before this was planned; absent where it was not.
    #[serde(skip_serializing_if = "is_not")]
    finished: bool,
    /// What to mind while cutting it, in sentences.
    cautions: Vec<&'static str>,
}

/// Both ends as the board hangs.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "Installed")]
struct InstalledOut {
    left: InstalledEndOut,
    right: InstalledEndOut,
}

/// One end as the board hangs.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "InstalledEnd")]
struct InstalledEndOut {
    /// What the end is.
    joint: &'static str,
    /// The corner's gauge angle in degrees, where the end stands in or on one.
    #[serde(skip_serializing_if = "Option::is_none")]
    gauge: Option<Decimal>,
    /// A scarf's bevel from square.
    #[serde(skip_serializing_if = "Option::is_none")]
    degrees: Option<Decimal>,
    /// A scarf's face against its back: "longer" laps over the mate, "shorter" goes on the wall first.
    #[serde(skip_serializing_if = "Option::is_none")]
    face: Option<&'static str>,
    /// How far the face goes beyond the back at this end; negative where it stays behind.
    reach: Decimal,
}

/// Both ends as the board lies at the saw.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "AtTheSaw")]
struct SawOut {
    left: SawEndOut,
    right: SawEndOut,
}

/// One end's cut as it is set at the saw.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "SawEnd")]
struct SawEndOut {
    /// What the end is.
    joint: &'static str,
    /// Which end it is as the board hangs: "left" or "right".
    installed: &'static str,
    /// The side of the saw at which it lies while it is cut; differs from this end's key where the board is turned.
    side: &'static str,
    /// How the saw is set for it.
    #[serde(flatten)]
    setting: SettingOut,
    /// A cope's part-depth cut through the plain part of the face; null where there is none at the saw.
    plain: Option<PlainOut>,
}

/// How the saw is set for a cut.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(super) struct SettingOut {
    /// How the board rides for this cut.
    posture: &'static str,
    /// "swing": the table is swung; "tilt": the blade is tilted.
    by: &'static str,
    /// The way of the handle (swing) or of the blade's top (tilt): "left", "right" or "none".
    way: &'static str,
    /// How far from square.
    degrees: Decimal,
    /// What the saw's scale has to read for it, in degrees, where a true 45 was measured that makes it another figure.
    #[serde(skip_serializing_if = "Option::is_none")]
    scale: Option<Decimal>,
}

impl SettingOut {
    pub(super) fn of(posture: Posture, way: Way, degrees: Angle, scale: Angle) -> SettingOut {
        SettingOut {
            posture: posture.words(),
            by: posture.by().word(),
            way: way.word(),
            degrees: Decimal::of_angle(degrees),
            scale: scale_beside(degrees, scale),
        }
    }
}

/// A cope's plain cut.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "PlainCut")]
struct PlainOut {
    /// The way of the handle or of the blade's top.
    way: &'static str,
    /// How far from square: the corner's back cut, or 0.
    degrees: Decimal,
    /// What the saw's scale has to read for it, in degrees, where a true 45 was measured that makes it another figure.
    #[serde(skip_serializing_if = "Option::is_none")]
    scale: Option<Decimal>,
    /// From the board's upper edge (standing) or its bottom edge (flat) to where the profile begins.
    depth: Decimal,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde gives a reference")]
fn is_not(said: &bool) -> bool {
    !said
}

impl PieceOut {
    /// A piece of the plan as it is written.
    pub fn of(plan: &Plan, piece: &PlannedPiece) -> PieceOut {
        let unit = plan.unit;
        let moulding = &plan.mouldings[piece.moulding];
        let thickness = moulding.thickness;
        let figure = piece.figure(moulding);
        let (left, right) = (
            piece.left.end.reach(thickness),
            piece.right.end.reach(thickness),
        );
        PieceOut {
            id: piece.id.to_string(),
            room: piece.room.clone(),
            wall: piece.wall,
            part: piece.part,
            parts: piece.parts,
            small: piece.small().map(|small| small.word()),
            moulding: moulding.name.clone(),
            length: Decimal::of_length(piece.length, unit),
            face: Decimal::of_length(piece.length + left + right, unit),
            overall: Decimal::of_length(figure.overall, unit),
            installed: InstalledOut {
                left: InstalledEndOut::of(piece.left.end, thickness, unit),
                right: InstalledEndOut::of(piece.right.end, thickness, unit),
            },
            saw: SawOut::of(plan, piece),
            finished: piece.finished,
            stick: piece.cut.map(|cut| cut.stick),
            order: piece.cut.map(|cut| cut.order),
            cautions: piece
                .cautions
                .iter()
                .map(|caution| caution.sentence())
                .collect(),
        }
    }
}

impl InstalledEndOut {
    fn of(end: End, thickness: Length, unit: Unit) -> InstalledEndOut {
        let (degrees, face) = match end {
            End::ScarfOver { bevel } => (Some(bevel), Some("longer")),
            End::ScarfUnder { bevel } => (Some(bevel), Some("shorter")),
            _ => (None, None),
        };
        InstalledEndOut {
            joint: end.joint().word(),
            gauge: end.gauge().map(Decimal::of_angle),
            degrees: degrees.map(Decimal::of_angle),
            face,
            reach: Decimal::of_length(end.reach(thickness), unit),
        }
    }
}

impl SawOut {
    fn of(plan: &Plan, piece: &PlannedPiece) -> SawOut {
        let base = base_posture(plan.saw.posture, piece.left, piece.right);
        let at = |side: Side| {
            // where an end lies is its own inverse
            let installed = base.swaps(side);
            SawEndOut::of(cut_of(plan, piece, installed), installed, plan.unit)
        };
        SawOut {
            left: at(Side::Left),
            right: at(Side::Right),
        }
    }
}

impl SawEndOut {
    fn of(cut: SawCut, installed: Side, unit: Unit) -> SawEndOut {
        SawEndOut {
            joint: cut.joint.word(),
            installed: installed.word(),
            side: cut.side.word(),
            setting: SettingOut::of(cut.posture, cut.way, cut.degrees, cut.scale),
            plain: cut.plain.map(|plain| PlainOut {
                way: plain.way.word(),
                degrees: Decimal::of_angle(plain.degrees),
                scale: scale_beside(plain.degrees, plain.scale),
                depth: Decimal::of_length(plain.depth, unit),
            }),
        }
    }
}

/// The posture by which a piece's two ends are told apart: the one asked for where an end has it, else the left end's.
fn base_posture(asked: Option<Posture>, left: PieceEnd, right: PieceEnd) -> Posture {
    match asked {
        Some(asked) if [left.posture, right.posture].contains(&asked) => asked,
        _ => left.posture,
    }
}

/// What the scale has to read, where that is not the angle itself.
fn scale_beside(degrees: Angle, scale: Angle) -> Option<Decimal> {
    (scale != degrees).then(|| Decimal::of_angle(scale))
}

/// What is set at the saw for an end of a planned piece.
pub fn cut_of(plan: &Plan, piece: &PlannedPiece, installed: Side) -> SawCut {
    piece.saw_cut(installed, &plan.mouldings[piece.moulding], &plan.saw)
}
