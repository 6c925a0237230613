//! The set-up files that a level names: they are read, and what they say is put into the level where it says nothing
//! itself. How a line is read is left to `text`, what the values mean to `meaning`.

mod merge;

use std::collections::{HashMap, HashSet};
use std::path::{Path, PathBuf};

use planner::walk::{Setup, Sheet, Walk};
use serde_json::{Value, json};
use shared_model::Unit;

use super::Refusal;
use super::csv;
use super::places::{Origin, Places};
use super::position::{self, Found, Step};
use super::refused::{Refused, shortened};
use super::shown::shown;
use super::source::{Source, with_line_ends};
use super::text::places::TextPlaces;
use super::text::reader::Reader;
use super::text::told::Told;
use super::words::UNITS;
use merge::{Merging, list};

const EXAMPLE: &str = "\"setup\": [ \"my-saw.txt\" ]";

/// Where the files are that a level names.
pub trait Shelf {
    /// The file of this name.
    ///
    /// # Errors
    /// A sentence that names the file.
    fn take(&self, name: &str) -> Result<Source, String>;

    /// What the level's own file is, where it is a file.
    fn level(&self) -> Option<&Path> {
        None
    }
}

/// Files on this computer, named from a level's own folder on.
pub struct Folder {
    folder: PathBuf,
    level: Option<PathBuf>,
}

impl Folder {
    /// The folder of a level's file; the current one for a level that is no file.
    pub fn of(level: &Source) -> Folder {
        let folder = level
            .path
            .is_some()
            .then(|| Path::new(&level.name).parent());
        Folder {
            folder: folder.flatten().map(Path::to_owned).unwrap_or_default(),
            level: level.path.clone(),
        }
    }
}

impl Shelf for Folder {
    fn take(&self, name: &str) -> Result<Source, String> {
        Source::read_file(&self.folder.join(name), "lines for the saw and the stock")
    }

    fn level(&self) -> Option<&Path> {
        self.level.as_deref()
    }
}

/// Files at hand, by name.
impl Shelf for &[(&str, &str)] {
    fn take(&self, name: &str) -> Result<Source, String> {
        let found = self.iter().find(|(one, _)| *one == name);
        let (name, text) = found.ok_or_else(|| format!("{name}: there is no such file"))?;
        Ok(Source {
            name: (*name).to_owned(),
            text: (*text).to_owned(),
            path: None,
        })
    }
}

/// A set-up file that has been read.
pub struct SetupFile {
    /// Its name as it is told.
    pub name: String,
    /// What it says, as JSON would hold it.
    pub sheet: Value,
    /// Where that stands.
    pub places: TextPlaces<'static>,
    /// The unit of its bare numbers.
    pub unit: Unit,
}

/// Reads one set-up file as far as it can be understood, and what in it was not.
fn read(source: Source) -> (SetupFile, Vec<Refused>) {
    let Source { name, text, .. } = source;
    let text = with_line_ends(&text).into_owned();
    let looks_like_json = text.trim_start().starts_with(['{', '[']);
    let Reader {
        sheet,
        places,
        told,
        ..
    } = Reader::of_setup(if looks_like_json { "" } else { &text });
    let said = sheet["unit"].as_str();
    let unit = UNITS.iter().find(|(word, _)| Some(*word) == said);
    let unit = unit.map_or(Unit::Inch, |(_, unit)| *unit);
    let places = TextPlaces {
        text: text.clone().into(),
        places,
    };
    let looks_like_table = csv::delimiter(&text).is_some() || csv::has_no_header(&text);
    let other = match (looks_like_json, looks_like_table && !told.is_empty()) {
        (true, _) => Some("what looks like JSON"),
        (_, true) => Some("what looks like a table of a spreadsheet"),
        _ => None,
    };
    let refused = match other {
        Some(read) => {
            let expected = "a text sheet with lines for the saw and the stock";
            vec![Refused::whole(read, expected, "saw kerf 1/8")]
        }
        None => Told::refused_all(told, &places),
    };
    let refused = refused.into_iter().map(|one| one.in_file(&name)).collect();
    let file = SetupFile {
        name,
        sheet,
        places,
        unit,
    };
    (file, refused)
}

/// Whether a text says what set-up files say, and nothing else.
pub fn is_one(text: &str) -> bool {
    let Reader { sheet, told, .. } = Reader::of_setup(text);
    told.is_empty() && says_something(&sheet)
}

/// What the set-up files of a level came to.
#[derive(Default)]
pub struct Gathered {
    /// Those that could be found, as far as they were understood.
    pub files: Vec<SetupFile>,
    /// Where in the files the level's values stand that are not its own.
    pub origins: HashMap<Vec<Step>, Origin>,
    /// What cannot be.
    pub refused: Vec<Refused>,
    /// Some file could not be read: what it would have said is missed.
    pub incomplete: bool,
}

