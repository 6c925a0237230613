//! Presses as contacts make them: with bounce, chatter and mains pick-up, each counts once and none is made up; and how
//! long one takes from the foot to the picture. Which picture is left to `pictures`.

use link::{Link, Manner, connect};
use station::machine::Key;
use station::timing::{PARKED, STABLE, TAKE_BACK_HOLD};

use super::dice::Dice;
use super::pico::{FlashTimes, Pico};
use super::pictures::assert_shows;
use super::saw_list::{Twin, flash, sheet, sheet_of};

/// A contact that is closed from `from` to `to` and bounces for so long after each, ending as it should.
fn bouncing(from: f64, to: f64, bounce: f64, dice: &mut Dice) -> Vec<(f64, bool)> {
    let mut edges = Vec::new();
    for (begin, closed) in [(from, true), (to, false)] {
        let (mut at, mut level) = (begin, closed);
        while at < begin + bounce {
            edges.push((at, level));
            at += 0.05 + dice.below(0.9);
            level = !level;
        }
        edges.push((begin + bounce, closed));
    }
    edges
}

/// Closures of half a period each, at this many a second, for so long.
fn pick_up(from: f64, hertz: f64, milliseconds: f64) -> Vec<(f64, bool)> {
    let half = 500.0 / hertz;
    let halves = (milliseconds / half) as u32 & !1;
    let edge = |count| (from + f64::from(count) * half, count % 2 == 0);
    (0..=halves)
        .map(edge)
        .chain([(from + f64::from(halves) * half, false)])
        .collect()
}

