//! A very small panel of one bit: a piece in leaves, of which the first has the length, both ends, room and wall; pages and
//! banners over all of it. The words are those of the larger screens.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use shared_model::{Joint, PieceState};

use super::banner::banner_words;
use super::ends::joint_in_capitals;
use super::inscription::posture_words;
use super::layout::over_line;
use super::scene::{BLACK_ON_WHITE, Colour, Line, Scene, WHITE_ON_BLACK, line};
use super::sheet::{Row, Sheet, first_row};
use super::warnings::{cautions, strip, warnings};
use super::words::{arrow, degrees, fitting, shortened, width};
use super::{Class, Faces, Panel, Screen, figure, foot, page, scrap, title};
use crate::view::{Banner, BoardView, Body, EndView, PieceView, ScrapView, StickView, View};

/// How many leaves a piece has: what is cut, how it lies, what it comes from, what is minded.
pub(super) const COUNT: u8 = 4;

/// Rows on a page under its head, and lines on a leaf.
const ROWS: usize = 3;
const LINES: i32 = 4;

/// Whether a panel has room for a title, the length and a line of ends, and for the longest fraction.
pub(super) fn fit(faces: &Faces, panel: Panel) -> bool {
    let (title, ends) = (faces.of(Class::Title), faces.of(Class::Ends));
    let rows = title.over_cap() + title.cap_height() + title.below();
    let number = faces.of(Class::Number).width("999");
    let fraction = faces.of(Class::Fraction);
    rows + figure_rows(faces) + ends.cap_height() <= panel.height
        && number + fraction.width("64") + ends.cap_height() <= panel.width
}

/// Rows of a stacked fraction.
fn figure_rows(faces: &Faces) -> u32 {
    2 * faces.of(Class::Fraction).cap_height() + 4
}

/// The whole screen.
pub(super) fn scene(screen: &Screen, area: Rectangle, view: &View) -> Scene {
    let mut scene = Scene::new(area, Colour::Paper);
    let memory = match view.banner {
        Some(Banner::MemoryNearlyFull { left }) => Some(left),
        Some(banner) => {
            say(screen, &mut scene, banner);
            return scene;
        }
        None => None,
    };
    match &view.body {
        Body::Piece(piece) => match piece.leaf {
            0 => first(screen, &mut scene, piece, memory),
            leaf => further(screen, &mut scene, piece, leaf, memory),
        },
        Body::Scrap(scrap) => test_cut(screen, &mut scene, scrap),
        Body::Page(view) => {
            let sheet = Sheet::in_short(view);
            head(screen, &mut scene, &sheet.head);
            if let Some(big) = &sheet.big {
                let face = screen.face(Class::Number);
                let bottom = area.size.height as i32 - face.cap_height() as i32 - 2;
                scene.text(
                    Point::new(screen.margin(), bottom),
                    Class::Number,
                    big,
                    BLACK_ON_WHITE,
                );
                let end = screen.margin() + width(face, big);
                let row = sheet.rows.first().map_or("", |row| &row.text);
                let right = area.size.width as i32 - screen.margin();
                if end + width(screen.face(Class::Notes), row) <= right {
                    write_to(screen, &mut scene, right, bottom, row);
                }
                return scene;
            }
            let from = first_row(&sheet, ROWS);
            for (slot, row) in (0..).zip(sheet.rows.iter().skip(from).take(ROWS)) {
                page_row(screen, &mut scene, slot, row);
            }
        }
        body => {
            let (title, lines) = page::words(body);
            head(screen, &mut scene, &title);
            for (slot, text) in (0..).zip(lines.iter().take(ROWS)) {
                let text = text.clone();
                let (value, chosen) = (Line::new(), false);
                page_row(
                    screen,
                    &mut scene,
                    slot,
                    &Row {
                        text,
                        value,
                        chosen,
                    },
                );
            }
        }
    }
    scene
}

