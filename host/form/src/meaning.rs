//! From the shape of a file to what the planner takes: every value is judged, and all that cannot be is told at once,
//! each with its place, what was read, what was expected and a right example. What can be but is not believed is left to
//! the planner's findings.

mod pieces;
mod rooms;
mod setup;

use std::fmt;
use std::ops::Range;

use shared_model::{Angle, Length, Unit};

use super::number::{Written, decimal_text};
use super::places::Places;
use super::position::{self, Found, Step};
use super::shown::{shown, visible_text};
use super::words::{listed, nearest};

pub use pieces::cut_list;
pub use rooms::walk;

/// More stretches or pieces than this are no level: the largest storey that was measured has 202.
const MOST_STRETCHES: usize = 10_000;

/// A value's place in the file, as steps and in words.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Spot {
    steps: Vec<Step>,
    words: String,
}

impl Spot {
    /// The value of a key.
    fn key(&self, key: &'static str) -> Spot {
        self.step(Step::Key(key), key)
    }

    /// An element of a list that is the value of a key; `words` says which it is.
    fn element(&self, key: &'static str, index: usize, words: &str) -> Spot {
        let mut spot = self.clone();
        spot.steps.push(Step::Key(key));
        spot.step(Step::Index(index), words)
    }

    fn step(&self, step: Step, words: &str) -> Spot {
        let mut spot = self.clone();
        spot.steps.push(step);
        if !spot.words.is_empty() {
            spot.words.push_str(", ");
        }
        spot.words.push_str(words);
        spot
    }
}

/// One thing that cannot be.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Told {
    spot: Spot,
    /// What stands there, where the text itself would not say it.
    read: Option<String>,
    expected: String,
    example: String,
}

/// Collects what cannot be, and knows the file's unit.
pub struct Judge {
    unit: Unit,
    told: Vec<Told>,
}

/// What a length may be in its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Least {
    Zero,
    MoreThanZero,
}

impl Judge {
    fn new() -> Judge {
        Judge {
            unit: Unit::Inch,
            told: Vec::new(),
        }
    }

    fn tell(&mut self, spot: Spot, expected: impl Into<String>, example: impl Into<String>) {
        self.told.push(Told {
            spot,
            read: None,
            expected: expected.into(),
            example: example.into(),
        });
    }

    fn tell_read(&mut self, spot: Spot, read: String, expected: &str, example: &str) {
        self.told.push(Told {
            spot,
            read: Some(read),
            expected: expected.to_owned(),
            example: example.to_owned(),
        });
    }

    /// A length, or no length where it cannot be one.
    fn length(&mut self, spot: Spot, written: &Written, least: Least, example: &str) -> Length {
        let expected = match (written.length(self.unit), least) {
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
            (Err(sentence), _) => format!("a length: {sentence}"),
        };
        self.tell(spot, expected, example);
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
        self.angle(
            spot,
            degrees,
            1..18_000,
            "more than 0 and less than 180 degrees, as an angle finder laid in or on the corner reads it",
            "\"gauge\": 92",
        )
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
    fn verdict<T>(self, value: T, places: &dyn Places) -> Result<T, Vec<Refused>> {
        if self.told.is_empty() {
            return Ok(value);
        }
        let refused = |told: &Told| Refused::of(told, places);
        let mut list: Vec<Refused> = self.told.iter().take(Refused::MOST).map(refused).collect();
        list.sort_by_key(|refused| (refused.line, refused.column));
        let beyond = self.told.len() - list.len();
        if let Some(last) = list.last_mut() {
            last.beyond = beyond;
        }
        Err(list)
    }
}

/// One thing in a file that cannot be, as it is told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
    /// The line itself, as much of it as a screen shows, and under it the mark of the place.
    pub shown: String,
    /// The place in words.
    pub place: String,
    /// What was read there.
    pub read: String,
    /// What was expected.
    pub expected: String,
    /// A right example.
    pub example: String,
    /// How many more there are that are not told; on the last one only.
    pub beyond: usize,
}

impl Refused {
    /// So many are told; a file with more is not one that was meant.
    pub const MOST: usize = 100;
    /// More letters of what was read are not repeated.
    const LETTERS: usize = 60;

    fn of(told: &Told, places: &dyn Places) -> Refused {
        let (text, steps) = (places.text(), &told.spot.steps);
        let found = places.find(steps);
        let (line, column) = position::line_and_column(text, found.start());
        let marked = match &found {
            Found::Value(range) => range.clone(),
            Found::Absent(range) => range.start..range.start,
        };
        let read = match (&told.read, found) {
            (Some(read), _) => read.clone(),
            (None, Found::Value(range)) => shortened(&text[range]),
            (None, Found::Absent(_)) => "nothing".to_owned(),
        };
        Refused {
            line,
            column,
            shown: shown(text, marked),
            place: places.words(&told.spot.words),
            read,
            expected: places.expected(&told.expected),
            example: places.example(steps, &told.example),
            beyond: 0,
        }
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}:{}: {}", self.line, self.column, self.place)?;
        for line in self.shown.lines() {
            writeln!(f, "    {line}")?;
        }
        writeln!(f, "    read     {}", visible_text(&self.read))?;
        writeln!(f, "    expected {}", visible_text(&self.expected))?;
        write!(f, "    example  {}", visible_text(&self.example))?;
        match self.beyond {
            0 => Ok(()),
            1 => write!(f, "\nand 1 more"),
            more => write!(f, "\nand {more} more"),
        }
    }
}

pub fn shortened(text: &str) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() <= Refused::LETTERS {
        return line;
    }
    let head: String = line.chars().take(Refused::LETTERS).collect();
    format!("{head}...")
}

/// Words in a row: `a`, `a or b`, `a, b or c`.
fn one_of(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [word] => word.clone(),
        [words @ .., last] => format!("{} or {last}", words.join(", ")),
    }
}
