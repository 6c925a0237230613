//! Printing lengths: as a tape shows them, in feet and inches, or as the shortest decimal that reads back. How large and
//! where a figure is drawn is left to the screens.

use core::fmt;

use serde::{Deserialize, Serialize};

use super::{Length, Unit, divide_to_even};

/// The finest mark of the tape to which lengths are rounded for people; halves go to the even mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
pub enum Mark {
    /// 1/8 in.
    Eighth,
    /// 1/16 in.
    #[default]
    Sixteenth,
    /// 1/32 in.
    ThirtySecond,
    /// 1/64 in.
    SixtyFourth,
    /// 1 mm.
    Millimetre,
    /// 0.5 mm.
    HalfMillimetre,
}

impl Mark {
    /// The distance from one mark to the next.
    pub const fn step(self) -> Length {
        Length::from_units(match self {
            Mark::Eighth => Length::UNITS_PER_INCH / 8,
            Mark::Sixteenth => Length::UNITS_PER_INCH / 16,
            Mark::ThirtySecond => Length::UNITS_PER_INCH / 32,
            Mark::SixtyFourth => Length::UNITS_PER_INCH / 64,
            Mark::Millimetre => Length::UNITS_PER_MILLIMETRE,
            Mark::HalfMillimetre => Length::UNITS_PER_MILLIMETRE / 2,
        })
    }

    /// Whether the tape is a metric one.
    pub const fn is_metric(self) -> bool {
        matches!(self, Mark::Millimetre | Mark::HalfMillimetre)
    }
}

/// A length as it is read off a tape: whole inches (or millimetres) and a fraction in lowest terms.
///
/// Displayed as `124 3/8`, `3/8`, `0`, or `3160.5` on a metric tape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TapeReading {
    /// Whether the length is below zero.
    pub negative: bool,
    /// Whole inches, or whole millimetres.
    pub whole: u32,
    /// The upper number of the fraction; 0 where there is none.
    pub numerator: u32,
    /// The lower number of the fraction; 1 where there is none.
    pub denominator: u32,
    /// Whether this is millimetres, whose halves are written as a decimal.
    pub metric: bool,
}

impl Length {
    /// This length at the nearest mark of a tape.
    ///
    /// ```
    /// use shared_model::{Length, Mark, Unit};
    /// let length = Length::read("124.376", Unit::Inch).unwrap();
    /// assert_eq!(length.on_tape(Mark::Sixteenth).to_string(), "124 3/8");
    /// ```
    pub fn on_tape(self, mark: Mark) -> TapeReading {
        let step = i128::from(mark.step().units());
        let marks = divide_to_even(i128::from(self.units()), step);
        let negative = marks < 0;
        let marks = marks.unsigned_abs() as u32;
        let per_whole = match mark.is_metric() {
            true => Length::UNITS_PER_MILLIMETRE / mark.step().units(),
            false => Length::UNITS_PER_INCH / mark.step().units(),
        } as u32;
        let (whole, part) = (marks / per_whole, marks % per_whole);
        let shift = if part == 0 {
            per_whole.trailing_zeros()
        } else {
            part.trailing_zeros()
        };
        TapeReading {
            negative,
            whole,
            numerator: part >> shift,
            denominator: per_whole >> shift,
            metric: mark.is_metric(),
        }
    }

    /// This length in feet and inches at the nearest mark of an inch tape (a metric mark counts as 1/16 in).
    ///
    /// ```
    /// use shared_model::{Length, Mark};
    /// assert_eq!(Length::sixteenths(1990).feet_inches(Mark::Sixteenth).to_string(), "10' 4 3/8\"");
    /// ```
    pub fn feet_inches(self, mark: Mark) -> FeetInches {
        let mark = if mark.is_metric() {
            Mark::Sixteenth
        } else {
            mark
        };
        FeetInches(self.on_tape(mark))
    }

