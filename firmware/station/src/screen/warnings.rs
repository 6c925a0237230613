//! What to mind while a piece is cut: which words are shown where they have room, and the strip with the sign. When a
//! caution applies is left to the planner, where the strips go to the foot.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use heapless::Vec;
use shared_model::{Caution, PieceState};

use super::scene::{BLACK_ON_YELLOW, Colour, Line, Scene, line};
use super::words::{shortened, width};
use super::{Class, Screen};
use crate::view::PieceView;

/// One thing to mind, in words for a roomy line and for a narrow one.
pub(super) struct Warning {
    pub(super) long: Line,
    short: Line,
}

pub(super) fn memory_warning(left: u32) -> Warning {
    Warning {
        long: line(format_args!("memory: {left} presses left")),
        short: line(format_args!("memory low")),
    }
}

/// What to mind, the gravest first; the plain cut has its sign and its words in the picture, and so is no more said.
pub(super) fn warnings(piece: &PieceView, memory: Option<u32>, signed: bool) -> Vec<Warning, 11> {
    let cautions = piece
        .cautions
        .iter()
        .filter(|&caution| !(signed && caution == Caution::PartDepth));
    memory
        .map(memory_warning)
        .into_iter()
        .chain(cautions.map(|caution| Warning {
            long: line(format_args!("{}", caution.words())),
            short: line(format_args!("{}", short_words(caution))),
        }))
        .chain(state_warning(piece.state))
        .collect()
}

/// Why the piece comes up out of its turn.
fn state_warning(state: PieceState) -> Option<Warning> {
    match state {
        PieceState::Aside => Some(Warning {
            long: line(format_args!("was set aside")),
            short: line(format_args!("set aside")),
        }),
        PieceState::Again(reason) => Some(Warning {
            long: line(format_args!("recut: {}", reason.words())),
            short: line(format_args!("recut")),
        }),
        PieceState::Waiting | PieceState::Done | PieceState::NoStick => None,
    }
}

const fn short_words(caution: Caution) -> &'static str {
    match caution {
        Caution::ShortPiece => "clamp it",
        Caution::ShortHold => "short hold",
        Caution::LongPiece => "long board",
        Caution::NearSawLimit => "near limit",
        Caution::FenceClear => "fence clear",
        Caution::PartDepth => "part depth",
        Caution::TallBoard => "tall board",
        Caution::ReturnWedge => "wedge",
        Caution::LeadPaint => "lead paint",
    }
}

/// What to mind, for the lower and the upper line: in long words where all of it has room so, else in short ones, and
/// what finds no room even then is counted.
pub(super) fn cautions(
    screen: &Screen,
    (lower, upper): (i32, i32),
    all: &[Warning],
) -> (Line, Line) {
    let fits = |text: &Line, room: i32| strip_width(screen, text) <= room;
    let joined = |part: &[Warning], long: bool| {
        let mut text = Line::new();
        for warning in part {
            let words = if long { &warning.long } else { &warning.short };
            let comma = if text.is_empty() { "" } else { ", " };
            text = line(format_args!("{text}{comma}{words}"));
        }
        text
    };
    for long in [true, false] {
        for count in (0..=all.len()).rev() {
            let (below, above) = all.split_at(count);
            let (below, above) = (joined(below, long), joined(above, long));
            if fits(&below, lower) && fits(&above, upper) {
                return (below, above);
            }
        }
    }
    for count in (1..all.len()).rev() {
        let rest = &all[count..];
        let above = (0..rest.len())
            .rev()
            .find(|&above| fits(&joined(&rest[..above], false), upper))
            .unwrap_or(0);
        let below = joined(&all[..count], false);
        let below = line(format_args!("{below} +{}", rest.len() - above));
        if fits(&below, lower) {
            return (below, joined(&rest[..above], false));
        }
    }
    let first = all.first().map_or("", |warning| &warning.short);
    let room = lower - strip_width(screen, &line(format_args!(" ")));
    (
        shortened(screen.face(Class::Notes), room, first),
        Line::new(),
    )
}

fn strip_width(screen: &Screen, text: &Line) -> i32 {
    let notes = screen.face(Class::Notes);
    let cap = notes.cap_height() as i32;
    match text.is_empty() {
        true => 0,
        false => width(notes, text) + cap + cap / 2,
    }
}

/// Draws a caution's strip at the right end of the line whose accents begin at `top`; gives its width and
/// the gap before it.
pub(super) fn strip(screen: &Screen, scene: &mut Scene, top: i32, text: &Line) -> i32 {
    if text.is_empty() {
        return 0;
    }
    let notes = screen.face(Class::Notes);
    let (over, cap, below) = (
        notes.over_cap() as i32,
        notes.cap_height() as i32,
        notes.below() as i32,
    );
    let (wide, gap) = (strip_width(screen, text), 3 * screen.margin() / 2);
    let left = scene.area.size.width as i32 - screen.margin() - wide;
    let corner = Point::new(left, top + over - over.min(2));
    let size = Size::new(wide as u32, (over.min(2) + cap + below) as u32);
    scene.fill(Rectangle::new(corner, size), Colour::Caution);
    let y = top + over;
    scene.sign(Point::new(left + cap / 8, y), cap, Colour::Caution);
    let at = Point::new(left + cap + cap / 4 + cap / 8, y);
    scene.text(at, Class::Notes, text, BLACK_ON_YELLOW);
    wide + gap
}
