//! How a level stands as text of 80 columns. What it says is the report's.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use shared_model::Mark;

use super::new_plan::NewPlan;
use super::report::{Counts, PieceName, Report, When};
use crate::check::plural;
use crate::paper::fit::{COLUMNS, short, wrapped};
use crate::paper::words::mark;

/// The room's name, and then how many pieces are done and left.
const ROOM: usize = 32;
const PIECE: usize = 42;

/// The whole report; every line is at most 80 characters wide and ends with a line feed.
pub fn text(report: &Report, marks: Mark) -> String {
    let zone = TimeZone::system();
    let mut lines = vec![report.level.clone()];
    lines.extend(wrapped(&heading(report), COLUMNS));
    lines.extend(wrapped(&since(report, &zone), COLUMNS));
    lines.push(String::new());
    for room in &report.rooms {
        let name = short(&room.room, ROOM, false);
        let (counts, stands_by) = (counts(&room.counts), of_those(&room.counts));
        let line = format!("{name:<ROOM$} {counts}");
        match line.chars().count() + stands_by.chars().count() <= COLUMNS {
            true => lines.push(line + &stands_by),
            false => lines.extend([line, format!("{:ROOM$}{stands_by}", "")]),
        }
    }
    let named = |piece: &PieceName| piece_line(piece, marks);
    let aside = report.set_aside.iter().map(named);
    part(&mut lines, "Set aside", aside);
    let again = report.cut_again.iter();
    let again = again.map(|again| format!("{}  {}", named(&again.piece), again.reason));
    part(&mut lines, "To be cut again", again);
    let bad = report.bad_sticks.iter().map(|bad| {
        let pieces = plural(usize::from(bad.pieces), "piece");
        format!(
            "stick {}: without it for {pieces}, to be planned anew",
            bad.stick
        )
    });
    part(&mut lines, "Bad sticks", bad);
    let away = report.not_in_list.iter().map(named);
    part(&mut lines, "Cut, and not in this list", away);
    if let Some(next) = &report.next {
        part(&mut lines, "Next", [named(next)].into_iter());
    }
    if let Some(new) = &report.new_plan {
        let offered = offered(new).into_iter();
        part(&mut lines, "A new plan is wanted", offered);
    }
    lines.iter().map(|line| format!("{line}\n")).collect()
}

/// What a new plan wants to have bought, and the commands that give it.
fn offered(new: &NewPlan) -> Vec<String> {
    let what =
        "what is left is planned again from what is left of the good sticks; what is cut stays cut";
    let mut lines = wrapped(what, COLUMNS - 2);
    match new.buy.as_deref() {
        Some([]) => lines.push("nothing more has to be bought for it".to_owned()),
        Some(buy) => {
            let buy = format!("to be bought beyond the list before: {}", buy.join(", "));
            lines.extend(wrapped(&buy, COLUMNS - 2));
        }
        None => {}
    }
    lines.push(format!("to see it:   {}", new.look));
    lines.push(format!("to load it:  {}", new.load));
    lines
}

fn heading(report: &Report) -> String {
    let all = &report.all;
    let mut text = format!(
        "list {}: {} of {} done, {} left",
        report.digest, all.done, all.pieces, all.left
    );
    text.push_str(&of_those(all));
    text
}

/// When it was begun and when something was last said, by this computer's clock and calendar.
fn since(report: &Report, zone: &TimeZone) -> String {
    let (Some(first), Some(last)) = (report.first, report.last) else {
        return "nothing has been said at the saw yet".to_owned();
    };
    format!(
        "begun {}, last press {}",
        moment(first, zone),
        moment(last, zone)
    )
}

fn moment(when: When, zone: &TimeZone) -> String {
    let before = if when.exact { "" } else { "before " };
    match Timestamp::from_millisecond(when.milliseconds) {
        Ok(time) => {
            let time = time.to_zoned(zone.clone());
            format!("{before}{}", time.strftime("%a %-d %b %Y %H:%M"))
        }
        Err(_) => "at a time that no calendar has".to_owned(),
    }
}

