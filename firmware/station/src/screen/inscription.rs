//! What is written in the board's picture: which edge is down, where the board is turned, how deep the plain cut goes.
//! The picture itself is left to `board`.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use heapless::Vec;
use shared_model::{Posture, Way};

use super::layout::over_line;
use super::scene::{BLACK_ON_WOOD, Colour, Line, Scene, WHITE_ON_BLACK, line};
use super::words::{arrow, degrees, shortened, width};
use super::{Class, Screen};
use crate::letters::Face;
use crate::settings::BoardWords;
use crate::view::{BoardView, EndView};

/// The room for words inside the board, or beside a small one.
pub(super) struct Words {
    pub(super) left: i32,
    pub(super) right: i32,
    pub(super) top: i32,
    pub(super) rows: i32,
    pub(super) colours: (Colour, Colour),
}

/// Something written near an end.
struct Part {
    text: Line,
    kind: Kind,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Plain,
    WithSign,
    Sign,
}

type Slot = Vec<Part, 2>;

/// Writes what concerns each end near it and the edge between, in the longest forms that fit together.
/// Gives whether the plain cuts have their signs.
pub(super) fn write(screen: &Screen, scene: &mut Scene, lying: &BoardView, words: &Words) -> bool {
    // the ends' words are shortened before the edge's, as they say less
    const STEPS: [(usize, usize); 9] = [
        (0, 0),
        (1, 0),
        (0, 1),
        (1, 1),
        (2, 1),
        (2, 2),
        (2, 3),
        (3, 3),
        (4, 3),
    ];
    let face = screen.face(Class::Notes);
    let gap = screen.margin() * 2;
    let room_at = |ends: usize| {
        let slots = [
            slot(lying, &lying.left, ends),
            slot(lying, &lying.right, ends),
        ];
        let widths = slots.iter().map(|slot| slot_width(face, slot));
        let used = widths.map(|width| if width > 0 { width + gap } else { 0 });
        words.right - words.left - used.sum::<i32>()
    };
    let (ends, edge) = STEPS
        .into_iter()
        .find(|&(ends, edge)| width(face, &edge_words(lying, lying.posture, edge)) <= room_at(ends))
        .unwrap_or((4, 3));
    let edge = shortened(face, room_at(ends), &edge_words(lying, lying.posture, edge));

    let top = words.top + (words.rows - (face.cap_height() + face.below()) as i32 + 1) / 2;
    let left = slot(lying, &lying.left, ends);
    let right = slot(lying, &lying.right, ends);
    let (left_width, right_width) = (slot_width(face, &left), slot_width(face, &right));
    write_slot(screen, scene, &left, Point::new(words.left, top));
    write_slot(
        screen,
        scene,
        &right,
        Point::new(words.right - right_width, top),
    );
    let wide = width(face, &edge);
    let clear = |width: i32| if width > 0 { width + gap } else { 0 };
    let (low, high) = (
        words.left + clear(left_width),
        words.right - clear(right_width) - wide,
    );
    let at = Point::new((low + high) / 2, top);
    scene.text(at, Class::Notes, &edge, words.colours);
    let signed = |slot: &Slot| slot.iter().any(|part| part.kind == Kind::WithSign);
    signed(&left) || signed(&right)
}

/// Which edge is down or at the fence, the longest form first.
fn edge_words(lying: &BoardView, posture: Posture, form: usize) -> Line {
    line(format_args!(
        "{}",
        posture_words(lying.words, posture)[form]
    ))
}

/// A posture in words, the longest form first; the last one is by the edge in either wording, as nothing is shorter.
pub(super) const fn posture_words(words: BoardWords, posture: Posture) -> [&'static str; 4] {
    match (words, posture) {
        (BoardWords::Board, Posture::StandingUpright) => [
            "standing right way up",
            "right way up",
            "right way up",
            "bottom ↓",
        ],
        (BoardWords::Board, Posture::StandingUpsideDown) => [
            "standing upside down",
            "upside down",
            "upside down",
            "top ↓",
        ],
        (BoardWords::Board, Posture::FlatTopToFence) => [
            "flat, face up, top away from you: tilt",
            "flat, top away: tilt",
            "flat, top away",
            "top to fence",
        ],
        (BoardWords::Board, Posture::FlatBottomToFence) => [
            "flat, face up, top toward you: tilt",
            "flat, top to you: tilt",
            "flat, top to you",
            "bottom to fence",
        ],
        (BoardWords::Edge, Posture::StandingUpright) => {
            ["bottom edge down", "bottom down", "bottom down", "bottom ↓"]
        }
        (BoardWords::Edge, Posture::StandingUpsideDown) => {
            ["top edge down", "top down", "top down", "top ↓"]
        }
        (BoardWords::Edge, Posture::FlatTopToFence) => [
            "flat, face up, top to fence: tilt",
            "flat, top to fence: tilt",
            "flat, top to fence",
            "top to fence",
        ],
        (BoardWords::Edge, Posture::FlatBottomToFence) => [
            "flat, face up, bottom to fence: tilt",
            "flat, bottom to fence: tilt",
            "flat, bottom to fence",
            "bottom to fence",
        ],
    }
}

