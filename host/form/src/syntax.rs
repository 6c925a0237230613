//! Text to shape, and what the JSON reader found wrong told like everything else: line and column, place, what was read,
//! what was expected, a right example. What the values mean is left to `meaning`.

use serde::de::DeserializeOwned;
use serde_json::error::Category;
use serde_path_to_error::Segment;

use super::object::Object;
use super::position;
use super::refused::Refused;
use super::shown::shown;
use super::words::nearest;

const ITEM: &str = "{ \"wall\": 60, \"corner\": \"inside\" }";
const WALK: &str =
    "{ \"walk\": 1, \"level\": \"Upper floor\", \"mouldings\": [ ... ], \"rooms\": [ ... ] }";

/// Reads a text into a shape.
///
/// # Errors
/// The first thing that is not JSON, or that the shape does not have.
pub fn read<T: DeserializeOwned>(text: &str) -> Result<T, Vec<Refused>> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let Object(value) = serde_path_to_error::deserialize(&mut reader).map_err(|error| {
        let path: Vec<Segment> = error.path().iter().cloned().collect();
        vec![told(text, &path, error.inner())]
    })?;
    reader
        .end()
        .map_err(|error| vec![told(text, &[], &error)])?;
    Ok(value)
}

/// The file is of no kind that is read.
pub fn unknown_kind(read: &str) -> Vec<Refused> {
    let expected = "a walk or a cut list: exactly one of the keys \"walk\" and \"cut_list\"";
    vec![Refused::whole(read, expected, WALK)]
}

fn told(text: &str, path: &[Segment], error: &serde_json::Error) -> Refused {
    let message = error.to_string();
    let message = message
        .rsplit_once(" at line ")
        .map_or(message.as_str(), |(head, _)| head);
    let (read, expected, example) = match error.classify() {
        Category::Data => data(message, path),
        Category::Eof => (
            "the end of the file".to_owned(),
            "more: something that was opened is not closed".to_owned(),
            None,
        ),
        Category::Syntax | Category::Io => (
            near(text, error.line(), error.column()),
            json(message, text, error),
            None,
        ),
    };
    let at = position::byte_at(text, error.line(), error.column());
    Refused {
        file: None,
        line: error.line().max(1),
        column: error.column().max(1),
        shown: shown(text, at..at),
        place: words(path),
        read,
        expected,
        example: example.unwrap_or_else(|| example_at(path).to_owned()),
        beyond: 0,
    }
}

/// What the reader missed, where its own sentence would not help.
fn json(message: &str, text: &str, error: &serde_json::Error) -> String {
    let at = position::byte_at(text, error.line(), error.column());
    let (before, here) = (text[..at].trim_end(), text[at..].chars().next());
    let number = |c: char| c.is_ascii_digit();
    let decimal_comma = here.is_some_and(number)
        && before
            .strip_suffix(',')
            .is_some_and(|before| before.ends_with(number));
    match (message, here) {
        (_, Some('/' | '#')) => "no remark: JSON has none",
        (_, Some('\'' | '\u{2018}'..='\u{201f}')) => "straight double quotation marks: \"75\"",
        ("key must be a string", _) if decimal_comma => {
            "a number with a point: a decimal comma is not read"
        }
        ("key must be a string", _) => "a key in quotation marks, and no comma before a closing }",
        ("trailing comma", _) | ("expected value", Some(']' | '}')) => {
            "no comma before a closing bracket"
        }
        ("trailing characters", _) => "nothing after the closing }",
        ("expected `,` or `]`" | "expected `,` or `}`", _) => "a comma, or the closing bracket",
        ("expected value", _) => {
            "a value: a number, a text in quotation marks, true, false or null"
        }
        (message, _) => return format!("JSON: {message}"),
    }
    .to_owned()
}

/// What was read, what was expected and perhaps an example, from the reader's sentence about a value.
fn data(message: &str, path: &[Segment]) -> (String, String, Option<String>) {
    let ticks: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
    if let (true, Some((key, keys))) = (message.starts_with("unknown field"), ticks.split_first()) {
        let quoted: Vec<String> = keys.iter().map(|key| format!("\"{key}\"")).collect();
        let example = nearest(key, keys.iter().copied()).map(|meant| format!("\"{meant}\""));
        let expected = format!("one of the keys {}", quoted.join(", "));
        return (format!("the key \"{key}\""), expected, example);
    }
    if let (true, Some(key)) = (message.starts_with("missing field"), ticks.first()) {
        return ("nothing".to_owned(), format!("the key \"{key}\""), None);
    }
    if let (true, Some(key)) = (message.starts_with("duplicate field"), ticks.first()) {
        let read = format!("the key \"{key}\" a second time");
        return (read, "each key once".to_owned(), None);
    }
    let sentence = message.split_once(": ").map_or(message, |(_, rest)| rest);
    match sentence.split_once(", expected ") {
        Some((read, expected)) => {
            let (read, expected) = (kind(read), plain(expected));
            let example = without_marks(&read, expected, path);
            (read, expected.to_owned(), example)
        }
        None => (words(path), message.to_owned(), None),
    }
}

