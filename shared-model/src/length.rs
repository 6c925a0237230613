//! Exact lengths: a whole number of 1/16,256 in, which is also 1/640 mm. Reading is in `read`, printing in `tape`;
//! what a length means on a board is left to the joints and the saw view.

mod read;
mod tape;

use core::ops::{Add, AddAssign, Neg, Sub, SubAssign};

use serde::{Deserialize, Serialize};

pub(crate) use read::STROKES;
pub use read::{ReadLengthError, ReadLengthProblem};
pub use tape::{Decimal, FeetInches, Mark, TapeReading};

/// A length, exact to 1/16,256 in (1/640 mm): the coarsest unit that holds both 1/128 in and 0.1 mm.
///
/// Sums that leave the range of what can be held (132,000 in) stay at its end, so that absurd input never wraps round.
///
/// ```
/// use shared_model::{Length, Unit};
/// let wall = Length::read("10' 4 3/8\"", Unit::Inch).unwrap();
/// assert_eq!(wall, Length::sixteenths(124 * 16 + 6));
/// assert_eq!(Length::millimetres(254), Length::inches(10));
/// ```
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
pub struct Length(i32);

/// The unit in which a number without one is read, or in which a decimal is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Unit {
    /// Inches.
    Inch,
    /// Millimetres.
    Millimetre,
    /// Centimetres.
    Centimetre,
    /// Metres.
    Metre,
}

impl Unit {
    /// How many units of [`Length`] one of these holds.
    pub const fn units(self) -> i32 {
        match self {
            Unit::Inch => Length::UNITS_PER_INCH,
            Unit::Millimetre => Length::UNITS_PER_MILLIMETRE,
            Unit::Centimetre => 10 * Length::UNITS_PER_MILLIMETRE,
            Unit::Metre => 1000 * Length::UNITS_PER_MILLIMETRE,
        }
    }
}

impl Length {
    /// Units in an inch.
    pub const UNITS_PER_INCH: i32 = 16_256;
    /// Units in a millimetre; 25.4 of them are an inch exactly.
    pub const UNITS_PER_MILLIMETRE: i32 = 640;
    /// No length.
    pub const ZERO: Length = Length(0);
    /// The longest length that is read: 10,000 in (254 m). Longer ones are slips of the pen, and sums stay in range.
    pub const LONGEST: Length = Length::inches(10_000);

    /// A length of so many units of 1/16,256 in.
    pub const fn from_units(units: i32) -> Length {
        Length(units)
    }

    /// The number of units of 1/16,256 in.
    pub const fn units(self) -> i32 {
        self.0
    }

    /// Whole inches.
    pub const fn inches(inches: i32) -> Length {
        Length(inches * Length::UNITS_PER_INCH)
    }

    /// Sixteenths of an inch.
    pub const fn sixteenths(count: i32) -> Length {
        Length(count * (Length::UNITS_PER_INCH / 16))
    }

    /// Whole millimetres.
    pub const fn millimetres(millimetres: i32) -> Length {
        Length(millimetres * Length::UNITS_PER_MILLIMETRE)
    }

    /// This length times a plain number, rounded to the nearest unit, halves to the even one.
    pub fn times(self, factor: f64) -> Length {
        // `as` saturates: a result out of range is held at the largest length there is
        Length(libm::rint(f64::from(self.0) * factor) as i32)
    }

    /// The length without its sign.
    pub const fn abs(self) -> Length {
        Length(self.0.saturating_abs())
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0.saturating_add(other.0))
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0.saturating_sub(other.0))
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Length) {
        *self = *self + other;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Length) {
        *self = *self - other;
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(self.0.saturating_neg())
    }
}

/// `numerator / denominator` to the nearest whole number, halves to the even one; `denominator` is positive.
pub(crate) fn divide_to_even(numerator: i128, denominator: i128) -> i128 {
    let floor = numerator.div_euclid(denominator);
    let twice = 2 * numerator.rem_euclid(denominator);
    let up = twice > denominator || (twice == denominator && floor % 2 != 0);
    floor + i128::from(up)
}