fn counts(counts: &Counts) -> String {
    match counts.left {
        0 => format!("{:>15}", format!("all {} done", counts.pieces)),
        left => {
            let done = format!("{} of {} done", counts.done, counts.pieces);
            format!("{done:>15}, {left:>3} left")
        }
    }
}

/// What stands in the way of pieces that are left, such as ` (2 set aside, 1 without a stick)`.
fn of_those(counts: &Counts) -> String {
    let all = [
        (counts.aside, "set aside"),
        (counts.again, "again"),
        (counts.no_stick, "without a stick"),
    ];
    let some = all.iter().filter(|(count, _)| *count > 0);
    let words: Vec<String> = some
        .map(|(count, words)| format!("{count} {words}"))
        .collect();
    match words.is_empty() {
        true => String::new(),
        false => format!(" ({})", words.join(", ")),
    }
}

fn piece_line(piece: &PieceName, marks: Mark) -> String {
    let order = piece
        .order
        .map_or_else(String::new, |order| order.to_string());
    let wall = match (piece.wall, piece.parts) {
        (None, _) => String::new(),
        (Some(wall), 0) => format!(", wall {wall}, small piece"),
        (Some(wall), 0..=1) => format!(", wall {wall}"),
        (Some(wall), parts) => format!(", wall {wall} ({} of {parts})", piece.part),
    };
    let room = short(&piece.room, PIECE - wall.chars().count(), false);
    let name = format!("{room}{wall}");
    format!(
        "{order:>4}  {name:<PIECE$} {:>12}",
        mark(piece.length, marks)
    )
}

/// A heading and its lines; nothing where there are none.
fn part(lines: &mut Vec<String>, heading: &str, of: impl Iterator<Item = String>) {
    let mut of = of.peekable();
    if of.peek().is_some() {
        lines.push(String::new());
        lines.push(heading.to_owned());
        lines.extend(of.map(|line| format!("  {line}").trim_end().to_owned()));
    }
}

#[cfg(test)]
mod tests {
    use super::super::report::{AgainReport, BadStick, RoomReport};
    use super::*;
    use shared_model::Length;

    /// A report in which every line is as long as it can be.
    fn longest() -> Report {
        let counts = Counts {
            pieces: 512,
            done: 100,
            left: 412,
            aside: 100,
            again: 100,
            no_stick: 100,
        };
        let piece = PieceName {
            id: "00000000".to_owned(),
            order: Some(512),
            room: "R".repeat(40),
            wall: Some(255),
            part: 10,
            parts: 10,
            moulding: "M".repeat(40),
            length: Length::sixteenths(191 * 16 + 15),
            stick: Some(512),
        };
        let when = When {
            milliseconds: 0,
            exact: false,
        };
        let again = AgainReport {
            piece: piece.clone(),
            reason: "came out short",
        };
        let bad = BadStick {
            stick: 512,
            pieces: 100,
        };
        Report {
            progress: 1,
            level: "L".repeat(40),
            digest: "0123-4567".to_owned(),
            all: counts,
            not_in_list: vec![piece.clone()],
            first: Some(when),
            last: Some(when),
            rooms: vec![RoomReport {
                room: "R".repeat(40),
                counts,
            }],
            next: Some(piece.clone()),
            set_aside: vec![piece],
            cut_again: vec![again],
            bad_sticks: vec![bad],
            new_plan: Some(NewPlan {
                load: "baserun load den.txt".to_owned(),
                look: "baserun plan den.txt --rest".to_owned(),
                digest: None,
                buy: Some(vec![format!("12 of 16' 0\" in {}", "M".repeat(40)); 3]),
            }),
        }
    }

    #[test]
    fn no_line_is_longer_than_80_columns() {
        let text = text(&longest(), Mark::Sixteenth);
        for line in text.lines() {
            assert!(line.chars().count() <= COLUMNS, "{line}");
            assert_eq!(line, line.trim_end());
        }
    }
}
