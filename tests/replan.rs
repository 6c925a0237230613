//! `plan --after`: what is cut stays cut, bad sticks are gone, and only the rest is planned. What a station records is left
//! to its own tests.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};

use crate::program::{BED_2, Said, fresh_folder, said};

fn plan(folder: &Path) -> Value {
    fs::write(folder.join("walk.json"), BED_2).expect("a file");
    let first = said(folder, &["plan", "walk.json", "--format", "json"], b"");
    serde_json::from_str(&first.out).expect("a plan")
}

fn after(folder: &Path, events: &Value) -> Said {
    fs::write(folder.join("events.json"), events.to_string()).expect("a file");
    let arguments = [
        "plan",
        "walk.json",
        "--after",
        "events.json",
        "--format",
        "json",
    ];
    said(folder, &arguments, b"")
}

#[test]
fn only_the_rest_is_planned_and_what_is_bought_beyond_the_first_list_is_told() {
    let folder = fresh_folder();
    let first = plan(folder.path());
    let sticks = first["sticks"].as_array().expect("sticks");
    let list = &first["digest"];
    // the first piece of the first stick is cut, then one of its cuts is taken back and made again; the last stick is bad
    let cut = &sticks[0]["pieces"][0];
    let bad = sticks.last().expect("a stick");
    let events = json!([
        { "done": cut, "list": list },
        { "taken_back": cut },
        { "done": cut, "list": list },
        { "bad_stick": bad["number"], "list": list },
    ]);
    let again = after(folder.path(), &events);
    assert_eq!(again.status, 0, "{}", again.err);
    let rest: Value = serde_json::from_str(&again.out).expect("a plan");
    let planned: Vec<&Value> = (rest["sticks"].as_array().expect("sticks").iter())
        .flat_map(|stick| stick["pieces"].as_array().expect("ids"))
        .collect();
    assert_eq!(planned.len(), 4);
    assert!(!planned.contains(&cut), "a finished piece is never moved");
    // one stick was bad and the others are in hand, so one more is bought and said to be
    assert_eq!(rest["buy"][0]["count"], 1);
    assert_eq!(rest["cost"], 21.5);
    let told = rest["findings"][0]["message"].as_str().expect("a finding");
    assert_eq!(
        told,
        "To be bought beyond the list before: 1 of 16' 0\" in base."
    );
    let from = |stick: &Value| stick["from"] == "offcut";
    let sticks = rest["sticks"].as_array().expect("sticks");
    assert_eq!(sticks.iter().filter(|stick| !from(stick)).count(), 1);
}

#[test]
fn what_is_in_hand_can_be_said() {
    let folder = fresh_folder();
    plan(folder.path());
    let events = json!({ "events": [], "in_hand": [ { "moulding": "base", "inches": [] } ] });
    let none: Value = serde_json::from_str(&after(folder.path(), &events).out).expect("a plan");
    assert_eq!(
        none["buy"],
        plan(folder.path())["buy"],
        "all is bought anew"
    );
    let events = json!({ "events": [], "in_hand": [ { "moulding": "crown", "inches": [60] } ] });
    let said = after(folder.path(), &events);
    assert_eq!(said.status, 1);
    assert_eq!(
        said.err,
        "events.json: there is no moulding \"crown\" in the file.\n"
    );
}

#[test]
fn events_that_cannot_be_of_this_plan_are_refused() {
    let folder = fresh_folder();
    let first = plan(folder.path());
    let events = json!([{ "bad_stick": 1, "list": "0000-0001" }]);
    let other = after(folder.path(), &events);
    assert_eq!((other.status, other.out.as_str()), (1, ""));
    let digest = first["digest"].as_str().expect("a digest");
    assert!(
        other.err.contains("of the list 0000-0001") && other.err.contains(digest),
        "{}",
        other.err
    );
    for (events, told) in [
        (json!([{}]), "event 1: it says nothing that happened"),
        (
            json!([{ "done": "x", "list": "0000-0001" }]),
            "event 1: \"x\" is no piece's id",
        ),
        (
            json!([{ "done": "00000001" }]),
            "event 1: it lacks the \"list\"",
        ),
        (json!([{ "cut": "00000001" }]), "unknown field `cut`"),
    ] {
        let said = after(folder.path(), &events);
        assert_eq!(said.status, 1);
        assert!(said.err.contains(told), "{}", said.err);
    }
}

#[test]
fn the_same_effort_gives_the_same_plan() {
    let folder = fresh_folder();
    plan(folder.path());
    let with = |effort: &str| {
        said(
            folder.path(),
            &["plan", "walk.json", "--effort", effort],
            b"",
        )
    };
    for effort in ["0", "5"] {
        assert_eq!(with(effort).out, with(effort).out);
    }
    assert_eq!(
        said(folder.path(), &["plan", "walk.json", "--effort", "x"], b"").status,
        2
    );
}
