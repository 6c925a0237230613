//! A saw list to be cut on the emulated station, and what its pictures are by the same station code on this computer.
//! Comparing them is left to the tests.

use std::cell::RefCell;

use flash_record::FlashRecord;
use mock_flash::{MockFlash, SECTOR};
use planner::saw_list::SawSheet;
use planner::walk::{CutList, ListedPiece, MouldingStock, Saw, Setup, Sheet, StickKind};
use shared_model::{Angle, End, Event, Length, Mark, Place, SawList, Unit, What};
use station::machine::{Input, Key, Machine};
use station::record::Record;
use station::screen::{Panel, Screen};
use station::settings::Settings;
use station::view::View;

use super::canvas::Canvas;

/// The Pico's flash, and how much of its end the record takes: as in the board's own `memory.rs`.
const FLASH: usize = 2 * 1024 * 1024;
const SECTORS: usize = 16;
/// Where the record begins.
pub const RECORD: usize = FLASH - SECTORS * SECTOR;

/// Nine pieces of two rooms, with every kind of end.
pub fn sheet() -> SawSheet {
    sheet_of(9)
}

/// The first so many of nine pieces: another list of the same level.
pub fn sheet_of(count: usize) -> SawSheet {
    planned(&level_of(count))
}

/// A list of so many pieces in rooms of six, for what a load costs.
pub fn long_sheet(count: usize) -> SawSheet {
    planned(&long_level(count))
}

/// The same as a level that can be written to a file.
pub fn long_level(count: usize) -> Sheet {
    let Sheet::CutList(mut list) = level_of(9) else {
        unreachable!("it is made as a cut list");
    };
    let nine = list.pieces.clone();
    let pieces = nine.iter().cycle().take(count).zip(0..);
    list.pieces = pieces
        .map(|(piece, number)| ListedPiece {
            room: format!("Room {}", number / 6 + 1),
            length: Length::sixteenths(200 + number * 7),
            ..piece.clone()
        })
        .collect();
    Sheet::CutList(list)
}

/// The list of a level.
pub fn planned(level: &Sheet) -> SawSheet {
    SawSheet::of(&planner::plan(level)).expect("a list that fits")
}

/// The same as a level that can be written to a file.
pub fn level_of(count: usize) -> Sheet {
    let gauge = Angle::RIGHT;
    let (cope, square) = (End::Cope { gauge }, End::Square);
    let (inside, outside) = (End::InsideMiter { gauge }, End::OutsideMiter { gauge });
    let pieces = [
        ("Bed 2", 1990, cope, square),
        ("Bed 2", 775, outside, outside),
        ("Bed 2", 1204, square, cope),
        ("Bed 2", 613, inside, square),
        ("Hall", 2444, square, outside),
        ("Hall", 317, outside, cope),
        ("Hall", 2001, cope, cope),
        ("Hall", 88, square, square),
        ("Hall", 1530, outside, inside),
    ];
    let pieces = pieces.into_iter().take(count);
    let pieces = pieces.map(|(room, sixteenths, left, right)| ListedPiece {
        room: room.to_owned(),
        wall: None,
        moulding: 0,
        length: Length::sixteenths(sixteenths),
        left,
        right,
    });
    Sheet::CutList(CutList {
        setup: setup(),
        pieces: pieces.collect(),
    })
}

fn setup() -> Setup {
    Setup {
        level: "Upper floor".to_owned(),
        unit: Unit::Inch,
        mark: Mark::Sixteenth,
        old_house: false,
        saw: Saw::default(),
        mouldings: vec![MouldingStock {
            name: "tall base".to_owned(),
            height: Length::sixteenths(84),
            thickness: Length::sixteenths(9),
            profile: Length::sixteenths(12),
            sticks: vec![StickKind {
                length: Length::inches(192),
                price: None,
                count: None,
            }],
            offcuts: Vec::new(),
        }],
    }
}

/// The station as it is on this computer: every press is stored at once.
pub struct Twin {
    sheet: SawSheet,
    machine: Machine,
    now: u32,
    events: Vec<Event>,
}

impl Twin {
    /// With the first piece of a list cut.
    pub fn of(sheet: &SawSheet) -> Twin {
        Twin::started(sheet.clone(), vec![first_done(sheet)])
    }

    /// At the start of a list, with its cards before it.
    pub fn fresh(sheet: &SawSheet) -> Twin {
        Twin::started(sheet.clone(), Vec::new())
    }

