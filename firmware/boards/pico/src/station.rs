//! The station on this board: its state machine with its record, fed with contacts, time and the host's bytes, and what
//! comes out of it shown, sounded and sent. What any of it means is left to the station crate.

use embassy_futures::select::{Either5, select5};
use embassy_futures::yield_now;
use embassy_rp::watchdog::Watchdog;
use embassy_time::{Instant, Timer};
use flash_record::OpenError;
use heapless::String;
use shared_model::messages::{ScreenSize, StationId};
use static_cell::StaticCell;
use station::link::{About, Link};
use station::machine::{Input, Key};
use station::record::RecordError;
use station::runner::{Outcome, Runner};
use station::settings::{Light as Step, Settings};
use station::timing::STABLE;
use station::view::{Body, NoMemory, View};

use crate::beeper;
use crate::contacts::{self, AtStart, Edge};
use crate::host_line;
use crate::lamp::{self, Says};
use crate::light::Light;
use crate::memory::{self, Chip, Memory};
use crate::painter::Painter;
use crate::restart::{self, Cause};
use crate::settings::{PANEL, WATCHDOG};

/// A station that has nothing to do looks at the clock this often, in milliseconds, and feeds the watchdog.
const IDLE: u32 = 1_000;

/// What the station has on this board.
pub struct Board {
    pub painter: Painter,
    pub light: Light,
    pub watchdog: Watchdog,
    pub contacts: AtStart,
    pub memory: &'static Chip,
    pub number: u64,
    pub restarted: Option<Cause>,
}

/// Runs the station, for ever.
#[embassy_executor::task]
pub async fn station(mut board: Board) -> ! {
    board.watchdog.start(WATCHDOG);
    board.painter.panel().reset().await;
    // the record is read while the panel recovers from its reset
    let from = now();
    let memory = match memory::open(board.memory) {
        Ok(memory) => memory,
        Err(error) => without_memory(board, error).await,
    };
    let mut desk = Desk::new(memory, &board.contacts, board.number);
    desk.worked_on_memory(from);
    desk.go_by_kept_settings();
    if let Some(cause) = board.restarted {
        defmt::warn!("started again by itself: {}", cause);
        desk.take(Input::Restarted, now());
    }
    for damage in desk.runner.record().damage() {
        defmt::error!("damage: {}", defmt::Display2Format(damage));
    }
    let mut shown = desk.runner.view();
    board.show_first(&shown, desk.runner.settings().light).await;
    loop {
        board.watchdog.feed(WATCHDOG);
        let mut outcome = desk.next().await;
        if let Some(settings) = outcome.keep {
            outcome = outcome.then(desk.keep(&settings));
        }
        if let Some(light) = outcome.light {
            board.light.set(light.thousandths());
        }
        if let Some(beep) = outcome.beep {
            beeper::sound(beep, desk.runner.settings().sound);
        }
        if outcome.point_out {
            lamp::say(Says::Here);
        }
        if let Some(trouble) = outcome.trouble {
            defmt::error!("not stored: {}", defmt::Display2Format(&trouble));
            if trouble == RecordError::StartAgain {
                restart::for_the_memory();
            }
        }
        if outcome.draw {
            // painting takes a while: the beeper and the line to the host get their turn first
            yield_now().await;
            let view = desk.runner.view();
            board.painter.paint_changes(&shown, &view).await;
            shown = view;
        }
    }
}

impl Board {
    /// Wakes the panel and lights it when the first picture is on it.
    async fn show_first(&mut self, view: &View, light: Step) {
        self.painter.panel().wake().await;
        self.painter.paint_all(view).await;
        self.painter.panel().show().await;
        self.light.set(light.thousandths());
        lamp::say(Says::Running);
        defmt::info!("the first picture is up");
    }
}

