//! The station on this computer: its state machine with its record, fed with keys, contacts, time and bytes, and what comes
//! out of it shown, sounded and kept. What any of it means is left to the station crate.

use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender};
use std::time::Duration;

use file_record::{FileRecord, FileSettings};
use shared_model::Place;
use shared_model::messages::{ScreenSize, StationId};
use station::link::{About, Link};
use station::machine::{Beep, Input, Key};
use station::runner::{Outcome, Runner};
use station::screen::{Panel, Screen};
use station::settings::{Settings, SettingsKeeper};
use station::view::View;

use crate::display::Display;
use crate::foot::Foot;
use crate::frame::Frame;
use crate::key_names;
use crate::message::{Clock, Message};
use crate::settings::Keys;
use crate::times::Times;
use crate::trouble::Trouble;

/// What the station has on this computer.
pub struct Parts<D> {
    /// The screen.
    pub display: D,
    /// The record.
    pub record: FileRecord,
    /// Keeps what is set on the screen.
    pub keeper: FileSettings,
    /// Its number for life.
    pub number: StationId,
    /// The computer's name.
    pub board: String,
    /// Which keys of keyboards do what.
    pub keys: Keys,
    /// The pedal's contact reads closed at the start.
    pub pedal_closed: bool,
    /// Contacts of keys that read closed at the start.
    pub keys_closed: Vec<Key>,
    /// Takes what is to be heard.
    pub beeper: Option<Sender<Beep>>,
    /// The station's time.
    pub clock: Clock,
    /// Tells how long every picture takes.
    pub times: Option<Times>,
}

/// Runs the station until it is told to stop; how far the list is then.
///
/// # Errors
/// The screen fails.
pub fn run<D: Display>(parts: Parts<D>, inbox: &Receiver<Message>) -> Result<String, Trouble> {
    let clock = parts.clock;
    let mut station = Station::start(parts);
    station.show_all()?;
    println!("the first picture is up after {} ms", clock.now());
    while station.next(inbox) {
        station.show()?;
    }
    Ok(station.progress())
}

struct Station<D> {
    runner: Runner<FileRecord>,
    keeper: FileSettings,
    link: Link,
    /// The line by which bytes came last.
    line: Option<u32>,
    keys: Keys,
    foot: Foot,
    /// The pedal's contact on a pin reads closed.
    contact_closed: bool,
    beeper: Option<Sender<Beep>>,
    display: D,
    screen: Screen,
    frame: Frame,
    view: View,
    clock: Clock,
    /// The time of the last input.
    last: u32,
    /// When a key or a contact moved last.
    moved: u32,
    times: Option<Times>,
    draw: bool,
}

impl<D: Display> Station<D> {
    fn start(parts: Parts<D>) -> Station<D> {
        // the screen says so in fewer words
        for damage in parts.record.damage() {
            eprintln!("{damage}");
        }
        let panel = parts.display.panel();
        let screen = Screen::new(panel);
        let runner = Runner::start(parts.record, parts.pedal_closed, &parts.keys_closed);
        let mut station = Station {
            view: runner.view(),
            runner,
            link: Link::new(about(parts.number, &parts.board, panel)),
            line: None,
            keeper: parts.keeper,
            keys: parts.keys,
            foot: Foot::default(),
            contact_closed: parts.pedal_closed,
            beeper: parts.beeper,
            display: parts.display,
            screen,
            frame: Frame::new(panel),
            clock: parts.clock,
            last: 0,
            moved: 0,
            times: parts.times,
            draw: false,
        };
        station.runner.set_leaves(station.screen.leaves());
        let read = station.keeper.read();
        if let Err(error) = read {
            eprintln!("{error}");
        }
        let outcome = station.runner.set_settings(read);
        station.tell(outcome);
        station
    }

    /// Waits for the next thing that happens and takes in whatever is there by then. False where it is to stop.
    fn next(&mut self, inbox: &Receiver<Message>) -> bool {
        let wake = [self.runner.wake_at(), self.foot.opens_at()];
        let now = self.clock.now();
        let left = |moment: u32| moment.wrapping_sub(now).cast_signed().max(0);
        let left = wake.into_iter().flatten().map(left).min();
        let received = match left {
            Some(left) => inbox.recv_timeout(Duration::from_millis(left.unsigned_abs().into())),
            None => inbox.recv().map_err(|_| RecvTimeoutError::Disconnected),
        };
        if let Some(times) = &mut self.times {
            times.wakes();
        }
        match received {
            Ok(message) => {
                let mut goes_on = self.message(message);
                // a picture of each would come late
                while let (true, Ok(message)) = (goes_on, inbox.try_recv()) {
                    goes_on = self.message(message);
                }
                goes_on
            }
            Err(RecvTimeoutError::Timeout) => {
                self.time_passes(self.clock.now());
                self.take(Input::Time, self.clock.now());
                true
            }
            Err(RecvTimeoutError::Disconnected) => false,
        }
    }

