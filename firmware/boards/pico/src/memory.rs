//! The flash chip beside the program: the station's record lies at its end. How the record lies in there is left to
//! `flash-record`.
//!
//! While flash is erased or programmed nothing else runs: 0.4 ms for a press that is stored, 45 ms for 4 KiB that are
//! erased, and at the very worst 3 and 400 (W25Q16JV, which the Pico carries). A press erases nothing.

use core::cell::RefCell;

use embassy_rp::clocks::RoscRng;
use embassy_rp::flash::{Blocking, Flash};
use embassy_rp::peripherals::FLASH;
use flash_record::{FlashRecord, OpenError};
use static_cell::StaticCell;

use crate::pins::Part;

/// Bytes of flash on the Pico, and on the Pico 2.
const SIZE: usize = match cfg!(feature = "rp2350") {
    false => 2 * 1024 * 1024,
    true => 4 * 1024 * 1024,
};
/// Sectors of 4 KiB that the record takes. The linker's memory map leaves them free.
const SECTORS: u32 = 16;
const FROM: u32 = SIZE as u32 - SECTORS * 4096;

type Driver = Flash<'static, FLASH, Blocking, SIZE>;
/// The chip.
pub type Chip = RefCell<Driver>;
/// The record.
pub type Memory = FlashRecord<'static, Driver>;

/// The chip, for good.
pub fn chip(part: Part<FLASH>) -> &'static Chip {
    static CHIP: StaticCell<Chip> = StaticCell::new();
    CHIP.init_with(|| RefCell::new(Flash::new_blocking(part)))
}

/// The board's number for life: the flash chip's own on the Pico, the processor's on the Pico 2. 0 where it cannot be read.
pub fn number(chip: &Chip) -> u64 {
    #[cfg(feature = "rp2350")]
    {
        let _ = chip;
        embassy_rp::otp::get_chipid().unwrap_or_default()
    }
    #[cfg(feature = "rp2040")]
    {
        let mut number = [0; 8];
        let read = chip.borrow_mut().blocking_unique_id(&mut number);
        read.map_or(0, |()| u64::from_be_bytes(number))
    }
}

/// Opens the record as it was when the power went, or begins one. It stays where it is made: it is large, and what the
/// stack holds meanwhile must not be held for ever by a task.
///
/// # Errors
/// Those of the record.
#[inline(never)]
pub fn open(chip: &'static Chip) -> Result<&'static mut Memory, OpenError> {
    static MEMORY: StaticCell<Memory> = StaticCell::new();
    FlashRecord::open(chip, FROM, SECTORS, RoscRng.next_u32()).map(|memory| MEMORY.init(memory))
}

/// Gives up what is kept and cannot be read, so that the next start begins a record.
///
/// # Errors
/// Those of the record.
pub fn give_up(chip: &'static Chip) -> Result<(), OpenError> {
    Memory::give_up(chip, FROM, SECTORS)
}
