//! Events taken in any order, any number of times, with gaps and restarts between: none is lost, none counts twice.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use job_record::{JobRecord, Log, Taken};
use proptest::prelude::*;
use shared_model::messages::StationId;
use shared_model::{Event, PieceId, PieceState, Reason, What};

use crate::sample::{LOG, clock, done, event, keep, list};

fn record() -> (tempfile::TempDir, JobRecord) {
    let folder = tempfile::tempdir().expect("a folder");
    let record = JobRecord::open(folder.path()).expect("a record");
    (folder, record)
}

#[test]
fn events_taken_twice_count_once_and_a_gap_is_told() {
    let (_folder, mut record) = record();
    let list = list("Den", &[1, 2, 3]);
    keep(&mut record, &list);
    let digest = list.head.digest;
    let all: Vec<Event> = (1..=3).map(|n| done(n, n, digest)).collect();
    let mut take = |events: &[Event]| {
        let taken = record.take(LOG, Some(digest), events, clock(60_000));
        taken.expect("a record")
    };
    let first = take(&all[..1]);
    assert_eq!((first.new, first.known, first.held), (1, 0, 1));
    let gap = take(&all[2..]);
    assert_eq!(
        (gap.new, gap.held, gap.gaps.as_slice()),
        (1, 1, &[2..=2][..])
    );
    let filled = take(&all);
    let expected = Taken {
        new: 1,
        known: 2,
        held: 3,
        ..Taken::default()
    };
    assert_eq!(filled, expected);
}

#[test]
fn what_the_station_has_lost_does_not_hold_up_the_rest() {
    let (_folder, mut record) = record();
    let events = [done(5, 1, 9), done(6, 2, 9), done(9, 3, 9)];
    let taken = record.take(LOG, Some(9), &events, clock(60_000));
    let taken = taken.expect("a record");
    assert_eq!((taken.held, taken.gaps), (0, vec![1..=4, 7..=8]));
    let lost = |record: &mut JobRecord, numbers: RangeInclusive<u32>| {
        let held = record.note_lost(LOG, &numbers, clock(60_000).at);
        held.expect("a record")
    };
    assert_eq!(lost(&mut record, 1..=4), 6);
    assert_eq!(lost(&mut record, 7..=8), 9);
    assert_eq!(record.held(LOG), Ok(9));
}

#[test]
fn another_event_under_the_same_number_is_told_and_kept_apart() {
    let (folder, mut record) = record();
    let list = list("Den", &[1, 2]);
    keep(&mut record, &list);
    let digest = list.head.digest;
    let level = job_record::LevelName::OfFile("Den");
    let mut take = |event: Event| {
        let taken = record.take(LOG, Some(digest), &[event], clock(60_000));
        taken.expect("a record")
    };
    take(done(1, 1, digest));
    for _ in 0..2 {
        let disputed = take(done(1, 2, digest));
        assert_eq!((disputed.new, disputed.disputed.as_slice()), (0, &[1][..]));
    }
    assert_eq!(take(done(0, 2, digest)).disputed, [0]);
    let level = record.level(level).expect("a record").expect("a level");
    let said = record.events(level).expect("a record");
    let said: Vec<Event> = said.iter().map(|said| said.event).collect();
    assert_eq!(said, [done(1, 1, digest)]);
    drop(record);
    let file = folder.path().join("job-record.sqlite");
    let file = rusqlite::Connection::open(file).expect("the file");
    let apart = "SELECT count(*), sum(piece) FROM disputed WHERE sequence = 1";
    let apart = file.query_row(apart, [], |row| Ok((row.get(0)?, row.get(1)?)));
    assert_eq!(apart.expect("a row"), (1, 2));
}

#[test]
fn every_kind_of_event_is_kept_as_it_was() {
    let (_folder, mut record) = record();
    let list = list("Den", &[1, 2, 3, 4, 5]);
    keep(&mut record, &list);
    let (digest, piece) = (list.head.digest, PieceId(u32::MAX));
    let mut kinds = vec![
        What::Done {
            piece,
            list: digest,
        },
        What::TakenBack { piece },
        What::SetAside { piece },
        What::BadStick {
            list: digest,
            stick: u16::MAX,
        },
        What::StickKept {
            list: digest,
            stick: 0,
        },
    ];
    kinds.extend(Reason::ALL.map(|reason| What::CutAgain { piece, reason }));
    let events: Vec<Event> = (1..).zip(&kinds).map(|(n, kind)| event(n, *kind)).collect();
    let taken = record.take(LOG, Some(digest), &events, clock(60_000));
    assert_eq!(taken.expect("a record").new, kinds.len());
    let level = record.level(job_record::LevelName::OfFile("Den"));
    let said = record.events(level.expect("a record").expect("a level"));
    let said: Vec<Event> = said.expect("a record").iter().map(|s| s.event).collect();
    assert_eq!(said, events);
}

