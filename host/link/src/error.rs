//! What can go wrong on the link, as a person reads it. What is done about it is left to the program.

use std::fmt;
use std::io;

use shared_model::frame::FrameError;
use shared_model::messages::{Mismatch, Refusal};

/// Why something was not done on the link.
#[derive(Debug)]
pub enum LinkError {
    /// what is said after `--to` is neither a port nor tcp:HOST:PORT
    NoAddress(String),
    /// the port or the address cannot be opened
    CannotOpen {
        /// What was to be opened.
        to: String,
        /// What the system says.
        error: io::Error,
    },
    /// the line was cut: connect again
    Cut(io::Error),
    /// nothing answers
    NoAnswer,
    /// station and program speak different versions of the link
    OtherVersion(Mismatch),
    /// another station than before answers
    OtherStation,
    /// the station refuses, and says why
    Refused(Refusal),
    /// the station answers something that was not asked
    OddAnswer,
    /// the station has fewer events than were taken from it
    EventsGone {
        /// The last one that was taken.
        taken: u32,
        /// The last one that the station has.
        last: u32,
    },
    /// a request cannot be sent
    Frame(FrameError),
    /// the list cannot be sent
    BadList {
        /// The piece that cannot be read, from 1.
        number: u16,
    },
}

impl fmt::Display for LinkError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LinkError::NoAddress(text) => write!(
                f,
                "\"{text}\" is no way to a station: name a serial port, or tcp:HOST:PORT such as tcp:192.168.1.20:7370"
            ),
            LinkError::CannotOpen { to, error } => {
                write!(f, "{to} cannot be opened: {error}")?;
                match error.kind() {
                    io::ErrorKind::PermissionDenied if cfg!(target_os = "linux") => f.write_str(
                        " (whoever uses serial ports must be in their group, often dialout)",
                    ),
                    _ => Ok(()),
                }
            }
            LinkError::Cut(error) => write!(
                f,
                "the line to the station was cut ({error}): plug it in and run this again; nothing is half done"
            ),
            LinkError::NoAnswer => f.write_str(
                "nothing answers: see that the station is on and is plugged in here, and run this again; nothing is half done",
            ),
            LinkError::OtherVersion(mismatch) => mismatch.fmt(f),
            LinkError::OtherStation => {
                f.write_str("another station answers now than before: run this again")
            }
            LinkError::Refused(refusal) => refusal.fmt(f),
            LinkError::OddAnswer => f.write_str(
                "the station answers something that was not asked: program and firmware do not fit each other",
            ),
            LinkError::EventsGone { taken, last } => write!(
                f,
                "the station has {last} events and {taken} were taken from it before: it has lost some; what was taken is kept, but this station's log has to begin anew"
            ),
            LinkError::Frame(error) => error.fmt(f),
            LinkError::BadList { number } => {
                write!(f, "piece {number} of the list cannot be read")
            }
        }
    }
}

impl std::error::Error for LinkError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            LinkError::CannotOpen { error, .. } | LinkError::Cut(error) => Some(error),
            LinkError::Refused(refusal) => Some(refusal),
            LinkError::Frame(error) => Some(error),
            _ => None,
        }
    }
}
