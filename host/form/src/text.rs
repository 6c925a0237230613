//! The text sheet: what a carpenter types in the room, one line a wall. It is read into the same shapes as JSON, with a
//! note of where every value stood, and judged by the same `meaning`.

mod ends;
mod lines;
mod places;
mod reader;
mod rooms;
mod table;
mod values;
mod writer;

use planner::walk::Sheet;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::meaning::{self, Refused};
use places::TextPlaces;
use reader::Reader;
pub use writer::write;

/// What a text sheet means.
///
/// # Errors
/// Everything that cannot be, in the file's order.
pub fn read(text: &str) -> Result<Sheet, Vec<Refused>> {
    let Reader {
        sheet,
        places,
        told,
        cut_list,
        ..
    } = Reader::of(text);
    let places = TextPlaces { text, places };
    let meant = match cut_list {
        true => shape(sheet).and_then(|form| meaning::cut_list(&form, &places).map(Sheet::CutList)),
        false => shape(sheet).and_then(|form| meaning::walk(&form, &places).map(Sheet::Walk)),
    };
    if told.is_empty() {
        return meant;
    }
    let mut beyond = told.len().saturating_sub(Refused::MOST);
    let first = told.into_iter().take(Refused::MOST);
    let mut refused: Vec<Refused> = first.map(|told| told.refused(text)).collect();
    if let Err(more) = meant {
        // what a line that was not understood would have said is not missed a second time
        let there = more
            .into_iter()
            .filter(|one| one.read != NOTHING && !one.read.starts_with("a closed outline"));
        refused.extend(there);
    }
    refused.sort_by_key(|one| (one.line, one.column));
    refused.dedup_by_key(|one| (one.line, one.column));
    for one in &mut refused {
        beyond += std::mem::take(&mut one.beyond);
    }
    beyond += refused.len().saturating_sub(Refused::MOST);
    refused.truncate(Refused::MOST);
    if let Some(last) = refused.last_mut() {
        last.beyond = beyond;
    }
    Err(refused)
}

/// What `meaning` reads where nothing stands.
const NOTHING: &str = "nothing";

/// The shape that the reader has filled; it sets only keys that the shape has, with values of their kinds.
fn shape<T: DeserializeOwned>(sheet: Value) -> Result<T, Vec<Refused>> {
    serde_json::from_value(sheet).map_err(|error| {
        vec![Refused {
            line: 1,
            column: 1,
            shown: String::new(),
            place: "the file".to_owned(),
            read: "this sheet".to_owned(),
            expected: format!("a walk or a cut list: {error}"),
            example: "room Bed 2".to_owned(),
            beyond: 0,
        }]
    })
}
