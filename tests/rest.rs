//! What is left of a level after something went wrong at the saw, as a carpenter meets it: `progress` offers a new list,
//! `plan --rest` shows it, `load` and `run` give it to the station, and every piece is cut once. Which plan that is, is
//! left to the planner's own tests.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::thread;

use serde_json::{Value, json};
use shared_model::{PieceId, What};
use station::machine::Key;

use crate::jobs::{digest_text, load, loaded, report};
use crate::program::{BED_2, fresh_folder, said};
use crate::running::{NEXT_PRESS, Running};
use crate::saw_station::SawStation;

fn json_of(folder: &Path, arguments: &[&str]) -> Value {
    let told = said(folder, arguments, b"");
    assert_eq!(told.status, 0, "{}", told.err);
    serde_json::from_str(&told.out).expect("JSON")
}

fn text(value: &Value) -> &str {
    value.as_str().expect("a text")
}

/// The ids of all pieces of a plan.
fn ids(plan: &Value) -> BTreeSet<String> {
    let pieces = plan["pieces"].as_array().expect("pieces").iter();
    pieces.map(|piece| text(&piece["id"]).to_owned()).collect()
}

/// What a station has as cut, however often it was said.
fn cut(station: &SawStation) -> Vec<PieceId> {
    let events = station.events();
    let cut = events.iter().filter_map(|event| match event.what {
        What::Done { piece, .. } => Some(piece),
        _ => None,
    });
    cut.collect()
}

#[test]
fn after_a_bad_stick_progress_offers_what_load_gives_and_the_level_is_finished() {
    let folder = fresh_folder();
    let path = folder.path();
    let station = loaded(path);
    let whole = json_of(path, &["plan", "walk.json", "--format", "json"]);
    station.press(Key::Done, 1);
    // nothing is wrong yet: nothing is offered, and nothing changes
    assert_eq!(report(path, &station.to)["new_plan"], Value::Null);
    let rest = ["plan", "walk.json", "--rest", "--format", "json"];
    assert_eq!(json_of(path, &rest)["digest"], whole["digest"]);
    let same = load(path, "walk.json", &station.to).err;
    assert!(
        same.contains("nothing is wrong with the list, so it stays as it is\n"),
        "{same}"
    );
    assert!(
        same.ends_with("the station has this very list already\n"),
        "{same}"
    );
    station.press(Key::BadStick, 1);
    assert_eq!(station.progress().no_stick, 0, "it asks first");
    station.press_twice(Key::BadStick);
    let waiting = station.progress().no_stick;
    assert!(waiting > 0);
    let told = said(path, &["progress", "--to", &station.to], b"");
    assert_eq!(told.status, 0, "{}", told.err);
    let offered = format!(
        "\
A new plan is wanted
  what is left is planned again from what is left of the good sticks; what is
  cut stays cut
  to be bought beyond the list before: 1 of 16' 0\" in base
  to see it:   baserun plan walk.json --rest
  to load it:  baserun load walk.json --to {}
",
        station.to
    );
    assert!(told.out.ends_with(&offered), "{}", told.out);
    let new = report(path, &station.to)["new_plan"].clone();
    let seen = json_of(path, &rest);
    assert_eq!(seen["digest"], new["digest"]);
    let loaded = load(path, "walk.json", &station.to);
    assert_eq!(loaded.status, 0, "{}", loaded.err);
    let bought = "To be bought beyond the list before: 1 of 16' 0\" in base.";
    assert!(loaded.err.contains(bought), "{}", loaded.err);
    assert!(
        loaded.err.contains("4 pieces left from ")
            && loaded.err.contains(": 0 of 4 done, 1 cut before\n"),
        "{}",
        loaded.err
    );
    assert!(
        loaded.err.ends_with("; pieces kept as cut: 1\n"),
        "{}",
        loaded.err
    );
    assert_eq!(digest_text(&station), text(&seen["digest"]));
    // what was cut is counted with what the new list has
    let kept = report(path, &station.to);
    assert_eq!((&kept["done"], &kept["pieces"]), (&json!(1), &json!(5)));
    assert_eq!(kept["not_in_list"], json!([]));
    station.press(Key::Done, 4);
    let all = report(path, &station.to);
    assert_eq!((&all["done"], &all["left"]), (&json!(5), &json!(0)));
    assert_eq!(all["new_plan"], Value::Null);
    let cut: Vec<String> = cut(&station).iter().map(ToString::to_string).collect();
    assert_eq!(cut.len(), 5, "each piece is cut once");
    assert_eq!(cut.into_iter().collect::<BTreeSet<_>>(), ids(&whole));
    let nothing = load(path, "walk.json", &station.to);
    assert_eq!(nothing.status, 0);
    assert!(
        nothing
            .err
            .ends_with("Upper floor: every piece of it is cut, so there is nothing left to load\n"),
        "{}",
        nothing.err
    );
    let nothing = said(path, &["plan", "walk.json", "--rest"], b"");
    assert_eq!((nothing.status, nothing.out.as_str()), (0, ""));
}

