//! From the shape of a file to what the planner takes: every value is judged, and all that cannot be is told at once,
//! each with its place, what was read, what was expected and a right example. What can be but is not believed is left to
//! the planner's findings.

mod no_length;
mod pieces;
mod rooms;
mod setup;

use std::ops::Range;

use shared_model::{Angle, Length, Unit};

use super::number::{Written, decimal_text};
use super::places::{Source, Sources};
use super::position::{self, Found, Step};
use super::refused::Refused;
use super::shown::shown;
use super::words::{listed, nearest};

pub use pieces::cut_list;
pub use rooms::walk;

/// More stretches or pieces than this are no level: the largest storey that was measured has 202.
const MOST_STRETCHES: usize = 10_000;

/// A value's place: the steps that lead to it, and the name of the room or moulding in which it is.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Spot {
    steps: Vec<Step>,
    name: Option<String>,
}

impl Spot {
    /// The value of a key.
    fn key(&self, key: &'static str) -> Spot {
        let mut spot = self.clone();
        spot.steps.push(Step::Key(key));
        spot
    }

    /// An element of a list that is the value of a key.
    fn element(&self, key: &'static str, index: usize) -> Spot {
        let mut spot = self.key(key);
        spot.steps.push(Step::Index(index));
        spot
    }

    /// In the room or the moulding of this name.
    fn named(mut self, name: &str) -> Spot {
        self.name = Some(name.to_owned());
        self
    }
}

/// One thing that cannot be.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Told {
    spot: Spot,
    /// What stands there, where the text itself would not say it.
    read: Option<String>,
    /// The text that was judged, and the byte of it at which it goes wrong.
    within: Option<(String, usize)>,
    expected: String,
    example: String,
    /// What stands there as it may have been meant: a better example.
    meant: Option<String>,
}

/// Collects what cannot be, and knows the file's unit.
pub struct Judge<'a> {
    sources: &'a Sources<'a>,
    unit: Unit,
    told: Vec<Told>,
}

/// What a length may be in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Least {
    Zero,
    MoreThanZero,
}

