//! Two programs with one record at a time: the one waits for the other, nothing is lost.

use std::thread;

use job_record::{JobRecord, Log};
use shared_model::messages::StationId;

use crate::sample::{clock, done, keep, list};

#[test]
fn programs_that_write_at_once_wait_for_each_other() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    let list = list("Den", &[1, 2, 3]);
    let digest = list.head.digest;
    thread::scope(|scope| {
        for station in 0..4 {
            let list = &list;
            scope.spawn(move || {
                // each opens it, one of them first of all
                let mut record = JobRecord::open(path).expect("a record");
                keep(&mut record, list);
                let log = Log {
                    station: StationId(station),
                    epoch: 1,
                };
                for sequence in 1..=25 {
                    let event = done(sequence, sequence % 3 + 1, digest);
                    let taken = record.take(log, Some(digest), &[event], clock(60_000));
                    assert_eq!(taken.expect("a record").new, 1);
                }
            });
        }
    });
    let record = JobRecord::open(path).expect("a record");
    let level = record.level(job_record::LevelName::OfFile("Den"));
    let said = record.events(level.expect("a record").expect("a level"));
    assert_eq!(said.expect("a record").len(), 100);
}

#[test]
fn a_reader_does_not_wait_for_a_writer() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut record = JobRecord::open(folder.path()).expect("a record");
    keep(&mut record, &list("Den", &[1]));
    let file = folder.path().join("job-record.sqlite");
    let writer = rusqlite::Connection::open(file).expect("the file");
    writer
        .execute_batch("BEGIN IMMEDIATE; UPDATE level SET name = 'Attic'")
        .expect("a change that is not committed");
    let reader = JobRecord::open(folder.path()).expect("a record");
    assert_eq!(reader.level_names(), Ok(vec!["Den".to_owned()]));
}
