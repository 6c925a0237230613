//! Where the values of a text sheet stand, and how the sheet says what `meaning` says in JSON's words.

use std::borrow::Cow;
use std::collections::HashMap;
use std::ops::Range;

use crate::places::Places;
use crate::position::{Found, Step};

/// A text sheet and where its values stand.
pub struct TextPlaces<'a> {
    /// The whole text.
    pub text: Cow<'a, str>,
    /// The bytes of every value that is there, by the steps that lead to it.
    pub places: HashMap<Vec<Step>, Range<usize>>,
}

/// The keys among these steps.
pub fn keys(steps: &[Step]) -> Vec<&'static str> {
    let key = |step: &Step| match step {
        Step::Key(key) => Some(*key),
        Step::Index(_) => None,
    };
    steps.iter().filter_map(key).collect()
}

/// What a text sheet calls a value.
pub fn word(steps: &[Step]) -> String {
    let keys = keys(steps);
    let word = match keys.as_slice() {
        ["mark"] => "tape",
        ["direction"] => "walk",
        ["cope_up_to"] => "miter over",
        ["cope_least"] => "cope, least",
        ["casing_gap"] => "casing gap",
        ["old_house"] => "old house",
        ["spring", "over"] => "spring, over",
        ["spring", ..] => "spring",
        ["scarf", "degrees"] => "scarf",
        ["scarf", "from"] => "scarf, from",
        ["saw", "posture"] => "saw",
        ["saw", "standing_height"] => "saw, tall",
        ["saw", "flat_width"] => "saw, wide",
        ["saw", "back_cut_up_to"] => "back cut up to",
        ["saw", "least_hold"] => "hold",
        ["saw", "short_piece"] => "hold, under",
        ["saw", "end_trim"] => "saw, trim",
        ["saw", "stock_side"] => "saw, stock",
        ["saw", turn] if turn.starts_with("swing") || turn.starts_with("tilt") => {
            return turn.replace('_', ", ");
        }
        ["saw", "true_45", turn] => return format!("true 45, {}", turn.replace('_', ", ")),
        ["mouldings"] | ["mouldings", "name"] => "moulding",
        ["mouldings", "height"] => "high",
        ["mouldings", "thickness"] => "thick",
        ["mouldings", "sticks", "price"] => "stick, at",
        ["mouldings", "sticks", "count"] => "stick, have",
        ["mouldings", "sticks", ..] => "stick",
        ["mouldings", "offcuts"] => "offcut",
        ["rooms", "name"] | ["pieces", "room"] => "room",
        [.., "moulding"] => "with",
        ["rooms", "ring"] => "island",
        ["rooms", "closed"] => "open",
        ["rooms", "entry"] => "enter",
        ["rooms", "outline"] => "walls",
        ["rooms", "outline", "existing"] => "hung",
        ["rooms", "outline", "gauge"] => "corner",
        ["rooms", "outline", "radius"] => "round",
        ["rooms", "diagonals", "length"] | ["rooms", "diagonals"] => "across",
        ["rooms", "diagonals", end] => return format!("across, {end}"),
        ["pieces", side @ ("left" | "right"), ..] => side,
        ["rooms", "outline", key] | ["rooms", key] | ["pieces", key] | ["mouldings", key] => key,
        keys => return keys.join(", "),
    };
    word.to_owned()
}

/// JSON's words in a sentence that a person reads who wrote none; `words` are those that only this form has.
pub fn plain(expected: &str, words: &[(&str, &str)]) -> String {
    (words.iter().chain(&COMMON)).fold(expected.to_owned(), |said, (json, plain)| {
        said.replace(json, plain)
    })
}

/// JSON's words and a text sheet's, beside those of a table as well.
const WORDS: [(&str, &str); 1] = [(
    "\"closed\": false where the last item does",
    "the line \"open\" under the room's name, where the last wall does",
)];

/// JSON's words and those of a text sheet and a table alike.
const COMMON: [(&str, &str); 6] = [
    ("the next item", "the next wall"),
    ("\"longer\" laps", "\"over\" laps"),
    ("\"shorter\" goes", "\"under\" goes"),
    ("; null or nothing where", "; nothing where"),
    ("end_trim", "trim"),
    ("JSON: ", ""),
];

