//! The station's record in the user's data folder: opened by one program at a time, and given the list unless it holds it
//! already. How events and lists are stored is left to `file-record`.

use std::fs;
use std::path::{Path, PathBuf};

use crc::{CRC_32_ISCSI, Crc};
use file_record::{FileRecord, FileSettings, OpenError};
use planner::saw_list::SawSheet;
use shared_model::messages::StationId;
use shared_model::{DigestText, SawList};
use station::record::Record;
use station::runner::Runner;

use crate::jobs::{self, DATA_FOLDER, progress_words};
use crate::say;

/// Opens the record in a folder.
///
/// # Errors
/// A sentence: another `run` holds it, or the system does not give it.
pub fn open(folder: &Path) -> Result<FileRecord, String> {
    let record = FileRecord::open(folder).map_err(|error| match error {
        OpenError::InUse => format!(
            "this level is shown by another baserun already: use its page, or stop it first (ctrl-C where it runs)\n\
             its record is in {}; a second station of the same level needs a folder of its own: set {DATA_FOLDER}\n",
            folder.display()
        ),
        error => format!("{}: {error}\n", folder.display()),
    })?;
    for damage in record.damage() {
        say::tell(format_args!("{}: {damage}\n", folder.display()));
    }
    Ok(record)
}

/// Puts a record away under a name of its own, so that its level begins anew. Nothing is deleted.
///
/// # Errors
/// A sentence: another `run` holds it, or the system does not let it be moved.
pub fn put_away(folder: &Path) -> Result<(), String> {
    if !folder.exists() {
        return Ok(());
    }
    // opened and closed again: a station that is running keeps its record
    drop(open(folder)?);
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    let away = (1..)
        .map(|number| folder.with_file_name(format!("{name} put away {number}")))
        .find(|away| !away.exists());
    let away = away.unwrap_or_else(|| folder.to_path_buf());
    fs::rename(folder, &away)
        .map_err(|error| format!("{} cannot be put away: {error}\n", folder.display()))?;
    say::tell(format_args!(
        "what was cut before is put away in {}\n",
        away.display()
    ));
    Ok(())
}

/// Gives the station a list, unless it is the one in use. Tells how far the list is, and what it takes the place of.
///
/// # Errors
/// A sentence: the list cannot be stored.
pub fn load(runner: &mut Runner<FileRecord>, sheet: &SawSheet) -> Result<(), String> {
    let held = runner.record().list().map(|list| list.head().digest);
    let digest = DigestText(sheet.head.digest);
    if held == Some(sheet.head.digest) {
        say::tell(format_args!("list {digest}: {}\n", progress(runner)));
        return Ok(());
    }
    let made_with = runner.record().last_sequence();
    runner.load(sheet, made_with).map_err(|error| {
        let reason = runner.record().trouble();
        let reason = reason.map_or_else(String::new, |reason| format!(" ({reason})"));
        format!("the list cannot be given to the station: {error}{reason}\n")
    })?;
    say::tell(format_args!("list {digest}: {}\n", progress(runner)));
    if let (Some(held), Some(place)) = (held, runner.place()) {
        let held = DigestText(held);
        let progress = place.progress();
        let kept = progress.done + progress.not_in_list;
        say::tell(format_args!(
            "it takes the place of list {held}; pieces kept as cut: {kept}\n"
        ));
    }
    Ok(())
}

/// How far the list is, such as `12 of 115 done, 3 cut and not in this list`.
pub fn progress(runner: &Runner<FileRecord>) -> String {
    let place = runner.place();
    place.map_or_else(
        || "no list".to_owned(),
        |place| progress_words(place.progress(), 0),
    )
}

/// The number of the station whose record a folder holds.
///
/// # Errors
/// A sentence: it cannot be read or written.
pub fn station_id(folder: &Path) -> Result<StationId, String> {
    let file = folder.join("station");
    match file_record::station_number(folder) {
        Ok(Some(number)) => Ok(number),
        Ok(None) => Err(format!(
            "{}: this is not the number of a station: put the file aside, and the station gets another one\n",
            file.display()
        )),
        Err(error) => Err(format!("{}: {error}\n", file.display())),
    }
}

/// What keeps the station's settings, for all levels.
///
/// # Errors
/// A sentence: there is no data folder, or the system does not give it.
pub fn settings() -> Result<FileSettings, String> {
    let data = jobs::data_folder()?;
    FileSettings::in_folder(&data).map_err(|error| format!("{}: {error}\n", data.display()))
}

/// The folder of a level's record in the user's data folder; the demo, which has no file, has one of its own.
///
/// # Errors
/// A sentence: there is no home folder.
pub fn folder(level: Option<&str>) -> Result<PathBuf, String> {
    let data = jobs::data_folder()?;
    Ok(match level {
        Some(level) => data.join("levels").join(folder_name(level)),
        None => data.join("demo"),
    })
}

/// A name that every file system takes: the level's letters and digits, and a check sum that keeps like names apart.
fn folder_name(level: &str) -> String {
    const CRC: Crc<u32> = Crc::<u32>::new(&CRC_32_ISCSI);
    let plain = |c: char| {
        if c.is_ascii_alphanumeric() {
            c.to_ascii_lowercase()
        } else {
            '-'
        }
    };
    let readable: String = level.chars().take(40).map(plain).collect();
    format!("{readable}-{:08x}", CRC.checksum(level.as_bytes()))
}
