//! The station's record in the user's data folder: opened by one program at a time, and given the list unless it holds it
//! already. How events and lists are stored is left to `file-record`.

use std::env;
use std::path::PathBuf;

use etcetera::BaseStrategy;
use file_record::{FileRecord, OpenError};
use planner::saw_list::SawSheet;
use shared_model::DigestText;
use shared_model::SawList;
use station::record::Record;
use station::runner::Runner;

/// The variable that names another folder for everything the program keeps.
const DATA_FOLDER: &str = "BASERUN_DATA";

/// Opens the record.
///
/// # Errors
/// A sentence: another `run` holds it, or the system does not give it.
pub fn open() -> Result<FileRecord, String> {
    let folder = folder()?;
    let record = FileRecord::open(&folder).map_err(|error| match error {
        OpenError::InUse => format!(
            "the station is shown by another baserun already: use its page, or stop it first (ctrl-C where it runs)\n\
             its record is in {}; a second station needs a folder of its own: set {DATA_FOLDER}\n",
            folder.display()
        ),
        error => format!("{}: {error}\n", folder.display()),
    })?;
    for damage in record.damage() {
        eprintln!("{}: {damage}", folder.display());
    }
    Ok(record)
}

/// Starts the station; the list is loaded unless it is the one in use. Tells how far the list is, and what becomes of what
/// was cut by another one.
///
/// # Errors
/// A sentence: the list cannot be stored.
pub fn load(record: FileRecord, sheet: &SawSheet) -> Result<Runner<FileRecord>, String> {
    let mut runner = Runner::start(record, false, &[]);
    let held = runner.record().list().map(|list| list.head().digest);
    let digest = DigestText(sheet.head.digest);
    if held == Some(sheet.head.digest) {
        eprintln!("list {digest}: {}", progress(&runner));
        return Ok(runner);
    }
    let made_with = runner.record().last_sequence();
    runner.load(sheet, made_with).map_err(|error| {
        let reason = runner.record().trouble();
        let reason = reason.map_or_else(String::new, |reason| format!(" ({reason})"));
        format!("the list cannot be given to the station: {error}{reason}\n")
    })?;
    eprintln!("list {digest}: {}", progress(&runner));
    if let (Some(held), Some(place)) = (held, runner.place()) {
        let held = DigestText(held);
        let kept = place.progress().done;
        eprintln!("it takes the place of list {held}; pieces kept as cut: {kept}");
    }
    Ok(runner)
}

/// How far the list is, such as `12 of 115 done, 3 cut and not in this list`.
pub fn progress(runner: &Runner<FileRecord>) -> String {
    let Some(place) = runner.place() else {
        return "no list".to_owned();
    };
    let progress = place.progress();
    let mut text = format!("{} of {} done", progress.done, progress.pieces);
    for (count, words) in [
        (progress.aside, "set aside"),
        (progress.again, "to be cut again"),
        (progress.no_stick, "without a stick"),
        (progress.not_in_list, "cut and not in this list"),
    ] {
        if count > 0 {
            text.push_str(&format!(", {count} {words}"));
        }
    }
    text
}

fn folder() -> Result<PathBuf, String> {
    const STATION: &str = "station";
    if let Some(folder) = env::var_os(DATA_FOLDER).filter(|folder| !folder.is_empty()) {
        return Ok(PathBuf::from(folder).join(STATION));
    }
    let base = etcetera::choose_base_strategy().map_err(|_| {
        format!("there is no home folder to keep the station's record in: set {DATA_FOLDER}\n")
    })?;
    Ok(base.data_dir().join("baserun").join(STATION))
}
