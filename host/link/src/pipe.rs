//! A line within this computer: two ends of which each reads what the other wrote. Who sits at them is left to the program:
//! the link at the one, a station that is shown here at the other.

use std::collections::VecDeque;
use std::io::{self, ErrorKind, Read, Write};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

use crate::wire::TICK;

/// One end of a line in memory. When it is dropped the other reads no more bytes without an error.
pub struct PipeEnd {
    shared: Arc<Shared>,
    side: usize,
}

struct Shared {
    state: Mutex<State>,
    changed: Condvar,
}

struct State {
    /// What each end has to read.
    bytes: [VecDeque<u8>; 2],
    cut: bool,
}

/// Makes a line.
///
/// ```
/// use std::io::{Read, Write};
/// let (mut here, mut there) = link::pipe();
/// here.write_all(b"hello").unwrap();
/// let mut bytes = [0; 8];
/// assert_eq!(there.read(&mut bytes).unwrap(), 5);
/// drop(here);
/// assert_eq!(there.read(&mut bytes).unwrap(), 0);
/// ```
pub fn pipe() -> (PipeEnd, PipeEnd) {
    let shared = Arc::new(Shared {
        state: Mutex::new(State {
            bytes: [VecDeque::new(), VecDeque::new()],
            cut: false,
        }),
        changed: Condvar::new(),
    });
    let end = |side| PipeEnd {
        shared: Arc::clone(&shared),
        side,
    };
    (end(0), end(1))
}

impl Shared {
    /// Bytes stay bytes whoever panicked while it held them.
    fn lock(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Read for PipeEnd {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let side = self.side;
        let state = self.shared.lock();
        let waits = |state: &mut State| state.bytes[side].is_empty() && !state.cut;
        let waited = self.shared.changed.wait_timeout_while(state, TICK, waits);
        let (mut state, _) = waited.unwrap_or_else(PoisonError::into_inner);
        if state.bytes[side].is_empty() && !state.cut {
            return Err(ErrorKind::TimedOut.into());
        }
        state.bytes[side].read(buffer)
    }
}

impl Write for PipeEnd {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        let mut state = self.shared.lock();
        if state.cut {
            return Err(ErrorKind::BrokenPipe.into());
        }
        state.bytes[1 - self.side].extend(buffer);
        self.shared.changed.notify_all();
        Ok(buffer.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Drop for PipeEnd {
    fn drop(&mut self) {
        self.shared.lock().cut = true;
        self.shared.changed.notify_all();
    }
}
