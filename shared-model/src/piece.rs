//! One board to be cut, as the saw list carries it. Why its ends are what they are is left to the planner.

use core::fmt;

use serde::{Deserialize, Serialize};

use crate::{
    Cautions, End, Figure, Length, Moulding, Posture, SawCut, SawHead, Side, SmallPiece, saw_cut,
};

/// A piece's number in the host's record; it stays the same across edits of the list.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
pub struct PieceId(pub u32);

impl fmt::Display for PieceId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:08x}", self.0)
    }
}

/// One end of a piece and the posture in which it is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct PieceEnd {
    /// The end as installed.
    pub end: End,
    /// How the board rides for its cut.
    pub posture: Posture,
}

/// One board to be cut. Lengths are as installed; room and moulding are numbers into the list's head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Piece {
    /// Its number for life.
    pub id: PieceId,
    /// The room, as a place in the head's rooms.
    pub room: u8,
    /// The wall's number in its room, from 1; 0 where the list names none.
    pub wall: u8,
    /// Which part of the wall, from 1; 0 for a small piece at its end.
    pub part: u8,
    /// How many parts the wall has; 0 for a small piece at its end.
    pub parts: u8,
    /// The moulding, as a place in the head's mouldings.
    pub moulding: u8,
    /// Along the back.
    pub length: Length,
    /// The installed left end.
    pub left: PieceEnd,
    /// The installed right end.
    pub right: PieceEnd,
    /// The stick's number, from 1.
    pub stick: u16,
    /// The stick's length as bought or in hand.
    pub stick_length: Length,
    /// The stick is an offcut in hand.
    pub from_offcut: bool,
    /// The installed end that is cut first: the one at the stick's fresh end.
    pub first: Side,
    /// That end is made by the cut which takes off the piece before it on the stick.
    pub shared: bool,
    /// What to mind while cutting it.
    pub cautions: Cautions,
}

impl Piece {
    /// The end at an installed side.
    pub const fn end(&self, installed: Side) -> PieceEnd {
        match installed {
            Side::Left => self.left,
            Side::Right => self.right,
        }
    }

    /// The small piece that it is, if it is no part of a wall's board.
    pub const fn small(&self) -> Option<SmallPiece> {
        SmallPiece::of(self.part, self.left.end, self.right.end)
    }

    /// What is set at the saw for the end at an installed side.
    pub fn saw_cut(&self, installed: Side, moulding: &Moulding, saw: &SawHead) -> SawCut {
        let end = self.end(installed);
        saw_cut(end.end, installed, end.posture, moulding.plain_part(), saw)
    }

    /// The figure to mark on the board.
    pub fn figure(&self, moulding: &Moulding) -> Figure {
        Figure::of(
            self.length,
            self.left.end,
            self.right.end,
            moulding.thickness,
        )
    }

    /// Whether the board has to be turned end for end between its two cuts.
    pub fn turns(&self) -> bool {
        self.left.posture != self.right.posture
    }
}
