//! Reads a text sheet, line by line, into the shapes that JSON is read into. What is not understood is told and left out,
//! so that the rest of the file is still looked at; rooms and pieces are read in `rooms`, what values mean is left to
//! `meaning`.

use std::collections::HashMap;
use std::ops::Range;

use serde_json::{Map, Value, json};

use super::ends::Stretch;
use super::lines::{Clause, Line, Part, clauses, lines};
use super::table::{BACK_CUT, ENTRIES, Entry, Kind, OPENINGS, TRUE_SWING, Under, words};
use super::told::Told;
use super::values::value;
use super::with_name::WithName;
use crate::position::Step;
use crate::refused::Refused;
use crate::words::nearest;

/// What a file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// Rooms as measured.
    Walk,
    /// Pieces whose ends are decided.
    CutList,
    /// Saw, stock and ways of working, for levels that name it.
    Setup,
}

/// What has been read so far.
pub struct Reader<'a> {
    pub(super) text: &'a str,
    /// The shape, as JSON would hold it.
    pub sheet: Value,
    /// Where its values stand.
    pub places: HashMap<Vec<Step>, Range<usize>>,
    /// What was not understood.
    pub told: Vec<Told>,
    /// What the file holds.
    pub holds: Holds,
    /// Rooms and pieces come from a table, not from lines.
    pub table: bool,
    /// The stretches of each room.
    pub stretches: Vec<Vec<Stretch>>,
    /// The room's name above, for pieces.
    pub room: Option<(String, Range<usize>)>,
    /// The moulding said under it.
    pub with: Option<(String, Range<usize>)>,
    /// Names in which the word `with` stands: what follows may be the moulding.
    pub with_names: Vec<WithName>,
    /// A line that stands in no place for it, of the kind of which a file has many, has been told.
    pub misplaced: bool,
}

/// A right piece of a cut list.
pub const PIECE: &str = "124 3/8 left cope 92 right square";

impl<'a> Reader<'a> {
    /// Reads a level.
    pub fn of(text: &'a str) -> Reader<'a> {
        let lines = lines(text);
        let cut_list = lines.iter().any(|line| line.whole.plain() == "cut list");
        let holds = match cut_list {
            true => Holds::CutList,
            false => Holds::Walk,
        };
        Reader::empty(text, holds).all(&lines)
    }

    /// Reads a set-up file.
    pub fn of_setup(text: &'a str) -> Reader<'a> {
        Reader::empty(text, Holds::Setup).all(&lines(text))
    }

    /// Nothing has been read yet.
    pub fn empty(text: &'a str, holds: Holds) -> Reader<'a> {
        let sheet = match holds {
            Holds::CutList => json!({ "cut_list": 1, "level": "", "mouldings": [], "pieces": [] }),
            Holds::Walk => json!({ "walk": 1, "level": "", "mouldings": [], "rooms": [] }),
            Holds::Setup => json!({ "mouldings": [] }),
        };
        Reader {
            text,
            sheet,
            places: HashMap::new(),
            told: Vec::new(),
            holds,
            table: false,
            stretches: Vec::new(),
            room: None,
            with: None,
            with_names: Vec::new(),
            misplaced: false,
        }
    }

    /// The same reader over another text, in which what was read stands at other bytes.
    pub fn over<'b>(self, text: &'b str, at: impl Fn(&Range<usize>) -> Range<usize>) -> Reader<'b> {
        let mut told = self.told;
        for one in &mut told {
            one.range = at(&one.range);
        }
        let moved = self
            .places
            .into_iter()
            .map(|(steps, range)| (steps, at(&range)));
        Reader {
            text,
            sheet: self.sheet,
            places: moved.collect(),
            told,
            holds: self.holds,
            table: self.table,
            stretches: self.stretches,
            room: None,
            with: None,
            with_names: Vec::new(),
            misplaced: self.misplaced,
        }
    }

    fn all(mut self, lines: &[Line]) -> Reader<'a> {
        for line in lines {
            self.line(line);
        }
        self.close_room();
        self
    }

    /// Reads a line.
    pub fn line(&mut self, line: &Line) {
        let head_only = self.holds == Holds::Setup || self.table;
        if head_only && !self.fits_head(line) {
            return;
        }
        let word = line.head.text.to_lowercase();
        if let Some(entry) = ENTRIES.iter().find(|entry| entry.word == word) {
            return self.entry(line, entry);
        }
        match word.as_str() {
            "cut" if line.whole.plain() == "cut list" => {}
            "setup" => self.setup_file(line),
            "true" => self.true_45(line),
            "back" => self.back_cut(line),
            "old" => self.old_house(line),
            "moulding" => self.moulding(line),
            "offcut" => self.offcuts(line),
            "room" => self.room(line),
            "with" => self.with(line),
            "open" => self.in_room(line, "closed", false.into()),
            "island" => self.in_room(line, "ring", "island".into()),
            "hung" => self.stretch(line, "existing", &line.rest),
            "wall" => self.stretch(line, "wall", &line.rest),
            word if OPENINGS.contains(&word) => self.stretch(line, "opening", &line.rest),
            word if word.starts_with(begins_length) && self.holds == Holds::CutList => {
                self.piece(line)
            }
            word if word.starts_with(begins_length) => self.stretch(line, "wall", &line.whole),
            word if word.contains(|c: char| c.is_ascii_digit()) => {
                let expected = "a length that begins with a digit: a letter stands here";
                self.tell(&line.head, expected, "31 1/2");
            }
            word => {
                // beyond what is told no word is worth the search
                let sought = self.told.len() < Refused::MOST;
                let meant = sought.then(|| nearest(word, words())).flatten();
                self.told_unknown(line, meant);
            }
        }
    }

