//! The note: everything small that the record has to know at a start, in 128 bytes. Where notes lie is left to `notes`.
//!
//! | byte | what (numbers are little-endian) |
//! | --- | --- |
//! | 0 | `baserun record` |
//! | 14 | the format's version, u16; these 32 bytes stay as they are in every version |
//! | 16 | the note's own number, u32; the highest is in force |
//! | 20 | starts counted, u16 |
//! | 24 | the log's epoch, u32 |
//! | 28 | CRC of bytes 0 to 27 |
//! | 32 | the saw list in use: 0, 1, or 255 for none |
//! | 33 | the marks in use: 0, 1, or 255 for none |
//! | 34 | 1 where the log is erased and ready, 0 where it has to be erased first |
//! | 35 | length of the settings, 0 for none |
//! | 36 | settings, 32 bytes |
//! | 68 | slots of the log that are settled, u16 |
//! | 70 | how many marks there are, u16 |
//! | 72 | the number of the last event before the log begins, u32 |
//! | 76 | the number of the last event in the settled slots or before, u32 |
//! | 80 | check of the list, u32 |
//! | 84 | check of the marks, u32 |
//! | 88 | length of the next field, 0 for none |
//! | 89 | the last settled event once more, as postcard writes it, 24 bytes |
//! | 113 | nothing (255) |
//! | 124 | CRC of bytes 0 to 123 |

use heapless::Vec;
use shared_model::Event;

use crate::chip::{SLOT, is_whole, seal};

/// The bytes of a note.
pub const NOTE: usize = 128;
/// The version of all formats here.
pub const VERSION: u16 = 1;
/// The most bytes of settings.
pub const SETTINGS: usize = 32;

/// The most bytes of an event as postcard writes it.
pub const EVENT: usize = 24;

const MAGIC: &[u8; 14] = b"baserun record";
const NONE: u8 = 0xff;

/// One of two places and the check of what lies there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Kept {
    /// 0 or 1.
    pub which: u8,
    /// The check over all of it.
    pub check: u32,
}

/// What a note says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    pub number: u32,
    pub boot: u16,
    pub epoch: u32,
    pub list: Option<Kept>,
    pub marks: Option<Kept>,
    pub mark_count: u16,
    pub ready: bool,
    /// So many slots of the log are settled: whatever they read, their events are those up to `last`.
    pub settled: u16,
    /// The number of the last event before the log begins.
    pub base: u32,
    pub last: u32,
    pub last_event: Option<Event>,
    pub settings: Vec<u8, SETTINGS>,
}

/// What 128 bytes are.
#[derive(Debug, PartialEq, Eq)]
pub enum Read {
    /// A note.
    Note(Note),
    /// A note in another version of the format.
    Version(u16),
    /// Nothing was programmed here.
    Blank,
    /// A torn note, or something else.
    Unreadable,
}

impl Note {
    /// The first note of an empty record.
    pub fn first(epoch: u32) -> Note {
        Note {
            number: 0,
            boot: 0,
            epoch,
            list: None,
            marks: None,
            mark_count: 0,
            ready: true,
            settled: 0,
            base: 0,
            last: 0,
            last_event: None,
            settings: Vec::new(),
        }
    }

    pub fn bytes(&self) -> [u8; NOTE] {
        let mut bytes = [0xff; NOTE];
        let mut put = |at: usize, field: &[u8]| bytes[at..at + field.len()].copy_from_slice(field);
        put(0, MAGIC);
        put(14, &VERSION.to_le_bytes());
        put(16, &self.number.to_le_bytes());
        put(20, &self.boot.to_le_bytes());
        put(24, &self.epoch.to_le_bytes());
        let which = |kept: Option<Kept>| kept.map_or(NONE, |kept| kept.which);
        let check = |kept: Option<Kept>| kept.map_or(0, |kept| kept.check).to_le_bytes();
        let settings = self.settings.len() as u8;
        let ready = u8::from(self.ready);
        put(32, &[which(self.list), which(self.marks), ready, settings]);
        put(36, &self.settings);
        put(68, &self.settled.to_le_bytes());
        put(70, &self.mark_count.to_le_bytes());
        put(72, &self.base.to_le_bytes());
        put(76, &self.last.to_le_bytes());
        put(80, &check(self.list));
        put(84, &check(self.marks));
        let mut event = [0; EVENT];
        let last = self.last_event.as_ref();
        let length = last
            .and_then(|last| postcard::to_slice(last, &mut event).ok())
            .map_or(0, |bytes| bytes.len());
        put(88, &[length as u8]);
        put(89, &event[..length]);
        seal(&mut bytes[..SLOT]);
        seal(&mut bytes);
        bytes
    }

