//! The log: a slot for each event, in order, and a walk over them that knows torn slots from damaged ones. Where the log
//! begins and what is settled of it is left to the note.
//!
//! | byte | what (numbers are little-endian) |
//! | --- | --- |
//! | 0 | the lower half of the epoch, u16 |
//! | 2 | the format's version |
//! | 3 | length of the event |
//! | 4 | the event with its number as postcard writes it, 24 bytes |
//! | 28 | CRC of bytes 0 to 27 |

use embedded_storage::nor_flash::NorFlash;
use shared_model::Event;

use crate::chip::{Chip, SLOT, is_blank, is_whole, seal};
use crate::note::{EVENT, Note, VERSION};

/// A slot with an event; none where it did not fit, which no event of this version does not.
pub fn slot(epoch: u32, event: &Event) -> Option<[u8; SLOT]> {
    let mut bytes = [0xff; SLOT];
    bytes[..2].copy_from_slice(&(epoch as u16).to_le_bytes());
    bytes[2] = VERSION as u8;
    let length = postcard::to_slice(event, &mut bytes[4..4 + EVENT])
        .ok()?
        .len();
    bytes[3] = length as u8;
    seal(&mut bytes);
    Some(bytes)
}

/// The event of a slot; none where the slot is torn, burnt, damaged, or of another epoch.
fn event(epoch: u32, slot: &[u8; SLOT]) -> Option<Event> {
    if !is_whole(slot) || slot[..2] != (epoch as u16).to_le_bytes() || slot[2] != VERSION as u8 {
        return None;
    }
    let bytes = slot[4..4 + EVENT].get(..usize::from(slot[3]))?;
    let (event, rest) = postcard::take_from_bytes(bytes).ok()?;
    rest.is_empty().then_some(event)
}

/// The slot behind the last one that is settled or in which anything stands. A blank one before it ends nothing: what
/// stands behind it would be found once the log has grown up to it.
pub fn end<F: NorFlash>(chip: Chip<'_, F>, settled: u16) -> u16 {
    let mut bytes = [0; SLOT];
    let mut stands =
        |slot| chip.read(Chip::<F>::log(slot), &mut bytes).is_err() || !is_blank(&bytes);
    let last = (settled..chip.log_slots()).rev().find(|slot| stands(*slot));
    last.map_or(settled, |slot| slot + 1)
}

/// A walk over the log's events, in order. A number that comes again was not confirmed the time before: the later slot
/// counts. What a slot reads that was settled otherwise does not count.
pub struct Walk<'a, F> {
    chip: Chip<'a, F>,
    epoch: u32,
    settled: u16,
    last_settled: u32,
    copy: Option<Event>,
    /// The next slot to be read; after the walk the first that is free.
    pub slot: u16,
    end: u16,
    crossed: bool,
    given: u32,
    held: Option<Event>,
    /// How many slots behind the settled ones and the last event cannot be read.
    pub unreadable: u16,
}

impl<'a, F: NorFlash> Walk<'a, F> {
    /// From the log's first slot up to this one.
    pub fn new(chip: Chip<'a, F>, note: &Note, end: u16) -> Self {
        Walk {
            chip,
            epoch: note.epoch,
            settled: note.settled,
            last_settled: note.last,
            copy: note.last_event,
            slot: 0,
            end: if note.ready { end } else { 0 },
            crossed: false,
            given: note.base,
            held: None,
            unreadable: 0,
        }
    }

    /// Holds an event until the next shows that it counts, and gives the one that was held.
    fn hold(&mut self, event: Event) -> Option<Event> {
        let before = self.held.replace(event);
        let before = before.filter(|before| before.sequence < event.sequence);
        self.given = before.map_or(self.given, |before| before.sequence);
        before
    }

    /// The copy of the last settled event, where its slot does not read.
    fn missed(&self) -> Option<Event> {
        let held = self.held.map_or(self.given, |event| event.sequence);
        self.copy
            .filter(|copy| copy.sequence == self.last_settled && copy.sequence > held)
    }
}

impl<F: NorFlash> Iterator for Walk<'_, F> {
    type Item = Event;

    fn next(&mut self) -> Option<Event> {
        loop {
            if self.slot >= self.settled && !self.crossed {
                self.crossed = true;
                self.unreadable = 0;
                if let Some(event) = self.missed().and_then(|copy| self.hold(copy)) {
                    return Some(event);
                }
            }
            if self.slot >= self.end {
                return self.held.take();
            }
            let mut bytes = [0; SLOT];
            let read = self.chip.read(Chip::<F>::log(self.slot), &mut bytes);
            self.slot += 1;
            let event = read.ok().and_then(|()| event(self.epoch, &bytes));
            let event = event.filter(|event| {
                let settled = event.sequence <= self.last_settled;
                // the last settled one is written once more before the next one
                let again = self.crossed && event.sequence == self.last_settled;
                event.sequence > self.given && (settled != self.crossed || again)
            });
            let Some(event) = event else {
                self.unreadable += 1;
                continue;
            };
            self.unreadable = 0;
            if let Some(before) = self.hold(event) {
                return Some(before);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use shared_model::{PieceId, Reason, What};

    use super::*;

    #[test]
    fn the_longest_events_fit_and_any_bit_turned_is_found() {
        let piece = PieceId(u32::MAX);
        let (list, stick) = (u32::MAX, u16::MAX);
        let reason = Reason::Damaged;
        let all = [
            What::Done { piece, list },
            What::TakenBack { piece },
            What::SetAside { piece },
            What::CutAgain { piece, reason },
            What::BadStick { list, stick },
            What::StickKept { list, stick },
        ];
        for what in all {
            let it = Event {
                sequence: u32::MAX,
                boot: u16::MAX,
                milliseconds: u32::MAX,
                what,
            };
            let bytes = slot(0x1_0002, &it).expect("it fits");
            assert_eq!(event(2, &bytes), Some(it));
            assert_eq!(event(3, &bytes), None);
            for bit in 0..SLOT * 8 {
                let mut bad = bytes;
                bad[bit / 8] ^= 1 << (bit % 8);
                assert_eq!(event(2, &bad), None, "bit {bit}");
            }
        }
    }
}
