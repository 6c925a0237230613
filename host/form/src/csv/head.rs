//! The rows above the header: lines of a text sheet, their words in cells. They are joined to lines, read as such, and
//! what is read is placed in its cells again.

use std::ops::Range;

use serde_json::Value;

use super::cells::Row;
use crate::text::lines::{NAMING, lines};
use crate::text::reader::{Holds, Reader};

/// What became of a cell: its bytes in the lines and in the file.
struct Joined {
    line: Range<usize>,
    cell: Range<usize>,
    /// Byte for byte the same.
    same: bool,
}

/// Reads the rows; the reader goes on with the table.
pub fn read<'a>(text: &'a str, rows: &[Row]) -> Reader<'a> {
    let mut joined = Vec::new();
    let mut all = String::new();
    for row in rows {
        let filled = row.cells.iter().filter(|cell| !cell.text.is_empty());
        let named = match row.cells.as_slice() {
            [word, name] if NAMING.contains(&word.text.to_lowercase().as_str()) => Some(name),
            _ => None,
        };
        for cell in filled {
            let said = match named {
                // a name stands in its cell as it is
                Some(name) if name == cell => Value::from(cell.text.as_str()).to_string(),
                _ => cell.text.replace(['\n', '\r'], " "),
            };
            let from = all.len();
            all.push_str(&said);
            joined.push(Joined {
                line: from..all.len(),
                cell: cell.range.clone(),
                same: said.len() == cell.range.len() && said.as_bytes() == cell.text.as_bytes(),
            });
            all.push(' ');
        }
        all.push('\n');
    }
    let lines = lines(&all);
    let cut_list = lines.iter().any(|line| line.whole.plain() == "cut list");
    let holds = match cut_list {
        true => Holds::CutList,
        false => Holds::Walk,
    };
    let mut reader = Reader::empty(&all, holds);
    reader.table = true;
    for line in &lines {
        reader.line(line);
    }
    reader.over(text, |range| place(&joined, range))
}

/// The bytes of the file for bytes of the lines.
fn place(joined: &[Joined], range: &Range<usize>) -> Range<usize> {
    let at = joined.partition_point(|one| one.line.end <= range.start);
    let Some(first) = joined.get(at).or(joined.last()) else {
        return 0..0;
    };
    let start = match first.same {
        _ if range.start <= first.line.start => first.cell.start,
        true => first.cell.start + (range.start - first.line.start).min(first.cell.len()),
        false => first.cell.start,
    };
    if range.is_empty() {
        return start..start;
    }
    let last = joined.partition_point(|one| one.line.start < range.end);
    let last = joined.get(last.saturating_sub(1)).unwrap_or(first);
    let end = match last.same {
        true if range.end < last.line.end => last.cell.start + (range.end - last.line.start),
        _ => last.cell.end,
    };
    start..end.max(start)
}
