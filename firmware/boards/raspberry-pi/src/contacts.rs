//! A pedal and keys wired to pins, through the kernel's own interface or through rppal: every edge with its time, and how
//! the contacts stand at the start. What bounces and what counts is left to the station.

mod kernel;
mod rppal;

use std::sync::mpsc::Sender;

use station::machine::Key;

use crate::message::{Clock, Message};
use crate::settings::{Contacts, Through};
use crate::trouble::Trouble;

pub use kernel::find_chip;

/// How the contacts stand at the start.
#[derive(Debug, Default)]
pub struct AtStart {
    /// The pedal reads closed.
    pub pedal_closed: bool,
    /// Keys that read closed.
    pub keys_closed: Vec<Key>,
}

impl AtStart {
    fn add(&mut self, key: Option<Key>, closed: bool) {
        match key {
            _ if !closed => {}
            None => self.pedal_closed = true,
            Some(key) => self.keys_closed.push(key),
        }
    }
}

/// Reads every contact once and listens to them from then on.
///
/// # Errors
/// The pins cannot be had.
pub fn start(wanted: &Contacts, clock: Clock, out: Sender<Message>) -> Result<AtStart, Trouble> {
    let wired = wanted.wired();
    if wired.is_empty() {
        return Ok(AtStart::default());
    }
    match wanted.through {
        Through::Off => Ok(AtStart::default()),
        Through::Kernel => kernel::start(wanted, wired, clock, out),
        Through::Rppal => rppal::start(wanted.closes_to, wired, clock, out),
    }
}
