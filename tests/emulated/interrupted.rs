//! The real program and the emulated Pico, and whatever can come between them: the program killed, the cable pulled, the
//! board started anew, the power gone, also within an erase or a program; in the midst of a load or of taking events, or
//! just before the last answer. Afterwards the job record and the station agree, and every press that the screen had admitted
//! is in the record once. The same without an emulator, a hundred times as often, is left to `job_faults` and the link's tests.

use std::env;
use std::fs;
use std::ops::Range;
use std::process::{Child, ExitStatus, Stdio};
use std::sync::mpsc::RecvTimeoutError;
use std::thread;
use std::time::{Duration, Instant};

use link::{Link, Manner, connect};
use planner::saw_list::SawSheet;
use planner::walk::{CutList, Sheet};
use rusqlite::{Connection, OptionalExtension};
use serde_json::json;
use shared_model::messages::Hello;
use shared_model::{End, Event, Length, What};
use station::machine::Key;
use station::timing::WORD_STAYS;

use super::cable::{Cable, Reach};
use super::dice::Dice;
use super::pico::{FlashTimes, Pico};
use super::pictures::assert_shows;
use super::saw_list::{Twin, long_level, planned};
use crate::jobs::{assert_agrees, report};
use crate::program::{baserun, fresh_folder};

/// How often something comes between them, unless BASERUN_ROUNDS says otherwise.
const ROUNDS: u32 = 20;
/// The level's pieces, and how many of them are measured again before a list of it is loaded again.
const PIECES: usize = 60;
const REMEASURED: usize = 2;
/// A program that is left alone gives up by then.
const GIVEN_UP: Duration = Duration::from_secs(30);
/// A start after a cut may have to erase first.
const START: f64 = 5_000.0;
/// The level's file.
const FILE: &str = "level.json";

/// What comes between them.
#[derive(Debug, Clone, Copy)]
enum Fault {
    Killed,
    CablePulled,
    StartedAnew,
    PowerCut,
    /// In the midst of what the flash does: `erase` or `program`.
    PowerCutIn(&'static str),
}

const FAULTS: [Fault; 6] = [
    Fault::Killed,
    Fault::CablePulled,
    Fault::StartedAnew,
    Fault::PowerCut,
    Fault::PowerCutIn("erase"),
    Fault::PowerCutIn("program"),
];

/// A level at the desk, the station at the saw, and what a third one who sees both has counted.
struct Job {
    folder: tempfile::TempDir,
    level: CutList,
    pico: Pico,
    port: u16,
    cable: Cable,
    /// What the station's screen has admitted.
    twin: Twin,
    /// Bytes of a load and of taking events where nothing comes between.
    whole: [usize; 2],
}

impl Job {
    /// A board with nothing in its flash but the program is given the first list, whose first piece is cut.
    fn begin(times: FlashTimes) -> Job {
        let Sheet::CutList(mut level) = long_level(PIECES) else {
            unreachable!("it is made as a cut list");
        };
        // few cards stand before a list without joints
        for piece in &mut level.pieces {
            (piece.left, piece.right) = (End::Square, End::Square);
        }
        let mut pico = Pico::new(times, None);
        pico.power(true);
        assert!(pico.run_until("shown", START));
        assert!(pico.run_until("plugged", START));
        let port = pico.listen("usb");
        let twin = Twin::fresh(&planned(&Sheet::CutList(level.clone())));
        let cable = Cable::to(port);
        let mut job = Job {
            folder: fresh_folder(),
            level,
            pico,
            port,
            cable,
            twin,
            whole: [0; 2],
        };
        for loads in [true, false] {
            job.cable.carries(Reach::Whole);
            let mut program = job.start(loads);
            assert!(wait(&mut program).success());
            job.whole[usize::from(loads)] = job.cable.gone();
            job.pass_cards();
        }
        job
    }

    /// Starts to load the file, or to take events.
    fn start(&self, loads: bool) -> Child {
        let file = form::to_json(&Sheet::CutList(self.level.clone())).expect("JSON");
        fs::write(self.folder.path().join(FILE), file).expect("a file");
        let mut program = baserun(self.folder.path());
        match loads {
            true => program.args(["load", FILE]),
            false => program.arg("progress"),
        };
        let program = program.args(["--to", &self.cable.to]);
        let program = program.stdout(Stdio::null()).stderr(Stdio::null());
        program.spawn().expect("the program starts")
    }

    /// Some pieces are a sixteenth longer: another list, as none was before.
    fn measure_again(&mut self, dice: &mut Dice) {
        for _ in 0..REMEASURED {
            let piece = dice.below(PIECES as f64) as usize;
            let length = &mut self.level.pieces[piece].length;
            *length += Length::sixteenths(1);
        }
    }

    /// What the station says of itself.
    fn station(&self) -> Hello {
        let to = format!("tcp:127.0.0.1:{}", self.port).parse();
        let line = connect(&to.expect("a way")).expect("a line");
        let link = Link::open(line, Manner::default()).expect("the station answers");
        link.station().clone()
    }

