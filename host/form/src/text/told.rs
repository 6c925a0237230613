//! What a reader did not understand, until it is told with its place. What values mean is left to `meaning`.

use std::ops::Range;

use crate::places::Places;
use crate::position;
use crate::refused::Refused;
use crate::shown::shown;

/// Something that was not understood.
pub struct Told {
    /// The bytes that were not.
    pub range: Range<usize>,
    /// What was expected there.
    pub expected: String,
    /// A right example.
    pub example: String,
}

impl Told {
    /// All of it as it is told, a flood cut short and counted.
    pub fn refused_all(all: Vec<Told>, places: &dyn Places) -> Vec<Refused> {
        let beyond = all.len().saturating_sub(Refused::MOST);
        let told = all.into_iter().take(Refused::MOST);
        let mut refused: Vec<Refused> = told.map(|told| told.refused(places)).collect();
        if let Some(last) = refused.last_mut() {
            last.beyond = beyond;
        }
        refused
    }

    fn refused(self, places: &dyn Places) -> Refused {
        let text = places.text();
        let (line, column) = position::line_and_column(text, self.range.start);
        Refused {
            file: None,
            line,
            column,
            shown: shown(text, self.range.clone()),
            place: places.row(self.range.start),
            read: match self.range.is_empty() {
                true => Refused::NOTHING.to_owned(),
                false => places.read(self.range),
            },
            expected: self.expected,
            example: places.in_unit(self.example),
            beyond: 0,
        }
    }
}
