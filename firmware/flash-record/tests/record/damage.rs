//! What age, wear and foreign programs do to a record: it is told as damage, nothing that was kept is overwritten, and
//! numbers are never used twice.

use flash_record::{Damage, FlashRecord, OpenError, UpkeepError};
use record_tests::{MeanMedium, Medium, Sample};
use shared_model::{Event, Length, Name, PieceId, SawList, What};
use station::record::{Record, RecordError};

use crate::flash::{Flash, SECTORS, done, load, say, shown};

/// Where the parts of a record lie in these flashes, which the layout's table says.
const NOTES: usize = 4096;
const LIST: usize = NOTES + 2 * 4096;
const MARKS: usize = LIST + 8 * 4096;
const LOG: usize = MARKS + 2 * 4096;

fn used(presses: u32) -> Flash<4> {
    let flash = Flash::new(1);
    let mut record = flash.start();
    load(&mut record, &Sample::plain(7, 9)).expect("a good list");
    (0..presses).for_each(|id| say(&mut record, done(100 + id)).expect("room"));
    drop(record);
    flash
}

fn flip(flash: &Flash<4>, at: usize) {
    flash.chip.borrow_mut().tamper(|bytes| bytes[at] ^= 0x40);
}

/// Gives bytes the check that belongs to them.
fn reseal(bytes: &mut [u8]) {
    let (body, check) = bytes.split_last_chunk_mut::<4>().expect("long enough");
    let crc = crc::Crc::<u32>::new(&crc::CRC_32_ISCSI);
    *check = crc.checksum(body).to_le_bytes();
}

fn numbers(record: &impl Record) -> Vec<u32> {
    record.events().map(|event| event.sequence).collect()
}

fn missing(first: u32, last: u32) -> Damage {
    Damage::EventsMissing { first, last }
}

#[test]
fn events_that_were_stored_and_do_not_read_are_missed() {
    let flash = used(6);
    for slot in [1, 3, 4] {
        flip(&flash, LOG + slot * 32 + 9);
    }
    let damage = [missing(2, 2), missing(4, 5)];
    // at every start, until the host has them all and the log is emptied
    for _ in 0..2 {
        let mut record = flash.open().expect("a record");
        assert_eq!(record.damage(), damage);
        assert_eq!(numbers(&record)[..3], [1, 3, 6]);
        let next = done(200);
        say(&mut record, next).expect("room");
    }
    assert_eq!(
        damage[1].to_string(),
        "events 4 to 5 were stored and cannot be read any more: check which pieces are cut"
    );
    let record = flash.open().expect("a record");
    assert_eq!(numbers(&record), [1, 3, 6, 7, 8]);
}

#[test]
fn an_end_that_no_power_cut_leaves_is_told_and_one_slot_is_not() {
    for (slots, damage) in [(vec![3], vec![]), (vec![2, 3], vec![Damage::EventsEnd(2)])] {
        let flash = used(4);
        slots
            .iter()
            .for_each(|slot| flip(&flash, LOG + slot * 32 + 9));
        let record = flash.open().expect("a record");
        assert_eq!(record.damage(), damage);
        let left = 4 - slots.len() as u32;
        assert_eq!(record.last_sequence(), left);
        drop(record);
        // what was found and shown is settled then
        assert_eq!(flash.start().last_sequence(), left);
    }
}

#[test]
fn what_stands_behind_blank_slots_is_found_at_once_and_not_when_the_log_has_grown() {
    let slot = LOG + 7 * 32;
    let mut stray = [0; 32];
    used(8)
        .chip
        .borrow_mut()
        .tamper(|bytes| stray.copy_from_slice(&bytes[slot..slot + 32]));
    let flash = used(4);
    flash
        .chip
        .borrow_mut()
        .tamper(|bytes| bytes[slot..slot + 32].copy_from_slice(&stray));
    let mut record = flash.open().expect("a record");
    assert_eq!(numbers(&record), [1, 2, 3, 4, 8]);
    assert_eq!(record.damage(), [missing(5, 7)]);
    (0..4).for_each(|id| say(&mut record, done(200 + id)).expect("room"));
    drop(record);
    let record = flash.open().expect("a record");
    assert_eq!(numbers(&record), [1, 2, 3, 4, 8, 9, 10, 11, 12]);
}

