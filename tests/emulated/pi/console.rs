//! The emulator as a process, and what is said and heard on the emulated computer's serial console. Which computer it is, is
//! left to `computer` and `raspi3b`.

use std::io::{BufRead, BufReader, Write};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread;
use std::time::{Duration, Instant};

/// The longest that anything takes on a busy machine.
pub const PATIENCE: Duration = Duration::from_secs(45);

/// A computer that is on; dropped, its power is gone.
pub struct Console {
    child: Child,
    serial: ChildStdin,
    heard: Receiver<String>,
}

impl Console {
    /// Starts an emulator whose serial console is its standard input and output.
    pub fn start(emulator: &mut Command) -> Console {
        let mut child = emulator
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("qemu-system-aarch64 is installed");
        let serial = child.stdin.take().expect("standard input is piped");
        let stdout = child.stdout.take().expect("standard output is piped");
        let (line, heard) = channel();
        thread::spawn(move || {
            let mut lines = BufReader::new(stdout).split(b'\n').map_while(Result::ok);
            // ends with the computer or with the test
            lines.all(|text| {
                line.send(String::from_utf8_lossy(&text).trim().to_owned())
                    .is_ok()
            })
        });
        Console {
            child,
            serial,
            heard,
        }
    }

    /// Waits for a line that begins so.
    pub fn hear(&mut self, beginning: &str) -> String {
        let mut said = Vec::new();
        let until = Instant::now() + PATIENCE;
        loop {
            let left = until.saturating_duration_since(Instant::now());
            match self.heard.recv_timeout(left) {
                Ok(line) if line.starts_with(beginning) => return line,
                Ok(line) => said.push(line),
                Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => {
                    panic!("not said: {beginning}; {said:#?}")
                }
            }
        }
    }

    /// The lines since they were last asked for that begin so.
    pub fn heard(&mut self, beginning: &str) -> Vec<String> {
        let lines = self.heard.try_iter();
        lines.filter(|line| line.starts_with(beginning)).collect()
    }

    /// Says a line.
    pub fn tell(&mut self, line: &str) {
        writeln!(self.serial, "{line}").expect("it listens");
    }
}

impl Drop for Console {
    fn drop(&mut self) {
        // it may have ended by itself
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
