//! Asking a station: a request, the same again where no answer comes, until one comes or patience ends. What is asked is
//! left to `load` and `events`.

use std::hash::{BuildHasher, Hasher, RandomState};
use std::io::{self, ErrorKind};
use std::time::{Duration, Instant};

use shared_model::frame::{self, Heard, Kind, MOST_FRAME, Receiver};
use shared_model::messages::{Answer, Hello, Refusal, Request, read};

use crate::error::LinkError;
use crate::wire::{TICK, Wire};

/// How a station is asked.
#[derive(Debug, Clone, Copy)]
pub struct Manner {
    /// How long one answer is waited for until the same is asked again. An answer that comes later still counts.
    pub patience: Duration,
    /// How often the same is asked.
    pub asks: u32,
    /// The number of the first request. Sessions on the same line should not begin at the same: an answer to the session
    /// before can still come.
    pub first_number: u32,
}

impl Default for Manner {
    /// Six times a second, from a random number on: longer than a station's memory takes for anything.
    fn default() -> Manner {
        Manner {
            patience: Duration::from_secs(1),
            asks: 6,
            first_number: RandomState::new().build_hasher().finish() as u32,
        }
    }
}

impl Manner {
    /// For a port at which there may be no station: twice 0.3 s.
    pub fn in_passing() -> Manner {
        Manner {
            patience: Duration::from_millis(300),
            asks: 2,
            ..Manner::default()
        }
    }
}

/// How far something is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// So many pieces or events are there.
    pub done: u32,
    /// Of so many.
    pub of: u32,
}

/// A station's clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StationTime {
    /// How many times it has started.
    pub boot: u16,
    /// Milliseconds since that start.
    pub milliseconds: u32,
}

/// A line to one station that has said who it is.
pub struct Link<W> {
    asking: Asking<W>,
    hello: Hello,
}

/// A line on which is asked; who answers is not known yet.
pub struct Asking<W> {
    wire: W,
    receiver: Receiver,
    manner: Manner,
    number: u32,
}

impl<W: Wire> Link<W> {
    /// Says hello to the station at the other end.
    ///
    /// # Errors
    /// [`LinkError::Cut`], [`LinkError::NoAnswer`], [`LinkError::OtherVersion`], [`LinkError::OddAnswer`].
    pub fn open(wire: W, manner: Manner) -> Result<Link<W>, LinkError> {
        let mut asking = Asking::on(wire, manner);
        let hello = asking.hello()?;
        match hello.mismatch() {
            Some(mismatch) => Err(LinkError::OtherVersion(mismatch)),
            None => Ok(Link { asking, hello }),
        }
    }

    /// What the station last said of itself.
    pub fn station(&self) -> &Hello {
        &self.hello
    }

    /// Says hello again: what the station has in use, how far its log is.
    ///
    /// # Errors
    /// As [`Link::open`], and [`LinkError::OtherStation`].
    pub fn greet(&mut self) -> Result<&Hello, LinkError> {
        let hello = self.asking.hello()?;
        if let Some(mismatch) = hello.mismatch() {
            return Err(LinkError::OtherVersion(mismatch));
        }
        if hello.station != self.hello.station {
            return Err(LinkError::OtherStation);
        }
        self.hello = hello;
        Ok(&self.hello)
    }

    /// The station's clock.
    ///
    /// # Errors
    /// [`LinkError::Cut`], [`LinkError::NoAnswer`], [`LinkError::OddAnswer`], [`LinkError::Refused`].
    pub fn time(&mut self) -> Result<StationTime, LinkError> {
        match self.ask(&Request::Time)? {
            Answer::Time { boot, milliseconds } => Ok(StationTime { boot, milliseconds }),
            _ => Err(LinkError::OddAnswer),
        }
    }

    /// Lets the station show which one it is.
    ///
    /// # Errors
    /// As [`Link::time`].
    pub fn show(&mut self) -> Result<(), LinkError> {
        match self.ask(&Request::Show)? {
            Answer::Shown => Ok(()),
            _ => Err(LinkError::OddAnswer),
        }
    }

    /// Asks until an answer comes; a refusal is an error.
    pub(crate) fn ask(&mut self, request: &Request) -> Result<Answer, LinkError> {
        match self.asking.ask(request)? {
            Answer::Refused(refusal) => Err(LinkError::Refused(refusal)),
            answer => Ok(answer),
        }
    }

    /// Lets the station go on for a while.
    pub(crate) fn pause(&mut self, pause: Duration) -> Result<(), LinkError> {
        // what still comes was said before
        self.asking.wait(pause).map(drop)
    }