#[test]
fn what_was_shown_at_a_start_stays_however_its_slot_reads_later() {
    // the last event that was shown is in the note too
    let flash = used(4);
    drop(flash.start());
    flip(&flash, LOG + 3 * 32 + 9);
    assert_eq!(numbers(&flash.start()), [1, 2, 3, 4]);
    // and a torn slot that did not count then never counts
    let flash = used(4);
    flip(&flash, LOG + 3 * 32 + 9);
    assert_eq!(numbers(&flash.start()), [1, 2, 3]);
    flip(&flash, LOG + 3 * 32 + 9);
    let mut record = flash.start();
    assert_eq!(numbers(&record), [1, 2, 3]);
    say(&mut record, done(500)).expect("room");
    drop(record);
    let record = flash.start();
    let last = record.events().last().map(|event| event.what);
    assert_eq!(
        (numbers(&record), last),
        (vec![1, 2, 3, 4], Some(done(500)))
    );
}

#[test]
fn a_torn_note_that_reads_as_whole_later_does_not_count() {
    let flash = used(2);
    let mut record = flash.start();
    record.keep_settings(b"old").expect("power");
    record.keep_settings(b"new").expect("power");
    drop(record);
    // a start, a list, a start, and two settings
    let torn = NOTES + 4 * 128 + 40;
    flip(&flash, torn);
    assert_eq!(flash.start().settings(), b"old");
    flip(&flash, torn);
    assert_eq!(flash.start().settings(), b"old");
}

#[test]
fn a_number_that_was_shown_is_not_used_again_when_its_event_is_gone() {
    let flash = used(4);
    drop(flash.start());
    for slot in [2, 3] {
        flip(&flash, LOG + slot * 32 + 9);
    }
    // the note of the last start holds a copy of the last event
    let note = NOTES + 3 * 128;
    flash.chip.borrow_mut().tamper(|bytes| {
        let note = &mut bytes[note - 128..note];
        assert!(note[88] > 0);
        note[88] = 0;
        reseal(note);
    });
    let mut record = flash.open().expect("a record");
    assert_eq!(record.damage(), [missing(3, 4)]);
    assert_eq!((record.last_sequence(), numbers(&record)), (4, vec![1, 2]));
    say(&mut record, done(104)).expect("room");
    assert_eq!(numbers(&record), [1, 2, 5]);
}

#[test]
fn without_notes_nothing_is_begun_over_events_or_a_list() {
    let flash = used(4);
    for note in 0..32 {
        flip(&flash, NOTES + note * 128 + 90);
    }
    let error = flash.open().map(|record| record.boot());
    assert_eq!(error, Err(OpenError::NoNote));
    assert_eq!(
        OpenError::NoNote.to_string(),
        "the record's notes are gone, though events or lists are there: nothing is changed until it is begun anew"
    );
    FlashRecord::give_up(&flash.chip, NOTES as u32, SECTORS).expect("power");
    let record = flash.start();
    assert_eq!((record.boot(), record.last_sequence()), (1, 0));
    assert!(record.list().is_none());
}

#[test]
fn damage_to_the_list_is_told_and_the_events_stay() {
    let flash = used(2);
    // the header, the head, a piece
    for at in [2, 10, 13, 25, 256 + 3, 512 + 40, 512 + 250] {
        flip(&flash, LIST + at);
        let record = flash.open().expect("a record");
        assert_eq!(record.damage(), [Damage::List], "{at}");
        assert!(record.list().is_none());
        assert_eq!(numbers(&record), [1, 2]);
        drop(record);
        flip(&flash, LIST + at);
    }
    flip(&flash, LIST + 40);
    let mut record = flash.start();
    assert_eq!(shown(&record).current, Some(2));
    load(&mut record, &Sample::plain(7, 9)).expect("the other place is free");
    assert_eq!(shown(&record).current, Some(2));
}

