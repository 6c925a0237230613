//! The host at the other end of the USB cable, over the same link code as the program's: a list loaded into an empty station
//! is on its screen, presses come back as events, and the list is there after a power cut. What every message does is left to
//! the link's own tests.

use std::time::Instant;

use link::{Link, Manner, To, connect};
use shared_model::What;
use station::machine::Key;
use station::timing::WORD_STAYS;

use super::memory::assert_within_budget;
use super::pico::{FlashTimes, Pico};
use super::pictures::assert_shows;
use super::saw_list::{Twin, sheet};

fn host(port: u16) -> Link<Box<dyn link::Wire + Send>> {
    let to: To = format!("tcp:127.0.0.1:{port}").parse().expect("an address");
    let wire = connect(&to).expect("the emulator listens");
    Link::open(wire, Manner::default()).expect("the station answers")
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn a_list_is_loaded_and_its_presses_come_back() {
    let sheet = sheet();
    let mut twin = Twin::fresh(&sheet);
    let mut pico = Pico::new(FlashTimes::TYPICAL, None);
    pico.power(true);
    assert!(pico.run_until("shown", 5_000.0));
    assert!(pico.run_until("plugged", 5_000.0));
    let port = pico.listen("usb");
    let mut host = host(port);
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
    // for that long it says that nobody has chosen any settings yet
    pico.run(f64::from(WORD_STAYS) + 100.0);
    assert_shows(
        &mut pico,
        &twin.again().picture(),
        "after the power was gone",
    );
}