    /// This length as the shortest decimal of `unit` that reads back to the very same length.
    ///
    /// ```
    /// use shared_model::{Length, Unit};
    /// assert_eq!(Length::sixteenths(1990).decimal(Unit::Inch).to_string(), "124.375");
    /// ```
    pub fn decimal(self, unit: Unit) -> Decimal {
        let (units, per) = (i128::from(self.units()), i128::from(unit.units()));
        let mut places = 0;
        loop {
            let scale = 10i128.pow(places);
            let digits = divide_to_even(units * scale, per);
            if divide_to_even(digits * per, scale) == units {
                return Decimal {
                    digits: digits as i64,
                    places,
                };
            }
            places += 1;
        }
    }
}

impl fmt::Display for TapeReading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.negative {
            f.write_str("-")?;
        }
        match (self.whole, self.numerator) {
            (whole, 0) => write!(f, "{whole}"),
            (whole, _) if self.metric => write!(f, "{whole}.5"),
            (0, numerator) => write!(f, "{numerator}/{}", self.denominator),
            (whole, numerator) => write!(f, "{whole} {numerator}/{}", self.denominator),
        }
    }
}

/// A length in feet and inches; displayed as `10' 4 3/8"`, and under a foot as `4 3/8"`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FeetInches(TapeReading);

impl fmt::Display for FeetInches {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let feet = self.0.whole / 12;
        let mut inches = self.0;
        inches.whole %= 12;
        if feet == 0 {
            return write!(f, "{inches}\"");
        }
        inches.negative = false;
        let sign = if self.0.negative { "-" } else { "" };
        write!(f, "{sign}{feet}' {inches}\"")
    }
}

/// A decimal number with a fixed count of places, no zeros wasted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Decimal {
    digits: i64,
    places: u32,
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.digits < 0 { "-" } else { "" };
        let scale = 10u64.pow(self.places);
        let digits = self.digits.unsigned_abs();
        let (whole, part) = (digits / scale, digits % scale);
        match self.places {
            0 => write!(f, "{sign}{whole}"),
            places => write!(f, "{sign}{whole}.{part:0width$}", width = places as usize),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::string::ToString;

    #[test]
    fn halves_go_to_the_even_mark() {
        // NIST Handbook 44, section 10.3: a reading halfway between two graduations goes to the even one
        let half = |sixteenths: i32| Length::from_units(sixteenths * 1016 + 508);
        assert_eq!(half(0).on_tape(Mark::Sixteenth).to_string(), "0");
        assert_eq!(half(1).on_tape(Mark::Sixteenth).to_string(), "1/8");
        assert_eq!(half(2).on_tape(Mark::Sixteenth).to_string(), "1/8");
    }

    proptest! {
        #[test]
        fn what_is_printed_reads_back(units in 0i32..=Length::LONGEST.units(), which in 0usize..6) {
            let mark = [Mark::Eighth, Mark::Sixteenth, Mark::ThirtySecond, Mark::SixtyFourth, Mark::Millimetre,
                Mark::HalfMillimetre][which];
            let step = mark.step().units();
            let on_mark = Length::from_units(units / step * step);
            let unit = if mark.is_metric() { Unit::Millimetre } else { Unit::Inch };
            prop_assert_eq!(Length::read(&on_mark.on_tape(mark).to_string(), unit), Ok(on_mark));
            if !mark.is_metric() {
                prop_assert_eq!(Length::read(&on_mark.feet_inches(mark).to_string(), unit), Ok(on_mark));
            }
            let any = Length::from_units(units);
            for unit in [Unit::Inch, Unit::Millimetre, Unit::Centimetre, Unit::Metre] {
                prop_assert_eq!(Length::read(&any.decimal(unit).to_string(), unit), Ok(any));
            }
        }

        #[test]
        fn any_text_is_read_or_refused(text in "[0-9 ./'\"+,½⅜a-m-]{0,14}") {
            if let Ok(length) = Length::read(&text, Unit::Inch) {
                prop_assert!(length >= Length::ZERO && length <= Length::LONGEST);
            }
        }
    }
}
