//! Files in and out: a walk or a cut list is read, a plan is written. `source` gets the text, `syntax` and `meaning` tell
//! what is wrong with it; joints and pieces are left to the planner.

pub mod cut_list;
mod meaning;
mod number;
mod object;
mod out;
mod places;
pub mod plan;
mod position;
mod setup;
mod shown;
mod source;
pub mod stored;
mod syntax;
mod text;
pub mod walk;
mod words;

use std::fmt;

use planner::walk::Sheet;
use serde::Deserialize;
use serde::de::IgnoredAny;

use meaning::Refused;
use places::JsonPlaces;
pub use source::Source;

/// Why nothing could be planned from a file.
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

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refusal::Unreadable(sentence) => writeln!(f, "{sentence}"),
            Refusal::Content { file, refused } => {
                for one in refused {
                    writeln!(f, "{file}:{one}")?;
                }
                let things = match refused.len() {
                    1 if refused[0].beyond == 0 => "1 thing",
                    _ => "these things",
                };
                writeln!(f, "nothing is planned: put {things} right first")
            }
        }
    }
}

/// Reads a walk or a cut list; `-` is standard input.
///
/// # Errors
/// The file cannot be read, is not in the form, or says what cannot be.
pub fn read(file: &str) -> Result<Sheet, Refusal> {
    let source = Source::read(file).map_err(Refusal::Unreadable)?;
    read_text(&source.name, &source.text)
}

/// Reads a walk or a cut list that is at hand already; `name` is what the refusal calls it.
///
/// # Errors
/// It is not in the form, or says what cannot be.
pub fn read_text(name: &str, text: &str) -> Result<Sheet, Refusal> {
    sheet(text).map_err(|refused| Refusal::Content {
        file: name.to_owned(),
        refused,
    })
}

fn sheet(text: &str) -> Result<Sheet, Vec<Refused>> {
    match text.trim_start().starts_with(['{', '[']) {
        true => json(text),
        false => text::read(text),
    }
}

fn json(text: &str) -> Result<Sheet, Vec<Refused>> {
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
        } => meaning::walk(&syntax::read(text)?, &JsonPlaces(text)).map(Sheet::Walk),
        Kinds {
            walk: None,
            cut_list: Some(_),
            ..
        } => meaning::cut_list(&syntax::read(text)?, &JsonPlaces(text)).map(Sheet::CutList),
        Kinds {
            walk: Some(_),
            cut_list: Some(_),
            ..
        } => Err(syntax::unknown_kind("both \"walk\" and \"cut_list\"")),
        Kinds { plan: Some(_), .. } => Err(syntax::unknown_kind("a plan")),
        _ => Err(syntax::unknown_kind("neither \"walk\" nor \"cut_list\"")),
    }
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

/// A walk or a cut list as a text sheet.
pub fn to_text(sheet: &Sheet) -> String {
    text::write(&out::form_of(sheet, out::on_tape))
}

#[cfg(test)]
mod tests;