    fn message(&mut self, message: Message) -> bool {
        match message {
            Message::Key {
                keyboard,
                key,
                down,
                at,
            } => {
                self.moved = at;
                self.key(keyboard, key, down, at);
            }
            Message::KeyboardGone { keyboard, at } => {
                self.time_passes(at);
                self.foot.gone(keyboard, at);
                self.time_passes(at);
            }
            Message::Contact {
                key: None,
                closed,
                at,
            } => {
                self.moved = at;
                self.time_passes(at);
                self.contact_closed = closed;
                self.pedal(at);
            }
            Message::Contact {
                key: Some(key),
                closed,
                at,
            } => {
                self.moved = at;
                self.take(Input::Contact { key, closed }, at);
            }
            Message::Asked { line, bytes, reply } => {
                let answer = self.asked(line, &bytes);
                // who asked may have gone away
                let _ = reply.send(answer);
            }
            Message::Stop => return false,
        }
        true
    }

    fn key(&mut self, keyboard: u32, key: u16, down: bool, at: u32) {
        self.time_passes(at);
        match self.keys.does(key) {
            Some(None) if !down => {
                self.foot.up(keyboard, key, at);
                self.time_passes(at);
            }
            Some(None) => {
                if self.foot.down(keyboard, key, at) {
                    self.pedal(at);
                }
            }
            _ if !down => {}
            Some(Some(key)) => self.take(Input::Press(key), at),
            None => {
                if let Some(digit) = key_names::digit(key) {
                    self.take(Input::Digit(digit), at);
                }
            }
        }
    }

    /// The foot on a keyboard's key may have been lifted by now.
    fn time_passes(&mut self, now: u32) {
        if let Some(at) = self.foot.time(now) {
            self.pedal(at);
        }
    }

    fn pedal(&mut self, at: u32) {
        let closed = self.contact_closed || self.foot.is_closed();
        self.take(Input::Pedal { closed }, at);
    }

    fn asked(&mut self, line: u32, bytes: &[u8]) -> Vec<u8> {
        if self.line.replace(line) != Some(line) {
            self.link.cut();
        }
        let now = self.later(self.clock.now());
        let outcome = self.link.take(bytes, &mut self.runner, now);
        self.tell(outcome);
        let answer = self.link.to_send().to_vec();
        self.link.sent(answer.len());
        answer
    }

    /// Inputs come in the order of their times: one that waited while time was told is told as of now.
    fn later(&mut self, at: u32) -> u32 {
        if at.wrapping_sub(self.last).cast_signed() > 0 {
            self.last = at;
        }
        self.last
    }

    fn take(&mut self, input: Input, at: u32) {
        let at = self.later(at);
        let outcome = self.runner.take(input, at);
        self.tell(outcome);
    }

    fn tell(&mut self, mut outcome: Outcome) {
        if let Some(settings) = outcome.keep {
            outcome = outcome.then(self.keep(&settings));
        }
        if let Some(trouble) = outcome.trouble {
            match self.runner.record().trouble() {
                Some(reason) => eprintln!("{trouble} ({reason})"),
                None => eprintln!("{trouble}"),
            }
        }
        if let Some(light) = outcome.light {
            self.display.light(light);
        }
        if let (Some(beep), Some(beeper)) = (outcome.beep, &self.beeper) {
            // a beeper that has stopped stops nothing else
            let _ = beeper.send(beep);
        }
        self.draw |= outcome.draw;
    }

    /// Keeps settings that an input changed; the screen says so where that fails.
    fn keep(&mut self, settings: &Settings) -> Outcome {
        let Err(error) = self.keeper.keep(settings) else {
            return Outcome::default();
        };
        eprintln!("{error}");
        self.runner.take(Input::SettingsNotKept, self.last)
    }

    fn show_all(&mut self) -> Result<(), Trouble> {
        self.view = self.runner.view();
        self.draw = false;
        let Ok(()) = self.screen.draw(&self.view, &mut self.frame);
        let area = self.frame.take_drawn();
        self.display.show(&self.frame, area)
    }

    fn show(&mut self) -> Result<(), Trouble> {
        if !std::mem::take(&mut self.draw) {
            return Ok(());
        }
        if let Some(times) = &mut self.times {
            times.is_decided();
        }
        let view = self.runner.view();
        let Ok(()) = self.screen.redraw(&self.view, &view, &mut self.frame);
        self.view = view;
        if let Some(times) = &mut self.times {
            times.is_drawn();
        }
        let area = self.frame.take_drawn();
        self.display.show(&self.frame, area)?;
        if let Some(times) = &self.times {
            times.is_shown(self.clock.now().wrapping_sub(self.moved));
        }
        Ok(())
    }

    /// How far the list is.
    fn progress(&self) -> String {
        match self.runner.place().map(Place::progress) {
            Some(progress) => format!("{} of {} done", progress.done, progress.pieces),
            None => "no list".to_owned(),
        }
    }
}

/// What the station says of itself.
fn about(station: StationId, board: &str, panel: Panel) -> About {
    let board: String = board.chars().take(24).collect();
    About {
        station,
        // a name that does not fit is missing and nothing else
        board: board.trim_end().try_into().unwrap_or_default(),
        firmware: env!("CARGO_PKG_VERSION").try_into().unwrap_or_default(),
        screen: ScreenSize {
            width: panel.width as u16,
            height: panel.height as u16,
        },
    }
}
