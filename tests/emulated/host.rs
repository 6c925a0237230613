//! The host at the other end of the USB cable, over the same link code as the program's: a list loaded into an empty station
//! is on its screen, presses come back as events, and the list is there after a power cut. What every message does is left to
//! the link's own tests.

use std::time::{Duration, Instant};

use link::{Link, LinkError, Manner, To, connect};
use shared_model::What;
use station::machine::Key;
use station::timing::WORD_STAYS;

use super::dice::Dice;
use super::memory::assert_within_budget;
use super::pico::{FlashTimes, Pico};
use super::pictures::{assert_shows, shows};
use super::saw_list::{Twin, flash, sheet, sheet_of};

type Host = Link<Box<dyn link::Wire + Send>>;

fn host(port: u16, manner: Manner) -> Result<Host, LinkError> {
    let to: To = format!("tcp:127.0.0.1:{port}").parse()?;
    Link::open(connect(&to)?, manner)
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
    let mut host = host(port, Manner::default()).expect("the station answers");
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

/// How often the power goes in a load.
const CUTS: u32 = 24;

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn a_load_that_the_power_cuts_short_leaves_the_list_before_or_the_new_one() {
    let mut dice = Dice::new(5);
    let lists = [sheet(), sheet_of(5)];
    let mut pico = Pico::new(FlashTimes::TYPICAL, Some(&flash(&lists[0])));
    let mut twin = Twin::of(&lists[0]);
    let mut current = 0;
    let mut port = None;
    let mut counts = [("program", 0), ("erase", 0), ("loaded", 0)];
    for number in 0..CUTS {
        pico.power(true);
        assert!(pico.run_until("shown", 5_000.0));
        assert!(pico.run_until("plugged", 5_000.0));
        pico.run(20.0);
        let port = *port.get_or_insert_with(|| pico.listen("usb"));
        let (kind, most) = [("erase", 1.0), ("program", 6.0)][number as usize % 2];
        pico.plan_cut(kind, 1 + dice.below(most) as u32, dice.below(1.0));
        let list = &lists[1 - current];
        let manner = Manner {
            patience: Duration::from_millis(500),
            asks: 2,
            ..Manner::default()
        };
        let loaded = host(port, manner).and_then(|mut host| {
            let made_with = host.station().last();
            host.load(list, made_with, &mut |_| {})
        });
        let cut = pico.report().cut;
        pico.power(false);
        pico.power(true);
        assert!(pico.run_until("shown", 5_000.0));
        pico.run(20.0);
        let after = twin.with_list(list);
        if shows(&mut pico, &after.picture()) {
            twin = after;
            current = 1 - current;
        } else {
            assert!(loaded.is_err(), "cut {number}: it was said to be loaded");
            assert!(shows(&mut pico, &twin.picture()), "cut {number}: {cut:?}");
        }
        pico.power(false);
        let kind = cut.as_deref().and_then(|cut| cut.strip_prefix("in "));
        for (name, count) in &mut counts {
            *count += u32::from(*name == kind.unwrap_or("loaded"));
        }
    }
    println!("{counts:?}");
}
