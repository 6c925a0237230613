//! What stands after a length and is no part of it: a word that was misspelt, a second length, degrees without their word,
//! a number before a wall. It is told where it stands, with the words that can follow. What is right is left to `reader`.

use shared_model::{Angle, Length, ReadLengthProblem, Unit};

use super::lines::{Line, Part};
use super::reader::{Reader, example_of};
use super::table::OPENINGS;
use crate::words::{distance, nearest};

/// The words that may be part of a length.
const UNITS: [&str; 9] = [
    "ft", "feet", "foot", "in", "inch", "inches", "mm", "cm", "m",
];

/// The first word after a length that is no part of it.
pub fn stray_word(value: &Part) -> Option<Part> {
    let bare = |word: &Part| word.text.trim_end_matches([',', '.', ':']).to_lowercase();
    let stray = |word: &Part| {
        let bare = bare(word);
        let letters = bare.chars().all(char::is_alphabetic) && bare.chars().count() > 1;
        letters && !UNITS.contains(&bare.as_str())
    };
    let begins = |part: &Part| part.text.starts_with(|c: char| c.is_ascii_digit());
    if !begins(value) {
        return None;
    }
    value.words().into_iter().skip(1).find(stray)
}

/// What stands after a comma where a length has ended.
pub fn second(value: &Part) -> Option<Part> {
    let (before, _) = value.text.split_once(", ")?;
    Length::read(before, Unit::Inch).ok()?;
    let words = value.words();
    let at = words
        .iter()
        .find(|word| word.range.start > value.range.start + before.len())?;
    Some(Part {
        range: at.range.start..value.range.end,
        text: value.text[at.range.start - value.range.start..].to_owned(),
    })
}

/// A number before a wall, and the wall: `1. 60`, `1: 60`.
fn numbered(from: &Part) -> Option<(Part, String)> {
    let words = from.words();
    let (first, next) = (words.first()?, words.get(1)?);
    let number = first.text.strip_suffix(['.', ':', ')'])?;
    let digits = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit());
    let wall = from.text[next.range.start - from.range.start..].to_owned();
    (digits && next.text.starts_with(|c: char| c.is_ascii_digit())).then(|| (first.clone(), wall))
}

/// A length and after it degrees without the word before them.
fn degrees(length: &Part) -> Option<(Part, String)> {
    let error = Length::read(&length.text, Unit::Inch).err()?;
    let (before, rest) = length.text.split_at_checked(error.at)?;
    let angle = Angle::read(rest).ok()?;
    let gauge = (Angle::degrees(45)..Angle::degrees(180)).contains(&angle);
    let right = gauge && error.problem == ReadLengthProblem::Trailing;
    let part = Part {
        range: length.range.start + error.at..length.range.end,
        text: rest.to_owned(),
    };
    right.then(|| (part, format!("{} corner {rest}", before.trim())))
}

impl Reader<'_> {
    /// Tells what a stretch's length holds besides; these words may follow it.
    pub(super) fn told_stray(
        &mut self,
        line: &Line,
        length: &Part,
        words: &[&'static str],
    ) -> bool {
        if let Some((number, wall)) = numbered(length) {
            let expected = "no number before a wall: walls are counted in their order";
            self.tell(&number, expected, wall);
            return true;
        }
        if let Some(part) = second(length).filter(|part| stray_word(part).is_none()) {
            let expected = "one length on a line: the next stretch begins a line of its own";
            let example = line.whole.text.split(", ").next().unwrap_or_default();
            self.tell(&part, expected, example);
            return true;
        }
        if let Some(word) = stray_word(length) {
            let plain = word.text.trim_end_matches([',', '.', ':']).to_lowercase();
            if OPENINGS.contains(&plain.as_str()) {
                let expected = format!("{plain} at the beginning of the line");
                let width = &length.text[..word.range.start - length.range.start];
                self.tell(&word, expected, format!("{plain} {}", width.trim()));
                return true;
            }
            let mut listed = words.to_vec();
            listed.sort_by_key(|one| distance(&plain, one));
            let expected = format!(
                "after a length its unit (ft, in, mm, cm or m), or one of the words {}",
                listed.join(", ")
            );
            let example = match nearest(&plain, words.iter().copied()) {
                Some(meant) => line.whole.text.replacen(&word.text, meant, 1),
                None => "60 corner 92".to_owned(),
            };
            self.tell(&word, expected, example);
            return true;
        }
        if let Some((part, example)) = degrees(length) {
            let expected =
                "one length on a line; the degrees of a corner stand after the word corner, or out";
            self.tell(&part, expected, example);
            return true;
        }
        false
    }

    /// Tells what the value of a clause holds besides: a misspelt word, or something after a comma.
    pub(super) fn told_stray_in(
        &mut self,
        value: &Part,
        words: &[&'static str],
        example: &str,
    ) -> bool {
        let Some(part) = stray_word(value).or_else(|| second(value)) else {
            return false;
        };
        if words.is_empty() {
            return false;
        }
        let plain = part.text.trim_end_matches([',', '.', ':']).to_lowercase();
        let mut listed = words.to_vec();
        listed.sort_by_key(|one| distance(&plain, one));
        let expected = format!("one of the words {} here", listed.join(", "));
        self.tell(&part, expected, example);
        true
    }

    /// Tells a line that begins with a word that is none.
    pub(super) fn told_unknown(&mut self, line: &Line, meant: Option<&str>) {
        let name = line.whole.text.as_str();
        let named = name.starts_with(char::is_uppercase)
            && !name.contains(|c: char| c.is_ascii_digit())
            && name.split_whitespace().count() <= 3;
        let (expected, example) = match named {
            true => (
                "a length, or a word that begins a line; a room's name follows the word room",
                format!("room {name}"),
            ),
            false => (
                "a length, or a word that begins a line",
                meant.map_or("31 1/2".to_owned(), example_of),
            ),
        };
        self.tell(&line.head, expected, example);
    }
}
