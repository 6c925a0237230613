//! The small pieces that a wall's end can want beside the wall's own board, and how a piece of a list is known to be one.
//! Where they are needed is left to the planner.

use crate::End;

/// A small piece that is cut as a piece of its own and is no part of a wall's board.
///
/// ```
/// use shared_model::{End, SmallPiece};
/// assert_eq!(SmallPiece::of(0, End::Return, End::Square), Some(SmallPiece::Wedge));
/// assert_eq!(SmallPiece::of(1, End::Square, End::Return), None);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SmallPiece {
    /// Turns a board's end back into the wall: as long on its face as the board is thick, nothing on its back.
    Wedge,
    /// Goes round a rounded corner between two boards.
    Filler,
}

impl SmallPiece {
    /// What a piece with these ends is whose number among its wall's parts is `part`: parts are numbered from 1, a small
    /// piece has 0.
    pub const fn of(part: u8, left: End, right: End) -> Option<SmallPiece> {
        match (part, left, right) {
            (0, End::Return, _) | (0, _, End::Return) => Some(SmallPiece::Wedge),
            (0, ..) => Some(SmallPiece::Filler),
            _ => None,
        }
    }

    /// `wedge` or `filler`.
    pub const fn word(self) -> &'static str {
        match self {
            SmallPiece::Wedge => "wedge",
            SmallPiece::Filler => "filler",
        }
    }
}
