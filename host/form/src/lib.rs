//! Files in and out: a walk or a cut list is read, a plan is written. `source` gets the text, `syntax` and `meaning` tell
//! what is wrong with it; joints and pieces are left to the planner.

mod csv;
pub mod cut_list;
mod meaning;
pub mod measured;
mod number;
mod object;
mod out;
mod places;
pub mod plan;
mod position;
mod refused;
mod setup;
mod setup_files;
mod shown;
mod source;
pub mod stored;
mod syntax;
mod text;
pub mod walk;
mod words;

use planner::walk::{Setup, Sheet};
use serde::Deserialize;
use serde::de::{DeserializeOwned, IgnoredAny};
use serde_json::Value;

use places::{JsonPlaces, Sources};
use refused::Refused;
use setup_files::{Folder, Gathered, Shelf};
use shown::visible_text;
pub use source::Source;

/// Why nothing could be done with a file.
#[derive(Debug)]
pub enum Refusal {
    /// The file could not be taken as text; the sentence says why.
    Unreadable(String),
    /// The file was read, and these things in it cannot be.
    Content {
        /// The file's name.
        file: String,
        /// What cannot be; never empty.
        refused: Vec<Refused>,
    },
}

impl Refusal {
    /// All of it as a person reads it; `undone` says what is not done for it, such as `nothing is planned`.
    pub fn told(&self, undone: &str) -> String {
        match self {
            Refusal::Unreadable(sentence) => format!("{}\n", sentence.trim_end()),
            Refusal::Content { file, refused } => {
                let mut told = String::new();
                for one in refused {
                    let file = visible_text(one.file.as_ref().unwrap_or(file));
                    told.push_str(&format!("{file}:{one}\n"));
                }
                let things = match refused.len() {
                    1 if refused[0].beyond == 0 => "1 thing",
                    _ => "these things",
                };
                told + &format!("{undone}: put {things} right first\n")
            }
        }
    }
}

/// Reads a walk or a cut list with the set-up files that it names; `-` is standard input.
///
/// # Errors
/// A file cannot be read, is not in the form, or says what cannot be.
pub fn read(file: &str) -> Result<Sheet, Refusal> {
    read_source(&Source::read(file).map_err(Refusal::Unreadable)?)
}

/// Whether a file is meant as a set-up file, and not as a level that names one.
pub fn is_setup_file(source: &Source) -> bool {
    setup_files::is_meant(&source::with_line_ends(&source.text))
}

/// What a set-up file says by itself; none where it leaves something to the levels that name it.
///
/// # Errors
/// It says what cannot be, or what cannot be read.
pub fn read_setup_file(source: &Source) -> Result<Option<Setup>, Refusal> {
    setup_files::judged(&source.name, &source::with_line_ends(&source.text))
}

/// Reads a walk or a cut list from its text, with the set-up files that it names.
///
/// # Errors
/// A file cannot be read, is not in the form, or says what cannot be.
pub fn read_source(source: &Source) -> Result<Sheet, Refusal> {
    sheet(&source.text, &Folder::of(source)).map_err(|refused| Refusal::Content {
        file: source.name.clone(),
        refused,
    })
}

/// Reads a walk or a cut list that is at hand already; `name` is what the refusal calls it, `files` are those that it may
/// name.
///
/// # Errors
/// It is not in the form, or says what cannot be.
pub fn read_text(name: &str, text: &str, files: &[(&str, &str)]) -> Result<Sheet, Refusal> {
    sheet(text, &files).map_err(|refused| Refusal::Content {
        file: name.to_owned(),
        refused,
    })
}

fn sheet(text: &str, shelf: &dyn Shelf) -> Result<Sheet, Vec<Refused>> {
    let text = &*source::with_line_ends(text);
    if text.trim_start().starts_with(['{', '[']) {
        return json(text, shelf);
    }
    match csv::delimiter(text) {
        Some(delimiter) => csv::read(text, delimiter, shelf),
        None => text::read(text, shelf).map_err(|refused| match csv::has_no_header(text) {
            true => vec![Refused::whole(
                "rows of cells, and none that names their columns",
                "a row that names the columns above the walls or pieces, with at least room and length",
                "room,kind,length,corner,gauge",
            )],
            false if setup_files::is_one(text) => vec![Refused::whole(
                "a set-up file: saw, stock and ways of working, and no room",
                "a level, which names this file in the line setup",
                "setup my-saw.txt",
            )],
            false => refused,
        }),
    }
}

fn json(text: &str, shelf: &dyn Shelf) -> Result<Sheet, Vec<Refused>> {
    #[derive(Deserialize)]
    struct Kinds {
        walk: Option<IgnoredAny>,
        cut_list: Option<IgnoredAny>,
        plan: Option<IgnoredAny>,
    }
    let kinds: Kinds = syntax::read(text)?;
    match kinds {
        Kinds {
            walk: Some(_),
            cut_list: None,
            ..
        } => {
            let form: walk::WalkForm = syntax::read(text)?;
            with_setup(text, shelf, form.setup.is_empty(), form, |form, sources| {
                meaning::walk(form, sources).map(Sheet::Walk)
            })
        }
        Kinds {
            walk: None,
            cut_list: Some(_),
            ..
        } => {
            let form: cut_list::CutListForm = syntax::read(text)?;
            with_setup(text, shelf, form.setup.is_empty(), form, |form, sources| {
                meaning::cut_list(form, sources).map(Sheet::CutList)
            })
        }
        Kinds {
            walk: Some(_),
            cut_list: Some(_),
            ..
        } => Err(syntax::unknown_kind("both \"walk\" and \"cut_list\"")),
        Kinds { plan: Some(_), .. } => Err(syntax::unknown_kind("a plan")),
        _ => Err(syntax::unknown_kind("neither \"walk\" nor \"cut_list\"")),
    }
}

/// What a file in JSON means with the set-up files that it names.
fn with_setup<T: DeserializeOwned>(
    text: &str,
    shelf: &dyn Shelf,
    alone: bool,
    form: T,
    meaning: impl Fn(&T, &Sources) -> Result<Sheet, Vec<Refused>>,
) -> Result<Sheet, Vec<Refused>> {
    let own = JsonPlaces(text);
    if alone {
        return meaning(&form, &Sources::alone(&own));
    }
    let mut level: Value = syntax::read(text)?;
    let Gathered {
        files,
        origins,
        mut refused,
        incomplete,
    } = setup_files::gather(&mut level, &own, shelf);
    let sources = Sources::of(&own, &files, origins);
    let meant = text::shape(level).and_then(|form| meaning(&form, &sources));
    if refused.is_empty() {
        return meant;
    }
    let more = meant.err().into_iter().flatten();
    refused.extend(more.filter(|one| !text::missed(one, incomplete)));
    Err(Refused::in_order(refused))
}

/// A walk or a cut list as JSON, every key said.
///
/// # Errors
/// The sentence of the writer.
pub fn to_json(sheet: &Sheet) -> Result<String, String> {
    serde_json::to_string_pretty(&out::form_of(sheet, out::decimal))
        .map(|text| text + "\n")
        .map_err(|error| format!("the file cannot be written: {error}\n"))
}

/// A walk or a cut list as a table for spreadsheets, its lengths in decimals: a spreadsheet makes a date of 3/8.
pub fn to_csv(sheet: &Sheet) -> String {
    csv::write(&out::form_of(sheet, out::decimal))
}

/// A walk or a cut list as a text sheet.
pub fn to_text(sheet: &Sheet) -> String {
    text::write(&out::form_of(sheet, out::on_tape))
}

#[cfg(test)]
mod tests;
