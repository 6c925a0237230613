//! What host and station say to each other: the host asks, the station answers, one answer to a request. Frames and
//! numbers are left to `frame`, the bytes to postcard; `WIRE.md` is the contract.
//!
//! Variants are only ever appended, fields never changed: what an older side does not know it answers with
//! [`Refusal::NotUnderstood`], and the hello stays as it is for ever.

use core::fmt;

use heapless::{String, Vec};
use serde::{Deserialize, Serialize};

use crate::{DigestText, Event, Mark, Moulding, Name, Piece, PieceId, Stock};

/// The version of the link that is spoken here. Appended variants do not change it; anything that keeps an older side
/// from being understood does.
pub const LINK_VERSION: u16 = 1;

/// The most mouldings in one request: they always fit a frame.
pub const MOST_MOULDINGS: usize = 8;
/// The most rooms in one request: they always fit a frame.
pub const MOST_ROOMS: usize = 14;
/// The most pieces in one request. Pieces are of different lengths: the longest fit 15 to a frame.
pub const MOST_PIECES: usize = 24;
/// The most events in one answer: they always fit a frame.
pub const MOST_EVENTS: usize = 24;

/// A station's number for life.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct StationId(pub u64);

impl fmt::Display for StationId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:016x}", self.0)
    }
}

/// How far a station's log is known. Events are numbered within an epoch; a log that begins at 1 again has another epoch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Known {
    /// The log's epoch.
    pub epoch: u32,
    /// The number of the last event that is known; 0: none.
    pub sequence: u32,
}

/// What the host asks. Asking again does no more than asking once.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Request {
    /// Who are you? Answered with [`Answer::Hello`].
    Hello,
    /// A list will come. Answered with [`Answer::Loading`]; the same load again changes nothing.
    Begin(Begin),
    /// Mouldings of the list that was begun, the first of them at this place. Answered with [`Answer::Loading`].
    Mouldings {
        /// The load.
        load: u32,
        /// The place of the first.
        offset: u16,
        /// The mouldings.
        mouldings: Vec<Moulding, MOST_MOULDINGS>,
    },
    /// Rooms of the list that was begun, the same way.
    Rooms {
        /// The load.
        load: u32,
        /// The place of the first.
        offset: u16,
        /// The rooms.
        rooms: Vec<Name, MOST_ROOMS>,
    },
    /// Pieces of the list that was begun, the same way; they come after its mouldings and rooms.
    Pieces {
        /// The load.
        load: u32,
        /// The place of the first.
        offset: u16,
        /// The pieces.
        pieces: Vec<Piece, MOST_PIECES>,
    },
    /// The list is whole: use it. Answered with [`Answer::Committed`], also where the list with this digest is in use
    /// already; with [`Answer::Loading`] where something of it is missing.
    Commit {
        /// The load.
        load: u32,
        /// The list's digest.
        digest: u32,
    },
    /// The events after this one. Answered with [`Answer::Events`].
    Events {
        /// What is known already.
        after: Known,
    },
    /// The host keeps every event up to this one for good; the station may drop them. Answered with [`Answer::Confirmed`].
    Confirm {
        /// The last event.
        up_to: Known,
    },
    /// How long do you run? Answered with [`Answer::Time`].
    Time,
    /// Show which station you are. Answered with [`Answer::Shown`].
    Show,
}

/// The beginning of a load: the list's head but for the names.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Begin {
    /// The load's number, which the host makes up.
    pub load: u32,
    /// The last event with which the list was made.
    pub made_with: Known,
    /// The level's name.
    pub level: Name,
    /// The list's digest.
    pub digest: u32,
    /// How many pieces there are.
    pub pieces: u16,
    /// How many sticks they come from.
    pub sticks: u16,
    /// The tape on which lengths are shown.
    pub mark: Mark,
    /// The saw.
    pub stock: Stock,
    /// How many mouldings there are.
    pub mouldings: u16,
    /// How many rooms there are.
    pub rooms: u16,
}

/// What a station answers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[expect(
    clippy::large_enum_variant,
    reason = "nothing allocates, and one answer is held at a time"
)]
pub enum Answer {
    /// Who it is.
    Hello(Hello),
    /// It does not do that; nothing has changed.
    Refused(Refusal),
    /// How much of a load has come, counted from the start.
    Loading {
        /// The load.
        load: u32,
        /// Mouldings.
        mouldings: u16,
        /// Rooms.
        rooms: u16,
        /// Pieces.
        pieces: u16,
    },
    /// The list with this digest is in use.
    Committed {
        /// The digest.
        digest: u32,
    },
    /// Events, in order.
    Events {
        /// The last event that the station has.
        last: Known,
        /// Those after the one that was named, as many as fit; empty where there is none.
        events: Vec<Event, MOST_EVENTS>,
    },
    /// The station has heard that these events are kept.
    Confirmed {
        /// The last event.
        up_to: Known,
    },
    /// The station's clock.
    Time {
        /// How many times it has started.
        boot: u16,
        /// Milliseconds since that start.
        milliseconds: u32,
    },
    /// It shows itself.
    Shown,
}

