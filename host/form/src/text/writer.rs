//! Writes a walk or a cut list as a text sheet: the saw and the stock first, then room by room, a corner only where it is
//! not the one that is implied.

use std::fmt::Write;

use super::ends::{Follows, Stretch, implied_corners, implied_turn};
use super::head::head;
use super::lines::{NAMING, lines};
use crate::cut_list::{EndForm, PieceForm};
use crate::number::{Written, decimal_text};
use crate::out::Form;
use crate::setup::MouldingForm;
use crate::walk::{ItemForm, RoomForm};

/// A text sheet that reads back to the same.
pub fn write(form: &Form) -> String {
    let mut sheet = Out(String::new());
    for words in head(form) {
        sheet.line(match words.as_slice() {
            [word, named] if NAMING.contains(&word.as_str()) => format!("{word} {}", name(named)),
            words => words.join(" "),
        });
    }
    match form {
        Form::Walk(walk) => {
            for room in &walk.rooms {
                sheet.room(room, &walk.mouldings);
            }
        }
        Form::CutList(list) => sheet.pieces(&list.pieces),
    }
    sheet.0
}

struct Out(String);

impl Out {
    fn line(&mut self, line: impl AsRef<str>) {
        self.0.push_str(line.as_ref());
        self.0.push('\n');
    }

    fn room(&mut self, room: &RoomForm, mouldings: &[MouldingForm]) {
        self.line(format!("\nroom {}", name(&room.name)));
        if mouldings
            .first()
            .is_none_or(|first| first.name != room.moulding)
        {
            self.line(format!("with {}", name(&room.moulding)));
        }
        if !room.closed {
            self.line("open");
        }
        if room.ring.is_some() {
            self.line("island");
        }
        if let Some(entry) = room.entry {
            self.line(format!("enter {entry}"));
        }
        for (item, usual) in room.outline.iter().zip(usual_corners(room)) {
            self.line(stretch(item, usual));
        }
        for diagonal in &room.diagonals {
            self.line(format!(
                "across {} to {} is {}",
                diagonal.from, diagonal.to, diagonal.length.0
            ));
        }
    }

    fn pieces(&mut self, pieces: &[PieceForm]) {
        let mut before: Option<(&str, &str)> = None;
        for piece in pieces {
            if before.map(|(room, _)| room) != Some(&piece.room) {
                self.line(format!("\nroom {}", name(&piece.room)));
                before = None;
            }
            if before.map(|(_, moulding)| moulding) != Some(&piece.moulding) {
                self.line(format!("with {}", name(&piece.moulding)));
            }
            before = Some((&piece.room, &piece.moulding));
            let mut line = piece.length.0.clone();
            for (side, form) in [("left", &piece.left), ("right", &piece.right)] {
                line += &format!(" {side} {}", end(form));
            }
            if let Some(wall) = piece.wall {
                line += &format!(" wall {wall}");
            }
            self.line(line);
        }
    }
}

/// The corner after each stretch of a room that nobody has to say.
pub fn usual_corners(room: &RoomForm) -> Vec<Option<&'static str>> {
    let stretch = |item: &ItemForm| Stretch {
        opening: item.opening.is_some(),
        follows: Follows::Unsaid,
    };
    let stretches: Vec<Stretch> = room.outline.iter().map(stretch).collect();
    let usual = |implied: bool| implied.then(|| implied_turn(room.ring.is_some()));
    let implied = implied_corners(&stretches, room.closed);
    implied.into_iter().map(usual).collect()
}

fn stretch(item: &ItemForm, usual: Option<&str>) -> String {
    let mut line = match (&item.wall, &item.opening, &item.existing) {
        (Some(Written(wall)), ..) => wall.clone(),
        (_, Some(Some(Written(width))), _) => format!("opening {width}"),
        (.., Some(Written(hung))) => format!("hung {hung}"),
        _ => "opening ?".to_owned(),
    };
    let gauge = item.gauge.filter(|gauge| *gauge != 90.0).map(decimal_text);
    // writing to a string does not fail
    let _ = match (item.corner.as_deref(), gauge) {
        (corner, None) if corner == usual => Ok(()),
        (Some("outside"), Some(gauge)) => write!(line, " out {gauge}"),
        (Some("outside"), None) => write!(line, " out"),
        (Some(_), Some(gauge)) => write!(line, " corner {gauge}"),
        (Some(_), None) => write!(line, " corner"),
        (None, _) => write!(line, " on"),
    };
    if let Some(radius) = &item.radius {
        line += &format!(" round {}", radius.0);
    }
    for (side, joint) in [("left", &item.left), ("right", &item.right)] {
        if let Some(joint) = joint {
            line += &format!(" {side} {joint}");
        }
    }
    line
}

/// An end of a listed piece, such as `cope 92`.
pub fn end(form: &EndForm) -> String {
    let mut text = form.joint.clone();
    if let Some(face) = &form.face {
        text += if face == "longer" { " over" } else { " under" };
    }
    let degrees = form.gauge.filter(|gauge| *gauge != 90.0).or(form.degrees);
    if let Some(degrees) = degrees {
        text += &format!(" {}", decimal_text(degrees));
    }
    text
}

/// A name as it is, in quotation marks where it would be read as something else.
fn name(name: &str) -> String {
    let line = format!("room {name}");
    let plain = matches!(lines(&line).as_slice(), [only] if only.rest.text == name);
    // the word may part a name from its moulding
    let parted = name
        .split_whitespace()
        .any(|word| word.to_lowercase() == "with");
    match plain && !parted && !name.starts_with('"') {
        true => name.to_owned(),
        false => serde_json::Value::from(name).to_string(),
    }
}
