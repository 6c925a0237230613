//! The text sheet: what a carpenter types in the room, one line a wall. It is read into the same shapes as JSON, with a
//! note of where every value stood, and judged by the same `meaning`.

pub mod ends;
pub mod head;
pub mod lines;
pub mod places;
pub mod reader;
mod rooms;
mod stray;
pub mod table;
pub mod told;
mod top;
pub mod values;
pub mod with_name;
pub mod writer;

use planner::walk::Sheet;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::meaning;
use super::places::{Places, Sources};
use super::refused::Refused;
use super::setup_files::{self, Gathered, Shelf};
use places::TextPlaces;
use reader::{Holds, Reader};
use told::Told;
use with_name::WithName;
pub use writer::write;

/// What a text sheet means.
///
/// # Errors
/// Everything that cannot be.
pub fn read(text: &str, shelf: &dyn Shelf) -> Result<Sheet, Vec<Refused>> {
    let Reader {
        sheet,
        places,
        told,
        holds,
        stretches,
        with_names,
        ..
    } = Reader::of(text);
    let places = TextPlaces {
        text: text.into(),
        places,
    };
    let read = Read {
        sheet,
        stretches,
        holds,
        told: Told::refused_all(told, &places),
        with_names,
    };
    read.meant(&places, shelf)
}

/// A level that has been read line by line or row by row.
pub struct Read {
    /// The shape, as JSON would hold it.
    pub sheet: Value,
    /// The stretches of each room.
    pub stretches: Vec<Vec<ends::Stretch>>,
    /// A walk or a cut list.
    pub holds: Holds,
    /// What was not understood.
    pub told: Vec<Refused>,
    /// Names in which the word `with` stands.
    pub with_names: Vec<WithName>,
}

impl Read {
    /// What it means.
    ///
    /// # Errors
    /// Everything that cannot be.
    pub fn meant(mut self, places: &dyn Places, shelf: &dyn Shelf) -> Result<Sheet, Vec<Refused>> {
        let Gathered {
            files,
            origins,
            mut refused,
            incomplete,
        } = setup_files::gather(&mut self.sheet, places, shelf);
        let told = with_name::part(&mut self.sheet, &self.with_names, incomplete);
        refused.extend(Told::refused_all(told, places));
        rooms::imply(&mut self.sheet, &self.stretches);
        let sources = Sources::of(places, &files, origins);
        let meant = match self.holds {
            Holds::CutList => shape(self.sheet)
                .and_then(|form| meaning::cut_list(&form, &sources).map(Sheet::CutList)),
            _ => shape(self.sheet).and_then(|form| meaning::walk(&form, &sources).map(Sheet::Walk)),
        };
        if self.told.is_empty() && refused.is_empty() {
            return meant;
        }
        refused.append(&mut self.told);
        refused.extend(
            meant
                .err()
                .into_iter()
                .flatten()
                .filter(|one| !missed(one, incomplete)),
        );
        Err(Refused::in_order(refused))
    }
}

/// Whether something follows only from a line that was not understood, or a file that was not there; it is not told a
/// second time.
pub fn missed(one: &Refused, incomplete: bool) -> bool {
    one.read == Refused::NOTHING
        || one.read.starts_with("a closed outline")
        || one.read == "from 0 to 0"
        || incomplete && one.expected.starts_with("a moulding of this level")
}

/// The shape that the reader has filled; it sets only keys that the shape has, with values of their kinds.
pub fn shape<T: DeserializeOwned>(sheet: Value) -> Result<T, Vec<Refused>> {
    serde_json::from_value(sheet).map_err(|error| {
        let expected = format!("a walk or a cut list: {error}");
        vec![Refused::whole("this sheet", expected, "room Bed 2")]
    })
}
