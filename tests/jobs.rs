//! `load` and `progress` with a station at a saw, as a carpenter meets them: what is said, and that what was cut stays cut. Cut
//! lines and killed programs are left to `job_faults`.

use std::fs;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use shared_model::{DigestText, Progress};
use station::machine::Key;

use crate::page::PATIENCE;
use crate::program::{BED_2, Said, baserun, fresh_folder, said};
use crate::running::Running;
use crate::saw_station::SawStation;

/// Bed 2 with a wall remeasured: another list, in which most pieces are the same.
pub fn remeasured() -> String {
    BED_2.replace("31.5", "31.75")
}

/// Loads a file.
pub fn load(folder: &Path, file: &str, to: &str) -> Said {
    said(folder, &["load", file, "--to", to], b"")
}

/// A station that `load` gave a bedroom's list.
pub fn loaded(path: &Path) -> SawStation {
    fs::write(path.join("walk.json"), BED_2).expect("a file");
    let station = SawStation::start(&path.join("station"), 1);
    assert_eq!(load(path, "walk.json", &station.to).status, 0);
    station
}

/// What a station's progress is, for programs.
pub fn report(folder: &Path, to: &str) -> Value {
    let report = said(folder, &["progress", "--to", to, "--format", "json"], b"");
    assert_eq!(report.status, 0, "{}", report.err);
    serde_json::from_str(&report.out).expect("a report")
}

/// What the record reports of a station is what the station counts.
pub fn assert_agrees(kept: &Value, there: Progress, when: &str) {
    for (key, count) in [("aside", there.aside), ("again", there.again)] {
        assert_eq!(kept[key], count, "{when}: {key}");
    }
    // what the list left out because it was cut is done here, and in no list of the station's
    let not_in_list = kept["not_in_list"].as_array().map(Vec::len);
    let done = kept["done"].as_u64().zip(not_in_list);
    let done = done.map(|(done, others)| done as usize + others);
    let cut = usize::from(there.done + there.not_in_list);
    assert_eq!(done, Some(cut), "{when}: cut");
}

/// The digest of a station's list.
pub fn digest_text(station: &SawStation) -> String {
    DigestText(station.digest().expect("a list")).to_string()
}

fn digest_of(folder: &Path, file: &str) -> String {
    let plan = said(folder, &["plan", file, "--format", "json"], b"").out;
    let plan: Value = serde_json::from_str(&plan).expect("a plan");
    plan["digest"].as_str().expect("a digest").to_owned()
}

#[test]
fn a_list_is_loaded_cut_and_loaded_again_edited() {
    let folder = fresh_folder();
    let path = folder.path();
    fs::write(path.join("before.json"), BED_2).expect("a file");
    fs::write(path.join("after.json"), remeasured()).expect("a file");
    let station = SawStation::start(&path.join("station"), 0x2a);
    let before = digest_of(path, "before.json");
    let first = load(path, "before.json", &station.to);
    let here = format!("station 000000000000002a (test board) at {}", station.to);
    let expected = format!(
        "{here}: nothing new\nUpper floor: 5 pieces from 3 sticks; no findings\nlist {before}: 0 of 5 done\n\
         it is the station's first list\n"
    );
    assert_eq!(
        (first.status, first.out.as_str(), first.err.as_str()),
        (0, "", expected.as_str())
    );
    station.press(Key::Done, 2);
    let second = load(path, "after.json", &station.to);
    let after = digest_text(&station);
    let expected = format!(
        "{here}: 2 events taken\nUpper floor: 3 pieces left from 2 sticks; no findings\nlist {after}: 0 of 3 done, 2 cut before\n\
         it takes the place of list {before}; pieces kept as cut: 2\n"
    );
    assert_eq!((second.status, second.err.as_str()), (0, expected.as_str()));
    let again = load(path, "after.json", &station.to);
    assert!(
        again
            .err
            .ends_with("the station has this very list already\n"),
        "{}",
        again.err
    );
    let kept = report(path, &station.to);
    assert_eq!((&kept["done"], &kept["digest"]), (&json!(2), &json!(after)));
}

