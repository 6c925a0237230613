//! The station's record in a NOR flash: the event log, the marks of logs that were emptied, two saw lists, the count of
//! starts and the settings. What an event means and what a list must be is left to the station and the shared model.
//!
//! It works on anything with the blocking `NorFlash` of embedded-storage whose words are at most 32 bytes (a power of two)
//! and whose erase unit divides 4,096, and programs no word twice between two erases.
//!
//! # Layout
//!
//! In sectors of 4,096 bytes from an offset that the board chooses; 16 of them, 64 KiB, are a record as a Pico keeps it.
//!
//! | sectors | what | how it is written |
//! | --- | --- | --- |
//! | 0, 1 | notes: everything small, 128 bytes each, 32 to a sector | one behind the other; the newest whole one is in force |
//! | 2 to 5, 6 to 9 | two saw lists of up to 512 pieces, 28 bytes each | the one that is not in use is erased and programmed, its header last; then a note names it |
//! | 10, 11 | two sets of up to 640 marks, 5 bytes each | likewise |
//! | 12 to 15 (13 to 28 sectors in all) | the log, an event to a slot of 32 bytes: 512 events | slot after slot; emptied once a note says that it counts no more |
//!
//! A list's head, with its names, shares its sectors: 512 pieces fit beside a head of 1,512 bytes, which a hundred rooms of
//! 12 letters take, and 360 beside the longest head. What the bytes of each part are stands at the beginning of its file:
//! `note`, `log`, `marks`, `list`, `piece`. All have a CRC-32/ISCSI and state the format's version; a note's first 32
//! bytes stay as they are in every version, so that any program can tell that a record is newer than itself, which it
//! then leaves alone.
//!
//! # What a power cut leaves
//!
//! Whatever changes, changes with one note: the list in use, the marks with the epoch, the settings. What it names was
//! programmed and read back before, in sectors that the note before it does not name. An event is read back from its slot
//! before it is acknowledged. A torn slot is burnt: the event after it goes into the next one.
//!
//! Each start writes a note, before anything is shown, that says which slots are settled and what their last event is,
//! with a copy of it; and the first press after a start writes that event once more before its own. So what was shown at
//! one start is there at every later one, though the cells of a torn slot may read this way today and that way tomorrow.
//! A missing number is damage and told as such. One unreadable slot behind the settled ones is a press that the power cut
//! short; more are damage.
//!
//! # Numbers and epochs
//!
//! Emptying the log begins the next epoch, and the events' numbers go on: a list that was made with the events up to 40 is
//! still known to be so, and a number names one event even for who forgot the epoch. The epoch guards against a flash that
//! was wiped: a new record begins with an epoch that the board draws. What is left of emptied logs is read back as events
//! with the number 0, the fewest whose fold is the same place.
//!
//! # Erasing
//!
//! On an RP2040 nothing runs during an erase, 45 ms typically and 400 ms at worst. There is one at the first start and at
//! one start in 25, in a load, in [`FlashRecord::truncate`], [`FlashRecord::begin_anew`] and, seldom, in
//! [`FlashRecord::keep_settings`]; always sector by sector, and contacts are read between two. A press never erases: 32 bytes
//! programmed and read back, 64 at the first one after a start.
//!
//! None begins while a press is under way: the station refuses to begin a list then, tells the record what the host has taken
//! only when no contact has moved for ten seconds, and settings change by a press that is done. What remains: somebody who
//! presses at the very moment in which a load begins, or in which the host empties a nearly full log. Whoever works with
//! this record tells the station from when to when no contact was read (the machine's `Input::Unwatched`), and a contact
//! that was closed in that time counts for nothing, however long it stays so: neither as a press nor as a hold. There is no
//! beep and the piece stays on the screen; a foot that is still down is told to lift. A press that began before that time
//! and ended in it does not count either. The next press counts as ever.
//!
//! # Wear
//!
//! At 100,000 erases a sector (the figure of the W25Q16 family that a Pico carries; from a dealer's page of it, not tried):
//! 100,000 emptied logs of 512 presses, which is 51 million presses; 200,000 loads; 5 million starts. One level a day that
//! is loaded and emptied once is 270 years.
//!
//! # Costs
//!
//! 632 bytes beside the list's head on a 64-bit machine, and less on a Pico; the head itself is held because the station
//! asks for it. A start with 512 pieces and 490 events reads 42,176 bytes. Emptying a log holds about 3 KB of the stack for
//! a while. `tests/record/figures.rs` prints these figures and holds their bounds.
#![no_std]
#![deny(missing_docs)]

#[cfg(test)]
extern crate std;

mod chip;
mod list;
mod log;
mod marks;
mod needed;
mod note;
mod notes;
mod piece;
mod record;
mod trouble;

pub use chip::Trouble;
pub use list::FlashList;
pub use record::FlashRecord;
pub use trouble::{Damage, OpenError, UpkeepError};
