//! Which level an event belongs to, when it happened, and how a level stands by the events of all its stations.

use job_record::{
    ClockReading, JobRecord, LevelId, LevelName, Loading, Log, Met, Moment, RecordError, Standing,
};
use planner::saw_list::SawSheet;
use shared_model::messages::StationId;
use shared_model::{PieceId, PieceState, What};

use crate::sample::{LOG, SOURCE, clock, done, event, keep, list, made};

const OTHER: Log = Log {
    station: StationId(2),
    epoch: 1,
};

fn record() -> (tempfile::TempDir, JobRecord) {
    let folder = tempfile::tempdir().expect("a folder");
    let record = JobRecord::open(folder.path()).expect("a record");
    (folder, record)
}

fn level(record: &JobRecord, name: LevelName<'_>) -> LevelId {
    record.level(name).expect("a record").expect("a level")
}

fn standing(record: &JobRecord, list: &SawSheet) -> Standing {
    let level = level(record, LevelName::OfFile(&list.head.level));
    record.standing(level, list).expect("a record")
}

#[test]
fn a_level_stands_by_the_events_of_all_its_stations() {
    let (_folder, mut record) = record();
    let list = list("Den", &[1, 2, 3, 4]);
    keep(&mut record, &list);
    let digest = list.head.digest;
    let at_first = [done(1, 1, digest), done(2, 2, digest)];
    record
        .take(LOG, Some(digest), &at_first, clock(60_000))
        .expect("a record");
    // the second station has been switched on a second and a half later: its events fall between
    let mut later = clock(60_000);
    later.at = Moment(later.at.0 + 1_500 - 1_000);
    let piece = PieceId(1);
    let at_second = [event(1, What::TakenBack { piece }), done(2, 3, digest)];
    record
        .take(OTHER, Some(digest), &at_second, later)
        .expect("a record");
    let standing = standing(&record, &list);
    let states: Vec<_> = (0..4).map(|index| standing.place.state(index)).collect();
    let (waiting, cut) = (Some(PieceState::Waiting), Some(PieceState::Done));
    assert_eq!(states, [waiting, cut, cut, waiting]);
    let said = record.events(level(&record, LevelName::OfFile("Den")));
    let moments: Vec<i64> = said.expect("a record").iter().map(|s| s.at.0).collect();
    let hour = 36_000_000;
    assert_eq!(moments, [1_000, 1_500, 2_000, 2_500].map(|at| hour + at));
    let ends = [standing.first, standing.last].map(|said| said.map(|said| said.at.0 - hour));
    assert_eq!(ends, [Some(1_000), Some(2_500)]);
}

#[test]
fn what_was_cut_stays_cut_in_an_edited_list_and_is_named_where_it_is_not_in_it() {
    let (_folder, mut record) = record();
    let before = list("Den", &[1, 2, 3]);
    keep(&mut record, &before);
    let digest = before.head.digest;
    let events = [done(1, 1, digest), done(2, 2, digest)];
    record
        .take(LOG, Some(digest), &events, clock(60_000))
        .expect("a record");
    let after = list("Den", &[2, 3, 4]);
    let standing = standing(&record, &after);
    let progress = standing.place.progress();
    assert_eq!((progress.done, progress.not_in_list), (1, 1));
    let away = &standing.not_in_list[0];
    assert_eq!(
        (away.id, away.room.as_str(), away.wall),
        (PieceId(1), "Den", 1)
    );
    assert_eq!(
        (away.moulding.as_str(), away.length),
        ("base", before.pieces[0].length)
    );
}

#[test]
fn levels_of_one_name_are_kept_apart() {
    let (_folder, mut record) = record();
    let list = list("Den", &[1, 2]);
    let digest = list.head.digest;
    let of_file = LevelName::OfFile("Den");
    let of_demo = LevelName::OfDemo("Den");
    let give = |record: &mut JobRecord, name, log: Log| {
        let at = Moment(5_000);
        let revision = record.keep(name, made(&list), at).expect("a record");
        let loading = Loading {
            revision,
            log,
            made_with: 0,
            at,
        };
        record.loaded(loading).expect("a record");
    };
    let done_at = |record: &JobRecord, name| {
        let standing = record.standing(level(record, name), &list);
        standing.expect("a record").place.progress().done
    };
    give(&mut record, of_file, LOG);
    give(&mut record, of_demo, OTHER);
    let first = [done(1, 1, digest)];
    record
        .take(LOG, Some(digest), &first, clock(60_000))
        .expect("a record");
    assert_eq!(
        (done_at(&record, of_file), done_at(&record, of_demo)),
        (1, 0)
    );
    record.put_away(of_file, Moment(6_000)).expect("a record");
    assert_eq!(record.level(of_file), Ok(None));
    let third = Log {
        station: StationId(3),
        epoch: 1,
    };
    give(&mut record, of_file, third);
    assert_eq!(done_at(&record, of_file), 0);
    let second = [done(1, 2, digest)];
    record
        .take(third, Some(digest), &second, clock(60_000))
        .expect("a record");
    record
        .take(OTHER, Some(digest), &first, clock(60_000))
        .expect("a record");
    assert_eq!(
        (done_at(&record, of_file), done_at(&record, of_demo)),
        (1, 1)
    );
    assert_eq!(record.level_names(), Ok(vec!["Den".to_owned()]));
}