#[test]
fn progress_says_what_is_done_and_left_room_by_room() {
    let folder = fresh_folder();
    let path = folder.path();
    let text = "\
level Upper floor
moulding base
high 5 1/4, thick 9/16, profile 3/4
stick 192 at 21.50
room Den
open
31 1/2
door 37 1/2
75
room Hall
open
230
room \"Long room at the back with the bay\"
open
100
";
    fs::write(path.join("level.txt"), text).expect("a file");
    let station = SawStation::start(&path.join("station"), 0x2a);
    let loaded = load(path, "level.txt", &station.to);
    assert_eq!(loaded.status, 0, "{}", loaded.err);
    let digest = digest_of(path, "level.txt");
    let progress = |arguments: &[&str]| {
        let mut command = baserun(path);
        command.env("TZ", "UTC").arg("progress").args(arguments);
        let output = command.output().expect("the program runs");
        let text = String::from_utf8(output.stdout).expect("text");
        let times = text.lines().filter(|line| !line.starts_with("begun "));
        (
            output.status.code(),
            times.map(|line| format!("{line}\n")).collect::<String>(),
        )
    };
    let (status, before) = progress(&["--to", &station.to]);
    assert_eq!(status, Some(0));
    let nothing = format!(
        "Upper floor\nlist {digest}: 0 of 5 done, 5 left\nnothing has been said at the saw yet\n\nLong room"
    );
    assert!(before.starts_with(&nothing), "{before}");
    station.press(Key::Done, 1);
    station.press(Key::SetAside, 1);
    station.press(Key::CutAgain, 1);
    let (_, after) = progress(&["--to", &station.to]);
    let expected = format!(
        "\
Upper floor
list {digest}: 0 of 5 done, 5 left (1 set aside, 1 again)

Long room…the back with the bay      0 of 1 done,   1 left (1 again)
Den                                  0 of 2 done,   2 left (1 set aside)
Hall                                 0 of 2 done,   2 left

Set aside
     2  Den, wall 2                                         75\"

To be cut again
     1  Long room at the back with the bay, wall 1         100\"  came out short

Next
     3  Hall, wall 1 (1 of 2)                          111 3/4\"

A new plan is wanted
  what is left is planned again from what is left of the good sticks; what is
  cut stays cut
  to be bought beyond the list before: 1 of 16' 0\" in base
  to see it:   baserun plan level.txt --rest
  to load it:  baserun load level.txt"
    );
    assert_eq!(after, format!("{expected} --to {}\n", station.to));
    // what the computer holds is the same without the station
    let held = format!("{expected}\n");
    assert_eq!(progress(&["--level", "Upper floor"]), (Some(0), held));
}

#[test]
fn a_plan_is_loaded_as_it_was_looked_at() {
    let folder = fresh_folder();
    let path = folder.path();
    let plan = said(path, &["plan", "-", "--format", "json"], BED_2.as_bytes()).out;
    fs::write(path.join("plan.json"), &plan).expect("a file");
    let station = SawStation::start(&path.join("station"), 1);
    let loaded = load(path, "plan.json", &station.to);
    assert_eq!(loaded.status, 0, "{}", loaded.err);
    let plan: Value = serde_json::from_str(&plan).expect("a plan");
    let digest = plan["digest"].as_str().expect("a digest").replace('-', "");
    let digest = u32::from_str_radix(&digest, 16).expect("a digest");
    assert_eq!(station.digest(), Some(digest));
    let mut changed = plan.clone();
    changed["pieces"][0]["length"] = json!(31.75);
    fs::write(path.join("plan.json"), changed.to_string()).expect("a file");
    let refused = load(path, "plan.json", &station.to);
    assert_eq!(
        (refused.status, refused.err.as_str()),
        (
            1,
            "plan.json: this plan was changed after it was written, or another version of this program wrote it: plan its \
             file again\n"
        )
    );
    assert_eq!(station.digest(), Some(digest));
}

