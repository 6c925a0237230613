//! Two sectors full of notes, one behind the other: the newest whole one is in force. What a note says is left to `note`.

use embedded_storage::nor_flash::NorFlash;

use crate::chip::{Chip, SECTOR, SLOT, Trouble};
use crate::note::{NOTE, Note, Read};

/// How many notes a sector holds.
pub const NOTES: u8 = (SECTOR as usize / NOTE) as u8;
/// Behind a note that was written where an erase may be there is room for this one and so many less one.
pub const KEPT_FREE: u8 = 8;
/// How often a note is written again where the flash does not hold it.
const TRIES: u8 = 3;

/// Where the next note goes.
#[derive(Debug)]
pub struct Notes<'a, F> {
    chip: Chip<'a, F>,
    sector: u8,
    used: u8,
    /// The sector with the note in force, which is never erased.
    home: Option<u8>,
}

/// What is found at a start.
pub enum Found {
    /// The note in force.
    Note(Note),
    /// A note in another version of the format.
    Version(u16),
    /// No note.
    Nothing,
}

impl<'a, F: NorFlash> Notes<'a, F> {
    /// Looks for the note in force.
    pub fn find(chip: Chip<'a, F>) -> Result<(Self, Found), Trouble> {
        let mut newest: Option<Note> = None;
        let mut home = None;
        let mut used = [0; 2];
        for sector in 0..2 {
            for place in 0..NOTES {
                let mut bytes = [0; NOTE];
                chip.read(at::<F>(sector, place), &mut bytes)?;
                match Note::read(&bytes) {
                    Read::Blank => continue,
                    Read::Unreadable => {}
                    Read::Version(version) => {
                        let notes = Notes::begin(chip);
                        return Ok((notes, Found::Version(version)));
                    }
                    Read::Note(note) => {
                        if newest.as_ref().is_none_or(|it| note.number > it.number) {
                            newest = Some(note);
                            home = Some(sector);
                        }
                    }
                }
                used[usize::from(sector)] = place + 1;
            }
        }
        let Some(mut note) = newest else {
            return Ok((Notes::begin(chip), Found::Nothing));
        };
        // a torn note may read as whole one day: it has one of the next numbers, and must not be newer than what is to come
        note.number = note.number.saturating_add(2 * u32::from(NOTES));
        let sector = home.unwrap_or(0);
        let mut used = used[usize::from(sector)];
        let blank = |used| {
            (0..NOTE / SLOT)
                .all(|slot| chip.stays_blank(at::<F>(sector, used) + (slot * SLOT) as u32))
        };
        if used < NOTES && !blank(used) {
            used += 1;
        }
        let notes = Notes {
            chip,
            sector,
            used,
            home,
        };
        Ok((notes, Found::Note(note)))
    }

    /// Where no note is in force: the first one goes into a sector that is erased first.
    pub fn begin(chip: Chip<'a, F>) -> Self {
        Notes {
            chip,
            sector: 1,
            used: NOTES,
            home: None,
        }
    }

    /// Writes a note, which is in force when this returns. After an error it may be in force at the next start, unless
    /// another one is written behind it. Where it may erase it does so early, so that there is room without.
    pub fn write(&mut self, note: &mut Note, may_erase: bool) -> Result<(), Trouble> {
        if may_erase && self.used > NOTES - KEPT_FREE && self.home == Some(self.sector) {
            self.used = NOTES;
        }
        let mut trouble = Trouble::NoRoom;
        for _ in 0..TRIES {
            if self.used == NOTES {
                let other = 1 - self.sector;
                if !may_erase || self.home == Some(other) {
                    return Err(Trouble::NoRoom);
                }
                self.chip.erase(Chip::<F>::notes(other), 1)?;
                (self.sector, self.used) = (other, 0);
            }
            note.number += 1;
            let place = at::<F>(self.sector, self.used);
            self.used += 1;
            match self.chip.program(place, &note.bytes()) {
                Ok(()) => {
                    self.home = Some(self.sector);
                    return Ok(());
                }
                Err(error) => trouble = error,
            }
        }
        Err(trouble)
    }
}

fn at<F: NorFlash>(sector: u8, place: u8) -> u32 {
    Chip::<F>::notes(sector) + u32::from(place) * NOTE as u32
}
