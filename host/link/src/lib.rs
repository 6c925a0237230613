//! The host's side of the link to stations: it asks, repeats what got no answer, loads lists and takes events, over any
//! line that reads and writes bytes. What is loaded, and where events are kept, is left to the program.
//!
//! ```no_run
//! use link::{Link, Manner, To, connect};
//! # fn program(list: &impl shared_model::SawList) -> Result<(), link::LinkError> {
//! let to: To = "tcp:192.168.1.20:7370".parse()?;
//! let mut link = Link::open(connect(&to)?, Manner::default())?;
//! // from the program's record: how far this station's log is kept
//! let kept = link.station().last();
//! let taken = link.take_events(kept, &mut |_| {})?;
//! // ... taken.events are stored, in one stroke ...
//! link.confirm(taken.last)?;
//! link.load(list, taken.last, &mut |step| println!("{} of {}", step.done, step.of))?;
//! # Ok(())
//! # }
//! ```
//!
//! The line may drop, double, damage and delay bytes, and the station may start again at any moment: a request has a number
//! that its answer repeats, asking again does no more than asking once, and a list is used only when it is whole. After an
//! error nothing is half done: the station has the list before or the new one, and an event that was not taken is taken the
//! next time.
#![deny(missing_docs)]

mod asking;
mod error;
mod events;
mod find;
mod load;
mod pipe;
mod wire;

pub use asking::{Link, Manner, StationTime, Step};
pub use error::LinkError;
pub use events::Taken;
pub use find::{Found, Search, Silent, find};
pub use load::Loaded;
pub use pipe::{PipeEnd, pipe};
pub use wire::{BAUD, TICK, To, Wire, connect};