#[test]
fn a_plan_with_errors_is_refused_until_it_is_asked_for() {
    let folder = fresh_folder();
    let path = folder.path();
    // no stick is as long as the plinth's wall
    let level = "\
level Den
moulding plinth
high 4, thick 3/4, profile 0
stick 40 have 2
room Den
open
30
opening 40
36
opening 40
39
";
    fs::write(path.join("den.txt"), level).expect("a file");
    let plan = said(path, &["plan", "den.txt", "--format", "json"], b"");
    assert_eq!(plan.status, 1, "{}", plan.err);
    fs::write(path.join("den.json"), plan.out).expect("a file");
    let station = SawStation::start(&path.join("station"), 1);
    for file in ["den.txt", "den.json"] {
        let refused = load(path, file, &station.to);
        let ending = ": nothing is loaded while a plan has errors; put them right, or say --despite-errors\n";
        assert_eq!(refused.status, 1, "{}", refused.err);
        assert!(refused.err.ends_with(ending), "{}", refused.err);
        assert_eq!(station.digest(), None);
    }
    for file in ["den.txt", "den.json"] {
        let all = said(
            path,
            &["load", file, "--despite-errors", "--to", &station.to],
            b"",
        );
        assert_eq!(all.status, 0, "{}", all.err);
        assert!(all.err.contains("\nleft out: Den, wall "), "{}", all.err);
    }
    assert_eq!(station.progress().pieces, 2);
}

#[test]
fn where_no_station_answers_it_is_said_what_to_do() {
    let folder = fresh_folder();
    let path = folder.path();
    fs::write(path.join("walk.json"), BED_2).expect("a file");
    for (to, expected) in [
        (
            "tcp:host",
            "\"tcp:host\" is no way to a station: name a serial port, or tcp:HOST:PORT",
        ),
        ("tcp:127.0.0.1:1", "tcp:127.0.0.1:1 cannot be opened: "),
        ("/no/such/port", "/no/such/port cannot be opened: "),
    ] {
        for command in [
            &["load", "walk.json", "--to", to][..],
            &["progress", "--to", to],
        ] {
            let told = said(path, command, b"");
            assert_eq!((told.status, told.out.as_str()), (1, ""));
            assert!(told.err.starts_with(expected), "{}", told.err);
        }
    }
    let both = said(path, &["progress", "--to", "COM3", "--level", "Den"], b"");
    assert_eq!(both.status, 2);
    let none = said(path, &["progress", "--level", "Den"], b"");
    assert_eq!(
        (none.status, none.err.as_str()),
        (
            1,
            "no level has been shown or loaded on this computer yet\n"
        )
    );
}

#[test]
fn a_station_without_a_list_or_with_another_computers_is_told() {
    let (here, there) = (fresh_folder(), fresh_folder());
    fs::write(there.path().join("walk.json"), BED_2).expect("a file");
    let station = SawStation::start(&there.path().join("station"), 1);
    let none = said(here.path(), &["progress", "--to", &station.to], b"");
    assert_eq!(none.status, 1);
    assert!(
        none.err
            .ends_with("the station has no list: give it one with load\n"),
        "{}",
        none.err
    );
    assert_eq!(load(there.path(), "walk.json", &station.to).status, 0);
    station.press(Key::Done, 2);
    let other = said(here.path(), &["progress", "--to", &station.to], b"");
    assert_eq!(other.status, 1);
    let unknown = format!(
        "Upper floor, list {}: this list was not loaded from this computer",
        digest_of(there.path(), "walk.json")
    );
    assert!(other.err.contains(&unknown), "{}", other.err);
    // the computer that loaded it finds every event still there
    assert_eq!(report(there.path(), &station.to)["done"], 2);
    // and this one knows all about it once it has the list
    fs::write(here.path().join("walk.json"), BED_2).expect("a file");
    assert_eq!(load(here.path(), "walk.json", &station.to).status, 0);
    assert_eq!(report(here.path(), &station.to)["done"], 2);
}

