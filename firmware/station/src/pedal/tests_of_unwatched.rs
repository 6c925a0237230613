//! Presses around time in which nobody looks at the contact: what is said is what was meant or nothing.
//!
//! What was meant is what a pedal says that is looked at every millisecond.

use std::vec::Vec;

use super::*;

/// Flash work as a Pico does it: this long, so many times, with a look at the contact between two.
const WORK: [(u32, u32); 4] = [(45, 1), (45, 4), (400, 1), (400, 4)];
/// When it begins; every press lies around it.
const FROM: u32 = 1_600;

/// From when to when the contact is closed.
type Presses = Vec<(u32, u32)>;

/// It bounces for 6 ms at either end.
fn is_closed(presses: &Presses, now: u32) -> bool {
    let held = presses
        .iter()
        .find(|(from, to)| (*from..*to).contains(&now));
    held.is_some_and(|(from, to)| now % 3 != 1 || (from + 6..to - 6).contains(&now))
}

/// What the pedal says where nobody looks during this work; `told` whether it is told so.
fn said(presses: &Presses, work: Option<(u32, u32)>, told: bool) -> Vec<PedalSays> {
    let mut pedal = Pedal::new(false);
    let mut said = Vec::new();
    let (each, times) = work.unwrap_or((0, 0));
    let until = FROM + each * times;
    let end = presses.iter().map(|(_, to)| *to).max().unwrap_or(0);
    for now in 0..end.max(until) + 100 {
        if told && work.is_some() && now == FROM {
            pedal.unwatched(until);
        }
        let between = now > FROM && (now - FROM).is_multiple_of(each.max(1));
        if !(FROM..until).contains(&now) || between {
            said.extend(pedal.edge(is_closed(presses, now), now));
        }
    }
    said
}

fn is_part_of(said: &[PedalSays], meant: &[PedalSays]) -> bool {
    let mut meant = meant.iter();
    said.iter().all(|said| meant.any(|meant| meant == said))
}

fn presses() -> Vec<Presses> {
    let mut all = Vec::new();
    for length in [60, 130, 300, 500, 790, 810, 1_000, 1_700, 2_450, 2_700] {
        for begin in (FROM - 1_500..FROM + 1_700).step_by(97) {
            all.push(std::vec![(begin, begin + length)]);
            let again = begin + length + 390;
            all.push(std::vec![(begin, begin + length), (again, again + 300)]);
            all.push(std::vec![
                (begin, begin + 90),
                (begin + 480, begin + 480 + length)
            ]);
        }
    }
    all
}

#[test]
fn what_is_said_around_unwatched_time_was_meant() {
    let mut wrong_if_untold = 0;
    for presses in presses() {
        let meant = said(&presses, None, true);
        for work in WORK {
            let told = said(&presses, Some(work), true);
            assert!(
                is_part_of(&told, &meant),
                "{presses:?} with {work:?}: {told:?} and not {meant:?}"
            );
            let untold = said(&presses, Some(work), false);
            wrong_if_untold += u32::from(!is_part_of(&untold, &meant));
        }
    }
    assert!(wrong_if_untold > 0);
}

#[test]
fn a_foot_that_is_found_down_is_to_be_lifted_and_the_next_tap_counts() {
    let mut pedal = Pedal::new(false);
    pedal.unwatched(400);
    assert_eq!(pedal.edge(true, 400), None);
    assert!(pedal.is_pressed());
    assert_eq!(pedal.changes_at(400), Some(425));
    assert_eq!(pedal.time(425), None);
    assert_eq!(pedal.shows(425), Some(PedalShows::Parked));
    assert!(!pedal.is_pressed());
    // a bounce of the same press is not another one
    assert_eq!(pedal.edge(false, 430), None);
    assert_eq!(pedal.edge(true, 433), None);
    assert_eq!(pedal.edge(false, 700), None);
    assert_eq!(pedal.time(725), None);
    assert_eq!(pedal.shows(725), None);
    assert_eq!(pedal.edge(true, 1_200), None);
    assert_eq!(pedal.edge(false, 1_300), None);
    assert_eq!(pedal.time(1_325), Some(PedalSays::Tap));
}

#[test]
fn a_foot_that_comes_down_afterwards_taps_and_holds_as_ever() {
    for until in [400, u32::MAX - 3] {
        for (held, says) in [(100, PedalSays::Tap), (900, PedalSays::TakeBack)] {
            let down = until.wrapping_add(1);
            let up = down.wrapping_add(held);
            let mut pedal = Pedal::new(false);
            pedal.time(until.wrapping_sub(400));
            pedal.unwatched(until);
            assert_eq!(pedal.edge(true, down), None);
            assert_eq!(pedal.edge(false, up), None);
            assert_eq!(pedal.time(up.wrapping_add(25)), Some(says));
        }
    }
}
