//! A record in a real folder: the lock, starts, and what a torn or damaged file does.

use std::fs;
use std::path::{Path, PathBuf};

use file_record::{Damage, FileRecord, OpenError};
use shared_model::Event;
use station::machine::{Input, Key};
use station::record::{Record, RecordError};
use station::runner::Runner;

use record_tests::{Medium, Sample, event, pass_cards};

/// A folder that goes when the test ends.
struct Place(PathBuf);

impl Place {
    fn new(name: &str) -> Place {
        let folder = format!("baserun-record-{}-{name}", std::process::id());
        let place = Place(std::env::temp_dir().join(folder));
        let _ = fs::remove_dir_all(&place.0);
        place
    }
}

impl Medium for Place {
    type Record<'a> = FileRecord;

    fn start(&self) -> FileRecord {
        open(&self.0)
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn open(folder: &Path) -> FileRecord {
    FileRecord::open(folder).expect("a record")
}

fn numbers(record: &FileRecord) -> Vec<u32> {
    record.events().map(|event| event.sequence).collect()
}

#[test]
fn the_rules_hold_in_a_real_folder() {
    record_tests::a_start_finds_the_list_the_place_and_the_count_of_starts(&Place::new("start"));
    record_tests::lists_and_events_are_taken_only_in_order(&Place::new("order"));
}

#[test]
fn a_second_station_is_kept_out_until_the_first_has_ended() {
    let place = Place::new("lock");
    let first = open(&place.0);
    let error = FileRecord::open(&place.0).expect_err("it is in use");
    assert!(matches!(error, OpenError::InUse), "{error}");
    drop(first);
    assert_eq!(open(&place.0).boot(), 2);
}

#[test]
fn a_torn_tail_of_any_length_is_left_behind_and_written_past() {
    for torn in 1..32 {
        let place = Place::new("torn");
        let mut record = open(&place.0);
        record.append(&event(1)).expect("room");
        record.append(&event(2)).expect("room");
        drop(record);
        let file = place.0.join("events");
        let bytes = fs::read(&file).expect("the events");
        fs::write(&file, &bytes[..bytes.len() - torn]).expect("room");
        let mut record = open(&place.0);
        assert_eq!((numbers(&record), record.damage()), (vec![1], &[][..]));
        record.append(&event(2)).expect("room");
        record.append(&event(3)).expect("room");
        drop(record);
        let record = open(&place.0);
        assert_eq!(
            (numbers(&record), record.damage()),
            (vec![1, 2, 3], &[][..])
        );
        // what was there is there still
        let after = fs::read(&file).expect("the events");
        assert_eq!(after[..bytes.len() - torn], bytes[..bytes.len() - torn]);
    }
}

#[test]
fn a_damaged_middle_is_reported_and_nothing_is_overwritten() {
    let place = Place::new("middle");
    let mut record = open(&place.0);
    for sequence in 1..=6 {
        record.append(&event(sequence)).expect("room");
    }
    drop(record);
    let file = place.0.join("events");
    let mut bytes = fs::read(&file).expect("the events");
    for slot in [2, 4, 5] {
        bytes[slot * 32 + 9] ^= 0x40;
    }
    fs::write(&file, &bytes).expect("room");
    let mut record = open(&place.0);
    assert_eq!(numbers(&record), [1, 3, 6]);
    let damage = [Damage::EventsMissing(2..=2), Damage::EventsMissing(4..=5)];
    assert_eq!(record.damage(), damage);
    assert_eq!(
        record.damage()[1].to_string(),
        "events 4 to 5 were stored and cannot be read any more: check which pieces are cut"
    );
    record.append(&event(7)).expect("room");
    drop(record);
    let after = fs::read(&file).expect("the events");
    assert_eq!(after[..bytes.len()], bytes);
    assert_eq!(numbers(&open(&place.0)), [1, 3, 6, 7]);
}

#[test]
fn an_end_that_no_power_cut_leaves_is_reported() {
    let place = Place::new("end");
    let mut record = open(&place.0);
    for sequence in 1..=4 {
        record.append(&event(sequence)).expect("room");
    }
    drop(record);
    let file = place.0.join("events");
    let mut bytes = fs::read(&file).expect("the events");
    let flip = |bytes: &mut Vec<u8>, slot: usize| bytes[slot * 32 + 9] ^= 0x40;
    flip(&mut bytes, 3);
    flip(&mut bytes, 4);
    fs::write(&file, &bytes).expect("room");
    let record = open(&place.0);
    assert_eq!(
        (numbers(&record), record.damage()),
        (vec![1, 2], &[Damage::EventsEnd(2)][..])
    );
    drop(record);
    // after a start since the last event they can be two writes that were cut short
    assert_eq!(open(&place.0).damage(), []);
}

#[test]
fn events_that_are_gone_are_missed() {
    let place = Place::new("gone");
    let mut record = open(&place.0);
    assert_eq!(record.damage(), []);
    record.append(&event(1)).expect("room");
    drop(record);
    fs::remove_file(place.0.join("events")).expect("they were there");
    assert_eq!(open(&place.0).damage(), [Damage::EventsGone]);
}

#[test]
fn a_damaged_list_is_reported_and_the_events_stay() {
    let place = Place::new("list");
    let mut runner = Runner::start(open(&place.0), false, &[]);
    runner.load(&Sample::plain(7, 5), 0).expect("a good list");
    let now = pass_cards(&mut runner, 0);
    runner.take(Input::Press(Key::Done), now);
    drop(runner);
    let file = place.0.join("list");
    let bytes = fs::read(&file).expect("the list");
    for at in 0..bytes.len() {
        let mut bad = bytes.clone();
        bad[at] ^= 1;
        fs::write(&file, &bad).expect("room");
        let record = open(&place.0);
        assert_eq!(
            (record.damage(), numbers(&record)),
            (&[Damage::List][..], vec![1])
        );
        assert!(record.list().is_none());
    }
    let mut runner = Runner::start(open(&place.0), false, &[]);
    runner.load(&Sample::plain(7, 5), 1).expect("a good list");
    assert_eq!(runner.place().and_then(|place| place.current()), Some(1));
}

#[test]
fn files_of_another_format_and_other_files_are_left_alone() {
    let place = Place::new("format");
    drop(open(&place.0));
    let events = place.0.join("events");
    let bytes = fs::read(&events).expect("the events");
    fs::write(&events, "a letter to nobody, longer than one slot is").expect("room");
    let error = FileRecord::open(&place.0).expect_err("not a record");
    assert!(matches!(error, OpenError::NoEvents), "{error}");
    fs::write(&events, "").expect("room");
    let error = FileRecord::open(&place.0).expect_err("not a record");
    assert!(matches!(error, OpenError::NoEvents), "{error}");
    // the same header as a later program would write it
    let mut later = bytes.clone();
    later[16] = 2;
    let crc = crc::Crc::<u32>::new(&crc::CRC_32_ISCSI).checksum(&later[..28]);
    later[28..32].copy_from_slice(&crc.to_le_bytes());
    fs::write(&events, &later).expect("room");
    let error = FileRecord::open(&place.0).expect_err("another format");
    assert_eq!(
        error.to_string(),
        "the record's file \"events\" has the format 2 and this program reads 1: use the program that wrote it"
    );
    assert_eq!(fs::read(&events).expect("the events"), later);
}

#[test]
fn a_count_of_starts_that_is_lost_goes_on_from_the_events() {
    let place = Place::new("boots");
    let mut record = open(&place.0);
    let later = Event {
        boot: 41,
        ..event(1)
    };
    record.append(&later).expect("room");
    drop(record);
    fs::write(place.0.join("boots"), "?").expect("room");
    assert_eq!(open(&place.0).boot(), 42);
    assert_eq!(open(&place.0).boot(), 43);
}

#[test]
fn a_record_whose_folder_is_gone_says_so_and_stores_nothing_more() {
    let place = Place::new("gone");
    let mut record = open(&place.0);
    fs::remove_dir_all(&place.0).expect("the folder");
    assert_eq!(record.append(&event(1)), Err(RecordError::StartAgain));
    assert!(record.trouble().is_some());
    assert_eq!(record.append(&event(1)), Err(RecordError::StartAgain));
    assert_eq!(record.last_sequence(), 0);
}
