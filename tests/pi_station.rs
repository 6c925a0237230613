//! The Raspberry Pi's station and the host program in one box: its own threads and files, with a screen in memory, loaded
//! by the program over loopback, pressed, stopped and started again. The kernel's display, keyboards and pins are left to
//! `emulated/pi`.

use std::fs;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Sender};
use std::sync::{Arc, Mutex};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use embedded_graphics::pixelcolor::Rgb565;
use embedded_graphics::primitives::Rectangle;
use file_record::{FileRecord, FileSettings, station_number};
use raspberry_pi::display::Display;
use raspberry_pi::frame::Frame;
use raspberry_pi::line;
use raspberry_pi::message::{Clock, Message};
use raspberry_pi::settings::Keys;
use raspberry_pi::station::{Parts, run};
use raspberry_pi::trouble::Trouble;
use station::machine::{Input, Key};
use station::record::Damaged;
use station::runner::Runner;
use station::screen::{Panel, Screen};
use station::settings::{Light, SettingsKeeper};
use station::timing::{HOLD_OFF, STABLE, WORD_STAYS};

use crate::jobs::{load, report};
use crate::page::PATIENCE;
use crate::program::{BED_2, fresh_folder};

// by their numbers in Linux's input-event-codes.h
const SPACE: u16 = 57;
const BACKSPACE: u16 = 14;
const N: u16 = 49;
const RIGHT: u16 = 106;
const ESCAPE: u16 = 1;

/// A screen in memory: only what is shown on it is there.
struct Glass {
    shown: Arc<Mutex<Shown>>,
}

struct Shown {
    pixels: Vec<Rgb565>,
    times: usize,
    light: Option<u16>,
}

const PANEL: Panel = Panel::WIDE;

impl Display for Glass {
    fn panel(&self) -> Panel {
        PANEL
    }

    fn show(&mut self, frame: &Frame, area: Rectangle) -> Result<(), Trouble> {
        let mut shown = self.shown.lock().expect("no test panicked with it");
        for row in area.rows() {
            let row = row.unsigned_abs();
            let from = area.top_left.x.unsigned_abs();
            let pixels = frame.row(row, from, area.size.width);
            let start = (row * PANEL.width + from) as usize;
            shown.pixels[start..start + pixels.len()].copy_from_slice(pixels);
        }
        shown.times += 1;
        Ok(())
    }

    fn light(&mut self, light: Light) {
        let mut shown = self.shown.lock().expect("no test panicked with it");
        shown.light = Some(light.thousandths());
    }
}

/// A running station.
struct PiStation {
    folder: PathBuf,
    to: String,
    inbox: Sender<Message>,
    shown: Arc<Mutex<Shown>>,
    clock: Clock,
    thread: JoinHandle<Result<String, Trouble>>,
}

impl PiStation {
    fn start(folder: &Path) -> PiStation {
        let clock = Clock::start();
        let (inbox, messages) = mpsc::channel();
        let any = SocketAddr::from((Ipv4Addr::LOCALHOST, 0));
        let at = line::listen(any, inbox.clone()).expect("a port");
        let shown = Arc::new(Mutex::new(Shown {
            pixels: vec![Rgb565::new(31, 0, 31); (PANEL.width * PANEL.height) as usize],
            times: 0,
            light: None,
        }));
        let parts = Parts {
            display: Glass {
                shown: Arc::clone(&shown),
            },
            record: open(folder),
            keeper: FileSettings::in_folder(folder).expect("a folder"),
            number: station_number(folder).expect("a file").expect("a number"),
            board: "a Linux computer with a long name".to_owned(),
            keys: Keys::default(),
            pedal_closed: false,
            keys_closed: Vec::new(),
            beeper: None,
            clock,
            times: None,
        };
        let thread = thread::spawn(move || run(parts, &messages));
        PiStation {
            folder: folder.to_owned(),
            to: format!("tcp:{at}"),
            inbox,
            shown,
            clock,
            thread,
        }
    }

    fn key(&self, key: u16, down: bool) {
        let message = Message::Key {
            keyboard: 1,
            key,
            down,
            at: self.clock.now(),
        };
        self.inbox.send(message).expect("it runs");
    }

    /// A key pressed and let go at once, as bought pedals do, long after the one before.
    fn press(&self, key: u16) {
        self.key(key, true);
        self.key(key, false);
        thread::sleep(Duration::from_millis(u64::from(HOLD_OFF + 3 * STABLE)));
    }

    fn wait_for_a_picture(&self) {
        while self.shown.lock().expect("no panic").times == 0 {
            thread::sleep(Duration::from_millis(10));
        }
    }

    fn stop(self) -> (PathBuf, String, Vec<Rgb565>) {
        self.inbox.send(Message::Stop).expect("it runs");
        let said = self.thread.join().expect("no panic").expect("no trouble");
        let shown = self.shown.lock().expect("no test panicked with it");
        (self.folder, said, shown.pixels.clone())
    }
}

/// The record, once a station before has let it go.
fn open(folder: &Path) -> FileRecord {
    let until = Instant::now() + PATIENCE;
    loop {
        match FileRecord::open(folder) {
            Ok(record) => return record,
            Err(error) => assert!(Instant::now() < until, "{error}"),
        }
        thread::sleep(Duration::from_millis(10));
    }
}

/// What a station that starts on this record shows, drawn whole.
fn drawn_whole(folder: &Path) -> Vec<Rgb565> {
    drawn_with(folder, Input::Time)
}

