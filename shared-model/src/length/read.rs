//! Reading a length as a person or a spreadsheet writes it: feet-inches-fractions, inches, decimals, mm, cm, m, and a
//! strong or light reading. Where in a file the text stood is left to whoever reads the file.

use core::fmt;

use super::{Length, Unit, divide_to_even};

/// Why a text is not a length, and at which byte of the text that shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ReadLengthError {
    /// What is wrong.
    pub problem: ReadLengthProblem,
    /// The byte of the text, from 0, at which it shows.
    pub at: usize,
}

/// What can be wrong with the text of a length; the sentence on each is the one a person reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadLengthProblem {
    /// there is no length here
    Empty,
    /// a digit was expected here
    NotADigit,
    /// the lower number of a fraction must be 2, 4, 8, 16, 32, 64 or 128
    Denominator,
    /// the upper number of a fraction must be smaller than the lower one
    NotProper,
    /// a decimal comma is not read: write a point
    DecimalComma,
    /// after feet the inches must follow, even if they are 0: 16' 0"
    FeetWithoutInches,
    /// after feet the inches must be under 12
    InchesOverTwelve,
    /// feet must be a whole number
    PartFeet,
    /// a fraction goes with inches only
    FractionOfMetric,
    /// a number has either a decimal point or a fraction, not both
    DecimalAndFraction,
    /// the unit is not known: ' or ft, " or in, mm, cm, m
    UnknownUnit,
    /// there is more here than one length
    Trailing,
    /// the number has too many digits
    TooManyDigits,
    /// a length over 10,000 in (254 m) is not believed
    TooLong,
}

impl fmt::Display for ReadLengthProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        use ReadLengthProblem::*;
        f.write_str(match self {
            Empty => "there is no length here",
            NotADigit => "a digit was expected here",
            Denominator => "the lower number of a fraction must be 2, 4, 8, 16, 32, 64 or 128",
            NotProper => "the upper number of a fraction must be smaller than the lower one",
            DecimalComma => "a decimal comma is not read: write a point",
            FeetWithoutInches => "after feet the inches must follow, even if they are 0: 16' 0\"",
            InchesOverTwelve => "after feet the inches must be under 12",
            PartFeet => "feet must be a whole number",
            FractionOfMetric => "a fraction goes with inches only",
            DecimalAndFraction => "a number has either a decimal point or a fraction, not both",
            UnknownUnit => "the unit is not known: ' or ft, \" or in, mm, cm, m",
            Trailing => "there is more here than one length",
            TooManyDigits => "the number has too many digits",
            TooLong => "a length over 10,000 in (254 m) is not believed",
        })
    }
}

impl fmt::Display for ReadLengthError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.problem.fmt(f)
    }
}

impl core::error::Error for ReadLengthError {}

use ReadLengthProblem as Problem;

/// One strong or light reading: 1/32 in.
const STRONG: i32 = Length::UNITS_PER_INCH / 32;
/// More digits than this in one number are refused, so that no product overflows.
const MOST_DIGITS: usize = 12;

impl Length {
    /// Reads a length; a number without a unit counts as `unit`. A trailing `+` or `-` makes the reading strong or
    /// light by 1/32 in.
    ///
    /// Read are `10' 4 3/8"`, `10 ft 4-3/8 in`, `12 ft`, `124 3/8`, `3/8`, `124.375`, `3160 mm`, `316 cm`, `3.16m`, the
    /// curly marks and fraction strokes that phones write, and the single-letter fractions such as ⅜.
    ///
    /// ```
    /// use shared_model::{Length, Unit};
    /// let strong = Length::read("24 1/2+", Unit::Inch).unwrap();
    /// assert_eq!(strong, Length::read("24 17/32", Unit::Inch).unwrap());
    /// assert!(Length::read("24 3/7", Unit::Inch).is_err());
    /// ```
    ///
    /// # Errors
    /// What is wrong and at which byte; nothing is guessed.
    pub fn read(text: &str, unit: Unit) -> Result<Length, ReadLengthError> {
        Reader { text, at: 0 }.length(unit)
    }
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
}

/// A number as written: its digits without the point, how many stood after it, and where it began.
struct Number {
    digits: i128,
    places: u32,
    at: usize,
}

