//! The real program and the emulated Pico, and whatever can come between them: the program killed, the cable pulled, the
//! power gone, the board started anew, at any byte of a load or of taking events. Afterwards the job record and the station
//! agree, and every press is in the record once. The same without an emulator, a hundred times as often, is left to
//! `job_faults` and the link's own tests.

use std::env;
use std::fs;
use std::io::{Read, Write};
use std::net::{Shutdown, TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use link::{Link, Manner, connect};
use planner::saw_list::SawSheet;
use shared_model::messages::Hello;
use station::machine::Key;
use station::timing::WORD_STAYS;

use super::dice::Dice;
use super::pico::{FlashTimes, Pico};
use super::pictures::assert_shows;
use super::saw_list::{Twin, long_level, planned};
use crate::jobs::{load, report};
use crate::program::{baserun, fresh_folder};

/// How often something comes between them, unless BASERUN_ROUNDS says otherwise.
const ROUNDS: u32 = 20;
/// The two lists' pieces.
const PIECES: [usize; 2] = [40, 36];
/// A program that is left alone gives up by then.
const GIVEN_UP: Duration = Duration::from_secs(30);

/// What comes between them.
#[derive(Debug, Clone, Copy)]
enum Fault {
    Killed,
    CablePulled,
    PowerCut,
    StartedAnew,
}

const FAULTS: [Fault; 4] = [
    Fault::Killed,
    Fault::CablePulled,
    Fault::PowerCut,
    Fault::StartedAnew,
];

/// A cable that says when so many bytes have gone through it, and then lets no more through.
struct Cable {
    to: String,
    state: Arc<Mutex<State>>,
    reached: Receiver<()>,
}

#[derive(Default)]
struct State {
    /// Bytes that have gone through since it was told when to stop.
    gone: usize,
    stop_at: Option<usize>,
    ends: Vec<TcpStream>,
}

impl Cable {
    fn to(port: u16) -> Cable {
        let listener = TcpListener::bind(("127.0.0.1", 0)).expect("a port");
        let to = format!("tcp:{}", listener.local_addr().expect("a port"));
        let state = Arc::new(Mutex::new(State::default()));
        let (reach, reached) = channel();
        let shared = Arc::clone(&state);
        // it ends with the test's process
        thread::spawn(move || {
            for here in listener.incoming().map_while(Result::ok) {
                let there = TcpStream::connect(("127.0.0.1", port)).expect("the emulator");
                for (from, to) in [(&here, &there), (&there, &here)] {
                    from.set_nodelay(true).expect("a line");
                    let [from, to] = [from, to].map(|end| end.try_clone().expect("a line"));
                    let (state, reach) = (Arc::clone(&shared), reach.clone());
                    thread::spawn(move || carry(from, to, &state, &reach));
                }
                let mut state = shared.lock().expect("no test panicked with it");
                state.ends.extend([here, there]);
            }
        });
        Cable { to, state, reached }
    }

    /// From now on, so many bytes go through.
    fn stop_at(&self, bytes: Option<usize>) {
        let mut state = self.state.lock().expect("no test panicked with it");
        (state.gone, state.stop_at) = (0, bytes);
    }

    /// How many bytes have gone through since then.
    fn gone(&self) -> usize {
        self.state.lock().expect("no test panicked with it").gone
    }

    fn pull(&self) {
        let mut state = self.state.lock().expect("no test panicked with it");
        for end in state.ends.drain(..) {
            // the other side may have hung up before
            let _ = end.shutdown(Shutdown::Both);
        }
    }
}

/// Carries bytes one way until the cable is to stop or a side hangs up.
fn carry(mut from: TcpStream, mut to: TcpStream, state: &Mutex<State>, reach: &Sender<()>) {
    let mut bytes = [0; 1024];
    while let Ok(count) = from.read(&mut bytes) {
        let (going, stops) = {
            let mut state = state.lock().expect("no test panicked with it");
            let left = state.stop_at.map_or(count, |at| at - state.gone.min(at));
            let going = count.min(left);
            state.gone += going;
            (going, going < count)
        };
        if to.write_all(&bytes[..going]).is_err() || count == 0 {
            break;
        }
        if stops {
            // nobody waits for it where the program has ended by itself
            let _ = reach.send(());
            return;
        }
    }
    let _ = to.shutdown(Shutdown::Write);
}

/// A station at the saw, and what it is to show.
struct Saw {
    pico: Pico,
    cable: Cable,
    port: u16,
    twin: Twin,
    lists: [SawSheet; 2],
}

impl Saw {
    /// A board with nothing in its flash but the program, and the twin with the list that it is given first.
    fn new() -> Saw {
        let lists = PIECES.map(|count| planned(&long_level(count)));
        let mut pico = Pico::new(FlashTimes::TYPICAL, None);
        pico.power(true);
        assert!(pico.run_until("shown", 5_000.0));
        assert!(pico.run_until("plugged", 5_000.0));
        let port = pico.listen("usb");
        Saw {
            pico,
            cable: Cable::to(port),
            port,
            twin: Twin::fresh(&lists[0]),
            lists,
        }
    }

    /// What the station says of itself.
    fn station(&self) -> Hello {
        let to = format!("tcp:127.0.0.1:{}", self.port).parse();
        let line = connect(&to.expect("a way")).expect("a line");
        let link = Link::open(line, Manner::default()).expect("the station answers");
        link.station().clone()
    }

    /// Takes a fault in and has the board run again.
    fn suffer(&mut self, fault: Fault, program: &mut Child) {
        match fault {
            Fault::Killed => program.kill().expect("it can be killed"),
            Fault::CablePulled => {}
            Fault::PowerCut => self.pico.power(false),
            Fault::StartedAnew => {
                let before = self.pico.report().restarts;
                self.pico.astray("panic");
                while self.pico.report().restarts == before {
                    self.pico.run(50.0);
                }
            }
        }
        self.cable.pull();
        if matches!(fault, Fault::PowerCut) {
            self.pico.power(true);
        }
        assert!(self.pico.run_until("shown", 5_000.0), "{fault:?}");
        assert!(self.pico.run_until("plugged", 5_000.0), "{fault:?}");
    }

    /// It shows what it is to show, once what is said for a while is gone.
    fn assert_shows_place(&mut self, when: &str) {
        self.pico.run(f64::from(WORD_STAYS) + 100.0);
        assert_shows(&mut self.pico, &self.twin.again().picture(), when);
    }

    /// Presses a key past the hold-off of the press before.
    fn press(&mut self, name: &str, key: Key) {
        self.pico.run(400.0);
        self.pico.press(name, 120.0);
        self.twin.press(key);
    }
}

/// How many events are in the job record, the last one's number, and how many are disputed.
fn kept(folder: &Path) -> (u32, u32, u32) {
    let file = rusqlite::Connection::open(folder.join("data/job-record.sqlite")).expect("a file");
    let counted = "SELECT count(*), max(sequence), (SELECT count(*) FROM disputed) FROM event";
    file.query_row(counted, [], |row| {
        Ok((row.get(0)?, row.get(1)?, row.get(2)?))
    })
    .expect("a row")
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn whatever_comes_between_them_record_and_station_agree_afterwards() {
    let rounds = env::var("BASERUN_ROUNDS").map_or(ROUNDS, |rounds| {
        rounds.parse().expect("BASERUN_ROUNDS is a number")
    });
    let mut dice = Dice::new(21);
    let folder = fresh_folder();
    let path = folder.path();
    for (name, count) in ["0.json", "1.json"].iter().zip(PIECES) {
        let level = form::to_json(&long_level(count)).expect("JSON");
        fs::write(path.join(name), level).expect("a file");
    }
    let mut saw = Saw::new();
    saw.cable.stop_at(None);
    let loaded = load(path, "0.json", &saw.cable.to);
    assert_eq!(loaded.status, 0, "{}", loaded.err);
    let of_a_load = saw.cable.gone();
    while saw.twin.done() == 0 {
        saw.press("pedal", Key::Done);
    }
    let (mut interrupted, mut current) = ([0; 4], 0);
    for round in 0..rounds {
        let which = dice.below(4.0) as usize;
        let loads = dice.below(3.0) >= 1.0;
        let mut program = baserun(path);
        match loads {
            true => program.args(["load", &format!("{}.json", 1 - current)]),
            false => program.arg("progress"),
        };
        let most = of_a_load as f64 * if loads { 1.0 } else { 0.25 };
        saw.cable.stop_at(Some(dice.below(most) as usize));
        let mut program = program
            .args(["--to", &saw.cable.to])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        // where it ends before so many bytes have gone, nothing came between
        let stopped = loop {
            match saw.cable.reached.recv_timeout(Duration::from_millis(20)) {
                Ok(()) => break true,
                Err(RecvTimeoutError::Disconnected) => unreachable!("the cable lasts"),
                Err(RecvTimeoutError::Timeout)
                    if program.try_wait().expect("it ends").is_some() =>
                {
                    break false;
                }
                Err(RecvTimeoutError::Timeout) => {}
            }
        };
        if stopped {
            saw.suffer(FAULTS[which], &mut program);
            interrupted[which] += 1;
        }
        saw.cable.stop_at(None);
        wait(&mut program);

        let has = saw.station().list.expect("it has a list").digest;
        let list = saw.lists.iter().position(|list| list.head.digest == has);
        current = list.expect("one of the two lists");
        saw.twin = saw.twin.with_list(&saw.lists[current]);
        saw.assert_shows_place(&format!("round {round}"));
        let times = dice.below(3.0) as u32;
        for key in [("pedal", Key::Done), ("takeBack", Key::TakeBack)]
            .into_iter()
            .take(times as usize)
        {
            saw.press(key.0, key.1);
        }
        let presses = saw.twin.events();
        assert_eq!(saw.station().last().sequence, presses, "round {round}");

        let told = report(path, &saw.cable.to);
        assert_eq!(told["done"], saw.twin.done(), "round {round}");
        assert_eq!(kept(path), (presses, presses, 0), "round {round}");
    }
    saw.assert_shows_place("at the end");
    let faults = FAULTS.map(|fault| format!("{fault:?}"));
    println!(
        "{rounds} rounds, {} presses; in the middle: {:?}",
        saw.twin.events(),
        faults.iter().zip(interrupted).collect::<Vec<_>>()
    );
    assert!(interrupted.iter().sum::<u32>() * 4 >= rounds * 3);
}

/// A program that lost its station ends by itself.
fn wait(program: &mut Child) {
    for _ in 0..GIVEN_UP.as_millis() / 20 {
        if program.try_wait().expect("it ends").is_some() {
            return;
        }
        thread::sleep(Duration::from_millis(20));
    }
    panic!("the program waits for ever");
}
