//! A line to a station that drops, doubles, turns and holds up bytes, and that ends in one of several ways, with the station
//! running at its other end; no clock and no thread. What must hold over it is left to the tests.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::io::{self, ErrorKind, Read, Write};
use std::rc::Rc;

use fastrand::Rng;
use shared_model::messages::{ScreenSize, StationId};
use station::link::{About, Link};
use station::machine::{Input, Key};
use station::record::Record;
use station::runner::Runner;

use crate::memory::{Medium, Memory};

/// A station and what outlives it.
pub struct Station {
    pub medium: Rc<RefCell<Medium>>,
    pub runner: Runner<Memory>,
    link: Link,
    now: u32,
    /// It is off for so many ticks more.
    off: u32,
}

pub fn about() -> About {
    About {
        station: StationId(7),
        board: "test board".try_into().expect("a short name"),
        firmware: "0.1.0".try_into().expect("a short name"),
        screen: ScreenSize {
            width: 320,
            height: 240,
        },
    }
}

impl Station {
    pub fn new(seed: u64) -> Station {
        let medium = Rc::new(RefCell::new(Medium {
            epoch: 1,
            dice: Rng::with_seed(seed),
            ..Medium::default()
        }));
        Station {
            runner: Runner::start(Memory::open(&medium), false, &[]),
            medium,
            link: Link::new(about()),
            now: 1_000,
            off: 0,
        }
    }

    /// The power goes and comes.
    pub fn restart(&mut self) {
        self.runner = Runner::start(Memory::open(&self.medium), false, &[]);
        self.link = Link::new(about());
        self.now = 1_000;
        self.off = 0;
    }

    /// A press that may ask something, past the cards that stand before a list.
    pub fn begin_press(&mut self, key: Key) {
        while self.runner.over().is_some() {
            self.now += 400;
            self.runner.take(Input::Press(Key::Done), self.now);
        }
        self.now += 400;
        self.runner.take(Input::Press(key), self.now);
    }

    pub fn press(&mut self, key: Key) {
        self.begin_press(key);
        // until nothing is asked any more
        self.now += 6_000;
        self.runner.take(Input::Time, self.now);
    }

    fn is_on(&self) -> bool {
        self.off == 0 && !self.medium.borrow().dead
    }

    fn tick(&mut self) {
        self.now += 20;
        if self.is_on() {
            self.runner.take(Input::Time, self.now);
        }
        if self.off > 0 {
            self.off -= 1;
            if self.off == 0 {
                self.restart();
            }
        } else if self.medium.borrow().dead {
            self.off = 3;
        }
    }
}

/// How a line ends, once so many bytes have gone over it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum End {
    /// The host is killed; what it had written may arrive still.
    Killed,
    /// The cable is pulled; what was on it is gone.
    Pulled,
    /// The station loses its power for a few ticks, and the line goes on.
    Reset,
    /// The station's memory dies in one of its steps, which powers it off for a few ticks.
    Dies,
}

#[derive(Debug, Clone, Copy)]
pub struct Faults {
    /// Of so many bytes one is dropped, doubled, turned or held up; 0: none.
    pub one_in: u32,
    pub end: Option<(u32, End)>,
    /// Somebody presses now and then while the line is in use.
    pub presses: bool,
}

pub const CLEAN: Faults = Faults {
    one_in: 0,
    end: None,
    presses: false,
};

/// The host's end of the line.
pub struct Line<'a> {
    station: &'a mut Station,
    faults: Faults,
    dice: Rng,
    to_station: VecDeque<u8>,
    to_host: VecDeque<u8>,
    /// Both ways stand still for so many ticks.
    held_up: u32,
    pub bytes: u32,
    pub ended: bool,
    cut: bool,
}