    /// A number for a load that no other one on this line has.
    pub(crate) fn load_number(&self) -> u32 {
        self.asking.number.wrapping_add(1)
    }
}

impl<W: Wire> Asking<W> {
    pub fn on(wire: W, manner: Manner) -> Asking<W> {
        Asking {
            wire,
            receiver: Receiver::of(Kind::Answer),
            manner,
            number: manner.first_number,
        }
    }

    pub fn hello(&mut self) -> Result<Hello, LinkError> {
        match self.ask(&Request::Hello)? {
            Answer::Hello(hello) => Ok(hello),
            _ => Err(LinkError::OddAnswer),
        }
    }

    fn ask(&mut self, request: &Request) -> Result<Answer, LinkError> {
        self.number = self.number.wrapping_add(1);
        let mut buffer = [0; MOST_FRAME];
        let frame = frame::write(Kind::Request, self.number, request, &mut buffer);
        let frame = frame.map_err(LinkError::Frame)?;
        for _ in 0..self.manner.asks {
            let until = Instant::now() + self.manner.patience;
            if self.write(frame, until)?
                && let Some(answer) = self.wait(self.manner.patience)?
            {
                return Ok(answer);
            }
        }
        Err(LinkError::NoAnswer)
    }

    /// Writes a frame; says whether all of it went out in time.
    fn write(&mut self, mut frame: &[u8], until: Instant) -> Result<bool, LinkError> {
        let mut waiting = Waiting::until(until, self.manner.patience);
        while !frame.is_empty() {
            match self.wire.write(frame) {
                Ok(0) => return Err(LinkError::Cut(ErrorKind::WriteZero.into())),
                Ok(count) => frame = frame.get(count..).unwrap_or_default(),
                Err(error) if waiting.goes_on(&error) => {}
                Err(error) if is_silence(&error) => return Ok(false),
                Err(error) => return Err(LinkError::Cut(error)),
            }
        }
        match self.wire.flush() {
            Err(error) if !is_silence(&error) => Err(LinkError::Cut(error)),
            _ => Ok(true),
        }
    }

    /// Waits for the answer with this request's number; others are answers to what was given up.
    fn wait(&mut self, patience: Duration) -> Result<Option<Answer>, LinkError> {
        let until = Instant::now() + patience;
        let mut waiting = Waiting::until(until, patience);
        let mut bytes = [0; MOST_FRAME];
        loop {
            let count = match self.wire.read(&mut bytes) {
                Ok(0) => return Err(LinkError::Cut(ErrorKind::UnexpectedEof.into())),
                // a line that never falls silent must not hold up for ever
                Ok(_) if Instant::now() >= until => return Ok(None),
                Ok(count) => count,
                Err(error) if waiting.goes_on(&error) => continue,
                Err(error) if is_silence(&error) => return Ok(None),
                Err(error) => return Err(LinkError::Cut(error)),
            };
            let mut answer = None;
            for byte in bytes.iter().take(count) {
                match self.receiver.hear(*byte) {
                    Heard::Message { number, message } if number == self.number => {
                        answer = Some(read(message).ok_or(LinkError::OddAnswer)?);
                    }
                    Heard::Message { .. }
                    | Heard::Nothing
                    | Heard::Part
                    | Heard::TooLong
                    | Heard::Damaged
                    | Heard::Echo => {}
                }
            }
            if answer.is_some() {
                return Ok(answer);
            }
        }
    }
}

/// How much longer silence is borne: so many ticks, and never beyond a moment.
struct Waiting {
    until: Instant,
    silence: Duration,
}

impl Waiting {
    fn until(until: Instant, silence: Duration) -> Waiting {
        Waiting { until, silence }
    }

    fn goes_on(&mut self, error: &io::Error) -> bool {
        if error.kind() == ErrorKind::Interrupted {
            return true;
        }
        self.silence = self.silence.saturating_sub(TICK);
        is_silence(error) && !self.silence.is_zero() && Instant::now() < self.until
    }
}

fn is_silence(error: &io::Error) -> bool {
    matches!(error.kind(), ErrorKind::TimedOut | ErrorKind::WouldBlock)
}

/// Whether a load has to begin again: the station has forgotten it, or something else came than was sent.
pub(crate) fn begins_again(error: &LinkError) -> bool {
    matches!(
        error,
        LinkError::Refused(Refusal::NoSuchLoad | Refusal::OtherDigest { .. })
    )
}
