//! A saw list and a record in memory for this crate's tests. What they are tested for is left to the tests.

use std::vec::Vec;

use shared_model::{
    Angle, Cautions, End, Event, Length, ListHead, Mark, Moulding, Name, Piece, PieceEnd, PieceId,
    Posture, SawHead, SawList, Side, Stock, True45,
};

use crate::record::{Damaged, Record, RecordError};

/// A list in memory, every part of it free to be changed.
#[derive(Debug, Clone)]
pub struct Sample {
    pub head: ListHead,
    pub pieces: Vec<Piece>,
}

pub fn name(text: &str) -> Name {
    Name::try_from(text).expect("a short name")
}

impl Sample {
    /// A list with this digest of pieces with the ids 100, 101 ... from these sticks: square ends, standing upside down,
    /// 20 in and an inch more from each to the next.
    pub fn of(digest: u32, sticks: &[u16]) -> Sample {
        let end = PieceEnd {
            end: End::Square,
            posture: Posture::StandingUpsideDown,
        };
        let pieces: Vec<Piece> = (0..)
            .zip(sticks)
            .map(|(index, &stick)| Piece {
                id: PieceId(100 + index),
                room: (index % 2) as u8,
                wall: (index % 200) as u8 + 1,
                part: 1,
                parts: 1,
                moulding: 0,
                length: Length::inches(20 + index as i32),
                left: end,
                right: end,
                stick,
                stick_length: Length::inches(192),
                from_offcut: false,
                first: Side::Left,
                shared: false,
                cautions: Cautions::NONE,
            })
            .collect();
        let moulding = |text| Moulding {
            name: name(text),
            height: Length::sixteenths(84),
            thickness: Length::sixteenths(9),
            profile: Length::sixteenths(12),
        };
        let head = ListHead {
            level: name("Upper floor"),
            digest,
            pieces: pieces.len() as u16,
            sticks: sticks.iter().max().copied().unwrap_or(0),
            mark: Mark::Sixteenth,
            stock: Stock {
                side: Side::Left,
                saw: SawHead {
                    slides: false,
                    swing_left: Angle::degrees(50),
                    swing_right: Angle::degrees(60),
                    tilt_left: Angle::degrees(48),
                    tilt_right: Angle::degrees(48),
                    true_45: True45::EXACT,
                },
            },
            mouldings: [moulding("tall base"), moulding("closet base")]
                .into_iter()
                .collect(),
            rooms: [name("Bed 2"), name("Hall")].into_iter().collect(),
        };
        Sample { head, pieces }
    }
}

pub fn cope(degrees: u16) -> End {
    let gauge = Angle::degrees(degrees);
    End::Cope { gauge }
}

impl SawList for Sample {
    fn head(&self) -> &ListHead {
        &self.head
    }
    fn piece(&self, index: u16) -> Option<Piece> {
        self.pieces.get(usize::from(index)).copied()
    }
}

/// A record in memory that can be full or broken.
#[derive(Debug, Clone, Default)]
pub struct Memory {
    pub epoch: u32,
    pub confirmed: u32,
    pub boot: u16,
    pub events: Vec<Event>,
    pub list: Option<Sample>,
    pub begun: Option<Sample>,
    pub most: u32,
    pub broken: bool,
    pub damaged: Vec<Damaged>,
}

impl Memory {
    pub fn with(list: Sample) -> Memory {
        Memory {
            boot: 3,
            list: Some(list),
            most: 1_000,
            ..Memory::default()
        }
    }
}

impl Record for Memory {
    type List = Sample;

    fn epoch(&self) -> u32 {
        self.epoch
    }

    fn boot(&self) -> u16 {
        self.boot
    }

    fn last_sequence(&self) -> u32 {
        self.events.len() as u32
    }

    fn events_left(&self) -> u32 {
        self.most - self.last_sequence()
    }

    fn damaged(&self) -> impl Iterator<Item = Damaged> {
        self.damaged.iter().copied()
    }

    fn append(&mut self, event: &Event) -> Result<(), RecordError> {
        if self.broken {
            return Err(RecordError::EventNotStored);
        }
        if self.events_left() == 0 {
            return Err(RecordError::Full);
        }
        assert_eq!(event.sequence, self.last_sequence() + 1);
        self.events.push(*event);
        Ok(())
    }

    fn events(&self) -> impl Iterator<Item = Event> {
        self.events.iter().copied()
    }

    fn confirm(&mut self, up_to: u32) -> Result<(), RecordError> {
        if up_to > self.last_sequence() {
            return Err(RecordError::OutOfOrder);
        }
        self.confirmed = up_to;
        Ok(())
    }

    fn begin(&mut self, head: &ListHead) -> Result<(), RecordError> {
        let head = head.clone();
        let pieces = Vec::new();
        self.begun = Some(Sample { head, pieces });
        Ok(())
    }

    fn put(&mut self, piece: &Piece) -> Result<(), RecordError> {
        let list = self.begun.as_mut().ok_or(RecordError::NoListBegun)?;
        list.pieces.push(*piece);
        Ok(())
    }

    fn commit(&mut self) -> Result<(), RecordError> {
        if self.broken {
            return Err(RecordError::ListNotStored);
        }
        self.list = self.begun.take();
        Ok(())
    }

    fn list(&self) -> Option<&Sample> {
        self.list.as_ref()
    }
}
