//! Reading a letter's coverage out of its data, pixel by pixel. What the levels look like is left to the letters.

use core::slice::Iter;

/// The levels of a letter's pixels, row by row, 0 to 3. Written out by hand: every pixel of every text goes through it, on
/// the way to a picture that somebody waits for.
#[derive(Clone)]
pub(super) struct Levels {
    data: Iter<'static, u8>,
    as_runs: bool,
    /// The levels to come of the byte at hand, the next one in the two high bits.
    bits: u8,
    /// How many pixels the byte at hand still has.
    run: u8,
    /// How many pixels the letter still has.
    left: usize,
}

impl Levels {
    /// The levels of so many pixels: a byte for each run, or four pixels to a byte.
    pub(super) fn new(data: &'static [u8], as_runs: bool, pixels: usize) -> Levels {
        Levels {
            data: data.iter(),
            as_runs,
            bits: 0,
            run: 0,
            left: pixels,
        }
    }

    /// What is left after so many pixels.
    pub(super) fn after(mut self, mut pixels: usize) -> Levels {
        self.left = self.left.saturating_sub(pixels);
        while pixels > usize::from(self.run) {
            pixels -= usize::from(self.run);
            if self.read().is_none() {
                return self;
            }
        }
        self.run -= pixels as u8;
        if !self.as_runs && pixels < 4 {
            self.bits <<= 2 * pixels;
        }
        self
    }

    /// Takes the next byte.
    fn read(&mut self) -> Option<()> {
        self.bits = *self.data.next()?;
        self.run = if self.as_runs {
            (self.bits & 63) + 1
        } else {
            4
        };
        Some(())
    }
}

impl Iterator for Levels {
    type Item = u8;

    #[inline]
    fn next(&mut self) -> Option<u8> {
        self.left = self.left.checked_sub(1)?;
        if self.run == 0 {
            self.read()?;
        }
        self.run -= 1;
        let level = self.bits >> 6;
        if !self.as_runs {
            self.bits <<= 2;
        }
        Some(level)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::vec::Vec;

    const FOUR_TO_A_BYTE: &[u8] = &[0b00_01_10_11, 0b11_11_00_10, 0b01_00_00_00];
    const RUNS: &[u8] = &[0b11_000010, 0b00_000000, 0b10_000100];

    #[test]
    fn both_forms_are_read() {
        let levels = Levels::new(FOUR_TO_A_BYTE, false, 9);
        assert!(levels.eq([0, 1, 2, 3, 3, 3, 0, 2, 1]));
        let levels = Levels::new(RUNS, true, 9);
        assert!(levels.eq([3, 3, 3, 0, 2, 2, 2, 2, 2]));
    }

    #[test]
    fn what_is_left_after_some_pixels_is_what_skipping_leaves() {
        for (data, as_runs) in [(FOUR_TO_A_BYTE, false), (RUNS, true)] {
            let whole = Levels::new(data, as_runs, 9);
            for pixels in 0..=10 {
                let left: Vec<u8> = whole.clone().after(pixels).collect();
                assert!(whole.clone().skip(pixels).eq(left), "{as_runs} {pixels}");
            }
        }
    }
}