    /// Presses a key past the hold-off of the press before, and sees that the screen admits it.
    fn press(&mut self, name: &str, key: Key) {
        self.pico.run(400.0);
        self.pico.press(name, 120.0);
        self.twin.press(key);
        assert_shows(&mut self.pico, &self.twin.picture(), name);
    }

    fn press_something(&mut self, dice: &mut Dice) {
        match dice.below(6.0) as u32 {
            0 => self.press("takeBack", Key::TakeBack),
            1 => self.press("setAside", Key::SetAside),
            _ => self.press("pedal", Key::Done),
        }
    }

    /// Leafs through the cards before a list and cuts its first piece: they do not come again then.
    fn pass_cards(&mut self) {
        if !self.twin.is_at_a_card() {
            return;
        }
        while self.twin.is_at_a_card() {
            self.press("pedal", Key::Done);
        }
        self.press("pedal", Key::Done);
    }

    /// A load of another list, or taking what was pressed, and this fault in it; whether it came before the program ended.
    fn interrupt(&mut self, loads: bool, fault: Fault, dice: &mut Dice) -> (bool, ExitStatus) {
        let reach = match (fault, dice.below(2.0) < 1.0, loads) {
            (Fault::PowerCutIn(_), ..) => Reach::Whole,
            (_, true, true) => Reach::Committed,
            (_, true, false) => Reach::Confirmed,
            (_, false, _) => {
                let most = self.whole[usize::from(loads)];
                Reach::Bytes(dice.below(most as f64) as usize)
            }
        };
        self.cable.carries(reach);
        if let Fault::PowerCutIn(work) = fault {
            let most = if work == "erase" { 1.0 } else { 6.0 };
            let after = 1 + dice.below(most) as u32;
            self.pico.plan_cut(work, after, dice.below(1.0));
        }
        let mut program = self.start(loads);
        let came = self.no_more_comes_through(&mut program) || !self.pico.report().on;
        if came {
            self.suffer(fault, &mut program);
        }
        self.cable.carries(Reach::Whole);
        (came, wait(&mut program))
    }

    /// Waits until the cable lets no more through, or the program has ended before.
    fn no_more_comes_through(&self, program: &mut Child) -> bool {
        loop {
            match self.cable.reached.recv_timeout(Duration::from_millis(20)) {
                Ok(()) => return true,
                Err(RecvTimeoutError::Disconnected) => unreachable!("the cable lasts"),
                Err(RecvTimeoutError::Timeout) => {}
            }
            if program.try_wait().expect("it ends").is_some() {
                return false;
            }
        }
    }

    /// Takes a fault in and has the board run again.
    fn suffer(&mut self, fault: Fault, program: &mut Child) {
        match fault {
            Fault::Killed => program.kill().expect("it can be killed"),
            Fault::CablePulled => self.pico.plug_again(),
            Fault::StartedAnew => {
                let before = self.pico.report().restarts;
                self.pico.astray("panic");
                while self.pico.report().restarts == before {
                    self.pico.run(50.0);
                }
            }
            Fault::PowerCut => self.pico.power(false),
            Fault::PowerCutIn(work) => {
                let cut = self.pico.report().cut;
                assert_eq!(cut, Some(format!("in {work}")));
            }
        }
        self.cable.pull();
        if !self.pico.report().on {
            self.pico.power(true);
        }
        assert!(self.pico.run_until("shown", START), "{fault:?}");
        assert!(self.pico.run_until("plugged", START), "{fault:?}");
    }

    /// The station has the list that it had, or the one of the file as it is now, and the record knows which.
    fn settle_list(&mut self, loaded: bool, when: &str) {
        let has = self.station().list.expect("it has a list").digest;
        if has == self.twin.digest() {
            assert!(!loaded, "{when}: it was said to be loaded");
            self.twin = self.twin.again();
            return;
        }
        let kept = self.kept_list(has);
        let (list, text) = kept.unwrap_or_else(|| panic!("{when}: its list is not in the record"));
        let file = fs::read_to_string(self.folder.path().join(FILE)).expect("the file");
        assert!(text == file, "{when}: its list is of another file");
        self.twin = self.twin.with_list(&list);
    }

    /// Takes the events, and holds station, record and what was seen against one another.
    fn settle(&mut self, loaded: bool, when: &str) {
        self.settle_list(loaded, when);
        self.pico.run(f64::from(WORD_STAYS) + 100.0);
        assert_shows(&mut self.pico, &self.twin.picture(), when);
        let report = report(self.folder.path(), &self.cable.to);
        let place = self.twin.place();
        assert_agrees(&report, place.progress(), when);
        let next = place.current().map(|index| index + 1);
        assert_eq!(report["next"]["order"], json!(next), "{when}");
        let seen: Vec<Row> = self.twin.events().iter().map(row).collect();
        assert_eq!(self.record_of_events(), seen, "{when}");
    }

