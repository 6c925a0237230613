//! The event log as bytes: what is read from it, and what is written behind it. Disks are left to the record.

use std::ops::RangeInclusive;

use shared_model::Event;

use crate::slot::{self, SLOT};

/// The log's kind, in its header.
pub const KIND: &[u8; 8] = b"events\0\0";

/// What a torn slot is filled up with.
const FILLING: u8 = 0xff;

/// What a log holds.
#[derive(Debug, Default)]
pub struct Log {
    /// Every event that can be read, in order.
    pub events: Vec<Event>,
    /// Numbers of events that were stored and cannot be read any more.
    pub missing: Vec<RangeInclusive<u32>>,
    /// How many slots at the end are whole and cannot be read.
    pub unreadable: usize,
    /// How many bytes the file has.
    pub length: u64,
}

impl Log {
    /// Reads the slots behind the header. A slot that cannot be read is passed over: the power went while it was written,
    /// and nobody was told that it was. If it had been confirmed, its number is missing among those around it.
    pub fn read(bytes: &[u8]) -> Log {
        let mut log = Log {
            length: bytes.len() as u64,
            ..Log::default()
        };
        let slots = bytes.as_chunks::<SLOT>().0.iter().skip(1);
        for slot in slots {
            let Some(event) = slot::read_event(slot) else {
                // a torn slot that was filled up ends with the filling
                log.unreadable += usize::from(slot.last() != Some(&FILLING));
                continue;
            };
            log.unreadable = 0;
            let expected = log.last_sequence() + 1;
            // an earlier number again: nothing here writes that, and it must not count twice
            if event.sequence < expected {
                continue;
            }
            if event.sequence > expected {
                log.missing.push(expected..=event.sequence - 1);
            }
            log.events.push(event);
        }
        log
    }

    /// The number of the last event; 0 where there is none.
    pub fn last_sequence(&self) -> u32 {
        self.events.last().map_or(0, |event| event.sequence)
    }

    /// The bytes that store an event behind the file's end. A torn slot there is filled up first and never used again.
    pub fn entry(&self, event: &Event) -> Option<Vec<u8>> {
        let torn = (self.length % SLOT as u64) as usize;
        let fill = (SLOT - torn) % SLOT;
        let mut bytes = vec![FILLING; fill];
        bytes.extend(slot::event_slot(event)?);
        Some(bytes)
    }
}
