//! The record in flash keeps the rules of every record, at every size of word that it serves.

use record_tests::{Medium, Sample};
use station::machine::{Input, Key};
use station::record::Record;
use station::runner::Runner;
use station::view::Banner;

use crate::flash::Flash;

#[test]
fn the_rules_of_every_record_hold() {
    each(Flash::<1>::new);
    each(Flash::<4>::new);
    each(Flash::<32>::new);
}

fn each<M: Medium>(fresh: impl Fn(u64) -> M) {
    record_tests::a_start_finds_the_list_the_place_and_the_count_of_starts(&fresh(1));
    record_tests::lists_and_events_are_taken_only_in_order(&fresh(2));
}

#[test]
fn random_lives_keep_to_the_reference() {
    record_tests::random_lives_keep_to_the_reference(Flash::<1>::new);
}

#[test]
fn a_station_says_that_the_memory_is_nearly_full_until_the_log_is_emptied() {
    let flash = Flash::<1>::of(13, 1);
    let mut runner = Runner::start(flash.start(), false, &[]);
    runner.load(&Sample::plain(7, 200), 0).expect("a good list");
    let from = record_tests::pass_cards(&mut runner, 0);
    for press in 1..=120 {
        runner.take(Input::Press(Key::Done), from + press * 1_000);
    }
    let left = 8;
    assert_eq!(
        runner.view().banner,
        Some(Banner::MemoryNearlyFull { left })
    );
    let (place, view) = (runner.place().expect("a list").current(), runner.view());
    let (emptied, outcome) = runner.tend(130_000, |record| {
        let (epoch, last) = (record.epoch(), record.last_sequence());
        record.truncate(epoch, last)
    });
    assert_eq!((emptied, outcome.draw), (Ok(()), true));
    assert_eq!(runner.view().banner, None);
    assert_eq!(runner.place().and_then(|place| place.current()), place);
    runner.take(Input::Press(Key::TakeBack), 140_000);
    let place = runner.place().and_then(|place| place.current());
    assert_eq!(place, Some(119));
    assert_ne!(runner.view(), view);
    // the number goes on, and a list that was made with it is still taken
    assert_eq!(runner.record().last_sequence(), 121);
    runner
        .load(&Sample::plain(8, 200), 121)
        .expect("it knows all");
}