    /// Whether a line may stand in a set-up file, or above a table; what may not is told.
    fn fits_head(&mut self, line: &Line) -> bool {
        const EXAMPLE: &str = "saw kerf 1/8";
        let word = line.head.text.to_lowercase();
        let of_level =
            matches!(word.as_str(), "level" | "setup" | "old") || line.whole.plain() == "cut list";
        if self.table && of_level {
            return true;
        }
        if word == "setup" {
            let expected = "no such line here: a set-up file names no other, so that none can lead back to itself";
            self.tell(&line.head, expected, EXAMPLE);
            return false;
        }
        let fits = match ENTRIES.iter().find(|entry| entry.word == word) {
            Some(entry) => !matches!(entry.under, Under::Room | Under::Diagonal) && !of_level,
            None => {
                matches!(word.as_str(), "moulding" | "offcut" | "true" | "back")
                    || !words().any(|known| known == word) && !word.starts_with(begins_length)
            }
        };
        if !fits && !self.misplaced {
            let expected = match self.table {
                true => "saw, stock and ways of working only, above the row that names the columns",
                false => {
                    "saw, stock and ways of working only: a level's name, its rooms and its pieces stand in the file that names this one"
                }
            };
            self.tell(&line.head, expected, EXAMPLE);
            self.misplaced = true;
        }
        fits
    }

    /// A file of saw and stock that the level names.
    fn setup_file(&mut self, line: &Line) {
        if let Some(name) = self.named(line, "setup my-saw.txt") {
            let steps = self.push(&[], "setup", name.into(), &line.whole.range);
            self.places.insert(steps, line.rest.range.clone());
        }
    }

    /// Notes what was not understood.
    pub fn tell(&mut self, part: &Part, expected: impl Into<String>, example: impl Into<String>) {
        self.told.push(Told {
            range: part.range.clone(),
            expected: expected.into(),
            example: example.into(),
        });
    }

    pub(super) fn entry(&mut self, line: &Line, entry: &'static Entry) {
        if entry.walk_only && self.holds == Holds::CutList {
            return self.tell(
                &line.head,
                "no such line in a cut list: its ends are decided",
                PIECE,
            );
        }
        let words: Vec<&'static str> = entry.clauses.iter().map(|(word, _)| *word).collect();
        let (first, mut clauses) = clauses(self.text, &line.rest, &words);
        if entry.under == Under::Diagonal {
            without_is(self.text, &mut clauses);
        }
        let first = match entry.value {
            // a name may hold any word
            Some((_, Kind::Name)) => line.rest.clone(),
            _ => first,
        };
        let Some(base) = self.base(line, entry) else {
            return;
        };
        if first.text.is_empty() && clauses.is_empty() {
            return self.tell(&line.head, "a value after this word", entry.example);
        }
        match entry.value {
            Some(setting) if !first.text.is_empty() => self.setting(&base, setting, &first, entry),
            None if !first.text.is_empty() => {
                let expected = format!("one of the words {} here", words.join(", "));
                self.tell(&first, expected, entry.example);
            }
            _ => {}
        }
        for Clause { word, at, value } in clauses {
            let Some((_, setting)) = entry.clauses.iter().find(|(one, _)| *one == word) else {
                continue;
            };
            if value.text.is_empty() && setting.1 != Kind::Flag {
                self.tell(&at, "a value after this word", entry.example);
                continue;
            }
            let part = if value.text.is_empty() { &at } else { &value };
            match setting.1 {
                Kind::Flag if value.text.is_empty() => {
                    self.set(&base, setting.0, true.into(), part, entry.example)
                }
                _ => self.setting(&base, *setting, part, entry),
            }
        }
    }