/// The same after an input.
fn drawn_with(folder: &Path, input: Input) -> Vec<Rgb565> {
    let screen = Screen::new(PANEL);
    let mut runner = Runner::start(open(folder), false, &[]);
    let keeper = FileSettings::in_folder(folder).expect("a folder");
    runner.set_settings(keeper.read());
    // what is said of the settings at a start is said no longer
    runner.take(Input::Time, WORD_STAYS);
    runner.take(input, WORD_STAYS);
    let mut frame = Frame::new(PANEL);
    let Ok(()) = screen.draw(&runner.view(), &mut frame);
    let rows = 0..PANEL.height;
    rows.flat_map(|row| frame.row(row, 0, PANEL.width).to_vec())
        .collect()
}

#[test]
fn the_host_on_the_same_computer_loads_it_and_it_comes_back_to_the_piece() {
    let folder = fresh_folder();
    let path = folder.path();
    fs::write(path.join("level.json"), BED_2).expect("a file");
    let station = PiStation::start(&path.join("station"));
    let loaded = load(path, "level.json", &station.to);
    assert_eq!(loaded.status, 0, "{}", loaded.err);
    assert!(
        loaded.err.contains("(a Linux computer with a)"),
        "{}",
        loaded.err
    );
    // past the cards, which a press only leafs through
    let mut presses = 0;
    while report(path, &station.to)["done"] != 2 {
        station.press(SPACE);
        presses += 1;
        assert!(presses < 20, "{}", report(path, &station.to));
    }
    station.press(BACKSPACE);
    station.press(SPACE);
    let (folder_of_it, said, shown) = station.stop();
    assert_eq!(said, "2 of 5 done");
    assert!(
        shown == drawn_whole(&folder_of_it),
        "the screen shows the place that the record gives"
    );
    let station = PiStation::start(&folder_of_it);
    assert_eq!(report(path, &station.to)["done"], 2);
    station.press(SPACE);
    let (_, said, _) = station.stop();
    assert_eq!(said, "3 of 5 done");
}

#[test]
fn a_held_key_takes_back_and_a_pulled_keyboard_does_nothing() {
    let folder = fresh_folder();
    let path = folder.path();
    fs::write(path.join("level.json"), BED_2).expect("a file");
    let station = PiStation::start(&path.join("station"));
    assert_eq!(load(path, "level.json", &station.to).status, 0);
    while report(path, &station.to)["done"] != 1 {
        station.press(SPACE);
    }
    station.key(SPACE, true);
    thread::sleep(Duration::from_millis(1_000));
    station.key(SPACE, false);
    thread::sleep(Duration::from_millis(500));
    assert_eq!(report(path, &station.to)["done"], 0);
    // the plug is pulled with the key down: neither a press nor a hold
    station.key(SPACE, true);
    let at = station.clock.now();
    let gone = Message::KeyboardGone { keyboard: 1, at };
    station.inbox.send(gone).expect("it runs");
    thread::sleep(Duration::from_millis(3_000));
    assert_eq!(report(path, &station.to)["done"], 0);
    // a contact on a pin is the same pedal
    for closed in [true, false] {
        let at = station.clock.now();
        let key = None;
        let contact = Message::Contact { key, closed, at };
        station.inbox.send(contact).expect("it runs");
        thread::sleep(Duration::from_millis(100));
    }
    assert_eq!(report(path, &station.to)["done"], 1);
    let contact = |closed| Message::Contact {
        key: Some(Key::TakeBack),
        closed,
        at: station.clock.now(),
    };
    station.inbox.send(contact(true)).expect("it runs");
    thread::sleep(Duration::from_millis(100));
    station.inbox.send(contact(false)).expect("it runs");
    assert_eq!(report(path, &station.to)["done"], 0);
    station.stop();
}

#[test]
fn a_damaged_record_is_said_on_the_screen_from_the_start() {
    let folder = fresh_folder();
    let path = folder.path();
    fs::write(path.join("level.json"), BED_2).expect("a file");
    let at_saw = path.join("station");
    let station = PiStation::start(&at_saw);
    assert_eq!(load(path, "level.json", &station.to).status, 0);
    while report(path, &station.to)["done"] != 3 {
        station.press(SPACE);
    }
    station.stop();
    // the middle of three presses, and then the list too
    for (file, damaged) in [("events", Damaged::Presses), ("list", Damaged::List)] {
        let file = at_saw.join(file);
        let mut bytes = fs::read(&file).expect("a file");
        let middle = bytes.len() / 2;
        bytes[middle] ^= 0xff;
        fs::write(&file, bytes).expect("a file");
        let station = PiStation::start(&at_saw);
        station.wait_for_a_picture();
        let (_, _, shown) = station.stop();
        assert!(
            shown == drawn_with(&at_saw, Input::Damaged(damaged)),
            "{damaged:?}"
        );
    }
}

#[test]
fn what_is_set_on_the_screen_is_kept_and_sets_the_light() {
    let folder = fresh_folder();
    let station = PiStation::start(folder.path());
    // the settings' page is the menu's second row, its last row is the light
    station.press(N);
    station.press(RIGHT);
    station.press(SPACE);
    for _ in 0..4 {
        station.press(RIGHT);
    }
    station.press(SPACE);
    station.press(ESCAPE);
    let light = station.shown.lock().expect("no panic").light;
    let (folder_of_it, said, shown) = station.stop();
    assert_eq!(said, "no list");
    let keeper = FileSettings::in_folder(&folder_of_it).expect("a folder");
    let kept = keeper.read().expect("settings").expect("some");
    assert_eq!(light, Some(kept.light.thousandths()));
    assert_eq!(kept.light.step(), 1);
    assert!(shown == drawn_whole(&folder_of_it), "the same picture");
    let again = PiStation::start(&folder_of_it);
    again.wait_for_a_picture();
    assert_eq!(again.shown.lock().expect("no panic").light, light);
    again.stop();
}