/// The first leaf: room and wall, the length, both ends.
fn first(screen: &Screen, scene: &mut Scene, piece: &PieceView, memory: Option<u32>) {
    let (face, margin) = (screen.face(Class::Title), screen.margin());
    let wide = scene.area.size.width as i32;
    let title_rows = (face.over_cap() + face.cap_height() + face.below()) as i32;
    let colours = match piece.looking {
        true => WHITE_ON_BLACK,
        false => BLACK_ON_WHITE,
    };
    if piece.looking {
        let band = Size::new(wide as u32, title_rows as u32);
        scene.fill(Rectangle::new(scene.area.top_left, band), Colour::Ink);
    }
    let text = title::title(screen, wide - 2 * margin, piece);
    let at = Point::new(margin, face.over_cap() as i32);
    scene.text(at, Class::Title, &text, colours);

    let rows = figure_rows(screen.faces()) as i32;
    let area = Rectangle::new(
        Point::new(0, title_rows),
        Size::new(wide as u32, rows as u32),
    );
    let end = figure::length(screen, area, scene, piece, 0);
    facts(screen, scene, piece, (end + margin, title_rows), memory);
    ends(screen, scene, (&piece.left, &piece.right));
}

/// What stands beside the length, as far as it has room: the place in the list, what is asked for, that something is to be
/// minded.
fn facts(
    screen: &Screen,
    scene: &mut Scene,
    piece: &PieceView,
    (left, top): (i32, i32),
    memory: Option<u32>,
) {
    let face = screen.face(Class::Notes);
    let right = scene.area.size.width as i32 - 1;
    let room = right - left;
    let (number, pieces) = (piece.number, piece.progress.pieces);
    let places = [
        line(format_args!("{number}/{pieces}")),
        line(format_args!("{number}")),
    ];
    let states = match (piece.looking, piece.state, piece.stick) {
        (true, PieceState::Done, _) => ["is cut", "cut"],
        (true, ..) => ["looking", "look"],
        (false, _, StickView::Fresh { .. }) => ["new stick", "new"],
        (false, _, StickView::Unplanned) => ["recut", "re"],
        (false, _, StickView::Same { .. }) => ["", ""],
    };
    let states = states.map(|text| line(format_args!("{text}")));
    let pitch = face.cap_height() as i32 + 2;
    let mut y = top + over_line(face);
    for forms in [&places, &states] {
        if let Some(text) = forms.iter().find(|form| width(face, form) <= room) {
            write_to(screen, scene, right, y, text);
        }
        y += pitch;
    }
    let cap = face.cap_height() as i32;
    if !warnings(piece, memory, false).is_empty() && cap <= room {
        scene.sign(Point::new(right - cap, y + 1), cap - 4, Colour::Paper);
    }
}

/// Both ends in one line, in the longest forms that fit together; both arrows on the inside.
fn ends(screen: &Screen, scene: &mut Scene, (left, right): (&EndView, &EndView)) {
    let face = screen.face(Class::Ends);
    let wide = scene.area.size.width as i32;
    let y = scene.area.size.height as i32 - face.cap_height() as i32;
    let gap = 2 * screen.margin();
    let forms = |form| (end_words(left, form, true), end_words(right, form, false));
    let together = |(left, right): &(Line, Line)| width(face, left) + width(face, right) + gap;
    let (at_left, at_right) = (0..FORMS)
        .map(forms)
        .find(|both| together(both) <= wide)
        .unwrap_or_else(|| forms(FORMS - 1));
    let from = wide - width(face, &at_right);
    for (end, text, x) in [(left, at_left, 0), (right, at_right, from)] {
        let colours = match end.already {
            true => WHITE_ON_BLACK,
            false => BLACK_ON_WHITE,
        };
        if end.already {
            let (corner, columns) = (Point::new(x, y), width(face, &text) as u32);
            let size = Size::new(columns, face.cap_height());
            scene.fill(Rectangle::new(corner, size), colours.1);
        }
        scene.text(Point::new(x, y), Class::Ends, &text, colours);
    }
}

const FORMS: usize = 5;

/// An end in one word, how far and which way, the longest form first.
fn end_words(end: &EndView, form: usize, at_left: bool) -> Line {
    if end.already {
        return line(format_args!("ALREADY"));
    }
    let word = match form {
        0 => joint_in_capitals(end.cut.joint),
        form => short_word(end.cut.joint, form + 1 == FORMS),
    };
    let Some(sign) = arrow(end.cut.way) else {
        return line(format_args!("{word}"));
    };
    let angle = degrees(end.cut.degrees);
    let bare = angle.trim_end_matches('°');
    match (form, at_left) {
        // a return is always at 45
        (1.., true) if end.cut.joint == Joint::Return => line(format_args!("{word}{sign}")),
        (1.., false) if end.cut.joint == Joint::Return => line(format_args!("{sign}{word}")),
        (0 | 1, true) => line(format_args!("{word} {angle} {sign}")),
        (0 | 1, false) => line(format_args!("{sign} {angle} {word}")),
        (2, true) => line(format_args!("{word} {angle}{sign}")),
        (2, false) => line(format_args!("{sign}{angle} {word}")),
        (_, true) => line(format_args!("{word}{bare}{sign}")),
        (_, false) => line(format_args!("{sign}{bare}{word}")),
    }
}