#[test]
fn damage_to_the_marks_is_told() {
    let flash = used(7);
    let mut record = flash.start();
    record.truncate(1, 7).expect("power");
    drop(record);
    flip(&flash, MARKS + 32 + 5);
    let record = flash.open().expect("a record");
    assert_eq!(record.damage(), [Damage::Marks { before: 8 }]);
    assert_eq!(shown(&record).current, Some(4));
    assert_eq!(
        record.damage()[0].to_string(),
        "what was said before event 8 cannot all be read any more: check which pieces are cut"
    );
}

#[test]
fn another_format_is_left_alone_and_an_unknown_program_is_written_over() {
    let flash = used(3);
    let before = flash.chip.borrow().bytes().to_vec();
    // the newest note as a later program would begin it
    flash.chip.borrow_mut().tamper(|bytes| {
        let note = &mut bytes[NOTES..NOTES + 128];
        note[14] = 2;
        reseal(&mut note[..32]);
        note[32..].fill(0x77);
    });
    let later = flash.chip.borrow().bytes().to_vec();
    let error = flash.open().map(|record| record.boot()).expect_err("later");
    assert_eq!(error, OpenError::OtherVersion { version: 2 });
    assert_eq!(
        error.to_string(),
        "the record has the format 2 and this program reads 1: use the program that wrote it"
    );
    assert!(flash.chip.borrow().bytes() == later && later != before);
    // bytes that were never a record
    let foreign = Flash::<4>::new(2);
    let junk = |bytes: &mut [u8]| {
        (0..)
            .zip(bytes)
            .for_each(|(n, byte): (u32, _)| *byte = (n * 7) as u8)
    };
    foreign.chip.borrow_mut().tamper(junk);
    let mut record = foreign.start();
    assert_eq!((record.boot(), record.last_sequence()), (1, 0));
    load(&mut record, &Sample::plain(7, 9)).expect("room");
    say(&mut record, done(100)).expect("room");
    drop(record);
    assert_eq!(shown(&foreign.start()).current, Some(1));
    // and nothing outside the record's own sectors
    assert!(
        foreign.chip.borrow().bytes()[..NOTES]
            .iter()
            .enumerate()
            .all(|(n, byte)| *byte == (n * 7) as u8)
    );
}

#[test]
fn a_worn_slot_is_passed_over_and_a_worn_stretch_refuses_the_press() {
    let flash = used(2);
    flash.chip.borrow_mut().wear_out(LOG + 2 * 32 + 4);
    let mut record = flash.start();
    say(&mut record, done(102)).expect("the next slot is good");
    // the second event once more, in the slot behind the worn one, and the third
    assert_eq!(record.events_left(), 512 - 5);
    drop(record);
    assert_eq!(shown(&flash.start()).current, Some(3));
    for slot in 5..8 {
        flash.chip.borrow_mut().wear_out(LOG + slot * 32 + 4);
    }
    let mut record = flash.start();
    assert_eq!(
        say(&mut record, done(103)),
        Err(RecordError::EventNotStored)
    );
    assert_eq!((record.last_sequence(), record.events().count()), (3, 3));
    say(&mut record, done(103)).expect("a good slot again");
    drop(record);
    assert_eq!(shown(&flash.start()).current, Some(4));
}

#[test]
fn a_press_that_cannot_be_struck_out_stops_the_record_until_a_start() {
    let flash = used(2);
    let mut record = flash.start();
    flash.die_after(20);
    assert_eq!(say(&mut record, done(102)), Err(RecordError::StartAgain));
    flash.after_power_cut();
    assert_eq!(say(&mut record, done(102)), Err(RecordError::StartAgain));
    drop(record);
    let mut record = flash.start();
    say(&mut record, done(102)).expect("power");
    assert_eq!(record.last_sequence(), 3);
}

