//! A page of words over the piece: the menu, the settings, the jump to a number, the cards before a list. Its rows are
//! large and few; those that find no room above the foot stand in it. What a row does is left to the machine.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use heapless::Vec;
use shared_model::{Mark, Posture};

use super::cards::card_words;
use super::inscription::posture_words;
use super::layout::{Region, over_line};
use super::scene::{BLACK_ON_WHITE, Colour, Line, Scene, WHITE_ON_BLACK, line};
use super::words::{fitting, shortened, width};
use super::{Class, Screen};
use crate::settings::{Light, Setting, Settings, Sound};
use crate::view::{MenuRow, PageView};

/// What a page says.
pub(super) struct Sheet {
    pub(super) head: Line,
    /// In the largest digits.
    pub(super) big: Option<Line>,
    pub(super) rows: Vec<Row, 5>,
    /// The longer form and the shorter.
    pub(super) note: [Line; 2],
}

impl Sheet {
    /// The same with the rows that a very small panel has room for.
    pub(super) fn in_short(view: &PageView) -> Sheet {
        let mut sheet = sheet(view);
        if let PageView::Card { card, mark } = view {
            let short = card_words(*card, *mark).short;
            sheet.rows = short.iter().map(|row| plain(row, false)).collect();
        }
        sheet
    }
}

/// One row: what it is and, at the right, how it is set.
pub(super) struct Row {
    pub(super) text: Line,
    pub(super) value: Line,
    pub(super) chosen: bool,
}

/// The region above the foot: the head, what is largest, and as many rows as have room.
pub(super) fn scene(screen: &Screen, area: Rectangle, view: &PageView) -> Scene {
    let mut scene = Scene::new(area, BLACK_ON_WHITE.1);
    let sheet = sheet(view);
    let face = screen.face(Class::Ends);
    let margin = screen.margin();
    let room = area.size.width as i32 - 4 * margin;
    let band = Size::new(area.size.width, head_rows(screen) as u32);
    scene.fill(Rectangle::new(area.top_left, band), Colour::Ink);
    let top = area.top_left.y + face.over_cap() as i32;
    let head = shortened(face, room, &sheet.head);
    scene.text(
        Point::new(2 * margin, top),
        Class::Ends,
        &head,
        WHITE_ON_BLACK,
    );
    // a line of paper is left between the head and a chosen row
    let mut y = area.top_left.y + head_rows(screen) + margin / 2;
    if let Some(big) = &sheet.big {
        let at = Point::new(2 * margin, y + margin);
        scene.text(at, Class::Number, big, BLACK_ON_WHITE);
        y += big_rows(screen, &sheet);
    }
    let (first, above, _) = slots(screen, &sheet);
    if sheet.rows.len() > first + above {
        // the rows go on in the foot
        y = area.top_left.y + area.size.height as i32 - above as i32 * pitch(screen);
    }
    for row in sheet.rows.iter().skip(first).take(above) {
        write(screen, &mut scene, y, row);
        y += pitch(screen);
    }
    scene
}

/// The rows that found no room above the foot, and the note, written in it.
pub(super) fn write_rest(screen: &Screen, scene: &mut Scene, view: &PageView, noted: bool) {
    let sheet = sheet(view);
    let (first, above, below) = slots(screen, &sheet);
    let mut y = scene.area.top_left.y;
    for row in sheet.rows.iter().skip(first + above).take(below) {
        write(screen, scene, y, row);
        y += pitch(screen);
    }
    if noted {
        let (face, margin) = (screen.face(Class::Notes), screen.margin());
        let bottom = scene.area.top_left.y + scene.area.size.height as i32;
        let at = bottom - (face.cap_height() + face.below()) as i32;
        let text = fitting(face, scene.area.size.width as i32 - 4 * margin, &sheet.note);
        scene.text(
            Point::new(2 * margin, at),
            Class::Notes,
            &text,
            BLACK_ON_WHITE,
        );
    }
}

fn write(screen: &Screen, scene: &mut Scene, top: i32, row: &Row) {
    let (face, margin) = (screen.face(Class::Ends), screen.margin());
    let right = scene.area.size.width as i32 - 2 * margin;
    let colours = match row.chosen {
        true => WHITE_ON_BLACK,
        false => BLACK_ON_WHITE,
    };
    if row.chosen {
        let size = Size::new(scene.area.size.width, pitch(screen) as u32);
        scene.fill(Rectangle::new(Point::new(0, top), size), colours.1);
    }
    let y = top + over_line(face) + face.cap_height() as i32 / 16;
    let value = right - width(face, &row.value);
    scene.text(Point::new(value, y), Class::Ends, &row.value, colours);
    let text = shortened(face, value - 3 * margin, &row.text);
    scene.text(Point::new(2 * margin, y), Class::Ends, &text, colours);
}

fn head_rows(screen: &Screen) -> i32 {
    let face = screen.face(Class::Ends);
    (face.over_cap() + face.cap_height() + face.below()) as i32
}