    fn record(&self) -> Connection {
        let file = self.folder.path().join("data/job-record.sqlite");
        Connection::open(file).expect("the record")
    }

    /// The list of this digest in the record, and what stood in the file of which it was made.
    fn kept_list(&self, digest: u32) -> Option<(SawSheet, String)> {
        let kept = "SELECT list, text FROM revision WHERE digest = ?1";
        let kept = self.record().query_row(kept, [digest], |row| {
            Ok((row.get::<_, Vec<u8>>(0)?, row.get(1)?))
        });
        let (list, text) = kept.optional().expect("the record can be read")?;
        Some((SawSheet::of_bytes(&list).expect("a list"), text))
    }

    /// Every event in the record, in order, and nothing that it could not make sense of.
    fn record_of_events(&self) -> Vec<Row> {
        let file = self.record();
        let odd = "SELECT (SELECT count(*) FROM disputed) + (SELECT count(*) FROM lost)";
        let odd: u32 = file.query_row(odd, [], |row| row.get(0)).expect("a count");
        assert_eq!(odd, 0);
        let rows = "SELECT sequence, kind, piece, list FROM event ORDER BY log, sequence";
        let mut rows = file.prepare(rows).expect("the table");
        let rows = rows.query_map([], |row| {
            Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
        });
        rows.expect("rows").map(|row| row.expect("a row")).collect()
    }
}

/// An event's number, what it was, the piece, and the list by which it was cut.
type Row = (u32, String, u32, Option<u32>);

/// What the screen has admitted, as it is to be in the record.
fn row(event: &Event) -> Row {
    let (kind, piece, list) = match event.what {
        What::Done { piece, list } => ("done", piece, Some(list)),
        What::TakenBack { piece } => ("taken back", piece, None),
        What::SetAside { piece } => ("set aside", piece, None),
        other => panic!("{other:?} was not pressed"),
    };
    (event.sequence, kind.to_owned(), piece.0, list)
}

/// These rounds at these times of the flash; how often each fault came before the program ended.
fn go_through(times: FlashTimes, rounds: Range<u32>, seed: u64) -> [u32; FAULTS.len()] {
    let mut dice = Dice::new(seed);
    let mut job = Job::begin(times);
    let mut interrupted = [0; FAULTS.len()];
    let mut new_lists = 0;
    for round in rounds.clone() {
        for _ in 0..1 + dice.below(2.0) as u32 {
            job.press_something(&mut dice);
        }
        let which = round as usize % FAULTS.len();
        let fault = FAULTS[which];
        let loads = matches!(fault, Fault::PowerCutIn(_)) || dice.below(4.0) >= 1.0;
        if loads {
            job.measure_again(&mut dice);
        }
        let before = job.twin.digest();
        let (came, ended) = job.interrupt(loads, fault, &mut dice);
        interrupted[which] += u32::from(came);
        let when = format!(
            "round {round}, {fault:?}, {}",
            if loads { "load" } else { "progress" }
        );
        // one that was killed has no status
        assert!([None, Some(0), Some(1)].contains(&ended.code()), "{when}");
        assert!(came || ended.success(), "{when}: nothing came, but {ended}");
        job.settle(loads && ended.success(), &when);
        new_lists += u32::from(job.twin.digest() != before);
        job.pass_cards();
    }
    job.settle(false, "at the end");
    println!(
        "{} rounds with {times:?}: {} presses, {new_lists} new lists",
        rounds.len(),
        job.twin.events().len(),
    );
    interrupted
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn whatever_comes_between_them_record_and_station_agree_afterwards() {
    let rounds = env::var("BASERUN_ROUNDS").map_or(ROUNDS, |rounds| {
        rounds.parse().expect("BASERUN_ROUNDS is a number")
    });
    let typical = go_through(FlashTimes::TYPICAL, 0..rounds / 2, 31);
    let worst = go_through(FlashTimes::WORST, rounds / 2..rounds, 32);
    let interrupted: Vec<u32> = typical
        .iter()
        .zip(worst)
        .map(|(one, two)| one + two)
        .collect();
    let faults: Vec<String> = FAULTS
        .iter()
        .zip(&interrupted)
        .map(|(fault, count)| format!("{fault:?} {count}"))
        .collect();
    println!("{rounds} rounds; in the middle: {}", faults.join(", "));
    assert!(interrupted.iter().sum::<u32>() * 4 >= rounds * 3);
}

/// A program that lost its station ends by itself.
fn wait(program: &mut Child) -> ExitStatus {
    let begun = Instant::now();
    while begun.elapsed() < GIVEN_UP {
        if let Some(status) = program.try_wait().expect("it ends") {
            return status;
        }
        thread::sleep(Duration::from_millis(20));
    }
    panic!("the program waits for ever");
}
