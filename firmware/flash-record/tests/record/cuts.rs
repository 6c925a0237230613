//! Power cuts at every unit of work of a start, a press, a load, a truncation and a forgetting; two and three torn writes
//! in a row. Every cut is followed by two starts, of which the second must find what the first showed.

use flash_record::FlashRecord;
use mock_flash::{Dice, MockFlash};
use record_tests::{MeanMedium, Medium, Sample};
use shared_model::{PieceId, Reason, SawList, What};
use station::record::{Record, RecordError};

use crate::flash::{Flash, done, load, say, shown, standing, whats};

type One<'a> = FlashRecord<'a, MockFlash<1>>;

/// How many ways to die there are at each unit; after the first the flash is unsteady where it was cut.
const RUNS: u64 = 3;

/// A flash with a list of nine pieces, of which three are cut.
fn used(run: u64) -> Flash<1> {
    let flash = Flash::new(run);
    let mut record = flash.start();
    load(&mut record, &Sample::plain(7, 9)).expect("a good list");
    (100..103).for_each(|id| say(&mut record, done(id)).expect("room"));
    drop(record);
    flash
}

/// Does something with the power going at every unit of its work, and looks at two starts afterwards; gives how many cuts.
fn at_every_cut(
    before: &Flash<1>,
    act: impl Fn(&mut One) -> bool,
    check: impl Fn(&str, &One, bool),
) -> u64 {
    let whole = before.fork(0);
    let mut record = whole.start();
    let begun = whole.units();
    assert!(act(&mut record));
    let units = whole.units() - begun;
    for at in 0..=units {
        for run in 0..RUNS {
            let step = format!("cut at {at} of {units}, run {run}");
            let flash = before.fork(at * RUNS + run);
            if run > 0 {
                flash.chip.borrow_mut().be_unsteady();
            }
            let mut record = flash.start();
            flash.die_after(at);
            let did = act(&mut record);
            assert_eq!(did, !flash.is_dead(), "{step}");
            drop(record);
            flash.after_power_cut();
            let found = flash.start();
            check(&step, &found, did);
            let events: Vec<_> = found.events().collect();
            let list = found.list().map(|list| list.head().clone());
            drop(found);
            let again = flash.start();
            assert!(again.events().eq(events), "{step}");
            assert_eq!(again.list().map(|list| list.head().clone()), list, "{step}");
        }
    }
    units
}

#[test]
fn a_press_cut_anywhere_is_there_whole_or_not_at_all() {
    let units = at_every_cut(
        &used(1),
        |record| say(record, done(103)).is_ok(),
        |step, record, did| {
            let current = shown(record).current;
            assert!(current == Some(4) || (current == Some(3) && !did), "{step}");
            assert_eq!(Some(record.last_sequence() as u16), current, "{step}");
        },
    );
    // the last event once more, and this one
    assert_eq!(units, 64);
}

#[test]
fn a_load_cut_anywhere_leaves_the_old_list_or_the_new_one() {
    let new = Sample::plain(8, 40);
    at_every_cut(
        &used(2),
        |record| load(record, &new).is_ok(),
        |step, record, did| {
            let list = record.list().expect("a list");
            let digest = list.head().digest;
            assert!(digest == 8 || (digest == 7 && !did), "{step}");
            let pieces = (0..).map_while(|index| list.piece(index)).count();
            assert_eq!(pieces, if digest == 8 { 40 } else { 9 }, "{step}");
            assert_eq!(shown(record).current, Some(3), "{step}");
        },
    );
}

/// A record with something of everything that a truncation has to keep.
fn varied() -> Flash<1> {
    let flash = used(3);
    let mut record = flash.start();
    let [first, fourth, stranger] = [100, 104, 900].map(PieceId);
    let reason = Reason::WrongEnd;
    for what in [
        What::CutAgain {
            piece: first,
            reason,
        },
        What::SetAside { piece: fourth },
        What::BadStick { list: 7, stick: 3 },
        What::Done {
            piece: stranger,
            list: 6,
        },
        done(103),
        What::TakenBack {
            piece: PieceId(103),
        },
    ] {
        say(&mut record, what).expect("room");
    }
    drop(record);
    flash
}

#[test]
fn a_truncation_cut_anywhere_leaves_the_very_place() {
    let before = varied();
    let record = before.start();
    let other = Sample::plain(6, 5);
    let expected = shown(&record);
    let of_other = standing(&other, whats(&record));
    drop(record);
    let check = |step: &str, record: &One, did: bool| {
        assert_eq!(shown(record), expected, "{step}");
        assert_eq!(standing(&other, whats(record)), of_other, "{step}");
        assert_eq!(record.last_sequence(), 9, "{step}");
        let taken = (record.epoch(), record.taken_up_to());
        assert!(taken == (2, 9) || (taken == (1, 0) && !did), "{step}");
        let left = record.events_left();
        assert_eq!(left, if record.epoch() == 2 { 512 } else { 501 }, "{step}");
    };
    at_every_cut(&before, |record| record.truncate(1, 9).is_ok(), check);
    // and once more, on top of marks
    let mut record = before.start();
    record.truncate(1, 9).expect("power");
    say(&mut record, done(104)).expect("room");
    let expected = shown(&record);
    drop(record);
    let check = |step: &str, record: &One, _: bool| {
        assert_eq!(shown(record), expected, "{step}");
        assert_eq!(record.last_sequence(), 10, "{step}");
    };
    at_every_cut(&before, |record| record.truncate(2, 10).is_ok(), check);
}

