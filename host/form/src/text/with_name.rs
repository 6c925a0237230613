//! A room's name in which the word `with` stands: `room Closet, with closet base`. Where a moulding of the level follows the
//! word, it is the room's; else the line is told, and a name that is meant so stands in quotation marks. Rooms without the
//! word are left to `rooms`.

use std::ops::Range;

use serde_json::Value;

use super::lines::Part;
use super::told::Told;

/// Such a name, parted at its last `with`.
pub struct WithName {
    /// All that stands after `room`.
    whole: String,
    /// The name, if a moulding follows.
    name: String,
    /// The name of a moulding, if there is one of that name.
    moulding: String,
    /// The bytes of what follows the name.
    range: Range<usize>,
}

impl WithName {
    /// The name that stands here, if it can be parted; one in quotation marks is meant as it stands.
    pub fn of(name: &str, part: &Part) -> Option<WithName> {
        let words = part.words();
        let at = words
            .iter()
            .rposition(|word| word.text.to_lowercase() == "with")?;
        let (with, next) = (words.get(at)?, words.get(at + 1)?);
        let before = part.text.get(..with.range.start - part.range.start)?;
        let before = before.trim_end_matches(|c: char| c.is_whitespace() || c == ',');
        let moulding = part.text.get(next.range.start - part.range.start..)?;
        let plain = !before.is_empty() && !part.text.starts_with('"');
        plain.then(|| WithName {
            whole: name.to_owned(),
            name: before.to_owned(),
            moulding: moulding.trim_matches('"').to_owned(),
            range: with.range.start..part.range.end,
        })
    }
}

/// Gives the rooms and pieces of such names their name and moulding; what cannot be is told. Where a set-up file could not
/// be read, its mouldings are not missed.
pub fn part(sheet: &mut Value, names: &[WithName], incomplete: bool) -> Vec<Told> {
    let mouldings: Vec<String> = sheet["mouldings"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|moulding| moulding["name"].as_str().map(str::to_lowercase))
        .collect();
    let mut told = Vec::new();
    for one in names {
        let example = format!(
            "room {}, and on a line of its own under it: with {}",
            one.name, one.moulding
        );
        let mut tell = |expected: &str| {
            told.push(Told {
                range: one.range.clone(),
                expected: expected.to_owned(),
                example: example.clone(),
            });
        };
        if !mouldings.contains(&one.moulding.to_lowercase()) {
            if !incomplete {
                tell(
                    "a moulding of this level after with; a name with this word in it stands in quotation marks",
                );
            }
            continue;
        }
        for (list, key) in [("rooms", "name"), ("pieces", "room")] {
            let holders = sheet.get_mut(list).and_then(Value::as_array_mut);
            for holder in holders.into_iter().flatten() {
                if holder[key].as_str() != Some(&one.whole) {
                    continue;
                }
                holder[key] = one.name.as_str().into();
                if holder["moulding"].as_str().is_none_or(str::is_empty) {
                    holder["moulding"] = one.moulding.as_str().into();
                } else if list == "rooms" {
                    tell("one moulding for a room");
                }
            }
        }
    }
    told
}
