//! The region of the length to mark, as large as can be, and beside it the place in the list, the stick and the
//! moulding.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use heapless::Vec;
use shared_model::TapeReading;

use super::scene::{BLACK_ON_WHITE, Colour, Line, Scene, WHITE_ON_BLACK, line};
use super::words::{fitting, shortened, stick_length, width};
use super::{Class, Screen};
use crate::letters::Face;
use crate::view::{PieceView, StickView};

pub(super) fn scene(screen: &Screen, area: Rectangle, piece: &PieceView) -> Scene {
    let mut scene = Scene::new(area, Colour::Paper);
    let facts_room = width(screen.face(Class::Notes), "0000") + screen.margin();
    let end = length(screen, area, &mut scene, piece, facts_room);
    let left = end + screen.margin();
    facts(screen, area, &mut scene, piece, left);
    scene
}

/// Draws the length and gives the column after it; so many columns beside it stay free. A length of more digits than a
/// stick can have is drawn in the fraction's face.
pub(super) fn length(
    screen: &Screen,
    area: Rectangle,
    scene: &mut Scene,
    piece: &PieceView,
    beside: i32,
) -> i32 {
    let reading = piece.figure.length.on_tape(piece.mark);
    let margin = screen.margin();
    let room = area.size.width as i32 - 2 * margin - beside;
    let large = width_of(screen, Class::Number, &reading) <= room;
    let class = if large {
        Class::Number
    } else {
        Class::Fraction
    };
    let (face, small) = (screen.face(class), screen.face(Class::Fraction));
    let height = area.size.height as i32;
    let top = area.top_left.y + (height - face.cap_height() as i32) / 2;
    let mut x = margin;

    let whole = whole(&reading);
    scene.text(Point::new(x, top), class, &whole, BLACK_ON_WHITE);
    x += width(face, &whole);
    if reading.numerator == 0 {
        return x;
    }
    x += gap(face, &reading);
    let cap = small.cap_height() as i32;
    if reading.metric {
        let half = line(format_args!(".5"));
        let level = top + face.cap_height() as i32 - cap;
        scene.text(Point::new(x, level), Class::Fraction, &half, BLACK_ON_WHITE);
        return x + width(small, &half);
    }
    let bar = (face.cap_height() as i32 / 18).max(2);
    let between = bar + 2 * (bar / 2);
    let upper = area.top_left.y + (height - 2 * cap - between) / 2;
    let bar_top = upper + cap + bar / 2;
    let (numerator, denominator) = (
        line(format_args!("{}", reading.numerator)),
        line(format_args!("{}", reading.denominator)),
    );
    let wide = width(small, &numerator).max(width(small, &denominator));
    for (text, y) in [(numerator, upper), (denominator, upper + cap + between)] {
        let inset = (wide - width(small, &text)) / 2;
        scene.text(
            Point::new(x + inset, y),
            Class::Fraction,
            &text,
            BLACK_ON_WHITE,
        );
    }
    scene.slab((bar_top, bar), (x, x + wide), (x, x + wide), Colour::Ink);
    x + wide
}

fn whole(reading: &TapeReading) -> Line {
    let sign = if reading.negative { "-" } else { "" };
    match (reading.whole, reading.numerator) {
        (0, 1..) if !reading.metric => line(format_args!("{sign}")),
        (whole, _) => line(format_args!("{sign}{whole}")),
    }
}

/// Columns between the whole and its fraction; a decimal point brings its own.
fn gap(face: &Face, reading: &TapeReading) -> i32 {
    match reading.metric || reading.whole == 0 {
        true => 0,
        false => face.cap_height() as i32 / 18,
    }
}

fn width_of(screen: &Screen, class: Class, reading: &TapeReading) -> i32 {
    let (face, small) = (screen.face(class), screen.face(Class::Fraction));
    let whole = whole(reading);
    let fraction = match (reading.numerator, reading.metric) {
        (0, _) => 0,
        (_, true) => width(small, ".5"),
        (_, false) => width(small, &line(format_args!("{}", reading.denominator))),
    };
    width(face, &whole) + gap(face, reading) + fraction
}

/// One line beside the length.
struct Fact {
    text: Line,
    /// Set in white on black, because it asks for something to be fetched.
    stressed: bool,
}

fn facts(screen: &Screen, area: Rectangle, scene: &mut Scene, piece: &PieceView, left: i32) {
    let notes = screen.face(Class::Notes);
    let right = area.size.width as i32 - screen.margin();
    let facts = fact_lines(notes, right - left, piece);
    let height = area.size.height as i32;
    let (over, cap) = (notes.over_cap() as i32, notes.cap_height() as i32);
    // only the last line is a name, with letters that reach over and below
    let last = over + cap + notes.below() as i32;
    let pitch = (height - last) / 3;
    let widest = facts.iter().filter(|fact| fact.stressed);
    let widest = widest
        .map(|fact| width(notes, &fact.text))
        .max()
        .unwrap_or(0);
    let band_left = right - widest - screen.margin();
    for (index, fact) in (0..).zip(&facts) {
        if fact.text.is_empty() {
            continue;
        }
        let band = area.top_left.y + index * pitch;
        let (rows, above) = match index {
            3 => (height - 3 * pitch, over),
            _ => (pitch, (pitch - cap) / 2),
        };
        let top = band + above;
        let x = right - width(notes, &fact.text);
        let colours = match fact.stressed {
            true => WHITE_ON_BLACK,
            false => BLACK_ON_WHITE,
        };
        if fact.stressed {
            let corner = Point::new(band_left, band);
            let size = Size::new((area.size.width as i32 - band_left) as u32, rows as u32);
            scene.fill(Rectangle::new(corner, size), Colour::Ink);
        }
        scene.text(Point::new(x, top), Class::Notes, &fact.text, colours);
    }
}

fn fact_lines(face: &Face, room: i32, piece: &PieceView) -> Vec<Fact, 4> {
    let (number, pieces) = (piece.number, piece.progress.pieces);
    let place = [
        line(format_args!("{number} of {pieces}")),
        line(format_args!("{number}/{pieces}")),
        line(format_args!("{number}")),
    ];
    let (stick, length) = stick_lines(face, room, piece);
    let fetched = !matches!(piece.stick, StickView::Same { .. });
    let mut facts = Vec::new();
    for (text, stressed) in [
        (fitting(face, room, &place), false),
        (stick, fetched),
        (length, fetched),
        (shortened(face, room, &piece.moulding), piece.new_moulding),
    ] {
        // four lines, and room for four
        let _ = facts.push(Fact { text, stressed });
    }
    facts
}

/// Which stick, and how long a fresh one is.
pub(super) fn stick_lines(face: &Face, room: i32, piece: &PieceView) -> (Line, Line) {
    let named = |long: &str, number: u16| {
        [
            line(format_args!("{long} {number}")),
            line(format_args!("no. {number}")),
            line(format_args!("{number}")),
        ]
    };
    match piece.stick {
        StickView::Same { number } => (fitting(face, room, &named("stick", number)), Line::new()),
        StickView::Fresh {
            number,
            length,
            offcut,
        } => {
            let long = if offcut { "offcut" } else { "stick" };
            let length = stick_length(length, piece.mark);
            let bare = length.strip_suffix(" mm").unwrap_or(&length);
            let lengths = [
                line(format_args!("take {length}")),
                length.clone(),
                line(format_args!("{bare}")),
            ];
            let first = fitting(face, room, &named(long, number));
            (first, fitting(face, room, &lengths))
        }
        StickView::Unplanned => (line(format_args!("recut")), Line::new()),
    }
}
