//! The station on this board: its state machine with its record, fed with contacts, time and bytes, and what comes out of
//! it shown and sounded. What any of it means is left to the station crate.

use embassy_futures::select::{Either3, select3};
use embassy_futures::yield_now;
use embassy_rp::gpio::Output;
use embassy_rp::watchdog::Watchdog;
use embassy_time::{Instant, Timer};
use static_cell::StaticCell;
use station::machine::{Input, Key};
use station::runner::{Outcome, Runner};
use station::view::View;

use crate::beeper;
use crate::contacts::{self, AtStart, Edge};
use crate::host_line;
use crate::light::Light;
use crate::memory::Memory;
use crate::painter::Painter;
use crate::restart::Cause;
use crate::settings::{BRIGHTNESS, WATCHDOG};

/// A station that has nothing to do looks at the clock this often, in milliseconds, and feeds the watchdog.
const IDLE: u32 = 1_000;

/// What the station has on this board.
pub struct Board {
    pub painter: Painter,
    pub light: Light,
    pub watchdog: Watchdog,
    pub lamp: Output<'static>,
    pub contacts: AtStart,
    pub restarted: Option<Cause>,
}

/// Runs the station, for ever.
#[embassy_executor::task]
pub async fn station(mut board: Board) -> ! {
    board.watchdog.start(WATCHDOG);
    board.painter.panel().reset().await;
    // the record is read while the panel recovers from its reset
    let runner = start(open(), &board.contacts);
    if let Some(cause) = board.restarted {
        defmt::warn!("started again by itself: {}", cause);
        runner.take(Input::Restarted, now());
    }
    let mut shown = runner.view();
    board.painter.panel().wake().await;
    board.painter.paint_all(&shown).await;
    board.painter.panel().show().await;
    board.light.set(BRIGHTNESS);
    defmt::info!("the first picture is up");
    board.lamp.set_high();
    let mut desk = Desk { runner, last: 0 };
    loop {
        board.watchdog.feed(WATCHDOG);
        let outcome = desk.next().await;
        if let Some(beep) = outcome.beep {
            beeper::sound(beep);
        }
        if let Some(trouble) = outcome.trouble {
            defmt::error!("not stored: {}", defmt::Display2Format(&trouble));
        }
        if outcome.draw {
            // painting takes a while: the beeper and the line to the host get their turn first
            yield_now().await;
            let view: View = desk.runner.view();
            board.painter.paint_changes(&shown, &view).await;
            shown = view;
        }
    }
}

/// The station's state machine with its record.
type Station = Runner<&'static mut Memory>;

/// The record as it was when the power went. It stays where it is made, as the station does: both are large, and what the
/// stack holds while they are made must not be held for ever by the task.
#[inline(never)]
fn open() -> &'static mut Memory {
    static MEMORY: StaticCell<Memory> = StaticCell::new();
    MEMORY.init_with(Memory::open)
}

/// The station as it was when the power went.
#[inline(never)]
fn start(memory: &'static mut Memory, contacts: &AtStart) -> &'static mut Station {
    static STATION: StaticCell<Station> = StaticCell::new();
    let mut keys = heapless::Vec::<Key, { Key::ALL.len() }>::new();
    keys.extend(contacts.keys.iter().flatten().copied());
    STATION.init_with(|| Runner::start(memory, contacts.pedal, &keys))
}

/// Milliseconds since the start, as the station counts them.
fn now() -> u32 {
    Instant::now().as_millis() as u32
}

/// The station's state machine and what goes into it.
struct Desk {
    runner: &'static mut Station,
    /// The time of the last input.
    last: u32,
}

impl Desk {
    /// Waits for the next thing that happens, and takes it in.
    async fn next(&mut self) -> Outcome {
        // contacts first: what waits there happened before now
        if let Some(edge) = contacts::waiting() {
            return self.edge(edge);
        }
        let mut bytes = [0; 64];
        let idle = self.last.wrapping_add(IDLE);
        let wake = self.runner.wake_at().unwrap_or(idle);
        let left = wake.wrapping_sub(now()).cast_signed().clamp(0, IDLE as i32);
        let time = Timer::after_millis(left.unsigned_abs().into());
        match select3(contacts::next(), time, host_line::read(&mut bytes)).await {
            Either3::First(edge) => self.edge(edge),
            Either3::Second(()) => self.take(Input::Time, now()),
            Either3::Third(count) => {
                host_line::write(&bytes[..count]).await;
                Outcome::default()
            }
        }
    }

    fn edge(&mut self, edge: Edge) -> Outcome {
        self.take(edge.input, edge.at)
    }

    /// Inputs come in the order of their times: an edge that waited while time was told is told as of now.
    fn take(&mut self, input: Input, at: u32) -> Outcome {
        let early = at.wrapping_sub(self.last).cast_signed() < 0;
        self.last = if early { self.last } else { at };
        self.runner.take(input, self.last)
    }
}
