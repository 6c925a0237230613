//! `load` and `progress` under bad conditions: lines cut at any byte, the program killed at any moment, records that are
//! damaged or of another version. No event is lost or counted twice. What is said else is left to `jobs`.

use std::fs;
use std::path::Path;
use std::process::Stdio;
use std::thread;
use std::time::Duration;

use station::machine::Key;

use crate::jobs::{assert_agrees, load, loaded, remeasured, report};
use crate::program::{BED_2, baserun, fresh_folder, said};
use crate::saw_station::SawStation;

/// Record and station say the same, and every event is in the record once.
fn agree(path: &Path, station: &SawStation) {
    let kept = report(path, &station.to);
    assert_agrees(&kept, station.progress(), "at the end");
    let file = path.join("data/job-record.sqlite");
    let file = rusqlite::Connection::open(file).expect("the file");
    let counted = "SELECT count(*), max(sequence), (SELECT count(*) FROM disputed) FROM event";
    let counted = file.query_row(counted, [], |row| {
        Ok((row.get(0)?, row.get(1)?, row.get(2)?))
    });
    let events = station.events().len() as i64;
    assert_eq!(counted.expect("a row"), (events, events, 0));
}

/// A key, now and then the power gone and back, and one of the two lists.
fn next_round(station: &SawStation, dice: &mut fastrand::Rng) -> &'static str {
    let keys = [Key::Done, Key::SetAside, Key::TakeBack];
    station.press(dice.choice(keys).expect("a key"), 1);
    if dice.bool() {
        station.switch_on();
    }
    dice.choice(["before.json", "after.json"]).expect("a file")
}

fn two_lists(path: &Path) -> SawStation {
    fs::write(path.join("before.json"), BED_2).expect("a file");
    fs::write(path.join("after.json"), remeasured()).expect("a file");
    let station = SawStation::start(&path.join("station"), 1);
    assert_eq!(load(path, "before.json", &station.to).status, 0);
    station
}

#[test]
fn a_cut_line_loses_and_doubles_nothing() {
    let folder = fresh_folder();
    let station = two_lists(folder.path());
    let mut dice = fastrand::Rng::with_seed(4);
    for round in 0..20 {
        let file = next_round(&station, &mut dice);
        station.cut_after(dice.usize(0..1_000));
        let told = load(folder.path(), file, &station.to);
        assert!([0, 1].contains(&told.status), "{round}: {}", told.err);
        assert!(!told.err.contains("panicked"), "{round}: {}", told.err);
    }
    let cuts = station.cuts();
    assert!(cuts > 5, "{cuts}");
    agree(folder.path(), &station);
}

#[test]
fn a_killed_program_loses_and_doubles_nothing() {
    let folder = fresh_folder();
    let station = two_lists(folder.path());
    let mut dice = fastrand::Rng::with_seed(5);
    let mut killed = 0;
    for round in 0..30 {
        let file = next_round(&station, &mut dice);
        let mut load = baserun(folder.path());
        load.args(["load", file, "--to", &station.to]);
        let mut load = load
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        // early, and in every other round up to long after it has ended
        let longest = if round % 2 == 0 { 15_000 } else { 90_000 };
        thread::sleep(Duration::from_micros(dice.u64(0..longest)));
        // it may have ended by itself
        let _ = load.kill();
        let ended = load.wait().expect("it ends");
        killed += u32::from(ended.code().is_none());
    }
    assert!(killed > 5, "{killed}");
    agree(folder.path(), &station);
}

#[test]
fn a_record_that_is_damaged_or_newer_is_told_and_the_station_left_alone() {
    let folder = fresh_folder();
    let path = folder.path();
    let station = loaded(path);
    let file = path.join("data/job-record.sqlite");
    let whole = fs::read(&file).expect("the record");
    let newer = [&whole[..60], &999u32.to_be_bytes(), &whole[64..]].concat();
    let spoilt = [&whole[..4096], &vec![0x5a; whole.len() - 4096][..]].concat();
    station.press(Key::Done, 1);
    for (bytes, expected) in [
        (
            newer,
            "a newer baserun has written this job record (version 999, this program reads 2)",
        ),
        (spoilt, "the job record is damaged ("),
    ] {
        fs::write(&file, &bytes).expect("the record");
        for command in [
            &["load", "walk.json", "--to", &station.to][..],
            &["progress", "--to", &station.to],
        ] {
            let told = said(path, command, b"");
            assert_eq!((told.status, told.out.as_str()), (1, ""));
            assert!(
                told.err
                    .starts_with(&format!("{}: {expected}", file.display())),
                "{}",
                told.err
            );
            assert!(fs::read(&file).expect("the record") == bytes);
        }
    }
    fs::write(&file, whole).expect("the record");
    assert_eq!(report(path, &station.to)["done"], 1);
    // put aside, as it says, and begun anew with another list: the station has it all still
    fs::rename(&file, path.join("aside")).expect("the record");
    fs::write(path.join("walk.json"), remeasured()).expect("a file");
    assert_eq!(load(path, "walk.json", &station.to).status, 0);
    assert_eq!(report(path, &station.to)["done"], station.progress().done);
    assert_eq!(station.progress().done, 1);
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a folder");
    for entry in fs::read_dir(from).expect("a folder") {
        let entry = entry.expect("an entry");
        fs::copy(entry.path(), to.join(entry.file_name())).expect("a copy");
    }
}

/// A station's memory is put back to an earlier day, by a copy of it.
#[test]
fn a_station_that_has_forgotten_what_was_taken_is_told() {
    let folder = fresh_folder();
    let path = folder.path();
    let station = loaded(path);
    station.press(Key::Done, 1);
    copy(&path.join("station"), &path.join("earlier"));
    station.press(Key::Done, 2);
    assert_eq!(report(path, &station.to)["done"], 3);
    let earlier = SawStation::start(&path.join("earlier"), 1);
    let progress = |to: &str| said(path, &["progress", "--to", to], b"");
    let fewer = progress(&earlier.to);
    let expected = format!(
        "{}: the station has 1 events and 3 were taken from it before: it has lost some;",
        earlier.to
    );
    assert_eq!((fewer.status, fewer.out.as_str()), (1, ""));
    assert!(fewer.err.starts_with(&expected), "{}", fewer.err);
    // as many as before, but others
    earlier.press(Key::SetAside, 2);
    for _ in 0..2 {
        let others = progress(&earlier.to);
        let expected = format!(
            "{}: this station has other events under numbers that were taken before (3): what it says now is kept apart",
            earlier.to
        );
        assert_eq!(others.status, 1);
        assert!(others.err.starts_with(&expected), "{}", others.err);
    }
    // what was taken stays as it was
    assert_eq!(report(path, &station.to)["done"], 3);
}
