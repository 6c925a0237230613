//! The letters: proportional bitmap faces of a true capital height, and writing with them. Which face a text takes and
//! where it goes is left to the screen; making the faces to `letters/rasterise.py`.
//!
//! They are rasterised from B612 (copyright 2012 The B612 Project Authors), under the SIL Open Font License 1.1, which
//! stands beside the data in `letters/OFL.txt`.
//!
//! A face file, little endian: `ltr2`; one byte each: rows of a capital, rows above the baseline, rows below it, 0; two
//! bytes: count of letters; two bytes 0. Then a record of ten bytes for each letter in the order of its code: code (2),
//! offset of its data (2), advance, columns before the ink, rows from the line's top to the ink, ink columns, ink rows, bits
//! of a run (1 each). Then the data: a bit for each row of the letter, first in the high bits of as many bytes as that takes,
//! set where the row is the same as the one above; then the coverage of the other rows from 0 (paper) to 3 (ink), as runs of
//! 2, 4 or 8 bits: level in the two high bits, length less one in the others, first run in the high bits of its byte.
//! A letter's ink lies within its advance, so letters never touch their neighbours' paper.

mod levels;

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;

use levels::Levels;

/// All letters, capitals 11 rows high; every pixel ink or paper, for panels of one bit.
pub static WORDS_11: Face = Face::new(include_bytes!("letters/words_11.bin"));
/// All letters, capitals 16 rows high.
pub static WORDS_16: Face = Face::new(include_bytes!("letters/words_16.bin"));
/// All letters, capitals 20 rows high.
pub static WORDS_20: Face = Face::new(include_bytes!("letters/words_20.bin"));
/// All letters, capitals 25 rows high.
pub static WORDS_25: Face = Face::new(include_bytes!("letters/words_25.bin"));
/// All letters, capitals 30 rows high.
pub static WORDS_30: Face = Face::new(include_bytes!("letters/words_30.bin"));
/// All letters, capitals 33 rows high.
pub static WORDS_33: Face = Face::new(include_bytes!("letters/words_33.bin"));
/// All letters, capitals 50 rows high.
pub static WORDS_50: Face = Face::new(include_bytes!("letters/words_50.bin"));
/// Digits, point, marks of feet and inches, minus; 33 rows high, as they are in the face with all letters.
pub static DIGITS_33: Face = Face::new(include_bytes!("letters/digits_33.bin"));
/// Digits, point, marks of feet and inches, minus; 42 rows high.
pub static DIGITS_42: Face = Face::new(include_bytes!("letters/digits_42.bin"));
/// Digits, point, marks of feet and inches, minus; 74 rows high.
pub static DIGITS_74: Face = Face::new(include_bytes!("letters/digits_74.bin"));
/// Digits, point, marks of feet and inches, minus; 90 rows high.
pub static DIGITS_90: Face = Face::new(include_bytes!("letters/digits_90.bin"));
/// Digits, point, marks of feet and inches, minus; 150 rows high.
pub static DIGITS_150: Face = Face::new(include_bytes!("letters/digits_150.bin"));

/// What stands for a letter that a face does not have: an empty box.
pub const MISSING: char = '\u{fffd}';

const HEAD: usize = 12;
const RECORD: usize = 10;

/// One face at one size.
#[derive(Debug)]
pub struct Face {
    cap: u8,
    above: u8,
    below: u8,
    count: u16,
    bytes: &'static [u8],
}

/// One letter of a face.
#[derive(Clone, Copy)]
struct Letter {
    advance: u8,
    before: u8,
    drop: u8,
    columns: u8,
    rows: u8,
    run_bits: u8,
    data: &'static [u8],
}

impl PartialEq for Face {
    fn eq(&self, other: &Face) -> bool {
        core::ptr::eq(self.bytes, other.bytes)
    }
}

impl Eq for Face {}

impl Face {
    /// A face file's content as a face; anything else does not compile where the face is a static.
    const fn new(bytes: &'static [u8]) -> Face {
        assert!(matches!(bytes, [b'l', b't', b'r', b'2', ..]));
        Face {
            cap: bytes[4],
            above: bytes[5],
            below: bytes[6],
            count: u16::from_le_bytes([bytes[8], bytes[9]]),
            bytes,
        }
    }

