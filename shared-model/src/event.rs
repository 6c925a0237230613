//! What happened at the saw, as it is stored and carried to the host. What follows from it is left to the place.

use serde::{Deserialize, Serialize};

use crate::PieceId;

/// Why a piece has to be cut again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Reason {
    /// It came out short.
    Short,
    /// An end was cut wrong.
    WrongEnd,
    /// It was damaged.
    Damaged,
}

impl Reason {
    /// Every reason, in the order in which a station offers them.
    pub const ALL: [Reason; 3] = [Reason::Short, Reason::WrongEnd, Reason::Damaged];

    /// A few words.
    pub const fn words(self) -> &'static str {
        match self {
            Reason::Short => "came out short",
            Reason::WrongEnd => "wrong end",
            Reason::Damaged => "damaged",
        }
    }
}

/// What was said at the saw. Variants are only ever appended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum What {
    /// A piece is cut. The list's digest tells in which plan, and so on which stick.
    Done {
        /// The piece.
        piece: PieceId,
        /// The digest of the list it was cut by.
        list: u32,
    },
    /// The last thing said of a piece is taken back.
    TakenBack {
        /// The piece.
        piece: PieceId,
    },
    /// A piece is left for later.
    SetAside {
        /// The piece.
        piece: PieceId,
    },
    /// A piece that was cut has to be cut again.
    CutAgain {
        /// The piece.
        piece: PieceId,
        /// Why.
        reason: Reason,
    },
    /// A stick is split or crooked: its uncut pieces wait for a new plan.
    BadStick {
        /// The digest of the list that numbers the stick.
        list: u32,
        /// The stick's number.
        stick: u16,
    },
    /// A stick that was called bad is used after all.
    StickKept {
        /// The digest of the list that numbers the stick.
        list: u32,
        /// The stick's number.
        stick: u16,
    },
}

/// One stored event. It is unique by station, log epoch and sequence; time is the station's own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Event {
    /// Its number in the log, from 1, without gaps.
    pub sequence: u32,
    /// How many times the station had started.
    pub boot: u16,
    /// Milliseconds since that start.
    pub milliseconds: u32,
    /// What was said.
    pub what: What,
}
