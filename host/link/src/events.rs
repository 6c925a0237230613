//! Taking events from a station, answer by answer, and telling it what is kept for good. Keeping them is left to the
//! program's record.

use std::ops::RangeInclusive;

use shared_model::Event;
use shared_model::messages::{Answer, Known, Request, StationId};

use crate::asking::{Link, Step};
use crate::error::LinkError;
use crate::wire::Wire;

/// What was taken from a station. An event is unique by station, epoch and sequence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taken {
    /// The station.
    pub station: StationId,
    /// How far its log is taken now: to be kept with the events, and given the next time.
    pub last: Known,
    /// The events, in order, all of the epoch of `last`.
    pub events: Vec<Event>,
    /// Numbers between them that the station no longer has: another host confirmed them, or they are lost.
    pub missing: Vec<RangeInclusive<u32>>,
}

impl<W: Wire> Link<W> {
    /// Takes every event after `since`, which is how far this station's log is kept already. Where its log has begun anew
    /// in another epoch, that is from its beginning. `progress` is told after every answer.
    ///
    /// The station keeps what was taken; once the program has stored it for good, it says so by [`Link::confirm`].
    ///
    /// # Errors
    /// [`LinkError::Cut`] and [`LinkError::NoAnswer`]: nothing was taken, and all can be taken again.
    /// [`LinkError::EventsGone`], [`LinkError::OtherStation`], [`LinkError::OtherVersion`], [`LinkError::OddAnswer`],
    /// [`LinkError::Refused`].
    pub fn take_events(
        &mut self,
        since: Known,
        progress: &mut dyn FnMut(Step),
    ) -> Result<Taken, LinkError> {
        let hello = self.greet()?;
        let epoch = hello.epoch;
        let sequence = if since.epoch == epoch {
            since.sequence
        } else {
            0
        };
        let mut taken = Taken {
            station: hello.station,
            last: Known { epoch, sequence },
            events: Vec::new(),
            missing: Vec::new(),
        };
        loop {
            let after = taken.last;
            let (last, events) = match self.ask(&Request::Events { after })? {
                Answer::Events { last, events } if last.epoch == epoch => (last.sequence, events),
                _ => return Err(LinkError::OddAnswer),
            };
            if last < after.sequence {
                let taken = after.sequence;
                return Err(LinkError::EventsGone { taken, last });
            }
            let nothing_more = events.is_empty();
            for event in events {
                taken.pass_over(event.sequence.saturating_sub(1));
                if taken.last.sequence.checked_add(1) != Some(event.sequence) {
                    return Err(LinkError::OddAnswer);
                }
                taken.last.sequence = event.sequence;
                taken.events.push(event);
            }
            if nothing_more {
                taken.pass_over(last);
            }
            progress(Step {
                done: taken.last.sequence - sequence,
                of: last.max(taken.last.sequence) - sequence,
            });
            if taken.last.sequence >= last {
                return Ok(taken);
            }
        }
    }

    /// Tells the station that everything up to this event is kept for good, so that it may make room.
    ///
    /// # Errors
    /// [`LinkError::Cut`] and [`LinkError::NoAnswer`]: it may have heard; saying it again does no harm.
    /// [`LinkError::Refused`], [`LinkError::OddAnswer`].
    pub fn confirm(&mut self, up_to: Known) -> Result<(), LinkError> {
        match self.ask(&Request::Confirm { up_to })? {
            Answer::Confirmed { .. } => Ok(()),
            _ => Err(LinkError::OddAnswer),
        }
    }
}

impl Taken {
    /// The numbers after the last one up to this one are missing.
    fn pass_over(&mut self, up_to: u32) {
        if up_to > self.last.sequence {
            self.missing.push(self.last.sequence + 1..=up_to);
            self.last.sequence = up_to;
        }
    }
}