fn big_rows(screen: &Screen, sheet: &Sheet) -> i32 {
    let rows = screen.face(Class::Number).cap_height() as i32 + 2 * screen.margin();
    if sheet.big.is_some() { rows } else { 0 }
}

fn pitch(screen: &Screen) -> i32 {
    let face = screen.face(Class::Ends);
    let cap = face.cap_height() as i32;
    over_line(face) + cap + face.below() as i32 + cap / 16
}

/// The first row shown, and how many have room above the foot and in it: the chosen one is always among them.
fn slots(screen: &Screen, sheet: &Sheet) -> (usize, usize, usize) {
    let head = head_rows(screen) + screen.margin() / 2 + big_rows(screen, sheet);
    let page = screen.page().size.height as i32 - head;
    let notes = screen.face(Class::Notes);
    let note = (notes.over_cap() + notes.cap_height() + notes.below()) as i32;
    let foot = screen.layout.area(Region::Foot).size.height as i32 - note;
    let [above, below] = [page, foot].map(|rows| (rows.max(0) / pitch(screen)) as usize);
    (first_row(sheet, above + below), above, below)
}

/// The first row shown where only so many have room.
pub(super) fn first_row(sheet: &Sheet, room: usize) -> usize {
    let chosen = sheet.rows.iter().position(|row| row.chosen).unwrap_or(0);
    (chosen + 1).saturating_sub(room)
}

/// What a page says.
pub(super) fn sheet(view: &PageView) -> Sheet {
    match view {
        PageView::Menu { chosen } => Sheet {
            head: line(format_args!("Menu")),
            big: None,
            rows: MenuRow::ALL
                .into_iter()
                .map(|row| plain(menu_words(row), row == *chosen))
                .collect(),
            note: note("done: take it · ← →: move", "done: take it"),
        },
        PageView::Settings {
            settings,
            list,
            chosen,
        } => Sheet {
            head: line(format_args!("Settings")),
            big: None,
            rows: Setting::ALL
                .into_iter()
                .map(|row| setting(row, settings, *list, row == *chosen))
                .collect(),
            note: note("done: next · take back: menu", "done: next"),
        },
        PageView::Jump { number, pieces } => Sheet {
            head: line(format_args!("Look at piece")),
            big: Some(match number {
                0 => line(format_args!("-")),
                number => line(format_args!("{number}")),
            }),
            rows: [plain(&line(format_args!("of {pieces}")), false)]
                .into_iter()
                .collect(),
            note: note("done: look at it · ← →: ten", "done: look at it"),
        },
        PageView::Card { card, mark } => {
            let words = card_words(*card, *mark);
            Sheet {
                head: line(format_args!("{}", words.head)),
                big: None,
                rows: words.rows.iter().map(|row| plain(row, false)).collect(),
                note: note(words.note[0], words.note[1]),
            }
        }
    }
}

fn note(long: &str, short: &str) -> [Line; 2] {
    [long, short].map(|text| line(format_args!("{text}")))
}

fn plain(text: &str, chosen: bool) -> Row {
    Row {
        text: line(format_args!("{text}")),
        value: Line::new(),
        chosen,
    }
}

const fn menu_words(row: MenuRow) -> &'static str {
    match row {
        MenuRow::Jump => "Look at piece no.",
        MenuRow::Settings => "Settings",
        MenuRow::Cards => "Before the first cut",
        MenuRow::Leave => "Back to the piece",
    }
}

fn setting(row: Setting, settings: &Settings, list: Mark, chosen: bool) -> Row {
    let text = |text: &str| line(format_args!("{text}"));
    let (name, value) = match row {
        Setting::Unit => (
            "Unit",
            text(match settings.mark {
                None => "as the list",
                Some(mark) if mark.is_metric() => "millimetres",
                Some(_) => "inches",
            }),
        ),
        Setting::Mark => ("Tape mark", text(mark_words(settings.mark(list)))),
        Setting::Words => {
            let [_, words, ..] = posture_words(settings.words, Posture::StandingUpsideDown);
            ("Wording", text(words))
        }
        Setting::Sound => (
            "Beep",
            text(match settings.sound {
                Sound::Loud => "loud",
                Sound::Soft => "soft",
                Sound::Off => "off",
            }),
        ),
        Setting::Light => {
            let step = settings.light.step();
            ("Light", line(format_args!("{step} of {}", Light::STEPS)))
        }
    };
    Row {
        text: text(name),
        value,
        chosen,
    }
}

const fn mark_words(mark: Mark) -> &'static str {
    match mark {
        Mark::Eighth => "1/8 in",
        Mark::Sixteenth => "1/16 in",
        Mark::ThirtySecond => "1/32 in",
        Mark::SixtyFourth => "1/64 in",
        Mark::Millimetre => "1 mm",
        Mark::HalfMillimetre => "0.5 mm",
    }
}
