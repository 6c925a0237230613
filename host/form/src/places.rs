//! Where a value stands in a file, and how that file's form says things: what `meaning` needs to tell what is wrong in
//! the same way for every form. Judging values is left to `meaning`.

use super::position::{self, Found, Step};

/// A file in one of the forms.
pub trait Places {
    /// The file's text.
    fn text(&self) -> &str;
    /// Where a value stands.
    fn find(&self, steps: &[Step]) -> Found;
    /// A place in the form's words.
    fn words(&self, words: &str) -> String;
    /// What was expected, in the form's words.
    fn expected(&self, expected: &str) -> String;
    /// A right example in the form, from one in JSON.
    fn example(&self, steps: &[Step], json: &str) -> String;
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

    fn words(&self, words: &str) -> String {
        words.to_owned()
    }

    fn expected(&self, expected: &str) -> String {
        expected.to_owned()
    }

    fn example(&self, _: &[Step], json: &str) -> String {
        json.to_owned()
    }
}