#[test]
fn events_of_a_list_that_comes_to_be_known_find_their_level() {
    let (_folder, mut record) = record();
    let list = list("Den", &[1, 2]);
    let digest = list.head.digest;
    let piece = PieceId(2);
    let events = [done(1, 1, digest), event(2, What::SetAside { piece })];
    record
        .take(LOG, Some(digest), &events, clock(60_000))
        .expect("a record");
    assert_eq!(record.list_of_station(LOG.station, digest), Ok(None));
    let revision = keep(&mut record, &list);
    let loading = Loading {
        revision,
        log: LOG,
        made_with: 2,
        at: Moment(9_000),
    };
    record.loaded(loading).expect("a record");
    assert_eq!(
        record.list_of_station(LOG.station, digest),
        Ok(Some(revision))
    );
    let standing = standing(&record, &list);
    assert_eq!(standing.place.state(0), Some(PieceState::Done));
    assert_eq!(standing.place.state(1), Some(PieceState::Aside));
}

/// The record was begun anew, or the list before came from another computer: its pieces tell their level.
#[test]
fn events_of_an_unknown_list_find_their_level_by_their_pieces() {
    let (_folder, mut record) = record();
    let (before, after) = (list("Den", &[1, 2, 3]), list("Den", &[2, 3, 4]));
    let old = before.head.digest;
    let take = |record: &mut JobRecord, event, in_use: &SawSheet| {
        let taken = record.take(LOG, Some(in_use.head.digest), &[event], clock(60_000));
        taken.expect("a record");
    };
    let done_of = |record: &JobRecord| standing(record, &after).place.progress().done;
    take(&mut record, done(1, 2, old), &before);
    let revision = keep(&mut record, &after);
    let loading = Loading {
        revision,
        log: LOG,
        made_with: 1,
        at: Moment(9_000),
    };
    record.loaded(loading).expect("a record");
    assert_eq!(done_of(&record), 1);
    take(&mut record, done(2, 3, old), &after);
    take(&mut record, done(3, 77, old), &after);
    assert_eq!(done_of(&record), 2);
}

#[test]
fn a_list_comes_back_as_it_was_kept() {
    let (folder, mut record) = record();
    let first = list("Den", &[1, 2]);
    let second = list("Den", &[1, 3]);
    let revisions = [keep(&mut record, &first), keep(&mut record, &second)];
    assert_eq!(keep(&mut record, &first), revisions[0]);
    drop(record);
    let record = JobRecord::open(folder.path()).expect("a record");
    let id = level(&record, LevelName::OfFile("Den"));
    for (revision, list) in revisions.into_iter().zip([first, second]) {
        assert_eq!(record.revision(revision), Ok((id, list)));
        let source = (SOURCE.file.to_owned(), SOURCE.text.to_owned());
        assert_eq!(record.source(revision), Ok(source));
    }
    assert_eq!(record.last_revision(id), Ok(Some(revisions[1])));
}

#[test]
fn an_event_of_an_earlier_start_is_dated_as_well_as_it_can_be() {
    let (_folder, mut record) = record();
    let list = list("Den", &[1, 2, 3, 4]);
    keep(&mut record, &list);
    let digest = list.head.digest;
    let met = Met {
        station: LOG.station,
        name: "test board",
        link: "tcp:127.0.0.1:1",
        at: Moment(0),
    };
    record.meet(met).expect("a record");
    let in_start = |boot, sequence, piece| {
        let mut event = done(sequence, piece, digest);
        event.boot = boot;
        event
    };
    let reading = |boot, began: i64| ClockReading {
        at: Moment(began + 10_000),
        boot,
        milliseconds: 10_000,
    };
    let (second, fourth) = (1_000_000, 3_000_000);
    // the clock was read in the second start and in the fourth; nobody knows when the third began
    record
        .take(LOG, Some(digest), &[in_start(1, 1, 1)], reading(2, second))
        .expect("a record");
    let rest = [in_start(2, 2, 2), in_start(3, 3, 3), in_start(4, 4, 4)];
    record
        .take(LOG, Some(digest), &rest, reading(4, fourth))
        .expect("a record");
    let said = record.events(level(&record, LevelName::OfFile("Den")));
    let dated: Vec<(i64, bool)> = said
        .expect("a record")
        .iter()
        .map(|said| (said.at.0, said.exact))
        .collect();
    let expected = [
        (second, false),
        (second + 2_000, true),
        (fourth, false),
        (fourth + 4_000, true),
    ];
    assert_eq!(dated, expected);
}

#[test]
fn what_a_station_has_confirmed_never_goes_back() {
    let (_folder, mut record) = record();
    assert_eq!((record.held(LOG), record.confirmed(LOG)), (Ok(0), Ok(0)));
    let events = [done(1, 1, 9), done(2, 2, 9)];
    record
        .take(LOG, Some(9), &events, clock(60_000))
        .expect("a record");
    for up_to in [2, 1] {
        record.note_confirmed(LOG, up_to).expect("a record");
    }
    assert_eq!(record.confirmed(LOG), Ok(2));
}

#[test]
fn a_list_of_another_version_or_another_content_is_told() {
    let (folder, mut record) = record();
    let revision = keep(&mut record, &list("Den", &[1, 2]));
    let file = folder.path().join("job-record.sqlite");
    let file = rusqlite::Connection::open(file).expect("the file");
    file.execute_batch("UPDATE revision SET link_version = 999")
        .expect("a version");
    let told = record.revision(revision).expect_err("another version");
    assert_eq!(
        told.to_string(),
        "this list was kept by another version of the program: load its file again"
    );
    let other = list("Den", &[1, 3]).bytes();
    let changed = "UPDATE revision SET link_version = 1, list = ?1";
    file.execute(changed, [&other[..other.len() - 1]])
        .expect("a list");
    let told = record.revision(revision).expect_err("cut short");
    assert!(matches!(told, RecordError::Damaged { .. }));
}
