//! A value of a text sheet as the shapes hold it. Which words take which values is left to `table`; whether a value can be,
//! to `meaning`.

use serde_json::Value;
use shared_model::Angle;

use super::lines::Part;
use super::table::Kind;

/// The value, or what was expected.
///
/// # Errors
/// What was expected in its place.
pub fn value(part: &Part, kind: Kind) -> Result<Value, &'static str> {
    let text = part.text.as_str();
    match kind {
        Kind::Length => Ok(text.into()),
        Kind::LengthOrNone if part.plain() == "none" => Ok(Value::Null),
        Kind::LengthOrNone => Ok(text.into()),
        Kind::Number => number(text),
        Kind::Degrees => degrees(text),
        Kind::Count => text
            .parse::<u32>()
            .map(Value::from)
            .map_err(|_| "a whole number"),
        Kind::Words => Ok(part.plain().into()),
        Kind::Mark => Ok(mark(&part.plain()).into()),
        Kind::Flag => match part.plain().as_str() {
            "" | "yes" => Ok(true.into()),
            "no" => Ok(false.into()),
            _ => Err("nothing more, or no"),
        },
        Kind::Name => name(text),
    }
}

/// A plain decimal number, perhaps with a degree mark.
pub fn number(text: &str) -> Result<Value, &'static str> {
    let digits = text.strip_suffix('\u{b0}').unwrap_or(text).trim_end();
    let plain = digits.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    match digits.trim_start_matches('-').parse::<f64>() {
        Ok(_) if digits.starts_with('-') => Err("a number of 0 or more"),
        Ok(number) if plain && number.is_finite() => Ok(number.into()),
        _ if digits.contains(',') => Err("a number with a point: a decimal comma is not read"),
        _ => Err("a number such as 92.5"),
    }
}

/// Degrees: such a number, or one with halves or quarters.
pub fn degrees(text: &str) -> Result<Value, &'static str> {
    number(text).or_else(|expected| match Angle::read(text) {
        Ok(angle) => Ok((f64::from(angle.in_hundredths()) / 100.0).into()),
        Err(_) => Err(expected),
    })
}

/// The mark with its unit: inches where none is named.
fn mark(plain: &str) -> String {
    let bare = plain.trim_end_matches(['"', '\u{201d}', '\u{2033}']);
    match bare.ends_with(|c: char| c.is_ascii_digit()) {
        true => format!("{bare} in"),
        false => bare.to_owned(),
    }
}

/// A name as it stands, or what is in its quotation marks.
fn name(text: &str) -> Result<Value, &'static str> {
    match text.starts_with('"') {
        false => Ok(text.into()),
        true => serde_json::from_str::<String>(text)
            .map(Value::from)
            .map_err(|_| "a name in quotation marks, \\\" for such a mark within it"),
    }
}
