//! A station at a saw, for the program under test: the station's own code and its record in files, answering on TCP. Lines
//! to it can be cut after any number of bytes. What is asked of it is left to the tests.

use std::io::{ErrorKind, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard};
use std::thread;
use std::time::Duration;

use file_record::{FileRecord, OpenError};
use shared_model::messages::{ScreenSize, StationId};
use shared_model::{Event, Place, Progress, SawList};
use station::link::{About, Link};
use station::machine::{Input, Key};
use station::record::Record;
use station::runner::Runner;

/// Two presses that both count are farther apart than the station's hold-off, in milliseconds.
const NEXT_PRESS: u32 = 1_000;
/// A question is settled by then.
const SETTLED: u32 = 6_000;

/// A running station.
pub struct SawStation {
    folder: PathBuf,
    /// Where it answers, as `--to` names it.
    pub to: String,
    shared: Arc<Mutex<Shared>>,
}

struct Shared {
    /// None while it is switched off.
    on: Option<(Runner<FileRecord>, Link)>,
    /// Its milliseconds run by hand, so that no test waits.
    now: u32,
    about: About,
    /// The next line is cut after so many bytes there and back.
    cut_after: Option<usize>,
    /// Lines that were cut.
    cuts: u32,
}

impl SawStation {
    /// Switches a station on that keeps its record in this folder.
    pub fn start(folder: &Path, number: u64) -> SawStation {
        let listener = TcpListener::bind(("127.0.0.1", 0)).expect("a port");
        let to = format!("tcp:{}", listener.local_addr().expect("a port"));
        let shared = Arc::new(Mutex::new(Shared {
            on: None,
            now: 0,
            about: About {
                station: StationId(number),
                board: "test board".try_into().expect("a short name"),
                firmware: "0.1.0".try_into().expect("a short name"),
                screen: ScreenSize {
                    width: 320,
                    height: 240,
                },
            },
            cut_after: None,
            cuts: 0,
        }));
        let serving = Arc::clone(&shared);
        // it ends with the test's process
        thread::spawn(move || {
            for line in listener.incoming().map_while(Result::ok) {
                let serving = Arc::clone(&serving);
                thread::spawn(move || serve(line, &serving));
            }
        });
        let station = SawStation {
            folder: folder.to_owned(),
            to,
            shared,
        };
        station.switch_on();
        station
    }

    fn lock(&self) -> MutexGuard<'_, Shared> {
        self.shared.lock().expect("no test panicked with it")
    }

    /// Switches it on, or off and on.
    pub fn switch_on(&self) {
        let mut shared = self.lock();
        shared.on = None;
        // a program that another test starts at this moment holds the lock until it has begun
        let record = (0..200).find_map(|_| match FileRecord::open(&self.folder) {
            Err(OpenError::InUse) => {
                thread::sleep(Duration::from_millis(10));
                None
            }
            record => Some(record),
        });
        let record = record.expect("nobody has it").expect("a record");
        let link = Link::new(shared.about.clone());
        shared.on = Some((Runner::start(record, false, &[]), link));
        shared.now = 1_000;
    }

    /// Presses a key so often, each time long after the last, past the cards that stand before a list.
    pub fn press(&self, key: Key, times: usize) {
        let mut shared = self.lock();
        let Shared { on, now, .. } = &mut *shared;
        let (runner, _) = on.as_mut().expect("it is on");
        while runner.over().is_some() {
            *now += NEXT_PRESS;
            runner.take(Input::Press(Key::Done), *now);
        }
        for _ in 0..times {
            shared.now += NEXT_PRESS;
            let now = shared.now;
            let (runner, _) = shared.on.as_mut().expect("it is on");
            runner.take(Input::Press(key), now);
            runner.take(Input::Time, now + SETTLED);
            shared.now += SETTLED;
        }
    }

    /// Presses a key twice within the time in which its question stands.
    pub fn press_twice(&self, key: Key) {
        self.press(key, 0);
        let mut shared = self.lock();
        for _ in 0..2 {
            shared.now += NEXT_PRESS;
            let now = shared.now;
            let (runner, _) = shared.on.as_mut().expect("it is on");
            runner.take(Input::Press(key), now);
        }
    }

    /// Cuts the next line after so many bytes.
    pub fn cut_after(&self, bytes: usize) {
        self.lock().cut_after = Some(bytes);
    }

    /// How many lines were cut; one that is to be cut and was not is forgotten.
    pub fn cuts(&self) -> u32 {
        let mut shared = self.lock();
        shared.cut_after = None;
        shared.cuts
    }

    /// How far its list is, as it counts it.
    pub fn progress(&self) -> Progress {
        let shared = self.lock();
        let (runner, _) = shared.on.as_ref().expect("it is on");
        runner.place().map(Place::progress).unwrap_or_default()
    }

    /// Its list's digest.
    pub fn digest(&self) -> Option<u32> {
        let shared = self.lock();
        let (runner, _) = shared.on.as_ref().expect("it is on");
        runner.record().list().map(|list| list.head().digest)
    }

    /// Its events.
    pub fn events(&self) -> Vec<Event> {
        let shared = self.lock();
        let (runner, _) = shared.on.as_ref().expect("it is on");
        runner.record().events().collect()
    }
}

fn serve(mut line: TcpStream, shared: &Mutex<Shared>) {
    line.set_nodelay(true).expect("a line");
    let mut left = shared
        .lock()
        .expect("no test panicked with it")
        .cut_after
        .take();
    if let Some((_, link)) = &mut shared.lock().expect("no test panicked with it").on {
        link.cut();
    }
    let mut bytes = [0; 1024];
    loop {
        let most = left.map_or(bytes.len(), |left| left.min(bytes.len()));
        let count = match line.read(&mut bytes[..most]) {
            Ok(0) if left == Some(0) => {
                shared.lock().expect("no test panicked with it").cuts += 1;
                return;
            }
            Ok(0) => return,
            Ok(count) => count,
            Err(error) if error.kind() == ErrorKind::Interrupted => continue,
            Err(_) => return,
        };
        let mut answer = {
            let mut shared = shared.lock().expect("no test panicked with it");
            let now = shared.now;
            let Some((runner, link)) = &mut shared.on else {
                return;
            };
            link.take(&bytes[..count], runner, now);
            let answer = link.to_send().to_vec();
            link.sent(answer.len());
            answer
        };
        if let Some(left) = &mut left {
            *left -= count;
            let going = answer.len().min(*left);
            answer.truncate(going);
            *left -= going;
        }
        if line.write_all(&answer).is_err() {
            return;
        }
    }
}
