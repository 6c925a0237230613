//! The lines at the top of a text sheet that do more than set one value: what the saw really does, its back cut, an old
//! house, mouldings and offcuts. Single values are left to `reader`.

use serde_json::json;

use super::lines::{Line, Part};
use super::reader::Reader;
use super::table::{BACK_CUT, Entry, TRUE_SWING, TRUE_TILT};
use crate::position::Step;

impl Reader<'_> {
    /// What the saw really does where its scale reads 45: the words before left and right say which scale.
    pub(super) fn true_45(&mut self, line: &Line) {
        let words = line.rest.words();
        let plain = |at: usize| words.get(at).map(Part::plain).unwrap_or_default();
        if plain(0) != "45" {
            let part = words.first().unwrap_or(&line.head);
            return self.tell(part, "45 after this word", TRUE_SWING.example);
        }
        let (entry, said) = match plain(1).as_str() {
            "tilt" => (&TRUE_TILT, 2),
            "swing" => (&TRUE_SWING, 2),
            _ => (&TRUE_SWING, 1),
        };
        self.entry_from(line, said, entry);
    }

    /// The widest back cut that is made.
    pub(super) fn back_cut(&mut self, line: &Line) {
        let words = line.rest.words();
        let plain = |at: usize| words.get(at).map(Part::plain).unwrap_or_default();
        if [plain(0), plain(1), plain(2)] != ["cut", "up", "to"] {
            let part = words.first().unwrap_or(&line.head);
            return self.tell(part, "the words back cut up to", BACK_CUT.example);
        }
        self.entry_from(line, 3, &BACK_CUT);
    }

    /// The entry that begins after so many words of a line's rest.
    fn entry_from(&mut self, line: &Line, words: usize, entry: &'static Entry) {
        let first = line.rest.words().get(words).map(|part| part.range.start);
        let end = line.rest.range.end;
        let rest = Part::of(self.text, first.unwrap_or(end)..end);
        let line = line.clone();
        self.entry(&Line { rest, ..line }, entry);
    }

    /// A house whose paint may hold lead.
    pub(super) fn old_house(&mut self, line: &Line) {
        match line.whole.plain() == "old house" {
            true => self.set(&[], "old_house", true.into(), &line.whole, "old house"),
            false => self.tell(&line.whole, "the words old house", "old house"),
        }
    }

    pub(super) fn moulding(&mut self, line: &Line) {
        // what stands under a moulding without a name is still its own
        let name = self.named(line, "moulding base").unwrap_or_default();
        let form = json!({ "name": name, "height": "", "thickness": "", "profile": "" });
        let mut steps = self.push(&[], "mouldings", form, &line.whole.range);
        steps.push(Step::Key("name"));
        self.places.insert(steps, line.rest.range.clone());
    }

    pub(super) fn offcuts(&mut self, line: &Line) {
        let count = self.sheet["mouldings"].as_array().map_or(0, Vec::len);
        let Some(index) = count.checked_sub(1) else {
            return self.tell(&line.head, "a moulding above this line", "moulding base");
        };
        let base = [Step::Key("mouldings"), Step::Index(index)];
        let mut start = line.rest.range.start;
        for piece in line.rest.text.split_inclusive([',', ';']) {
            let text = piece.trim_end_matches([',', ';']);
            let lead = text.len() - text.trim_start().len();
            let text = text.trim();
            let range = start + lead..start + lead + text.len();
            start += piece.len();
            let steps = self.push(&base, "offcuts", text.into(), &line.whole.range);
            self.places.insert(steps, range);
        }
        if line.rest.text.is_empty() {
            self.tell(&line.head, "a length after this word", "offcut 61 1/4");
        }
    }
}
