//! A station's record on a medium in memory that outlives the station, and that can die at any of its steps. How real media
//! die is tested with the records of files and of flash.

use std::cell::RefCell;
use std::rc::Rc;

use fastrand::Rng;
use shared_model::{Event, ListHead, Piece};
use station::record::{Damaged, Record, RecordError};

use crate::sample::Sample;

/// What outlives the station.
#[derive(Debug, Default)]
pub struct Medium {
    pub epoch: u32,
    pub boot: u16,
    pub events: Vec<Event>,
    pub confirmed: u32,
    pub list: Option<Sample>,
    /// How many events there were when the list was committed.
    pub committed_at: u32,
    /// After so many more steps it dies.
    pub dies_in: Option<u32>,
    pub dead: bool,
    pub dice: Rng,
}

impl Medium {
    /// One step; says whether it is done, which one that dies in it may be or not.
    fn step(&mut self) -> Step {
        if self.dead {
            return Step::NotDone;
        }
        match &mut self.dies_in {
            Some(0) => {
                self.dead = true;
                match self.dice.bool() {
                    true => Step::DoneUntold,
                    false => Step::NotDone,
                }
            }
            Some(left) => {
                *left -= 1;
                Step::Done
            }
            None => Step::Done,
        }
    }
}

#[derive(PartialEq)]
enum Step {
    Done,
    /// Done, and nobody is told any more.
    DoneUntold,
    NotDone,
}

pub struct Memory {
    medium: Rc<RefCell<Medium>>,
    list: Option<Sample>,
    begun: Option<Sample>,
}

impl Memory {
    pub fn open(medium: &Rc<RefCell<Medium>>) -> Memory {
        let mut held = medium.borrow_mut();
        held.boot += 1;
        held.dead = false;
        held.dies_in = None;
        Memory {
            medium: Rc::clone(medium),
            list: held.list.clone(),
            begun: None,
        }
    }
}

impl Record for Memory {
    type List = Sample;

    fn epoch(&self) -> u32 {
        self.medium.borrow().epoch
    }

    fn boot(&self) -> u16 {
        self.medium.borrow().boot
    }

    fn last_sequence(&self) -> u32 {
        self.medium.borrow().events.len() as u32
    }

    fn events_left(&self) -> u32 {
        u32::MAX - self.last_sequence()
    }

    fn damaged(&self) -> impl Iterator<Item = Damaged> {
        std::iter::empty()
    }

    fn append(&mut self, event: &Event) -> Result<(), RecordError> {
        let mut medium = self.medium.borrow_mut();
        assert_eq!(event.sequence as usize, medium.events.len() + 1);
        let step = medium.step();
        if step != Step::NotDone {
            medium.events.push(*event);
        }
        match step {
            Step::Done => Ok(()),
            _ => Err(RecordError::EventNotStored),
        }
    }

    fn events(&self) -> impl Iterator<Item = Event> {
        self.medium.borrow().events.clone().into_iter()
    }

    fn confirm(&mut self, up_to: u32) -> Result<(), RecordError> {
        let mut medium = self.medium.borrow_mut();
        if medium.step() != Step::Done {
            return Err(RecordError::EventNotStored);
        }
        medium.confirmed = medium.confirmed.max(up_to);
        Ok(())
    }

    fn begin(&mut self, head: &ListHead) -> Result<(), RecordError> {
        if self.medium.borrow_mut().step() != Step::Done {
            return Err(RecordError::ListNotStored);
        }
        let (head, pieces) = (head.clone(), Vec::new());
        self.begun = Some(Sample { head, pieces });
        Ok(())
    }

    fn put(&mut self, piece: &Piece) -> Result<(), RecordError> {
        if self.medium.borrow_mut().step() != Step::Done {
            return Err(RecordError::ListNotStored);
        }
        let begun = self.begun.as_mut().ok_or(RecordError::NoListBegun)?;
        if begun.pieces.len() >= usize::from(begun.head.pieces) {
            return Err(RecordError::TooManyPieces);
        }
        begun.pieces.push(*piece);
        Ok(())
    }

    fn commit(&mut self) -> Result<(), RecordError> {
        let begun = self.begun.take().ok_or(RecordError::NoListBegun)?;
        if begun.pieces.len() < usize::from(begun.head.pieces) {
            return Err(RecordError::PiecesMissing);
        }
        let mut medium = self.medium.borrow_mut();
        let step = medium.step();
        if step != Step::NotDone {
            medium.list = Some(begun.clone());
            medium.committed_at = medium.events.len() as u32;
        }
        match step {
            Step::Done => {
                self.list = Some(begun);
                Ok(())
            }
            _ => Err(RecordError::ListNotStored),
        }
    }

    fn list(&self) -> Option<&Sample> {
        self.list.as_ref()
    }
}
