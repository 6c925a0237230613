//! What `run` keeps and what it says of it: the place through a changed list, a stop, a kill at any moment, a damaged record
//! and a job record out of reach. What a page shows and takes is left to the module above.

use std::process::Command;
use std::thread;
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use super::demo_order;
use crate::page::{PATIENCE, press};
use crate::program::{BED_2, fresh_folder, said};
use crate::running::{NEXT_PRESS, Running};

/// A piece is cut; then the same level is shown with a wall remeasured, and then as it was.
#[test]
fn a_changed_list_keeps_what_was_cut() {
    let folder = fresh_folder();
    let walk = folder.path().join("walk.json");
    std::fs::write(&walk, BED_2).expect("a file");
    let station = Running::start(folder.path(), &["walk.json"]);
    let before = station.state();
    assert_eq!(station.press("a", 1, "done").1["done"], 1);
    drop(station);
    let cut = before["piece"].as_str().expect("a piece");
    let others = BED_2.replace("\"Bed 2\"", "\"Bed 3\"");
    std::fs::write(&walk, others).expect("a file");
    let station = Running::start(folder.path(), &["walk.json"]);
    let state = station.state();
    assert_eq!(
        (&state["done"], &state["not_in_list"]),
        (&json!(0), &json!(1))
    );
    let stranger = |line: &String| line.ends_with("0 of 5 done, 1 cut and not in this list");
    assert!(station.told.iter().any(stranger), "{:?}", station.told);
    drop(station);
    std::fs::write(&walk, BED_2.replace("31.5", "31.75")).expect("a file");
    let station = Running::start(folder.path(), &["walk.json"]);
    let state = station.state();
    assert_ne!(state["digest"], before["digest"]);
    // this file has the piece as well: it is cut, so the list of what is left leaves it out
    let left = |line: &String| line.contains(": 4 pieces left from ");
    assert!(station.told.iter().any(left), "{cut}: {:?}", station.told);
    assert_eq!(
        (&state["done"], &state["not_in_list"]),
        (&json!(0), &json!(1))
    );
    let kept = |line: &String| {
        line.starts_with("it takes the place of list ") && line.ends_with("; pieces kept as cut: 1")
    };
    assert!(station.told.iter().any(kept), "{:?}", station.told);
}

#[test]
fn each_level_has_a_place_of_its_own_and_can_begin_anew() {
    let folder = fresh_folder();
    let walk = folder.path().join("walk.json");
    std::fs::write(&walk, BED_2).expect("a file");
    let station = Running::start(folder.path(), &["walk.json"]);
    assert_eq!(station.press("a", 1, "done").1["done"], 1);
    // the demo has a level of the same name, and another lot may have the very same rooms
    let demo = Running::start(folder.path(), &[]);
    assert_eq!(demo.state()["not_in_list"], 0);
    let next_lot = folder.path().join("next.json");
    std::fs::write(&next_lot, BED_2.replace("Upper floor", "Lot 13")).expect("a file");
    let next = Running::start(folder.path(), &["next.json"]);
    assert_eq!(next.state()["done"], 0);
    let refused = said(
        folder.path(),
        &["run", "--no-open", "--port", "0", "--anew", "walk.json"],
        b"",
    );
    assert_eq!(refused.status, 1);
    assert!(
        refused
            .err
            .contains("this level is shown by another baserun already")
    );
    drop(station);
    let station = Running::start(folder.path(), &["--anew", "walk.json"]);
    assert_eq!(station.state()["done"], 0);
    let away = |line: &String| line.starts_with("what was cut before is put away in ");
    assert!(station.told.iter().any(away), "{:?}", station.told);
}

#[cfg(unix)]
#[test]
fn asked_to_stop_it_ends_and_says_that_the_place_is_kept() {
    let folder = fresh_folder();
    for signal in ["-INT", "-TERM"] {
        let mut station = Running::start(folder.path(), &[]);
        let mut open_window = station.listen();
        assert!(open_window.any(|line| line.starts_with("data: {")));
        let process = station.child.id().to_string();
        let sent = Command::new("kill").args([signal, &process]).status();
        assert!(sent.expect("kill is there").success());
        assert_eq!(
            station.child.wait().expect("it ends").code(),
            Some(0),
            "{signal}"
        );
        let told = station.said.recv_timeout(PATIENCE).expect("a last word");
        assert_eq!(told, "stopped; the place is kept: 0 of 116 done");
    }
}

