//! The two columns of the ends, saw-left at the left and saw-right at the right: the joint, how far from square and which
//! way, or that it is already cut.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use shared_model::{Joint, Way};

use super::scene::{BLACK_ON_WHITE, Colour, Line, Scene, WHITE_ON_BLACK, line};
use super::words::{arrow, degrees, width};
use super::{Class, Screen};
use crate::view::EndView;

pub(super) fn scene(screen: &Screen, area: Rectangle, end: EndView, left: bool) -> Scene {
    let colours = match end.already {
        true => WHITE_ON_BLACK,
        false => BLACK_ON_WHITE,
    };
    let mut scene = Scene::new(area, colours.1);
    let face = screen.face(Class::Ends);
    let full = screen.faces().full_words;
    let joint_rows = face.cap_height() + if full { face.below() } else { 0 };
    let rows = (joint_rows + face.cap_height() + face.below()) as i32;
    let spare = area.size.height as i32 - rows;
    let first = area.top_left.y + (spare - 1) / 2;
    let second = first + joint_rows as i32 + spare - (spare - 1) / 2;

    let (upper, lower) = lines(&end, full);
    for (words, y) in [(&upper, first), (&lower, second)] {
        write(screen, area, &mut scene, words, y, left, colours);
    }
    if left {
        let edge = area.top_left.x + area.size.width as i32;
        let sides = (edge - 1, edge);
        let rows = (area.top_left.y, area.size.height as i32);
        scene.slab(rows, sides, sides, Colour::Ink);
    }
    scene
}

/// What stands in the two lines, word by word as they are read.
fn lines(end: &EndView, full: bool) -> ([Line; 3], [Line; 3]) {
    let text = |text: &str| line(format_args!("{text}"));
    let none = Line::new;
    if end.already {
        // a cut shared with the piece before goes through; the plain cut of a cope is still to be made
        let rest = match end.cut.plain {
            Some(_) => "plain cut only",
            None => "no cut here",
        };
        return match full {
            true => (
                [text("Already cut"), none(), none()],
                [text(rest), none(), none()],
            ),
            false => (
                [text("ALREADY"), none(), none()],
                [text("cut"), none(), none()],
            ),
        };
    }
    let angle = degrees(end.cut.scale);
    let sign = arrow(end.cut.way).map_or(Line::new(), text);
    let way = match end.cut.way {
        Way::None => none(),
        way => text(way.word()),
    };
    match full {
        true => (
            [joint_in_full(end.cut.joint), none(), none()],
            [angle, sign, way],
        ),
        false => (
            [text(joint_in_capitals(end.cut.joint)), sign, none()],
            [angle, way, none()],
        ),
    }
}

/// Writes words in one line: from the left edge in the left column, up to the right edge in the right one, where an
/// arrow after the joint comes first, so that both arrows are on the inside.
fn write(
    screen: &Screen,
    area: Rectangle,
    scene: &mut Scene,
    words: &[Line; 3],
    y: i32,
    left: bool,
    colours: (Colour, Colour),
) {
    let face = screen.face(Class::Ends);
    let space = face.cap_height() as i32 / 4;
    let shown = || words.iter().filter(|word| !word.is_empty());
    let total: i32 = shown().map(|word| width(face, word) + space).sum::<i32>() - space;
    let margin = screen.margin();
    let mut x = match left {
        true => area.top_left.x + margin,
        false => area.top_left.x + area.size.width as i32 - margin - total,
    };
    let arrow_last = matches!(
        shown().next_back().map(|word| word.as_str()),
        Some("←" | "→")
    );
    let (mut forwards, mut backwards) = (shown(), shown().rev());
    let turned = !left && arrow_last;
    while let Some(word) = if turned {
        backwards.next()
    } else {
        forwards.next()
    } {
        scene.text(Point::new(x, y), Class::Ends, word, colours);
        x += width(face, word) + space;
    }
}

/// The joint's words with a capital first.
fn joint_in_full(joint: Joint) -> Line {
    let mut words = line(format_args!("{}", joint.word()));
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words
}

/// One word in capitals, which need no room below the line: what tells a miter from the others is its corner.
pub(super) const fn joint_in_capitals(joint: Joint) -> &'static str {
    match joint {
        Joint::Square => "SQUARE",
        Joint::Butt => "BUTT",
        Joint::Cope => "COPE",
        Joint::InsideMiter => "INSIDE",
        Joint::OutsideMiter => "OUTSIDE",
        Joint::Scarf => "SCARF",
        Joint::Return => "RETURN",
    }
}