    /// Where a line's values go; a new element is made for it.
    fn base(&mut self, line: &Line, entry: &Entry) -> Option<Vec<Step>> {
        let last = |list: &'static str, sheet: &Value| -> Option<Vec<Step>> {
            let index = sheet[list].as_array()?.len().checked_sub(1)?;
            Some(vec![Step::Key(list), Step::Index(index)])
        };
        let base = match entry.under {
            Under::Sheet => Some(Vec::new()),
            Under::Key(key) => Some(vec![Step::Key(key)]),
            Under::True45 => Some(vec![Step::Key("saw"), Step::Key("true_45")]),
            Under::New(list) => Some(self.push(
                &[],
                list,
                json!({ "over": "", "add": "" }),
                &line.whole.range,
            )),
            Under::Moulding => last("mouldings", &self.sheet),
            Under::Stick => last("mouldings", &self.sheet)
                .map(|base| self.push(&base, "sticks", json!({ "length": "" }), &line.whole.range)),
            Under::Room => last("rooms", &self.sheet),
            Under::Diagonal => last("rooms", &self.sheet).map(|base| {
                let diagonal = json!({ "from": 0, "to": 0, "length": "" });
                self.push(&base, "diagonals", diagonal, &line.whole.range)
            }),
        };
        if base.is_none() {
            let (what, example) = match entry.under {
                Under::Moulding | Under::Stick => ("a moulding", "moulding base"),
                _ => ("a room", "room Bed 2"),
            };
            self.tell(&line.head, format!("{what} above this line"), example);
        }
        base
    }

    fn setting(
        &mut self,
        base: &[Step],
        (key, kind): (&'static str, Kind),
        part: &Part,
        entry: &Entry,
    ) {
        let words: Vec<&'static str> = entry.clauses.iter().map(|(word, _)| *word).collect();
        let plain = matches!(
            kind,
            Kind::Length | Kind::LengthOrNone | Kind::Degrees | Kind::Number | Kind::Count
        );
        if plain && self.told_stray_in(part, &words, entry.example) {
            return;
        }
        match value(part, kind) {
            Ok(value) => self.set(base, key, value, part, entry.example),
            Err(expected) => self.tell(part, expected, entry.example),
        }
    }

    /// Sets a value, once.
    pub fn set(
        &mut self,
        base: &[Step],
        key: &'static str,
        value: Value,
        part: &Part,
        example: &str,
    ) {
        let steps = [base, &[Step::Key(key)]].concat();
        if self.places.contains_key(&steps) {
            return self.tell(part, "this only once", example);
        }
        if let Some(object) = self.at(base).as_object_mut() {
            object.insert(key.to_owned(), value);
        }
        self.places.insert(steps, part.range.clone());
    }

    /// The value at these steps; what is not there yet is made.
    pub(super) fn at(&mut self, steps: &[Step]) -> &mut Value {
        let mut value = &mut self.sheet;
        for step in steps {
            value = match step {
                Step::Key(key) => {
                    let next = &mut value[*key];
                    if next.is_null() {
                        *next = Value::Object(Map::new());
                    }
                    next
                }
                Step::Index(index) => &mut value[*index],
            };
        }
        value
    }

    /// A new element of a list, and the steps to it; the bytes are its line's or its row's.
    pub fn push(
        &mut self,
        base: &[Step],
        list: &'static str,
        element: Value,
        range: &Range<usize>,
    ) -> Vec<Step> {
        let holder = self.at(base);
        if holder[list].is_null() {
            holder[list] = json!([]);
        }
        let index = holder[list].as_array().map_or(0, Vec::len);
        if let Some(elements) = holder[list].as_array_mut() {
            elements.push(element);
        }
        let steps = [base, &[Step::Key(list), Step::Index(index)]].concat();
        self.places.insert(steps.clone(), range.clone());
        steps
    }

    pub(super) fn named(&mut self, line: &Line, example: &str) -> Option<String> {
        match value(&line.rest, Kind::Name) {
            Ok(Value::String(name)) if !line.rest.text.is_empty() => Some(name),
            Err(expected) => {
                self.tell(&line.rest, expected, example);
                None
            }
            _ => {
                self.tell(&line.head, "a name after this word", example);
                None
            }
        }
    }
}

/// A length across without the word before it: `across 0 to 2 84 7/8`.
fn without_is(text: &str, clauses: &mut Vec<Clause>) {
    let said = clauses.iter().any(|clause| clause.word == "is");
    let Some(to) = clauses.iter_mut().find(|clause| clause.word == "to") else {
        return;
    };
    let words = to.value.words();
    let (false, [corner, length, ..]) = (said, words.as_slice()) else {
        return;
    };
    let value = Part::of(text, length.range.start..to.value.range.end);
    let at = length.clone();
    to.value = corner.clone();
    clauses.push(Clause {
        word: "is",
        at,
        value,
    });
}

/// Whether a line that begins so is a wall or a piece.
fn begins_length(letter: char) -> bool {
    letter.is_numeric() || matches!(letter, '-' | '+' | '.' | ',')
}

/// A right line that begins with this word.
pub(super) fn example_of(word: &str) -> String {
    let entry = ENTRIES.iter().find(|entry| entry.word == word);
    match (entry, word) {
        (Some(entry), _) => entry.example.to_owned(),
        (_, "cut") => "cut list".to_owned(),
        (_, "setup") => "setup my-saw.txt".to_owned(),
        (_, "true") => TRUE_SWING.example.to_owned(),
        (_, "back") => BACK_CUT.example.to_owned(),
        (_, "old") => "old house".to_owned(),
        (_, "moulding" | "with") => format!("{word} base"),
        (_, "room") => "room Bed 2".to_owned(),
        (_, "open" | "island") => word.to_owned(),
        (_, "offcut") => "offcut 61 1/4".to_owned(),
        _ => format!("{word} 37 1/2"),
    }
}
