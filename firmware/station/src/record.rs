//! What a station needs of the memory that keeps its events and its list: one small trait for flash and for files, and
//! what can be wrong with a list or with storing. How the bytes lie is left to those who keep them.

use core::fmt;

use heapless::Vec;
use shared_model::{Event, ListHead, MAX_PIECES, Piece, PieceId, SawList};

/// A record of events and of one saw list that outlives a power cut at any byte: what is confirmed is there again, and at
/// most the one event, or the one list, that was being written beyond it.
pub trait Record {
    /// The list as it is kept.
    type List: SawList;

    /// The number of the log itself: a log that begins at event 1 again has another one, so that an event is told by its
    /// station, epoch and sequence.
    fn epoch(&self) -> u32;

    /// How many times the station has started, this start counted.
    fn boot(&self) -> u16;

    /// The number of the last event that is stored; 0 where none is.
    fn last_sequence(&self) -> u32;

    /// How many more events fit.
    fn events_left(&self) -> u32;

    /// What was found damaged when the record was opened, each as often as it was found.
    fn damaged(&self) -> impl Iterator<Item = Damaged>;

    /// Whether this was found damaged when the record was opened.
    fn is_damaged(&self, what: Damaged) -> bool {
        self.damaged().any(|damaged| damaged == what)
    }

    /// Stores an event. Only once this returns has it happened.
    ///
    /// # Errors
    /// Where it returns an error the event is not stored and does not count; it may be stored again under the same number.
    fn append(&mut self, event: &Event) -> Result<(), RecordError>;

    /// Every stored event, the oldest first. Where the host has taken the first of them for good, they may have given way
    /// to fewer that have the number 0 and give the same place.
    fn events(&self) -> impl Iterator<Item = Event>;

    /// The host keeps every event up to this one for good. What of them is dropped is the record's affair, as long as the
    /// place comes out the same and later events go on in their numbers. Saying it again changes nothing.
    ///
    /// # Errors
    /// [`RecordError::OutOfOrder`] where this event is not stored; where the record has to write for it and cannot, what
    /// it says of that. Every event is kept then.
    fn confirm(&mut self, up_to: u32) -> Result<(), RecordError>;

    /// Begins to load a list in place of one that was begun and not committed. The list in use stays in use.
    ///
    /// # Errors
    /// [`RecordError::ListTooLong`], [`RecordError::ListNotStored`].
    fn begin(&mut self, head: &ListHead) -> Result<(), RecordError>;

    /// Puts the next piece of the list that was begun.
    ///
    /// # Errors
    /// [`RecordError::NoListBegun`], [`RecordError::TooManyPieces`], [`RecordError::ListNotStored`].
    fn put(&mut self, piece: &Piece) -> Result<(), RecordError>;

    /// Makes the list that was begun the one in use. Until this returns the one before it is; after an error too, though
    /// at the next start it can then be either.
    ///
    /// # Errors
    /// [`RecordError::NoListBegun`], [`RecordError::PiecesMissing`], [`RecordError::ListNotStored`].
    fn commit(&mut self) -> Result<(), RecordError>;

    /// The list in use, whose pieces can be read one by one; none where none was loaded or it is damaged.
    fn list(&self) -> Option<&Self::List>;
}

/// A record that lies elsewhere: it is large, and a circuit board keeps it where it was made.
impl<R: Record> Record for &mut R {
    type List = R::List;

    fn epoch(&self) -> u32 {
        (**self).epoch()
    }

    fn boot(&self) -> u16 {
        (**self).boot()
    }

    fn last_sequence(&self) -> u32 {
        (**self).last_sequence()
    }

    fn events_left(&self) -> u32 {
        (**self).events_left()
    }

    fn damaged(&self) -> impl Iterator<Item = Damaged> {
        (**self).damaged()
    }

    fn append(&mut self, event: &Event) -> Result<(), RecordError> {
        (**self).append(event)
    }

    fn events(&self) -> impl Iterator<Item = Event> {
        (**self).events()
    }

    fn confirm(&mut self, up_to: u32) -> Result<(), RecordError> {
        (**self).confirm(up_to)
    }

    fn begin(&mut self, head: &ListHead) -> Result<(), RecordError> {
        (**self).begin(head)
    }

    fn put(&mut self, piece: &Piece) -> Result<(), RecordError> {
        (**self).put(piece)
    }

    fn commit(&mut self) -> Result<(), RecordError> {
        (**self).commit()
    }

    fn list(&self) -> Option<&R::List> {
        (**self).list()
    }
}

/// What can be damaged in a record that can be opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Damaged {
    /// The saw list: there is none until it is loaded again.
    List,
    /// Presses that were stored: a piece that is cut may not be known to be.
    Presses,
}

