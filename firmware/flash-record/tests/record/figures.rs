//! What a record costs: memory, bytes read at a start, erases. The figures stand in the crate's own page; here are their
//! bounds.

use flash_record::FlashRecord;
use mock_flash::MockFlash;
use record_tests::{Medium, Sample};
use shared_model::ListHead;

use crate::flash::{Flash, done, load, say};

/// The heads of the samples are short, and the most pieces that a list has.
fn full_level() -> Flash<1> {
    let flash = Flash::new(1);
    let mut record = flash.start();
    load(&mut record, &Sample::plain(7, 512)).expect("room");
    (0..490).for_each(|id| say(&mut record, done(100 + id)).expect("room"));
    drop(record);
    flash
}

fn work<const WORD: usize>(flash: &Flash<WORD>) -> mock_flash::Work {
    flash.chip.borrow().work().clone()
}

#[test]
fn little_is_held_in_memory() {
    let all = size_of::<FlashRecord<'_, MockFlash<1>>>();
    let held = all - size_of::<ListHead>();
    println!("{held} bytes beside the list's head");
    assert!(held < 1024, "{held}");
}

#[test]
fn a_start_reads_each_byte_about_once_and_erases_nothing() {
    let flash = full_level();
    let before = work(&flash);
    drop(flash.start());
    let after = work(&flash);
    let (read, programmed) = (
        after.read - before.read,
        after.programmed - before.programmed,
    );
    println!("a start with 512 pieces and 490 events: {read} bytes read, {programmed} programmed");
    assert!(read < 44 * 1024, "{read}");
    assert_eq!((programmed, &after.erases), (128, &before.erases));
}

#[test]
fn a_press_programs_one_slot_and_the_first_after_a_start_two_and_none_erases() {
    let flash = full_level();
    let mut record = flash.start();
    for (id, slots) in [(900, 2), (901, 1), (902, 1)] {
        let before = work(&flash);
        say(&mut record, done(id)).expect("room");
        let after = work(&flash);
        assert_eq!(after.programmed - before.programmed, slots * 32);
        assert_eq!(after.read - before.read, slots * 32);
        assert_eq!(after.erases, before.erases);
    }
}

#[test]
fn starts_erase_one_sector_in_twenty_five() {
    let flash = Flash::<1>::new(1);
    drop(flash.start());
    let before: u32 = work(&flash).erases.iter().sum();
    (0..500).for_each(|_| drop(flash.start()));
    let after: u32 = work(&flash).erases.iter().sum();
    assert_eq!(after - before, 500 / 25);
}

#[test]
fn a_level_erases_no_sector_more_than_once() {
    let flash = full_level();
    let mut record = flash.start();
    let before = work(&flash).erases;
    load(&mut record, &Sample::plain(8, 512)).expect("room");
    record.truncate(1, 490).expect("power");
    let after = work(&flash).erases;
    let most = after
        .iter()
        .zip(&before)
        .map(|(after, before)| after - before);
    assert_eq!(most.clone().max(), Some(1));
    // four of the list, four of the log, one of the marks
    assert_eq!(most.sum::<u32>(), 9);
}
