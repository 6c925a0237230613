//! The host's record of jobs in one SQLite file: levels, the lists that were loaded, their pieces, the stations that were
//! met, and everything that was said at the saw. Talking with stations and printing are left to the host program.
//!
//! An event is kept by station, log epoch and sequence: taken twice it counts once, one that is another than the one kept
//! under its number is told and kept apart, and a gap is told. What is said to be held is on the disk.
//!
//! The journal is SQLite's write-ahead log with `synchronous=FULL`: a commit is on the disk when it returns (a rollback
//! journal with FULL alone may be rolled back by a power cut right after it), and whoever reads never waits for the saw's
//! presses. The file is kept on this computer's own disk, which a write-ahead log needs.
#![deny(missing_docs)]

mod events;
mod history;
mod levels;
mod moment;
mod record;
mod row;
mod schema;
mod stations;
mod taking;

pub use events::{KnownPiece, Said, Standing};
pub use levels::{LevelId, LevelName, Making, RevisionId, Source};
pub use moment::{ClockReading, Moment};
pub use record::{JobRecord, RecordError};
pub use stations::{Loading, Log, Met};
pub use taking::{Gaps, Taken};
