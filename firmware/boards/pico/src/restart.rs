//! What happens when something goes wrong that must not: a panic or a fault ends in a restart at once, a station that
//! stands still in one by the watchdog, and after it the cause is known. Nothing is stored on that way, so that the record
//! is as a pulled plug leaves it; being back at the piece is left to the record.

use core::panic::PanicInfo;

use cortex_m_rt::{ExceptionFrame, exception};
use defmt_rtt as _;
use embassy_rp::peripherals::WATCHDOG;
use embassy_rp::watchdog::{ResetReason, Watchdog};

/// Why the station started again by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, defmt::Format)]
pub enum Cause {
    /// The program found something impossible.
    Panic,
    /// The processor was led astray.
    Fault,
    /// It stood still for too long.
    StoodStill,
    /// Its memory asked for it.
    Memory,
}

/// Notes in a register that keeps its value through a restart.
const PANIC: u32 = 0x70a1_1c01;
const FAULT: u32 = 0xfa17_0001;
const MEMORY: u32 = 0x3e30_0001;

/// Why the station started again; none after the power came on or a person pressed reset.
pub fn cause(watchdog: &mut Watchdog) -> Option<Cause> {
    let note = watchdog.get_scratch(0);
    watchdog.set_scratch(0, 0);
    match (watchdog.reset_reason()?, note) {
        (_, PANIC) => Some(Cause::Panic),
        (_, FAULT) => Some(Cause::Fault),
        (_, MEMORY) => Some(Cause::Memory),
        (ResetReason::TimedOut, _) => Some(Cause::StoodStill),
        // programs are put on by a forced reset as well
        (ResetReason::Forced, _) => None,
    }
}

#[panic_handler]
fn panic(info: &PanicInfo<'_>) -> ! {
    match info.location() {
        Some(at) => defmt::error!("panic in {} line {}", at.file(), at.line()),
        None => defmt::error!("panic"),
    }
    again(PANIC)
}

#[exception]
unsafe fn HardFault(_frame: &ExceptionFrame) -> ! {
    again(FAULT)
}

/// Starts the chip again because the memory can store nothing more before that.
pub fn for_the_memory() -> ! {
    again(MEMORY)
}

/// Starts the chip again, now.
fn again(note: u32) -> ! {
    cortex_m::interrupt::disable();
    // SAFETY: whoever has the watchdog does not get to run again
    let mut watchdog = Watchdog::new(unsafe { WATCHDOG::steal() });
    watchdog.set_scratch(0, note);
    watchdog.trigger_reset();
    loop {
        cortex_m::asm::nop();
    }
}
