//! Where the pieces of a planned stick lie on it, for drawings to scale. How they come to lie so is `along`'s.

use shared_model::Length;

use super::Blank;
use super::along::{Front, Laid};
use crate::plan::{Plan, Stick};

/// A piece on its stick. Every length runs along the stick from its fresh end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OnStick {
    /// The piece, as a place in [`Plan::pieces`].
    pub piece: usize,
    /// Where its near end lies, the one toward the fresh end.
    pub near: EndLine,
    /// Where its far end lies.
    pub far: EndLine,
}

/// Where the line of a cut meets the board's two long lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EndLine {
    /// On the back.
    pub back: Length,
    /// On the face.
    pub face: Length,
}

/// The pieces of one of the plan's sticks as they lie on it, in cutting order. Between a far line and the next near
/// line is the kerf and, where the two are not parallel, a wedge of waste; a shared cut has one kerf.
pub fn places(plan: &Plan, stick: &Stick) -> Vec<OnStick> {
    let thickness = plan.mouldings[stick.moulding].thickness;
    let mut front = Front::fresh(i64::from(plan.saw.end_trim.units()));
    let pieces = stick.pieces.iter().filter_map(|&at| {
        let piece = &plan.pieces[at];
        let blank = Blank {
            piece: at,
            length: piece.length,
            left: piece.left,
            right: piece.right,
        };
        let laid = Laid::of(
            &blank,
            thickness,
            plan.saw.kerf,
            Length::ZERO,
            piece.cut?.first,
        );
        front = front.after(&laid);
        let near = front.back - laid.back;
        Some(OnStick {
            piece: at,
            near: line(near, laid.near.lean),
            far: line(front.back, laid.far.lean),
        })
    });
    pieces.collect()
}

/// What is left of a stick in hand once these of its pieces, in this order, have come off it.
pub fn left_of(plan: &Plan, stick: &Stick, cut: &[usize]) -> Length {
    if cut.is_empty() {
        return stick.length;
    }
    let mut front = Front::fresh(i64::from(plan.saw.end_trim.units()));
    for laid in cut.iter().filter_map(|&at| laid(plan, stick, at)) {
        front = front.after(&laid);
    }
    super::length(front.rest(i64::from(stick.length.units())).max(0))
}

/// How a piece lies on its stick.
fn laid(plan: &Plan, stick: &Stick, at: usize) -> Option<Laid> {
    let piece = &plan.pieces[at];
    let blank = Blank {
        piece: at,
        length: piece.length,
        left: piece.left,
        right: piece.right,
    };
    let thickness = plan.mouldings[stick.moulding].thickness;
    let first = piece.cut?.first;
    Some(Laid::of(
        &blank,
        thickness,
        plan.saw.kerf,
        Length::ZERO,
        first,
    ))
}

fn line(back: i64, lean: i64) -> EndLine {
    EndLine {
        back: super::length(back),
        face: super::length(back + lean),
    }
}
