//! The record as it is opened, and what can be wrong with it. What is kept is left to the modules beside it.

use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, ErrorCode, Transaction, TransactionBehavior};

use crate::schema::{self, STEPS};

/// The record's file in the data folder.
const FILE: &str = "job-record.sqlite";

/// The host's record. Several programs may have it open; each change is whole or not at all, and on the disk when the call
/// returns.
#[derive(Debug)]
pub struct JobRecord {
    file: PathBuf,
    connection: Connection,
}

/// What is the matter with a record, as a person reads it. Nothing of what was asked is done then.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RecordError {
    /// the job record was written by a newer program: nothing in it was changed
    Newer {
        /// The record.
        file: PathBuf,
        /// Its version.
        version: usize,
        /// The version that this program reads.
        ours: usize,
    },
    /// the file of the job record is something else
    SomethingElse(PathBuf),
    /// the job record is damaged: nothing in it was changed
    Damaged {
        /// The record.
        file: PathBuf,
        /// What SQLite says.
        what: String,
    },
    /// another baserun is writing into the job record
    Busy(PathBuf),
    /// the list is longer than a station holds
    ListTooLong,
    /// this list was kept by another version of the program: load its file again
    ListOfOtherVersion,
    /// the disk is full, or the system does not give the file
    System {
        /// The record.
        file: PathBuf,
        /// What the system or SQLite says.
        what: String,
    },
}

impl fmt::Display for RecordError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            RecordError::Newer {
                file,
                version,
                ours,
            } => write!(
                f,
                "{}: a newer baserun has written this job record (version {version}, this program reads {ours}): \
                 use the newer program; nothing in it was changed",
                file.display()
            ),
            RecordError::SomethingElse(file) => write!(
                f,
                "{}: this file is no job record of baserun: put it aside; nothing in it was changed",
                file.display()
            ),
            RecordError::Damaged { file, what } => write!(
                f,
                "{}: the job record is damaged ({what}); nothing in it was changed. Put it aside, with the files beside it \
                 that begin with its name, and a new one is begun, or put a copy of it in its place",
                file.display()
            ),
            RecordError::Busy(file) => write!(
                f,
                "{}: another baserun is writing into the job record and does not come to an end: nothing was changed, \
                 try again",
                file.display()
            ),
            RecordError::ListTooLong => f.write_str("the list is longer than a station holds"),
            RecordError::ListOfOtherVersion => f.write_str(
                "this list was kept by another version of the program: load its file again",
            ),
            RecordError::System { file, what } => write!(
                f,
                "{}: the job record cannot be read or written: {what}; nothing was changed",
                file.display()
            ),
        }
    }
}

impl std::error::Error for RecordError {}

impl RecordError {
    /// What an error of SQLite means for this file.
    pub(crate) fn of(file: &Path, error: &rusqlite::Error) -> RecordError {
        let file = file.to_owned();
        let what = error.to_string();
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => {
                RecordError::Damaged { file, what }
            }
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => RecordError::Busy(file),
            Some(_) => RecordError::System { file, what },
            // a row that does not hold what it must
            None => RecordError::Damaged { file, what },
        }
    }
}

impl JobRecord {
    /// Opens the record in the data folder; both are made where they are not there.
    ///
    /// # Errors
    /// Every [`RecordError`].
    pub fn open(folder: &Path) -> Result<JobRecord, RecordError> {
        let file = folder.join(FILE);
        fs::create_dir_all(folder).map_err(|error| RecordError::System {
            file: file.clone(),
            what: error.to_string(),
        })?;
        let connection = schema::open(&file, STEPS)?;
        Ok(JobRecord { file, connection })
    }

    /// Changes something, whole or not at all; on the disk when this returns.
    pub(crate) fn change<T>(
        &mut self,
        change: impl FnOnce(&Transaction<'_>) -> rusqlite::Result<T>,
    ) -> Result<T, RecordError> {
        attempt(&mut self.connection, change).map_err(|error| RecordError::of(&self.file, &error))
    }

    /// The record does not hold what it must.
    pub(crate) fn damaged(&self, what: &str) -> RecordError {
        RecordError::Damaged {
            file: self.file.clone(),
            what: what.to_owned(),
        }
    }

    /// Reads something, all of it as it stands at one moment.
    pub(crate) fn look<T>(
        &self,
        look: impl FnOnce(&Connection) -> rusqlite::Result<T>,
    ) -> Result<T, RecordError> {
        let looked = self
            .connection
            .unchecked_transaction()
            .and_then(|transaction| look(&transaction));
        looked.map_err(|error| RecordError::of(&self.file, &error))
    }
}

fn attempt<T>(
    connection: &mut Connection,
    change: impl FnOnce(&Transaction<'_>) -> rusqlite::Result<T>,
) -> rusqlite::Result<T> {
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let value = change(&transaction)?;
    transaction.commit()?;
    Ok(value)
}

#[cfg(test)]
mod tests {
    use rusqlite::ffi;

    use super::*;

    #[test]
    fn what_sqlite_says_is_told_in_a_sentence() {
        let told = |code| {
            let error = rusqlite::Error::SqliteFailure(ffi::Error::new(code), None);
            RecordError::of(Path::new("record"), &error).to_string()
        };
        assert_eq!(
            told(ffi::SQLITE_BUSY),
            "record: another baserun is writing into the job record and does not come to an end: nothing was changed, try again"
        );
        assert!(told(ffi::SQLITE_CORRUPT).starts_with("record: the job record is damaged ("));
        for code in [
            ffi::SQLITE_FULL,
            ffi::SQLITE_READONLY,
            ffi::SQLITE_IOERR_WRITE,
        ] {
            let told = told(code);
            assert!(
                told.starts_with("record: the job record cannot be read or written: "),
                "{told}"
            );
        }
    }
}
