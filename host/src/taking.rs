//! A station's events into the job record: asked for from where the record ends, kept, and only then confirmed to the
//! station. What is done with them is left to those who call.

#[cfg(test)]
mod tests;

use job_record::{ClockReading, JobRecord, Log, Met, Moment, RecordError};
use link::{Link, LinkError, Step, Wire};
use shared_model::messages::Known;

/// What came of taking a station's events.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// So many were new.
    pub new: usize,
    /// How far the station's log is known now: what a list can be made with.
    pub last: Known,
    /// What a person has to know of it, in sentences.
    pub told: Vec<String>,
}

/// Why a station's events were not taken.
#[derive(Debug)]
pub enum TakingError {
    /// what is the matter with the link
    Link(LinkError),
    /// what is the matter with the record
    Record(RecordError),
    /// the station has other events under the same numbers
    Disputed(Vec<u32>),
}

impl std::fmt::Display for TakingError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            TakingError::Link(error) => error.fmt(f),
            TakingError::Record(error) => error.fmt(f),
            TakingError::Disputed(numbers) => {
                let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
                write!(
                    f,
                    "this station has other events under numbers that were taken before ({}): what it says now is kept \
                     apart and counts for nothing. Two stations may have one number, or its memory was put back to an \
                     earlier day: check which pieces are cut",
                    numbers.join(", ")
                )
            }
        }
    }
}

impl std::error::Error for TakingError {}

impl From<LinkError> for TakingError {
    fn from(error: LinkError) -> TakingError {
        TakingError::Link(error)
    }
}

impl From<RecordError> for TakingError {
    fn from(error: RecordError) -> TakingError {
        TakingError::Record(error)
    }
}

/// Takes what a station has to say that the record does not hold yet; `to` is where it was found.
///
/// # Errors
/// [`TakingError`]. Whatever was kept by then stays kept, and nothing else was confirmed to the station.
pub fn take<W: Wire>(
    link: &mut Link<W>,
    record: &mut JobRecord,
    to: &str,
    progress: &mut dyn FnMut(Step),
) -> Result<Kept, TakingError> {
    let hello = link.station();
    let (station, epoch) = (hello.station, hello.epoch);
    record.meet(Met {
        station,
        name: &hello.board,
        link: to,
        at: Moment::now(),
    })?;
    let held = record.held(Log { station, epoch })?;
    // the last one that is held comes once more: if it is another one now, the station's memory was put back
    let since = Known {
        epoch,
        sequence: held.saturating_sub(1),
    };
    let gone = |last| TakingError::Link(LinkError::EventsGone { taken: held, last });
    let taken = match link.take_events(since, progress) {
        Ok(taken) if taken.last.epoch == epoch && taken.last.sequence < held => {
            return Err(gone(taken.last.sequence));
        }
        Err(LinkError::EventsGone { last, .. }) => return Err(gone(last)),
        taken => taken?,
    };
    // read after the events, so that none of them lies in its future
    let time = link.time()?;
    let clock = ClockReading {
        at: Moment::now(),
        boot: time.boot,
        milliseconds: time.milliseconds,
    };
    let log = Log {
        station: taken.station,
        epoch: taken.last.epoch,
    };
    let list = link.station().list.as_ref().map(|list| list.digest);
    let kept = record.take(log, list, &taken.events, clock)?;
    let mut told = Vec::new();
    // the one that was asked for once more is held, whether or not the station still has it
    let asked = if log.epoch == epoch { held } else { 0 };
    for missing in &taken.missing {
        let missing = asked.saturating_add(1).max(*missing.start())..=*missing.end();
        if !missing.is_empty() {
            record.note_lost(log, &missing, clock.at)?;
            told.push(missing_words(&missing));
        }
    }
    if !kept.disputed.is_empty() {
        return Err(TakingError::Disputed(kept.disputed));
    }
    confirm(link, record, log, list)?;
    Ok(Kept {
        new: kept.new,
        last: taken.last,
        told,
    })
}

/// Tells the station what is held, so that it may make room. What was said under a list that another computer loaded stays
/// at the station for that one.
fn confirm<W: Wire>(
    link: &mut Link<W>,
    record: &mut JobRecord,
    log: Log,
    list: Option<u32>,
) -> Result<(), TakingError> {
    let known = match list {
        Some(digest) => record.list_of_station(log.station, digest)?.is_some(),
        None => false,
    };
    let held = record.held(log)?;
    if known && held > record.confirmed(log)? {
        link.confirm(Known {
            epoch: log.epoch,
            sequence: held,
        })?;
        record.note_confirmed(log, held)?;
    }
    Ok(())
}

fn missing_words(missing: &std::ops::RangeInclusive<u32>) -> String {
    let (first, last) = (missing.start(), missing.end());
    let which = match first == last {
        true => format!("event {first}"),
        false => format!("events {first} to {last}"),
    };
    format!(
        "the station no longer has {which}: another computer has taken them, or they are lost; check which pieces are cut"
    )
}