#[test]
fn a_forgetting_cut_anywhere_leaves_the_place_or_the_beginning() {
    let before = varied();
    let expected = shown(&before.start());
    let empty = standing(&Sample::plain(7, 9), std::iter::empty());
    let check = |step: &str, record: &One, did: bool| {
        let found = shown(record);
        assert!(found == empty || (found == expected && !did), "{step}");
        assert_eq!(record.last_sequence(), 9, "{step}");
    };
    at_every_cut(&before, |record| record.begin_anew(1, 9).is_ok(), check);
}

#[test]
fn settings_cut_anywhere_are_the_old_ones_or_the_new_ones() {
    let before = used(4);
    let mut record = before.start();
    record.keep_settings(b"old").expect("power");
    drop(record);
    let keep = |record: &mut One| record.keep_settings(b"new ones").is_ok();
    at_every_cut(&before, keep, |step, record, did| {
        let found = record.settings();
        assert!(found == b"new ones" || (found == b"old" && !did), "{step}");
        assert_eq!(shown(record).current, Some(3), "{step}");
    });
}

#[test]
fn a_start_cut_anywhere_loses_nothing_on_an_empty_flash_or_a_used_one() {
    for (before, current) in [(Flash::<1>::new(1), None), (used(5), Some(3))] {
        let whole = before.fork(0);
        let begun = whole.units();
        drop(whole.start());
        let mut counted = 0;
        for at in 0..=whole.units() - begun {
            for run in 0..RUNS {
                let flash = before.fork(at * RUNS + run);
                flash.die_after(at);
                let boot = flash.open().map(|record| record.boot()).ok();
                assert_eq!(boot.is_none(), flash.is_dead());
                flash.after_power_cut();
                let record = flash.start();
                assert!(boot.is_none_or(|boot| boot < record.boot()));
                counted += u32::from(boot.is_some());
                let found = record.list().map(|_| shown(&record).current);
                assert_eq!(found, current.map(Some));
            }
        }
        assert!(counted >= RUNS as u32);
    }
}

/// Presses that are cut at these units, one after another with a start between, which is cut at times too; then one that
/// is not. None may be lost, and none may be there that was not pressed.
fn torn_in_a_row(before: &Flash<1>, cuts: &[u64], dice: &mut Dice) {
    let flash = before.fork(dice.roll(u64::MAX));
    if dice.roll(2) == 0 {
        flash.chip.borrow_mut().be_unsteady();
    }
    let mut last = 3;
    for (id, at) in (200..).zip(cuts) {
        let mut record = flash.start();
        last = record.last_sequence().max(last);
        flash.die_after(*at);
        let stored = say(&mut record, done(id));
        assert!(stored.is_ok() || flash.is_dead(), "{cuts:?}");
        last += u32::from(stored.is_ok());
        drop(record);
        flash.after_power_cut();
        if dice.roll(2) == 0 {
            flash.die_after(dice.roll(140));
            let _ = flash.open().map(|record| record.boot());
            flash.after_power_cut();
        }
    }
    let mut record = flash.start();
    let found = record.last_sequence();
    assert!(found == last || found == last + 1, "{cuts:?}");
    say(&mut record, done(300)).expect("power");
    let expected: Vec<_> = record.events().collect();
    assert_eq!(expected.len() as u32, found + 1, "{cuts:?}");
    drop(record);
    let record = flash.start();
    assert!(record.events().eq(expected), "{cuts:?}");
    assert_eq!(whats(&record).last(), Some(done(300)), "{cuts:?}");
}

#[test]
fn two_torn_writes_in_a_row_lose_nothing_wherever_they_are_torn() {
    let (before, mut dice) = (used(6), Dice::new(6));
    for first in 0..=64 {
        for second in 0..=64 {
            torn_in_a_row(&before, &[first, second], &mut dice);
        }
    }
}

#[test]
fn three_torn_writes_in_a_row_lose_nothing_wherever_they_are_torn() {
    let (before, mut dice) = (used(8), Dice::new(8));
    // every other unit of an event that is written once more, and of the next one
    for triple in 0..33 * 33 * 33 {
        let cuts = [triple % 33, triple / 33 % 33, triple / 33 / 33].map(|at| 2 * at);
        torn_in_a_row(&before, &cuts, &mut dice);
    }
}

#[test]
fn a_full_log_refuses_and_has_room_again_after_a_truncation() {
    let flash = Flash::<1>::of(13, 1);
    let mut record = flash.start();
    load(&mut record, &Sample::plain(7, 200)).expect("a good list");
    for id in 0..128 {
        assert_eq!(record.events_left(), 128 - id);
        say(&mut record, done(100 + id)).expect("room");
    }
    assert_eq!(say(&mut record, done(300)), Err(RecordError::Full));
    drop(record);
    let mut record = flash.start();
    assert_eq!(say(&mut record, done(300)), Err(RecordError::Full));
    let expected = shown(&record);
    record.truncate(1, 128).expect("power");
    assert_eq!(shown(&record), expected);
    assert_eq!(record.events_left(), 128);
    say(&mut record, done(228)).expect("room");
    assert_eq!(shown(&record).current, Some(129));
}
