//! A station's events taken over lines that are cut at any byte, with the program killed and the station switched off
//! between: afterwards record and station agree, and no event is lost or counted twice.

use std::cell::RefCell;
use std::collections::{BTreeMap, VecDeque};
use std::io::{self, ErrorKind, Read, Write};
use std::path::Path;
use std::rc::Rc;
use std::time::Duration;

use fastrand::Rng;
use file_record::{Disk, FileRecord};
use job_record::{LevelId, LevelName, Loading, Making, RevisionId, Source};
use link::{Loaded, Manner};
use planner::saw_list::SawSheet;
use shared_model::messages::{ScreenSize, StationId};
use shared_model::{Event, Place};
use station::link::{About, Link as StationLink};
use station::machine::{Input, Key};
use station::record::Record;
use station::runner::Runner;

use super::*;

/// Files in memory that outlive the station.
#[derive(Clone, Default)]
struct Files(Rc<RefCell<BTreeMap<String, Vec<u8>>>>);

impl Disk for Files {
    fn read(&self, name: &str) -> io::Result<Option<Vec<u8>>> {
        Ok(self.0.borrow().get(name).cloned())
    }

    fn sync(&mut self, _: &str) -> io::Result<()> {
        Ok(())
    }

    fn append(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let mut files = self.0.borrow_mut();
        files.entry(name.to_owned()).or_default().extend(bytes);
        Ok(())
    }

    fn shorten(&mut self, name: &str, length: u64) -> io::Result<()> {
        let mut files = self.0.borrow_mut();
        let file = files.entry(name.to_owned()).or_default();
        file.truncate(usize::try_from(length).unwrap_or(usize::MAX));
        Ok(())
    }

    fn write(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        self.0.borrow_mut().insert(name.to_owned(), bytes.to_vec());
        Ok(())
    }

    fn rename(&mut self, from: &str, to: &str) -> io::Result<()> {
        let mut files = self.0.borrow_mut();
        let bytes = files.remove(from).ok_or(ErrorKind::NotFound)?;
        files.insert(to.to_owned(), bytes);
        Ok(())
    }
}

struct Saw {
    files: Files,
    runner: Runner<FileRecord<Files>>,
    link: StationLink,
    now: u32,
}

impl Saw {
    fn on(files: Files) -> Saw {
        let record = FileRecord::on(files.clone()).expect("a record");
        let about = About {
            station: StationId(5),
            board: "test board".try_into().expect("a short name"),
            firmware: "0.1.0".try_into().expect("a short name"),
            screen: ScreenSize {
                width: 320,
                height: 240,
            },
        };
        Saw {
            files,
            runner: Runner::start(record, false, &[]),
            link: StationLink::new(about),
            now: 1_000,
        }
    }

    fn press(&mut self, key: Key) {
        self.now += 1_000;
        self.runner.take(Input::Press(key), self.now);
        self.now += 6_000;
        self.runner.take(Input::Time, self.now);
    }

    fn events(&self) -> Vec<Event> {
        self.runner.record().events().collect()
    }
}

/// A line that is cut after so many bytes there and back, and on which somebody presses now and then.
struct Line<'a> {
    saw: &'a mut Saw,
    left: usize,
    answered: VecDeque<u8>,
    dice: Rng,
    presses: bool,
}

impl Line<'_> {
    /// So many of these bytes go over the line.
    fn carried(&mut self, bytes: usize) -> usize {
        let carried = bytes.min(self.left);
        self.left -= carried;
        carried
    }
}

impl Write for Line<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.left == 0 {
            return Err(ErrorKind::BrokenPipe.into());
        }
        let carried = self.carried(bytes.len());
        let bytes = bytes.get(..carried).unwrap_or_default();
        if self.presses && self.dice.u8(0..12) == 0 {
            self.saw.press(Key::Done);
        }
        let saw = &mut *self.saw;
        saw.link.take(bytes, &mut saw.runner, saw.now);
        let answer = saw.link.to_send().to_vec();
        saw.link.sent(answer.len());
        let back = self.carried(answer.len());
        self.answered.extend(answer.iter().take(back));
        Ok(carried)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Read for Line<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        match (self.answered.is_empty(), self.left) {
            (false, _) => self.answered.read(buffer),
            (true, 0) => Ok(0),
            (true, _) => Err(ErrorKind::TimedOut.into()),
        }
    }
}

fn list(edit: u32) -> SawSheet {
    let text = format!(
        "level Den\nmoulding base\nhigh 5 1/4, thick 9/16, profile 3/4\nstick 192\nroom Den\n{}\n{}\n75\n102\n33\ndoor 37 1/2\n",
        31 + edit % 3,
        124 + edit % 2
    );
    let sheet = form::read_text("den.txt", &text, &[]).expect("a level");
    SawSheet::of(&planner::plan(&sheet)).expect("it fits")
}