    /// With another list in place of its own, started again: what happened is not gone.
    pub fn with_list(&self, sheet: &SawSheet) -> Twin {
        Twin::started(sheet.clone(), self.events.clone())
    }

    /// The same when it is started again: what was asked or said is gone, what happened is not.
    pub fn again(&self) -> Twin {
        Twin::started(self.sheet.clone(), self.events.clone())
    }

    fn started(sheet: SawSheet, events: Vec<Event>) -> Twin {
        let last = events.last().map_or(0, |event| event.sequence);
        let mut machine = Machine::start(1, last, false, &[]);
        machine.go_on(Some(&sheet), events.iter().copied());
        Twin {
            sheet,
            machine,
            now: 0,
            events,
        }
    }

    /// Presses a key, long after whatever was before.
    pub fn press(&mut self, key: Key) {
        self.press_after(10_000, key);
    }

    /// Presses a key so many milliseconds after whatever was before.
    pub fn press_after(&mut self, milliseconds: u32, key: Key) {
        self.wait(milliseconds);
        self.take(Input::Press(key));
    }

    /// So many milliseconds go by.
    pub fn wait(&mut self, milliseconds: u32) {
        self.now += milliseconds;
        self.take(Input::Time);
    }

    /// Takes an input in.
    pub fn take(&mut self, input: Input) {
        let effects = self.machine.take(input, self.now);
        if let Some(event) = effects.store {
            self.events.push(event);
            self.take(Input::Stored(event.sequence));
        }
    }

    /// What was stored, in order.
    pub fn events(&self) -> &[Event] {
        &self.events
    }

    /// Its list's digest.
    pub fn digest(&self) -> u32 {
        self.sheet.head.digest
    }

    /// Where it is in its list.
    pub fn place(&self) -> &Place {
        self.machine.place().expect("a list")
    }

    /// How many pieces are cut.
    pub fn done(&self) -> u16 {
        self.machine
            .place()
            .map_or(0, |place: &Place| place.progress().done)
    }

    /// How many pieces there are.
    pub fn pieces(&self) -> u16 {
        self.sheet.head().pieces
    }

    /// A card stands before the list.
    pub fn is_at_a_card(&self) -> bool {
        self.machine.over().is_some()
    }

    /// What it shows.
    pub fn view(&self) -> View {
        self.machine.view(Some(&self.sheet))
    }

    /// Its picture on the Pico's panel, pixel for pixel.
    pub fn picture(&self) -> Canvas {
        self.picture_on(Panel::SMALL)
    }

    /// Its picture on this panel.
    pub fn picture_on(&self, panel: Panel) -> Canvas {
        picture_of(&self.view(), panel)
    }
}

/// The picture of a view on a panel.
pub fn picture_of(view: &View, panel: Panel) -> Canvas {
    let mut canvas = Canvas::new(panel);
    let drawn = Screen::new(panel).draw(view, &mut canvas);
    drawn.expect("memory does not fail");
    canvas
}

/// The first piece is cut: no card stands before the list any more.
fn first_done(sheet: &SawSheet) -> Event {
    Event {
        sequence: 1,
        boot: 1,
        milliseconds: 1_000,
        what: What::Done {
            piece: sheet.pieces[0].id,
            list: sheet.head.digest,
        },
    }
}

/// A flash of 2 MiB with this list in its record, the first piece cut, and nothing in place of the program.
pub fn flash(sheet: &SawSheet) -> Vec<u8> {
    flash_after(sheet, 1)
}

/// The same after so many events, an odd number: the first piece cut, taken back, cut and so on.
pub fn flash_after(sheet: &SawSheet, events: u32) -> Vec<u8> {
    let memory = RefCell::new(MockFlash::<1>::new(SECTORS, 1));
    let mut record = FlashRecord::open(&memory, 0, SECTORS as u32, 1).expect("a flash that works");
    record.begin(&sheet.head).expect("a flash that works");
    for piece in &sheet.pieces {
        record.put(piece).expect("a flash that works");
    }
    record.commit().expect("a flash that works");
    let piece = sheet.pieces[0].id;
    for sequence in 1..=events {
        let mut event = Event {
            sequence,
            ..first_done(sheet)
        };
        if sequence % 2 == 0 {
            event.what = What::TakenBack { piece };
        }
        record.append(&event).expect("a flash that works");
    }
    let settings = Settings::default().to_bytes();
    record.keep_settings(&settings).expect("a flash that works");
    let mut flash = vec![0xff; RECORD];
    flash.extend(memory.borrow().bytes());
    flash
}
