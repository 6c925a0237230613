//! How well wrong measurements are caught: 10,000 seeded slips of the pen in real rooms, for corners off by a tenth, a
//! quarter and a half of a degree, without and with lengths taken across. A number after `--` sets another count. And how
//! long `check` takes as a whole process on the largest real level, beside starting the program for nothing.

// the rooms and the slips are those of the whole-program tests, which use more of them than this bench
#[allow(dead_code)]
#[path = "../../tests/rooms"]
mod rooms {
    pub mod data;
    pub mod outline;
    pub mod plane;
}
#[allow(dead_code)]
#[path = "../../tests/closure"]
mod closure {
    pub mod blunder;
    pub mod noise;
    pub mod random;
    pub mod trials;
}

use std::fs;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use closure::trials::{Outcome, SIZES, Trials};
use planner::walk::{Direction, Stretch, Turn};
use rooms::data::{Level, levels};
use serde_json::{Value, json};

fn main() {
    let mut counts = std::env::args().filter_map(|argument| argument.parse().ok());
    let count = counts.next_back().unwrap_or(10_000);
    println!(
        "{count} slips in 85 real rooms; every share is of those slips, or of those caught (*)\n"
    );
    println!(
        "corners  taken  across | accused  caught  over seen | named*  lengths*  first*  in five*"
    );
    let mut last = Vec::new();
    for (corners, taken_for) in [(0.1, 0.1), (0.25, 0.25), (0.5, 0.5), (0.5, 0.25)] {
        for across in [0, 1, 2] {
            let outcome = Trials {
                count,
                corners,
                taken_for,
                across,
                seed: 1,
            }
            .run();
            println!(
                "{corners:>7}  {taken_for:>5}  {across:>6} | {:>7}  {:>6}  {:>9} | {:>6}  {:>8.1}  {:>6}  {:>8}",
                outcome.accused,
                outcome.caught,
                outcome.over_seen,
                outcome.named,
                outcome.mean_suspects(),
                outcome.first,
                outcome.five,
            );
            if (corners, taken_for) == (0.25, 0.25) {
                last.push((across, outcome));
            }
        }
    }
    for (across, outcome) in &last {
        println!("\ncorners off by a quarter of a degree, {across} lengths across");
        details(outcome);
    }
    whole_process();
}

/// How often a process is started for one figure.
const STARTS: usize = 100;

/// `check` as a whole process, beside starting the program for nothing.
fn whole_process() {
    let largest = levels().into_iter().max_by_key(|level| level.pieces);
    let Some(level) = largest else { return };
    let file = std::env::temp_dir().join("baserun-largest-level.json");
    if let Err(error) = fs::write(&file, walk(&level).to_string()) {
        println!("the largest level cannot be written: {error}");
        return;
    }
    let path = file.to_string_lossy().into_owned();
    println!(
        "\nas a whole process, the largest level ({} stretches of wall), the least and the middle of {STARTS}:",
        level.pieces
    );
    for arguments in [
        &["check", &path][..],
        &["check", &path, "--detail"],
        &["--version"],
    ] {
        let mut times: Vec<Duration> = (0..STARTS).map(|_| time(arguments)).collect();
        times.sort();
        let said = arguments.join(" ").replace(&path, "LEVEL");
        println!(
            "  {said:<24} {:>5.1} ms {:>5.1} ms",
            times[0].as_secs_f64() * 1000.0,
            times[STARTS / 2].as_secs_f64() * 1000.0
        );
    }
    if let Err(error) = fs::remove_file(&file) {
        println!("{path} is left behind: {error}");
    }
}

fn time(arguments: &[&str]) -> Duration {
    let start = Instant::now();
    let status = Command::new(env!("CARGO_BIN_EXE_baserun"))
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    assert!(status.is_ok());
    start.elapsed()
}

/// A level as a program writes it.
fn walk(level: &Level) -> Value {
    let units = |length: shared_model::Length| length.decimal(shared_model::Unit::Millimetre);
    let rooms = level.rooms.iter().map(|corners| {
        let room = corners.outline().room(Direction::Clockwise);
        let items = room.outline.iter().map(|item| {
            let (key, length) = match item.stretch {
                Stretch::Wall(length) => ("wall", Some(length)),
                Stretch::Existing(length) => ("existing", Some(length)),
                Stretch::Opening(width) => ("opening", width),
            };
            let mut value = json!({ key: length.map(|length| format!("{} mm", units(length))) });
            if let Some(corner) = item.corner {
                let inside = corner.turn == Turn::Inside;
                value["corner"] = json!(if inside { "inside" } else { "outside" });
                value["gauge"] = json!(f64::from(corner.gauge.in_hundredths()) / 100.0);
            }
            value
        });
        json!({ "name": room.name, "moulding": "base", "outline": items.collect::<Vec<_>>() })
    });
    json!({
        "walk": 1, "level": "Largest", "unit": "mm",
        "mouldings": [{ "name": "base", "height": 133, "thickness": 14.3, "profile": 19, "sticks": [{ "length": 4880 }] }],
        "rooms": rooms.collect::<Vec<_>>(),
    })
}

fn details(outcome: &Outcome) {
    println!("  a length wrong by, in    caught      of");
    let mut above = 0.0;
    for (class, share) in &outcome.by_size {
        let up_to = SIZES[*class as usize];
        let size = match up_to > 1e6 {
            true => format!("over {above}"),
            false => format!("{above} to {up_to}"),
        };
        println!("  {size:<20} {share:>10}  {:>6}", share.of);
        above = up_to;
    }
    println!("  kind               caught   first*  in five*");
    for (kind, [caught, first, five]) in &outcome.by_kind {
        let kind = format!("{kind:?}");
        println!("  {kind:<17} {caught:>7}  {first:>7}  {five:>8}");
    }
}
