//! `progress`: a station's events into the record, and what is done and left by it, room by room. The report is in `report`,
//! its text in `text`; taking the events is left to `taking`.

mod new_plan;
mod report;
mod text;

use std::process::ExitCode;

use job_record::{JobRecord, LevelId, LevelName, RecordError, RevisionId};
use shared_model::DigestText;
use shared_model::messages::StationId;

use crate::command::{ProgressFormat, ProgressOptions};
use crate::{jobs, reach, say};
use new_plan::NewPlan;
pub use report::Report;

/// Takes a station's events and prints how its level stands; or prints how a level stands without asking a station.
///
/// # Errors
/// A sentence: the station or the record stands in the way, or the record does not know the list.
pub fn progress(options: &ProgressOptions) -> Result<ExitCode, String> {
    let mut record = jobs::open()?;
    let (revision, station) = match &options.level {
        Some(level) => (revision_of_level(&record, level)?, None),
        None => revision_of_station(&mut record, options.to.as_deref())?,
    };
    let told = |error: RecordError| format!("{error}\n");
    let (level, list) = record.revision(revision).map_err(told)?;
    let standing = record.standing(level, &list).map_err(told)?;
    let mut report = Report::of(&list, &standing);
    if report.waits() {
        let history = record.history(level, station).map_err(told)?;
        let source = record.source(revision).map_err(told)?;
        report.new_plan = NewPlan::of(source, &history, options.to.as_deref());
    }
    match options.format {
        ProgressFormat::Text => say::print(&text::text(&report, list.head.mark))?,
        ProgressFormat::Json => say::print_json(&report)?,
    }
    Ok(ExitCode::SUCCESS)
}

/// The list of a station, and the station.
fn revision_of_station(
    record: &mut JobRecord,
    to: Option<&str>,
) -> Result<(RevisionId, Option<StationId>), String> {
    let station = reach::reach(to);
    let mut station = station.map_err(|told| {
        format!("{told}progress --level NAME says what this computer holds of a level, without a station\n")
    })?;
    station.take(record)?;
    let hello = station.link.station();
    let Some(list) = &hello.list else {
        return Err("the station has no list: give it one with load\n".to_owned());
    };
    let known = record.list_of_station(hello.station, list.digest);
    let known = known.map_err(|error| format!("{error}\n"))?.ok_or_else(|| {
        format!(
            "{}, list {}: this list was not loaded from this computer, so what is left of it is not known here. What was \
             said at the station is kept; ask where it was loaded, or load the plan from here\n",
            list.level,
            DigestText(list.digest)
        )
    });
    known.map(|revision| (revision, Some(hello.station)))
}

fn revision_of_level(record: &JobRecord, name: &str) -> Result<RevisionId, String> {
    let told = |error: RecordError| format!("{error}\n");
    let level: Option<LevelId> = record.level(LevelName::OfFile(name)).map_err(told)?;
    let revision = match level {
        Some(level) => record.last_revision(level).map_err(told)?,
        None => None,
    };
    let names = record.level_names().map_err(told)?;
    revision.ok_or_else(|| match names.as_slice() {
        [] => "no level has been shown or loaded on this computer yet\n".to_owned(),
        names => format!(
            "no level \"{name}\" has been shown or loaded on this computer; there are: {}\n",
            names.join(", ")
        ),
    })
}
