//! `run` as a browser and a person at the saw meet it: who is let in, that a press counts once, that windows show the same.
//! What outlives the program's end is left to `kept`, what the page looks like to the eye.

mod kept;

use std::net::TcpListener;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::page::press;
use crate::program::{fresh_folder, said};
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
