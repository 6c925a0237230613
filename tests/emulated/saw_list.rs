//! A saw list to be cut on the emulated station, and what its pictures are by the same station code on this computer.
//! Comparing them is left to the tests.

use planner::saw_list::SawSheet;
use planner::walk::{CutList, ListedPiece, MouldingStock, Saw, Setup, Sheet, StickKind};
use shared_model::{Angle, End, Length, Mark, Place, Posture, SawList, Side, True45, Unit};
use station::machine::{Input, Key, Machine};
use station::screen::{Panel, Screen};
use station::view::View;

use super::canvas::Canvas;

/// Nine pieces of two rooms, with every kind of end.
pub fn sheet() -> SawSheet {
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
    let pieces = pieces.map(|(room, sixteenths, left, right)| ListedPiece {
        room: room.to_owned(),
        wall: None,
        moulding: 0,
        length: Length::sixteenths(sixteenths),
        left,
        right,
    });
    let sheet = Sheet::CutList(CutList {
        setup: setup(),
        pieces: pieces.into(),
    });
    SawSheet::of(&planner::plan(&sheet)).expect("a short list")
}

fn setup() -> Setup {
    Setup {
        level: "Upper floor".to_owned(),
        unit: Unit::Inch,
        mark: Mark::Sixteenth,
        old_house: false,
        saw: Saw {
            posture: Some(Posture::StandingUpsideDown),
            standing_height: Length::inches(6),
            flat_width: Length::inches(12),
            swing_left: Angle::degrees(50),
            swing_right: Angle::degrees(60),
            tilt_left: Angle::degrees(48),
            tilt_right: Angle::degrees(48),
            true_45: True45::EXACT,
            back_cut_up_to: Angle::degrees(5),
            slides: false,
            kerf: Length::sixteenths(2),
            end_trim: Length::sixteenths(8),
            stock_side: Side::Left,
        },
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
}

impl Twin {
    /// At the start of a list.
    pub fn of(sheet: &SawSheet) -> Twin {
        let mut machine = Machine::start(1, 0, false, &[]);
        machine.go_on(Some(sheet), std::iter::empty());
        Twin {
            sheet: sheet.clone(),
            machine,
            now: 0,
        }
    }

    /// Presses a key, long after whatever was before.
    pub fn press(&mut self, key: Key) {
        self.now += 10_000;
        self.take(Input::Time);
        self.take(Input::Press(key));
    }

    /// Takes an input in.
    pub fn take(&mut self, input: Input) {
        let effects = self.machine.take(input, self.now);
        if let Some(event) = effects.store {
            self.take(Input::Stored(event.sequence));
        }
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

    /// What it shows.
    pub fn view(&self) -> View {
        self.machine.view(Some(&self.sheet))
    }

    /// Its picture, pixel for pixel.
    pub fn picture(&self) -> Canvas {
        let mut canvas = Canvas::new(Panel::SMALL);
        let drawn = Screen::new(Panel::SMALL).draw(&self.view(), &mut canvas);
        drawn.expect("memory does not fail");
        canvas
    }
}

/// A flash with this list in it.
pub fn flash(sheet: &SawSheet) -> Vec<u8> {
    let mut flash = vec![0xff; 1792 * 1024];
    flash.extend(postcard::to_stdvec(&sheet.head).expect("a list in memory"));
    for piece in &sheet.pieces {
        flash.extend(postcard::to_stdvec(piece).expect("a piece in memory"));
    }
    flash
}
