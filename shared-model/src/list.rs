//! The saw list: what a station is given to cut, in order. Its bytes on the link or in memory are left to those who
//! carry it.

use core::fmt;

use heapless::{String, Vec};
use serde::{Deserialize, Serialize};

use crate::{Length, Mark, Piece, SawHead, Side};

/// The most pieces that a list holds.
pub const MAX_PIECES: usize = 512;
/// The most rooms that a list names.
pub const MAX_ROOMS: usize = 128;
/// The most mouldings that a list names.
pub const MAX_MOULDINGS: usize = 8;

/// A name that fits a station: a room, a moulding, a level; at most 40 bytes.
pub type Name = String<40>;

/// A moulding's shape.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Moulding {
    /// Its name on the list.
    pub name: Name,
    /// From bottom edge to top edge.
    pub height: Length,
    /// From back to face.
    pub thickness: Length,
    /// The height of the shaped part at the top; 0 on square-edged stock.
    pub profile: Length,
}

impl Moulding {
    /// The height of the plain part below the profile.
    pub fn plain_part(&self) -> Length {
        self.height - self.profile
    }
}

/// The saw, and where the uncut stick lies at it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stock {
    /// The side of the saw at which the uncut stick lies.
    pub side: Side,
    /// What the saw can do.
    pub saw: SawHead,
}

/// A list's digest as it is printed on paper, page and screen alike.
///
/// ```
/// use shared_model::DigestText;
/// assert_eq!(DigestText(0x1a2b_3c4d).to_string(), "1a2b-3c4d");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DigestText(pub u32);

impl fmt::Display for DigestText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04x}-{:04x}", self.0 >> 16, self.0 & 0xffff)
    }
}

/// What is said once for a whole list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ListHead {
    /// The level's name.
    pub level: Name,
    /// The list's short digest, the same on paper, page and screen.
    pub digest: u32,
    /// How many pieces there are.
    pub pieces: u16,
    /// How many sticks they come from.
    pub sticks: u16,
    /// The tape on which lengths are shown.
    pub mark: Mark,
    /// The saw.
    pub stock: Stock,
    /// The mouldings, by the numbers that pieces use.
    pub mouldings: Vec<Moulding, MAX_MOULDINGS>,
    /// The rooms, by the numbers that pieces use.
    pub rooms: Vec<Name, MAX_ROOMS>,
}

/// A list that can be read piece by piece, wherever it is kept.
pub trait SawList {
    /// What is said once.
    fn head(&self) -> &ListHead;
    /// The piece at this place of the list, from 0; none past its end or where it cannot be read.
    fn piece(&self, index: u16) -> Option<Piece>;
}
