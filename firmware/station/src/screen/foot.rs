//! The lowest region: the board's picture, between which points the length runs, what comes next and what to mind; or,
//! over all of that, a banner in large letters.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use shared_model::{Arris, PieceState, Point as Mark};

use super::layout::over_line;
use super::scene::{BLACK_ON_WHITE, Colour, Line, Scene, WHITE_ON_BLACK, line};
use super::warnings::{cautions, memory_warning, strip, warnings};
use super::words::{fitting, room_and_wall, shortened, width};
use super::{Class, Screen, banner, board, page, scrap, sheet};
use crate::view::{Banner, BoardView, Body, NextView, PieceView, View};

pub(super) fn scene(screen: &Screen, area: Rectangle, view: &View) -> Scene {
    let mut scene = Scene::new(area, Colour::Paper);
    let memory = match view.banner {
        Some(Banner::MemoryNearlyFull { left }) => Some(left),
        Some(banner) => {
            banner::draw(screen, area, &mut scene, banner);
            return scene;
        }
        None => None,
    };
    match &view.body {
        Body::Piece(piece) => piece_scene(screen, area, &mut scene, piece, memory),
        Body::Scrap(view) => {
            let rows = picture(screen, area, &mut scene, &view.board);
            scrap::notes(screen, &mut scene, view, rows);
        }
        body => {
            match body {
                Body::Page(view) => sheet::write_rest(screen, &mut scene, view, memory.is_none()),
                body => page::write_rest(screen, screen.page(), &mut scene, body),
            }
            if let Some(left) = memory {
                let notes = screen.face(Class::Notes);
                let rows = (notes.over_cap() + notes.cap_height() + notes.below()) as i32;
                let bottom = area.top_left.y + area.size.height as i32;
                let words = memory_warning(left).long;
                strip(screen, &mut scene, bottom - rows, &words);
            }
        }
    }
    scene
}

/// Draws the board; gives the rows of the two lines of notes under it, and whether the plain cuts have their signs.
fn picture(
    screen: &Screen,
    area: Rectangle,
    scene: &mut Scene,
    lying: &BoardView,
) -> (i32, i32, bool) {
    let notes = screen.face(Class::Notes);
    let (over, cap, below) = (
        notes.over_cap() as i32,
        notes.cap_height() as i32,
        notes.below() as i32,
    );
    let bottom = area.top_left.y + area.size.height as i32;
    let second = bottom - below - cap;
    // the picture grows into half of the room that is left over
    let spare = area.size.height as i32 - screen.foot_rows();
    let first = second - over - below - cap - spare / 4;
    let picture = first - over_line(notes) - area.top_left.y - spare / 4;
    let picture = Size::new(area.size.width, picture as u32);
    let signed = board::draw(screen, Rectangle::new(area.top_left, picture), scene, lying);
    (first, second, signed)
}

fn piece_scene(
    screen: &Screen,
    area: Rectangle,
    scene: &mut Scene,
    piece: &PieceView,
    memory: Option<u32>,
) {
    let (first, second, signed) = picture(screen, area, scene, &piece.board());
    let notes = screen.face(Class::Notes);
    let (over, cap, below) = (
        notes.over_cap() as i32,
        notes.cap_height() as i32,
        notes.below() as i32,
    );
    let margin = screen.margin();
    let right = area.size.width as i32 - margin;
    let room = right - margin;
    let gap = 3 * margin / 2;
    if piece.looking {
        let points = fitting(notes, room, &points(piece));
        scene.text(
            Point::new(margin, first),
            Class::Notes,
            &points,
            BLACK_ON_WHITE,
        );
        let text = shortened(notes, room, &looking_words(piece.state));
        let band = Rectangle::new(
            Point::new(0, second - over),
            Size::new(area.size.width, (over + cap + below) as u32),
        );
        scene.fill(band, Colour::Ink);
        scene.text(
            Point::new(margin, second),
            Class::Notes,
            &text,
            WHITE_ON_BLACK,
        );
        return;
    }
    let all = warnings(piece, memory, signed);
    let rooms = (
        room - gap - width(notes, &next_words(piece)[3]),
        room - gap - width(notes, &points(piece)[3]),
    );
    let (lower, upper) = cautions(screen, rooms, &all);
    let used = strip(screen, scene, second - over, &lower);
    let next = fitting(notes, room - used, &next_words(piece));
    scene.text(
        Point::new(margin, second),
        Class::Notes,
        &next,
        BLACK_ON_WHITE,
    );
    let used = strip(screen, scene, first - over, &upper);
    let points = fitting(notes, room - used, &points(piece));
    scene.text(
        Point::new(margin, first),
        Class::Notes,
        &points,
        BLACK_ON_WHITE,
    );
}

