//! `load`: a level's list to a station. Its events are taken first, so that nothing that was cut is forgotten. How the list
//! is sent is left to `link`, what is kept to `job-record`.

use std::process::ExitCode;

use job_record::{JobRecord, LevelName, Loading, Log, Moment, RevisionId};
use link::{LinkError, Loaded};
use shared_model::messages::{ListInUse, Refusal};
use shared_model::{DigestText, Progress};

use crate::command::LoadOptions;
use crate::jobs::{self, progress_words};
use crate::planned::{self, Known, Planned, Ready, Refusing};
use crate::reach;
use crate::say;

/// So often events are taken again where somebody presses while the list is sent.
const AGAIN: usize = 3;

/// Gives a station the list of a file: what is left of it by what was said at the saw.
///
/// # Errors
/// A sentence: the file, the plan, the record or the station stands in the way. The station goes on with the list that it
/// has.
pub fn load(options: &LoadOptions) -> Result<ExitCode, String> {
    let source = planned::read(&options.file)?;
    // a file that cannot be planned is told before any station is asked
    planned::looked_at(&source)?;
    let mut record = jobs::open()?;
    let mut station = reach::reach(options.to.as_deref())?;
    let before = station.link.station().list.clone();
    let told = |error: job_record::RecordError| format!("{error}\n");
    let mut tries = 1..=AGAIN;
    let (ready, revision, loaded, last) = loop {
        let last = station.take(&mut record)?.last;
        let known = Known {
            record: &record,
            demo: false,
            station: Some(station.link.station().station),
        };
        let refusing = Refusing {
            despite_errors: options.despite_errors,
            done: "loaded",
        };
        let ready = match planned::stored_or_planned(source.clone(), known, refusing)? {
            Planned::Ready(ready) => ready,
            Planned::AllCut(level) => {
                say::tell(format_args!(
                    "{level}: every piece of it is cut, so there is nothing left to load\n"
                ));
                return Ok(ExitCode::SUCCESS);
            }
        };
        let level = LevelName::OfFile(&ready.level);
        let revision = record.keep(level, ready.making(), Moment::now());
        let revision = revision.map_err(told)?;
        match station.load(&ready.list, last) {
            Err(LinkError::Refused(Refusal::ListBehind { .. } | Refusal::OtherEpoch { .. }))
                if tries.next().is_some() =>
            {
                say::tell(
                    "more was said at the saw meanwhile: it is taken, and what is left is planned again\n",
                );
            }
            loaded => break (ready, revision, loaded, last),
        }
    };
    let loaded = loaded.map_err(|error| format!("{error}\n"))?;
    let loading = Loading {
        revision,
        log: Log {
            station: station.link.station().station,
            epoch: last.epoch,
        },
        made_with: last.sequence,
        at: Moment::now(),
    };
    record.loaded(loading).map_err(told)?;
    tell(&record, &ready, revision, before.as_ref(), loaded)?;
    Ok(ExitCode::SUCCESS)
}

/// Tells what the station has now, what that replaces and how much of it is cut.
fn tell(
    record: &JobRecord,
    ready: &Ready,
    revision: RevisionId,
    before: Option<&ListInUse>,
    loaded: Loaded,
) -> Result<(), String> {
    let told = |error: job_record::RecordError| format!("{error}\n");
    let (level, _) = record.revision(revision).map_err(told)?;
    let standing = record.standing(level, &ready.list).map_err(told)?;
    let count = |count: usize| u16::try_from(count).unwrap_or(u16::MAX);
    let cut_before = count(standing.before.iter().filter(|(_, cut)| *cut).count());
    let progress = Progress {
        not_in_list: count(standing.not_in_list.len()),
        ..standing.place.progress()
    };
    let kept = progress.done + cut_before;
    say::tell(format_args!("{}: {}\n", ready.level, ready.summary));
    let digest = DigestText(ready.list.head.digest);
    say::tell(format_args!(
        "list {digest}: {}\n",
        progress_words(progress, cut_before)
    ));
    match (loaded, before) {
        (Loaded::InUseAlready, _) => say::tell("the station has this very list already\n"),
        (Loaded::New, Some(before)) => {
            let other = match before.level.as_str() == ready.level {
                true => String::new(),
                false => format!(" of {}", before.level),
            };
            say::tell(format_args!(
                "it takes the place of list {}{other}; pieces kept as cut: {}\n",
                DigestText(before.digest),
                kept
            ));
        }
        (Loaded::New, None) => say::tell("it is the station's first list\n"),
    }
    Ok(())
}