impl Damaged {
    /// Each of them.
    pub const ALL: [Damaged; 2] = [Damaged::List, Damaged::Presses];
}

/// Why something was not stored, as a person reads it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RecordError {
    /// the memory is full: let the host take the events
    Full,
    /// the event could not be written and does not count
    EventNotStored,
    /// an event could not be written and not be struck out either: start again before anything more is stored
    StartAgain,
    /// events are stored one after another, without gaps
    OutOfOrder,
    /// the list has more pieces than fit; a list of this many would fit
    ListTooLong {
        /// How many pieces fit.
        most: u16,
    },
    /// the list could not be written; the one before it stays in use
    ListNotStored,
    /// a list is begun before its pieces are put
    NoListBegun,
    /// more pieces were put than the list's head names
    TooManyPieces,
    /// the list is not whole: pieces of it are missing
    PiecesMissing,
    /// a piece of the list cannot be read
    PieceUnreadable {
        /// Its place in the list, from 1.
        number: u16,
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
    /// the list was made before the last events were stored: let the host take them first
    ListBehind {
        /// The last event that the list was made with.
        made_with: u32,
        /// The last event that is stored.
        stored: u32,
    },
}

impl fmt::Display for RecordError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            RecordError::Full => f.write_str("the memory is full: let the host take the events"),
            RecordError::EventNotStored => {
                f.write_str("the event could not be written and does not count")
            }
            RecordError::StartAgain => f.write_str(
                "an event could not be written and not be struck out either: start again before anything more is stored",
            ),
            RecordError::OutOfOrder => {
                f.write_str("events are stored one after another, without gaps")
            }
            RecordError::ListTooLong { most } => write!(
                f,
                "the list has more pieces than fit; a list of {most} would fit"
            ),
            RecordError::ListNotStored => {
                f.write_str("the list could not be written; the one before it stays in use")
            }
            RecordError::NoListBegun => f.write_str("a list is begun before its pieces are put"),
            RecordError::TooManyPieces => {
                f.write_str("more pieces were put than the list's head names")
            }
            RecordError::PiecesMissing => {
                f.write_str("the list is not whole: pieces of it are missing")
            }
            RecordError::PieceUnreadable { number } => {
                write!(f, "piece {number} of the list cannot be read")
            }
            RecordError::NameMissing { number } => write!(
                f,
                "piece {number} names a room or a moulding that the list's head does not hold"
            ),
            RecordError::SameId { id } => write!(f, "two pieces of the list have the id {id}"),
            RecordError::ListBehind { made_with, stored } => write!(
                f,
                "the list was made with the events up to {made_with} and {stored} are stored: let the host take them first"
            ),
        }
    }
}

impl core::error::Error for RecordError {}

/// Whether a station can use this list: it fits, every piece can be read, names what the head holds and has an id of its
/// own.
///
/// # Errors
/// [`RecordError::ListTooLong`], [`RecordError::PieceUnreadable`], [`RecordError::NameMissing`],
/// [`RecordError::SameId`].
pub fn check_list(list: &impl SawList) -> Result<(), RecordError> {
    let mut check = ListCheck::of_head(list.head())?;
    for index in 0..list.head().pieces {
        let unreadable = RecordError::PieceUnreadable { number: index + 1 };
        check.put(&list.piece(index).ok_or(unreadable)?)?;
    }
    Ok(())
}

/// The same for a list that comes piece by piece.
pub struct ListCheck {
    rooms: usize,
    mouldings: usize,
    ids: Vec<PieceId, MAX_PIECES>,
}

impl ListCheck {
    /// Of a list of which no piece has come yet.
    ///
    /// # Errors
    /// [`RecordError::ListTooLong`].
    pub fn of_head(head: &ListHead) -> Result<ListCheck, RecordError> {
        let most = MAX_PIECES as u16;
        if head.pieces > most {
            return Err(RecordError::ListTooLong { most });
        }
        Ok(ListCheck {
            rooms: head.rooms.len(),
            mouldings: head.mouldings.len(),
            ids: Vec::new(),
        })
    }

    /// How many pieces have come.
    pub fn pieces(&self) -> u16 {
        self.ids.len() as u16
    }

    /// Checks the next piece.
    ///
    /// # Errors
    /// [`RecordError::NameMissing`], [`RecordError::SameId`], [`RecordError::TooManyPieces`].
    pub fn put(&mut self, piece: &Piece) -> Result<(), RecordError> {
        if usize::from(piece.room) >= self.rooms || usize::from(piece.moulding) >= self.mouldings {
            let number = self.pieces() + 1;
            return Err(RecordError::NameMissing { number });
        }
        if self.ids.contains(&piece.id) {
            return Err(RecordError::SameId { id: piece.id });
        }
        let id = self.ids.push(piece.id);
        id.map_err(|_| RecordError::TooManyPieces)
    }
}