#[test]
fn worn_notes_are_passed_over() {
    let flash = used(1);
    for note in 0..32 {
        if note % 3 > 0 {
            flash.chip.borrow_mut().wear_out(NOTES + note * 128);
            flash.chip.borrow_mut().wear_out(NOTES + 4096 + note * 128);
        }
    }
    let mut last = flash.start().boot();
    for _ in 0..100 {
        let boot = flash.start().boot();
        assert_eq!(boot, last + 1);
        last = boot;
    }
    assert_eq!(shown(&flash.start()).current, Some(1));
}

#[test]
fn the_most_names_leave_room_for_fewer_pieces_and_the_number_is_told() {
    let flash = Flash::<32>::new(1);
    let mut record = flash.start();
    let mut list = Sample::plain(7, 512);
    load(&mut record, &list).expect("room");
    assert_eq!(
        record.list().and_then(|list| list.piece(511)),
        list.piece(511)
    );
    let long = |number: usize| Name::try_from(format!("{number:040}").as_str()).expect("40 bytes");
    list.head.rooms = (0..128).map(long).collect();
    let moulding = list.head.mouldings[0].clone();
    list.head.mouldings = (0..8)
        .map(|number| shared_model::Moulding {
            name: long(number),
            height: Length::from_units(i32::MAX),
            ..moulding.clone()
        })
        .collect();
    let refused = record.begin(&list.head);
    let Err(RecordError::ListTooLong { most }) = refused else {
        panic!("{refused:?}");
    };
    assert_eq!(most, 360);
    let mut fitting = Sample::plain(8, most.into());
    fitting.head.rooms = list.head.rooms.clone();
    fitting.head.mouldings = list.head.mouldings.clone();
    load(&mut record, &fitting).expect("it was said to fit");
    drop(record);
    let record = flash.start();
    let held = record.list().expect("the list");
    assert_eq!(held.head(), &fitting.head);
    assert!((0..=most).all(|index| held.piece(index) == fitting.piece(index)));
}

#[test]
fn what_does_not_fit_is_refused_and_changes_nothing() {
    let flash = Flash::<4>::of(SECTORS, 1);
    let small = FlashRecord::open(&flash.chip, 4096, 12, 1).map(|record| record.boot());
    assert_eq!(small, Err(OpenError::NoRoom));
    let outside = FlashRecord::open(&flash.chip, 8192, SECTORS, 1).map(|record| record.boot());
    assert_eq!(outside, Err(OpenError::NoRoom));
    let askew = FlashRecord::open(&flash.chip, 100, 13, 1).map(|record| record.boot());
    assert_eq!(askew, Err(OpenError::NoRoom));
    let mut record = flash.start();
    assert_eq!(
        record.keep_settings(&[1; 33]),
        Err(UpkeepError::SettingsTooLong)
    );
    // more pieces than marks are remembered: every piece another one, over two logs
    load(&mut record, &Sample::plain(7, 9)).expect("room");
    for id in 0..512 {
        say(&mut record, done(1_000 + id)).expect("room");
    }
    record.truncate(1, 512).expect("so many fit");
    for id in 0..200 {
        say(&mut record, done(2_000 + id)).expect("room");
    }
    assert_eq!(
        record.truncate(2, 712),
        Err(UpkeepError::TooMuch { most: 640 })
    );
    let wrong = record.truncate(1, 712);
    assert!(matches!(
        wrong,
        Err(UpkeepError::NotTaken { stored: 712, .. })
    ));
    assert_eq!(record.events().count(), 712);
    record.begin_anew(2, 712).expect("power");
    assert_eq!((record.events().count(), record.epoch()), (0, 3));
    let event = Event {
        sequence: 713,
        boot: 1,
        milliseconds: 0,
        what: What::SetAside {
            piece: PieceId(100),
        },
    };
    record.append(&event).expect("numbers go on");
    assert_eq!(shown(&record).progress.aside, 1);
}
