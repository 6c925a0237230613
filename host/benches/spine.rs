//! What the spine costs: planning the demo level as a whole process, beside starting the same program for nothing; and a
//! redraw of the station's picture, beside filling the same panel with one colour.

use std::process::{Command, Stdio};

use divan::Bencher;
use embedded_graphics::framebuffer::{Framebuffer, buffer_size};
use embedded_graphics::pixelcolor::Rgb565;
use embedded_graphics::pixelcolor::raw::{LittleEndian, RawU16};
use embedded_graphics::prelude::*;
use planner::saw_list::SawSheet;
use planner::walk::{CutList, ListedPiece, MouldingStock, Saw, Setup, Sheet, StickKind};
use shared_model::{Angle, End, Length, Mark, Unit};
use station::machine::{Input, Key, Machine};
use station::screen::{Panel, Screen};
use station::timing::HOLD_OFF;
use station::view::View;

fn main() {
    divan::main();
}

fn baserun(arguments: &[&str]) {
    let status = Command::new(env!("CARGO_BIN_EXE_baserun"))
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    assert!(status.is_ok_and(|status| status.success()));
}

#[divan::bench(sample_count = 50)]
fn plan_the_demo() {
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/host/demo/upper-floor.json");
    baserun(&["plan", demo, "--format", "json"]);
}

#[divan::bench(sample_count = 50)]
fn reference_start_for_nothing() {
    baserun(&["--version"]);
}

type Wide =
    Framebuffer<Rgb565, RawU16, LittleEndian, 800, 480, { buffer_size::<Rgb565>(800, 480) }>;
type Small =
    Framebuffer<Rgb565, RawU16, LittleEndian, 320, 240, { buffer_size::<Rgb565>(320, 240) }>;

fn redraw<D: DrawTarget<Color = Rgb565>>(bencher: Bencher, panel: Panel, target: &mut D) {
    let screen = Screen::new(panel);
    let (first, second) = two_pieces();
    let mut forth = true;
    bencher.bench_local(|| {
        let (old, new) = if forth {
            (&first, &second)
        } else {
            (&second, &first)
        };
        forth = !forth;
        screen.redraw(old, new, target).is_ok()
    });
}

fn fill<D: DrawTarget<Color = Rgb565>>(bencher: Bencher, target: &mut D) {
    bencher.bench_local(|| target.clear(Rgb565::WHITE).is_ok());
}

#[divan::bench]
fn redraw_320x240(bencher: Bencher) {
    redraw(bencher, Panel::SMALL, &mut *Box::new(Small::new()));
}

#[divan::bench]
fn reference_fill_320x240(bencher: Bencher) {
    fill(bencher, &mut *Box::new(Small::new()));
}

#[divan::bench]
fn redraw_800x480(bencher: Bencher) {
    redraw(bencher, Panel::WIDE, &mut *Box::new(Wide::new()));
}

#[divan::bench]
fn reference_fill_800x480(bencher: Bencher) {
    fill(bencher, &mut *Box::new(Wide::new()));
}

/// The pictures of two pieces, before and after a press.
fn two_pieces() -> (View, View) {
    let sheet = SawSheet::of(&planner::plan(&Sheet::CutList(cut_list()))).expect("a short list");
    let mut machine = Machine::start(1, 0, false, &[]);
    machine.go_on(Some(&sheet), std::iter::empty());
    while machine.over().is_some() {
        let now = machine.now() + HOLD_OFF;
        machine.take(Input::Press(Key::Done), now);
    }
    let first = machine.view(Some(&sheet));
    machine.take(Input::Press(Key::LookAhead), 0);
    (first, machine.view(Some(&sheet)))
}

fn cut_list() -> CutList {
    let piece = |sixteenths, left, right| ListedPiece {
        room: "Bed 2".to_owned(),
        wall: None,
        moulding: 0,
        length: Length::sixteenths(sixteenths),
        left,
        right,
    };
    let gauge = Angle::RIGHT;
    CutList {
        setup: Setup {
            level: "Bench".to_owned(),
            unit: Unit::Inch,
            mark: Mark::Sixteenth,
            old_house: false,
            saw: Saw::default(),
            mouldings: vec![MouldingStock {
                name: "base".to_owned(),
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
        },
        pieces: vec![
            piece(1990, End::Cope { gauge }, End::Square),
            piece(
                775,
                End::OutsideMiter { gauge },
                End::OutsideMiter { gauge },
            ),
        ],
    }
}
