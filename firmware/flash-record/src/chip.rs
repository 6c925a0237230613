//! A stretch of flash, read, programmed and erased: what is programmed is read back, and where the regions lie is said
//! here once. What the bytes mean is left to those who keep them.

use core::cell::RefCell;
use core::fmt;

use crc::{CRC_32_ISCSI, Crc};
use embedded_storage::nor_flash::{NorFlash, NorFlashError, NorFlashErrorKind};

/// The bytes of a sector, the least that is erased.
pub const SECTOR: u32 = 4096;
/// The bytes of a page, which the saw lists are programmed and checked by.
pub const PAGE: usize = 256;
/// The bytes of a slot. Every read and every program is of whole slots, at a multiple of their length.
pub const SLOT: usize = 32;

/// The sectors of one saw list.
pub const LIST_SECTORS: u32 = 4;
/// The most sectors that the log uses.
pub const MOST_LOG_SECTORS: u32 = 16;

const NOTES: u32 = 0;
const LISTS: u32 = 2;
const MARKS: u32 = LISTS + 2 * LIST_SECTORS;
const LOG: u32 = MARKS + 2;
/// The fewest sectors in which there is room for a log of one sector.
pub const FEWEST_SECTORS: u32 = LOG + 1;

/// The check of everything that is kept.
static CRC: Crc<u32> = Crc::<u32>::new(&CRC_32_ISCSI);

/// Puts the check of the bytes before into the last four.
pub fn seal(bytes: &mut [u8]) {
    if let Some((body, check)) = bytes.split_last_chunk_mut::<4>() {
        *check = CRC.checksum(body).to_le_bytes();
    }
}

/// Whether the last four bytes are the check of those before.
pub fn is_whole(bytes: &[u8]) -> bool {
    bytes
        .split_last_chunk::<4>()
        .is_some_and(|(body, check)| CRC.checksum(body).to_le_bytes() == *check)
}

/// Whether nothing was programmed here.
pub fn is_blank(bytes: &[u8]) -> bool {
    bytes.iter().all(|byte| *byte == 0xff)
}

/// How often a slot is read before it is taken for one in which nothing was programmed: bits that a power cut has just
/// reached may read either way.
const LOOKS: u8 = 8;

/// A check of the checks of what was programmed piece after piece.
pub fn check_more(check: u32, bytes: &[u8]) -> u32 {
    let mut digest = CRC.digest();
    digest.update(&check.to_le_bytes());
    digest.update(bytes.last_chunk::<4>().unwrap_or(&[0; 4]));
    digest.finalize()
}

/// What can go wrong with a flash, as a person reads it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// the flash reports an error: and which
    Chip(NorFlashErrorKind),
    /// the flash does not hold what was programmed
    NotAsWritten,
    /// the flash is in use elsewhere
    InUse,
    /// no room without an erase, which must not be now
    NoRoom,
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Trouble::Chip(kind) => write!(f, "the flash reports an error: {kind}"),
            Trouble::NotAsWritten => f.write_str("the flash does not hold what was programmed"),
            Trouble::InUse => f.write_str("the flash is in use elsewhere"),
            Trouble::NoRoom => f.write_str("no room without an erase, which must not be now"),
        }
    }
}

impl core::error::Error for Trouble {}

/// The stretch of a flash in which the record lies. Offsets are from its beginning.
#[derive(Debug)]
pub struct Chip<'a, F> {
    flash: &'a RefCell<F>,
    from: u32,
    sectors: u32,
}

impl<F> Clone for Chip<'_, F> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<F> Copy for Chip<'_, F> {}

