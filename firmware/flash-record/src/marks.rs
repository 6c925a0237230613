//! The marks: what is left of a log that was emptied, a sector of it. Read back they are statements whose fold is the
//! place that all the events before gave. Which statements are needed for that is left to `needed`.
//!
//! | byte of a slot | what (numbers are little-endian) |
//! | --- | --- |
//! | 0 | the format's version |
//! | 1 | how many marks the slot holds, at most 5 |
//! | 2 | the slot's number |
//! | 3 | five marks of five bytes: a kind and a number, u32 |
//! | 28 | CRC of bytes 0 to 27 |
//!
//! | kind | what its number is |
//! | --- | --- |
//! | 0 | the digest of the list that the marks behind it name |
//! | 1, 2, 3 | a piece: done, taken back, set aside |
//! | 4 | a stick: bad |
//! | 5 | a stick: used after all |
//! | 16 and up | a piece: cut again, for the reason of this place in their order |

use embedded_storage::nor_flash::NorFlash;
use shared_model::{PieceId, Reason, What};

use crate::chip::{Chip, SECTOR, SLOT, Trouble, check_more, is_whole, seal};
use crate::note::VERSION;

const A_SLOT: usize = 5;
/// The most marks that fit.
pub const MOST: u16 = (A_SLOT * SECTOR as usize / SLOT) as u16;

const LIST: u8 = 0;
const DONE: u8 = 1;
const TAKEN_BACK: u8 = 2;
const SET_ASIDE: u8 = 3;
const BAD_STICK: u8 = 4;
const STICK_KEPT: u8 = 5;
const CUT_AGAIN: u8 = 16;

type Mark = (u8, u32);

/// The mark of a statement, and the digest that has to be in force before it.
fn mark(what: What) -> (Mark, Option<u32>) {
    match what {
        What::Done { piece, list } => ((DONE, piece.0), Some(list)),
        What::TakenBack { piece } => ((TAKEN_BACK, piece.0), None),
        What::SetAside { piece } => ((SET_ASIDE, piece.0), None),
        What::CutAgain { piece, reason } => {
            let place = Reason::ALL.iter().position(|it| *it == reason);
            ((CUT_AGAIN + place.unwrap_or(0) as u8, piece.0), None)
        }
        What::BadStick { list, stick } => ((BAD_STICK, u32::from(stick)), Some(list)),
        What::StickKept { list, stick } => ((STICK_KEPT, u32::from(stick)), Some(list)),
    }
}

fn what((kind, number): Mark, list: u32) -> Option<What> {
    let piece = PieceId(number);
    let stick = number as u16;
    Some(match kind {
        DONE => What::Done { piece, list },
        TAKEN_BACK => What::TakenBack { piece },
        SET_ASIDE => What::SetAside { piece },
        BAD_STICK => What::BadStick { list, stick },
        STICK_KEPT => What::StickKept { list, stick },
        kind => {
            let place = usize::from(kind.checked_sub(CUT_AGAIN)?);
            let reason = *Reason::ALL.get(place)?;
            What::CutAgain { piece, reason }
        }
    })
}

/// The marks that statements take, list by list.
fn marks_of(whats: impl Iterator<Item = What>) -> impl Iterator<Item = Mark> {
    let mut in_force = None;
    whats.flat_map(move |what| {
        let (mark, list) = mark(what);
        let change = list.filter(|list| in_force != Some(*list));
        in_force = change.or(in_force);
        let before = change.map(|list| (LIST, list));
        before.into_iter().chain([mark])
    })
}

/// How many marks these statements take.
pub fn count(whats: impl Iterator<Item = What>) -> usize {
    marks_of(whats).count()
}

/// Erases a set of marks and writes these statements there. Gives how many marks they are and the check of them.
pub fn write<F: NorFlash>(
    chip: Chip<'_, F>,
    which: u8,
    whats: impl Iterator<Item = What>,
) -> Result<(u16, u32), Trouble> {
    chip.erase(Chip::<F>::marks(which), 1)?;
    let mut marks = marks_of(whats).peekable();
    let (mut count, mut check) = (0, 0);
    while marks.peek().is_some() && count < MOST {
        let number = count / A_SLOT as u16;
        let mut bytes = [0xff; SLOT];
        let mut here = 0;
        for (kind, value) in marks.by_ref().take(A_SLOT) {
            let place = &mut bytes[3 + here * 5..][..5];
            place[0] = kind;
            place[1..].copy_from_slice(&value.to_le_bytes());
            here += 1;
        }
        bytes[..3].copy_from_slice(&[VERSION as u8, here as u8, number as u8]);
        seal(&mut bytes);
        chip.program(slot_at::<F>(which, number), &bytes)?;
        check = check_more(check, &bytes);
        count += here as u16;
    }
    Ok((count, check))
}

