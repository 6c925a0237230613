//! The station's record in a folder of files, for the host and for small computers at the saw: the event log, the saw
//! list and the count of starts; and its settings. What an event means and what a list must be is left to the station and the shared model.
//!
//! | file | what it holds | how it is written |
//! | --- | --- | --- |
//! | `events` | a header with the log's epoch, and a slot for each event, each with its own CRC | appended and synced, never changed |
//! | `list` | the saw list in use, one CRC over all of it | whole, beside the old one, and renamed |
//! | `boots` | how many times the station has started | whole, beside the old one, and renamed |
//! | `station` | the station's number for life, as text | whole, beside the old one, and renamed |
//! | `lock` | nothing | held while the record is open |
//! | `settings` | what is set at the station, with a CRC; in a folder for all levels | whole, beside the old one, and renamed |
//!
//! Every file states its format's version. The power may go at any byte: then the last confirmed event is there, and at
//! most the one that was being written beyond it.
#![deny(missing_docs)]

mod disk;
mod list;
mod log;
mod number;
mod record;
mod settings;
mod slot;

pub use disk::{Disk, Folder};
pub use list::HeldList;
pub use number::station_number;
pub use record::{Damage, FileRecord, OpenError};
pub use settings::FileSettings;
