//! Power cuts at every single byte of one event, of a list and of a start, and disks that run full.

use file_record::FileRecord;
use shared_model::{Place, SawList};
use station::machine::{Input, Key};
use station::record::{Record, RecordError};
use station::runner::Runner;
use station::view::Banner;

use record_tests::{Sample, event, pass_cards};

use crate::mean_disk::MeanDisk;

fn start(disk: &MeanDisk) -> Runner<FileRecord<MeanDisk>> {
    let record = FileRecord::on(disk.clone()).expect("a record");
    assert_eq!(record.damage(), []);
    Runner::start(record, false, &[])
}

fn current(runner: &Runner<FileRecord<MeanDisk>>) -> Option<u16> {
    runner.place().and_then(Place::current)
}

/// A disk with a list loaded and three pieces cut.
fn used(run: u64) -> MeanDisk {
    let disk = MeanDisk::new(run);
    let mut runner = start(&disk);
    runner.load(&Sample::plain(7, 9), 0).expect("a good list");
    pass_cards(&mut runner, 0);
    for now in [2_000, 3_000, 4_000] {
        runner.take(Input::Press(Key::Done), now);
    }
    disk
}

#[test]
fn an_event_cut_at_any_byte_is_there_whole_or_not_at_all() {
    let mut seen = [0, 0];
    for run in 0..8 {
        let whole = used(run);
        for torn in [0, 5] {
            // with a torn slot to be filled up before it
            whole.tamper("events", |bytes| bytes.extend(&[0xa5; 5][..torn]));
            for units in 0..=65 {
                for cut in [MeanDisk::after_kill, MeanDisk::after_power_cut] {
                    let disk = whole.fork(run * 100 + units);
                    let mut runner = start(&disk);
                    assert_eq!(current(&runner), Some(3));
                    disk.die_after(units);
                    let outcome = runner.take(Input::Press(Key::Done), 1_000);
                    let dead = disk.is_dead();
                    assert_eq!(outcome.trouble.is_some(), dead);
                    assert_eq!(current(&runner), Some(3 + u16::from(!dead)));
                    let banner = dead.then_some(Banner::NotStored);
                    assert_eq!(runner.view().banner, banner);
                    // further presses on a dead disk change nothing
                    runner.take(Input::Press(Key::Done), 2_000);
                    cut(&disk);
                    let found = current(&start(&disk)).expect("a piece");
                    assert!(found == 4 || (found == 3 && dead) || (found == 5 && !dead));
                    seen[usize::from(found != 3)] += 1;
                    // what was shown once stays, even if the power goes right away
                    disk.after_power_cut();
                    assert_eq!(current(&start(&disk)), Some(found));
                }
            }
        }
    }
    assert!(seen[0] > 100 && seen[1] > 100, "{seen:?}");
}

#[test]
fn a_list_cut_at_any_byte_is_the_old_one_or_the_new_one() {
    let (old, new) = (used(1), Sample::plain(8, 12));
    let before = old.spent();
    start(&old).load(&new, 3).expect("a good list");
    let units = old.spent() - before;
    let old = used(1);
    let mut seen = [0, 0];
    for at in 0..=units {
        for cut in [MeanDisk::after_kill, MeanDisk::after_power_cut] {
            let disk = old.fork(at);
            let mut runner = start(&disk);
            disk.die_after(at);
            let loaded = runner.load(&new, 3);
            let digest = if loaded.is_ok() { 8 } else { 7 };
            assert_eq!(runner.place().map(Place::digest), Some(digest));
            cut(&disk);
            let runner = start(&disk);
            assert_eq!(current(&runner), Some(3));
            let list = runner.record().list().expect("a list").clone();
            assert!(list.head().digest == digest || list.head().digest == 8);
            let pieces = (0..).map_while(|index| list.piece(index)).count();
            assert_eq!(pieces, if list.head().digest == 8 { 12 } else { 9 });
            seen[usize::from(list.head().digest == 8)] += 1;
            disk.after_power_cut();
            let again = start(&disk);
            assert_eq!(again.place().map(Place::digest), Some(list.head().digest));
        }
    }
    assert!(seen[0] > 500 && seen[1] > 2, "{seen:?}");
}

#[test]
fn a_start_cut_at_any_byte_loses_nothing_and_the_next_one_works() {
    for old in [MeanDisk::new(1), used(2)] {
        let fresh = old.bytes("events").is_empty();
        for at in 0..200 {
            for cut in [MeanDisk::after_kill, MeanDisk::after_power_cut] {
                let disk = old.fork(at);
                disk.die_after(at);
                let boot = FileRecord::on(disk.clone()).map(|record| record.boot());
                assert_eq!(boot.is_err(), disk.is_dead());
                cut(&disk);
                let runner = start(&disk);
                let expected = (!fresh).then_some(3);
                assert_eq!(current(&runner), expected);
                // a start that was counted is not counted away
                assert!(boot.is_err() || boot.ok() < Some(runner.record().boot()));
            }
        }
    }
}

#[test]
fn a_full_disk_refuses_the_press_and_takes_the_next_when_there_is_room() {
    for units in 0..=32 {
        let disk = used(units);
        let mut runner = start(&disk);
        let before = disk.bytes("events");
        disk.full_after(units);
        let outcome = runner.take(Input::Press(Key::Done), 1_000);
        assert_eq!(outcome.trouble, Some(RecordError::EventNotStored));
        assert!(runner.record().trouble().is_some());
        assert_eq!(disk.bytes("events"), before);
        let outcome = runner.take(Input::Press(Key::Done), 2_000);
        assert_eq!(outcome.trouble, Some(RecordError::EventNotStored));
        disk.refill();
        let outcome = runner.take(Input::Press(Key::Done), 3_000);
        assert_eq!((outcome.trouble, current(&runner)), (None, Some(4)));
        disk.after_power_cut();
        assert_eq!(current(&start(&disk)), Some(4));
    }
}

#[test]
fn an_event_that_cannot_be_struck_out_stops_the_record_until_a_start() {
    let disk = used(1);
    let mut record = FileRecord::on(disk.clone()).expect("a record");
    // all bytes written, the sync fails and so does the cutting off
    disk.die_after(32);
    assert_eq!(record.append(&event(4)), Err(RecordError::StartAgain));
    disk.after_kill();
    assert_eq!(record.append(&event(4)), Err(RecordError::StartAgain));
    assert_eq!(record.last_sequence(), 3);
    drop(record);
    let record = FileRecord::on(disk.clone()).expect("a record");
    assert_eq!(record.last_sequence(), 4);
}

#[test]
fn random_lives_keep_to_the_reference() {
    record_tests::random_lives_keep_to_the_reference(MeanDisk::new);
}
