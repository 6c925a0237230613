//! What this machine says of the time and the memory that this program has had. What they are spent on is left to the
//! table.

use std::time::Instant;

/// Runs from its making on.
pub struct Clock {
    start: Instant,
    /// The processor's time at the start, in seconds, where the system tells it.
    processor: Option<f64>,
}

impl Clock {
    /// From now on.
    pub fn start() -> Clock {
        Clock {
            start: Instant::now(),
            processor: processor_seconds(),
        }
    }

    /// Seconds of the processor for this thread since then; where the system does not tell, seconds passed.
    pub fn seconds(&self) -> f64 {
        match (self.processor, processor_seconds()) {
            (Some(then), Some(now)) => now - then,
            _ => self.start.elapsed().as_secs_f64(),
        }
    }
}

/// Linux counts them in nanoseconds.
fn processor_seconds() -> Option<f64> {
    let counts = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    let nanoseconds: f64 = counts.split_whitespace().next()?.parse().ok()?;
    Some(nanoseconds / 1e9)
}

/// The most memory that this program has had at once, in megabytes, where the system tells it.
pub fn most_memory() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: f64 = line.split_whitespace().next()?.parse().ok()?;
    Some(kilobytes / 1e3)
}