/// What a test does with a record.
#[derive(Debug, Clone)]
enum Act {
    /// These events of one of the logs, by their places in it, in this order.
    Take(usize, Vec<u8>),
    /// The same, with one that is another than it was.
    TakeFalse(usize, u8),
    Restart,
}

fn act() -> impl Strategy<Value = Act> {
    let run = (0u8..40, 0u8..12).prop_map(|(from, count)| (from..from + count).collect());
    let any = prop::collection::vec(0u8..40, 0..8);
    let places = prop_oneof![run, any];
    prop_oneof![
        8 => (0usize..3, places).prop_map(|(log, places)| Act::Take(log, places)),
        1 => (0usize..3, 0u8..40).prop_map(|(log, place)| Act::TakeFalse(log, place)),
        1 => Just(Act::Restart),
    ]
}

/// The numbers up to which all are there, and the gaps behind.
fn reach(held: &BTreeMap<u32, Event>) -> (u32, Vec<RangeInclusive<u32>>) {
    let mut gaps = Vec::new();
    let mut end = 0;
    for sequence in held.keys() {
        if *sequence > end + 1 {
            gaps.push(end + 1..=sequence - 1);
        }
        end = *sequence;
    }
    (gaps.first().map_or(end, |gap| gap.start() - 1), gaps)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(if cfg!(debug_assertions) { 40 } else { 400 }))]
    #[test]
    fn an_event_once_taken_is_never_lost_or_doubled(acts in prop::collection::vec(act(), 1..25)) {
        let (folder, mut record) = record();
        let ids: Vec<u32> = (1..=30).collect();
        let list = list("Den", &ids);
        keep(&mut record, &list);
        let digest = list.head.digest;
        let logs = [LOG, Log { epoch: 8, ..LOG }, Log { station: StationId(1), epoch: 7 }];
        let truth = |log: usize, place: u8| {
            let sequence = u32::from(place) + 1;
            let piece = (sequence * 7 + log as u32) % 30 + 1;
            match sequence % 5 {
                0 => event(sequence, What::SetAside { piece: PieceId(piece) }),
                1 => event(sequence, What::TakenBack { piece: PieceId(piece) }),
                _ => done(sequence, piece, digest),
            }
        };
        let mut held = [BTreeMap::new(), BTreeMap::new(), BTreeMap::new()];
        for act in acts {
            match act {
                Act::Take(log, places) => {
                    let events: Vec<Event> = places.iter().map(|place| truth(log, *place)).collect();
                    let before = held[log].len();
                    held[log].extend(events.iter().map(|event| (event.sequence, *event)));
                    let taken = record.take(logs[log], Some(digest), &events, clock(60_000)).expect("a record");
                    let new = held[log].len() - before;
                    let (end, gaps) = reach(&held[log]);
                    prop_assert_eq!(taken, Taken { new, known: events.len() - new, disputed: vec![], gaps, held: end });
                }
                Act::TakeFalse(log, place) => {
                    let mut event = truth(log, place);
                    if held[log].contains_key(&event.sequence) {
                        event.milliseconds += 1;
                        let taken = record.take(logs[log], Some(digest), &[event], clock(60_000)).expect("a record");
                        prop_assert_eq!(taken.disputed, [event.sequence]);
                    }
                }
                Act::Restart => {
                    drop(record);
                    record = JobRecord::open(folder.path()).expect("a record");
                }
            }
        }
        let level = record.level(job_record::LevelName::OfFile("Den")).expect("a record").expect("a level");
        let said = record.events(level).expect("a record");
        let mut expected: Vec<Event> = held.iter().flat_map(|log| log.values().copied()).collect();
        let mut events: Vec<Event> = said.iter().map(|said| said.event).collect();
        let key = |event: &Event| (event.sequence, format!("{event:?}"));
        expected.sort_by_key(key);
        events.sort_by_key(key);
        prop_assert_eq!(events, expected);
        // one station's events stay in their order, whatever the other's times are
        for (log, held) in logs.iter().zip(&held) {
            let held_up_to = record.held(*log).expect("a record");
            prop_assert_eq!(held_up_to, reach(held).0);
        }
        let standing = record.standing(level, &list).expect("a record");
        let cut = (0..30).filter(|index| standing.place.state(*index) == Some(PieceState::Done));
        prop_assert_eq!(cut.count(), usize::from(standing.place.progress().done));
    }
}
