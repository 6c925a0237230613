//! The way from an older version to a newer one, tried with a step that no version has.

use std::fs;
use std::path::Path;

use tempfile::TempDir;

use super::*;

const STORED: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/version-1.sqlite");
const COLOUR: &str =
    "ALTER TABLE station ADD COLUMN colour TEXT; UPDATE station SET colour = 'red';";

/// A folder with the stored record of version 1.
fn stored() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("job-record.sqlite");
    fs::copy(STORED, &file).expect("the stored record");
    (folder, file)
}

fn count(file: &Path, query: &str) -> i64 {
    let connection = Connection::open(file).expect("the file");
    let count = connection.query_row(query, [], |row| row.get(0));
    count.expect("a count")
}

fn names(folder: &TempDir) -> Vec<String> {
    let entries = fs::read_dir(folder.path()).expect("a folder");
    let name = |entry: std::io::Result<fs::DirEntry>| entry.expect("an entry").file_name();
    let mut names: Vec<String> = entries
        .map(|entry| name(entry).to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn an_older_record_is_copied_and_then_changed() {
    let (folder, file) = stored();
    let steps = [STEPS[0], COLOUR];
    // a copy that lies there already stays as it is
    let taken = folder.path().join("job-record of version 1.sqlite");
    fs::write(&taken, "kept").expect("a file");
    for _ in 0..2 {
        drop(open(&file, &steps).expect("a record"));
    }
    let red = "SELECT count(*) FROM station WHERE colour = 'red'";
    assert_eq!(count(&file, red), 1);
    assert_eq!(count(&file, "PRAGMA user_version"), 2);
    let copy = folder.path().join("job-record of version 1 (2).sqlite");
    assert_eq!(count(&copy, "PRAGMA user_version"), 1);
    for table in ["level", "revision", "piece", "station", "log", "event"] {
        let rows = format!("SELECT count(*) FROM {table}");
        assert_eq!(count(&copy, &rows), count(Path::new(STORED), &rows));
    }
    let expected = [
        "job-record of version 1 (2).sqlite",
        "job-record of version 1.sqlite",
        "job-record.sqlite",
    ];
    assert_eq!(names(&folder), expected);
    assert_eq!(fs::read(taken).expect("a file"), b"kept");
    // the copy is a record as it was, and the changed one is too new for the program before
    drop(open(&copy, &steps[..1]).expect("a record"));
    let newer = open(&file, &steps[..1]).expect_err("it is newer");
    assert!(matches!(
        newer,
        RecordError::Newer {
            version: 2,
            ours: 1,
            ..
        }
    ));
}

#[test]
fn a_step_that_fails_changes_nothing() {
    let (folder, file) = stored();
    let before = fs::read(&file).expect("the file");
    let steps = [STEPS[0], COLOUR, "INSERT INTO nowhere VALUES (1)"];
    let error = open(&file, &steps).expect_err("no such table");
    assert!(matches!(error, RecordError::System { .. }), "{error}");
    assert_eq!(count(&file, "PRAGMA user_version"), 1);
    assert!(fs::read(&file).expect("the file") == before);
    assert!(names(&folder).contains(&"job-record of version 1.sqlite".to_owned()));
    drop(open(&file, STEPS).expect("it is as it was"));
}

#[test]
fn a_new_record_has_this_version_and_nothing_beside_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("job-record.sqlite");
    let connection = open(&file, STEPS).expect("a record");
    let mode: String = connection
        .pragma_query_value(None, "journal_mode", |row| row.get(0))
        .expect("a mode");
    assert_eq!(mode, "wal");
    // FULL, by SQLite's documentation of the pragma
    assert_eq!(number(&connection, "synchronous"), Ok(2));
    drop(connection);
    assert_eq!(count(&file, "PRAGMA user_version"), STEPS.len() as i64);
    assert_eq!(names(&folder), ["job-record.sqlite"]);
}