const FOOT_MARK: &[&str] = &["'", "\u{2032}", "\u{2019}"];
/// Feet in a word end a length by themselves; after the mark alone, inches may have been forgotten.
const FOOT_WORD: &[&str] = &["feet", "foot", "ft.", "ft"];
/// The strokes of a fraction: a keyboard's, a phone's, the sign of division, and the wide one.
pub(crate) const STROKES: &[char] = &['/', '\u{2044}', '\u{2215}', '\u{ff0f}'];
const INCH: &[&str] = &[
    "inches", "inch", "in.", "in", "\"", "\u{2033}", "\u{201d}", "''",
];
const SINGLE: &[(&str, i128, i128)] = &[
    ("\u{bd}", 1, 2),
    ("\u{bc}", 1, 4),
    ("\u{be}", 3, 4),
    ("\u{215b}", 1, 8),
    ("\u{215c}", 3, 8),
    ("\u{215d}", 5, 8),
    ("\u{215e}", 7, 8),
];

impl Reader<'_> {
    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    fn fail<T>(&self, problem: Problem) -> Result<T, ReadLengthError> {
        Err(ReadLengthError {
            problem,
            at: self.at,
        })
    }

    fn space(&mut self) {
        let rest = self.rest();
        self.at += rest.len() - rest.trim_start().len();
    }

    fn take(&mut self, words: &[&str]) -> bool {
        let hit = words.iter().find(|word| {
            let rest = self.rest();
            rest.get(..word.len())
                .is_some_and(|head| head.eq_ignore_ascii_case(word))
                && !(word.ends_with(|c: char| c.is_ascii_alphabetic())
                    && rest[word.len()..].starts_with(|c: char| c.is_alphabetic()))
        });
        if let Some(word) = hit {
            self.at += word.len();
        }
        hit.is_some()
    }

    fn digit_next(&self) -> bool {
        self.rest().starts_with(|c: char| c.is_ascii_digit())
    }

    fn number(&mut self) -> Result<Number, ReadLengthError> {
        let at = self.at;
        let (mut digits, mut places, mut count, mut point) = (0i128, 0u32, 0usize, false);
        while let Some(c) = self.rest().chars().next() {
            match c {
                '0'..='9' => {
                    count += 1;
                    if count > MOST_DIGITS {
                        return self.fail(Problem::TooManyDigits);
                    }
                    digits = digits * 10 + i128::from(c as u32 - '0' as u32);
                    places += u32::from(point);
                }
                '.' if !point => point = true,
                ',' if count > 0 => return self.fail(Problem::DecimalComma),
                _ => break,
            }
            self.at += 1;
        }
        if count == 0 {
            self.at = at;
            return self.fail(Problem::NotADigit);
        }
        Ok(Number { digits, places, at })
    }

    /// A fraction whose upper number has been read already, the stroke being next.
    fn lower_number(&mut self, upper: &Number) -> Result<(i128, i128), ReadLengthError> {
        self.at += self.stroke_next();
        self.space();
        let lower = self.number()?;
        let bad = |problem, at| Err(ReadLengthError { problem, at });
        if upper.places > 0 || lower.places > 0 {
            return bad(Problem::DecimalAndFraction, upper.at);
        }
        if !matches!(lower.digits, 2 | 4 | 8 | 16 | 32 | 64 | 128) {
            return bad(Problem::Denominator, lower.at);
        }
        if upper.digits >= lower.digits {
            return bad(Problem::NotProper, upper.at);
        }
        Ok((upper.digits, lower.digits))
    }

    fn single_fraction(&mut self) -> Option<(i128, i128)> {
        let hit = SINGLE
            .iter()
            .find(|(sign, _, _)| self.rest().starts_with(sign))?;
        self.at += hit.0.len();
        Some((hit.1, hit.2))
    }

    /// How many bytes a fraction's stroke takes that is next; 0 where none is.
    fn stroke_next(&self) -> usize {
        let next = self.rest().chars().next();
        next.filter(|next| STROKES.contains(next))
            .map_or(0, char::len_utf8)
    }

    /// Whether a hyphen that joins a number to its inches or fraction is next (`10'-4`, `4-3/8`), and steps over it.
    fn hyphen(&mut self) {
        let mut after = self.rest().chars();
        if after.next() == Some('-') && after.next().is_some_and(|c| c.is_ascii_digit()) {
            self.at += 1;
        }
    }

    /// The fraction that may follow a whole number.
    fn fraction(&mut self, whole: &Number) -> Result<(i128, i128), ReadLengthError> {
        let start = self.at;
        self.space();
        self.hyphen();
        let found = if let Some(found) = self.single_fraction() {
            found
        } else if self.digit_next() {
            let upper = self.number()?;
            self.space();
            if self.stroke_next() == 0 {
                self.at = upper.at;
                return self.fail(Problem::Trailing);
            }
            self.lower_number(&upper)?
        } else {
            self.at = start;
            return Ok((0, 1));
        };
        if whole.places > 0 {
            return self.fail(Problem::DecimalAndFraction);
        }
        Ok(found)
    }

    /// Inches with what may follow them, as a numerator over a denominator, unit by unit of [`Length`].
    fn amount(&mut self) -> Result<(Number, i128, i128), ReadLengthError> {
        let at = self.at;
        if let Some((upper, lower)) = self.single_fraction() {
            let none = Number {
                digits: 0,
                places: 0,
                at,
            };
            return Ok((none, upper, lower));
        }
        let number = self.number()?;
        let after = self.at;
        self.space();
        if self.stroke_next() > 0 {
            let (upper, lower) = self.lower_number(&number)?;
            let none = Number {
                digits: 0,
                places: 0,
                at,
            };
            return Ok((none, upper, lower));
        }
        self.at = after;
        let (upper, lower) = self.fraction(&number)?;
        Ok((number, upper, lower))
    }

    fn sign(&mut self) -> i32 {
        self.space();
        let (sign, width) = match self.rest().chars().next() {
            Some('+') => (STRONG, 1),
            Some('-') => (-STRONG, 1),
            Some(minus @ '\u{2212}') => (-STRONG, minus.len_utf8()),
            _ => (0, 0),
        };
        self.at += width;
        sign
    }

    fn length(mut self, unit: Unit) -> Result<Length, ReadLengthError> {
        self.space();
        if self.rest().is_empty() {
            return self.fail(Problem::Empty);
        }
        let (mut number, mut upper, mut lower) = self.amount()?;
        let mut feet = 0i128;
        let before_unit = self.at;
        self.space();
        let mut scale = unit;
        let mut marked = false;
        let foot_word = self.take(FOOT_WORD);
        if foot_word || self.take(FOOT_MARK) {
            if number.places > 0 || upper > 0 {
                self.at = number.at;
                return self.fail(Problem::PartFeet);
            }
            feet = number.digits;
            self.space();
            self.hyphen();
            scale = Unit::Inch;
            let inches = self.digit_next()
                || SINGLE
                    .iter()
                    .any(|(sign, _, _)| self.rest().starts_with(sign));
            let ends = self.rest().is_empty() || self.rest().starts_with(['+', '-', '\u{2212}']);
            if !(inches || foot_word && ends) {
                return self.fail(Problem::FeetWithoutInches);
            }
            number.digits = 0;
            if inches {
                (number, upper, lower) = self.amount()?;
                let whole = number.digits / 10i128.pow(number.places);
                if whole >= 12 {
                    self.at = number.at;
                    return self.fail(Problem::InchesOverTwelve);
                }
            }
            self.space();
            marked = self.take(INCH);
        } else if self.take(INCH) {
            scale = Unit::Inch;
            marked = true;
        } else if self.take(&["mm"]) {
            scale = Unit::Millimetre;
        } else if self.take(&["cm"]) {
            scale = Unit::Centimetre;
        } else if self.take(&["m"]) {
            scale = Unit::Metre;
        } else if self.rest().starts_with(|c: char| c.is_alphabetic()) {
            return self.fail(Problem::UnknownUnit);
        }
        if upper > 0 && scale != Unit::Inch {
            self.at = before_unit;
            return self.fail(Problem::FractionOfMetric);
        }
        let sign = self.sign();
        self.space();
        if !marked && sign != 0 && scale == Unit::Inch {
            self.take(INCH);
            self.space();
        }
        if !self.rest().is_empty() {
            return self.fail(Problem::Trailing);
        }
        let per = i128::from(scale.units());
        let decimal = 10i128.pow(number.places);
        let exact =
            (feet * 12 * per * decimal + number.digits * per) * lower + upper * per * decimal;
        let units = divide_to_even(exact, decimal * lower) + i128::from(sign);
        if units > i128::from(Length::LONGEST.units()) {
            self.at = 0;
            return self.fail(Problem::TooLong);
        }
        if units < 0 {
            self.at = 0;
            return self.fail(Problem::NotADigit);
        }
        Ok(Length(units as i32))
    }
}

#[cfg(test)]
mod tests;