impl<'a, F: NorFlash> Chip<'a, F> {
    /// So many sectors from this offset of the flash; none where that is not a whole number of sectors in the flash with
    /// room for a record.
    pub fn new(flash: &'a RefCell<F>, from: u32, sectors: u32) -> Option<Self> {
        const {
            assert!(SLOT.is_multiple_of(F::WRITE_SIZE) && SLOT.is_multiple_of(F::READ_SIZE));
            assert!((SECTOR as usize).is_multiple_of(F::ERASE_SIZE));
        }
        let end = sectors.checked_mul(SECTOR)?.checked_add(from)?;
        let capacity = flash.try_borrow().ok()?.capacity();
        let fits = from.is_multiple_of(SECTOR)
            && sectors >= FEWEST_SECTORS
            && usize::try_from(end).ok()? <= capacity;
        fits.then_some(Chip {
            flash,
            from,
            sectors,
        })
    }

    /// Where one of the two sectors with notes begins.
    pub fn notes(which: u8) -> u32 {
        (NOTES + u32::from(which)) * SECTOR
    }

    /// Where one of the two saw lists begins.
    pub fn list(which: u8) -> u32 {
        (LISTS + u32::from(which) * LIST_SECTORS) * SECTOR
    }

    /// Where one of the two sets of marks begins, a sector each.
    pub fn marks(which: u8) -> u32 {
        (MARKS + u32::from(which)) * SECTOR
    }

    /// Where a slot of the log begins.
    pub fn log(slot: u16) -> u32 {
        LOG * SECTOR + u32::from(slot) * SLOT as u32
    }

    /// How many slots the log has.
    pub fn log_slots(&self) -> u16 {
        let sectors = (self.sectors - LOG).min(MOST_LOG_SECTORS);
        (sectors * (SECTOR / SLOT as u32)) as u16
    }

    pub fn read(&self, at: u32, bytes: &mut [u8]) -> Result<(), Trouble> {
        let mut flash = self.flash.try_borrow_mut().map_err(|_| Trouble::InUse)?;
        let read = flash.read(self.from + at, bytes);
        read.map_err(|error| Trouble::Chip(error.kind()))
    }

    /// Whether a slot reads as blank again and again.
    pub fn stays_blank(&self, at: u32) -> bool {
        let mut bytes = [0; SLOT];
        (0..LOOKS).all(|_| self.read(at, &mut bytes).is_ok() && is_blank(&bytes))
    }

    /// Programs whole slots and reads them back.
    pub fn program(&self, at: u32, bytes: &[u8]) -> Result<(), Trouble> {
        {
            let mut flash = self.flash.try_borrow_mut().map_err(|_| Trouble::InUse)?;
            let written = flash.write(self.from + at, bytes);
            written.map_err(|error| Trouble::Chip(error.kind()))?;
        }
        let mut back = [0; SLOT];
        for (slot, bytes) in (0..).zip(bytes.chunks(SLOT)) {
            self.read(at + slot * SLOT as u32, &mut back)?;
            if back != *bytes {
                return Err(Trouble::NotAsWritten);
            }
        }
        Ok(())
    }

    /// Erases sectors one by one: on some chips nothing else runs meanwhile, so there is a moment between them.
    pub fn erase(&self, at: u32, sectors: u32) -> Result<(), Trouble> {
        let mut flash = self.flash.try_borrow_mut().map_err(|_| Trouble::InUse)?;
        (0..sectors).try_for_each(|sector| {
            let from = self.from + at + sector * SECTOR;
            let erased = flash.erase(from, from + SECTOR);
            erased.map_err(|error| Trouble::Chip(error.kind()))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_check_is_crc_32_iscsi() {
        // published: the CRC catalogue's check value of "123456789"
        let mut bytes = *b"123456789\0\0\0\0";
        seal(&mut bytes);
        assert_eq!(bytes[9..], 0xe306_9283_u32.to_le_bytes());
        assert!(is_whole(&bytes));
    }

    #[test]
    fn what_was_never_programmed_or_is_all_zero_is_not_whole() {
        for length in [SLOT, 128, PAGE] {
            assert!(!is_whole(&[0xff; PAGE][..length]));
            assert!(!is_whole(&[0; PAGE][..length]));
        }
    }
}