/// A joint's short word, as a text sheet has it for a corner.
const fn short_word(joint: Joint, shortest: bool) -> &'static str {
    match joint {
        Joint::InsideMiter => "IN",
        Joint::OutsideMiter => "OUT",
        Joint::Scarf if shortest => "LAP",
        joint => joint_in_capitals(joint),
    }
}

/// The other leaves.
fn further(screen: &Screen, scene: &mut Scene, piece: &PieceView, leaf: u8, memory: Option<u32>) {
    let (face, margin) = (screen.face(Class::Notes), screen.margin());
    let room = scene.area.size.width as i32 - 2 * margin;
    let count = line(format_args!("{}/{COUNT}", leaf + 1));
    write_to(
        screen,
        scene,
        room + margin,
        line_top(screen, scene, 0),
        &count,
    );
    let beside = room - width(face, &count) - margin;
    let say = |scene: &mut Scene, row: i32, forms: &[Line]| {
        let room = if row == 0 { beside } else { room };
        let at = Point::new(margin, line_top(screen, scene, row));
        scene.text(
            at,
            Class::Notes,
            &fitting(face, room, forms),
            BLACK_ON_WHITE,
        );
    };
    match leaf {
        1 => {
            // a name with accents stands on the first line: the others have no room over them
            say(scene, 0, &[line(format_args!("{}", piece.moulding))]);
            say(scene, 1, &posture(&piece.board()));
            say(scene, 2, &end_rest(piece, &piece.left, "left"));
            say(scene, 3, &end_rest(piece, &piece.right, "right"));
        }
        2 => {
            let (stick, length) = figure::stick_lines(face, room, piece);
            say(scene, 0, &[stick]);
            say(scene, 1, &[length]);
            // the last form of all ends before the overall length
            let [.., points] = foot::points(piece);
            let (points, _) = points.split_once(", ").unwrap_or((&points, ""));
            say(scene, 2, &[line(format_args!("{points}"))]);
            let overall = piece.figure.overall.on_tape(piece.mark);
            say(scene, 3, &[line(format_args!("overall {overall}"))]);
        }
        _ => {
            let name = title::title(screen, beside, piece);
            say(scene, 0, &[name]);
            let side = piece.installed_left.word();
            let after = match piece.looking {
                true => foot::looking_words(piece.state),
                false => line(format_args!("{side} end: left on wall")),
            };
            say(
                scene,
                1,
                &[after, line(format_args!("{side}: left on wall"))],
            );
            let all = warnings(piece, memory, false);
            let (lower, upper) = cautions(screen, (room, room), &all);
            for (row, text) in [(2, &upper), (3, &lower)] {
                let top = line_top(screen, scene, row) - face.over_cap() as i32;
                strip(screen, scene, top, text);
            }
        }
    }
}

fn posture(lying: &BoardView) -> [Line; 4] {
    posture_words(lying.words, lying.posture).map(|words| line(format_args!("{words}")))
}

/// What is to be known of an end beside its cut: that the board is turned for it, and the plain cut.
fn end_rest(piece: &PieceView, end: &EndView, side: &str) -> [Line; 2] {
    let turned = end.turned && (end.cut.plain.is_some() || !end.already);
    let turn = match (piece.posture.stands(), end.cut.posture.stands()) {
        _ if !turned => "",
        (true, false) => "lay flat",
        (false, true) => "stand up",
        _ => "turn board",
    };
    let Some(plain) = end.cut.plain else {
        let rest = match (turned, end.by_hand) {
            (true, true) => return [(); 2].map(|()| line(format_args!("{side}: {turn}, by hand"))),
            (true, false) => turn,
            (false, true) => "plain by hand",
            (false, false) => "as it lies",
        };
        return [(); 2].map(|()| line(format_args!("{side}: {rest}")));
    };
    let depth = plain.depth.on_tape(piece.mark);
    let sign = arrow(plain.way).unwrap_or("");
    let angle = match sign {
        "" => Line::new(),
        sign => line(format_args!(", {}{sign}", degrees(plain.degrees))),
    };
    let comma = if turned { ", " } else { "" };
    [
        line(format_args!("{side}: {turn}{comma}plain {depth}{angle}")),
        line(format_args!("{side}: {turn}{comma}{depth}{angle}")),
    ]
}

