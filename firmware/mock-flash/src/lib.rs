//! A NOR flash in memory, for tests of whatever keeps things in one: it behaves by the rules of such chips, loses power
//! after a given amount of work, and counts. What is kept in it is left to those who use it.
//!
//! - A program only clears bits; where bits are cleared already the result is both together.
//! - A sector is erased whole, to all ones.
//! - Power that goes while a word is programmed leaves any of its bits cleared that should be; while a sector is erased,
//!   a beginning of it erased, or any of its bits.
//! - Where it is told to be unsteady, the bits that such a cut has reached read this way or that, each time anew, until they
//!   are programmed or erased whole.
//! - A word programmed twice between two erases, which the plain `NorFlash` contract forbids, is counted.
#![deny(missing_docs)]

use embedded_storage::nor_flash::{
    ErrorType, NorFlash, NorFlashErrorKind, ReadNorFlash, check_erase, check_read, check_write,
};

/// The bytes of a sector, the least that is erased.
pub const SECTOR: usize = 4096;

/// The units of work that the erase of a sector takes. A byte programmed is one unit.
pub const ERASE_UNITS: u64 = 16;

/// Small numbers that look random, the same in every run.
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// The numbers of this run.
    pub fn new(run: u64) -> Dice {
        Dice(run.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0xd1b5_4a32_d192_ed03)
    }

    /// A number from 0 up to but not `below`.
    pub fn roll(&mut self, below: u64) -> u64 {
        self.bits() % below
    }

    fn bits(&mut self) -> u64 {
        // the splitmix64 step
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
}

/// What a flash has done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Work {
    /// Erases of each sector.
    pub erases: Vec<u32>,
    /// Bytes programmed.
    pub programmed: u64,
    /// Bytes read.
    pub read: u64,
    /// Words programmed a second time since their sector was erased.
    pub rewritten: u64,
    /// Units of work, which is what the power is counted in.
    pub units: u64,
}

/// The flash. `WORD` is the least that is programmed or read, in bytes.
#[derive(Debug, Clone)]
pub struct MockFlash<const WORD: usize> {
    bytes: Vec<u8>,
    /// Words that something was programmed into since their sector was erased.
    used: Vec<bool>,
    /// The bits of each byte that read this way or that.
    loose: Vec<u8>,
    unsteady: bool,
    /// Words that no program changes any more.
    stuck: Vec<usize>,
    work: Work,
    left: Option<u64>,
    dead: bool,
    dice: Dice,
}

impl<const WORD: usize> MockFlash<WORD> {
    /// An erased flash of so many sectors; the run says how it dies.
    pub fn new(sectors: usize, run: u64) -> Self {
        MockFlash {
            bytes: vec![0xff; sectors * SECTOR],
            used: vec![false; sectors * SECTOR / WORD],
            loose: vec![0; sectors * SECTOR],
            unsteady: false,
            stuck: Vec::new(),
            work: Work {
                erases: vec![0; sectors],
                programmed: 0,
                read: 0,
                rewritten: 0,
                units: 0,
            },
            left: None,
            dead: false,
            dice: Dice::new(run),
        }
    }

    /// The same content in a flash that dies otherwise.
    #[must_use]
    pub fn fork(&self, run: u64) -> Self {
        MockFlash {
            dice: Dice::new(run),
            ..self.clone()
        }
    }

    /// The power goes after so many further units of work, in the middle of whatever is done then.
    pub fn die_after(&mut self, units: u64) {
        self.left = Some(units);
    }

    /// The power is there again, for good unless it is told to go.
    pub fn power_on(&mut self) {
        self.left = None;
        self.dead = false;
    }

    /// Whether the power is gone.
    pub fn is_dead(&self) -> bool {
        self.dead
    }

    /// What it has done so far.
    pub fn work(&self) -> &Work {
        &self.work
    }

    /// Everything in it.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Changes the content behind the user's back, as age and foreign programs do.
    pub fn tamper(&mut self, change: impl FnOnce(&mut [u8])) {
        let before = self.bytes.clone();
        change(&mut self.bytes);
        for word in 0..self.used.len() {
            let range = word * WORD..(word + 1) * WORD;
            self.used[word] |= before[range.clone()] != self.bytes[range];
        }
    }

    /// From here on the bits that a power cut has reached do not read the same each time.
    pub fn be_unsteady(&mut self) {
        self.unsteady = true;
    }

    /// The word at this offset is worn: no program changes it any more.
    pub fn wear_out(&mut self, offset: usize) {
        self.stuck.push(offset / WORD);
    }

