//! The top region: room and wall as they are to be written on the piece's back and, at the side of the saw where it lies,
//! that this end will be at the left on the wall. An arrow would be copied onto a back that is seen the other way round.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use shared_model::{Side, SmallPiece};

use super::scene::{BLACK_ON_WHITE, Line, Scene, WHITE_ON_BLACK, line};
use super::words::{fitting, room_and_wall, shortened, width};
use super::{Class, Screen};
use crate::view::PieceView;

pub(super) fn scene(screen: &Screen, area: Rectangle, piece: &PieceView) -> Scene {
    let colours = match piece.looking {
        true => WHITE_ON_BLACK,
        false => BLACK_ON_WHITE,
    };
    let mut scene = Scene::new(area, colours.1);
    let (face, notes) = (screen.face(Class::Title), screen.face(Class::Notes));
    let margin = screen.margin();
    let (left, right) = (margin, area.size.width as i32 - margin);
    let spare =
        area.size.height as i32 - (face.over_cap() + face.cap_height() + face.below()) as i32;
    let top = area.top_left.y + face.over_cap() as i32 + spare / 2;

    let roomy = screen.faces().full_words;
    let rows: &[&str] = match roomy {
        true => &["left on the wall"],
        false => &["left", "on wall"],
    };
    let rows = rows.iter().map(|row| line(format_args!("{row}")));
    let tag = (rows.clone().map(|row| width(notes, &row)).max()).unwrap_or(0);
    let at_left = piece.installed_left == Side::Left;
    let tag_left = if at_left { left } else { right - tag };
    // one row stands on the name's line, two fill the region
    let mut row_top = match roomy {
        true => top + (face.cap_height() - notes.cap_height()) as i32,
        false => area.top_left.y - notes.rows("left").0,
    };
    // on a ground of its own, or it is read on into the name and what stands below
    let ground = match at_left {
        true => (0, tag_left + tag + margin / 2),
        false => (tag_left - margin / 2 - 1, right + margin),
    };
    scene.slab(
        (area.top_left.y, area.size.height as i32),
        ground,
        ground,
        colours.0,
    );
    for row in rows {
        let shift = if at_left { 0 } else { tag - width(notes, &row) };
        let at = Point::new(tag_left + shift, row_top);
        scene.text(at, Class::Notes, &row, (colours.1, colours.0));
        row_top += notes.cap_height() as i32 - notes.rows("on wall").0 + 1;
    }

    let gap = 3 * margin / 2;
    let gap = if roomy { 2 * gap } else { gap };
    let text_left = if at_left { left + tag + gap } else { left };
    let text_room = right - left - tag - gap;
    let text = title(screen, text_room, piece);
    scene.text(Point::new(text_left, top), Class::Title, &text, colours);
    scene
}

/// Room, wall and part, in the longest form that has room; at last the room's name is shortened, never the rest.
pub(super) fn title(screen: &Screen, room: i32, piece: &PieceView) -> Line {
    let face = screen.face(Class::Title);
    let [long, short] = room_and_wall(&piece.room, piece.wall);
    let (part, parts) = (piece.part, piece.parts);
    let small = piece.small.map_or("", SmallPiece::word);
    let forms = match parts {
        _ if !small.is_empty() => [
            line(format_args!("{long} · {small}")),
            line(format_args!("{short} · {small}")),
            line(format_args!("{short}·{small}")),
            line(format_args!("{short}·{small}")),
        ],
        0 | 1 => [long.clone(), long, short.clone(), short],
        _ => [
            line(format_args!("{long} · part {part} of {parts}")),
            line(format_args!("{long} · {part}/{parts}")),
            line(format_args!("{short} · {part}/{parts}")),
            line(format_args!("{short}·{part}/{parts}")),
        ],
    };
    let rest = match (piece.wall, parts) {
        (0, _) if !small.is_empty() => line(format_args!(" · {small}")),
        (wall, _) if !small.is_empty() => line(format_args!(" · {wall}·{small}")),
        (0, 0 | 1) => Line::new(),
        (wall, 0 | 1) => line(format_args!(" · {wall}")),
        (0, _) => line(format_args!(" · {part}/{parts}")),
        (wall, _) => line(format_args!(" · {wall}·{part}/{parts}")),
    };
    match forms.iter().any(|form| width(face, form) <= room) {
        true => fitting(face, room, &forms),
        false => {
            let name = shortened(face, room - width(face, &rest), &piece.room);
            line(format_args!("{name}{rest}"))
        }
    }
}
