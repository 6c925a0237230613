//! What is on the panel: after the power came, and piece by piece, the same pixels as on this computer; in what time and
//! for how many bytes. Which pixels are right is left to the station's own tests.

use embedded_graphics::prelude::*;
use station::machine::Key;

use super::canvas::Canvas;
use super::host::PRESSES;
use super::memory::assert_within_budget;
use super::pico::{FlashTimes, Pico, SIZE};
use super::saw_list::{Twin, flash, flash_after, long_sheet, sheet};

/// Whether the panel shows this very picture.
pub fn shows(pico: &mut Pico, expected: &Canvas) -> bool {
    first_difference(pico, expected).is_none()
}

/// The panel shows this very picture.
pub fn assert_shows(pico: &mut Pico, expected: &Canvas, when: &str) {
    assert_eq!(
        first_difference(pico, expected),
        None,
        "{when}: the first pixel that differs, column and row"
    );
    assert_eq!(pico.picture().light, 100, "{when}");
}

/// Column and row of the first pixel that is not as it should be.
fn first_difference(pico: &mut Pico, expected: &Canvas) -> Option<(usize, usize)> {
    let picture = pico.picture();
    let (columns, rows) = SIZE;
    let differs = (0..columns * rows).find(|&at| {
        let point = Point::new((at % columns) as i32, (at / columns) as i32);
        picture.pixels[at] != expected.at(point)
    });
    differs.map(|at| (at % columns, at / columns))
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn after_power_on_the_piece_is_up_within_400_ms_and_no_command_is_hurried() {
    // a list that was hardly begun, and a long one with nearly all presses that the log holds
    for (sheet, events) in [(sheet(), 1), (long_sheet(400), PRESSES)] {
        let mut pico = Pico::new(FlashTimes::WORST, Some(&flash_after(&sheet, events)));
        pico.start();
        let report = pico.report();
        println!(
            "{} pieces and {events} events: first picture at {:?} ms, {} bytes, {} cycles",
            sheet.pieces.len(),
            report.panel.shown_since,
            report.panel.bytes,
            report.cycles
        );
        assert!(report.panel.shown_since.is_some_and(|at| at <= 400.0));
        assert_eq!(report.panel.complaints, [""; 0]);
        pico.run(10.0);
        assert_shows(&mut pico, &Twin::of(&sheet).picture(), "at the start");
        assert_within_budget(&mut pico);
    }
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn every_piece_has_the_pixels_that_it_has_on_this_computer() {
    let sheet = sheet();
    let mut twin = Twin::of(&sheet);
    let mut pico = Pico::new(FlashTimes::TYPICAL, Some(&flash(&sheet)));
    pico.start();
    for piece in 2..=twin.pieces() {
        pico.run(400.0);
        assert_shows(&mut pico, &twin.picture(), &format!("piece {piece}"));
        pico.press("pedal", 120.0);
        twin.press(Key::Done);
    }
    assert_shows(&mut pico, &twin.picture(), "at the end of the list");
    let report = assert_within_budget(&mut pico);
    println!(
        "{} bytes on the bus, {} pixels",
        report.panel.bytes, report.panel.pixels
    );
    assert_eq!(report.panel.complaints, [""; 0]);
}
