//! The station's memory, for the time being: events in working memory, the list where it was put in flash. Both are to be
//! kept in flash.

use embassy_rp::flash::FLASH_BASE;
use heapless::Vec;
use shared_model::{Event, ListHead, MAX_PIECES, Piece, SawList};
use station::record::{Record, RecordError};

const LIST: usize = 1792 * 1024;
const LIST_BYTES: usize = 64 * 1024;

/// A list in working memory.
pub struct List {
    head: ListHead,
    pieces: Vec<Piece, MAX_PIECES>,
}

impl SawList for List {
    fn head(&self) -> &ListHead {
        &self.head
    }
    fn piece(&self, index: u16) -> Option<Piece> {
        self.pieces.get(usize::from(index)).copied()
    }
}

/// A record that forgets.
pub struct Memory {
    list: Option<List>,
    events: Vec<Event, 256>,
}

impl Memory {
    /// The list that lies in flash.
    pub fn open() -> Memory {
        // SAFETY: flash is mapped there, and nobody writes it
        let bytes =
            unsafe { core::slice::from_raw_parts(FLASH_BASE.cast::<u8>().add(LIST), LIST_BYTES) };
        Memory {
            list: read(bytes),
            events: Vec::new(),
        }
    }
}

fn read(bytes: &[u8]) -> Option<List> {
    let (head, mut rest) = postcard::take_from_bytes::<ListHead>(bytes).ok()?;
    let mut pieces = Vec::new();
    for _ in 0..head.pieces {
        let (piece, after) = postcard::take_from_bytes(rest).ok()?;
        pieces.push(piece).ok()?;
        rest = after;
    }
    Some(List { head, pieces })
}

impl Record for Memory {
    type List = List;

    fn boot(&self) -> u16 {
        1
    }

    fn last_sequence(&self) -> u32 {
        self.events.len() as u32
    }

    fn events_left(&self) -> u32 {
        (self.events.capacity() - self.events.len()) as u32
    }

    fn append(&mut self, event: &Event) -> Result<(), RecordError> {
        self.events.push(*event).map_err(|_| RecordError::Full)
    }

    fn events(&self) -> impl Iterator<Item = Event> {
        self.events.iter().copied()
    }

    fn begin(&mut self, _head: &ListHead) -> Result<(), RecordError> {
        Err(RecordError::ListNotStored)
    }

    fn put(&mut self, _piece: &Piece) -> Result<(), RecordError> {
        Err(RecordError::NoListBegun)
    }

    fn commit(&mut self) -> Result<(), RecordError> {
        Err(RecordError::NoListBegun)
    }

    fn list(&self) -> Option<&List> {
        self.list.as_ref()
    }
}
