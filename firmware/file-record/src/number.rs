//! A station's number for life, in a file beside its record. What it is said for is left to the host and the boards.

use std::fs::{self, File};
use std::hash::{BuildHasher, Hasher, RandomState};
use std::io::{self, ErrorKind, Write};
use std::path::Path;

use shared_model::messages::StationId;

const FILE: &str = "station";

/// The number of the station whose record a folder holds; it is made up when it is first asked for, while the record is
/// held. None where the file holds something else: put it aside, and the station gets another one.
///
/// ```
/// let folder = std::env::temp_dir().join(format!("number-{}", std::process::id()));
/// std::fs::create_dir_all(&folder).unwrap();
/// let number = file_record::station_number(&folder).unwrap();
/// assert!(number.is_some());
/// assert_eq!(file_record::station_number(&folder).unwrap(), number);
/// # std::fs::remove_dir_all(&folder).unwrap();
/// ```
///
/// # Errors
/// The system's.
pub fn station_number(folder: &Path) -> io::Result<Option<StationId>> {
    let file = folder.join(FILE);
    match fs::read_to_string(&file) {
        Ok(text) => Ok(u64::from_str_radix(text.trim(), 16).ok().map(StationId)),
        Err(error) if error.kind() == ErrorKind::NotFound => {
            let id = StationId(RandomState::new().build_hasher().finish());
            // whole or not at all, and there after a power cut
            let beside = folder.join("station.new");
            let mut new = File::create(&beside)?;
            writeln!(new, "{id}")?;
            new.sync_all()?;
            fs::rename(&beside, &file)?;
            #[cfg(unix)]
            File::open(folder)?.sync_all()?;
            Ok(Some(id))
        }
        Err(error) => Err(error),
    }
}
