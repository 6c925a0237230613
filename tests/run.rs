//! `run` as a browser and a person at the saw meet it: who is let in, that a press counts once, that windows show the same,
//! and that the place survives the program's being killed. What the page looks like is left to the eye.

use std::net::TcpListener;
use std::path::Path;
use std::process::Command;
use std::thread;
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::page::{PATIENCE, press};
use crate::program::{BED_2, fresh_folder, said};
use crate::running::{NEXT_PRESS, Running};

/// The station's hold-off.
const HOLD_OFF: Duration = Duration::from_millis(station::timing::HOLD_OFF as u64);

/// The ids of the demo's pieces in cutting order.
fn demo_order(folder: &Path) -> Vec<String> {
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/host/demo/upper-floor.json");
    let plan: Value =
        serde_json::from_str(&said(folder, &["plan", demo, "--format", "json"], b"").out)
            .expect("a plan");
    let pieces = plan["pieces"].as_array().expect("pieces");
    let mut order: Vec<(u64, String)> = pieces
        .iter()
        .map(|piece| {
            let id = piece["id"].as_str().expect("an id").to_owned();
            (piece["order"].as_u64().expect("a place"), id)
        })
        .collect();
    order.sort();
    order.into_iter().map(|(_, id)| id).collect()
}

#[test]
fn the_demo_is_shown_where_no_file_is_given() {
    let folder = fresh_folder();
    let station = Running::start(folder.path(), &[]);
    let order = demo_order(folder.path());
    let state = station.state();
    assert_eq!(state["level"], "Upper floor");
    assert_eq!((&state["number"], &state["done"]), (&json!(1), &json!(0)));
    assert_eq!(state["pieces"], order.len());
    assert_eq!(state["piece"], order[0]);
    let digest = state["digest"].as_str().expect("a digest");
    assert!(
        station
            .told
            .iter()
            .any(|line| line.starts_with(&format!("list {digest}: 0 of")))
    );
    let (status, head, page) = station.get("/");
    assert_eq!(status, 200);
    let page = String::from_utf8(page).expect("text");
    assert!(page.contains("/page.js") && page.contains("/page.css"));
    assert!(
        head.contains("content-security-policy: default-src 'none'"),
        "{head}"
    );
    assert!(!page.contains("http://") && !page.contains("https://"));
    for part in ["/page.js", "/page.css"] {
        assert_eq!(station.get(part).0, 200);
    }
    assert_eq!(station.get("/elsewhere").0, 404);
}

#[test]
fn the_picture_is_the_panels() {
    let folder = fresh_folder();
    for (arguments, width, height) in [
        (&[][..], 800, 480),
        (&["--screen", "320x240"][..], 320, 240),
        (&["--screen", "480x320"][..], 480, 320),
        (&["--screen", "1024x600"][..], 1024, 600),
        (&["--screen", "128x64"][..], 128, 64),
    ] {
        let station = Running::start(folder.path(), arguments);
        let (status, head, bytes) = station.get("/picture.png?v=1");
        assert_eq!(status, 200);
        assert!(head.contains("content-type: image/png"), "{head}");
        let decoder = png::Decoder::new(std::io::Cursor::new(bytes));
        let reader = decoder.read_info().expect("a picture");
        assert_eq!((reader.info().width, reader.info().height), (width, height));
    }
    let said = said(folder.path(), &["run", "--screen", "640x480"], b"");
    assert_eq!(said.status, 2);
    let sizes = "the screens are 128x64, 320x240, 480x320, 800x480, 1024x600";
    assert!(said.err.contains(sizes), "{}", said.err);
}

#[test]
fn only_this_computers_own_pages_are_let_in() {
    let folder = fresh_folder();
    let station = Running::start(folder.path(), &[]);
    let port = station.port;
    let body = press(&station.state(), "a", 1, "done").to_string();
    let json = "Content-Type: application/json".to_owned();
    for headers in [
        vec![],
        vec!["Host: example.org".to_owned()],
        vec![format!("Host: example.org:{port}")],
        vec!["Host: 127.0.0.1".to_owned()],
        vec![station.host(), "Origin: http://example.org".to_owned()],
        vec![station.host(), "Origin: null".to_owned()],
        vec![station.host(), format!("Origin: https://127.0.0.1:{port}")],
    ] {
        for (request, body) in [
            ("GET /", ""),
            ("GET /state.json", ""),
            ("GET /events", ""),
            ("GET /picture.png", ""),
            ("POST /press", body.as_str()),
        ] {
            let all = [headers.clone(), vec![json.clone()]].concat();
            let (status, ..) = station.ask(request, &all, body).expect("an answer");
            // without a Host the request itself is not whole
            assert!(
                [400, 403].contains(&status),
                "{request} {headers:?}: {status}"
            );
        }
    }
    assert_eq!(station.state()["done"], 0);
    for host in ["127.0.0.1", "localhost", "[::1]"] {
        let name = format!("{host}:{port}");
        let headers = [
            format!("Host: {name}"),
            format!("Origin: http://{name}"),
            json.clone(),
        ];
        let (status, ..) = station
            .ask("GET /state.json", &headers, "")
            .expect("an answer");
        assert_eq!(status, 200, "{host}");
    }
    // a form of another site can send no JSON, and a press that is none is refused
    let plain = [station.host(), "Content-Type: text/plain".to_owned()];
    assert_eq!(
        station
            .ask("POST /press", &plain, &body)
            .map(|answer| answer.0),
        Some(415)
    );
    let typed = [station.host(), json];
    for (body, expected) in [("{", 400), ("{}", 422), (" ".repeat(5000).as_str(), 413)] {
        let status = station
            .ask("POST /press", &typed, body)
            .map(|answer| answer.0);
        assert_eq!(status, Some(expected), "{body}");
    }
    assert_eq!(station.state()["done"], 0);
}