    /// How much of some work is done before the power goes; all of it while it lasts.
    fn spend(&mut self, units: u64) -> u64 {
        let done = self.left.map_or(units, |left| left.min(units));
        self.left = self.left.map(|left| left - done);
        self.work.units += done;
        self.dead = done < units;
        done
    }

    fn program_word(&mut self, word: usize, new: &[u8], whole: bool) {
        if self.stuck.contains(&word) {
            return;
        }
        let old = &mut self.bytes[word * WORD..][..WORD];
        let loose = &mut self.loose[word * WORD..][..WORD];
        for ((old, loose), new) in old.iter_mut().zip(loose).zip(new) {
            *loose &= new;
            if self.unsteady && !whole {
                *loose |= *old & !new;
            }
            // where the power goes any of the bits is cleared, and now and then none
            let kept = match whole {
                true => 0,
                false => (self.dice.bits() | self.dice.bits() & self.dice.bits()) as u8,
            };
            *old &= new | kept;
        }
        let changed = old.iter().any(|byte| *byte != 0xff);
        self.work.rewritten += u64::from(self.used[word] && new.iter().any(|byte| *byte != 0xff));
        self.used[word] |= changed;
    }

    /// A sector whose erase has come so far.
    fn erase_part(&mut self, sector: usize, units: u64) {
        let bytes = &mut self.bytes[sector * SECTOR..][..SECTOR];
        let so_far = SECTOR * units as usize / ERASE_UNITS as usize;
        match self.dice.roll(3) {
            0 => bytes[..so_far].fill(0xff),
            1 => {
                bytes[..so_far].fill(0xff);
                for byte in &mut bytes[so_far..] {
                    *byte |= self.dice.bits() as u8;
                }
            }
            _ => {
                for byte in bytes {
                    let share = self.dice.roll(ERASE_UNITS) < units;
                    *byte |= if share { self.dice.bits() as u8 } else { 0 };
                }
            }
        }
        if self.unsteady {
            self.loose[sector * SECTOR..][..SECTOR].fill_with(|| self.dice.bits() as u8);
        }
        // what a half erased word is, is not known: whoever programs it has to erase first
        self.used[sector * SECTOR / WORD..][..SECTOR / WORD].fill(true);
    }
}

impl<const WORD: usize> ErrorType for MockFlash<WORD> {
    type Error = NorFlashErrorKind;
}

impl<const WORD: usize> ReadNorFlash for MockFlash<WORD> {
    const READ_SIZE: usize = WORD;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), NorFlashErrorKind> {
        check_read(self, offset, bytes.len())?;
        if self.dead {
            return Err(NorFlashErrorKind::Other);
        }
        bytes.copy_from_slice(&self.bytes[offset as usize..][..bytes.len()]);
        let loose = &self.loose[offset as usize..][..bytes.len()];
        for (byte, loose) in bytes.iter_mut().zip(loose).filter(|(_, loose)| **loose > 0) {
            *byte ^= loose & self.dice.bits() as u8;
        }
        self.work.read += bytes.len() as u64;
        Ok(())
    }

    fn capacity(&self) -> usize {
        self.bytes.len()
    }
}