/// A test cut: what to cut, how it lies, both ends.
fn test_cut(screen: &Screen, scene: &mut Scene, view: &ScrapView) {
    let wide = scene.area.size.width as i32 - 2 * screen.margin();
    let name = fitting(screen.face(Class::Title), wide, &scrap::names(view));
    head(screen, scene, &name);
    let text = scrap::to_cut_in_short(view);
    let room = scene.area.size.width as i32 - 2 * screen.margin();
    let lies = fitting(screen.face(Class::Notes), room, &posture(&view.board));
    for (slot, text) in [text, lies].into_iter().enumerate() {
        let (value, chosen) = (Line::new(), false);
        page_row(
            screen,
            scene,
            slot as i32,
            &Row {
                text,
                value,
                chosen,
            },
        );
    }
    ends(screen, scene, (&view.board.left, &view.board.right));
}

/// A page's head, dark on lit.
fn head(screen: &Screen, scene: &mut Scene, text: &Line) {
    let (face, margin) = (screen.face(Class::Title), screen.margin());
    let wide = scene.area.size.width;
    let band = Size::new(wide, head_rows(screen) as u32);
    scene.fill(Rectangle::new(Point::zero(), band), Colour::Ink);
    let text = shortened(face, wide as i32 - 2 * margin, text);
    let at = Point::new(margin, over_line(face));
    scene.text(at, Class::Title, &text, WHITE_ON_BLACK);
}

fn head_rows(screen: &Screen) -> i32 {
    let face = screen.face(Class::Title);
    over_line(face) + (face.cap_height() + face.below()) as i32
}

/// One of the rows under a page's head.
fn page_row(screen: &Screen, scene: &mut Scene, slot: i32, row: &Row) {
    let (face, margin) = (screen.face(Class::Notes), screen.margin());
    let wide = scene.area.size.width as i32;
    let pitch = (scene.area.size.height as i32 - head_rows(screen)) / ROWS as i32;
    // a dark line is left between the head and a chosen row
    let top = scene.area.size.height as i32 - (ROWS as i32 - slot) * pitch;
    let colours = match row.chosen {
        true => WHITE_ON_BLACK,
        false => BLACK_ON_WHITE,
    };
    if row.chosen {
        let size = Size::new(wide as u32, pitch as u32);
        scene.fill(Rectangle::new(Point::new(0, top), size), colours.1);
    }
    let y = top + over_line(face) + 1;
    let value = wide - margin - width(face, &row.value);
    scene.text(Point::new(value, y), Class::Notes, &row.value, colours);
    let text = shortened(face, value - margin, &row.text);
    scene.text(Point::new(margin, y), Class::Notes, &text, colours);
}

/// A banner over all of it.
fn say(screen: &Screen, scene: &mut Scene, banner: Banner) {
    let (first, second, grave) = banner_words(banner);
    let colours = match grave {
        true => BLACK_ON_WHITE,
        false => WHITE_ON_BLACK,
    };
    scene.paper = colours.1;
    let (face, margin) = (screen.face(Class::Ends), screen.margin());
    let right = scene.area.size.width as i32 - margin;
    let cap = face.cap_height() as i32;
    for (row, forms) in [(1, &first), (2, &second)] {
        let y = line_top(screen, scene, row);
        let mut x = margin;
        if grave && row == 1 {
            scene.sign(Point::new(x, y), cap, colours.1);
            x += cap + margin;
        }
        let text = fitting(face, right - x, forms);
        scene.text(Point::new(x, y), Class::Ends, &text, colours);
    }
}

/// The top of a capital in one of the leaf's lines.
fn line_top(screen: &Screen, scene: &Scene, row: i32) -> i32 {
    let pitch = scene.area.size.height as i32 / LINES;
    let over = (pitch - screen.face(Class::Notes).cap_height() as i32) / 2;
    row * pitch + over + i32::from(row == 0)
}

/// Writes a text up to a column.
fn write_to(screen: &Screen, scene: &mut Scene, right: i32, y: i32, text: &str) {
    let face = screen.face(Class::Notes);
    let text = line(format_args!("{text}"));
    let at = Point::new(right - width(face, &text), y);
    scene.text(at, Class::Notes, &text, BLACK_ON_WHITE);
}
