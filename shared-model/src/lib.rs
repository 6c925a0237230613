//! What host and station must mean alike: exact lengths, angles, joints, the saw view, pieces, the saw list, events, the
//! place, and the messages and frames of the link. Planning is left to `planner`, showing and storing to `station`.
//!
//! No allocation and no input or output: every type here fits a microcontroller.
#![no_std]
#![deny(missing_docs)]

#[cfg(test)]
extern crate std;

mod angle;
mod caution;
mod check;
mod event;
pub mod frame;
mod joint;
mod length;
mod list;
pub mod messages;
mod piece;
mod place;
mod saw_view;
mod small;

pub use angle::{Angle, ReadAngleError};
pub use caution::{Caution, Cautions};
pub use check::{CRC, ListDigest};
pub use event::{Event, Reason, What};
pub use joint::{End, Joint, Lean};
pub use length::{
    Decimal, FeetInches, Length, Mark, ReadLengthError, ReadLengthProblem, TapeReading, Unit,
};
pub use list::{
    DigestText, ListHead, MAX_MOULDINGS, MAX_PIECES, MAX_ROOMS, Moulding, Name, SawList, Stock,
};
pub use piece::{Piece, PieceEnd, PieceId};
pub use place::{PieceState, Place, Progress, TakeBack};
pub use saw_view::{
    Arris, By, Figure, PlainCut, Point, Posture, SawCut, SawHead, Side, True45, Way, saw_cut,
};
pub use small::SmallPiece;
