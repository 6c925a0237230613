//! The line between the job record and the station of this program: bytes go by messages to the station's thread, which
//! answers at once. What is said on it is left to `link` and to the station's own side of it.

use std::collections::VecDeque;
use std::io::{self, ErrorKind, Read, Write};
use std::sync::mpsc::{self, Sender};

use super::owner::Message;

/// One end of the line; the station sits at the other.
pub struct Line {
    messages: Sender<Message>,
    answered: VecDeque<u8>,
}

impl Line {
    /// A line to the station that takes these messages.
    pub fn to(messages: Sender<Message>) -> Line {
        Line {
            messages,
            answered: VecDeque::new(),
        }
    }
}

impl Write for Line {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let (reply, answer) = mpsc::channel();
        let asked = Message::Asked(bytes.to_vec(), reply);
        let gone = || io::Error::from(ErrorKind::BrokenPipe);
        self.messages.send(asked).map_err(|_| gone())?;
        self.answered.extend(answer.recv().map_err(|_| gone())?);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Read for Line {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        match self.answered.is_empty() {
            // what was answered is here already: nothing more will come
            true => Err(ErrorKind::TimedOut.into()),
            false => self.answered.read(buffer),
        }
    }
}
