//! The panel: starting it and sending it rectangles of pixels, over SPI by DMA. What the pixels show is left to the painter.
//!
//! Commands and waits are those of the controllers' datasheets (ILI9341, section 8.2; the ST7789's are the same).

use embassy_rp::gpio::{Level, Output};
use embassy_rp::peripherals::{DMA_CH0, SPI0};
use embassy_rp::spi::{Async, Config, Spi};
use embassy_rp::{bind_interrupts, dma};
use embassy_time::{Duration, Instant, Timer};
use embedded_graphics::primitives::Rectangle;

use crate::pins::PanelParts;
use crate::settings::{PANEL_HERTZ, PANEL_TURNED};

bind_interrupts!(struct Interrupts {
    DMA_IRQ_0 => dma::InterruptHandler<DMA_CH0>;
});

const WAKE_UP: u8 = 0x11;
const DISPLAY_ON: u8 = 0x29;
const COLUMNS: u8 = 0x2a;
const ROWS: u8 = 0x2b;
const PIXELS: u8 = 0x2c;
const PIXEL_FORMAT: u8 = 0x3a;
const SIXTEEN_BITS: u8 = 0x55;
const MEMORY_ORDER: u8 = 0x36;
/// The order of rows and columns with the connector at the left and at the right, and of red and blue, as the common
/// modules are glued together.
const ORDER: [u8; 2] = match cfg!(feature = "st7789") {
    false => [0x28, 0xe8],
    true => [0x60, 0xa0],
};
/// Whether the glass shows colours reversed: 0x20 no, 0x21 yes.
const REVERSED: u8 = match cfg!(feature = "st7789") {
    false => 0x20,
    true => 0x21,
};

/// After a reset, before it can be woken: it may have been awake.
const AFTER_RESET: Duration = Duration::from_millis(120);
/// After waking, before the next command.
const BEFORE_SETTINGS: Duration = Duration::from_millis(5);
/// After waking, before it shows something: its supplies are up by then.
const BEFORE_SHOWING: Duration = Duration::from_millis(120);

/// The panel.
pub struct Panel {
    bus: Spi<'static, SPI0, Async>,
    select: Output<'static>,
    is_data: Output<'static>,
    reset: Output<'static>,
    /// When what is under way has had its time.
    ready: Instant,
}

impl Panel {
    /// The panel, unknown how it stands.
    pub fn new(parts: PanelParts) -> Panel {
        let mut config = Config::default();
        config.frequency = PANEL_HERTZ;
        Panel {
            bus: Spi::new_txonly(
                parts.bus,
                parts.clock,
                parts.out,
                parts.feed,
                Interrupts,
                config,
            ),
            select: Output::new(parts.select, Level::High),
            is_data: Output::new(parts.is_data, Level::High),
            reset: Output::new(parts.reset, Level::High),
            ready: Instant::now(),
        }
    }

    /// Resets it. It then takes its time, in which others may do something.
    pub async fn reset(&mut self) {
        self.reset.set_low();
        Timer::after_millis(1).await;
        self.reset.set_high();
        self.ready = Instant::now() + AFTER_RESET;
    }

    /// Wakes it after a reset, when it can be woken. It then takes pixels, but shows nothing yet.
    pub async fn wake(&mut self) {
        Timer::at(self.ready).await;
        self.command(WAKE_UP, &[]);
        self.ready = Instant::now() + BEFORE_SHOWING;
        Timer::after(BEFORE_SETTINGS).await;
        self.command(PIXEL_FORMAT, &[SIXTEEN_BITS]);
        self.command(MEMORY_ORDER, &[ORDER[usize::from(PANEL_TURNED)]]);
        self.command(REVERSED, &[]);
    }

    /// Shows what it has taken, when it can.
    pub async fn show(&mut self) {
        Timer::at(self.ready).await;
        self.command(DISPLAY_ON, &[]);
    }

    /// Sends the pixels of a rectangle, row by row, each pixel's high byte first.
    pub async fn send(&mut self, area: Rectangle, pixels: &[u8]) {
        let Some(last) = area.bottom_right() else {
            return;
        };
        self.command(COLUMNS, &from_to(area.top_left.x, last.x));
        self.command(ROWS, &from_to(area.top_left.y, last.y));
        self.command(PIXELS, &[]);
        self.select.set_low();
        // a bus that only writes has no errors to give
        let _ = self.bus.write(pixels).await;
        self.select.set_high();
    }

    /// A command and what belongs to it: a few bytes, over before another task could run.
    fn command(&mut self, command: u8, rest: &[u8]) {
        self.select.set_low();
        self.is_data.set_low();
        self.put(&[command]);
        self.is_data.set_high();
        self.put(rest);
        self.select.set_high();
    }

    fn put(&mut self, bytes: &[u8]) {
        // a bus that only writes has no errors to give
        let _ = self.bus.blocking_write(bytes);
    }
}

fn from_to(first: i32, last: i32) -> [u8; 4] {
    let ([a, b], [c, d]) = ((first as u16).to_be_bytes(), (last as u16).to_be_bytes());
    [a, b, c, d]
}
