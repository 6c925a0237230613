//! A flash with a record in it, as these tests handle it, and how things stand by a list and what was said.

use std::cell::RefCell;

use flash_record::FlashRecord;
use mock_flash::MockFlash;
use record_tests::{MeanMedium, Medium};
use shared_model::{Event, PieceId, PieceState, Place, Progress, SawList, TakeBack, What};
use station::record::{Record, RecordError};

/// The sectors of a record as a board keeps it.
pub const SECTORS: u32 = 16;

/// A flash whose sectors from the second on hold a record.
#[derive(Debug, Clone)]
pub struct Flash<const WORD: usize> {
    pub chip: RefCell<MockFlash<WORD>>,
    pub sectors: u32,
}

impl<const WORD: usize> Flash<WORD> {
    pub fn new(run: u64) -> Self {
        Flash::of(SECTORS, run)
    }

    pub fn of(sectors: u32, run: u64) -> Self {
        Flash {
            chip: RefCell::new(MockFlash::new(1 + sectors as usize, run)),
            sectors,
        }
    }

    pub fn units(&self) -> u64 {
        self.chip.borrow().work().units
    }

    pub fn open(&self) -> Result<FlashRecord<'_, MockFlash<WORD>>, flash_record::OpenError> {
        FlashRecord::open(&self.chip, 4096, self.sectors, 1)
    }
}

impl<const WORD: usize> Medium for Flash<WORD> {
    type Record<'a> = FlashRecord<'a, MockFlash<WORD>>;

    fn start(&self) -> FlashRecord<'_, MockFlash<WORD>> {
        let record = self.open().expect("a record");
        assert_eq!(record.damage(), []);
        record
    }
}

impl<const WORD: usize> MeanMedium for Flash<WORD> {
    fn fork(&self, run: u64) -> Self {
        Flash {
            chip: RefCell::new(self.chip.borrow().fork(run)),
            sectors: self.sectors,
        }
    }

    fn die_after(&self, units: u64) {
        self.chip.borrow_mut().die_after(units);
    }

    fn is_dead(&self) -> bool {
        self.chip.borrow().is_dead()
    }

    fn after_power_cut(&self) {
        self.chip.borrow_mut().power_on();
        // what is programmed is programmed once, as the flash's contract wants it
        assert_eq!(self.chip.borrow().work().rewritten, 0);
    }
}

/// Everything that a station shows of a place.
#[derive(Debug, PartialEq)]
pub struct Standing {
    states: Vec<PieceState>,
    pub current: Option<u16>,
    next: Option<u16>,
    take_back: Option<TakeBack>,
    last_done: Option<u16>,
    already_cut: Vec<bool>,
    pub progress: Progress,
}

pub fn standing(list: &impl SawList, whats: impl Iterator<Item = What>) -> Standing {
    let mut place = Place::at_start(list).expect("a list that can be read");
    for what in whats {
        let (sequence, boot, milliseconds) = (0, 0, 0);
        place.take(&Event {
            sequence,
            boot,
            milliseconds,
            what,
        });
    }
    let all = 0..list.head().pieces;
    Standing {
        states: all.clone().filter_map(|index| place.state(index)).collect(),
        current: place.current(),
        next: place.next(),
        take_back: place.to_take_back(),
        last_done: place.last_done(),
        already_cut: all.map(|index| place.already_cut(index)).collect(),
        progress: place.progress(),
    }
}

pub fn whats(record: &impl Record) -> impl Iterator<Item = What> {
    record.events().map(|event| event.what)
}

/// How things stand by the record alone.
pub fn shown(record: &impl Record) -> Standing {
    standing(record.list().expect("a list"), whats(record))
}

pub fn load(record: &mut impl Record, list: &impl SawList) -> Result<(), RecordError> {
    record.begin(list.head())?;
    for piece in (0..).map_while(|index| list.piece(index)) {
        record.put(&piece)?;
    }
    record.commit()
}

pub fn say(record: &mut impl Record, what: What) -> Result<(), RecordError> {
    let event = Event {
        sequence: record.last_sequence() + 1,
        boot: record.boot(),
        milliseconds: 1_000,
        what,
    };
    record.append(&event)
}

pub fn done(id: u32) -> What {
    let piece = PieceId(id);
    What::Done { piece, list: 7 }
}
