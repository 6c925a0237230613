//! Reading a letter's coverage out of its data, pixel by pixel. What the levels look like is left to the letters.

use core::slice::Iter;

/// The levels of a letter's pixels, row by row, 0 to 3. Written out by hand: every pixel of every text goes through it, on
/// the way to a picture that somebody waits for.
#[derive(Clone)]
pub(super) struct Levels {
    columns: u8,
    /// How many rows still come after the one at hand.
    rows: u8,
    /// How many pixels the row at hand still has.
    left: u8,
    /// A bit for each row, from the first one on in the high bits: the same as the row above.
    repeats: Iter<'static, u8>,
    /// The bits to come of the byte at hand, and how many.
    repeat_bits: (u8, u8),
    /// Where the row above began, to go through it again.
    row: Runs,
    at: Runs,
}

/// A place in a letter's runs.
#[derive(Clone)]
struct Runs {
    data: Iter<'static, u8>,
    /// Bits that a run takes, 2, 4 or 8: its level in the two high ones, its length less one in the others.
    width: u8,
    /// The runs to come of the byte at hand, the next one in the high bits, and how many bits they take.
    byte: u8,
    bits: u8,
    level: u8,
    /// How many pixels the run at hand still has.
    run: u8,
}

impl Levels {
    /// The levels of so many columns and rows; each run takes so many bits.
    pub(super) fn new(data: &'static [u8], width: u8, columns: u8, rows: u8) -> Levels {
        let (repeats, runs) = data
            .split_at_checked(usize::from(rows.div_ceil(8)))
            .unwrap_or((data, &[]));
        let at = Runs {
            data: runs.iter(),
            width,
            byte: 0,
            bits: 0,
            level: 0,
            run: 0,
        };
        Levels {
            columns,
            rows: if columns > 0 { rows } else { 0 },
            left: 0,
            repeats: repeats.iter(),
            repeat_bits: (0, 0),
            row: at.clone(),
            at,
        }
    }

    /// What is left after so many rows.
    pub(super) fn after(mut self, rows: usize) -> Levels {
        for _ in 0..rows {
            if self.begin_row().is_none() {
                break;
            }
            self.at.skip(self.left);
            self.left = 0;
        }
        self
    }

    fn begin_row(&mut self) -> Option<()> {
        self.rows = self.rows.checked_sub(1)?;
        self.left = self.columns;
        let (bits, count) = match self.repeat_bits {
            (_, 0) => (*self.repeats.next()?, 8),
            more => more,
        };
        self.repeat_bits = (bits << 1, count - 1);
        match bits & 0x80 {
            0 => self.row = self.at.clone(),
            _ => self.at = self.row.clone(),
        }
        Some(())
    }
}

impl Iterator for Levels {
    type Item = u8;

    #[inline]
    fn next(&mut self) -> Option<u8> {
        if self.left == 0 {
            self.begin_row()?;
        }
        self.left -= 1;
        if self.at.run == 0 {
            self.at.read()?;
        }
        self.at.run -= 1;
        Some(self.at.level)
    }
}

impl Runs {
    /// Takes the next run.
    #[inline]
    fn read(&mut self) -> Option<()> {
        if self.bits == 0 {
            self.byte = *self.data.next()?;
            self.bits = 8;
        }
        self.level = self.byte >> 6;
        self.run = ((self.byte & 0x3f) >> (8 - self.width)) + 1;
        self.byte = self.byte.unbounded_shl(self.width.into());
        self.bits -= self.width;
        Some(())
    }

    fn skip(&mut self, mut pixels: u8) {
        while pixels > self.run {
            pixels -= self.run;
            if self.read().is_none() {
                return;
            }
        }
        self.run -= pixels;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::vec::Vec;

    /// Four rows of three columns; the third is the second again.
    const LETTER: [u8; 12] = [0, 1, 2, 3, 3, 3, 3, 3, 3, 0, 0, 0];
    const PIXEL_BY_PIXEL: &[u8] = &[0b0010_0000, 0b00_01_10_11, 0b11_11_00_00, 0b00_00_00_00];
    /// A run may go on in the next row.
    const SHORT_RUNS: &[u8] = &[0b0010_0000, 0b0000_0100, 0b1000_1110, 0b0010_0000];
    const LONG_RUNS: &[u8] = &[
        0b0010_0000,
        0b00_000000,
        0b01_000000,
        0b10_000000,
        0b11_000010,
        0b00_000010,
    ];
    const FORMS: [(u8, &[u8]); 3] = [(2, PIXEL_BY_PIXEL), (4, SHORT_RUNS), (8, LONG_RUNS)];

    #[test]
    fn every_form_is_read() {
        for (width, data) in FORMS {
            assert!(Levels::new(data, width, 3, 4).eq(LETTER), "{width}");
        }
    }

    #[test]
    fn what_is_left_after_some_rows_is_what_skipping_leaves() {
        for (width, data) in FORMS {
            for rows in 0..=5 {
                let left: Vec<u8> = Levels::new(data, width, 3, 4).after(rows).collect();
                assert_eq!(left, LETTER[(3 * rows).min(12)..], "{width} {rows}");
            }
        }
    }

    #[test]
    fn a_run_over_the_end_of_a_row_is_gone_through_again() {
        // two rows and a half of ink, the second of them the first again
        let data: &[u8] = &[0b0110_0000, 0b11_000011, 0b00_000001];
        let levels: Vec<u8> = Levels::new(data, 8, 3, 4).collect();
        assert_eq!(levels, [3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 0, 0]);
    }

    #[test]
    fn data_that_ends_too_early_ends_the_letter() {
        assert_eq!(Levels::new(&[0, 0b11_000001], 8, 3, 4).count(), 2);
        assert_eq!(Levels::new(&[], 8, 3, 4).count(), 0);
        assert_eq!(Levels::new(&[], 8, 0, 4).count(), 0);
    }
}
