//! The words that files use for directions, sides, postures, joints and corners, one table for reading and for the
//! schema; and the nearest right word to a wrong one.

use planner::walk::{Direction, Turn};
use shared_model::{Joint, Mark, Posture, Side, Unit};

/// The units of a file's bare numbers.
pub const UNITS: [(&str, Unit); 2] = [("in", Unit::Inch), ("mm", Unit::Millimetre)];

/// The finest mark of the tape.
pub const MARKS: [(&str, Mark); 6] = [
    ("1/8 in", Mark::Eighth),
    ("1/16 in", Mark::Sixteenth),
    ("1/32 in", Mark::ThirtySecond),
    ("1/64 in", Mark::SixtyFourth),
    ("1 mm", Mark::Millimetre),
    ("0.5 mm", Mark::HalfMillimetre),
];

/// Which way rooms are walked.
pub const DIRECTIONS: [(&str, Direction); 2] = [
    ("clockwise", Direction::Clockwise),
    ("counter-clockwise", Direction::CounterClockwise),
];

/// Left and right.
pub const SIDES: [(&str, Side); 2] = [("left", Side::Left), ("right", Side::Right)];

/// The two kinds of corner.
pub const TURNS: [(&str, Turn); 2] = [("inside", Turn::Inside), ("outside", Turn::Outside)];

/// How a ring of walls is walked that stands in a room: true.
pub const RINGS: [(&str, bool); 1] = [("island", true)];

/// Which arris of a scarfed end is the longer: true for the face.
pub const FACES: [(&str, bool); 2] = [("longer", true), ("shorter", false)];

/// The postures that can be asked for, and none for the best one.
pub const POSTURES: [(&str, Option<Posture>); 5] = [
    (
        Posture::StandingUpsideDown.words(),
        Some(Posture::StandingUpsideDown),
    ),
    (
        Posture::StandingUpright.words(),
        Some(Posture::StandingUpright),
    ),
    (
        Posture::FlatTopToFence.words(),
        Some(Posture::FlatTopToFence),
    ),
    (
        Posture::FlatBottomToFence.words(),
        Some(Posture::FlatBottomToFence),
    ),
    ("any", None),
];

/// The joints.
pub const JOINTS: [(&str, Joint); 7] = {
    let mut table = [("", Joint::Square); 7];
    let mut index = 0;
    while index < 7 {
        table[index] = (Joint::ALL[index].word(), Joint::ALL[index]);
        index += 1;
    }
    table
};

/// The words of a table.
pub fn listed<T>(table: &[(&'static str, T)]) -> Vec<&'static str> {
    table.iter().map(|(word, _)| *word).collect()
}

/// The word of a table for what it means; every meaning that a file can have stands in its table.
pub fn word_of<T: PartialEq + Copy>(table: &[(&'static str, T)], meant: T) -> String {
    let word = table.iter().find(|(_, meaning)| *meaning == meant);
    word.map(|(word, _)| *word).unwrap_or_default().to_owned()
}

/// The words of a table, and null for a key that may be left out by it.
pub fn listed_or_null<T>(table: &[(&'static str, T)]) -> Vec<Option<&'static str>> {
    listed(table).into_iter().map(Some).chain([None]).collect()
}

/// The candidate nearest to what was written, if one is near enough to be meant.
pub fn nearest<'a>(
    written: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let allowed = written.chars().count().max(3) / 2;
    candidates
        .into_iter()
        .map(|candidate| (distance(written, candidate), candidate))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// How many letters have to be put in, taken out or changed, capitals aside.
pub fn distance(a: &str, b: &str) -> usize {
    let lower = |text: &str| text.to_lowercase().chars().take(40).collect::<Vec<_>>();
    let (a, b) = (lower(a), lower(b));
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, letter) in a.iter().enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, other) in b.iter().enumerate() {
            let change = corner + usize::from(letter != other);
            corner = row[j + 1];
            row[j + 1] = change.min(corner + 1).min(row[j] + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_word_is_offered_and_a_far_one_is_not() {
        let joints = listed(&JOINTS);
        for (written, meant) in [
            ("coped", Some("cope")),
            ("Outside Miter", Some("outside miter")),
            ("inside mitre", Some("inside miter")),
            ("skarf", Some("scarf")),
            ("dovetail", None),
        ] {
            assert_eq!(nearest(written, joints.iter().copied()), meant, "{written}");
        }
    }

    #[test]
    fn letters_are_counted() {
        for (a, b, count) in [("", "abc", 3), ("wall", "walll", 1), ("guage", "gauge", 2)] {
            assert_eq!(distance(a, b), count);
            assert_eq!(distance(b, a), count);
        }
    }
}
