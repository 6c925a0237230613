//! The top region: room and wall as they are to be written on the piece's back, with an arrow to its installed left.

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

    let arrow = line(format_args!(
        "{}",
        match piece.installed_left {
            Side::Left => "←",
            Side::Right => "→",
        }
    ));
    let arrow_width = width(face, &arrow);
    let roomy = screen.faces().full_words;
    let label = line(format_args!(
        "{}",
        if roomy { "write on back" } else { "back" }
    ));
    let label_width = width(notes, &label);
    let tag = match roomy {
        true => label_width + margin + arrow_width,
        false => label_width.max(arrow_width),
    };
    let at_left = piece.installed_left == Side::Left;
    let tag_left = if at_left { left } else { right - tag };
    let (label_at, arrow_at) = if roomy {
        // side by side, the arrow outermost
        let level = top + (face.cap_height() - notes.cap_height()) as i32;
        let label = if at_left {
            tag_left + arrow_width + margin
        } else {
            tag_left
        };
        let arrow = if at_left {
            tag_left
        } else {
            right - arrow_width
        };
        (Point::new(label, level), Point::new(arrow, top))
    } else {
        // one over the other, together as high as the region
        let (first, last) = face.rows(&arrow);
        let bottom = area.top_left.y + area.size.height as i32 - 1;
        let centre = tag_left + (tag - arrow_width) / 2;
        let label = area.top_left.y - notes.rows(&label).0;
        let arrow = bottom - last;
        debug_assert!(arrow + first >= label + notes.cap_height() as i32);
        (Point::new(tag_left, label), Point::new(centre, arrow))
    };
    scene.text(label_at, Class::Notes, &label, colours);
    scene.text(arrow_at, Class::Title, &arrow, colours);

    let gap = 3 * margin / 2;
    if roomy && at_left {
        // a rule keeps the label from being read on into the name
        let rule = (tag_left + tag + gap, tag_left + tag + gap + 1);
        let rows = (area.top_left.y, area.size.height as i32 - 2);
        scene.slab(rows, rule, rule, colours.0);
    }
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
