//! Where a value stands, and how the file that holds it says things: what `meaning` needs to tell what is wrong in the
//! same way for every form and for the set-up files that a level names. Judging values is left to `meaning`.

use std::collections::HashMap;
use std::ops::Range;

use shared_model::Unit;

use super::position::{self, Found, Step};
use super::refused::shortened;
use super::setup_files::SetupFile;

/// A file in one of the forms.
pub trait Places {
    /// The file's text.
    fn text(&self) -> &str;
    /// Where a value stands.
    fn find(&self, steps: &[Step]) -> Found;
    /// A place in the form's words; `name` is that of the room, the moulding or the piece's room.
    fn words(&self, steps: &[Step], name: Option<&str>) -> String;
    /// What was expected, in the form's words.
    fn expected(&self, expected: &str) -> String;
    /// A right example in the form, from one in JSON.
    fn example(&self, steps: &[Step], json: &str) -> String;
    /// An example in the file's own unit.
    fn in_unit(&self, example: String) -> String {
        example
    }
    /// What may have been meant, as the form writes it.
    fn meant(&self, meant: &str) -> String {
        meant.to_owned()
    }
    /// The line of a byte, in words.
    fn row(&self, byte: usize) -> String {
        let (line, _) = position::line_and_column(self.text(), byte);
        format!("line {line}")
    }
    /// What stands at these bytes.
    fn read(&self, range: Range<usize>) -> String {
        shortened(&self.text()[range])
    }
}

/// A level's file and the set-up files that it names.
pub struct Sources<'a> {
    own: &'a dyn Places,
    files: &'a [SetupFile],
    /// The values that do not stand at their own steps in the level's file: the set-up file, and the steps in it; none
    /// for the level's file.
    origins: HashMap<Vec<Step>, Origin>,
}

/// Where a value came from: the place of its set-up file, or none for the level's own file, and the steps in that file.
pub type Origin = (Option<usize>, Vec<Step>);

/// Where one value stands.
pub struct Source<'a> {
    /// The file that holds it.
    pub places: &'a dyn Places,
    /// That file's name, where it is not the level's own.
    pub file: Option<&'a str>,
    /// The unit of its bare numbers, where it is not the level's own.
    pub unit: Option<Unit>,
    /// The steps in that file.
    pub steps: Vec<Step>,
}

impl<'a> Sources<'a> {
    /// A file that names no other.
    pub fn alone(own: &'a dyn Places) -> Sources<'a> {
        Sources::of(own, &[], HashMap::new())
    }

    /// A file with its set-up files.
    pub fn of(
        own: &'a dyn Places,
        files: &'a [SetupFile],
        origins: HashMap<Vec<Step>, Origin>,
    ) -> Sources<'a> {
        Sources {
            own,
            files,
            origins,
        }
    }

    /// Where the value stands to which these steps lead.
    pub fn find(&self, steps: &[Step]) -> Source<'a> {
        if self.files.is_empty() {
            return Source {
                places: self.own,
                file: None,
                unit: None,
                steps: steps.to_vec(),
            };
        }
        let known = (0..=steps.len()).rev().find_map(|count| {
            let (file, inner) = self.origins.get(&steps[..count])?;
            Some((*file, [inner, &steps[count..]].concat()))
        });
        let (file, steps) = known.unwrap_or_else(|| (None, steps.to_vec()));
        match file.and_then(|place| self.files.get(place)) {
            Some(file) => Source {
                places: &file.places,
                file: Some(&file.name),
                unit: Some(file.unit),
                steps,
            },
            None => Source {
                places: self.own,
                file: None,
                unit: None,
                steps,
            },
        }
    }
}

/// A file in JSON, in whose words `meaning` speaks.
pub struct JsonPlaces<'a>(pub &'a str);

impl Places for JsonPlaces<'_> {
    fn text(&self) -> &str {
        self.0
    }

    fn find(&self, steps: &[Step]) -> Found {
        position::find(self.0, steps)
    }

    fn words(&self, steps: &[Step], name: Option<&str>) -> String {
        let mut words = String::new();
        let mut name = name;
        for (at, step) in steps.iter().enumerate() {
            let item = matches!(steps.get(at + 1), Some(Step::Index(_)));
            match step {
                Step::Key("outline") if item => words.push_str(", item "),
                Step::Key(key) if words.is_empty() => words.push_str(key),
                Step::Key(key) => words.push_str(&format!(", {key}")),
                Step::Index(index) if words.ends_with(' ') => {
                    words.push_str(&(index + 1).to_string());
                }
                Step::Index(index) => {
                    words.push_str(&format!("[{index}]"));
                    if let Some(name) = name.take() {
                        words.push_str(&format!(" {name:?}"));
                    }
                }
            }
        }
        words
    }

    fn expected(&self, expected: &str) -> String {
        expected.to_owned()
    }

    fn example(&self, _: &[Step], json: &str) -> String {
        json.to_owned()
    }

    fn meant(&self, meant: &str) -> String {
        format!("{meant:?}")
    }
}
