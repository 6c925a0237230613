//! A walk or a cut list as spreadsheets write it: above, rows that say what the lines of a text sheet say; then a row that
//! names the columns, and a row a wall or a piece. It is read into the same shapes as JSON and judged by the same `meaning`.

mod cells;
mod columns;
mod head;
mod places;
mod table;
mod writer;

use planner::walk::Sheet;

use super::refused::Refused;
use super::setup_files::Shelf;
use super::text::Read;
use super::text::places::TextPlaces;
use super::text::reader::Reader;
use super::text::told::Told;
use cells::{Row, Rows};
use columns::is_header;
use places::CsvPlaces;
use table::Table;
pub use writer::write;

/// The character that parts the cells of a text that is a table; none where no row names columns.
pub fn delimiter(text: &str) -> Option<u8> {
    [b',', b';', b'\t'].into_iter().find(|delimiter| {
        let parts = char::from(*delimiter);
        let named =
            |line: &str| is_header(line.split(parts).map(|cell| cell.trim().trim_matches('"')));
        text.lines().any(|line| line.contains(parts) && named(line))
    })
}

/// Whether a text that is no table looks like one: most of its lines have cells, and none names their columns.
pub fn has_no_header(text: &str) -> bool {
    let has_cells = |line: &&str| {
        [',', ';', '\t'].iter().any(|parts| {
            let cells = line.split(*parts).skip(1);
            cells.filter(|cell| !cell.starts_with(' ')).count() >= 2
        })
    };
    let filled = text.lines().filter(|line| !line.trim().is_empty());
    let rows = filled.clone().filter(has_cells).count();
    rows >= 2 && 2 * rows > filled.count()
}

/// What a table means whose cells this character parts.
///
/// # Errors
/// Everything that cannot be.
pub fn read(text: &str, delimiter: u8, shelf: &dyn Shelf) -> Result<Sheet, Vec<Refused>> {
    let mut rows = Rows::of(text, delimiter);
    let mut above: Vec<Row> = Vec::new();
    let mut header = None;
    for row in rows.by_ref() {
        if is_header(row.cells.iter().map(|cell| cell.text.as_str())) {
            header = Some(row);
            break;
        }
        // some spreadsheets say first what parts the cells
        if !(above.is_empty() && row.cells[0].text.starts_with("sep=")) {
            above.push(row);
        }
    }
    let reader = head::read(text, &above);
    let reader = match header {
        None => reader,
        Some(header) => {
            let mut table = Table::of(reader, &header);
            for row in rows.by_ref() {
                table.row(&row);
            }
            table.done()
        }
    };
    let Reader {
        sheet,
        places,
        told,
        holds,
        stretches,
        ..
    } = reader;
    let places = CsvPlaces {
        inner: TextPlaces {
            text: text.into(),
            places,
        },
        inner_ends: rows.inner_ends,
    };
    let told = Told::refused_all(told, &places);
    let read = Read {
        sheet,
        stretches,
        holds,
        told,
        with_names: Vec::new(),
    };
    read.meant(&places, shelf)
}

/// The cells of a table that commas part.
#[cfg(test)]
pub fn cells_of(text: &str) -> Vec<Vec<String>> {
    let texts = |row: Row| row.cells.into_iter().map(|cell| cell.text).collect();
    Rows::of(text, b',').map(texts).collect()
}