#[test]
fn a_piece_to_be_cut_again_gets_a_stick_and_its_turn() {
    let folder = fresh_folder();
    let path = folder.path();
    let station = loaded(path);
    station.press(Key::Done, 2);
    station.press(Key::CutAgain, 1);
    assert_eq!(station.progress().again, 1);
    let again = cut(&station)[1];
    assert_ne!(report(path, &station.to)["new_plan"], Value::Null);
    let loaded = load(path, "walk.json", &station.to);
    assert_eq!(loaded.status, 0, "{}", loaded.err);
    let progress = station.progress();
    assert_eq!((progress.pieces, progress.done, progress.again), (4, 0, 0));
    station.press(Key::Done, 4);
    let cut = cut(&station);
    assert_eq!(cut.iter().filter(|piece| **piece == again).count(), 2);
    assert_eq!(report(path, &station.to)["left"], 0);
}

#[test]
fn a_plan_of_the_rest_is_loaded_as_it_was_looked_at_or_refused() {
    let folder = fresh_folder();
    let path = folder.path();
    let station = loaded(path);
    let rest = || {
        report(path, &station.to);
        let plan = json_of(path, &["plan", "walk.json", "--rest", "--format", "json"]);
        fs::write(path.join("rest.json"), plan.to_string()).expect("a file");
        plan
    };
    station.press_twice(Key::BadStick);
    rest();
    station.press(Key::Done, 1);
    let before = digest_text(&station);
    let refused = load(path, "rest.json", &station.to);
    assert_eq!(refused.status, 1);
    let missed = "rest.json: this plan was made before all that was said at the saw was known, and misses 1 piece cut: \
        nothing is loaded; plan its file again: baserun plan FILE --rest --format json\n";
    assert!(refused.err.ends_with(missed), "{}", refused.err);
    assert_eq!(digest_text(&station), before);
    let plan = rest();
    assert_eq!(plan["after"], 2);
    let loaded = load(path, "rest.json", &station.to);
    assert_eq!(loaded.status, 0, "{}", loaded.err);
    assert!(!loaded.err.contains("left out"), "{}", loaded.err);
    assert_eq!(digest_text(&station), text(&plan["digest"]));
    // the first plan knows nothing of what was cut
    let first = json_of(path, &["plan", "walk.json", "--format", "json"]);
    fs::write(path.join("first.json"), first.to_string()).expect("a file");
    let refused = load(path, "first.json", &station.to);
    assert_eq!(refused.status, 1);
    assert!(
        refused.err.contains("misses 1 piece cut, 1 stick bad: "),
        "{}",
        refused.err
    );
    // the page offers nothing from here, where the file is not known
    station.press_twice(Key::BadStick);
    let new = report(path, &station.to)["new_plan"].clone();
    assert_eq!(text(&new["look"]), "baserun plan FILE --rest");
}

#[test]
fn another_station_gets_only_what_is_not_cut() {
    let folder = fresh_folder();
    let path = folder.path();
    let first = loaded(path);
    first.press(Key::Done, 2);
    report(path, &first.to);
    let second = SawStation::start(&path.join("second"), 2);
    let loaded = load(path, "walk.json", &second.to);
    assert_eq!(loaded.status, 0, "{}", loaded.err);
    let progress = second.progress();
    assert_eq!((progress.pieces, progress.done), (3, 0));
    second.press(Key::Done, 3);
    let all = report(path, &second.to);
    assert_eq!((&all["done"], &all["left"]), (&json!(5), &json!(0)));
    let mut cut = [cut(&first), cut(&second)].concat();
    cut.sort_unstable();
    cut.dedup();
    assert_eq!(cut.len(), 5);
}

#[test]
fn the_station_on_this_computer_goes_on_with_what_is_left() {
    let folder = fresh_folder();
    let path = folder.path();
    fs::write(path.join("walk.json"), BED_2).expect("a file");
    let mut number = 0;
    let mut press = |station: &Running, key: &str| {
        number += 1;
        let answer = station.press("a", number, key);
        thread::sleep(NEXT_PRESS);
        answer.1
    };
    let station = Running::start(path, &["walk.json"]);
    assert_eq!(press(&station, "done")["done"], 1);
    press(&station, "bad-stick");
    press(&station, "bad-stick");
    assert!(station.state()["no_stick"].as_u64().expect("a count") > 0);
    let first = station.state()["digest"].clone();
    drop(station);
    let mut station = Running::start(path, &["walk.json"]);
    assert_ne!(station.state()["digest"], first);
    station.hear("; pieces kept as cut: 1");
    let left = |line: &String| line.contains(": 4 pieces left from ");
    assert!(station.told.iter().any(left), "{:?}", station.told);
    for done in 1..=4 {
        assert_eq!(press(&station, "done")["done"], done);
    }
    drop(station);
    // the same file once more, when all is cut, and from the record
    let mut station = Running::start(path, &["walk.json"]);
    station.hear("Upper floor: every piece of it is cut");
    drop(station);
    let level = ["progress", "--level", "Upper floor", "--format", "json"];
    let all = json_of(path, &level);
    assert_eq!((&all["done"], &all["left"]), (&json!(5), &json!(0)));
}
