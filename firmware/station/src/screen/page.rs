//! What is shown where no piece is: that no list is loaded, or that the list is finished and how it stands.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use heapless::Vec;
use shared_model::{DigestText, Progress};

use super::scene::{BLACK_ON_WHITE, Colour, Line, Scene, line};
use super::words::shortened;
use super::{Class, Screen};
use crate::view::{Body, NoMemory};

/// The region above the foot.
pub(super) fn scene(screen: &Screen, area: Rectangle, body: &Body) -> Scene {
    let mut scene = Scene::new(area, Colour::Paper);
    let (head, lines) = words(body);
    let ends = screen.face(Class::Ends);
    let margin = screen.margin();
    let (left, right) = (2 * margin, area.size.width as i32 - 2 * margin);
    let top = area.top_left.y + margin + ends.over_cap() as i32;
    let head = shortened(ends, right - left, &head);
    scene.text(Point::new(left, top), Class::Ends, &head, BLACK_ON_WHITE);
    let rule = top + (ends.cap_height() + ends.below()) as i32 + margin;
    scene.slab(
        (rule, margin / 2),
        (left, right),
        (left, right),
        Colour::Ink,
    );
    let above = lines_above(screen, area, rule + margin).min(lines.len());
    write(screen, &mut scene, rule + margin, &lines[..above]);
    scene
}

/// The lines that found no room above the foot, written in it.
pub(super) fn write_rest(screen: &Screen, page: Rectangle, scene: &mut Scene, body: &Body) {
    let (_, lines) = words(body);
    let ends = screen.face(Class::Ends);
    let margin = screen.margin();
    let head = ends.over_cap() + ends.cap_height() + ends.below();
    let above = lines_above(screen, page, page.top_left.y + head as i32 + 3 * margin);
    if let Some(rest) = lines.get(above..) {
        write(screen, scene, scene.area.top_left.y, rest);
    }
}

/// How many lines fit in the page from this row on.
fn lines_above(screen: &Screen, page: Rectangle, from: i32) -> usize {
    let bottom = page.top_left.y + page.size.height as i32;
    ((bottom - from).max(0) / pitch(screen)) as usize
}

fn pitch(screen: &Screen) -> i32 {
    let notes = screen.face(Class::Notes);
    (notes.over_cap() + notes.cap_height() + notes.below()) as i32
}

fn write(screen: &Screen, scene: &mut Scene, top: i32, lines: &[Line]) {
    let notes = screen.face(Class::Notes);
    let margin = screen.margin();
    let room = scene.area.size.width as i32 - 4 * margin;
    let mut y = top + notes.over_cap() as i32;
    for text in lines {
        let text = shortened(notes, room, text);
        scene.text(
            Point::new(2 * margin, y),
            Class::Notes,
            &text,
            BLACK_ON_WHITE,
        );
        y += pitch(screen);
    }
}

pub(super) fn words(body: &Body) -> (Line, Lines) {
    match body {
        Body::Finished {
            level,
            digest,
            progress,
        } => finished(level, *digest, progress),
        Body::NoMemory(why) => no_memory(*why),
        Body::NoList | Body::Piece(_) | Body::Page(_) | Body::Scrap(_) => no_list(),
    }
}

pub(super) type Lines = Vec<Line, 7>;

fn no_list() -> (Line, Lines) {
    let lines = [
        "Plan the level on the",
        "computer, then bring",
        "its list to this saw.",
    ];
    told("No saw list", &lines)
}

fn no_memory(why: NoMemory) -> (Line, Lines) {
    let (head, cause) = match why {
        NoMemory::Unreadable => ("Memory unreadable", "Nothing is erased."),
        NoMemory::OtherProgram => ("Wrong program", "Put the old one back."),
    };
    let lines = [cause, "Power on holding", "BAD STICK loses all."];
    told(head, &lines)
}

fn told(head: &str, lines: &[&str]) -> (Line, Lines) {
    let texts = lines.iter().map(|text| line(format_args!("{text}")));
    (line(format_args!("{head}")), texts.collect())
}

fn finished(level: &str, digest: u32, progress: &Progress) -> (Line, Lines) {
    let left = progress.pieces.saturating_sub(progress.done);
    let head = match left {
        0 => line(format_args!("All cut")),
        left => line(format_args!("{left} left: no stick")),
    };
    let mut lines = Lines::new();
    // seven lines at most, and room for seven
    let mut say = |text: Line| {
        let _ = lines.push(text);
    };
    say(line(format_args!("{level}")));
    say(line(format_args!(
        "{} of {} pieces cut",
        progress.done, progress.pieces
    )));
    for (count, words) in [
        (progress.no_stick, "wait for a new plan: stick bad"),
        (progress.aside, "set aside"),
        (progress.again, "to be cut again"),
        (progress.not_in_list, "cut, but not in this list"),
    ] {
        if count > 0 {
            say(line(format_args!("{count} {words}")));
        }
    }
    say(line(format_args!("list {}", DigestText(digest))));
    (head, lines)
}
