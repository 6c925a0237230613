//! The ends of a piece and the corners of a wall as a text sheet writes them: a joint with its degrees, a corner with its
//! gauge. Whether they can be is left to `meaning`.

use serde_json::Value;

use super::lines::Part;
use super::values::degrees;

/// What an end of a listed piece sets: key, value, and where it stands.
pub type Set = (&'static str, Value, Part);

/// The joint, and after it the gauge, or a scarf's bevel and whether its face laps `over` its mate or goes `under` it.
pub fn end(value: &Part) -> Vec<Set> {
    let words = with_fractions(value.words());
    let plain = |part: &Part| part.text.to_lowercase();
    let is_number = |part: &&Part| degrees(&part.text).is_ok();
    let face = words
        .iter()
        .find(|part| matches!(plain(part).as_str(), "over" | "under"));
    let gauge = words.iter().skip(1).find(is_number);
    let named = |part: &&Part| Some(*part) != face && Some(*part) != gauge;
    let joint: Vec<&Part> = words.iter().filter(named).collect();
    let word = joint
        .iter()
        .map(|part| plain(part))
        .collect::<Vec<_>>()
        .join(" ");
    let at = match (joint.first(), joint.last()) {
        (Some(first), Some(last)) => Part {
            range: first.range.start..last.range.end,
            text: word.clone(),
        },
        _ => value.clone(),
    };
    let key = match word.as_str() {
        "scarf" => "degrees",
        _ => "gauge",
    };
    let mut sets = vec![("joint", Value::from(word), at)];
    if let Some(part) = gauge
        && let Ok(number) = degrees(&part.text)
    {
        sets.push((key, number, part.clone()));
    }
    if let Some(part) = face {
        let side = match plain(part).as_str() {
            "over" => "longer",
            _ => "shorter",
        };
        sets.push(("face", side.into(), part.clone()));
    }
    sets
}

/// The words, a fraction put to the number before it.
fn with_fractions(words: Vec<Part>) -> Vec<Part> {
    let mut all: Vec<Part> = Vec::new();
    for word in words {
        match all.last_mut() {
            Some(last) if degrees(&word.text).is_err() => {
                let both = format!("{} {}", last.text, word.text);
                match degrees(&both) {
                    Ok(_) => {
                        *last = Part {
                            range: last.range.start..word.range.end,
                            text: both,
                        }
                    }
                    Err(_) => all.push(word),
                }
            }
            _ => all.push(word),
        }
    }
    all
}

/// What follows a stretch in walking order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Follows {
    /// Nothing was said: a corner between walls, none beside an opening.
    Unsaid,
    /// A corner, or none, was said.
    Said,
}

/// A room's stretches as far as corners hang on them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// It stops board.
    pub opening: bool,
    /// What follows it.
    pub follows: Follows,
}

/// The corner that is not said: an island's are all outside.
pub fn implied_turn(island: bool) -> &'static str {
    match island {
        true => "outside",
        false => "inside",
    }
}

/// Whether a corner stands at the end of each stretch without its being said.
pub fn implied_corners(stretches: &[Stretch], closed: bool) -> Vec<bool> {
    let next = |index: usize| match stretches.get(index + 1) {
        None if closed => stretches.first(),
        next => next,
    };
    let implied = |(index, stretch): (usize, &Stretch)| {
        let wall_follows = next(index).is_some_and(|next| !next.opening);
        stretch.follows == Follows::Unsaid && !stretch.opening && wall_follows
    };
    stretches.iter().enumerate().map(implied).collect()
}
