//! What is said over the foot in large letters, in answer to a press or as a question. When it is said is left to the
//! machine.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;

use super::layout::over_line;
use super::scene::{BLACK_ON_YELLOW, Line, Scene, WHITE_ON_BLACK, line};
use super::words::fitting;
use super::{Class, Screen};
use crate::view::Banner;

/// Fills the foot with a banner's two lines.
pub(super) fn draw(screen: &Screen, area: Rectangle, scene: &mut Scene, banner: Banner) {
    let (first, second, grave) = banner_words(banner);
    let colours = if grave {
        BLACK_ON_YELLOW
    } else {
        WHITE_ON_BLACK
    };
    scene.paper = colours.1;
    let face = screen.face(Class::Ends);
    let cap = face.cap_height() as i32;
    let pitch = cap + face.below() as i32 + over_line(face);
    let margin = screen.margin();
    let spare = area.size.height as i32 - pitch - cap - face.below() as i32;
    let top = area.top_left.y + spare / 2;
    let mut x = margin;
    if grave {
        scene.sign(Point::new(x, top), cap, colours.1);
        x += cap + 2 * margin;
    }
    let right = area.size.width as i32 - margin;
    for (forms, x, y) in [(&first, x, top), (&second, margin, top + pitch)] {
        let text = fitting(face, right - x, forms);
        scene.text(Point::new(x, y), Class::Ends, &text, colours);
    }
}

/// A banner's two lines, each in a long and a short form, and whether it is grave.
pub(super) fn banner_words(banner: Banner) -> ([Line; 2], [Line; 2], bool) {
    let text = |text: &str| line(format_args!("{text}"));
    let one = |words: &str| [text(words), text(words)];
    let two = |long: &str, short: &str| [text(long), text(short)];
    let uncounted = || two("this press does not count", "press not counted");
    let let_go = || two("Let go of the pedal now to", "Let go now to");
    match banner {
        Banner::LetGoToTakeBack { number } => {
            let second = line(format_args!("take back piece {number}"));
            (let_go(), [second.clone(), second], false)
        }
        Banner::LetGoToKeepStick { number } => {
            let second = line(format_args!("use stick {number} again"));
            (let_go(), [second.clone(), second], false)
        }
        Banner::NothingToTakeBack => (one("Nothing"), one("to take back"), false),
        Banner::PedalParked => (
            two("A foot is on the pedal:", "Foot on the pedal:"),
            one("lift it to go on"),
            false,
        ),
        Banner::PedalClosedAtStart => (
            two("The pedal is down:", "Pedal is down:"),
            one("lift it to start"),
            false,
        ),
        Banner::BadStickAsked { number, pieces } => {
            let first = line(format_args!("Stick {number} bad?"));
            let s = if pieces == 1 { "" } else { "s" };
            let second = [
                line(format_args!("Press again: {pieces} piece{s} wait")),
                line(format_args!("Again: {pieces} piece{s} wait")),
            ];
            ([first.clone(), first], second, true)
        }
        Banner::CutAgainAsked { number, reason } => {
            let first = [
                line(format_args!("Cut {number} again in 3 s:")),
                line(format_args!("{number} again in 3 s:")),
            ];
            (first, one(reason.words()), true)
        }
        Banner::TakenBack { number } => {
            let second = line(format_args!("piece {number}"));
            (one("Taken back:"), [second.clone(), second], false)
        }
        Banner::LetGoToGoBack => (let_go(), one("go one step back"), false),
        Banner::NotInList { number, pieces } => {
            let first = line(format_args!("No piece {number}:"));
            let second = [
                line(format_args!("the list has 1 to {pieces}")),
                line(format_args!("list is 1 to {pieces}")),
            ];
            ([first.clone(), first], second, false)
        }
        Banner::SettingsUnreadable => (
            two("Settings unreadable:", "Settings lost:"),
            one("the usual ones hold"),
            true,
        ),
        Banner::SettingsNotKept => (
            two("Settings NOT KEPT:", "NOT KEPT: settings"),
            two("they are lost at power-off", "lost at power-off"),
            true,
        ),
        Banner::BackFromLooking => (one("Back at your piece:"), uncounted(), false),
        Banner::StillStoring => (one("Still storing:"), uncounted(), false),
        Banner::NothingToDo => (one("No piece for that:"), uncounted(), false),
        Banner::NotStored => (one("NOT STORED:"), uncounted(), true),
        Banner::ListDamaged => (
            two("Saw list damaged:", "List damaged:"),
            one("load it again"),
            true,
        ),
        Banner::PressesDamaged => (
            one("Memory damaged:"),
            two("look which pieces are cut", "look what is cut"),
            true,
        ),
        Banner::Restarted => (
            two("Restarted by itself:", "It restarted:"),
            two("your place is kept", "place is kept"),
            false,
        ),
        Banner::ThisStation => (one("Here:"), one("this is the station"), false),
        Banner::MemoryFull => (one("Memory full, stop:"), one("run baserun progress"), true),
        Banner::MemoryNearlyFull { left } => {
            let second = line(format_args!("{left} presses left"));
            (one("Memory nearly full:"), [second.clone(), second], true)
        }
    }
}