impl<'a> Line<'a> {
    pub fn to(station: &'a mut Station, faults: Faults, seed: u64) -> Line<'a> {
        if let Some((after, End::Dies)) = faults.end {
            station.medium.borrow_mut().dies_in = Some(after / 32);
        }
        Line {
            station,
            faults,
            dice: Rng::with_seed(seed),
            to_station: VecDeque::new(),
            to_host: VecDeque::new(),
            held_up: 0,
            bytes: 0,
            ended: false,
            cut: false,
        }
    }

    /// What becomes of one byte on its way.
    fn carry(&mut self, byte: u8, to_host: bool) {
        self.bytes += 1;
        let ends = self
            .faults
            .end
            .filter(|(after, _)| !self.ended && self.bytes > *after);
        match ends.map(|(_, end)| end) {
            Some(End::Killed) => {
                self.ended = true;
                self.cut = true;
            }
            Some(End::Pulled) => {
                self.ended = true;
                self.cut = true;
                self.to_station.clear();
                self.to_host.clear();
                self.station.link.cut();
            }
            Some(End::Reset) => {
                self.ended = true;
                self.station.off = 1 + self.dice.u32(0..12);
            }
            Some(End::Dies) | None => {}
        }
        let way = match to_host {
            true => &mut self.to_host,
            false => &mut self.to_station,
        };
        match self.faults.one_in {
            0 => way.push_back(byte),
            one_in if self.dice.u32(0..one_in) > 0 => way.push_back(byte),
            _ => match self.dice.u8(0..6) {
                0 => {}
                1 => way.extend([byte, byte]),
                2 => way.push_back(byte ^ 1 << self.dice.u8(0..8)),
                3 => {
                    // all that is on the line comes twice
                    way.push_back(byte);
                    let again: Vec<u8> = way.iter().copied().collect();
                    way.extend(again);
                }
                4 => way.clear(),
                _ => {
                    way.push_back(byte);
                    self.held_up = self.dice.u32(1..25);
                }
            },
        }
    }

    /// The station takes what has arrived, in parts, and answers.
    fn run(&mut self) {
        while self.held_up == 0 && !self.to_station.is_empty() {
            let count = self.dice.usize(1..=64).min(self.to_station.len());
            let part: Vec<u8> = self.to_station.drain(..count).collect();
            if !self.station.is_on() {
                continue;
            }
            if self.faults.presses && self.dice.u8(0..40) == 0 {
                let key = if self.dice.u8(0..4) > 0 {
                    Key::Done
                } else {
                    Key::TakeBack
                };
                self.station.press(key);
            }
            let Station {
                link, runner, now, ..
            } = &mut *self.station;
            link.take(&part, runner, *now);
            self.ended |= self.station.medium.borrow().dead;
            while self.station.is_on() && !self.station.link.to_send().is_empty() {
                let part: Vec<u8> = self
                    .station
                    .link
                    .to_send()
                    .iter()
                    .copied()
                    .take(64)
                    .collect();
                self.station.link.sent(part.len());
                part.into_iter().for_each(|byte| self.carry(byte, true));
            }
        }
    }
}

impl Read for Line<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        self.run();
        if self.cut {
            return Err(ErrorKind::BrokenPipe.into());
        }
        if self.to_host.is_empty() || self.held_up > 0 {
            self.held_up = self.held_up.saturating_sub(1);
            self.station.tick();
            return Err(ErrorKind::TimedOut.into());
        }
        let count = self
            .dice
            .usize(1..=64)
            .min(self.to_host.len())
            .min(buffer.len());
        self.to_host.read(&mut buffer[..count])
    }
}

impl Write for Line<'_> {
    fn write(&mut self, buffer: &[u8]) -> io::Result<usize> {
        for byte in buffer {
            if self.cut {
                return Err(ErrorKind::BrokenPipe.into());
            }
            self.carry(*byte, false);
        }
        Ok(buffer.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Drop for Line<'_> {
    /// What a killed host had written arrives.
    fn drop(&mut self) {
        self.held_up = 0;
        self.run();
        self.station.link.cut();
    }
}

/// How far a station's log goes, seen at the station.
pub fn last(station: &Station) -> u32 {
    station.runner.record().last_sequence()
}
