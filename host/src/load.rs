//! `load`: a level's list to a station. Its events are taken first, so that nothing that was cut is forgotten. How the list
//! is sent is left to `link`, what is kept to `job-record`.

use std::process::ExitCode;

use job_record::{JobRecord, LevelName, Loading, Log, Moment, RevisionId};
use link::{LinkError, Loaded};
use shared_model::DigestText;
use shared_model::messages::{ListInUse, Refusal};

use crate::command::LoadOptions;
use crate::jobs::{self, progress_words};
use crate::planned::{self, Ready, Refusing};
use crate::reach;
use crate::say;

/// So often events are taken again where somebody presses while the list is sent.
const AGAIN: usize = 3;

/// Gives a station the list of a file.
///
/// # Errors
/// A sentence: the file, the plan, the record or the station stands in the way. The station goes on with the list that it
/// has.
pub fn load(options: &LoadOptions) -> Result<ExitCode, String> {
    let refusing = Refusing {
        despite_errors: options.despite_errors,
        done: "loaded",
    };
    let ready = planned::stored_or_planned(planned::read(&options.file)?, refusing)?;
    let mut record = jobs::open()?;
    let mut station = reach::reach(options.to.as_deref())?;
    let before = station.link.station().list.clone();
    let mut kept = station.take(&mut record)?;
    let told = |error: job_record::RecordError| format!("{error}\n");
    let revision = record
        .keep(
            LevelName::OfFile(&ready.level),
            job_record::Source {
                file: &ready.source.name,
                text: &ready.source.text,
            },
            &ready.list,
            Moment::now(),
        )
        .map_err(told)?;
    let mut loaded = station.load(&ready.list, kept.last);
    for _ in 0..AGAIN {
        let Err(LinkError::Refused(Refusal::ListBehind { .. } | Refusal::OtherEpoch { .. })) =
            loaded
        else {
            break;
        };
        kept = station.take(&mut record)?;
        loaded = station.load(&ready.list, kept.last);
    }
    let loaded = loaded.map_err(|error| format!("{error}\n"))?;
    let loading = Loading {
        revision,
        log: Log {
            station: station.link.station().station,
            epoch: kept.last.epoch,
        },
        made_with: kept.last.sequence,
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
    let progress = standing.place.progress();
    say::tell(format_args!("{}: {}\n", ready.level, ready.summary));
    let digest = DigestText(ready.list.head.digest);
    say::tell(format_args!(
        "list {digest}: {}\n",
        progress_words(progress)
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
                progress.done
            ));
        }
        (Loaded::New, None) => say::tell("it is the station's first list\n"),
    }
    Ok(())
}