fn slot_at<F: NorFlash>(which: u8, slot: u16) -> u32 {
    Chip::<F>::marks(which) + u32::from(slot) * SLOT as u32
}

/// Reads a slot; none where it is not that slot of a set of marks.
fn read_slot<F: NorFlash>(chip: Chip<'_, F>, which: u8, slot: u16) -> Option<[u8; SLOT]> {
    let mut bytes = [0; SLOT];
    chip.read(slot_at::<F>(which, slot), &mut bytes).ok()?;
    let ours = is_whole(&bytes)
        && bytes[0] == VERSION as u8
        && usize::from(bytes[1]) <= A_SLOT
        && bytes[2] == slot as u8;
    ours.then_some(bytes)
}

/// Whether a set of marks is there as it was written.
pub fn is_there<F: NorFlash>(chip: Chip<'_, F>, which: u8, count: u16, check: u32) -> bool {
    let slots = 0..count.div_ceil(A_SLOT as u16);
    let read = slots.into_iter().try_fold(0, |check, slot| {
        Some(check_more(check, &read_slot(chip, which, slot)?))
    });
    read == Some(check)
}

/// The statements of a set of marks, in order. A slot that cannot be read is passed over.
pub fn read<F: NorFlash>(chip: Chip<'_, F>, which: u8, count: u16) -> impl Iterator<Item = What> {
    let mut list = 0;
    let slots = 0..count.div_ceil(A_SLOT as u16);
    let marks = slots
        .filter_map(move |slot| read_slot(chip, which, slot))
        .flat_map(|bytes| {
            (0..usize::from(bytes[1])).map(move |place| {
                let mark = &bytes[3 + place * 5..][..5];
                let value = u32::from_le_bytes([mark[1], mark[2], mark[3], mark[4]]);
                (mark[0], value)
            })
        });
    marks.filter_map(move |mark| {
        if mark.0 == LIST {
            list = mark.1;
        }
        what(mark, list)
    })
}

#[cfg(test)]
mod tests {
    use core::cell::RefCell;

    use mock_flash::MockFlash;
    use std::vec::Vec;

    use super::*;

    fn all() -> Vec<What> {
        let piece = PieceId(u32::MAX);
        let mut all = Vec::from([
            What::Done { piece, list: 7 },
            What::BadStick { list: 7, stick: 9 },
            What::TakenBack { piece },
            What::Done { piece, list: 8 },
            What::SetAside { piece },
            What::StickKept { list: 7, stick: 9 },
        ]);
        all.extend(Reason::ALL.map(|reason| What::CutAgain { piece, reason }));
        all
    }

    #[test]
    fn marks_read_back_and_damage_to_any_is_found() {
        let flash = RefCell::new(MockFlash::<32>::new(16, 1));
        let chip = Chip::new(&flash, 0, 16).expect("room");
        let whats = all();
        let (count, check) = write(chip, 1, whats.iter().copied()).expect("room");
        // three changes of list among them
        assert_eq!(usize::from(count), whats.len() + 3);
        assert_eq!(read(chip, 1, count).collect::<Vec<_>>(), whats);
        assert!(is_there(chip, 1, count, check));
        assert!(!is_there(chip, 1, count, check ^ 1));
        assert!(!is_there(chip, 0, count, check));
        for slot in 0..3 {
            let at = slot_at::<MockFlash<32>>(1, slot) as usize + 9;
            flash.borrow_mut().tamper(|bytes| bytes[at] ^= 4);
            assert!(!is_there(chip, 1, count, check));
            flash.borrow_mut().tamper(|bytes| bytes[at] ^= 4);
        }
        assert!(is_there(chip, 1, count, check));
    }
}