/// A number in quotation marks, where one without them was wanted, as it would be right.
fn without_marks(read: &str, expected: &str, path: &[Segment]) -> Option<String> {
    let inner = read.strip_prefix('"')?.strip_suffix('"')?;
    let is_number = inner.parse::<f64>().is_ok_and(f64::is_finite);
    let wanted = [plain("f64"), plain("u32")].contains(&expected);
    let key = path.iter().rev().find_map(|segment| match segment {
        Segment::Map { key } => Some(key),
        _ => None,
    })?;
    (is_number && wanted).then(|| format!("\"{key}\": {inner}"))
}

/// What the reader says that it read, in words that say it to a person.
fn kind(read: &str) -> String {
    match read {
        "sequence" => "a list [ ]".to_owned(),
        "map" => "an object { }".to_owned(),
        read => {
            let value = ["boolean ", "integer ", "floating point ", "string "];
            let value = value.into_iter().find_map(|kind| read.strip_prefix(kind));
            value.unwrap_or(read).replace('`', "")
        }
    }
}

/// The reader's names of kinds in words that say it to a person.
fn plain(expected: &str) -> &str {
    match expected {
        "f64" => "a number",
        "u32" => "a whole number of 0 or more",
        "a boolean" => "true or false",
        "a string" => "a text in quotation marks",
        "a sequence" => "a list [ ]",
        text => text,
    }
}

fn near(text: &str, line: usize, column: usize) -> String {
    let line = text.lines().nth(line.saturating_sub(1)).unwrap_or_default();
    // the reader counts bytes of the line, and names the last one that it took
    let start = (0..column.min(line.len() + 1))
        .rev()
        .find(|at| line.is_char_boundary(*at))
        .unwrap_or(0);
    let near: String = line[start..].trim_end().chars().take(30).collect();
    match near.is_empty() {
        true => "the end of the line".to_owned(),
        false => near,
    }
}

/// A path in the words that `meaning` uses.
fn words(path: &[Segment]) -> String {
    let mut words = String::new();
    let mut list = "";
    for segment in path.iter() {
        match segment {
            Segment::Map { key } => {
                list = key;
                if key != "outline" {
                    words.push_str(if words.is_empty() { "" } else { ", " });
                    words.push_str(key);
                }
            }
            Segment::Seq { index } if list == "outline" => {
                words.push_str(&format!(", item {}", index + 1));
            }
            Segment::Seq { index } => words.push_str(&format!("[{index}]")),
            Segment::Enum { .. } | Segment::Unknown => {}
        }
    }
    match words.is_empty() {
        true => "the file".to_owned(),
        false => words,
    }
}

fn example_at(path: &[Segment]) -> &'static str {
    let inside = |wanted: &str| {
        path.iter()
            .any(|segment| matches!(segment, Segment::Map { key } if key == wanted))
    };
    for (key, example) in [
        ("outline", ITEM),
        ("diagonals", "{ \"from\": 0, \"to\": 2, \"length\": 180.5 }"),
        (
            "rooms",
            "{ \"name\": \"Bed 2\", \"moulding\": \"base\", \"outline\": [ ... ] }",
        ),
        ("left", "\"left\": { \"joint\": \"cope\", \"gauge\": 92 }"),
        ("right", "\"right\": { \"joint\": \"square\" }"),
        (
            "pieces",
            "{ \"room\": \"Bed 2\", \"wall\": 3, \"moulding\": \"base\", \"length\": 124.375, \"left\": { \"joint\": \"cope\" }, \"right\": { \"joint\": \"square\" } }",
        ),
        (
            "sticks",
            "{ \"length\": 192, \"price\": 21.5, \"count\": null }",
        ),
        (
            "mouldings",
            "{ \"name\": \"base\", \"height\": 5.25, \"thickness\": 0.5625, \"profile\": 0.75, \"sticks\": [ { \"length\": 192 } ] }",
        ),
        (
            "scarf",
            "\"scarf\": { \"degrees\": 45, \"stud\": 16, \"least\": 24 }",
        ),
        (
            "accuracy",
            "\"accuracy\": { \"with\": \"inch tape\", \"corners\": 0.25, \"gauge\": 0.5 }",
        ),
        (
            "spring",
            "\"spring\": [ { \"over\": 96, \"add\": 0.0625 } ]",
        ),
        (
            "saw",
            "\"saw\": { \"posture\": \"standing upside down\", \"kerf\": 0.125 }",
        ),
    ] {
        if inside(key) {
            return example;
        }
    }
    WALK
}
