//! The station's side of the link: bytes from the host in, bytes for it out. Where they come from and go to is left to
//! the board, what a list must be and how events are kept to the runner and its record.
//!
//! A request is acted on when its frame is whole; the answer waits in a buffer of one frame until it is fetched. A host
//! that asks again before it has fetched gets only the later answer, so that one that never fetches holds nothing up. A
//! board gives [`Link::take`] what it read, writes [`Link::to_send`], says how much of it went by [`Link::sent`], and calls
//! [`Link::cut`] when a line opens or closes.

mod loading;
#[cfg(test)]
mod tests;

use heapless::String;
use shared_model::MAX_PIECES;
use shared_model::SawList;
use shared_model::frame::{self, Heard, Kind, MOST_FRAME, Receiver};
use shared_model::messages::{
    self, Answer, Hello, Known, LINK_VERSION, ListInUse, MOST_EVENTS, Refusal, Request, ScreenSize,
    StationId,
};

use crate::machine::Input;
use crate::record::{Record, RecordError};
use crate::runner::{Outcome, Runner};
use loading::Loading;

/// What a station says of itself that does not hang on its record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct About {
    /// Its number for life.
    pub station: StationId,
    /// The circuit board or computer that it runs on.
    pub board: String<24>,
    /// The version of its program.
    pub firmware: String<24>,
    /// Its screen, in pixels.
    pub screen: ScreenSize,
}

/// The station's side of one line to a host. It holds a list's head and its pieces' ids while one is loaded: about 10 KB.
pub struct Link {
    about: About,
    receiver: Receiver,
    loading: Option<Loading>,
    frame: [u8; MOST_FRAME],
    /// What of the frame is to be sent still.
    sent: usize,
    length: usize,
}

impl Link {
    /// A line on which nothing has been said.
    pub const fn new(about: About) -> Link {
        Link {
            about,
            receiver: Receiver::of(Kind::Request),
            loading: None,
            frame: [0; MOST_FRAME],
            sent: 0,
            length: 0,
        }
    }

    /// Takes in what came from the host and does what it asks; `now` is in milliseconds since the start. What is to be
    /// sent stands in [`Link::to_send`] afterwards.
    pub fn take<R: Record>(&mut self, bytes: &[u8], runner: &mut Runner<R>, now: u32) -> Outcome {
        let mut outcome = Outcome::default();
        for byte in bytes {
            let (number, request) = match self.receiver.hear(*byte) {
                Heard::Message { number, message } => (number, messages::read(message)),
                Heard::Nothing | Heard::Part | Heard::TooLong | Heard::Damaged | Heard::Echo => {
                    continue;
                }
            };
            let answer = match request {
                Some(request) => self
                    .answer(request, runner, now, &mut outcome)
                    .unwrap_or_else(Answer::Refused),
                None => Answer::Refused(Refusal::NotUnderstood),
            };
            self.say(number, &answer);
        }
        outcome
    }

    /// What is to be sent to the host; empty where there is nothing.
    pub fn to_send(&self) -> &[u8] {
        self.frame.get(self.sent..self.length).unwrap_or_default()
    }

    /// So many bytes of it were copied away to be written; said before more is taken in, which can put another answer in its
    /// place.
    pub fn sent(&mut self, count: usize) {
        self.sent = self.length.min(self.sent + count);
    }

    /// The line was cut, or another host may be at its other end: what was half said is forgotten. A load goes on where it
    /// was.
    pub fn cut(&mut self) {
        self.receiver.forget();
        self.sent = self.length;
    }

    fn say(&mut self, number: u32, answer: &Answer) {
        self.sent = 0;
        // every answer fits: a test makes the longest of each
        self.length =
            frame::write(Kind::Answer, number, answer, &mut self.frame).map_or(0, <[u8]>::len);
    }

    fn answer<R: Record>(
        &mut self,
        request: Request,
        runner: &mut Runner<R>,
        now: u32,
        outcome: &mut Outcome,
    ) -> Result<Answer, Refusal> {
        match request {
            Request::Hello => Ok(Answer::Hello(self.hello(runner.record()))),
            Request::Begin(begin) => {
                if let Some(loading) = self.loading.as_ref().filter(|of| of.is(&begin)) {
                    return Ok(loading.so_far());
                }
                same_epoch(begin.made_with, runner.record())?;
                not_under_a_foot(runner)?;
                let mut loading = Loading::of(begin, runner)?;
                // from here on the record may have dropped the one before
                self.loading = None;
                loading.begin_if_whole(runner)?;
                Ok(self.loading.insert(loading).so_far())
            }
            Request::Mouldings {
                load,
                offset,
                mouldings,
            } => {
                not_under_a_foot(runner)?;
                self.go_on(load, |loading| {
                    loading.take_mouldings(offset, &mouldings);
                    loading.begin_if_whole(runner)
                })
            }
            Request::Rooms {
                load,
                offset,
                rooms,
            } => {
                not_under_a_foot(runner)?;
                self.go_on(load, |loading| {
                    loading.take_rooms(offset, &rooms);
                    loading.begin_if_whole(runner)
                })
            }
            Request::Pieces {
                load,
                offset,
                pieces,
            } => self.go_on(load, |loading| loading.take_pieces(offset, &pieces, runner)),
            Request::Commit { load, digest } => self.commit(load, digest, runner, outcome),
            Request::Events { after } => {
                let record = runner.record();
                same_epoch(after, record)?;
                let later = record
                    .events()
                    .filter(|event| event.sequence > after.sequence);
                Ok(Answer::Events {
                    last: last(record),
                    events: later.take(MOST_EVENTS).collect(),
                })
            }
            // asked once more: at this word the log was emptied, and its epoch is over
            Request::Confirm { up_to } if is_before(up_to, runner.record()) => {
                Ok(Answer::Confirmed { up_to })
            }
            Request::Confirm { up_to } => {
                same_epoch(up_to, runner.record())?;
                let stored = runner.record().last_sequence();
                let confirmed = runner.confirm(up_to.sequence.min(stored), now);
                *outcome = outcome.then(confirmed.map_err(|_| Refusal::NotStored)?);
                Ok(Answer::Confirmed { up_to })
            }
            Request::Time => Ok(Answer::Time {
                boot: runner.record().boot(),
                milliseconds: now,
            }),
            Request::Show => {
                *outcome = outcome.then(runner.take(Input::Show, now));
                Ok(Answer::Shown)
            }
        }
    }

