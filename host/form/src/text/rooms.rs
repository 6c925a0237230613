//! The rooms of a text sheet: their headings, their stretches with the corners that nobody has to say, and the pieces of a
//! cut list. Lines that only set a value are left to `reader`.

use serde_json::{Value, json};

use super::ends::{Follows, Stretch, end, implied_corners, implied_turn};
use super::lines::{Clause, Line, Part, clauses};
use super::reader::{Holds, PIECE, Reader};
use super::table::Kind;
use super::values::value;
use super::with_name::WithName;
use crate::position::Step;

/// The words for what stands at the end of a wall.
const CORNERS: [&str; 3] = ["corner", "out", "on"];

/// The words that may follow a length.
const WORDS: [&str; 6] = ["corner", "out", "on", "round", "left", "right"];

impl Reader<'_> {
    /// A room's heading.
    pub(super) fn room(&mut self, line: &Line) {
        self.close_room();
        let name = self.named(line, "room Bed 2").unwrap_or_default();
        self.with_names.extend(WithName::of(&name, &line.rest));
        self.room = Some((name.clone(), line.rest.range.clone()));
        if self.holds != Holds::CutList {
            let form = json!({ "name": name, "moulding": "", "outline": [] });
            let mut steps = self.push(&[], "rooms", form, &line.whole.range);
            steps.push(Step::Key("name"));
            self.places.insert(steps, line.rest.range.clone());
            self.stretches.push(Vec::new());
        }
    }

    /// The moulding of a room counts when the room is done.
    pub fn close_room(&mut self) {
        let with = self.with.take();
        if let (Some(index), Some((name, range))) = (self.stretches.len().checked_sub(1), with) {
            let base = [Step::Key("rooms"), Step::Index(index)];
            self.at(&base)["moulding"] = name.into();
            let steps = [base.as_slice(), &[Step::Key("moulding")]].concat();
            self.places.insert(steps, range);
        }
    }

    /// The moulding of the room above, or of the pieces below.
    pub(super) fn with(&mut self, line: &Line) {
        if self.room.is_none() {
            return self.tell(&line.head, "a room above this line", "room Bed 2");
        }
        if self.with.is_some() && self.holds != Holds::CutList {
            return self.tell(&line.head, "one moulding for a room", "with base");
        }
        let named = self.named(line, "with base");
        self.with = named.map(|name| (name, line.rest.range.clone()));
    }

    /// A word that says something of the room above.
    pub(super) fn in_room(&mut self, line: &Line, key: &'static str, value: Value) {
        let Some(index) = self.stretches.len().checked_sub(1) else {
            return self.tell(&line.head, "a room of a walk above this line", "room Bed 2");
        };
        if !line.rest.text.is_empty() {
            return self.tell(
                &line.rest,
                "nothing more on this line",
                line.head.text.to_lowercase(),
            );
        }
        let base = [Step::Key("rooms"), Step::Index(index)];
        self.set(&base, key, value, &line.head, "room Bed 2");
    }

    /// A heading that was forgotten is told once, not on every line below it.
    fn no_room(&mut self, line: &Line) {
        if !self.misplaced {
            self.tell(&line.head, "a room above this line", "room Bed 2");
        }
        self.misplaced = true;
    }

    /// A stretch of the outline of the room above.
    pub(super) fn stretch(&mut self, line: &Line, key: &'static str, from: &Part) {
        let Some(room) = self.stretches.len().checked_sub(1) else {
            if self.holds != Holds::CutList {
                return self.no_room(line);
            }
            let expected = "a piece: a cut list has no walls and openings";
            return self.tell(&line.head, expected, PIECE);
        };
        const EXAMPLE: &str = "60 corner 92";
        let (length, clauses) = clauses(self.text, from, &WORDS);
        let turned = |word: &Part| matches!(word.plain().as_str(), "inside" | "outside");
        if let Some(word) = length.words().into_iter().find(turned) {
            let expected = "corner for an inside corner, or out for an outside one";
            let example = match word.plain().as_str() {
                "inside" => "60 corner 92",
                _ => "60 out 135",
            };
            return self.tell(&word, expected, example);
        }
        if self.told_stray(line, &length, &WORDS) {
            return;
        }
        let base = [Step::Key("rooms"), Step::Index(room)];
        let item = self.push(&base, "outline", json!({}), &line.whole.range);
        let opening = key == "opening";
        let unknown = opening && matches!(length.text.as_str(), "" | "?");
        let written = if unknown {
            Value::Null
        } else {
            length.text.as_str().into()
        };
        self.set(&item, key, written, &length, EXAMPLE);
        let mut follows = Follows::Unsaid;
        for Clause {
            word,
            at,
            value: said,
        } in clauses
        {
            if word == "round" {
                self.set(
                    &item,
                    "radius",
                    said.text.as_str().into(),
                    &said,
                    "60 out round 3/4",
                );
                continue;
            }
            if !CORNERS.contains(&word) {
                self.set(
                    &item,
                    word,
                    said.plain().into(),
                    &said,
                    "22 1/2 left return",
                );
                continue;
            }
            if follows == Follows::Said {
                self.tell(&at, "one corner, or on, at the end of a wall", EXAMPLE);
                continue;
            }
            follows = Follows::Said;
            let turn = if word == "out" { "outside" } else { "inside" };
            if word != "on" {
                self.set(&item, "corner", turn.into(), &at, EXAMPLE);
            }
            match (word, value(&said, Kind::Degrees)) {
                _ if said.text.is_empty() => {}
                ("on", _) => self.tell(
                    &said,
                    "nothing after on: the next wall goes straight on",
                    "60 on",
                ),
                (_, Ok(gauge)) => self.set(&item, "gauge", gauge, &said, EXAMPLE),
                (_, Err(expected)) => self.tell(&said, expected, EXAMPLE),
            }
        }
        self.stretches[room].push(Stretch { opening, follows });
    }

    /// A piece of a cut list.
    pub(super) fn piece(&mut self, line: &Line) {
        let Some((room, room_range)) = self.room.clone() else {
            return self.no_room(line);
        };
        let (length, clauses) = clauses(self.text, &line.whole, &["left", "right", "wall"]);
        let square = json!({ "joint": "square" });
        let (moulding, with_range) = self.with.clone().unwrap_or_default();
        let form = json!({ "room": room, "moulding": moulding, "length": "", "left": square, "right": square });
        let piece = self.push(&[], "pieces", form, &line.whole.range);
        self.set(
            &piece,
            "length",
            length.text.as_str().into(),
            &length,
            PIECE,
        );
        for (key, range) in [("room", room_range), ("moulding", with_range)] {
            self.places
                .insert([piece.as_slice(), &[Step::Key(key)]].concat(), range);
        }
        for Clause {
            word,
            at,
            value: said,
        } in clauses
        {
            if said.text.is_empty() {
                self.tell(&at, "a value after this word", PIECE);
                continue;
            }
            if word == "wall" {
                match value(&said, Kind::Count) {
                    Ok(number) => self.set(&piece, "wall", number, &said, PIECE),
                    Err(expected) => self.tell(&said, expected, "124 3/8 wall 3"),
                }
                continue;
            }
            let side = [piece.as_slice(), &[Step::Key(word)]].concat();
            for (key, value, part) in end(&said) {
                self.set(&side, key, value, &part, PIECE);
            }
        }
    }
}

/// What nothing was said of: corners between walls, and the moulding where there is one that is meant.
pub fn imply(sheet: &mut Value, stretches: &[Vec<Stretch>]) {
    let names: Vec<String> = sheet["mouldings"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|moulding| moulding["name"].as_str().map(str::to_owned))
        .collect();
    for list in ["rooms", "pieces"] {
        let holders = sheet.get_mut(list).and_then(Value::as_array_mut);
        for holder in holders.into_iter().flatten() {
            let said = holder["moulding"].as_str().unwrap_or_default().to_owned();
            let same =
                |name: &&String| said.is_empty() || name.to_lowercase() == said.to_lowercase();
            if !names.contains(&said)
                && let Some(meant) = names.iter().find(same)
            {
                holder["moulding"] = meant.as_str().into();
            }
        }
    }
    for (room, stretches) in stretches.iter().enumerate() {
        let room = &mut sheet["rooms"][room];
        let closed = room["closed"].as_bool().unwrap_or(true);
        let turn = implied_turn(room["ring"].is_string());
        for (index, implied) in implied_corners(stretches, closed).into_iter().enumerate() {
            if implied {
                room["outline"][index]["corner"] = turn.into();
            }
        }
    }
}