impl Places for TextPlaces<'_> {
    fn text(&self) -> &str {
        &self.text
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

    fn words(&self, steps: &[Step], name: Option<&str>) -> String {
        let word = word(steps);
        match name {
            Some(name) if !name.is_empty() => format!("{name:?}, {word}"),
            _ => word,
        }
    }

    fn expected(&self, expected: &str) -> String {
        plain(expected, &WORDS)
    }

    fn in_unit(&self, example: String) -> String {
        let unit = self.places.get([Step::Key("unit")].as_slice());
        let unit = unit.and_then(|range| self.text.get(range.clone()));
        if !unit.is_some_and(|unit| unit.eq_ignore_ascii_case("mm")) {
            return example;
        }
        plain(&example, &METRIC)
    }

    fn example(&self, steps: &[Step], json: &str) -> String {
        let keys = keys(steps);
        let right = json
            .trim_end_matches('"')
            .rsplit('"')
            .next()
            .unwrap_or_default();
        match keys.as_slice() {
            ["level"] => "level Upper floor".to_owned(),
            ["setup"] => "setup my-saw.txt".to_owned(),
            ["unit"] => format!("unit {right}"),
            ["mark"] => format!("tape {right}"),
            ["direction"] => format!("walk {right}"),
            ["cope"] => format!("cope {right}"),
            ["cope_up_to"] => "miter over 100".to_owned(),
            ["cope_least"] => "cope left least 6".to_owned(),
            ["casing_gap"] => "casing gap 1/32".to_owned(),
            ["spring", ..] => "spring 1/16 over 96".to_owned(),
            ["scarf", "from"] => format!("scarf 45 stud 16 from {right}"),
            ["scarf", ..] => "scarf 45 stud 16 least 24".to_owned(),
            ["accuracy", "with"] => format!("accuracy {right}"),
            ["accuracy", ..] => "accuracy corners 0.25 gauge 0.5".to_owned(),
            ["saw", "back_cut_up_to"] => "back cut up to 5".to_owned(),
            ["saw", "least_hold" | "short_piece"] => "hold 12 under 8".to_owned(),
            ["saw", "posture"] => format!("saw {right}"),
            ["saw", "stock_side"] => format!("saw stock {right}"),
            ["saw", key] if key.starts_with("swing") => "swing left 50 right 60".to_owned(),
            ["saw", key] if key.starts_with("tilt") => "tilt left 48 right 48".to_owned(),
            ["saw", "true_45", turn] if turn.starts_with("tilt") => {
                "true 45 tilt left 44.8 right 45.1".to_owned()
            }
            ["saw", "true_45", ..] => "true 45 swing left 44.8 right 45.1".to_owned(),
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
            ["rooms", "outline", "radius"] => "60 out round 3/4".to_owned(),
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

/// The lengths of the examples in inches, and such lengths in millimetres; a longer text before one within it.
const METRIC: [(&str, &str); 20] = [
    ("1/16 over 96", "1.5 over 2400"),
    ("stud 16 least 24", "stud 400 least 600"),
    ("trim 1/2", "trim 12"),
    ("kerf 1/8", "kerf 3.2"),
    ("wide 12,", "wide 305,"),
    ("profile 3/4", "profile 19"),
    ("stick 192", "stick 4880"),
    ("hung 40", "hung 1000"),
    ("60 corner", "1500 corner"),
    ("60 out", "1500 out"),
    ("60 on", "1500 on"),
    ("124 3/8", "3160"),
    ("180 1/2", "4580"),
    ("61 1/4", "1560"),
    ("37 1/2", "950"),
    ("31 1/2", "800"),
    ("22 1/2", "570"),
    ("6 1/2", "165"),
    ("5 1/4", "133"),
    ("9/16", "14"),
];

/// The joint of an example, where it has one.
fn joint(right: &str) -> &str {
    match right.starts_with(|c: char| c.is_ascii_lowercase()) {
        true => right,
        false => "return",
    }
}