/// Reads the set-up files that a level names and puts what they say into it.
pub fn gather(level: &mut Value, own: &dyn Places, shelf: &dyn Shelf) -> Gathered {
    let names: Vec<String> = level["setup"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|name| name.as_str().map(str::to_owned))
        .collect();
    let mut gathered = Gathered::default();
    if names.is_empty() {
        return gathered;
    }
    let mut seen = HashSet::new();
    for (index, name) in names.iter().enumerate() {
        let steps = [Step::Key("setup"), Step::Index(index)];
        let mut tell = |expected: String| {
            let example = own.example(&steps, EXAMPLE);
            gathered
                .refused
                .push(told(own, &steps, &expected, &example));
        };
        let source = match shelf.take(name) {
            Ok(source) => source,
            Err(sentence) => {
                tell(format!("the name of a set-up file; {sentence}"));
                gathered.incomplete = true;
                continue;
            }
        };
        if source.path.is_some() && source.path.as_deref() == shelf.level() {
            tell("the name of another file: this one holds the level itself".to_owned());
            continue;
        }
        let known = source.path.clone().unwrap_or_else(|| name.into());
        if !seen.insert(known) {
            tell("each set-up file once".to_owned());
            continue;
        }
        let (file, refused) = read(source);
        gathered.incomplete |= !refused.is_empty();
        gathered.refused.extend(refused);
        gathered.files.push(file);
    }
    Merging {
        level,
        own,
        gathered: &mut gathered,
    }
    .all();
    gathered
}

/// Whether a text is meant as a set-up file, though not all in it may be understood: it says something of saw, stock or
/// ways of working, and nothing of a level's own.
pub fn is_meant(text: &str) -> bool {
    let Reader {
        sheet, misplaced, ..
    } = Reader::of_setup(text);
    let table = csv::delimiter(text).is_some() || csv::has_no_header(text);
    !table && !misplaced && says_something(&sheet)
}

fn says_something(sheet: &Value) -> bool {
    let stock = !list(sheet, "mouldings").is_empty();
    stock || sheet.as_object().is_some_and(|sheet| sheet.len() > 1)
}

/// Judges a set-up file by itself, as if each of its mouldings were used; what it says, unless something is left to the
/// levels that name it. What a level may still add is not missed.
///
/// # Errors
/// What in it cannot be.
pub fn judged(name: &str, text: &str) -> Result<Option<Setup>, Refusal> {
    const OWN: &str = "(the level's own)";
    let sheet = Reader::of_setup(text).sheet;
    let mouldings = list(&sheet, "mouldings").iter();
    let names = mouldings.filter_map(|moulding| moulding["name"].as_str());
    let rooms = names.chain([OWN]).enumerate().map(|(number, moulding)| {
        json!({ "name": number.to_string(), "moulding": moulding, "closed": false, "outline": [{ "wall": 9 }] })
    });
    let level = json!({
        "walk": 1, "level": "any", "setup": ["a set-up file"], "rooms": rooms.collect::<Vec<_>>(),
        "mouldings": [{ "name": OWN, "height": 2, "thickness": 1, "profile": 0, "offcuts": [9] }],
    });
    let shelf: &[(&str, &str)] = &[("a set-up file", text)];
    let refused = match super::sheet(&level.to_string(), &shelf) {
        Ok(Sheet::Walk(Walk { mut setup, .. })) => {
            setup.mouldings.retain(|moulding| moulding.name != OWN);
            return Ok(Some(setup));
        }
        Ok(Sheet::CutList(_)) => Vec::new(),
        Err(refused) => refused,
    };
    let told = refused
        .into_iter()
        .filter(|one| one.read != Refused::NOTHING);
    let refused: Vec<Refused> = told.map(|one| one.in_file(name)).collect();
    match refused.is_empty() {
        true => Ok(None),
        false => Err(Refusal::Content {
            file: name.to_owned(),
            refused,
        }),
    }
}

fn told(places: &dyn Places, steps: &[Step], expected: &str, example: &str) -> Refused {
    let range = match places.find(steps) {
        Found::Value(range) => range,
        Found::Absent(range) => range.start..range.start,
    };
    let text = places.text();
    let (line, column) = position::line_and_column(text, range.start);
    Refused {
        file: None,
        line,
        column,
        shown: shown(text, range.clone()),
        place: places.words(steps, None),
        read: match range.is_empty() {
            true => Refused::NOTHING.to_owned(),
            false => shortened(&places.read(range)),
        },
        expected: expected.to_owned(),
        example: example.to_owned(),
        beyond: 0,
    }
}
