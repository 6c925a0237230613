//! The rules of the trait, one by one. Power cuts are left to the lives.

use shared_model::{Event, PieceId, SawList, What};
use station::machine::{Input, Key};
use station::record::{Record, RecordError};
use station::runner::Runner;

use crate::{Medium, Sample, pass_cards};

/// A "done" with this number.
pub fn event(sequence: u32) -> Event {
    Event {
        sequence,
        boot: 1,
        milliseconds: sequence * 1_000,
        what: What::Done {
            piece: PieceId(100 + sequence),
            list: 7,
        },
    }
}

/// A start on a fresh medium, presses, and another start.
pub fn a_start_finds_the_list_the_place_and_the_count_of_starts(medium: &impl Medium) {
    let list = Sample::plain(7, 9);
    let mut runner = Runner::start(medium.start(), false, &[]);
    runner.load(&list, 0).expect("a good list");
    let from = pass_cards(&mut runner, 1_000);
    for now in [from, from + 1_000, from + 2_000] {
        runner.take(Input::Press(Key::Done), now);
    }
    let view = runner.view();
    drop(runner);
    let runner = Runner::start(medium.start(), false, &[]);
    assert_eq!(runner.view(), view);
    assert_eq!(runner.record().boot(), 2);
    assert_eq!(runner.record().last_sequence(), 3);
    let held = runner.record().list().expect("the list");
    assert_eq!(held.head(), list.head());
    let pieces: Vec<_> = (0..9).filter_map(|index| held.piece(index)).collect();
    assert_eq!(pieces, list.pieces);
    assert_eq!(held.piece(9), None);
}

/// What is refused, on a fresh medium.
pub fn lists_and_events_are_taken_only_in_order(medium: &impl Medium) {
    let list = Sample::plain(7, 2);
    let mut record = medium.start();
    assert_eq!(record.append(&event(2)), Err(RecordError::OutOfOrder));
    record.append(&event(1)).expect("room");
    assert_eq!(record.append(&event(1)), Err(RecordError::OutOfOrder));
    assert_eq!(record.append(&event(3)), Err(RecordError::OutOfOrder));
    assert_eq!(record.put(&list.pieces[0]), Err(RecordError::NoListBegun));
    assert_eq!(record.commit(), Err(RecordError::NoListBegun));
    record.begin(&list.head).expect("it fits");
    record.put(&list.pieces[0]).expect("it is named");
    assert_eq!(record.commit(), Err(RecordError::PiecesMissing));
    assert!(record.list().is_none());
    record.begin(&list.head).expect("it fits");
    for piece in &list.pieces {
        record.put(piece).expect("it is named");
    }
    let again = record.put(&list.pieces[0]);
    assert_eq!(again, Err(RecordError::TooManyPieces));
    record.commit().expect("room");
    assert_eq!(record.list().map(|list| list.head().digest), Some(7));
    let long = Sample::plain(8, 513);
    let most = 512;
    assert_eq!(
        record.begin(&long.head),
        Err(RecordError::ListTooLong { most })
    );
    assert_eq!(record.events().collect::<Vec<_>>(), [event(1)]);
}
