//! The lamp on the circuit board: lit while the program runs, and blinking where a host asks which station this is. When that is
//! asked is left to the station.

use embassy_futures::select::{Either, select};
use embassy_rp::gpio::{Level, Output};
use embassy_rp::peripherals::PIN_25;
use embassy_sync::blocking_mutex::raw::CriticalSectionRawMutex;
use embassy_sync::signal::Signal;
use embassy_time::Timer;

use crate::pins::Part;

static NEXT: Signal<CriticalSectionRawMutex, Says> = Signal::new();

/// What the lamp can say; it is dark before the first of it.
#[derive(Debug, Clone, Copy)]
pub enum Says {
    /// The first picture is up.
    Running,
    /// It is this station.
    Here,
}

/// How often it goes dark to point the station out, and for how long it is dark and lit each time, in milliseconds.
const BLINKS: u32 = 10;
const BLINK: u64 = 150;

/// Says this; what it said before is over.
pub fn say(what: Says) {
    NEXT.signal(what);
}

#[embassy_executor::task]
pub async fn lamp(pin: Part<PIN_25>) -> ! {
    let mut lamp = Output::new(pin, Level::Low);
    let mut says = NEXT.wait().await;
    loop {
        let said = select(show(&mut lamp, says), NEXT.wait()).await;
        lamp.set_high();
        says = match said {
            Either::First(()) => NEXT.wait().await,
            Either::Second(next) => next,
        };
    }
}

async fn show(lamp: &mut Output<'static>, says: Says) {
    lamp.set_high();
    if let Says::Here = says {
        for _ in 0..BLINKS {
            lamp.set_low();
            Timer::after_millis(BLINK).await;
            lamp.set_high();
            Timer::after_millis(BLINK).await;
        }
    }
}