impl<'a> Judge<'a> {
    fn of(sources: &'a Sources<'a>) -> Judge<'a> {
        Judge {
            sources,
            unit: Unit::Inch,
            told: Vec::new(),
        }
    }

    fn tell(&mut self, spot: Spot, expected: impl Into<String>, example: impl Into<String>) {
        self.told.push(Told {
            spot,
            read: None,
            within: None,
            expected: expected.into(),
            example: example.into(),
            meant: None,
        });
    }

    fn tell_read(&mut self, spot: Spot, read: String, expected: &str, example: &str) {
        self.told.push(Told {
            spot,
            read: Some(read),
            within: None,
            expected: expected.to_owned(),
            example: example.to_owned(),
            meant: None,
        });
    }

    /// A length, or no length where it cannot be one.
    fn length(&mut self, spot: Spot, written: &Written, least: Least, example: &str) -> Length {
        let unit = self.sources.find(&spot.steps).unit.unwrap_or(self.unit);
        let (mut within, mut meant) = (None, None);
        let expected = match (written.length(unit), least) {
            _ if written.0.trim_start().starts_with('-') => match least {
                Least::Zero => "a length of 0 or more".to_owned(),
                Least::MoreThanZero => "a length of more than 0".to_owned(),
            },
            (Ok(length), Least::MoreThanZero) if length <= Length::ZERO => {
                "a length of more than 0".to_owned()
            }
            (Ok(length), Least::Zero) if length < Length::ZERO => {
                "a length of 0 or more".to_owned()
            }
            (Ok(length), _) => return length,
            (Err(error), _) => {
                within = Some((written.0.clone(), error.at));
                let why = no_length::why(&written.0, &error);
                meant = why.example;
                why.expected
            }
        };
        self.tell(spot, expected, example);
        if let Some(told) = self.told.last_mut() {
            told.within = within;
            told.meant = meant;
        }
        Length::ZERO
    }

    /// An angle within these bounds in hundredths of a degree.
    fn angle(
        &mut self,
        spot: Spot,
        degrees: f64,
        bounds: Range<u16>,
        expected: &str,
        example: &str,
    ) -> Angle {
        if let Ok(angle) = Angle::read(&decimal_text(degrees))
            && bounds.contains(&angle.in_hundredths())
        {
            return angle;
        }
        self.tell(spot, expected, example);
        Angle::RIGHT
    }

    /// A corner's gauge angle, 90 where none is given.
    fn gauge(&mut self, spot: Spot, degrees: Option<f64>) -> Angle {
        let Some(degrees) = degrees else {
            return Angle::RIGHT;
        };
        let mut expected = "more than 0 and less than 180 degrees, as an angle finder laid in or on the corner reads it".to_owned();
        if degrees > 180.0 && degrees < 360.0 {
            let (here, there) = (decimal_text(degrees), decimal_text(360.0 - degrees));
            expected.push_str(&format!(
                ": what is {here} seen from one side is {there} from the other"
            ));
        }
        self.angle(spot, degrees, 1..18_000, &expected, "\"gauge\": 92")
    }

    /// A count that planning can take.
    fn at_most(&mut self, spot: Spot, count: usize, most: usize, what: &str) {
        if count > most {
            let (read, expected) = (format!("{count} {what}"), format!("at most {most} {what}"));
            self.tell_read(spot, read, &expected, "a level in several files");
        }
    }

    /// One of the words of a table.
    fn choice<T: Copy>(
        &mut self,
        spot: Spot,
        word: &str,
        table: &[(&'static str, T)],
    ) -> Option<T> {
        if let Some((_, meant)) = table.iter().find(|(right, _)| *right == word) {
            return Some(*meant);
        }
        let words = listed(table);
        let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
        let example = nearest(word, words.iter().copied()).unwrap_or(words[0]);
        let key = spot.steps.iter().rev().find_map(|step| match step {
            Step::Key(key) => Some(*key),
            Step::Index(_) => None,
        });
        let example = format!("\"{}\": \"{example}\"", key.unwrap_or_default());
        self.tell(spot, one_of(&quoted), example);
        None
    }

    /// A name that can be read on a screen and on paper.
    fn name(&mut self, spot: Spot, name: &str, example: &str) {
        let unseen = |c: char| {
            // marks that turn the direction of the writing change what stands around them
            c.is_control()
                || matches!(c, '\u{200e}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
        };
        if name.trim().is_empty() || name.chars().any(unseen) {
            self.tell(
                spot,
                "a name on one line, with at least one letter or digit",
                example,
            );
        }
    }

    /// What was read, or all that cannot be.
    fn verdict<T>(self, value: T) -> Result<T, Vec<Refused>> {
        if self.told.is_empty() {
            return Ok(value);
        }
        let refused = |told: &Told| refused(told, self.sources);
        let mut list: Vec<Refused> = self.told.iter().take(Refused::MOST).map(refused).collect();
        let beyond = self.told.len() - list.len();
        if let Some(last) = list.last_mut() {
            last.beyond = beyond;
        }
        Err(Refused::in_order(list))
    }
}

/// One thing as it is told, in the words of the file that holds it.
fn refused(told: &Told, sources: &Sources) -> Refused {
    let Source {
        places,
        file,
        steps,
        ..
    } = sources.find(&told.spot.steps);
    let text = places.text();
    let found = places.find(&steps);
    let marked = match &found {
        Found::Value(range) => part_of(text, range, told.within.as_ref()),
        Found::Absent(range) => range.start..range.start,
    };
    let (line, column) = position::line_and_column(text, marked.start);
    let read = match (&told.read, found) {
        (Some(read), _) => read.clone(),
        (None, Found::Value(range)) => places.read(range),
        (None, Found::Absent(_)) => Refused::NOTHING.to_owned(),
    };
    Refused {
        file: file.map(str::to_owned),
        line,
        column,
        shown: shown(text, marked),
        place: places.words(&steps, told.spot.name.as_deref()),
        read,
        expected: places.expected(&told.expected),
        example: match &told.meant {
            Some(meant) => places.meant(meant),
            None => places.in_unit(places.example(&steps, &told.example)),
        },
        beyond: 0,
    }
}

/// The part of a value at which it goes wrong, as far as a space or a comma; all of it where that is not known.
fn part_of(text: &str, range: &Range<usize>, within: Option<&(String, usize)>) -> Range<usize> {
    let raw = &text[range.clone()];
    let part = || {
        let (written, at) = within?;
        let quoted = raw.strip_prefix('"').and_then(|raw| raw.strip_suffix('"'));
        let offset = match quoted {
            Some(inner) if inner == written => 1,
            _ if raw == written => 0,
            _ => return None,
        };
        let rest = written.get(*at..)?;
        let first = rest.chars().next()?.len_utf8();
        let ends = |c: char| c.is_whitespace() || c == ',';
        let length = rest[first..]
            .find(ends)
            .map_or(rest.len(), |end| first + end);
        let start = range.start + offset + at;
        Some(start..start + length)
    };
    part().unwrap_or_else(|| range.clone())
}

/// Words in a row: `a`, `a or b`, `a, b or c`.
fn one_of(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [word] => word.clone(),
        [words @ .., last] => format!("{} or {last}", words.join(", ")),
    }
}