    fn hello(&self, record: &impl Record) -> Hello {
        let list = record.list().map(SawList::head);
        Hello {
            version: LINK_VERSION,
            station: self.about.station,
            epoch: record.epoch(),
            last_event: record.last_sequence(),
            boot: record.boot(),
            firmware: self.about.firmware.clone(),
            board: self.about.board.clone(),
            screen: self.about.screen,
            capacity: MAX_PIECES as u16,
            list: list.map(|head| ListInUse {
                level: head.level.clone(),
                digest: head.digest,
            }),
        }
    }

    /// Does something for the load under way; where that is refused, the load has to begin again.
    fn go_on(
        &mut self,
        load: u32,
        step: impl FnOnce(&mut Loading) -> Result<(), Refusal>,
    ) -> Result<Answer, Refusal> {
        let loading = self.loading.as_mut().filter(|of| of.load() == load);
        let loading = loading.ok_or(Refusal::NoSuchLoad)?;
        let gone_on = step(loading).map(|()| loading.so_far());
        if gone_on.is_err() {
            self.loading = None;
        }
        gone_on
    }

    fn commit<R: Record>(
        &mut self,
        load: u32,
        digest: u32,
        runner: &mut Runner<R>,
        outcome: &mut Outcome,
    ) -> Result<Answer, Refusal> {
        let Some(loading) = self.loading.as_ref().filter(|of| of.load() == load) else {
            let in_use = runner.record().list().map(|list| list.head().digest);
            return match in_use == Some(digest) {
                true => Ok(Answer::Committed { digest }),
                false => Err(Refusal::NoSuchLoad),
            };
        };
        if !loading.is_whole() {
            return Ok(loading.so_far());
        }
        same_epoch(loading.made_with(), runner.record())?;
        let came = loading.digest();
        if came != Some(digest) || loading.announced() != digest {
            self.loading = None;
            let came = came.unwrap_or_default();
            return Err(Refusal::OtherDigest { came });
        }
        // a press means the list that was on the screen when it began
        not_under_a_foot(runner)?;
        match loading.commit(runner) {
            // it stays whole: asked again, it is refused the same way
            Err(error @ RecordError::ListBehind { .. }) => Err(refusal(error, runner.record())),
            Err(error) => {
                self.loading = None;
                Err(refusal(error, runner.record()))
            }
            Ok(committed) => {
                self.loading = None;
                *outcome = outcome.then(committed);
                Ok(Answer::Committed { digest })
            }
        }
    }
}

/// How far the record's log goes.
fn last(record: &impl Record) -> Known {
    Known {
        epoch: record.epoch(),
        sequence: record.last_sequence(),
    }
}

/// Whether somebody knows the log that was emptied last, and nothing that came after it.
fn is_before(known: Known, record: &impl Record) -> bool {
    known.epoch.checked_add(1) == Some(record.epoch()) && known.sequence <= record.last_sequence()
}

fn same_epoch(known: Known, record: &impl Record) -> Result<(), Refusal> {
    let epoch = record.epoch();
    match known.epoch == epoch {
        true => Ok(()),
        false => Err(Refusal::OtherEpoch { epoch }),
    }
}

/// Nothing that a press could be missed under is done while one is under way: a memory may erase when a list is begun, and
/// the contacts are not looked at meanwhile.
fn not_under_a_foot<R: Record>(runner: &Runner<R>) -> Result<(), Refusal> {
    match runner.is_busy() {
        true => Err(Refusal::PressUnderWay),
        false => Ok(()),
    }
}

/// What the host is told of something that the record or the check of a list does not take.
fn refusal(error: RecordError, record: &impl Record) -> Refusal {
    match error {
        RecordError::ListTooLong { most } => Refusal::TooManyPieces { most },
        RecordError::NameMissing { number } => Refusal::NameMissing { number },
        RecordError::SameId { id } => Refusal::SameId { id },
        RecordError::ListBehind { made_with, .. } => Refusal::ListBehind {
            made_with: Known {
                epoch: record.epoch(),
                sequence: made_with,
            },
            stored: last(record),
        },
        RecordError::NoListBegun | RecordError::TooManyPieces | RecordError::PiecesMissing => {
            Refusal::NoSuchLoad
        }
        RecordError::Full
        | RecordError::EventNotStored
        | RecordError::StartAgain
        | RecordError::OutOfOrder
        | RecordError::ListNotStored
        | RecordError::PieceUnreadable { .. } => Refusal::NotStored,
    }
}
