//! What the job record has to know before the station of this program is shown: what was said at it, the list that it is
//! given. What is said from then on is left to `recorder`.

use std::collections::VecDeque;
use std::io::{self, ErrorKind, Read, Write};

use file_record::FileRecord;
use job_record::{JobRecord, LevelName, Loading, Log, Moment, RecordError};
use link::{Link, Manner};
use shared_model::messages::StationId;
use station::record::Record;
use station::runner::Runner;
use station::screen::Panel;

use super::owner::about;
use super::recorder::HERE;
use crate::planned::{Known, Ready, level_name};
use crate::taking::take;
use crate::{jobs, say};

/// The job record, with all that was said at the station.
pub struct Job {
    record: JobRecord,
    demo: bool,
}

impl Job {
    /// Opens the record and takes what was said at the station. None where that cannot be, which is told: the level is then
    /// planned as if this were its first list.
    pub fn open(
        level: LevelName<'_>,
        anew: bool,
        runner: &mut Runner<FileRecord>,
        station: StationId,
        panel: Panel,
    ) -> Option<Job> {
        let mut opened = || -> Result<JobRecord, String> {
            let mut record = jobs::open()?;
            if anew {
                let put_away = record.put_away(level, Moment::now());
                put_away.map_err(|error| error.to_string())?;
            }
            let line = Before {
                link: station::link::Link::new(about(station, panel)),
                runner,
                answered: VecDeque::new(),
            };
            let link = Link::open(line, Manner::default());
            let mut link = link.map_err(|error| error.to_string())?;
            take(&mut link, &mut record, HERE, &mut |_| {}).map_err(|error| error.to_string())?;
            Ok(record)
        };
        let demo = matches!(level, LevelName::OfDemo(_));
        match opened() {
            Ok(record) => Some(Job { record, demo }),
            Err(sentence) => {
                say::tell(format_args!(
                    "{}\nso what is left cannot be planned anew: the whole level is planned\n",
                    sentence.trim_end()
                ));
                None
            }
        }
    }

    /// What it knows, for this station.
    pub fn known(&self, station: StationId) -> Known<'_> {
        Known {
            record: &self.record,
            demo: self.demo,
            station: Some(station),
        }
    }

    /// Notes the list that the station has now; what stands in the way is told.
    pub fn loaded(&mut self, ready: &Ready, runner: &Runner<FileRecord>, station: StationId) {
        let mut note = || -> Result<(), RecordError> {
            let now = Moment::now();
            let level = level_name(&ready.level, self.demo);
            let revision = self.record.keep(level, ready.making(), now)?;
            let log = Log {
                station,
                epoch: runner.record().epoch(),
            };
            self.record.loaded(Loading {
                revision,
                log,
                made_with: runner.record().last_sequence(),
                at: now,
            })
        };
        if let Err(error) = note() {
            say::tell(format_args!("{error}\n"));
        }
    }
}

/// The line to the station before it is shown: nobody presses yet, and it answers at once.
struct Before<'a> {
    link: station::link::Link,
    runner: &'a mut Runner<FileRecord>,
    answered: VecDeque<u8>,
}

impl Write for Before<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.link.take(bytes, self.runner, 0);
        let answer = self.link.to_send();
        self.answered.extend(answer);
        let count = answer.len();
        self.link.sent(count);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Read for Before<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        match self.answered.is_empty() {
            // what was answered is here already: nothing more will come
            true => Err(ErrorKind::TimedOut.into()),
            false => self.answered.read(buffer),
        }
    }
}
