//! Files that are no record, are damaged, or are of another version: each is told in a sentence and stays as it is.

use std::fs;
use std::path::{Path, PathBuf};

use job_record::{JobRecord, LevelName, RecordError};
use rusqlite::Connection;
use shared_model::PieceState;

use crate::sample::{LOG, SOURCE, clock, done, keep, list};

const FILE: &str = "job-record.sqlite";

/// A folder with a record in which a piece is cut.
fn used() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    fill(folder.path());
    let file = folder.path().join(FILE);
    (folder, file)
}

fn fill(folder: &Path) {
    let mut record = JobRecord::open(folder).expect("a record");
    let list = list("Den", &[1, 2]);
    keep(&mut record, &list);
    let events = [done(1, 1, list.head.digest)];
    record
        .take(LOG, Some(list.head.digest), &events, clock(60_000))
        .expect("a record");
}

/// What a folder holds.
fn content(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let entries = fs::read_dir(folder).expect("a folder");
    let mut all: Vec<_> = entries
        .map(|entry| {
            let path = entry.expect("an entry").path();
            let bytes = fs::read(&path).expect("a file");
            (path, bytes)
        })
        .collect();
    all.sort();
    all
}

fn refused(folder: &Path) -> RecordError {
    let before = content(folder);
    let error = JobRecord::open(folder).expect_err("it is refused");
    assert!(content(folder) == before, "it stays as it is");
    error
}

#[test]
fn a_newer_record_is_refused_untouched() {
    let (folder, file) = used();
    let connection = Connection::open(&file).expect("the file");
    connection
        .execute_batch("PRAGMA user_version = 999")
        .expect("a version");
    drop(connection);
    let error = refused(folder.path());
    let expected = format!(
        "{}: a newer baserun has written this job record (version 999, this program reads 2): use the newer program; \
         nothing in it was changed",
        file.display()
    );
    assert_eq!(error.to_string(), expected);
}

#[test]
fn a_file_of_something_else_is_refused_untouched() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join(FILE);
    let connection = Connection::open(&file).expect("the file");
    connection
        .execute_batch("CREATE TABLE album (title TEXT)")
        .expect("a table");
    drop(connection);
    assert_eq!(
        refused(folder.path()),
        RecordError::SomethingElse(file.clone())
    );
    fs::write(&file, "level Den\nroom Den\n".repeat(100)).expect("a file");
    let told = refused(folder.path()).to_string();
    let begins = format!(
        "{}: the job record is damaged (file is not a database); nothing in it was changed. Put it aside",
        file.display()
    );
    assert!(told.starts_with(&begins), "{told}");
}

#[test]
fn a_damaged_record_is_told_and_left_as_it_is() {
    let (folder, file) = used();
    let whole = fs::read(&file).expect("the file");
    // cut short, and with every page but the first overwritten
    fs::write(&file, &whole[..whole.len() / 2]).expect("the file");
    assert!(matches!(
        refused(folder.path()),
        RecordError::Damaged { .. }
    ));
    let mut spoilt = whole.clone();
    spoilt[4096..].fill(0x5a);
    fs::write(&file, &spoilt).expect("the file");
    assert!(matches!(
        refused(folder.path()),
        RecordError::Damaged { .. }
    ));
    fs::write(&file, &whole).expect("the file");
    JobRecord::open(folder.path()).expect("it is whole again");
}

/// Every version's record, as that version's code wrote it, is read by this one. `BASERUN_BLESS=1` writes this version's.
#[test]
fn records_of_every_version_are_read() {
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data");
    if std::env::var_os("BASERUN_BLESS").is_some() {
        let (_folder, file) = used();
        let version = version_of(&file);
        let to = data.join(format!("version-{version}.sqlite"));
        fs::copy(&file, to).expect("the file is written");
    }
    let (_folder, newest) = used();
    for version in 1..=version_of(&newest) {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join(FILE);
        let stored = data.join(format!("version-{version}.sqlite"));
        fs::copy(stored, &file).expect("the stored record");
        let record = JobRecord::open(folder.path()).expect("a record");
        let level = record.level(LevelName::OfFile("Den")).expect("a record");
        let level = level.expect("the level");
        let revision = record.last_revision(level).expect("a record");
        let revision = revision.expect("the list");
        let (_, kept) = record.revision(revision).expect("a record");
        assert_eq!(kept, list("Den", &[1, 2]));
        let source = (SOURCE.file.to_owned(), SOURCE.text.to_owned());
        assert_eq!(record.source(revision), Ok(source));
        let standing = record.standing(level, &kept).expect("a record");
        assert_eq!(standing.place.state(0), Some(PieceState::Done));
        assert_eq!(standing.place.state(1), Some(PieceState::Waiting));
        assert_eq!(record.held(LOG), Ok(1));
    }
}

fn version_of(file: &Path) -> u32 {
    let connection = Connection::open(file).expect("the file");
    let version = connection.pragma_query_value(None, "user_version", |row| row.get(0));
    version.expect("a version")
}
