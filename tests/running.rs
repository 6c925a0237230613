//! A running station as a test has it: started, leafed through its cards, killed at the end. What is pressed is left to the
//! tests.

use std::io::{BufRead, BufReader};
use std::ops::Deref;
use std::path::Path;
use std::process::{Child, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::Duration;

use crate::page::{PATIENCE, Page};
use crate::program::baserun;

/// Two presses of "done" that both count are farther apart than the station's hold-off.
pub const NEXT_PRESS: Duration = Duration::from_millis(400);

/// A running station; killed when it is dropped.
pub struct Running {
    /// The program.
    pub child: Child,
    /// Its page.
    pub page: Page,
    /// Its lines on standard error from now on.
    pub said: Receiver<String>,
    /// Its lines on standard error until it was ready.
    pub told: Vec<String>,
}

impl Running {
    /// Runs the program and leafs through the cards that stand before a list.
    pub fn start(folder: &Path, arguments: &[&str]) -> Running {
        let station = Running::at_cards(folder, arguments);
        let mut number = 0;
        while station.over().starts_with("card") {
            number += 1;
            station.press("cards", number, "done");
            thread::sleep(NEXT_PRESS);
        }
        station
    }

    /// Runs the program.
    pub fn at_cards(folder: &Path, arguments: &[&str]) -> Running {
        let mut child = baserun(folder)
            .args(["run", "--no-open", "--port", "0"])
            .args(arguments)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let stderr = child.stderr.take().expect("standard error is piped");
        let (line, said) = channel();
        thread::spawn(move || {
            let lines = BufReader::new(stderr).lines().map_while(Result::ok);
            lines
                .take_while(|text| line.send(text.clone()).is_ok())
                .count()
        });
        let mut running = Running {
            child,
            page: Page { port: 0 },
            said,
            told: Vec::new(),
        };
        while running.page.port == 0 {
            let line = running.said.recv_timeout(PATIENCE);
            let line = line.unwrap_or_else(|_| panic!("not ready: {:?}", running.told));
            if let Some(address) = line.strip_prefix("station at http://127.0.0.1:") {
                running.page.port = address.trim_end_matches('/').parse().expect("a port");
            }
            running.told.push(line);
        }
        running
    }

    /// What lies over the piece; nothing where nothing does.
    pub fn over(&self) -> String {
        let over = &self.state()["over"];
        over.as_str().unwrap_or_default().to_owned()
    }

    /// Waits until it says a line that ends so.
    pub fn hear(&mut self, ending: &str) {
        while !self.told.iter().any(|line| line.ends_with(ending)) {
            let line = self.said.recv_timeout(PATIENCE);
            let line = line.unwrap_or_else(|_| panic!("not said: {ending}; {:?}", self.told));
            self.told.push(line);
        }
    }
}

impl Deref for Running {
    type Target = Page;

    fn deref(&self) -> &Page {
        &self.page
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        // it may have ended by itself
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
