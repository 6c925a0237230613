//! Two thousand sessions in which the host is killed, the cable pulled or the station loses its power, at random moments of
//! taking events and of loading, on lines that damage bytes too: afterwards the host's events and the station's are the
//! same, none lost or doubled, and the list is the old or the new one, whole.

use std::time::Duration;

use fastrand::Rng;
use link::{Link, LinkError, Loaded, Manner};
use shared_model::messages::Known;
use shared_model::{Event, Place};
use station::machine::Key;

use crate::line::{CLEAN, End, Faults, Line, Station, last};
use crate::sample::{Sample, list};

/// The host's record, as far as it matters here.
#[derive(Default)]
struct Kept {
    known: Known,
    events: Vec<(u32, Event)>,
}

impl Kept {
    /// What a session takes is kept in one stroke: events, and how far.
    fn keep(&mut self, taken: &link::Taken) {
        assert_eq!(taken.missing, []);
        let epoch = taken.last.epoch;
        self.events
            .extend(taken.events.iter().map(|event| (epoch, *event)));
        self.known = taken.last;
    }

    fn of(&self, epoch: u32) -> Vec<Event> {
        let of = self.events.iter().filter(|(of, _)| *of == epoch);
        of.map(|(_, event)| *event).collect()
    }
}

fn manner(dice: &mut Rng) -> Manner {
    Manner {
        patience: Duration::from_millis(200),
        asks: 6,
        first_number: dice.u32(..),
    }
}

/// What came of one session.
struct Session {
    faulted: bool,
    /// What the list was made with, if one was to be loaded.
    made_with: Known,
    loaded: Option<Result<Loaded, LinkError>>,
}

fn session(
    station: &mut Station,
    kept: &mut Kept,
    new: Option<&Sample>,
    faults: Faults,
    dice: &mut Rng,
) -> Session {
    let mut line = Line::to(station, faults, dice.u64(..));
    let mut loaded = None;
    let mut all = || -> Result<(), LinkError> {
        let mut link = Link::open(&mut line, manner(dice))?;
        let taken = link.take_events(kept.known, &mut |_| {})?;
        kept.keep(&taken);
        link.confirm(kept.known)?;
        if let Some(new) = new {
            loaded = Some(link.load(new, kept.known, &mut |_| {}));
        }
        Ok(())
    };
    if let Err(error) = all() {
        let expected = matches!(error, LinkError::Cut(_) | LinkError::NoAnswer);
        // the log's epoch and its events do not change within a session
        assert!(expected, "{error}");
    }
    Session {
        faulted: line.ended,
        made_with: kept.known,
        loaded,
    }
}

fn presses(station: &mut Station, dice: &mut Rng) {
    for _ in 0..dice.u32(0..6) {
        let key = match dice.u8(0..8) {
            0..5 => Key::Done,
            5 => Key::TakeBack,
            6 => Key::SetAside,
            _ => Key::CutAgain,
        };
        station.press(key);
    }
}

/// Host and station agree, over a line without faults.
fn agree(station: &mut Station, kept: &mut Kept, lists: &[&Sample], dice: &mut Rng, name: &str) {
    session(station, kept, None, CLEAN, dice);
    let medium = station.medium.borrow();
    let events = kept.of(medium.epoch);
    assert_eq!(events, medium.events, "{name}");
    assert!(
        (1..)
            .zip(&events)
            .all(|(number, event)| event.sequence == number),
        "{name}"
    );
    assert!(medium.confirmed <= kept.known.sequence, "{name}");
    let held = medium.list.as_ref();
    match held {
        None => assert!(lists.is_empty(), "{name}"),
        Some(held) => assert!(lists.contains(&held), "{name}"),
    }
    let place = held.and_then(Place::at_start).map(|mut place| {
        events.iter().for_each(|event| place.take(event));
        place
    });
    assert_eq!(station.runner.place(), place.as_ref(), "{name}");
}

