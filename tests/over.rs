//! What lies over the piece on a running station: the cards before a list, the menu, the settings that outlive the program,
//! the jump to a number. The rules themselves are tested in the station.

use std::thread;

use serde_json::{Value, json};

use crate::page::press;
use crate::program::fresh_folder;
use crate::running::{NEXT_PRESS, Running};

/// Presses keys one after another, each for what is shown then; the state after them.
fn press_all(station: &Running, window: &str, keys: &[&str]) -> Value {
    for (number, key) in (1..).zip(keys) {
        thread::sleep(NEXT_PRESS);
        let (status, _) = station.press(window, number, key);
        assert_eq!(status, 200, "{key}");
    }
    station.state()
}

#[test]
fn cards_stand_before_the_demo_until_a_piece_is_cut_and_no_press_on_one_is_a_done() {
    let folder = fresh_folder();
    let station = Running::at_cards(folder.path(), &[]);
    let first = station.state();
    assert_eq!(first["over"], "card 1");
    // two fast presses for the first card: the second is judged by what it saw
    let mut second = press(&first, "a", 2, "done");
    assert_eq!(station.press("a", 1, "done").0, 200);
    assert_eq!(station.over(), "card 2");
    thread::sleep(NEXT_PRESS);
    assert_eq!(station.send(&second).map(|(status, _)| status), Some(409));
    // nor does one that meant the piece under it count
    (second["number"], second["seen"]) = (json!(3), first["piece"].clone());
    assert_eq!(station.send(&second).map(|(status, _)| status), Some(409));
    assert_eq!(
        (station.over().as_str(), &station.state()["done"]),
        ("card 2", &json!(0))
    );
    drop(station);
    // killed before the first piece they come again, after it never
    let station = Running::start(folder.path(), &[]);
    assert_eq!(station.press("b", 1, "done").1["done"], 1);
    drop(station);
    let station = Running::at_cards(folder.path(), &[]);
    assert_eq!(station.state()["over"], Value::Null);
}

#[test]
fn settings_outlive_the_program_for_all_levels() {
    let folder = fresh_folder();
    let station = Running::start(folder.path(), &[]);
    let state = station.state();
    assert_eq!(
        (&state["light"], &state["loudness"]),
        (&json!(1000), &json!("loud"))
    );
    let keys = [
        "menu",
        "look-ahead",
        "done",
        "look-back",
        "done",
        "look-back",
        "done",
    ];
    let state = press_all(&station, "a", &keys);
    assert_eq!(state["over"], "settings");
    assert_eq!(
        (&state["light"], &state["loudness"]),
        (&json!(62), &json!("soft"))
    );
    assert_eq!(state["done"], 0);
    drop(station);
    let walk = folder.path().join("walk.json");
    std::fs::write(&walk, crate::program::BED_2).expect("a file");
    let station = Running::start(folder.path(), &["walk.json"]);
    let state = station.state();
    assert_eq!(
        (&state["light"], &state["loudness"]),
        (&json!(62), &json!("soft"))
    );
    drop(station);
    let kept = folder.path().join("data").join("settings");
    std::fs::write(&kept, "something else").expect("a file");
    let station = Running::start(folder.path(), &["walk.json"]);
    assert_eq!(station.state()["light"], 1000);
    let told = "the station's settings are damaged: the usual ones hold".to_owned();
    assert!(station.told.contains(&told), "{:?}", station.told);
}

#[test]
fn a_number_is_typed_faster_than_pictures_come_and_the_place_stays() {
    let folder = fresh_folder();
    let station = Running::start(folder.path(), &[]);
    let before = station.state();
    // both digits are sent for the picture of the piece
    for (number, digit) in [(1, "4"), (2, "5")] {
        let sent = station.send(&press(&before, "a", number, digit));
        assert_eq!(sent.map(|(status, _)| status), Some(200));
    }
    let state = station.state();
    assert_eq!(
        (&state["over"], &state["piece"]),
        (&json!("jump"), &before["piece"])
    );
    // a "done" for the piece is none while the number lies over it
    let done = press(&before, "a", 3, "done");
    assert_eq!(station.send(&done).map(|(status, _)| status), Some(409));
    assert_eq!(station.press("a", 4, "done").1["stored"], false);
    let state = station.state();
    assert_eq!(
        (&state["over"], &state["piece"]),
        (&Value::Null, &before["piece"])
    );
    assert_eq!(state["done"], 0);
}
