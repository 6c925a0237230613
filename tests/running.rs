//! `run` under test: started, its page asked, killed. What is asked of it is left to the tests.

use std::io::{BufRead, BufReader};
use std::ops::Deref;
use std::path::Path;
use std::process::{Child, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;

use crate::page::{PATIENCE, Page};
use crate::program::baserun;

/// A running station; killed when it is dropped.
pub struct Running {
    pub child: Child,
    pub page: Page,
    pub said: Receiver<String>,
    pub told: Vec<String>,
}

impl Running {
    /// Starts it; ready when its page is.
    pub fn start(folder: &Path, arguments: &[&str]) -> Running {
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
