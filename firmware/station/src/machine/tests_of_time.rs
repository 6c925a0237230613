//! Time, contacts and the pedal: what counts when, what is shown while it is held, when the machine has to be woken.

use shared_model::What;

use super::tests::Bench;
use super::{Banner, Beep, Input, Key};
use crate::record::Damaged;
use crate::runner::Runner;
use crate::sample::{Memory, Sample};
use crate::timing::{CUT_AGAIN_STANDS, LOOKING_RETURNS, QUIET, STABLE, WORD_STAYS};

#[test]
fn a_tap_is_done_and_a_hold_takes_back_with_the_number_shown_before() {
    let mut bench = Bench::of(&[1, 1, 1]);
    assert_eq!(bench.pedal(120).beep, Some(Beep::Accepted));
    assert_eq!(bench.pedal(120).beep, Some(Beep::Accepted));
    assert_eq!(bench.current(), Some(2));
    bench.wait(500);
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: true }, now);
    bench.wait(824);
    assert_eq!(bench.banner(), None);
    assert!(bench.wait(1).draw);
    assert_eq!(bench.banner(), Some(Banner::LetGoToTakeBack { number: 2 }));
    assert_eq!(bench.current(), Some(2));
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: false }, now);
    assert_eq!(bench.wait(25).beep, Some(Beep::TakenBack));
    assert_eq!((bench.current(), bench.banner()), (Some(1), None));
    assert_eq!(bench.said().len(), 3);
}

#[test]
fn a_hold_names_the_stick_or_says_that_there_is_nothing() {
    let mut bench = Bench::of(&[1, 2]);
    bench.now += 500;
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: true }, now);
    bench.wait(900);
    assert_eq!(bench.banner(), Some(Banner::NothingToTakeBack));
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: false }, now);
    assert_eq!(bench.wait(25).beep, Some(Beep::Refused));
    bench.press(Key::BadStick);
    bench.press(Key::BadStick);
    bench.wait(500);
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: true }, now);
    bench.wait(900);
    assert_eq!(bench.banner(), Some(Banner::LetGoToKeepStick { number: 1 }));
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: false }, now);
    bench.wait(25);
    let kept = What::StickKept { list: 7, stick: 1 };
    assert_eq!(bench.said().last(), Some(&kept));
}

#[test]
fn a_parked_foot_and_a_pedal_closed_at_the_start_are_shown_and_ignored() {
    let mut bench = Bench::of(&[1, 1]);
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: true }, now);
    bench.wait(3_000);
    assert_eq!(bench.banner(), Some(Banner::PedalParked));
    // the keys go on working under it
    assert_eq!(bench.press(Key::Done).beep, Some(Beep::Accepted));
    assert_eq!(bench.banner(), Some(Banner::PedalParked));
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: false }, now);
    assert_eq!(bench.wait(25).beep, None);
    assert_eq!((bench.banner(), bench.said().len()), (None, 1));

    let memory = Memory::with(Sample::of(7, &[1, 1]));
    let mut runner = Runner::start(memory, true, &[]);
    assert_eq!(runner.view().banner, Some(Banner::PedalClosedAtStart));
    runner.take(Input::Pedal { closed: false }, 9_000);
    runner.take(Input::Time, 9_025);
    assert_eq!(runner.view().banner, None);
    assert_eq!(runner.record().events.len(), 0);
}

#[test]
fn a_keys_contact_acts_once_when_it_closes() {
    let mut bench = Bench::of(&[1, 1, 1]);
    let key = Key::SetAside;
    for (at, closed) in [(0, true), (2, false), (5, true), (300, false), (303, true)] {
        let now = bench.now + at;
        bench.runner.take(Input::Contact { key, closed }, now);
    }
    bench.wait(2_000);
    assert_eq!(bench.said().len(), 1);
    assert_eq!(bench.runner.record().events[0].milliseconds, 10_030);

    // closed at the start it waits until it has been open
    let memory = Memory::with(Sample::of(7, &[1, 1]));
    let mut runner = Runner::start(memory, false, &[key]);
    for card in 1..=3 {
        runner.take(Input::Press(Key::Done), 400 * card);
    }
    for (at, closed, events) in [
        (2_010, true, 0),
        (2_900, false, 0),
        (3_000, true, 0),
        (3_100, true, 1),
    ] {
        runner.take(Input::Contact { key, closed }, at);
        assert_eq!(runner.record().events.len(), events, "{at}");
    }
}

#[test]
fn done_is_held_off_across_the_pedal_the_key_and_the_keyboard() {
    let done = |closed| Input::Contact {
        key: Key::Done,
        closed,
    };
    let mut bench = Bench::of(&[1; 9]);
    let presses = [
        (0, Input::Press(Key::Done), 1),
        (349, Input::Press(Key::Done), 1),
        // what was ignored holds nothing off
        (350, Input::Press(Key::Done), 2),
        // the contact counts at 1,025 and holds off from its release at 1,325
        (1_000, done(true), 2),
        (1_300, done(false), 3),
        (1_674, Input::Press(Key::Done), 3),
        (1_675, Input::Press(Key::Done), 4),
        // too soon, and so its release holds nothing off
        (1_900, done(true), 4),
        (2_000, done(false), 4),
        (2_026, Input::Press(Key::Done), 5),
        // a tap that ends at 2,375
        (2_250, Input::Pedal { closed: true }, 5),
        (2_350, Input::Pedal { closed: false }, 5),
        (2_400, Input::Press(Key::Done), 6),
        (2_401, Input::Press(Key::SetAside), 7),
        (2_800, Input::Press(Key::Done), 8),
    ];
    for (at, input, events) in presses {
        bench.runner.take(input, 10_000 + at);
        assert_eq!(bench.runner.record().events.len(), events, "{at}");
    }
}

