//! Numbers as a file writes them: a length as a number or a text, and exact decimals on the way out. What a length or an
//! angle may be in its place is left to `meaning`.

use std::borrow::Cow;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use shared_model::{Angle, Length, ReadLengthError, Unit};

/// A length as written: a JSON number's decimal text, or a text such as `10' 4 3/8"`.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Written(pub String);

impl Written {
    /// The length, a bare number counting as `unit`.
    ///
    /// # Errors
    /// Why it cannot be read, and at which byte.
    pub fn length(&self, unit: Unit) -> Result<Length, ReadLengthError> {
        Length::read(&self.0, unit)
    }
}

/// More digits than this are no measurement; a longer number is rounded to so many, far below a unit of length.
const DIGITS: usize = 12;

/// The decimal text of a JSON number: its shortest form, cut to the digits that a length may have.
pub fn decimal_text(number: f64) -> String {
    let shortest = number.to_string();
    let digits = shortest.bytes().filter(u8::is_ascii_digit).count();
    if digits <= DIGITS {
        return shortest;
    }
    let whole = shortest.split('.').next().map_or(0, str::len);
    let places = DIGITS.saturating_sub(whole);
    format!("{number:.places$}")
}

impl<'de> Deserialize<'de> for Written {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Written, D::Error> {
        deserializer.deserialize_any(WrittenVisitor)
    }
}

struct WrittenVisitor;

impl de::Visitor<'_> for WrittenVisitor {
    type Value = Written;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a length such as 124.375 or \"10' 4 3/8\"")
    }

    fn visit_f64<E: de::Error>(self, number: f64) -> Result<Written, E> {
        Ok(Written(decimal_text(number)))
    }

    fn visit_i64<E: de::Error>(self, number: i64) -> Result<Written, E> {
        Ok(Written(number.to_string()))
    }

    fn visit_u64<E: de::Error>(self, number: u64) -> Result<Written, E> {
        Ok(Written(number.to_string()))
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Written, E> {
        Ok(Written(text.to_owned()))
    }
}

impl Serialize for Written {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0)
    }
}

impl JsonSchema for Written {
    fn schema_name() -> Cow<'static, str> {
        "Length".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A length: a number in the file's unit, or a text that may name its own: 124.375, \"124 3/8\", \"10' 4 3/8\\\"\", \"3160 mm\"; a trailing + or - makes it strong or light by 1/32 in.",
            "anyOf": [ { "type": "number", "minimum": 0 }, { "type": "string", "minLength": 1 } ]
        })
    }
}

/// An exact decimal on its way out, written as a JSON number without a needless point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decimal(f64);

impl Decimal {
    /// The shortest decimal that reads back to the same length in this unit.
    pub fn of_length(length: Length, unit: Unit) -> Decimal {
        Decimal::parse(&length.decimal(unit).to_string())
    }

    /// A sum of lengths, counted in units of [`Length`].
    pub fn of_sum(units: i64, unit: Unit) -> Decimal {
        let per = i64::from(unit.units());
        // the remainder is under one inch or metre, so it fits
        let rest = Length::from_units(units.rem_euclid(per) as i32);
        Decimal(units.div_euclid(per) as f64 + Decimal::of_length(rest, unit).0)
    }

    /// Degrees.
    pub fn of_angle(angle: Angle) -> Decimal {
        Decimal(f64::from(angle.in_hundredths()) / 100.0)
    }

    /// Ten-thousandths of the money's unit.
    pub fn of_price(ten_thousandths: i64) -> Decimal {
        Decimal(ten_thousandths as f64 / 10_000.0)
    }

    fn parse(text: &str) -> Decimal {
        // every printed length is a plain decimal number
        Decimal(text.parse().unwrap_or(f64::NAN))
    }
}

impl Serialize for Decimal {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        const EXACT: f64 = 9e15;
        if self.0.fract() == 0.0 && self.0.abs() < EXACT {
            serializer.serialize_i64(self.0 as i64)
        } else {
            serializer.serialize_f64(self.0)
        }
    }
}

impl JsonSchema for Decimal {
    fn schema_name() -> Cow<'static, str> {
        "Number".into()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "number" })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn json_numbers_are_read_by_their_decimal_text() {
        let read = |json: &str| -> Written { serde_json::from_str(json).expect("a length") };
        assert_eq!(read("124.375"), Written("124.375".into()));
        assert_eq!(read("31"), Written("31".into()));
        assert_eq!(read("1e2"), Written("100".into()));
        assert_eq!(read("\"3 1/2\""), Written("3 1/2".into()));
        // a third, as a program computes it
        assert_eq!(read("124.33333333333333"), Written("124.333333333".into()));
        assert_eq!(
            read("31.000000000000004").length(Unit::Inch),
            Ok(Length::inches(31))
        );
        assert!(read("1e300").length(Unit::Inch).is_err());
        let error = serde_json::from_str::<Written>("true").expect_err("no length");
        assert!(error.to_string().contains("expected a length such as"));
    }

    #[test]
    fn decimals_are_written_without_a_needless_point() {
        let json = |decimal: Decimal| serde_json::to_string(&decimal).expect("a number");
        assert_eq!(
            json(Decimal::of_length(Length::inches(192), Unit::Inch)),
            "192"
        );
        let eighths = Length::sixteenths(1990);
        assert_eq!(json(Decimal::of_length(eighths, Unit::Inch)), "124.375");
        assert_eq!(json(Decimal::of_angle(Angle::hundredths(2250))), "22.5");
        assert_eq!(json(Decimal::of_price(4_945_000)), "494.5");
        let ten_sticks = 10 * i64::from(Length::sixteenths(192 * 16 + 1).units());
        assert_eq!(json(Decimal::of_sum(ten_sticks, Unit::Inch)), "1920.625");
        let many = 100_000 * i64::from(Length::inches(192).units());
        assert_eq!(json(Decimal::of_sum(many, Unit::Inch)), "19200000");
    }

    proptest! {
        #[test]
        fn written_lengths_read_back(units in -2_000_000i32..162_560_000, metric: bool) {
            let unit = if metric { Unit::Millimetre } else { Unit::Inch };
            let length = Length::from_units(units);
            let json = serde_json::to_string(&Decimal::of_length(length.abs(), unit)).expect("a number");
            let written: Written = serde_json::from_str(&json).expect("a length");
            prop_assert_eq!(written.length(unit), Ok(length.abs()));
        }
    }
}