/// Who a station is and what it holds. This layout never changes, whatever the version: it is what any two sides can tell
/// each other.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Hello {
    /// The version of the link that it speaks.
    pub version: u16,
    /// The station.
    pub station: StationId,
    /// The epoch of its log.
    pub epoch: u32,
    /// The number of the last event in its log; 0: none.
    pub last_event: u32,
    /// How many times it has started.
    pub boot: u16,
    /// The version of its program.
    pub firmware: String<24>,
    /// The circuit board or computer that it runs on.
    pub board: String<24>,
    /// Its screen, in pixels.
    pub screen: ScreenSize,
    /// How many pieces a list can have.
    pub capacity: u16,
    /// The list in use.
    pub list: Option<ListInUse>,
}

impl Hello {
    /// How far its log goes.
    pub fn last(&self) -> Known {
        Known {
            epoch: self.epoch,
            sequence: self.last_event,
        }
    }

    /// Why a program that speaks [`LINK_VERSION`] cannot talk with this station; none where it can.
    pub fn mismatch(&self) -> Option<Mismatch> {
        (self.version != LINK_VERSION).then_some(Mismatch {
            station: self.version,
            program: LINK_VERSION,
        })
    }
}

/// A screen's pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct ScreenSize {
    /// From left to right.
    pub width: u16,
    /// From top to bottom.
    pub height: u16,
}

/// Which list a station has in use.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ListInUse {
    /// The level's name.
    pub level: Name,
    /// The list's digest.
    pub digest: u32,
}

/// A station and a program that speak different versions of the link.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mismatch {
    /// The station's version.
    pub station: u16,
    /// The program's version.
    pub program: u16,
}

impl fmt::Display for Mismatch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Mismatch { station, program } = self;
        write!(
            f,
            "this station speaks link {station}, this program link {program}: "
        )?;
        f.write_str(match station > program {
            true => "get the newer program; nothing was sent, and the station goes on as it is",
            false => {
                "finish the list that the station has, then give it the newer firmware; nothing was sent"
            }
        })
    }
}

/// Why a station does not do what it is asked, as a person reads it. Nothing has changed then.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Refusal {
    /// the station's program is older than this one and does not know that request
    NotUnderstood,
    /// the station has started again, or another program loads it: load again
    NoSuchLoad,
    /// the list has more pieces than the station holds; a list of this many would fit
    TooManyPieces {
        /// How many would fit.
        most: u16,
    },
    /// the list has more rooms or mouldings than the station holds; so many would fit
    TooManyNames {
        /// How many rooms would fit.
        rooms: u16,
        /// How many mouldings would fit.
        mouldings: u16,
    },
    /// the list was made before the last events were stored: take them first
    ListBehind {
        /// The last event that the list was made with.
        made_with: Known,
        /// The last event that is stored.
        stored: Known,
    },
    /// the station has begun its events anew: take them first
    OtherEpoch {
        /// The epoch of its events now.
        epoch: u32,
    },
    /// a piece names a room or a moulding that the list's head does not hold
    NameMissing {
        /// Its place in the list, from 1.
        number: u16,
    },
    /// two pieces of the list have the same id
    SameId {
        /// The id.
        id: PieceId,
    },
    /// what came is not the list that was announced: load again
    OtherDigest {
        /// The digest of what came.
        came: u32,
    },
    /// the station's memory failed: nothing is stored, and the list in use stays in use
    NotStored,
    /// somebody is pressing at the station: load again when that is done
    PressUnderWay,
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refusal::NotUnderstood => f.write_str(
                "the station's firmware is older than this program and does not know what it was asked: give it the newer firmware",
            ),
            Refusal::NoSuchLoad => f.write_str(
                "the station has started again, or another program loads it: load again",
            ),
            Refusal::TooManyPieces { most } => write!(
                f,
                "the list has more pieces than the station holds; a list of {most} would fit"
            ),
            Refusal::TooManyNames { rooms, mouldings } => write!(
                f,
                "the list has more rooms or mouldings than the station holds; {rooms} rooms and {mouldings} mouldings would fit"
            ),
            Refusal::ListBehind { made_with, stored } => write!(
                f,
                "the list was made with the station's events up to {}, and it has {}: take them first, then plan again",
                made_with.sequence, stored.sequence
            ),
            Refusal::OtherEpoch { .. } => f.write_str(
                "the station has begun its events anew since they were last taken: take them first, then plan again",
            ),
            Refusal::NameMissing { number } => write!(
                f,
                "piece {number} names a room or a moulding that the list's head does not hold"
            ),
            Refusal::SameId { id } => write!(f, "two pieces of the list have the id {id}"),
            Refusal::OtherDigest { came } => write!(
                f,
                "what came to the station is list {} and not the one that was announced: load again",
                DigestText(*came)
            ),
            Refusal::NotStored => f.write_str(
                "the station's memory failed: nothing is stored, and the list in use stays in use",
            ),
            Refusal::PressUnderWay => f.write_str(
                "a press or a question at the station is not done yet: load again when it is",
            ),
        }
    }
}

impl core::error::Error for Refusal {}

/// Reads a message out of a frame; none where it is another message, or has bytes left over.
pub fn read<'a, M: Deserialize<'a>>(message: &'a [u8]) -> Option<M> {
    let (message, rest) = postcard::take_from_bytes(message).ok()?;
    rest.is_empty().then_some(message)
}
