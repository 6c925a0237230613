//! The program for an ST7789 and for a host on the serial pins: its pictures are the same, a list is loaded and what was cut is
//! taken, as with the usual parts. How those are wired is left to the hardware notes.

use std::fs;

use serde_json::json;
use station::machine::Key;
use station::timing::WORD_STAYS;

use super::pico::{FlashTimes, Pico};
use super::pictures::assert_shows;
use super::saw_list::{Twin, level_of, sheet};
use crate::jobs::{load, report};
use crate::program::fresh_folder;

#[test]
#[ignore = "needs node, npm ci and the Pico image for an ST7789 and the serial pins"]
fn an_st7789_shows_the_same_and_the_serial_pins_carry_the_same() {
    let folder = fresh_folder();
    let level = form::to_json(&level_of(9)).expect("JSON");
    fs::write(folder.path().join("level.json"), level).expect("a file");
    let mut pico = Pico::of_other_parts(FlashTimes::TYPICAL, None);
    pico.power(true);
    assert!(pico.run_until("shown", 5_000.0));
    let to = format!("tcp:127.0.0.1:{}", pico.listen("serial"));
    let loaded = load(folder.path(), "level.json", &to);
    assert_eq!(loaded.status, 0, "{}", loaded.err);
    let mut twin = Twin::fresh(&sheet());
    pico.run(f64::from(WORD_STAYS) + 100.0);
    while twin.done() == 0 {
        assert_shows(&mut pico, &twin.picture(), "before a press");
        pico.press("pedal", 120.0);
        pico.run(400.0);
        twin.press(Key::Done);
    }
    let taken = report(folder.path(), &to);
    assert_eq!((&taken["done"], &taken["left"]), (&json!(1), &json!(8)));
    assert_shows(&mut pico, &twin.picture(), "after what was cut was taken");
    assert_eq!(pico.report().panel.complaints, [""; 0]);
}
