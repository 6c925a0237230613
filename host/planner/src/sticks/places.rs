//! Where the pieces of a planned stick lie on it, for drawings to scale. How they come to lie so is `along`'s.

use shared_model::{Length, Side};

use super::Blank;
use super::along::{Front, Laid};
use crate::plan::{Plan, Stick};
use crate::walk::Saw;

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

/// What is left, in units of [`Length`], of `length` of a moulding so thick once these pieces, in this order and each with
/// this installed end first, have come off it: below zero where the last cut takes its very end. None where they are
/// longer than it.
pub(crate) fn left_after(
    length: Length,
    thickness: Length,
    saw: &Saw,
    cut: impl Iterator<Item = (Blank, Side)>,
) -> Option<i64> {
    let length = i64::from(length.units());
    let fresh = Front::fresh(i64::from(saw.end_trim.units()));
    let front = cut.fold(None, |front: Option<Front>, (blank, first)| {
        let laid = Laid::of(&blank, thickness, saw.kerf, Length::ZERO, first);
        Some(front.unwrap_or(fresh).after(&laid))
    });
    match front {
        // what is not begun is not trimmed
        None => Some(length),
        Some(front) => (front.farthest() <= length).then(|| front.rest(length)),
    }
}

fn line(back: i64, lean: i64) -> EndLine {
    EndLine {
        back: super::length(back),
        face: super::length(back + lean),
    }
}
