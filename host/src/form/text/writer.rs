//! Writes a walk or a cut list as a text sheet: the saw and the stock first, then room by room, a corner only where it is
//! not the one that is implied.

use std::fmt::Write;

use super::ends::{Follows, Stretch, implied_corners, implied_turn};
use super::lines::lines;
use crate::form::cut_list::{EndForm, PieceForm};
use crate::form::number::{Written, decimal_text};
use crate::form::out::Form;
use crate::form::setup::{MouldingForm, SawForm};
use crate::form::walk::{ItemForm, MeasuredForm, RoomForm, WalkForm};

/// A text sheet that reads back to the same.
pub fn write(form: &Form) -> String {
    let mut sheet = Out(String::new());
    match form {
        Form::Walk(walk) => {
            sheet.top(&walk.level, &walk.unit, walk.mark.as_deref());
            sheet.way(walk);
            sheet.saw(&walk.saw);
            sheet.mouldings(&walk.mouldings);
            for room in &walk.rooms {
                sheet.room(room, &walk.mouldings);
            }
        }
        Form::CutList(list) => {
            sheet.line("cut list");
            sheet.top(&list.level, &list.unit, list.mark.as_deref());
            sheet.saw(&list.saw);
            sheet.mouldings(&list.mouldings);
            sheet.pieces(&list.pieces);
        }
    }
    sheet.0
}

struct Out(String);

impl Out {
    fn line(&mut self, line: impl AsRef<str>) {
        self.0.push_str(line.as_ref());
        self.0.push('\n');
    }

    fn top(&mut self, level: &str, unit: &str, mark: Option<&str>) {
        self.line(format!("level {}", name(level)));
        self.line(format!("unit {unit}"));
        if let Some(mark) = mark {
            self.line(format!("tape {mark}"));
        }
    }

    fn way(&mut self, walk: &WalkForm) {
        self.line(format!("walk {}", walk.direction));
        self.line(format!("cope {}", walk.cope));
        self.line(format!("miter over {}", decimal_text(walk.cope_up_to)));
        for spring in &walk.spring {
            self.line(format!("spring {} over {}", spring.add.0, spring.over.0));
        }
        let stud = walk.scarf.stud.as_ref();
        self.line(format!(
            "scarf {} stud {} least {}",
            decimal_text(walk.scarf.degrees),
            stud.map_or("none", |stud| &stud.0),
            walk.scarf.least.0
        ));
        let measured = &walk.measured;
        if *measured != MeasuredForm::default() {
            let with = measured.with.as_deref().map(|with| format!(" {with},"));
            self.line(format!(
                "measured{} corners {} gauge {}",
                with.unwrap_or_default(),
                decimal_text(measured.corners),
                decimal_text(measured.gauge)
            ));
        }
    }

    fn saw(&mut self, saw: &SawForm) {
        self.line(format!("saw {}", saw.posture));
        self.line(format!(
            "saw tall {}, wide {}, kerf {}, trim {}, stock {}, slides {}",
            saw.standing_height.0,
            saw.flat_width.0,
            saw.kerf.0,
            saw.end_trim.0,
            saw.stock_side,
            if saw.slides { "yes" } else { "no" }
        ));
        for (word, left, right) in [
            ("swing", saw.swing_left, saw.swing_right),
            ("tilt", saw.tilt_left, saw.tilt_right),
        ] {
            let (left, right) = (decimal_text(left), decimal_text(right));
            self.line(format!("{word} left {left} right {right}"));
        }
    }

    fn mouldings(&mut self, mouldings: &[MouldingForm]) {
        for moulding in mouldings {
            self.line(format!("\nmoulding {}", name(&moulding.name)));
            self.line(format!(
                "high {} thick {} profile {}",
                moulding.height.0, moulding.thickness.0, moulding.profile.0
            ));
            for stick in &moulding.sticks {
                let mut line = format!("stick {}", stick.length.0);
                if let Some(price) = stick.price {
                    line += &format!(" at {}", decimal_text(price));
                }
                if let Some(count) = stick.count {
                    line += &format!(" have {count}");
                }
                self.line(line);
            }
            for offcut in &moulding.offcuts {
                self.line(format!("offcut {}", offcut.0));
            }
        }
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
        let stretches: Vec<Stretch> = room
            .outline
            .iter()
            .map(|item| Stretch {
                opening: item.opening.is_some(),
                follows: Follows::Unsaid,
            })
            .collect();
        for (item, implied) in room
            .outline
            .iter()
            .zip(implied_corners(&stretches, room.closed))
        {
            let usual = implied.then(|| implied_turn(room.ring.is_some()));
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
    for (side, joint) in [("left", &item.left), ("right", &item.right)] {
        if let Some(joint) = joint {
            line += &format!(" {side} {joint}");
        }
    }
    line
}

fn end(form: &EndForm) -> String {
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
    match plain && !name.starts_with('"') {
        true => name.to_owned(),
        false => serde_json::Value::from(name).to_string(),
    }
}
