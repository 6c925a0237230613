//! What can be wrong with a record in flash, as a person reads it. What is done about it is left to the record.

use core::fmt;

use station::record::Damaged;

use crate::chip::{FEWEST_SECTORS, SECTOR, Trouble};
use crate::note::{SETTINGS, VERSION};

/// Why a record cannot be opened. Nothing that was kept is changed then.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OpenError {
    /// the flash cannot be read or written: and why
    Flash(Trouble),
    /// the record has to lie in the flash, in whole sectors, so many at least
    NoRoom,
    /// the record is in another version of the format
    OtherVersion {
        /// The format's version.
        version: u16,
    },
    /// the record's notes are gone, though events or lists are there
    NoNote,
}

impl fmt::Display for OpenError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            OpenError::Flash(trouble) => {
                write!(f, "the record cannot be read or written: {trouble}")
            }
            OpenError::NoRoom => write!(
                f,
                "the record has to lie in the flash, in whole sectors of {SECTOR} bytes, {FEWEST_SECTORS} of them at least"
            ),
            OpenError::OtherVersion { version } => write!(
                f,
                "the record has the format {version} and this program reads {VERSION}: use the program that wrote it"
            ),
            OpenError::NoNote => f.write_str(
                "the record's notes are gone, though events or lists are there: nothing is changed until it is begun anew",
            ),
        }
    }
}

impl core::error::Error for OpenError {}

impl From<Trouble> for OpenError {
    fn from(trouble: Trouble) -> OpenError {
        OpenError::Flash(trouble)
    }
}

/// What was found damaged in a record that could be opened; it is left as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Damage {
    /// events with these numbers were stored and cannot be read any more
    EventsMissing {
        /// The first of them.
        first: u32,
        /// The last of them.
        last: u32,
    },
    /// so many entries at the end of the events cannot be read: more than a power cut leaves
    EventsEnd(u16),
    /// what was said before this event cannot all be read any more
    Marks {
        /// The number of the first event in the log.
        before: u32,
    },
    /// the saw list is damaged and has to be loaded again
    List,
}

impl Damage {
    /// What of a record it is damage of.
    pub(crate) const fn what(&self) -> Damaged {
        match self {
            Damage::List => Damaged::List,
            Damage::EventsMissing { .. } | Damage::EventsEnd(_) | Damage::Marks { .. } => {
                Damaged::Presses
            }
        }
    }
}

impl fmt::Display for Damage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Damage::EventsMissing { first, last } if first == last => write!(
                f,
                "event {first} was stored and cannot be read any more: check which pieces are cut"
            ),
            Damage::EventsMissing { first, last } => write!(
                f,
                "events {first} to {last} were stored and cannot be read any more: check which pieces are cut"
            ),
            Damage::EventsEnd(count) => write!(
                f,
                "the last {count} entries of the events cannot be read: check which pieces are cut"
            ),
            Damage::Marks { before } => write!(
                f,
                "what was said before event {before} cannot all be read any more: check which pieces are cut"
            ),
            Damage::List => f.write_str("the saw list is damaged and has to be loaded again"),
        }
    }
}

/// Why the log was not emptied or the settings were not kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UpkeepError {
    /// the host has taken other events than the last one that is stored
    NotTaken {
        /// The epoch that the host names.
        epoch: u32,
        /// The last event that the host names.
        confirmed: u32,
        /// The last event that is stored.
        stored: u32,
    },
    /// more is to be remembered of pieces than fits: begin anew
    TooMuch {
        /// How many marks fit.
        most: u16,
    },
    /// the settings are longer than fit
    SettingsTooLong,
    /// it could not be written; what was before stays
    NotWritten(Trouble),
    /// it is written, but the log could not be erased: start again before anything more is stored
    StartAgain(Trouble),
}

impl fmt::Display for UpkeepError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            UpkeepError::NotTaken {
                epoch,
                confirmed,
                stored,
            } => write!(
                f,
                "the host has taken the events up to {confirmed} of the log {epoch}, and here they go up to {stored}: let it take them first"
            ),
            UpkeepError::TooMuch { most } => write!(
                f,
                "more is to be remembered of pieces than {most} marks: begin anew with the next level"
            ),
            UpkeepError::SettingsTooLong => {
                write!(f, "the settings are longer than {SETTINGS} bytes")
            }
            UpkeepError::NotWritten(trouble) => {
                write!(
                    f,
                    "it could not be written, and what was before stays: {trouble}"
                )
            }
            UpkeepError::StartAgain(trouble) => write!(
                f,
                "the log could not be erased, so start again before anything more is stored: {trouble}"
            ),
        }
    }
}

impl core::error::Error for UpkeepError {}
