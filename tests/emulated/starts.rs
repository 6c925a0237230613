//! Starts that are not like others: with a foot on the pedal, and with a memory that cannot be read. How soon the piece is on
//! the screen is left to `pictures`.

use mock_flash::SECTOR;
use station::machine::Key;
use station::screen::Panel;
use station::timing::WORD_STAYS;
use station::view::{Body, NoMemory, View};

use super::pico::{FlashTimes, Pico};
use super::pictures::assert_shows;
use super::saw_list::{RECORD, Twin, flash, picture_of, sheet};

/// Erasing all of the memory takes this long at most, in milliseconds, and then it starts anew.
const GIVEN_UP: f64 = 10_000.0;

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn a_foot_that_is_down_when_the_power_comes_counts_for_nothing() {
    let sheet = sheet();
    let mut twin = Twin::of(&sheet);
    let mut pico = Pico::new(FlashTimes::TYPICAL, Some(&flash(&sheet)));
    for contact in ["pedal", "done", "takeBack"] {
        pico.contact(contact, &[(0.0, true)]);
        pico.start();
        pico.run(1_200.0);
        pico.contact(contact, &[(0.0, false)]);
        pico.run(f64::from(WORD_STAYS) + 1_000.0);
        assert_shows(&mut pico, &twin.picture(), contact);
        pico.press("pedal", 120.0);
        twin.press(Key::Done);
        assert_shows(&mut pico, &twin.picture(), "the next press counts");
        pico.power(false);
    }
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn a_memory_that_cannot_be_read_is_left_alone_until_it_is_given_up() {
    // the notes are gone, and what they told of is there
    let mut spoilt = flash(&sheet());
    spoilt[RECORD..RECORD + 2 * SECTOR].fill(0xff);
    // the slowest erases there are: the watchdog waits longer
    let mut pico = Pico::new(FlashTimes::WORST, Some(&spoilt));
    let shows = |pico: &mut Pico, body, when: &str| {
        let view = View { body, banner: None };
        assert_shows(pico, &picture_of(&view, Panel::SMALL), when);
    };
    pico.start();
    pico.run(10.0);
    shows(
        &mut pico,
        Body::NoMemory(NoMemory::Unreadable),
        "at the start",
    );
    pico.press("pedal", 120.0);
    pico.press("badStick", 120.0);
    shows(
        &mut pico,
        Body::NoMemory(NoMemory::Unreadable),
        "after presses",
    );
    pico.power(false);
    assert!(pico.flash()[RECORD..] == spoilt[RECORD..]);

    pico.contact("badStick", &[(0.0, true)]);
    pico.power(true);
    assert!(pico.run_until("restarted", GIVEN_UP));
    assert!(pico.run_until("shown", 5_000.0));
    pico.contact("badStick", &[(0.0, false)]);
    pico.run(f64::from(WORD_STAYS) + 1_000.0);
    shows(&mut pico, Body::NoList, "after it was given up");
    assert_eq!(pico.report().restarts, 1);
}
