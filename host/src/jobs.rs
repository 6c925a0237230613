//! The data folder and the job record in it, and how progress is said. What the record keeps is left to `job-record`.

use std::env;
use std::path::PathBuf;

use etcetera::BaseStrategy;
use job_record::JobRecord;
use shared_model::Progress;

/// The variable that names another folder for everything the program keeps.
pub const DATA_FOLDER: &str = "BASERUN_DATA";

/// The folder for everything the program keeps.
///
/// # Errors
/// A sentence: there is no home folder.
pub fn data_folder() -> Result<PathBuf, String> {
    if let Some(folder) = env::var_os(DATA_FOLDER).filter(|folder| !folder.is_empty()) {
        return Ok(PathBuf::from(folder));
    }
    let base = etcetera::choose_base_strategy().map_err(|_| {
        format!("there is no home folder to keep what was cut in: set {DATA_FOLDER}\n")
    })?;
    Ok(base.data_dir().join("baserun"))
}

/// Opens the job record.
///
/// # Errors
/// A sentence: what is the matter with it.
pub fn open() -> Result<JobRecord, String> {
    JobRecord::open(&data_folder()?).map_err(|error| format!("{error}\n"))
}

/// How far a list is, such as `12 of 115 done, 3 cut and not in this list`; so many were cut before it was made, and are
/// not counted otherwise.
pub fn progress_words(progress: Progress, before: u16) -> String {
    let mut text = format!("{} of {} done", progress.done, progress.pieces);
    for (count, words) in [
        (progress.aside, "set aside"),
        (progress.again, "to be cut again"),
        (progress.no_stick, "without a stick"),
        (before, "cut before"),
        (progress.not_in_list, "cut and not in this list"),
    ] {
        if count > 0 {
            text.push_str(&format!(", {count} {words}"));
        }
    }
    text
}
