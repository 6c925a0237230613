//! Where the values of a table stand, and how a spreadsheet's file says what `meaning` says in JSON's words.

use crate::places::Places;
use crate::position::{self, Found, Step};
use crate::refused::shortened;
use crate::text::places::{TextPlaces, keys, plain, word};

/// A file of rows and where its values stand.
pub struct CsvPlaces<'a> {
    /// Its text and the bytes of its values.
    pub inner: TextPlaces<'a>,
    /// Where a line ends within a cell.
    pub inner_ends: Vec<usize>,
}

/// JSON's words and a table's, beside those of a text sheet as well.
const WORDS: [(&str, &str); 1] = [(
    "\"closed\": false where the last item does",
    "yes in column \"open\" where the last wall does",
)];

/// The column in which a value stands; none for one above the table.
fn column(steps: &[Step]) -> Option<&'static str> {
    match keys(steps).as_slice() {
        ["rooms", "name"] | ["pieces", "room"] => Some("room"),
        ["rooms", "closed"] => Some("open"),
        ["rooms", "ring"] => Some("island"),
        ["rooms", "entry"] => Some("enter"),
        ["rooms", "outline", "wall" | "opening" | "existing"] => Some("length"),
        ["rooms", "outline", "radius"] => Some("round"),
        ["pieces", side @ ("left" | "right"), ..] => Some(side),
        ["rooms", "outline" | "diagonals", key]
        | ["rooms" | "pieces", key @ ("moulding" | "length" | "wall")] => Some(key),
        _ => None,
    }
}

impl Places for CsvPlaces<'_> {
    fn text(&self) -> &str {
        self.inner.text()
    }

    fn find(&self, steps: &[Step]) -> Found {
        self.inner.find(steps)
    }

    fn words(&self, steps: &[Step], name: Option<&str>) -> String {
        let row = self.row(self.find(steps).start());
        let place = match (column(steps), keys(steps).first()) {
            (Some(column), _) => format!("{row}, column {column}"),
            (None, Some(&("rooms" | "pieces"))) => row,
            (None, _) => format!("{row}, {}", word(steps)),
        };
        match name {
            Some(name) if !name.is_empty() => format!("{place}: {name:?}"),
            _ => place,
        }
    }

    fn expected(&self, expected: &str) -> String {
        plain(expected, &WORDS)
    }

    fn example(&self, steps: &[Step], json: &str) -> String {
        let right = json
            .trim_end_matches('"')
            .rsplit('"')
            .next()
            .unwrap_or_default();
        let joint = |end: &str| match right.starts_with(|c: char| c.is_ascii_lowercase()) {
            true => right.to_owned(),
            false => end.to_owned(),
        };
        match keys(steps).as_slice() {
            ["rooms", "outline", "opening"] => "37 1/2".to_owned(),
            ["rooms", "outline", "existing"] => "40".to_owned(),
            ["rooms", "outline", "wall"] | ["pieces", "length"] => "124 3/8".to_owned(),
            ["rooms", "outline", "gauge"] => "92".to_owned(),
            ["rooms", "outline", "radius"] => "3/4".to_owned(),
            ["rooms", "outline", "left" | "right"] => joint("return"),
            ["rooms", "outline", "corner"] => "outside".to_owned(),
            ["rooms", "entry"] => "yes".to_owned(),
            ["rooms", "diagonals", "from" | "to"] => "2".to_owned(),
            ["rooms", "diagonals", ..] => "180 1/2".to_owned(),
            ["pieces", "left" | "right", "degrees" | "face"] => "scarf over".to_owned(),
            ["pieces", "left" | "right", "joint"] => joint("cope 92"),
            ["pieces", "left" | "right", ..] => "cope 92".to_owned(),
            ["pieces", "wall"] => "3".to_owned(),
            ["rooms", "name"] | ["pieces", "room"] | ["rooms" | "pieces", "moulding"] => {
                right.to_owned()
            }
            ["rooms", ..] => "a row such as Bed 2,wall,31 1/2".to_owned(),
            ["pieces", ..] => "a row such as Bed 2,124 3/8,cope 92,square".to_owned(),
            _ => self.inner.example(steps, json),
        }
    }

    fn in_unit(&self, example: String) -> String {
        self.inner.in_unit(example)
    }

    fn row(&self, byte: usize) -> String {
        let (line, _) = position::line_and_column(self.text(), byte);
        let within = self.inner_ends.iter().filter(|end| **end < byte).count();
        format!("row {}", line - within.min(line - 1))
    }

    fn read(&self, range: std::ops::Range<usize>) -> String {
        shortened(&self.text()[range].replace("\"\"", "\""))
    }
}