    pub fn read(bytes: &[u8; NOTE]) -> Read {
        if crate::chip::is_blank(bytes) {
            return Read::Blank;
        }
        let number = |at: usize| u32::from_le_bytes([0, 1, 2, 3].map(|next| bytes[at + next]));
        let short = |at: usize| u16::from_le_bytes([bytes[at], bytes[at + 1]]);
        if !is_whole(&bytes[..SLOT]) || &bytes[..14] != MAGIC {
            return Read::Unreadable;
        }
        if short(14) != VERSION {
            return Read::Version(short(14));
        }
        if !is_whole(bytes) {
            return Read::Unreadable;
        }
        let kept = |which: u8, check: u32| (which < 2).then_some(Kept { which, check });
        let settings = bytes[36..68].get(..usize::from(bytes[35]));
        let event = bytes[89..89 + EVENT].get(..usize::from(bytes[88]));
        let event = event.filter(|event| !event.is_empty());
        Read::Note(Note {
            number: number(16),
            boot: short(20),
            epoch: number(24),
            list: kept(bytes[32], number(80)),
            marks: kept(bytes[33], number(84)),
            mark_count: short(70),
            ready: bytes[34] == 1,
            settled: short(68),
            base: number(72),
            last: number(76),
            last_event: event.and_then(|event| postcard::from_bytes(event).ok()),
            settings: settings
                .and_then(|settings| Vec::from_slice(settings).ok())
                .unwrap_or_default(),
        })
    }
}

#[cfg(test)]
mod tests {
    use shared_model::{PieceId, What};

    use super::*;

    fn full() -> Note {
        Note {
            number: u32::MAX,
            boot: u16::MAX,
            epoch: 7,
            list: Some(Kept { which: 1, check: 5 }),
            marks: Some(Kept { which: 0, check: 6 }),
            mark_count: 640,
            ready: false,
            settled: 511,
            base: 9,
            last: u32::MAX,
            last_event: Some(Event {
                sequence: u32::MAX,
                boot: u16::MAX,
                milliseconds: u32::MAX,
                what: What::Done {
                    piece: PieceId(u32::MAX),
                    list: u32::MAX,
                },
            }),
            settings: Vec::from_slice(&[0xa5; SETTINGS]).expect("it fits"),
        }
    }

    #[test]
    fn a_note_reads_back() {
        for note in [Note::first(3), full()] {
            assert_eq!(Note::read(&note.bytes()), Read::Note(note));
        }
        assert_eq!(Note::read(&[0xff; NOTE]), Read::Blank);
        assert_eq!(Note::read(&[0; NOTE]), Read::Unreadable);
    }

    #[test]
    fn a_note_with_any_bit_turned_is_none() {
        let bytes = full().bytes();
        for bit in 0..NOTE * 8 {
            let mut bad = bytes;
            bad[bit / 8] ^= 1 << (bit % 8);
            assert_eq!(Note::read(&bad), Read::Unreadable, "bit {bit}");
        }
    }

    #[test]
    fn another_version_is_told_whatever_follows_its_first_slot() {
        let mut bytes = full().bytes();
        bytes[14] = 2;
        seal(&mut bytes[..SLOT]);
        bytes[SLOT..].fill(0x11);
        assert_eq!(Note::read(&bytes), Read::Version(2));
    }
}