/// One station's life of so many sessions; says how many of them ended in a fault, by its kind, and how many lists were
/// loaded in spite of everything.
fn life(seed: u64, sessions: u32) -> ([u32; 4], u32) {
    let mut dice = Rng::with_seed(seed);
    let mut station = Station::new(seed);
    let mut kept = Kept::default();
    let mut old: Option<Sample> = None;
    let (mut faulted, mut loads) = ([0; 4], 0);
    for number in 0..sessions {
        let name = format!("life {seed}, session {number}");
        presses(&mut station, &mut dice);
        let pieces = dice.usize(0..70);
        let new = (old.is_none() || dice.u8(0..4) > 0).then(|| list(pieces, &mut dice));
        let end = dice.choice([End::Killed, End::Pulled, End::Reset, End::Dies]);
        let end = end.expect("one of them");
        let faults = Faults {
            one_in: dice.choice([0, 0, 4_000, 900]).expect("one of them"),
            end: Some((dice.u32(0..2_600), end)),
            presses: dice.bool(),
        };
        let session = session(&mut station, &mut kept, new.as_ref(), faults, &mut dice);
        faulted[end as usize] += u32::from(session.faulted);
        // whatever it was, the station is on again afterwards
        if station.medium.borrow().dead || dice.u8(0..3) == 0 {
            station.restart();
        }
        station.medium.borrow_mut().dies_in = None;
        let mut lists: Vec<&Sample> = Vec::new();
        match &session.loaded {
            // what was told to be in use is
            Some(Ok(_)) => {
                loads += 1;
                lists.extend(&new);
            }
            Some(Err(LinkError::Refused(_))) | None => lists.extend(&old),
            Some(Err(LinkError::Cut(_) | LinkError::NoAnswer)) => {
                lists.extend(old.iter().chain(&new));
            }
            Some(Err(error)) => panic!("{name}: {error}"),
        }
        {
            let medium = station.medium.borrow();
            if medium.list.is_none() && old.is_none() {
                lists.clear();
            }
            // a list that is new was made with every event there was
            let known = session.made_with.sequence;
            assert!(medium.list == old || medium.committed_at <= known, "{name}");
        }
        agree(&mut station, &mut kept, &lists, &mut dice, &name);
        old.clone_from(&station.medium.borrow().list);
        if dice.u8(0..40) == 0 {
            // its memory is exchanged: a log of another epoch, and the list is gone
            {
                let mut medium = station.medium.borrow_mut();
                medium.epoch += 1;
                medium.events.clear();
                medium.confirmed = 0;
                medium.list = None;
            }
            station.restart();
            old = None;
        }
    }
    (faulted, loads)
}

#[test]
fn two_thousand_faults_lose_and_double_nothing() {
    let (mut faulted, mut loads) = ([0; 4], 0);
    let mut seed = 0;
    while faulted.iter().sum::<u32>() < 2_000 {
        let (more, more_loads) = life(seed, 100);
        faulted
            .iter_mut()
            .zip(more)
            .for_each(|(all, more)| *all += more);
        loads += more_loads;
        seed += 1;
    }
    let [killed, pulled, reset, died] = faulted;
    println!(
        "host killed {killed}, cable pulled {pulled}, station reset {reset}, in its memory {died}; {loads} loads went through"
    );
    assert!(faulted.iter().all(|count| *count > 200), "{faulted:?}");
    assert!(loads > 300, "{loads}");
}

#[test]
fn a_line_that_damages_bytes_is_got_through() {
    // without an end: however much has to be asked again, it is done
    let mut dice = Rng::with_seed(5);
    let mut station = Station::new(5);
    let mut kept = Kept::default();
    for number in 0..60 {
        presses(&mut station, &mut dice);
        let new = list(100, &mut dice);
        let faults = Faults {
            one_in: 2_000,
            ..CLEAN
        };
        let session = session(&mut station, &mut kept, Some(&new), faults, &mut dice);
        assert!(matches!(session.loaded, Some(Ok(Loaded::New))), "{number}");
        agree(&mut station, &mut kept, &[&new], &mut dice, "damaged");
    }
    assert!(last(&station) > 60);
}