    /// Rows of a capital or a digit.
    pub const fn cap_height(&self) -> u32 {
        self.cap as u32
    }

    /// Rows that accents on capitals need over a capital's top.
    pub const fn over_cap(&self) -> u32 {
        (self.above - self.cap) as u32
    }

    /// Rows that small letters reach below the line on which capitals stand.
    pub const fn below(&self) -> u32 {
        self.below as u32
    }

    /// Whether the face has this letter itself.
    pub fn has(&self, letter: char) -> bool {
        self.find(letter).is_some()
    }

    /// Columns that a text takes.
    pub fn width(&self, text: &str) -> u32 {
        text.chars()
            .map(|c| u32::from(self.letter(c).advance))
            .sum()
    }

    /// The rows that a text's ink takes, first and one past the last, counted from a capital's top.
    pub fn rows(&self, text: &str) -> (i32, i32) {
        let over = self.over_cap() as i32;
        text.chars()
            .map(|c| self.letter(c))
            .filter(|letter| letter.rows > 0)
            .map(|letter| {
                let top = i32::from(letter.drop) - over;
                (top, top + i32::from(letter.rows))
            })
            .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
            .unwrap_or((0, 0))
    }

    /// Writes a text in one line; `at` is the left end of a capital's top row. Every letter's own rectangle is painted,
    /// paper included, and nothing outside. `levels` are the colours from paper to ink.
    ///
    /// # Errors
    /// Those of the target.
    pub fn draw<D>(
        &self,
        text: &str,
        at: Point,
        levels: [D::Color; 4],
        target: &mut D,
    ) -> Result<(), D::Error>
    where
        D: DrawTarget,
    {
        let top = at.y - self.over_cap() as i32;
        let mut x = at.x;
        for letter in text.chars().map(|c| self.letter(c)) {
            let corner = Point::new(x + i32::from(letter.before), top + i32::from(letter.drop));
            let size = Size::new(u32::from(letter.columns), u32::from(letter.rows));
            let mut seen = Rectangle::new(corner, size);
            let hidden = hide_rows_above(&mut seen, target.bounding_box().top_left.y);
            let inks = letter.levels().after(hidden);
            target.fill_contiguous(&seen, inks.map(|level| levels[usize::from(level)]))?;
            x += i32::from(letter.advance);
        }
        Ok(())
    }

    fn letter(&self, letter: char) -> Letter {
        self.find(letter)
            .or_else(|| self.find(MISSING))
            .unwrap_or(Letter {
                advance: 0,
                before: 0,
                drop: 0,
                columns: 0,
                rows: 0,
                run_bits: 8,
                data: &[],
            })
    }

    fn find(&self, letter: char) -> Option<Letter> {
        let code = u16::try_from(u32::from(letter)).ok()?;
        let first = self.code(0)?;
        // plain letters stand without gaps from the first on in a face that has them all
        let guess = code.checked_sub(first).map(usize::from);
        let index = match guess.filter(|&index| self.code(index) == Some(code)) {
            Some(index) => index,
            None => self.search(code)?,
        };
        let record = self.record(index)?;
        let offset = u16::from_le_bytes([record[2], record[3]]);
        let data = HEAD + RECORD * usize::from(self.count);
        Some(Letter {
            advance: record[4],
            before: record[5],
            drop: record[6],
            columns: record[7],
            rows: record[8],
            run_bits: record[9],
            data: self.bytes.get(data + usize::from(offset)..)?,
        })
    }

    fn search(&self, code: u16) -> Option<usize> {
        let (mut low, mut high) = (0, usize::from(self.count));
        while low < high {
            let middle = (low + high) / 2;
            match self.code(middle)?.cmp(&code) {
                core::cmp::Ordering::Less => low = middle + 1,
                core::cmp::Ordering::Greater => high = middle,
                core::cmp::Ordering::Equal => return Some(middle),
            }
        }
        None
    }

    /// The code of the letter at this place of the face.
    fn code(&self, index: usize) -> Option<u16> {
        let record = self.record(index)?;
        Some(u16::from_le_bytes([record[0], record[1]]))
    }

