//! Angles in hundredths of a degree. What an angle sets at the saw is left to the joints.

use core::fmt;

use serde::{Deserialize, Serialize};

use crate::length::{STROKES, divide_to_even};

/// An angle from 0 to 360 degrees, exact to 1/100 degree.
///
/// ```
/// use shared_model::Angle;
/// let bay = Angle::read("135").unwrap();
/// assert_eq!(bay.setting(), Angle::hundredths(2250));
/// assert_eq!(bay.setting().to_string(), "22.5");
/// ```
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
pub struct Angle(u16);

/// Why a text is not an angle; the sentence is the one a person reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadAngleError {
    /// an angle is a number of degrees such as 90 or 92.5
    NotANumber,
    /// an angle is from 0 to 360 degrees
    OutOfRange,
}

impl fmt::Display for ReadAngleError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            ReadAngleError::NotANumber => "an angle is a number of degrees such as 90 or 92.5",
            ReadAngleError::OutOfRange => "an angle is from 0 to 360 degrees",
        })
    }
}

impl core::error::Error for ReadAngleError {}

impl Angle {
    /// No angle.
    pub const ZERO: Angle = Angle(0);
    /// A right angle.
    pub const RIGHT: Angle = Angle(9000);

    /// So many hundredths of a degree.
    pub const fn hundredths(count: u16) -> Angle {
        Angle(count)
    }

    /// Whole degrees, at most 360.
    pub const fn degrees(count: u16) -> Angle {
        Angle(count * 100)
    }

    /// The count of hundredths of a degree.
    pub const fn in_hundredths(self) -> u16 {
        self.0
    }

    /// In radians, for `libm`.
    pub fn radians(self) -> f64 {
        f64::from(self.0) * (core::f64::consts::PI / 18_000.0)
    }

    /// The saw's setting from square that halves a corner of this gauge angle: 90 - g/2, halves of 1/100 degree to the
    /// even one. A corner of 180 degrees or more needs none.
    pub const fn setting(self) -> Angle {
        let twice = 18_000u16.saturating_sub(self.0);
        let half = twice / 2;
        Angle(half + (twice % 2) * (half % 2))
    }

    /// How much wider than a right angle this is; 0 where it is not.
    pub const fn over_right(self) -> Angle {
        Angle(self.0.saturating_sub(9000))
    }

    /// This angle times `numerator` over `denominator`, to 1/10 degree, halves to the even one; at most 360 degrees.
    pub fn scaled_to_tenths(self, numerator: Angle, denominator: Angle) -> Angle {
        let product = i128::from(self.0) * i128::from(numerator.0);
        let tenths = divide_to_even(product, i128::from(denominator.0.max(1)) * 10);
        Angle(tenths.min(3_600) as u16 * 10)
    }

    /// Reads degrees such as `90`, `92.5`, `91 1/2` or `91½`, rounded to 1/100 degree, halves to the even one.
    ///
    /// # Errors
    /// [`ReadAngleError::NotANumber`] for anything but digits with at most one point, or with halves or quarters;
    /// [`ReadAngleError::OutOfRange`] over 360 degrees.
    pub fn read(text: &str) -> Result<Angle, ReadAngleError> {
        let text = text.trim();
        let text = text.strip_suffix('\u{b0}').unwrap_or(text).trim_end();
        let (text, part) = without_fraction(text);
        let (mut digits, mut scale, mut point, mut count) = (0i128, 1i128, false, 0);
        for c in text.chars() {
            match c {
                '0'..='9' if count < 12 => {
                    digits = digits * 10 + i128::from(c as u32 - '0' as u32);
                    scale *= if point { 10 } else { 1 };
                    count += 1;
                }
                '.' if !point && part == 0 => point = true,
                _ => return Err(ReadAngleError::NotANumber),
            }
        }
        if count == 0 {
            return Err(ReadAngleError::NotANumber);
        }
        let hundredths = divide_to_even(digits * 100, scale) + part;
        match u16::try_from(hundredths) {
            Ok(hundredths) if hundredths <= 36_000 => Ok(Angle(hundredths)),
            _ => Err(ReadAngleError::OutOfRange),
        }
    }
}

/// Degrees without the half or quarters at their end, and the hundredths that those are.
fn without_fraction(text: &str) -> (&str, i128) {
    for (sign, hundredths) in [('\u{bd}', 50), ('\u{bc}', 25), ('\u{be}', 75)] {
        if let Some(whole) = text.strip_suffix(sign) {
            return (whole.trim_end(), hundredths);
        }
    }
    let Some((upper, lower)) = text.rsplit_once(STROKES) else {
        return (text, 0);
    };
    let parted = upper.trim_end().rsplit_once([' ', '-', '\u{a0}']);
    match (parted, lower.trim_start()) {
        (Some((whole, "1")), "2") => (whole.trim_end(), 50),
        (Some((whole, "1")), "4") => (whole.trim_end(), 25),
        (Some((whole, "3")), "4") => (whole.trim_end(), 75),
        _ => (text, 0),
    }
}

impl fmt::Display for Angle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, part) = (self.0 / 100, self.0 % 100);
        match part {
            0 => write!(f, "{whole}"),
            part if part % 10 == 0 => write!(f, "{whole}.{}", part / 10),
            part => write!(f, "{whole}.{part:02}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::string::ToString;

    #[test]
    fn flat_trim_settings() {
        // setting = (180 - corner) / 2: common practice, no source
        for (corner, setting) in [
            (90, "45"),
            (88, "46"),
            (92, "44"),
            (120, "30"),
            (135, "22.5"),
        ] {
            assert_eq!(Angle::degrees(corner).setting().to_string(), setting);
        }
        assert_eq!(Angle::hundredths(9001).setting().to_string(), "45");
        assert_eq!(Angle::degrees(190).setting(), Angle::ZERO);
    }

    #[test]
    fn reads_what_it_prints_and_refuses_the_rest() {
        for hundredths in 0..=36_000 {
            let angle = Angle::hundredths(hundredths);
            assert_eq!(Angle::read(&angle.to_string()), Ok(angle));
        }
        assert_eq!(Angle::read("92.5\u{b0}"), Ok(Angle::hundredths(9250)));
        for half in [
            "91 1/2",
            "91\u{bd}",
            "91 \u{bd}\u{b0}",
            "91-1\u{2044}2",
            "91 1 / 2",
        ] {
            assert_eq!(Angle::read(half), Ok(Angle::hundredths(9150)), "{half}");
        }
        assert_eq!(Angle::read("91 1/4"), Ok(Angle::hundredths(9125)));
        assert_eq!(Angle::read("91 3/4"), Ok(Angle::hundredths(9175)));
        for text in [
            "1/2", "\u{bd}", "91 1/3", "91 2/4", "91.5 1/2", "911/2", "-1/2",
        ] {
            assert_eq!(Angle::read(text), Err(ReadAngleError::NotANumber), "{text}");
        }
        assert_eq!(Angle::read("36O"), Err(ReadAngleError::NotANumber));
        assert_eq!(Angle::read("400"), Err(ReadAngleError::OutOfRange));
        assert_eq!(Angle::read(""), Err(ReadAngleError::NotANumber));
    }

    proptest! {
        #[test]
        fn whatever_is_read_is_an_angle_or_told(text in "\\PC{0,20}|[0-9 ./\u{2044}\u{2215}\u{bd}\u{b0}-]{0,9}") {
            if let Ok(angle) = Angle::read(&text) {
                prop_assert!(angle.in_hundredths() <= 36_000);
            }
        }
    }
}
