//! The thread that brings what is pressed on the page into the job record, over the same link as a station at the saw. The
//! station keeps every press by itself, so what cannot be recorded now is taken another time.

use std::sync::mpsc::{self, Receiver, Sender};
use std::thread::{self, JoinHandle};

use job_record::JobRecord;
use link::{Link, Manner};

use super::line::Line;
use crate::taking::{TakingError, take};
use crate::{jobs, say};

/// Where the station is found.
pub const HERE: &str = "this program's page";

/// What the thread is told.
pub enum Told {
    /// The station has stored something.
    Stored,
    /// Nothing more will come.
    Stop,
}

/// The running thread.
pub struct Recorder {
    thread: JoinHandle<()>,
    told: Sender<Told>,
}

impl Recorder {
    /// Starts the thread; it is told by the other end of `heard`. What stands in its way goes to `shown`, and none when
    /// nothing does any more.
    pub fn start(
        line: Line,
        told: Sender<Told>,
        heard: Receiver<Told>,
        shown: impl Fn(Option<String>) + Send + 'static,
    ) -> Recorder {
        let work = move || {
            if let Err(sentence) = record(line, &heard, &shown) {
                shown(Some(sentence.trim_end().to_owned()));
                say::tell(format_args!(
                    "{}\nthe station goes on and keeps every press; the job record takes them another time\n",
                    sentence.trim_end()
                ));
            }
        };
        Recorder {
            thread: thread::spawn(work),
            told,
        }
    }

    /// Takes what is left and ends the thread.
    pub fn stop(self) {
        // it may have ended by itself
        let _ = self.told.send(Told::Stop);
        let _ = self.thread.join();
    }
}

/// A way to tell the thread, made before it is started.
pub fn telling() -> (Sender<Told>, Receiver<Told>) {
    mpsc::channel()
}

fn record(
    line: Line,
    heard: &Receiver<Told>,
    shown: &impl Fn(Option<String>),
) -> Result<(), String> {
    let sentence = |error: &dyn std::error::Error| error.to_string();
    let mut record = jobs::open()?;
    let mut link = Link::open(line, Manner::default()).map_err(|error| sentence(&error))?;
    let mut take = |record: &mut JobRecord| take(&mut link, record, HERE, &mut |_| {});
    let mut trouble = None;
    while let Ok(mut told) = heard.recv() {
        // one taking is for all that is stored by then
        while let Ok(later) = heard.try_recv() {
            told = later;
        }
        match take(&mut record) {
            Ok(_) => {
                if trouble.take().is_some() {
                    shown(None);
                }
            }
            Err(TakingError::Record(error)) => {
                // the next press tries again; the same is told once
                let sentence = error.to_string();
                if trouble.as_ref() != Some(&sentence) {
                    say::tell(format_args!("{sentence}\n"));
                    shown(Some(sentence.clone()));
                }
                trouble = Some(sentence);
            }
            Err(error) => return Err(error.to_string()),
        }
        if matches!(told, Told::Stop) {
            break;
        }
    }
    Ok(())
}
