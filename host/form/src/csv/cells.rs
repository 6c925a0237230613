//! The rows and cells of a file as spreadsheets write it, each with the bytes that it takes. What a cell means is left to
//! the modules beside this one.

use std::ops::Range;

use csv_core::{ReadFieldResult, Reader, ReaderBuilder};

/// A cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// The bytes between its quotation marks, or all of it, without spaces around them.
    pub range: Range<usize>,
    /// What it holds, without spaces around it and without the quotation marks that only the form asks for.
    pub text: String,
    /// Its quotation marks do not close where the cell ends.
    pub broken: bool,
}

/// A row that has at least one cell that is not empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Its cells, without empty ones at the end.
    pub cells: Vec<Cell>,
}

/// More cells than this are not kept of a row: no header names so many.
const MOST_CELLS: usize = 200;

/// The rows of a text, one after the other.
pub struct Rows<'a> {
    text: &'a str,
    delimiter: u8,
    reader: Reader,
    at: usize,
    ended: bool,
    /// Where a line ends within a cell, so that rows can be numbered as a spreadsheet does.
    pub inner_ends: Vec<usize>,
}

impl<'a> Rows<'a> {
    /// The rows of a text whose cells this character parts.
    pub fn of(text: &'a str, delimiter: u8) -> Rows<'a> {
        Rows {
            text,
            delimiter,
            reader: ReaderBuilder::new().delimiter(delimiter).build(),
            at: 0,
            ended: false,
            inner_ends: Vec::new(),
        }
    }

    /// The next cell, and whether it is the last of its row.
    fn cell(&mut self, first: bool) -> Option<(Cell, bool)> {
        let start = self.at;
        let mut value = Vec::new();
        let mut part = [0; 256];
        let last = loop {
            let rest = &self.text.as_bytes()[self.at..];
            let (result, read, written) = self.reader.read_field(rest, &mut part);
            self.at += read;
            value.extend_from_slice(&part[..written]);
            match result {
                ReadFieldResult::InputEmpty | ReadFieldResult::OutputFull => {}
                ReadFieldResult::Field { record_end } => break record_end,
                ReadFieldResult::End => {
                    self.ended = true;
                    return None;
                }
            }
        };
        let (start, end) = self.bounds(start, first);
        let raw = &self.text[start..end];
        let (from, to, broken) = match raw.starts_with('"') {
            true => quoted(raw),
            false => (0, raw.len(), false),
        };
        let ends = raw[from..to]
            .match_indices('\n')
            .map(|(at, _)| start + from + at);
        self.inner_ends.extend(ends);
        let inner = &raw[from..to];
        let from = start + from + inner.len() - inner.trim_start().len();
        Some((
            Cell {
                range: from..from + inner.trim().len(),
                text: String::from_utf8_lossy(&value).trim().to_owned(),
                broken,
            },
            last,
        ))
    }

    /// The bytes of the cell that was read from here on, without the ends of rows around it.
    fn bounds(&self, start: usize, first: bool) -> (usize, usize) {
        let raw = &self.text[start..self.at];
        let start = match first {
            true => start + raw.len() - raw.trim_start_matches(['\r', '\n']).len(),
            false => start,
        };
        let raw = &self.text[start..self.at];
        let ended = raw.ends_with(['\r', '\n', char::from(self.delimiter)]);
        (start, self.at - usize::from(ended))
    }
}

/// Where the content of a cell in quotation marks begins and ends, and whether the marks do not close at its end.
fn quoted(raw: &str) -> (usize, usize, bool) {
    let bytes = raw.as_bytes();
    let mut at = 1;
    while at < bytes.len() {
        match (bytes[at], bytes.get(at + 1)) {
            (b'"', Some(b'"')) => at += 2,
            (b'"', _) => return (1, at, !raw[at + 1..].trim().is_empty()),
            _ => at += 1,
        }
    }
    (1, raw.len(), true)
}

impl Iterator for Rows<'_> {
    type Item = Row;

    fn next(&mut self) -> Option<Row> {
        while !self.ended {
            let mut cells: Vec<Cell> = Vec::new();
            let mut last = false;
            while !last && let Some((cell, ends)) = self.cell(cells.is_empty()) {
                last = ends;
                if cells.len() < MOST_CELLS {
                    cells.push(cell);
                }
            }
            while cells.last().is_some_and(|cell| cell.text.is_empty()) {
                cells.pop();
            }
            if !cells.is_empty() {
                return Some(Row { cells });
            }
        }
        None
    }
}

impl Row {
    /// The bytes from its first cell to its last.
    pub fn range(&self) -> Range<usize> {
        match (self.cells.first(), self.cells.last()) {
            (Some(first), Some(last)) => first.range.start..last.range.end,
            _ => 0..0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str, delimiter: u8) -> Vec<Vec<(String, String, bool)>> {
        let cell = |cell: Cell| (cell.text, text[cell.range].to_owned(), cell.broken);
        Rows::of(text, delimiter)
            .map(|row| row.cells.into_iter().map(cell).collect())
            .collect()
    }

    fn plain(text: &str) -> (String, String, bool) {
        (text.to_owned(), text.to_owned(), false)
    }

    #[test]
    fn cells_are_read_with_their_places() {
        assert_eq!(
            rows("a, b ,\r\n\r\n,,\r\n\"c \"\"d\"\"\nü\";e,f", b','),
            [
                vec![plain("a"), plain("b")],
                vec![
                    ("c \"d\"\nü;e".to_owned(), "c \"\"d\"\"\nü".to_owned(), true),
                    plain("f")
                ]
            ]
        );
        assert_eq!(
            rows("a;;ü\tc;;", b';'),
            [vec![plain("a"), plain(""), plain("ü\tc")]]
        );
        assert_eq!(
            rows("\"10' 4 3/8\"\"\"\n3/8\"\n", b','),
            [
                vec![("10' 4 3/8\"".to_owned(), "10' 4 3/8\"\"".to_owned(), false)],
                vec![plain("3/8\"")]
            ]
        );
        assert_eq!(
            rows("\"never", b','),
            [vec![("never".to_owned(), "never".to_owned(), true)]]
        );
        assert!(rows("\n\r\n,,\n", b',').is_empty());
    }

    #[test]
    fn long_cells_are_whole() {
        let long = "ü".repeat(1000);
        assert_eq!(
            rows(&format!("{long},b"), b','),
            [vec![plain(&long), plain("b")]]
        );
    }
}
