//! Loading a list: announced, sent part by part as far as the station has not got it, committed on its digest. What the
//! list is, and that it was looked at, is left to the program.

use std::time::Duration;

use heapless::Vec;
use shared_model::frame::MOST_MESSAGE;
use shared_model::messages::{Answer, Begin, Known, MOST_PIECES, MOST_ROOMS, Refusal, Request};
use shared_model::{Piece, SawList};

use crate::asking::{Link, Step, begins_again};
use crate::error::LinkError;
use crate::wire::Wire;

/// How often a load is begun before it is given up.
const BEGINNINGS: u32 = 4;
/// A station at which somebody presses is asked again after so long, so often: longer than any question stands.
const PAUSE: Duration = Duration::from_millis(200);
const PAUSES: u32 = 40;
/// How many answers in a row may bring a load no further.
const STANDSTILLS: u32 = 3;
/// What a request with pieces has before them, at its longest: variant, load, offset, count.
const BEFORE_PIECES: usize = 1 + 5 + 3 + 1;

/// What became of a load that was not refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loaded {
    /// The station uses the list now.
    New,
    /// It had this very list in use already.
    InUseAlready,
}

/// How much of a load the station has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Come {
    mouldings: u16,
    rooms: u16,
    pieces: u16,
}

enum After {
    Come(Come),
    Committed,
}

impl<W: Wire> Link<W> {
    /// Gives the station this list, made with its events up to `made_with`. `progress` is told after every part.
    ///
    /// A station that knows later events refuses, and says which; so it does when somebody presses during the load. Where a
    /// foot is on its pedal just then, or a question stands, it is waited for up to 8 s.
    ///
    /// # Errors
    /// [`LinkError::Refused`] with the station's reason: the list before stays in use. [`LinkError::Cut`] and
    /// [`LinkError::NoAnswer`]: the list before or this one is in use, whole; connecting again tells, and loading again does
    /// nothing where it is this one. [`LinkError::BadList`], [`LinkError::OtherStation`], [`LinkError::OtherVersion`],
    /// [`LinkError::OddAnswer`].
    pub fn load(
        &mut self,
        list: &impl SawList,
        made_with: Known,
        progress: &mut dyn FnMut(Step),
    ) -> Result<Loaded, LinkError> {
        let digest = list.head().digest;
        let in_use = self.greet()?.list.as_ref().map(|list| list.digest);
        if in_use == Some(digest) {
            return Ok(Loaded::InUseAlready);
        }
        let mut beginning = 1;
        loop {
            match self.load_once(list, made_with, progress) {
                Err(error) if begins_again(&error) && beginning < BEGINNINGS => beginning += 1,
                result => return result.map(|()| Loaded::New),
            }
        }
    }

    fn load_once(
        &mut self,
        list: &impl SawList,
        made_with: Known,
        progress: &mut dyn FnMut(Step),
    ) -> Result<(), LinkError> {
        let head = list.head();
        let load = self.load_number();
        let begin = Begin {
            load,
            made_with,
            level: head.level.clone(),
            digest: head.digest,
            pieces: head.pieces,
            sticks: head.sticks,
            mark: head.mark,
            stock: head.stock,
            mouldings: head.mouldings.len() as u16,
            rooms: head.rooms.len() as u16,
        };
        let mut after = self.after(&Request::Begin(begin), load)?;
        let (mut before, mut standstills) = (None, 0);
        while let After::Come(come) = after {
            progress(Step {
                done: u32::from(come.pieces),
                of: u32::from(head.pieces),
            });
            standstills = if before == Some(come) {
                standstills + 1
            } else {
                0
            };
            if standstills >= STANDSTILLS {
                return Err(LinkError::OddAnswer);
            }
            before = Some(come);
            after = self.after(&next(list, load, come)?, load)?;
        }
        Ok(())
    }

    fn after(&mut self, request: &Request, ours: u32) -> Result<After, LinkError> {
        let mut pauses = 0;
        let answer = loop {
            match self.ask(request) {
                Err(LinkError::Refused(Refusal::PressUnderWay)) if pauses < PAUSES => {
                    pauses += 1;
                    self.pause(PAUSE)?;
                }
                answer => break answer?,
            }
        };
        match answer {
            Answer::Loading {
                load,
                mouldings,
                rooms,
                pieces,
            } if load == ours => Ok(After::Come(Come {
                mouldings,
                rooms,
                pieces,
            })),
            Answer::Committed { .. } if matches!(request, Request::Commit { .. }) => {
                Ok(After::Committed)
            }
            _ => Err(LinkError::OddAnswer),
        }
    }
}

/// What comes next for a station that has so much of the list.
fn next(list: &impl SawList, load: u32, come: Come) -> Result<Request, LinkError> {
    let head = list.head();
    let rest = head
        .mouldings
        .get(usize::from(come.mouldings)..)
        .unwrap_or_default();
    if !rest.is_empty() {
        return Ok(Request::Mouldings {
            load,
            offset: come.mouldings,
            mouldings: rest.iter().cloned().collect(),
        });
    }
    let rest = head
        .rooms
        .get(usize::from(come.rooms)..)
        .unwrap_or_default();
    if !rest.is_empty() {
        return Ok(Request::Rooms {
            load,
            offset: come.rooms,
            rooms: rest.iter().take(MOST_ROOMS).cloned().collect(),
        });
    }
    let offset = come.pieces;
    if offset < head.pieces {
        let pieces = part(list, offset)?;
        return Ok(Request::Pieces {
            load,
            offset,
            pieces,
        });
    }
    let digest = head.digest;
    Ok(Request::Commit { load, digest })
}

/// As many pieces as fit a frame.
fn part(list: &impl SawList, offset: u16) -> Result<Vec<Piece, MOST_PIECES>, LinkError> {
    let mut pieces = Vec::new();
    let mut left = MOST_MESSAGE - BEFORE_PIECES;
    for index in offset..list.head().pieces {
        let bad = LinkError::BadList { number: index + 1 };
        let Some(piece) = list.piece(index) else {
            return Err(bad);
        };
        let size = postcard::experimental::serialized_size(&piece);
        let Ok(size) = size else {
            return Err(bad);
        };
        if size > left || pieces.push(piece).is_err() {
            break;
        }
        left -= size;
    }
    Ok(pieces)
}
