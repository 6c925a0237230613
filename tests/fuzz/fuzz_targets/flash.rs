//! The record in flash: whatever its bytes are, it opens or is refused with a reason; what opens is folded, shown, pressed
//! upon and opened again with the same events.

#![no_main]

use std::cell::RefCell;

use crc::{CRC_32_ISCSI, Crc};
use flash_record::FlashRecord;
use mock_flash::MockFlash;
use record_tests::{Sample, pass_cards};
use shared_model::Event;
use station::machine::{Input, Key};
use station::record::Record;
use station::runner::Runner;
use station::screen::{Panel, Screen};

mod paper;

const SECTORS: usize = 16;
const SLOT: usize = 32;
const CRC: Crc<u32> = Crc::<u32>::new(&CRC_32_ISCSI);

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    let Some((first, rest)) = data.split_first() else {
        return;
    };
    let mut flash = match first & 1 {
        0 => MockFlash::<1>::new(SECTORS, 1),
        _ => used(),
    };
    flash.tamper(|bytes| match first & 2 {
        0 => fill(bytes, rest),
        _ => replace(bytes, rest),
    });
    let flash = RefCell::new(flash);
    let events = match FlashRecord::open(&flash, 0, SECTORS as u32, 1) {
        Err(error) => return assert!(!error.to_string().is_empty()),
        Ok(record) => {
            let damage = record.damage().iter().map(ToString::to_string);
            assert!(damage.into_iter().all(|told| !told.is_empty()));
            go_on(record)
        }
    };
    let again = FlashRecord::open(&flash, 0, SECTORS as u32, 1).expect("it was opened before");
    assert_eq!(again.events().collect::<Vec<_>>(), events);
});

/// Shows it and presses; what happened by then.
fn go_on(record: FlashRecord<'_, MockFlash<1>>) -> Vec<Event> {
    let mut runner = Runner::start(record, false, &[]);
    let mut paper = paper::Paper;
    let Ok(()) = Screen::new(Panel::SMALL).draw(&runner.view(), &mut paper);
    let mut now = pass_cards(&mut runner, 1_000);
    for key in [Key::Done, Key::SetAside, Key::TakeBack, Key::Done] {
        now += 1_000;
        runner.take(Input::Press(key), now);
    }
    let Ok(()) = Screen::new(Panel::SMALL).draw(&runner.view(), &mut paper);
    runner.record().events().collect()
}

/// A flash with a list of eight pieces, the first three of which are cut.
fn used() -> MockFlash<1> {
    let flash = RefCell::new(MockFlash::<1>::new(SECTORS, 1));
    let record = FlashRecord::open(&flash, 0, SECTORS as u32, 1).expect("a blank flash");
    let mut runner = Runner::start(record, false, &[]);
    runner
        .load(&Sample::plain(7, 8), 0)
        .expect("a flash that works");
    let mut now = pass_cards(&mut runner, 1_000);
    for _ in 0..3 {
        now += 1_000;
        runner.take(Input::Press(Key::Done), now);
    }
    drop(runner);
    flash.into_inner()
}

/// The bytes one behind the other, from the first on.
fn fill(bytes: &mut [u8], data: &[u8]) {
    for (byte, new) in bytes.iter_mut().zip(data) {
        *byte = *new;
    }
}

/// Slots with their place before them, and whether they are to look whole.
fn replace(bytes: &mut [u8], data: &[u8]) {
    let (parts, _) = data.as_chunks::<{ 3 + SLOT }>();
    for part in parts {
        let [low, high, whole, slot @ ..] = part;
        let slots = bytes.len() / SLOT;
        let at = usize::from(u16::from_le_bytes([*low, *high])) % slots * SLOT;
        let place = &mut bytes[at..at + SLOT];
        place.copy_from_slice(slot);
        if whole & 1 == 1 {
            let check = CRC.checksum(&place[..SLOT - 4]).to_le_bytes();
            place[SLOT - 4..].copy_from_slice(&check);
        }
    }
}