#[test]
fn a_press_counts_once_however_often_it_is_sent() {
    let folder = fresh_folder();
    let station = Running::start(folder.path(), &[]);
    let first = press(&station.state(), "a", 7, "done");
    let (status, answer) = station.send(&first).expect("an answer");
    assert_eq!(
        (status, &answer["press"], &answer["stored"]),
        (200, &json!("taken"), &json!(true))
    );
    assert_eq!(answer["done"], 1);
    thread::sleep(NEXT_PRESS);
    assert_eq!(station.send(&first), Some((200, answer)));
    let mut earlier = press(&station.state(), "a", 6, "done");
    assert_eq!(
        station.send(&earlier),
        Some((409, json!({ "press": "too-late" })))
    );
    // the other window still shows the piece before
    let mut stale = first.clone();
    (stale["window"], stale["number"]) = (json!("b"), json!(1));
    assert_eq!(
        station.send(&stale),
        Some((409, json!({ "press": "moved-on" })))
    );
    (earlier["session"], earlier["number"]) = (json!("another"), json!(9));
    assert_eq!(
        station.send(&earlier),
        Some((409, json!({ "press": "other-session" })))
    );
    assert_eq!(station.state()["done"], 1);
    let (status, answer) = station.press("b", 2, "done");
    assert_eq!((status, &answer["done"]), (200, &json!(2)));
}

#[test]
fn presses_too_close_together_are_one() {
    let folder = fresh_folder();
    let station = Running::start(folder.path(), &[]);
    let order = demo_order(folder.path());
    // a machine that is busy may let more than the hold-off pass between the two; then they are two
    let together = (1..20).step_by(2).any(|number| {
        thread::sleep(NEXT_PRESS);
        let state = station.state();
        let done = state["done"].as_u64().expect("a count");
        let first = press(&state, "a", number, "done");
        let mut second = press(&state, "a", number + 1, "done");
        second["seen"] = json!(order[done as usize + 1]);
        let begun = Instant::now();
        let answers = [first, second].map(|press| station.send(&press).expect("an answer"));
        let near = begun.elapsed() < HOLD_OFF;
        assert_eq!(answers[0].1["stored"], true);
        assert_eq!(answers[1].0, 200);
        if near {
            assert_eq!(answers[1].1["stored"], false);
            assert_eq!(answers[1].1["done"], done + 1);
        }
        near
    });
    assert!(together, "ten times the two presses were too far apart");
}

#[test]
fn every_key_does_what_it_says() {
    let folder = fresh_folder();
    let station = Running::start(folder.path(), &[]);
    let order = demo_order(folder.path());
    assert_eq!(station.press("a", 1, "done").1["done"], 1);
    assert_eq!(station.press("a", 2, "take-back").1["done"], 0);
    assert_eq!(station.state()["piece"], order[0]);
    assert_eq!(station.press("a", 3, "set-aside").1["stored"], true);
    let state = station.state();
    assert_eq!(
        (&state["piece"], &state["aside"]),
        (&json!(order[1]), &json!(1))
    );
    for (number, key) in [
        (4, "look-ahead"),
        (5, "look-back"),
        (6, "cut-again"),
        (7, "bad-stick"),
    ] {
        let (status, answer) = station.press("a", number, key);
        assert_eq!((status, &answer["stored"]), (200, &json!(false)), "{key}");
    }
    assert_eq!(station.press("a", 8, "bad-stick").1["stored"], true);
    assert!(station.state()["no_stick"].as_u64() > Some(0));
}

#[test]
fn two_windows_show_the_same_station() {
    let folder = fresh_folder();
    let station = Running::start(folder.path(), &[]);
    let is_state = |line: &String| line.starts_with("data: {");
    let mut windows = [station.listen(), station.listen()];
    let state =
        |line: String| -> Value { serde_json::from_str(&line["data: ".len()..]).expect("a state") };
    for window in &mut windows {
        assert_eq!(
            window.find(is_state).map(state).map(|s| s["done"].clone()),
            Some(json!(0))
        );
    }
    let version = station.press("a", 1, "done").1["version"].clone();
    for window in &mut windows {
        let told = window.find(is_state).map(state).expect("a new state");
        assert_eq!((&told["done"], &told["version"]), (&json!(1), &version));
        assert!(window.any(|line| line == "data: accepted"), "a beep");
    }
    station.press("b", 1, "take-back");
    for window in &mut windows {
        assert_eq!(
            window.find(is_state).map(state).map(|s| s["done"].clone()),
            Some(json!(0))
        );
        assert!(window.any(|line| line == "data: taken-back"), "a beep");
    }
}

#[test]
fn a_second_run_is_refused_while_the_first_goes_on() {
    let folder = fresh_folder();
    let station = Running::start(folder.path(), &[]);
    let second = said(folder.path(), &["run", "--no-open", "--port", "0"], b"");
    assert_eq!((second.status, second.out.as_str()), (1, ""));
    assert!(
        second.err.contains(
            "this level is shown by another baserun already: use its page, or stop it first"
        ),
        "{}",
        second.err
    );
    assert_eq!(station.press("a", 1, "done").1["done"], 1);
}

#[test]
fn a_taken_port_is_told_with_what_to_do() {
    let folder = fresh_folder();
    let taken = TcpListener::bind(("127.0.0.1", 0)).expect("a port");
    let port = taken.local_addr().expect("a port").port().to_string();
    let said = said(folder.path(), &["run", "--no-open", "--port", &port], b"");
    assert_eq!(said.status, 1);
    let expected = format!(
        "port {port} is taken on this computer: say --port N for another, or --port 0 for any that is free\n"
    );
    assert!(said.err.ends_with(&expected), "{}", said.err);
}

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
