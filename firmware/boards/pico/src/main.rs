//! The station on a Raspberry Pi Pico or Pico 2: bringing the board up. Each part of it has a module of its own; what a
//! station does is left to the station crate.
#![no_std]
#![no_main]

mod beeper;
mod contacts;
mod host_line;
mod lamp;
mod light;
mod memory;
mod painter;
mod panel;
mod pins;
mod restart;
mod settings;
mod station;

use embassy_executor::{InterruptExecutor, Spawner};
use embassy_rp::interrupt;
use embassy_rp::interrupt::{InterruptExt, Priority};
use embassy_rp::watchdog::Watchdog;

use crate::light::Light;
use crate::painter::Painter;
use crate::panel::Panel;
use crate::pins::Parts;
use crate::station::Board;

/// Runs what must not wait for a picture to be painted.
static URGENT: InterruptExecutor = InterruptExecutor::new();

#[interrupt]
unsafe fn SWI_IRQ_0() {
    // SAFETY: this is the interrupt that it was started with
    unsafe { URGENT.on_interrupt() }
}

#[embassy_executor::main]
async fn main(spawner: Spawner) {
    let parts = Parts::of(embassy_rp::init(embassy_rp::config::Config::default()));
    let mut watchdog = Watchdog::new(parts.watchdog);
    let restarted = restart::cause(&mut watchdog);
    interrupt::SWI_IRQ_0.set_priority(Priority::P3);
    let urgent = URGENT.start(interrupt::SWI_IRQ_0);
    let contacts =
        contacts::listen(urgent, parts.pedal, parts.keys).expect("room for every contact");
    let memory = memory::chip(parts.flash);
    let number = memory::number(memory);
    let board = Board {
        painter: Painter::new(Panel::new(parts.panel)),
        light: Light::new(parts.light),
        watchdog,
        contacts,
        memory,
        number,
        restarted,
    };
    spawner.spawn(beeper::beeper(parts.beeper).expect("one beeper"));
    spawner.spawn(lamp::lamp(parts.lamp).expect("one lamp"));
    host_line::start(spawner, parts.host, number).expect("one line to the host");
    spawner.spawn(station::station(board).expect("one station"));
}
