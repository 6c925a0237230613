//! The record's tables, version by version, and the way of a file from its version to this one: a newer one is refused
//! untouched, an older one is copied beside itself before it is changed. What the tables hold is left to those who use them.

#[cfg(test)]
mod tests;

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use crate::record::RecordError;

/// What makes each version from the one before it; the first makes it from an empty file. A step that has been released
/// is never changed.
pub const STEPS: &[&str] = &[
    include_str!("schema/version_1.sql"),
    include_str!("schema/version_2.sql"),
];

/// What the file says it is, so that no other program's file is taken for a record: "base" in ASCII.
const APPLICATION: i32 = 0x6261_7365;

/// So long one program waits for another that is writing.
const PATIENCE: Duration = Duration::from_secs(10);

/// Opens a record and brings it to the version that these steps make.
///
/// # Errors
/// Every [`RecordError`].
pub fn open(file: &Path, steps: &[&str]) -> Result<Connection, RecordError> {
    let told = |error| RecordError::of(file, &error);
    check(file, steps.len())?;
    let mut connection = Connection::open(file).map_err(told)?;
    connection.busy_timeout(PATIENCE).map_err(told)?;
    let set = |name: &str, value: &str| connection.pragma_update(None, name, value);
    set("journal_mode", "WAL").map_err(told)?;
    set("synchronous", "FULL").map_err(told)?;
    set("foreign_keys", "ON").map_err(told)?;
    upgrade(&mut connection, file, steps)?;
    Ok(connection)
}

/// Looks at a file without changing it.
fn check(file: &Path, ours: usize) -> Result<(), RecordError> {
    if !file.exists() {
        return Ok(());
    }
    let told = |error| RecordError::of(file, &error);
    // one that may only read leaves the journal's files behind it
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(file, flags).map_err(told)?;
    connection.busy_timeout(PATIENCE).map_err(told)?;
    let version = version(&connection).map_err(told)?;
    let application: i32 = number(&connection, "application_id").map_err(told)?;
    if application != APPLICATION && !(version == 0 && is_empty(&connection).map_err(told)?) {
        return Err(RecordError::SomethingElse(file.to_owned()));
    }
    refuse_newer(file, version, ours)?;
    let sound: String = connection
        .query_row("PRAGMA quick_check(1)", [], |row| row.get(0))
        .map_err(told)?;
    match sound.as_str() {
        "ok" => Ok(()),
        _ => Err(RecordError::Damaged {
            file: file.to_owned(),
            what: sound,
        }),
    }
}

fn upgrade(connection: &mut Connection, file: &Path, steps: &[&str]) -> Result<(), RecordError> {
    let told = |error| RecordError::of(file, &error);
    if version(connection).map_err(told)? == steps.len() {
        return Ok(());
    }
    // from here on nobody else writes, and the copy is of what is changed
    let transaction = connection
        .transaction_with_behavior(TransactionBehavior::Immediate)
        .map_err(told)?;
    let version = version(&transaction).map_err(told)?;
    refuse_newer(file, version, steps.len())?;
    if version > 0 {
        copy(file, version)?;
    }
    for step in steps.iter().skip(version) {
        transaction.execute_batch(step).map_err(told)?;
    }
    transaction
        .pragma_update(None, "user_version", steps.len() as i64)
        .and_then(|()| transaction.pragma_update(None, "application_id", APPLICATION))
        .and_then(|()| transaction.commit())
        .map_err(told)
}

/// Writes the whole record beside itself, under a name that tells its version and that nothing has yet.
fn copy(file: &Path, version: usize) -> Result<PathBuf, RecordError> {
    let told = |error| RecordError::of(file, &error);
    let name = file.file_stem().unwrap_or_default().to_string_lossy();
    let mut names = (1..).map(|number| match number {
        1 => format!("{name} of version {version}.sqlite"),
        number => format!("{name} of version {version} ({number}).sqlite"),
    });
    let free = |name: &String| !file.with_file_name(name).exists();
    let beside = file.with_file_name(names.find(free).unwrap_or_default());
    let reader = Connection::open(file).map_err(told)?;
    reader.busy_timeout(PATIENCE).map_err(told)?;
    let text = beside.to_string_lossy();
    reader.execute("VACUUM INTO ?1", [text]).map_err(told)?;
    Ok(beside)
}

fn refuse_newer(file: &Path, version: usize, ours: usize) -> Result<(), RecordError> {
    match version > ours {
        true => Err(RecordError::Newer {
            file: file.to_owned(),
            version,
            ours,
        }),
        false => Ok(()),
    }
}

fn version(connection: &Connection) -> rusqlite::Result<usize> {
    let version: i32 = number(connection, "user_version")?;
    // below 0 is none of ours either
    Ok(usize::try_from(version).unwrap_or(usize::MAX))
}

fn number(connection: &Connection, name: &str) -> rusqlite::Result<i32> {
    connection.pragma_query_value(None, name, |row| row.get(0))
}

fn is_empty(connection: &Connection) -> rusqlite::Result<bool> {
    let count = "SELECT count(*) FROM sqlite_schema";
    connection.query_row(count, [], |row| {
        row.get::<_, i64>(0).map(|count| count == 0)
    })
}