/// What is kept cannot be read: nothing can be cut by it, and nothing of it is touched unless a person asks for that, with
/// the key for a bad stick held when the power comes.
async fn without_memory(mut board: Board, error: OpenError) -> ! {
    defmt::error!("no memory: {}", defmt::Display2Format(&error));
    if board.contacts.keys.contains(&Some(Key::BadStick)) && memory::give_up(board.memory).is_ok() {
        restart::for_the_memory();
    }
    let view = View {
        body: Body::NoMemory(match error {
            OpenError::OtherVersion { .. } => NoMemory::OtherProgram,
            OpenError::Flash(_) | OpenError::NoRoom | OpenError::NoNote => NoMemory::Unreadable,
        }),
        banner: None,
    };
    board.show_first(&view, Step::default()).await;
    loop {
        board.watchdog.feed(WATCHDOG);
        Timer::after_millis(IDLE.into()).await;
    }
}

/// Milliseconds since the start, as the station counts them.
fn now() -> u32 {
    Instant::now().as_millis() as u32
}

/// The station's state machine with its record.
type Station = Runner<&'static mut Memory>;

/// The station as it was when the power went. It is large, and stays where it is made; what the stack holds meanwhile
/// must not be held for ever by the task.
#[inline(never)]
fn start(memory: &'static mut Memory, contacts: &AtStart) -> &'static mut Station {
    static STATION: StaticCell<Station> = StaticCell::new();
    let mut keys = heapless::Vec::<Key, { Key::ALL.len() }>::new();
    keys.extend(contacts.keys.iter().flatten().copied());
    STATION.init_with(|| Runner::start(memory, contacts.pedal, &keys))
}

/// The station's end of the line to the host.
#[inline(never)]
fn link(number: u64) -> &'static mut Link {
    static LINK: StaticCell<Link> = StaticCell::new();
    let text = |text| String::try_from(text).unwrap_or_default();
    let board = match cfg!(feature = "rp2350") {
        false => "Raspberry Pi Pico",
        true => "Raspberry Pi Pico 2",
    };
    LINK.init_with(|| {
        Link::new(About {
            station: StationId(number),
            board: text(board),
            firmware: text(env!("CARGO_PKG_VERSION")),
            screen: ScreenSize {
                width: PANEL.width as u16,
                height: PANEL.height as u16,
            },
        })
    })
}

/// The station's state machine and what goes into it.
struct Desk {
    runner: &'static mut Station,
    link: &'static mut Link,
    /// The time of the last input.
    last: u32,
}

impl Desk {
    fn new(memory: &'static mut Memory, contacts: &AtStart, number: u64) -> Desk {
        Desk {
            runner: start(memory, contacts),
            link: link(number),
            last: 0,
        }
    }

    /// Goes by the settings that are kept, else by the usual ones; the screen tells of those that were lost.
    fn go_by_kept_settings(&mut self) {
        let kept = self.runner.record().settings();
        let read = match kept {
            [] => Ok(None),
            bytes => Settings::from_bytes(bytes).map(Some),
        };
        self.runner.set_settings(read);
    }

    /// Keeps settings; the screen says so where that fails.
    fn keep(&mut self, settings: &Settings) -> Outcome {
        let from = now();
        let kept = self
            .runner
            .keep(|record| record.keep_settings(&settings.to_bytes()));
        let worked = self.worked_on_memory(from);
        match kept {
            Ok(()) => worked,
            Err(error) => {
                defmt::error!("settings not kept: {}", defmt::Display2Format(&error));
                worked.then(self.take(Input::SettingsNotKept, now()))
            }
        }
    }

    /// The memory was worked on from then until now, during which contacts are not looked at.
    fn worked_on_memory(&mut self, from: u32) -> Outcome {
        let until = now();
        match until.wrapping_sub(from) < STABLE {
            true => Outcome::default(),
            false => self.runner.take(Input::Unwatched { until }, self.last),
        }
    }

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
        let (from, to) = (
            host_line::read(&mut bytes),
            host_line::write(self.link.to_send()),
        );
        match select5(contacts::next(), time, host_line::cut(), to, from).await {
            Either5::First(edge) => return self.edge(edge),
            Either5::Second(()) => return self.take(Input::Time, now()),
            Either5::Third(()) => self.link.cut(),
            Either5::Fourth(count) => self.link.sent(count),
            Either5::Fifth(count) => {
                self.last = now();
                let heard = self.link.take(&bytes[..count], self.runner, self.last);
                return heard.then(self.worked_on_memory(self.last));
            }
        }
        Outcome::default()
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
