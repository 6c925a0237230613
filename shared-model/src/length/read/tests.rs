//! Lengths as people, phones and spreadsheets write them, and what cannot be one.

use super::*;
use proptest::prelude::*;
use std::string::ToString;

fn sixty_fourths(text: &str) -> i32 {
    let length = Length::read(text, Unit::Inch).unwrap_or_else(|e| panic!("{text}: {e}"));
    assert_eq!(length.units() % 254, 0, "{text}");
    length.units() / 254
}

#[test]
fn inches_and_feet_as_written_on_a_tape() {
    for text in [
        "124 3/8",
        "124-3/8",
        "124 3/8\"",
        "124 3 / 8 in",
        "124\u{215c}",
        "124 \u{215c} inches",
        "124.375",
        "10' 4 3/8\"",
        "10'4 3/8",
        "10'-4-3/8\"",
        "10 ft 4 3/8 in",
        "10 Feet 4.375\"",
        "10\u{2019} 4 3/8\u{201d}",
        "  10' 4 6/16  ",
        "124 3\u{2044}8",
        "124\u{a0}3\u{2215}8",
        "10' 4 3 \u{ff0f} 8",
        "3159.125 mm",
        "315.9125cm",
        "3.159125 m",
    ] {
        assert_eq!(sixty_fourths(text), 124 * 64 + 24, "{text}");
    }
    assert_eq!(sixty_fourths("3/8"), 24);
    assert_eq!(sixty_fourths("\u{be}"), 48);
    assert_eq!(sixty_fourths("10' 0\""), 120 * 64);
    assert_eq!(sixty_fourths("2' 1/2"), 24 * 64 + 32);
    assert_eq!(sixty_fourths("1\u{2044}2"), 32);
    for feet in ["12 ft", "12ft.", "12 Feet", "12 foot 0", "12 ft 0 in"] {
        assert_eq!(sixty_fourths(feet), 144 * 64, "{feet}");
    }
    assert_eq!(sixty_fourths("12 ft -"), 144 * 64 - 2);
    assert_eq!(sixty_fourths("2 ft 3 5/8 in"), 27 * 64 + 40);
    assert_eq!(sixty_fourths("0"), 0);
    assert_eq!(sixty_fourths("191 63/64"), 191 * 64 + 63);
}

#[test]
fn strong_and_light_readings_are_a_thirty_second_off() {
    assert_eq!(sixty_fourths("24 1/2+"), 24 * 64 + 34);
    assert_eq!(sixty_fourths("24 1/2 -"), 24 * 64 + 30);
    assert_eq!(sixty_fourths("24 1/2\"+"), 24 * 64 + 34);
    assert_eq!(sixty_fourths("24 1/2+\""), 24 * 64 + 34);
    assert_eq!(sixty_fourths("24-"), 24 * 64 - 2);
    assert_eq!(sixty_fourths("10' 4-"), 124 * 64 - 2);
    let strong = Length::read("620+", Unit::Millimetre);
    assert_eq!(strong, Ok(Length::from_units(620 * 640 + 508)));
}

#[test]
fn what_cannot_be_a_length_says_what_and_where() {
    use Problem::*;
    for (text, problem, at) in [
        ("", Empty, 0),
        ("   ", Empty, 3),
        ("3/7", Denominator, 2),
        ("24 3/7", Denominator, 5),
        ("17/16", NotProper, 0),
        ("24 16/16", NotProper, 3),
        ("24 3/0", Denominator, 5),
        ("24 3", Trailing, 3),
        ("10'", FeetWithoutInches, 3),
        ("10' \"", FeetWithoutInches, 4),
        ("10 ft in", FeetWithoutInches, 6),
        ("10 ft x", FeetWithoutInches, 6),
        ("10' 12", InchesOverTwelve, 4),
        ("10.5' 3", PartFeet, 0),
        ("24,5", DecimalComma, 2),
        ("24.5 3/8", DecimalAndFraction, 8),
        ("24 3/8 mm", FractionOfMetric, 6),
        ("24 miles", UnknownUnit, 3),
        ("l24", NotADigit, 0),
        ("O", NotADigit, 0),
        ("12O", UnknownUnit, 2),
        ("24 3/8 5", Trailing, 7),
        ("24 3/", NotADigit, 5),
        ("-4", NotADigit, 0),
        ("0-", NotADigit, 0),
        (".", NotADigit, 0),
        ("1234567890123", TooManyDigits, 12),
        ("10001", TooLong, 0),
        ("300 m", TooLong, 0),
        ("24\0", Trailing, 2),
    ] {
        let error = Length::read(text, Unit::Inch).expect_err(text);
        assert_eq!((error.problem, error.at), (problem, at), "{text}");
        assert!(!error.to_string().is_empty());
    }
}

#[test]
fn reading_rounds_once_to_the_nearest_unit() {
    let read = |text| Length::read(text, Unit::Millimetre).map(Length::units);
    assert_eq!(read("0.1"), Ok(64));
    assert_eq!(read("0.00078125"), Ok(0));
    assert_eq!(read("0.00234375"), Ok(2));
    assert_eq!(
        Length::read("1/128", Unit::Inch).map(Length::units),
        Ok(127)
    );
}

proptest! {
    #[test]
    fn whatever_is_read_is_a_length_or_told_at_a_letter(text in "\\PC{0,20}|[0-9 ./'\"\u{2044}\u{2215}\u{ff0f}\u{bd}\u{2032}ftin+-]{0,14}") {
        for unit in [Unit::Inch, Unit::Millimetre] {
            match Length::read(&text, unit) {
                Ok(length) => prop_assert!((0..=Length::LONGEST.units()).contains(&length.units())),
                Err(error) => prop_assert!(text.is_char_boundary(error.at), "{text}: {}", error.at),
            }
        }
    }
}