#[test]
fn an_idle_station_sleeps_and_a_busy_one_says_until_when() {
    let mut bench = Bench::of(&[1, 1, 1]);
    assert_eq!(bench.runner.wake_at(), None);
    bench.press(Key::LookAhead);
    let pressed = bench.now;
    assert_eq!(bench.runner.wake_at(), Some(pressed + LOOKING_RETURNS));
    bench.press(Key::CutAgain);
    assert_eq!(bench.banner(), Some(Banner::NothingToDo));
    assert_eq!(bench.runner.wake_at(), Some(bench.now + WORD_STAYS));
    let outcome = bench.wait(WORD_STAYS);
    assert!(outcome.draw && bench.banner().is_none());
    assert!(bench.wait(LOOKING_RETURNS - WORD_STAYS).draw);
    assert_eq!(
        (bench.shown(), bench.runner.wake_at()),
        (Some((1, false)), None)
    );
    assert!(!bench.wait(1).draw);
}

#[test]
fn a_flicker_of_a_contact_puts_a_question_off_and_never_turns_the_clock_back() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.press(Key::Done);
    bench.press(Key::CutAgain);
    bench.wait(CUT_AGAIN_STANDS - 10);
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: true }, now);
    bench.wait(20);
    assert_eq!(bench.said().len(), 1);
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: false }, now);
    assert_eq!(bench.said().len(), 2);
    assert_eq!(bench.runner.record().events[1].milliseconds, now);
}

#[test]
fn the_clock_may_wrap_and_stand_still_for_weeks() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.now = u32::MAX - 1_000;
    bench.press(Key::LookAhead);
    bench.wait(LOOKING_RETURNS - 1);
    assert_eq!(bench.shown(), Some((2, true)));
    bench.wait(1);
    assert_eq!(bench.shown(), Some((1, false)));
    bench.wait(40 * 24 * 3_600_000);
    assert_eq!(bench.press(Key::Done).beep, Some(Beep::Accepted));
    assert_eq!(bench.pedal(100).beep, Some(Beep::Accepted));
}

#[test]
fn the_record_is_told_what_the_host_keeps_only_while_nobody_is_at_the_saw() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.pedal(100);
    let confirmed = |bench: &mut Bench| {
        let now = bench.now;
        let outcome = bench.runner.confirm(1, now);
        assert!(outcome.is_ok());
        bench.runner.record().confirmed
    };
    assert_eq!(confirmed(&mut bench), 0);
    bench.wait(QUIET - 10);
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: true }, now);
    assert_eq!(confirmed(&mut bench), 0);
    // a foot that came down and stays there
    bench.wait(QUIET - 1);
    assert_eq!(confirmed(&mut bench), 0);
    bench.wait(1);
    assert_eq!(confirmed(&mut bench), 1);
}

#[test]
fn damaged_presses_are_said_until_a_press_is_stored_whatever_list_comes() {
    let mut bench = Bench::with(Memory {
        damaged: std::vec![Damaged::Presses],
        ..Memory::with(Sample::of(7, &[1, 1, 1]))
    });
    bench.wait(10 * WORD_STAYS);
    assert_eq!(bench.banner(), Some(Banner::PressesDamaged));
    bench.press(Key::LookAhead);
    assert_eq!(bench.banner(), Some(Banner::PressesDamaged));
    bench.wait(LOOKING_RETURNS);
    bench.runner.load(&Sample::of(8, &[1]), 0).expect("a list");
    assert_eq!(bench.banner(), Some(Banner::PressesDamaged));
    bench.pass_cards();
    bench.press(Key::Done);
    assert_eq!(bench.banner(), None);
}

#[test]
fn a_damaged_list_is_said_until_a_list_comes_and_then_what_else_is_damaged() {
    let mut bench = Bench::with(Memory {
        list: None,
        damaged: Damaged::ALL.to_vec(),
        ..Memory::with(Sample::of(7, &[1]))
    });
    assert_eq!(bench.banner(), Some(Banner::ListDamaged));
    bench.runner.load(&Sample::of(7, &[1]), 0).expect("a list");
    assert_eq!(bench.banner(), Some(Banner::PressesDamaged));
}

#[test]
fn a_press_that_began_while_nobody_looked_counts_for_nothing() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.pedal(100);
    bench.wait(1_000);
    let from = bench.now;
    let until = from + 400;
    let pedal = |closed| Input::Pedal { closed };
    let contact = |key, closed| Input::Contact { key, closed };
    bench.runner.take(Input::Unwatched { until }, from);
    let keys = [Key::Done, Key::SetAside, Key::TakeBack];
    bench.runner.take(pedal(true), until);
    for key in keys {
        bench.runner.take(contact(key, true), until);
    }
    bench.now = until;
    assert!(bench.wait(STABLE).draw);
    assert_eq!(bench.banner(), Some(Banner::PedalParked));
    bench.wait(850);
    let now = bench.now;
    bench.runner.take(pedal(false), now);
    for key in keys {
        bench.runner.take(contact(key, false), now);
    }
    bench.wait(STABLE);
    assert_eq!((bench.banner(), bench.said().len()), (None, 1));
    // each is itself again
    assert_eq!(bench.pedal(100).beep, Some(Beep::Accepted));
    let now = bench.now + 1_000;
    bench.runner.take(contact(Key::TakeBack, true), now);
    bench.runner.take(contact(Key::TakeBack, false), now + 100);
    assert_eq!(bench.said().len(), 3);
}
