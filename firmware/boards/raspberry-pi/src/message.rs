//! What reaches the station's thread from the others, each with its time. What it brings about is left to the station.

use std::sync::mpsc::Sender;
use std::time::Instant;

use station::machine::Key;

/// The station's clock: milliseconds since the start, which wrap.
#[derive(Debug, Clone, Copy)]
pub struct Clock(Instant);

impl Clock {
    /// Begins now.
    pub fn start() -> Clock {
        Clock(Instant::now())
    }

    /// The time.
    pub fn now(&self) -> u32 {
        // it wraps after 49 days, as the station's does
        self.0.elapsed().as_millis() as u32
    }
}

/// A message; `at` is when it happened, which may be a while before it is taken in.
#[derive(Debug)]
pub enum Message {
    /// A key of a keyboard went down or up.
    Key {
        /// Which keyboard.
        keyboard: u32,
        /// The key's number.
        key: u16,
        /// It went down.
        down: bool,
        /// When.
        at: u32,
    },
    /// A keyboard was unplugged.
    KeyboardGone {
        /// Which.
        keyboard: u32,
        /// When.
        at: u32,
    },
    /// A contact's level was read after an edge.
    Contact {
        /// The key on it; none is the pedal.
        key: Option<Key>,
        /// It reads closed.
        closed: bool,
        /// When.
        at: u32,
    },
    /// Bytes from a host, and where the answer goes.
    Asked {
        /// Which line they came by.
        line: u32,
        /// The bytes.
        bytes: Vec<u8>,
        /// Takes the answer.
        reply: Sender<Vec<u8>>,
    },
    /// The station is to stop.
    Stop,
}