fn started() -> (Pico, Twin) {
    let sheet = sheet();
    let mut pico = Pico::new(FlashTimes::TYPICAL, Some(&flash(&sheet)));
    pico.start();
    (pico, Twin::of(&sheet))
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn a_contact_that_bounces_or_chatters_counts_once() {
    let (mut pico, mut twin) = started();
    let mut dice = Dice::new(7);
    // the longest bounce in a published set of eighteen switches (Ganssle, A Guide to Debouncing) and a contact gone bad
    for bounce in [6.2, 6.2, 100.0, 100.0] {
        pico.contact("pedal", &bouncing(1.0, 260.0, bounce, &mut dice));
        pico.run(1_200.0);
        twin.press(Key::Done);
        assert_shows(
            &mut pico,
            &twin.picture(),
            &format!("after {bounce} ms of bounce"),
        );
    }
    for (key, bounce) in [("done", 6.2), ("done", 100.0)] {
        pico.contact(key, &bouncing(1.0, 260.0, bounce, &mut dice));
        pico.run(1_200.0);
        twin.press(Key::Done);
        assert_shows(
            &mut pico,
            &twin.picture(),
            &format!("after {bounce} ms of bounce on a key"),
        );
    }
    assert_eq!(twin.done(), 1 + 6);
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn mains_pick_up_counts_never_and_hides_no_press() {
    let (mut pico, mut twin) = started();
    for hertz in [50.0, 60.0] {
        for contact in ["pedal", "done", "takeBack"] {
            pico.contact(contact, &pick_up(3.0, hertz, 1_500.0));
            pico.run(1_600.0);
            assert_shows(
                &mut pico,
                &twin.picture(),
                &format!("after {hertz} Hz on {contact}"),
            );
        }
        pico.press("pedal", 120.0);
        twin.press(Key::Done);
        assert_shows(
            &mut pico,
            &twin.picture(),
            &format!("after a press beside {hertz} Hz"),
        );
        pico.run(400.0);
    }
}

/// When a foot comes, from the beginning of an erase that takes as long as it can, and how long it stays: a tap, a hold of
/// which less than a hold is left to be seen, one that is seen as a hold, and a tap that begins and ends in it.
const IN_ERASE: [(f64, f64); 4] = [
    (200.0, 500.0),
    (100.0, 1_000.0),
    (50.0, 1_400.0),
    (50.0, 150.0),
];

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn a_press_begun_in_an_erase_counts_for_nothing() {
    for (comes, stays) in IN_ERASE {
        assert!(stays < f64::from(PARKED) && comes < FlashTimes::WORST.erase);
        let old = sheet();
        let new = sheet_of(5);
        let mut pico = Pico::new(FlashTimes::WORST, Some(&flash(&old)));
        pico.start();
        assert!(pico.run_until("plugged", 5_000.0));
        pico.run(20.0);
        let to = format!("tcp:127.0.0.1:{}", pico.listen("usb"));
        let to = to.parse().expect("a way");
        let mut host = Link::open(connect(&to).expect("a line"), Manner::default())
            .expect("the station answers");
        let before = host.station().last();
        pico.contact_in_erase("pedal", &[(comes, true), (comes + stays, false)]);
        host.load(&new, before, &mut |_| {}).expect("it is taken");
        pico.run(f64::from(PARKED) + f64::from(TAKE_BACK_HOLD));
        let taken = host.take_events(before, &mut |_| {}).expect("events");
        assert_eq!(taken.events, [], "{stays} ms from {comes} ms on");
        let mut twin = Twin::of(&old).with_list(&new);
        assert_shows(&mut pico, &twin.picture(), "nothing but the list changed");
        pico.press("pedal", 120.0);
        twin.press(Key::Done);
        assert_shows(&mut pico, &twin.picture(), "after the next press");
    }
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn from_the_foot_to_the_picture() {
    let (mut pico, _) = started();
    for _ in 0..5 {
        pico.run(400.0);
        let before = pico.report();
        pico.press("pedal", 120.0);
        let after = pico.report();
        let raw = after.panel.last_pixel - (before.now + 120.0);
        let accepted = raw - f64::from(STABLE);
        let pixels = after.panel.pixels - before.panel.pixels;
        let bus = pixels as f64 * 16.0 / 31_250.0;
        println!(
            "{pixels} pixels, {bus:.1} ms on the bus: accepted release to picture {accepted:.1} ms, raw edge to picture {raw:.1} ms, {} cycles",
            after.cycles - before.cycles
        );
        assert!(accepted <= bus + 15.0);
    }
}

/// What storing a press may take from its accepted release on, in milliseconds.
const STORED: f64 = 10.0;

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn from_the_foot_to_the_memory() {
    let sheet = sheet();
    for times in [FlashTimes::TYPICAL, FlashTimes::WORST] {
        let mut pico = Pico::new(times, Some(&flash(&sheet)));
        pico.start();
        // the first after a start stores the start as well
        for press in 1..=5 {
            pico.run(400.0);
            let accepted = pico.report().now + 120.0 + f64::from(STABLE);
            pico.press("pedal", 120.0);
            let stored = pico.report().flash.last_program.expect("it is stored") - accepted;
            println!("press {press}: stored {stored:.1} ms after its accepted release, {times:?}");
            // the station counts whole milliseconds, so a release may be accepted by as much earlier
            assert!((-1.0..=STORED).contains(&stored));
        }
    }
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn what_is_heard_tells_what_a_press_did() {
    let (mut pico, _) = started();
    let heard = |pico: &mut Pico, name: &str| {
        pico.report();
        pico.press(name, 120.0);
        pico.run(600.0);
        let tones = pico.report().tones;
        tones
            .into_iter()
            .map(|(_, hertz)| hertz)
            .collect::<Vec<u32>>()
    };
    let about = |heard: &[u32], meant: &[u32]| {
        heard.len() == meant.len()
            && heard
                .iter()
                .zip(meant)
                .all(|(heard, meant)| heard.abs_diff(*meant) <= 1)
    };
    for (name, meant) in [
        ("pedal", &[880, 0][..]),
        ("takeBack", &[660, 440, 0]),
        // the piece that was cut before the power came
        ("takeBack", &[660, 440, 0]),
        ("takeBack", &[160, 0]),
        ("badStick", &[660, 0, 660, 0, 880, 0]),
    ] {
        let heard = heard(&mut pico, name);
        assert!(about(&heard, meant), "{name}: {heard:?}");
    }
}