/// What is written at an end: that the board is turned for it, and the plain cut or that it is left to the hand saw.
fn slot(lying: &BoardView, end: &EndView, form: usize) -> Slot {
    let mut slot = Slot::new();
    let plain = end.cut.plain;
    if end.turned && (plain.is_some() || !end.already) {
        let (now, then) = (lying.posture.stands(), end.cut.posture.stands());
        let text = match (now, then, form) {
            (true, false, 3..) => "FLAT",
            (true, false, _) => "LAY FLAT",
            (false, true, 3..) => "STAND",
            (false, true, _) => "STAND UP",
            (_, _, 3..) => "TURN",
            _ => "TURN BOARD",
        };
        let then_form = if then { form } else { 3 };
        let text = match now != then && form < 2 {
            true => line(format_args!(
                "{text}: {}",
                edge_words(lying, end.cut.posture, then_form)
            )),
            false => line(format_args!("{text}")),
        };
        // two parts at most, and room for two
        let _ = slot.push(Part {
            text,
            kind: Kind::Sign,
        });
    }
    // where the other end's words leave no room for it, it is left to the plan
    if end.by_hand && form < 4 {
        let text = match form {
            0 => "plain part by hand",
            1 | 2 => "plain by hand",
            _ => "by hand",
        };
        let text = line(format_args!("{text}"));
        let kind = Kind::Plain;
        let _ = slot.push(Part { text, kind });
    }
    if let Some(plain) = plain {
        let depth = plain.depth.on_tape(lying.mark);
        let angle = degrees(plain.scale);
        let text = match (plain.way, form) {
            (Way::None, 0) => line(format_args!("plain {depth} deep")),
            (Way::None, 1 | 2) => line(format_args!("plain {depth}")),
            (Way::None, _) => line(format_args!("{depth}")),
            (way, 0) => line(format_args!("plain {depth} deep, {angle} {}", way.word())),
            (way, 1) => line(format_args!("plain {depth}, {angle} {}", way.word())),
            (way, 2) => line(format_args!("plain {depth}, {angle}{}", sign(way))),
            (way, 3) => line(format_args!("{depth} {angle}{}", sign(way))),
            // two copes with back cuts on a board that is turned: the angle is left to the plan
            (_, _) => line(format_args!("{depth}")),
        };
        let kind = match lying.part_depth && form < 3 {
            true => Kind::WithSign,
            false => Kind::Plain,
        };
        let _ = slot.push(Part { text, kind });
    }
    slot
}

fn sign(way: Way) -> &'static str {
    arrow(way).unwrap_or("")
}

fn part_width(face: &Face, part: &Part) -> i32 {
    let cap = face.cap_height() as i32;
    width(face, &part.text)
        + match part.kind {
            Kind::Plain => 0,
            Kind::WithSign => cap + cap * 3 / 8,
            Kind::Sign => cap / 2,
        }
}

fn slot_width(face: &Face, slot: &Slot) -> i32 {
    let space = face.cap_height() as i32 / 2;
    let widths = slot.iter().map(|part| part_width(face, part) + space);
    (widths.sum::<i32>() - space).max(0)
}

fn write_slot(screen: &Screen, scene: &mut Scene, slot: &Slot, at: Point) {
    let face = screen.face(Class::Notes);
    let cap = face.cap_height() as i32;
    let mut x = at.x;
    for part in slot {
        let (text_x, colours) = match part.kind {
            Kind::Plain => (x, BLACK_ON_WOOD),
            Kind::WithSign => {
                scene.sign(Point::new(x, at.y), cap, Colour::Wood);
                (x + cap + cap * 3 / 8, BLACK_ON_WOOD)
            }
            Kind::Sign => {
                let over = over_line(face);
                let corner = Point::new(x, at.y - over);
                let rows = over as u32 + face.cap_height() + face.below();
                let size = Size::new(part_width(face, part) as u32, rows);
                scene.fill(Rectangle::new(corner, size), Colour::Ink);
                (x + cap / 4, WHITE_ON_BLACK)
            }
        };
        scene.text(Point::new(text_x, at.y), Class::Notes, &part.text, colours);
        x += part_width(face, part) + cap / 2;
    }
}