/// Along which arris and between which points the length runs, and the overall length, the longest form first. The last
/// form leaves the overall length off where it is the same.
pub(super) fn points(piece: &PieceView) -> [Line; 4] {
    let figure = &piece.figure;
    let arris = match figure.arris {
        Arris::Back => "back",
        Arris::Face => "face",
    };
    let (left, right) = board::at_saw(piece.installed_left, figure.left, figure.right);
    let overall = figure.overall.on_tape(piece.mark);
    if overall == figure.length.on_tape(piece.mark) {
        let points = line(format_args!("{} to {}", point(left), point(right)));
        return [
            line(format_args!(
                "mark at the {arris} arris: {points} = overall"
            )),
            line(format_args!("{arris} arris: {points} = overall")),
            line(format_args!("{arris}: {points} = overall")),
            line(format_args!("{arris}: {points}")),
        ];
    }
    let points = line(format_args!("{} to {}", point(left), point(right)));
    let word = |mark| {
        let point = point(mark);
        point.strip_suffix(" point").unwrap_or(point)
    };
    let (left, right) = (word(left), word(right));
    [
        line(format_args!(
            "mark at the {arris} arris: {points}, overall {overall}"
        )),
        line(format_args!("{arris} arris: {points}, overall {overall}")),
        line(format_args!(
            "{arris}: {left} to {right}, overall {overall}"
        )),
        line(format_args!("{arris}: {left} to {right}, all {overall}")),
    ]
}

const fn point(mark: Mark) -> &'static str {
    match mark {
        Mark::Square => "end",
        Mark::Long => "tip",
        Mark::Short => "short point",
    }
}

/// How a piece that is only looked at stands.
pub(super) fn looking_words(state: PieceState) -> Line {
    let reason;
    let words = match state {
        PieceState::Waiting => "it is still to cut",
        PieceState::Done => "it is cut",
        PieceState::Aside => "it is set aside",
        PieceState::NoStick => "it waits for a plan",
        PieceState::Again(why) => {
            reason = line(format_args!("again, {}", why.words()));
            &reason
        }
    };
    line(format_args!("looking only: {words}"))
}

/// The next piece, the longest form first; that it comes from a new stick is in every form.
fn next_words(piece: &PieceView) -> [Line; 4] {
    let Some(NextView {
        length,
        room,
        wall,
        fresh_stick,
    }) = &piece.next
    else {
        return [(); 4].map(|()| line(format_args!("last piece")));
    };
    let [long, short] = room_and_wall(room, *wall);
    let length = length.on_tape(piece.mark);
    if *fresh_stick {
        return [
            line(format_args!("next NEW STICK {length} · {long}")),
            line(format_args!("next NEW STICK {length} · {short}")),
            line(format_args!("next NEW STICK {length}")),
            line(format_args!("next NEW STICK")),
        ];
    }
    [
        line(format_args!("next {length} · {long}")),
        line(format_args!("next {length} · {short}")),
        line(format_args!("next {length}")),
        line(format_args!("next {length}")),
    ]
}
