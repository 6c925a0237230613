//! The host at the other end of the USB cable, over the same link code as the program's: a list loaded into an empty station
//! is on its screen, presses come back as events, and the list is there after a power cut. Loads that are cut short are left to
//! `cuts` and `faults`, what every message does to the link's own tests.

use std::time::Instant;

use link::{Link, LinkError, Manner, To, connect};
use shared_model::What;
use shared_model::messages::Known;
use station::machine::Key;
use station::timing::{QUIET, WORD_STAYS};

use super::dice::Dice;
use super::memory::assert_within_budget;
use super::pico::{FlashTimes, Pico};
use super::pictures::assert_shows;
use super::saw_list::{Twin, flash, flash_after, long_sheet, sheet};

type Host = Link<Box<dyn link::Wire + Send>>;

/// A session with the station at this port.
pub fn host(port: u16, manner: Manner) -> Result<Host, LinkError> {
    let to: To = format!("tcp:127.0.0.1:{port}").parse()?;
    Link::open(connect(&to)?, manner)
}

/// A board that never held anything, plugged in and asked.
fn empty_station() -> (Pico, Host) {
    let mut pico = Pico::new(FlashTimes::TYPICAL, None);
    pico.power(true);
    assert!(pico.run_until("shown", 5_000.0));
    assert!(pico.run_until("plugged", 5_000.0));
    let port = pico.listen("usb");
    let host = host(port, Manner::default()).expect("the station answers");
    (pico, host)
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn a_list_is_loaded_and_its_presses_come_back() {
    let sheet = sheet();
    let mut twin = Twin::fresh(&sheet);
    let (mut pico, mut host) = empty_station();
    let station = host.station().clone();
    assert_eq!(station.board, "Raspberry Pi Pico");
    // the number that the emulated flash chip gives
    assert_eq!(
        station.station.to_string(),
        "e660583883 6f2a21".replace(' ', "")
    );
    assert_eq!(station.list, None);

    let begun = Instant::now();
    host.load(&sheet, station.last(), &mut |_| {})
        .expect("the list is taken");
    println!("loaded in {:?} of this computer's time", begun.elapsed());
    // the cards before the list, and then its first piece
    while twin.done() == 0 {
        pico.press("pedal", 120.0);
        pico.run(400.0);
        twin.press(Key::Done);
        assert_shows(&mut pico, &twin.picture(), "after a press");
    }

    let taken = host
        .take_events(station.last(), &mut |_| {})
        .expect("events");
    let done = |what| matches!(what, What::Done { piece, .. } if piece == sheet.pieces[0].id);
    assert!(
        taken.events.len() == 1 && done(taken.events[0].what),
        "{:?}",
        taken.events
    );
    host.confirm(taken.last).expect("confirmed");

    assert_within_budget(&mut pico);

    pico.power(false);
    pico.power(true);
    assert!(pico.run_until("shown", 5_000.0));
    // whatever is said at a start has gone by then
    pico.run(f64::from(WORD_STAYS) + 100.0);
    assert_shows(
        &mut pico,
        &twin.again().picture(),
        "after the power was gone",
    );
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn the_station_that_is_asked_for_blinks_and_says_so() {
    let sheet = sheet();
    let mut pico = Pico::new(FlashTimes::TYPICAL, Some(&flash(&sheet)));
    pico.start();
    assert!(pico.run_until("plugged", 5_000.0));
    pico.run(20.0);
    assert!(pico.report().lamp);
    let port = pico.listen("usb");
    let mut host = host(port, Manner::default()).expect("the station answers");
    host.show().expect("it is shown");
    let mut dark = 0;
    for _ in 0..300 {
        pico.run(10.0);
        dark += u32::from(!pico.report().lamp);
    }
    assert!(dark > 20, "{dark}");
    pico.run(1_000.0);
    assert!(pico.report().lamp);
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn noise_on_the_line_changes_nothing_and_the_next_host_is_answered() {
    let sheet = sheet();
    let mut pico = Pico::new(FlashTimes::TYPICAL, Some(&flash(&sheet)));
    pico.start();
    assert!(pico.run_until("plugged", 5_000.0));
    let mut dice = Dice::new(8);
    for _ in 0..32 {
        let noise: Vec<u8> = (0..2_048).map(|_| dice.below(256.0) as u8).collect();
        pico.send(&noise);
        pico.run(100.0);
    }
    assert_shows(&mut pico, &Twin::of(&sheet).picture(), "after noise");
    let port = pico.listen("usb");
    let mut host = host(port, Manner::default()).expect("the station answers");
    let list = host.station().list.as_ref().map(|list| list.digest);
    assert_eq!(list, Some(sheet.head.digest));
    let nothing = Known {
        epoch: host.station().epoch,
        sequence: 0,
    };
    let taken = host.take_events(nothing, &mut |_| {}).expect("events");
    assert_eq!(taken.events.len(), 1, "{:?}", taken.events);
    assert_eq!(pico.report().restarts, 0);
}

/// A log that is to be emptied when the host has taken it: less than a quarter of its 512 slots is free.
pub const PRESSES: u32 = 401;

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn nothing_is_erased_while_somebody_is_at_the_pedal() {
    let sheet = sheet();
    let mut pico = Pico::new(FlashTimes::WORST, Some(&flash_after(&sheet, PRESSES)));
    pico.start();
    assert!(pico.run_until("plugged", 5_000.0));
    pico.run(20.0);
    let port = pico.listen("usb");
    let mut host = host(port, Manner::default()).expect("the station answers");
    let erased = pico.report().flash.erase;
    // with the foot down neither a list is begun nor the log emptied
    pico.contact("pedal", &[(0.0, true)]);
    pico.run(100.0);
    let before = host.take_events(host.station().last(), &mut |_| {});
    let before = before.expect("events").last;
    host.confirm(before).expect("confirmed");
    pico.contact("pedal", &[(0.0, false)]);
    pico.run(200.0);
    let taken = host.take_events(before, &mut |_| {}).expect("events");
    assert_eq!(taken.events.len(), 1, "the press counts");
    host.confirm(taken.last).expect("confirmed");
    assert_eq!(pico.report().flash.erase, erased);
    // when nobody has been there for a while the log is emptied, and the next press counts as ever
    pico.run(f64::from(QUIET) + 100.0);
    host.confirm(taken.last).expect("confirmed");
    assert!(pico.report().flash.erase > erased);
    pico.press("pedal", 120.0);
    let last = Link::open(
        connect(&format!("tcp:127.0.0.1:{port}").parse().expect("a way")).expect("a line"),
        Manner::default(),
    );
    let last = last.expect("the station answers").station().last();
    assert_eq!(
        (last.epoch, last.sequence),
        (taken.last.epoch + 1, taken.last.sequence + 1)
    );
}

/// What a load of the longest list that is meant may take of the station's own time, in milliseconds.
const LONG_LOAD: f64 = 2_000.0;

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn four_hundred_pieces_are_loaded_within_two_seconds() {
    let list = long_sheet(400);
    let (mut pico, mut host) = empty_station();
    let made_with = host.station().last();
    let before = pico.report();
    host.load(&list, made_with, &mut |_| {})
        .expect("the list is taken");
    let after = pico.report();
    let took = after.now - before.now;
    println!(
        "400 pieces in {took:.0} ms of the station's time, {} erases",
        after.flash.erase - before.flash.erase
    );
    assert!(took <= LONG_LOAD);
    assert_within_budget(&mut pico);
}