#[test]
fn nothing_of_the_next_house_is_cut_at_the_same_station() {
    let folder = fresh_folder();
    let path = folder.path();
    fs::write(
        path.join("lot-12.json"),
        BED_2.replace("Upper floor", "Lot 12"),
    )
    .expect("a file");
    fs::write(
        path.join("lot-13.json"),
        BED_2.replace("Upper floor", "Lot 13"),
    )
    .expect("a file");
    let station = SawStation::start(&path.join("station"), 1);
    assert_eq!(load(path, "lot-12.json", &station.to).status, 0);
    station.press(Key::Done, 3);
    let next = load(path, "lot-13.json", &station.to);
    assert!(
        next.err
            .contains(": 0 of 5 done\nit takes the place of list "),
        "{}",
        next.err
    );
    assert!(
        next.err.ends_with(" of Lot 12; pieces kept as cut: 0\n"),
        "{}",
        next.err
    );
    assert_eq!(station.progress().done, 0);
    station.press(Key::Done, 1);
    assert_eq!(report(path, &station.to)["done"], 1);
    // back to the first house, which is where it was
    assert_eq!(load(path, "lot-12.json", &station.to).status, 0);
    assert_eq!(station.progress().done, 3);
    assert_eq!(report(path, &station.to)["done"], 3);
}

/// How far a level is by the job record, once that is what is expected or patience ends.
fn recorded(folder: &Path, expected: impl Fn(&Value) -> bool) -> Value {
    let begun = Instant::now();
    loop {
        let arguments = ["progress", "--level", "Upper floor", "--format", "json"];
        let report = said(folder, &arguments, b"").out;
        let report = serde_json::from_str(&report).unwrap_or(Value::Null);
        if expected(&report) || begun.elapsed() > PATIENCE {
            return report;
        }
        thread::sleep(Duration::from_millis(20));
    }
}

fn recorded_done(folder: &Path, done: u64) {
    let report = recorded(folder, |report| report["done"] == done);
    assert_eq!(report["done"], done);
}

#[test]
fn presses_on_the_page_are_in_the_job_record() {
    let folder = fresh_folder();
    let path = folder.path();
    let walk = path.join("walk.json");
    fs::write(&walk, BED_2).expect("a file");
    let station = Running::start(path, &["walk.json"]);
    assert_eq!(station.press("a", 1, "done").1["done"], 1);
    recorded_done(path, 1);
    // killed without a word, and with another list the next time
    drop(station);
    fs::write(&walk, remeasured()).expect("a file");
    let station = Running::start(path, &["walk.json"]);
    let state = station.state();
    let kept = recorded(path, |report| report["digest"] == state["digest"]);
    assert_eq!(kept["digest"], state["digest"]);
    // the list of what is left has none of what is cut, and the record counts it all the same
    let cut = |of: &Value| of["done"].as_u64().expect("a count");
    let not_in_list = kept["not_in_list"].as_array().map(Vec::len);
    let not_in_list = not_in_list.expect("pieces") as u64;
    let at_station = cut(&state) + state["not_in_list"].as_u64().expect("a count");
    assert_eq!((cut(&kept) + not_in_list, at_station), (1, 1));
    // a station at the saw works on the same level: both count
    let saw = SawStation::start(&path.join("station"), 1);
    assert_eq!(load(path, "walk.json", &saw.to).status, 0);
    let left = usize::from(saw.progress().pieces);
    saw.press(Key::Done, left);
    let all = report(path, &saw.to);
    assert_eq!((&all["done"], &all["left"]), (&json!(5), &json!(0)));
    assert_eq!(usize::from(saw.progress().done), left);
    drop(station);
    let anew = Running::start(path, &["--anew", "walk.json"]);
    assert_eq!(anew.state()["done"], 0);
    recorded_done(path, 0);
}

#[test]
fn a_page_goes_on_without_the_job_record_and_nothing_is_lost() {
    let folder = fresh_folder();
    let path = folder.path();
    fs::write(path.join("walk.json"), BED_2).expect("a file");
    fs::create_dir(path.join("data")).expect("a folder");
    let file = path.join("data/job-record.sqlite");
    fs::write(&file, "no record at all").expect("a file");
    let mut station = Running::start(path, &["walk.json"]);
    station
        .hear("the station goes on and keeps every press; the job record takes them another time");
    assert_eq!(station.press("a", 1, "done").1["done"], 1);
    drop(station);
    assert_eq!(fs::read(&file).expect("the file"), b"no record at all");
    fs::remove_file(&file).expect("the file");
    let station = Running::start(path, &["walk.json"]);
    recorded_done(path, 1);
    drop(station);
}