    fn record(&self, index: usize) -> Option<&'static [u8; RECORD]> {
        let records = self
            .bytes
            .get(HEAD..HEAD + RECORD * usize::from(self.count))?;
        records.get(RECORD * index..)?.first_chunk()
    }
}

impl Letter {
    /// The coverage of its pixels, row by row, 0 to 3.
    fn levels(self) -> Levels {
        Levels::new(self.data, self.run_bits, self.columns, self.rows)
    }
}

/// Cuts off what lies above a row; how many rows that were. A board that paints a picture in bands paints most letters
/// twice, and what is above a band costs as much to read as what is in it.
fn hide_rows_above(area: &mut Rectangle, row: i32) -> usize {
    let rows = area.size.height.cast_signed();
    let hidden = (row - area.top_left.y).clamp(0, rows);
    area.top_left.y += hidden;
    area.size.height = (rows - hidden).unsigned_abs();
    hidden.unsigned_abs() as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    const WORDS: [&Face; 7] = [
        &WORDS_11, &WORDS_16, &WORDS_20, &WORDS_25, &WORDS_30, &WORDS_33, &WORDS_50,
    ];
    const DIGITS: [&Face; 5] = [&DIGITS_33, &DIGITS_42, &DIGITS_74, &DIGITS_90, &DIGITS_150];

    #[test]
    fn capitals_and_digits_are_exactly_as_high_as_stated() {
        for (face, cap) in WORDS
            .into_iter()
            .chain(DIGITS)
            .zip([11, 16, 20, 25, 30, 33, 50, 33, 42, 74, 90, 150])
        {
            assert_eq!(face.cap_height(), cap);
            let letters = match DIGITS.contains(&face) {
                true => "0123456789",
                false => "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789",
            };
            for letter in letters.chars() {
                let text = std::string::String::from(letter);
                assert_eq!(face.rows(&text), (0, cap as i32), "{letter} at {cap}");
            }
        }
    }

    #[test]
    fn ink_stays_inside_its_advance_and_its_line() {
        for face in WORDS.into_iter().chain(DIGITS) {
            for letter in (' '..='\u{20ff}').filter(|&c| face.has(c)) {
                let found = face.letter(letter);
                assert!(found.before + found.columns <= found.advance, "{letter}");
                assert!(found.drop + found.rows <= face.above + face.below);
                let pixels = usize::from(found.columns) * usize::from(found.rows);
                assert_eq!(found.levels().count(), pixels, "{letter}");
            }
        }
    }

    #[test]
    fn every_letter_that_names_and_pictures_need_is_there() {
        let latin = (' '..='~').chain('\u{a1}'..='\u{ff}');
        let marks = "\u{b0}\u{2032}\u{2033}\u{2044}\u{d7}\u{b7}\u{2026}\u{2190}\u{2191}\u{2192}\u{2193}\u{2013}\u{2014}";
        for letter in latin.chain(marks.chars()) {
            for face in WORDS {
                assert!(face.has(letter), "{letter}");
            }
        }
        for letter in "0123456789.'\"-".chars() {
            for face in DIGITS {
                assert!(face.has(letter), "{letter}");
            }
        }
    }

    #[test]
    fn a_letter_that_is_missing_is_seen() {
        assert_eq!(WORDS_25.width("\u{4e00}"), WORDS_25.width("\u{fffd}"));
        assert_eq!(WORDS_25.rows("\u{4e00}"), (0, 25));
    }

    #[test]
    fn digits_are_all_equally_wide() {
        for face in WORDS.into_iter().chain(DIGITS) {
            let width = face.width("0");
            for digit in ["1", "2", "3", "4", "5", "6", "7", "8", "9"] {
                assert_eq!(face.width(digit), width);
            }
        }
    }

    #[test]
    fn the_letters_for_one_bit_are_ink_or_paper() {
        for letter in (' '..='\u{20ff}').filter(|&c| WORDS_11.has(c)) {
            let mut levels = WORDS_11.letter(letter).levels();
            assert!(levels.all(|level| level == 0 || level == 3), "{letter}");
        }
    }
}
