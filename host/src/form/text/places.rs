//! Where the values of a text sheet stand, and how the sheet says what `meaning` says in JSON's words.

use std::collections::HashMap;
use std::ops::Range;

use crate::form::places::Places;
use crate::form::position::{Found, Step};

/// A text sheet and where its values stand.
pub struct TextPlaces<'a> {
    /// The whole text.
    pub text: &'a str,
    /// The bytes of every value that is there, by the steps that lead to it.
    pub places: HashMap<Vec<Step>, Range<usize>>,
}

impl Places for TextPlaces<'_> {
    fn text(&self) -> &str {
        self.text
    }

    fn find(&self, steps: &[Step]) -> Found {
        if let Some(range) = self.places.get(steps).filter(|range| !range.is_empty()) {
            return Found::Value(range.clone());
        }
        let inner = (0..=steps.len())
            .rev()
            .find_map(|count| self.places.get(&steps[..count]));
        Found::Absent(inner.cloned().unwrap_or(0..0))
    }

    fn words(&self, words: &str) -> String {
        // the line is shown; numbers in the file's lists are for programs
        let rest = match words.split_once("] ") {
            Some((head, rest)) if rest.starts_with('"') && !head.contains('"') => rest,
            _ => words,
        };
        let Some((head, tail)) = rest.rsplit_once(", item ") else {
            return rest.to_owned();
        };
        let tail = tail.trim_start_matches(|c: char| c.is_ascii_digit());
        format!("{head}{tail}")
    }

    fn expected(&self, expected: &str) -> String {
        let mut said = expected.to_owned();
        for (json, text) in [
            (
                "\"closed\": false",
                "the line \"open\" under the room's name,",
            ),
            ("\"longer\" laps", "\"over\" laps"),
            ("\"shorter\" goes", "\"under\" goes"),
            ("; null or nothing where", "; nothing where"),
            ("end_trim", "trim"),
        ] {
            said = said.replace(json, text);
        }
        said
    }

    fn example(&self, steps: &[Step], json: &str) -> String {
        let keys: Vec<&str> = steps
            .iter()
            .filter_map(|step| match step {
                Step::Key(key) => Some(*key),
                Step::Index(_) => None,
            })
            .collect();
        let right = json
            .trim_end_matches('"')
            .rsplit('"')
            .next()
            .unwrap_or_default();
        match keys.as_slice() {
            ["level"] => "level Upper floor".to_owned(),
            ["unit"] => format!("unit {right}"),
            ["mark"] => format!("tape {right}"),
            ["direction"] => format!("walk {right}"),
            ["cope"] => format!("cope {right}"),
            ["cope_up_to"] => "miter over 100".to_owned(),
            ["spring", ..] => "spring 1/16 over 96".to_owned(),
            ["scarf", ..] => "scarf 45 stud 16 least 24".to_owned(),
            ["measured", "with"] => format!("measured {right}"),
            ["measured", ..] => "measured corners 0.25 gauge 0.5".to_owned(),
            ["saw", "posture"] => format!("saw {right}"),
            ["saw", "stock_side"] => format!("saw stock {right}"),
            ["saw", key] if key.starts_with("swing") => "swing left 50 right 60".to_owned(),
            ["saw", key] if key.starts_with("tilt") => "tilt left 48 right 48".to_owned(),
            ["saw", ..] => "saw tall 6 1/2, wide 12, kerf 1/8, trim 1/2".to_owned(),
            ["mouldings", "name"] => format!("moulding {right}"),
            ["mouldings", "sticks", ..] => "stick 192 at 21.50".to_owned(),
            ["mouldings", "offcuts", ..] => "offcut 61 1/4".to_owned(),
            ["mouldings", _] => "high 5 1/4 thick 9/16 profile 3/4".to_owned(),
            ["mouldings"] => {
                "moulding base, and under it: high 5 1/4 thick 9/16 profile 3/4, and: stick 192"
                    .to_owned()
            }
            ["rooms", "name"] | ["pieces", "room"] => format!("room {right}"),
            [.., "moulding"] => format!("with {right}"),
            ["rooms", "entry"] => "enter 1".to_owned(),
            ["rooms", "diagonals", ..] => "across 0 to 2 is 180 1/2".to_owned(),
            ["rooms", "outline", "opening"] => "door 37 1/2".to_owned(),
            ["rooms", "outline", "existing"] => "hung 40".to_owned(),
            ["rooms", "outline", side @ ("left" | "right")] => {
                format!("22 1/2 {side} {}", joint(right))
            }
            ["rooms", "outline", "gauge"] => "60 corner 92".to_owned(),
            ["rooms", "outline", "wall"] => "124 3/8".to_owned(),
            ["pieces", "wall"] => "124 3/8 left cope wall 3".to_owned(),
            ["pieces", "left" | "right", "degrees" | "face"] => {
                "124 3/8 right scarf over".to_owned()
            }
            ["pieces", side @ ("left" | "right"), "joint"] => {
                format!("124 3/8 {side} {}", joint(right))
            }
            ["pieces", ..] => "124 3/8 left cope 92 right square".to_owned(),
            _ => "room Bed 2, and under it a line a wall: 31 1/2".to_owned(),
        }
    }
}

/// The joint of an example, where it has one.
fn joint(right: &str) -> &str {
    match right.starts_with(|c: char| c.is_ascii_lowercase()) {
        true => right,
        false => "return",
    }
}