fn keep(record: &mut JobRecord, list: &SawSheet) -> RevisionId {
    let making = Making {
        source: Source { file: "", text: "" },
        list,
        finished: &[],
    };
    let kept = record.keep(LevelName::OfFile("Den"), making, Moment::now());
    kept.expect("a record")
}

/// What `load` does, as far as the line lets it.
fn session(
    record: &mut JobRecord,
    line: Line<'_>,
    new: Option<&SawSheet>,
) -> Result<(), TakingError> {
    let manner = Manner {
        patience: Duration::from_millis(60),
        asks: 2,
        first_number: 0,
    };
    let mut link = Link::open(line, manner)?;
    let kept = take(&mut link, record, "here", &mut |_| {})?;
    if let Some(new) = new {
        let revision = keep(record, new);
        let loaded = link.load(new, kept.last, &mut |_| {})?;
        assert!(matches!(loaded, Loaded::New | Loaded::InUseAlready));
        record.loaded(Loading {
            revision,
            log: Log {
                station: link.station().station,
                epoch: kept.last.epoch,
            },
            made_with: kept.last.sequence,
            at: Moment::now(),
        })?;
    }
    Ok(())
}

fn level(record: &JobRecord) -> LevelId {
    let level = record.level(LevelName::OfFile("Den"));
    level.expect("a record").expect("a level")
}

fn agree(saw: &Saw, record: &JobRecord, name: &str) {
    let said = record.events(level(record)).expect("a record");
    let said: Vec<Event> = said.iter().map(|said| said.event).collect();
    assert_eq!(said, saw.events(), "{name}");
    let digest = saw.runner.place().map(Place::digest).expect("a list");
    let revision = record.list_of_station(StationId(5), digest);
    let revision = revision.expect("a record").expect("a list that is known");
    let (_, list) = record.revision(revision).expect("a record");
    let standing = record.standing(level(record), &list).expect("a record");
    assert_eq!(Some(&standing.place), saw.runner.place(), "{name}");
    let (log, last) = (
        Log {
            station: StationId(5),
            epoch: saw.runner.record().epoch(),
        },
        saw.runner.record().last_sequence(),
    );
    assert_eq!(record.held(log), Ok(last), "{name}");
    assert_eq!(record.confirmed(log), Ok(last), "{name}");
}

fn life(folder: &Path, seed: u64, sessions: u32) -> u32 {
    let mut dice = Rng::with_seed(seed);
    let mut saw = Saw::on(Files::default());
    let mut record = JobRecord::open(folder).expect("a record");
    keep(&mut record, &list(0));
    let mut cut = 0;
    for number in 0..sessions {
        let name = format!("life {seed}, session {number}");
        for _ in 0..dice.u32(0..4) {
            let keys = [
                Key::Done,
                Key::Done,
                Key::Done,
                Key::TakeBack,
                Key::SetAside,
                Key::CutAgain,
            ];
            saw.press(dice.choice(keys).expect("a key"));
        }
        let new = (dice.u8(0..3) == 0).then(|| list(dice.u32(0..6)));
        let line = Line {
            left: dice.usize(0..1_200),
            answered: VecDeque::new(),
            presses: dice.bool(),
            dice: Rng::with_seed(dice.u64(..)),
            saw: &mut saw,
        };
        match session(&mut record, line, new.as_ref()) {
            Ok(()) => {}
            Err(TakingError::Link(LinkError::Cut(_) | LinkError::NoAnswer)) => cut += 1,
            // somebody pressed while the list was sent
            Err(TakingError::Link(LinkError::Refused(_))) => {}
            Err(error) => panic!("{name}: {error}"),
        }
        if dice.u8(0..4) == 0 {
            saw = Saw::on(saw.files.clone());
        }
        if dice.u8(0..4) == 0 {
            // killed: what it had committed is there, the rest never was
            record = JobRecord::open(folder).expect("a record");
        }
        if dice.u8(0..8) == 0 {
            let line = Line {
                left: usize::MAX,
                answered: VecDeque::new(),
                presses: false,
                dice: Rng::with_seed(1),
                saw: &mut saw,
            };
            let fresh = line.saw.runner.place().is_none().then(|| list(0));
            session(&mut record, line, fresh.as_ref()).expect("a whole line");
            agree(&saw, &record, &name);
        }
    }
    cut
}

#[test]
fn record_and_station_agree_however_often_the_line_is_cut() {
    // as many as take seconds; all 2,000 with optimisation
    let (lives, sessions) = if cfg!(debug_assertions) {
        (4, 50)
    } else {
        (20, 100)
    };
    let mut cut = 0;
    for seed in 1..=lives {
        let folder = tempfile::tempdir().expect("a folder");
        cut += life(folder.path(), seed, sessions);
    }
    println!("{cut} of {} sessions were cut", lives * u64::from(sessions));
    assert!(cut * 5 > lives as u32 * sessions, "{cut}");
}
