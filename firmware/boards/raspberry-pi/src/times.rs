//! Tells how long a press takes to its picture and where the time goes, for whoever sets a station up on another computer.
//! What takes it is left to the parts.

use std::hint::black_box;
use std::time::{Duration, Instant};

/// Steps of the loop that says how fast the computer is.
const STEPS: u32 = 10_000_000;

/// The times of one picture.
#[derive(Debug)]
pub struct Times {
    /// The station woke.
    woke: Instant,
    /// What it was woken by is stored and decided.
    decided: Instant,
    /// The picture is drawn in memory.
    drawn: Instant,
}

impl Times {
    /// Begins to measure; says how fast the computer is, by a loop that it does in one second or far less.
    pub fn start() -> Times {
        let now = Instant::now();
        let mut number = 1_u32;
        for _ in 0..STEPS {
            // Marsaglia's xorshift: each step waits for the one before
            number ^= number << 13;
            number ^= number >> 17;
            number ^= number << 5;
            number = black_box(number);
        }
        println!("a loop of {STEPS} steps takes {}", told(now.elapsed()));
        Times {
            woke: now,
            decided: now,
            drawn: now,
        }
    }

    /// The station is woken by something.
    pub fn wakes(&mut self) {
        self.woke = Instant::now();
    }

    /// What that brings about is stored and decided.
    pub fn is_decided(&mut self) {
        self.decided = Instant::now();
    }

    /// The picture of it is drawn.
    pub fn is_drawn(&mut self) {
        self.drawn = Instant::now();
    }

    /// It is on the screen; `since` is how many milliseconds ago a key or a contact moved last.
    pub fn is_shown(&self, since: u32) {
        println!(
            "picture {since} ms after the last key or contact: stored and decided in {}, drawn in {}, brought to the screen in {}",
            told(self.decided - self.woke),
            told(self.drawn - self.decided),
            told(self.drawn.elapsed()),
        );
    }
}

fn told(time: Duration) -> String {
    format!("{:.1} ms", time.as_secs_f64() * 1_000.0)
}