impl<const WORD: usize> NorFlash for MockFlash<WORD> {
    const WRITE_SIZE: usize = WORD;
    const ERASE_SIZE: usize = SECTOR;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), NorFlashErrorKind> {
        check_erase(self, from, to)?;
        for sector in from as usize / SECTOR..to as usize / SECTOR {
            if self.dead {
                return Err(NorFlashErrorKind::Other);
            }
            let done = self.spend(ERASE_UNITS);
            self.work.erases[sector] += 1;
            if done < ERASE_UNITS {
                self.erase_part(sector, done);
                return Err(NorFlashErrorKind::Other);
            }
            self.bytes[sector * SECTOR..][..SECTOR].fill(0xff);
            self.loose[sector * SECTOR..][..SECTOR].fill(0);
            self.used[sector * SECTOR / WORD..][..SECTOR / WORD].fill(false);
        }
        Ok(())
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), NorFlashErrorKind> {
        check_write(self, offset, bytes.len())?;
        let first = offset as usize / WORD;
        for (index, word) in bytes.chunks(WORD).enumerate() {
            if self.dead {
                return Err(NorFlashErrorKind::Other);
            }
            let done = self.spend(WORD as u64);
            self.work.programmed += done;
            if done < WORD as u64 {
                self.program_word(first + index, word, false);
                return Err(NorFlashErrorKind::Other);
            }
            self.program_word(first + index, word, true);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_program_clears_bits_and_an_erase_sets_a_sector() {
        let mut flash = MockFlash::<4>::new(2, 1);
        flash.write(8, &[0xf0; 4]).expect("power");
        assert_eq!(flash.work().rewritten, 0);
        flash.write(8, &[0x3c; 4]).expect("power");
        assert_eq!(flash.work().rewritten, 1);
        let mut read = [0; 12];
        flash.read(4, &mut read).expect("power");
        assert_eq!(read[..4], [0xff; 4]);
        assert_eq!(read[4..8], [0x30; 4]);
        flash.erase(0, SECTOR as u32).expect("power");
        assert!(flash.bytes().iter().all(|byte| *byte == 0xff));
        assert_eq!(flash.work().erases, [1, 0]);
        assert_eq!((flash.work().programmed, flash.work().read), (8, 12));
        let unaligned = flash.write(2, &[0; 4]);
        assert_eq!(unaligned, Err(NorFlashErrorKind::NotAligned));
        let outside = flash.erase(0, 3 * SECTOR as u32);
        assert_eq!(outside, Err(NorFlashErrorKind::OutOfBounds));
    }

    #[test]
    fn a_cut_program_touches_only_bits_that_should_go_and_only_up_to_the_cut() {
        let mut partly = 0;
        for run in 0..200 {
            let mut flash = MockFlash::<4>::new(1, run);
            flash.die_after(6);
            let cut = flash.write(16, &[0x0f; 12]);
            assert_eq!(cut, Err(NorFlashErrorKind::Other));
            assert!(flash.is_dead());
            let dead = flash.read(0, &mut [0; 4]);
            assert_eq!(dead, Err(NorFlashErrorKind::Other));
            assert_eq!(flash.write(16, &[0; 4]), Err(NorFlashErrorKind::Other));
            let bytes = &flash.bytes()[16..28];
            assert_eq!(bytes[..4], [0x0f; 4]);
            assert!(bytes[4..8].iter().all(|byte| byte & 0x0f == 0x0f));
            partly += u32::from(bytes[4..8] != [0x0f; 4] && bytes[4..8] != [0xff; 4]);
            assert_eq!(bytes[8..], [0xff; 4]);
            flash.power_on();
            flash.write(24, &[0; 4]).expect("power");
        }
        assert!(partly > 100, "{partly}");
    }

    #[test]
    fn a_cut_erase_leaves_a_mixture_and_must_be_done_again() {
        let mut mixed = 0;
        for run in 0..50 {
            let mut flash = MockFlash::<1>::new(1, run);
            flash.write(0, &[0; SECTOR]).expect("power");
            flash.die_after(ERASE_UNITS / 2);
            assert!(flash.erase(0, SECTOR as u32).is_err());
            let ones: u32 = flash.bytes().iter().map(|byte| byte.count_ones()).sum();
            mixed += u32::from(ones > 0 && ones < 8 * SECTOR as u32);
            flash.power_on();
            flash.write(0, &[0]).expect("power");
            assert!(flash.work().rewritten > 0);
            flash.erase(0, SECTOR as u32).expect("power");
            assert!(flash.bytes().iter().all(|byte| *byte == 0xff));
        }
        assert!(mixed > 40, "{mixed}");
    }

    #[test]
    fn an_unsteady_flash_reads_what_was_cut_this_way_and_that() {
        let mut flash = MockFlash::<1>::new(1, 1);
        flash.be_unsteady();
        flash.die_after(1);
        assert!(flash.write(0, &[0x0f; 3]).is_err());
        flash.power_on();
        let mut seen = [[0; 3]; 64];
        for read in &mut seen {
            flash.read(0, read).expect("power");
            assert_eq!((read[0], read[1] & 0x0f, read[2]), (0x0f, 0x0f, 0xff));
        }
        assert!(seen.iter().any(|read| *read != seen[0]));
        flash.erase(0, SECTOR as u32).expect("power");
        flash.read(0, &mut seen[0]).expect("power");
        assert_eq!(seen[0], [0xff; 3]);
    }

    #[test]
    fn a_worn_word_keeps_what_it_has() {
        let mut flash = MockFlash::<1>::new(1, 1);
        flash.wear_out(3);
        flash.write(2, &[0; 3]).expect("power");
        assert_eq!(flash.bytes()[2..5], [0, 0xff, 0]);
    }
}