#[test]
fn killed_at_any_moment_it_comes_back_to_the_same_piece() {
    let folder = fresh_folder();
    let order = demo_order(folder.path());
    let mut chance: u64 = 0x2545_f491_4f6c_dd1d;
    let mut random = |below: u64| {
        // xorshift: the moments only have to differ
        chance ^= chance << 13;
        chance ^= chance >> 7;
        chance ^= chance << 17;
        chance % below
    };
    let (mut least, mut most) = (0u64, 0u64);
    let mut longest = Duration::from_millis(1);
    for round in 0..51 {
        let station = Running::start(folder.path(), &[]);
        let state = station.state();
        let done = state["done"].as_u64().expect("a count");
        assert!(
            (least..=most).contains(&done),
            "round {round}: {done} is not in {least}..={most}"
        );
        assert_eq!(state["piece"], order[done as usize], "round {round}");
        let key = if done > 3 && random(4) == 0 {
            "take-back"
        } else {
            "done"
        };
        let after = if key == "done" { done + 1 } else { done - 1 };
        let press = press(&state, "a", 1, key);
        let page = station.page;
        // the moments are told by bytes and answers, so that a slow machine takes its time; dropping kills at once
        let answer = match round % 3 {
            // before the press has come whole
            0 => {
                let line = page.begin_to_send(&press, random(200) as usize);
                assert!(line.is_some(), "the station listens");
                drop(station);
                None
            }
            // as soon as it is acknowledged
            1 => {
                let begun = Instant::now();
                let answer = page.send(&press);
                drop(station);
                longest = longest.max(begun.elapsed());
                assert!(answer.is_some(), "round {round}: not acknowledged");
                answer
            }
            // anywhere between the two, by how long an answer takes on this machine
            _ => {
                let wait = Duration::from_micros(random(longest.as_micros() as u64));
                let pressing = thread::spawn(move || page.send(&press));
                thread::sleep(wait);
                drop(station);
                pressing.join().expect("the press ends")
            }
        };
        (least, most) = match answer {
            Some((200, answer)) => {
                assert_eq!(
                    (&answer["stored"], &answer["done"]),
                    (&json!(true), &json!(after))
                );
                (after, after)
            }
            Some(other) => panic!("round {round}: {other:?}"),
            None if round % 3 == 0 => (done, done),
            None => (done.min(after), done.max(after)),
        };
    }
    let station = Running::start(folder.path(), &[]);
    let done = station.state()["done"].as_u64().expect("a count");
    assert!((least..=most).contains(&done), "{done} at last");
    // more presses of "done" than of "take back" were acknowledged, so the place has moved
    assert!(done > 0);
}

#[test]
fn presses_that_cannot_be_read_any_more_are_told_on_the_page_and_in_the_picture() {
    let folder = fresh_folder();
    let warned = |station: &Running| {
        let bytes = station.get("/picture.png?v=1").2;
        let mut reader = png::Decoder::new(std::io::Cursor::new(bytes))
            .read_info()
            .expect("a picture");
        let mut pixels = vec![0; reader.output_buffer_size().expect("a size")];
        let info = reader.next_frame(&mut pixels).expect("a picture");
        let last_row = &pixels[(info.height as usize - 1) * info.line_size..];
        // yellow, in whatever bits: much red and green, little blue
        last_row[..info.line_size]
            .chunks(3)
            .all(|pixel| pixel[0] > 200 && pixel[1] > 150 && pixel[2] < 80)
    };
    let station = Running::start(folder.path(), &[]);
    for number in 1..=3 {
        station.press("a", number, "done");
        thread::sleep(NEXT_PRESS);
    }
    assert!(!warned(&station));
    drop(station);
    let events = folder.path().join("data/demo/events");
    let mut bytes = std::fs::read(&events).expect("the events");
    bytes[2 * 32 + 9] ^= 0x40;
    std::fs::write(&events, bytes).expect("room");
    let station = Running::start(folder.path(), &[]);
    let told = |line: &String| line.ends_with("check which pieces are cut");
    assert!(station.told.iter().any(told), "{:?}", station.told);
    let state = station.state();
    let damage = state["damage"].as_str().expect("a sentence");
    assert!(damage.starts_with("event 2 was stored"), "{damage}");
    assert!(warned(&station));
    station.press("b", 1, "done");
    assert!(!warned(&station));
}

/// The job record is out of reach for a while: a full disk, or another program that holds it.
#[test]
fn a_job_record_that_cannot_be_written_is_told_on_the_page() {
    let folder = fresh_folder();
    let data = folder.path().join("data");
    std::fs::create_dir_all(data.join("job-record.sqlite")).expect("a folder");
    let station = Running::start(folder.path(), &[]);
    let is_told = |line: &String| line.contains("\"not_recorded\":\"");
    let mut window = station.listen();
    assert!(window.any(|line| is_told(&line)), "nothing told");
    let (_, answer) = station.press("a", 1, "done");
    assert_eq!(
        (&answer["stored"], &answer["done"]),
        (&json!(true), &json!(1))
    );
    let (state, page) = (station.state(), station.get("/page.js").2);
    assert!(state["not_recorded"].is_string(), "{state}");
    assert_eq!(state["trouble"], Value::Null);
    assert!(String::from_utf8_lossy(&page).contains("state.not_recorded"));
    let well = fresh_folder();
    assert_eq!(
        Running::start(well.path(), &[]).state()["not_recorded"],
        Value::Null
    );
}
