//! The machine's own rules: storing before showing, starts and lists. Each key's rule is tested in `tests_of_keys`, time and
//! contacts in `tests_of_time`.

use shared_model::{PieceState, Place};

use super::*;
use crate::record::{Record, RecordError};
use crate::runner::{Outcome, Runner};
use crate::sample::{Memory, Sample};
use crate::view::PageView;

/// A station with a record in memory and a clock.
pub(super) struct Bench {
    pub(super) runner: Runner<Memory>,
    pub(super) now: u32,
}

impl Bench {
    pub(super) fn of(sticks: &[u16]) -> Bench {
        Bench::with(Memory::with(Sample::of(7, sticks)))
    }

    pub(super) fn with(memory: Memory) -> Bench {
        let mut bench = Bench::at_start(memory);
        bench.pass_cards();
        bench
    }

    /// A station at its start, the cards still to be passed where the work begins.
    pub(super) fn at_start(memory: Memory) -> Bench {
        let runner = Runner::start(memory, false, &[]);
        Bench { runner, now: 0 }
    }

    /// Leafs through whatever stands before the list, up to the time of 10 s.
    pub(super) fn pass_cards(&mut self) {
        let is_card = |body| matches!(body, Body::Page(PageView::Card { .. }) | Body::Scrap(_));
        while is_card(self.runner.view().body) {
            self.press(Key::Done);
        }
        self.now = 10_000;
    }

    /// Presses a key, a good while after what came before.
    pub(super) fn press(&mut self, key: Key) -> Outcome {
        self.wait(500);
        self.runner.take(Input::Press(key), self.now)
    }

    pub(super) fn wait(&mut self, milliseconds: u32) -> Outcome {
        self.now = self.now.wrapping_add(milliseconds);
        self.runner.take(Input::Time, self.now)
    }

    /// The pedal down and, so many milliseconds later, up and settled.
    pub(super) fn pedal(&mut self, milliseconds: u32) -> Outcome {
        self.wait(500);
        let now = self.now;
        self.runner.take(Input::Pedal { closed: true }, now);
        self.wait(milliseconds);
        let now = self.now;
        self.runner.take(Input::Pedal { closed: false }, now);
        self.wait(crate::timing::STABLE)
    }

    pub(super) fn said(&self) -> std::vec::Vec<What> {
        let events = &self.runner.record().events;
        events.iter().map(|event| event.what).collect()
    }

    pub(super) fn current(&self) -> Option<u16> {
        self.runner.place().and_then(Place::current)
    }

    pub(super) fn state(&self, index: u16) -> PieceState {
        let state = self.runner.place().and_then(|place| place.state(index));
        state.expect("a piece of the list")
    }

    pub(super) fn banner(&self) -> Option<Banner> {
        self.runner.view().banner
    }

    /// The number of the piece on the screen, and whether it is only looked at.
    pub(super) fn shown(&self) -> Option<(u16, bool)> {
        match self.runner.view().body {
            Body::Piece(piece) => Some((piece.number, piece.looking)),
            _ => None,
        }
    }
}

/// A machine alone, with this list at its start.
fn machine(list: &Sample) -> Machine {
    let mut machine = Machine::start(3, 40, false, &[]);
    machine.go_on(Some(list), core::iter::empty());
    machine.card = None;
    machine.refresh();
    machine
}

#[test]
fn the_place_moves_when_the_event_is_stored_and_not_before() {
    let list = Sample::of(7, &[1, 1, 1]);
    let mut machine = machine(&list);
    let before = machine.view(Some(&list));
    let effects = machine.take(Input::Press(Key::Done), 1_000);
    let event = effects.store.expect("an event to store");
    assert_eq!((event.sequence, event.boot), (41, 3));
    assert_eq!(event.milliseconds, 1_000);
    assert_eq!((effects.beep, effects.draw), (None, false));
    assert_eq!(machine.view(Some(&list)), before);
    assert_eq!(machine.place().and_then(Place::current), Some(0));
    // another event's number is no answer to this one
    assert_eq!(machine.take(Input::Stored(40), 1_001), Effects::default());
    assert_eq!(machine.place().and_then(Place::current), Some(0));
    let effects = machine.take(Input::Stored(41), 1_002);
    assert_eq!((effects.beep, effects.draw), (Some(Beep::Accepted), true));
    assert_eq!(machine.place().and_then(Place::current), Some(1));
    assert_eq!(machine.take(Input::Stored(41), 1_003), Effects::default());
}

#[test]
fn a_press_while_one_is_being_stored_is_refused_aloud_and_never_stored() {
    let list = Sample::of(7, &[1, 1, 1]);
    for key in Key::ALL {
        let mut machine = machine(&list);
        let first = machine.take(Input::Press(Key::Done), 1_000);
        assert!(first.store.is_some());
        let effects = machine.take(Input::Press(key), 2_000);
        assert_eq!(effects.store, None, "{key:?}");
        let banner = machine.view(Some(&list)).banner;
        match key {
            // looking stores nothing and may go on; back from the first piece there is none
            Key::LookAhead => assert_eq!(banner, None),
            Key::LookBack => assert_eq!(banner, Some(Banner::NothingToDo)),
            _ => {
                assert_eq!(banner, Some(Banner::StillStoring), "{key:?}");
                assert_eq!(effects.beep, Some(Beep::Refused));
            }
        }
        machine.take(Input::Stored(41), 2_100);
        assert_eq!(machine.place().map(|place| place.progress().done), Some(1));
        assert_eq!(machine.take(Input::Time, 9_000).store, None);
    }
}

#[test]
fn what_could_not_be_stored_does_not_count_and_its_number_is_used_again() {
    let mut bench = Bench::with(Memory {
        broken: true,
        ..Memory::with(Sample::of(7, &[1, 1]))
    });
    let outcome = bench.press(Key::Done);
    assert_eq!(outcome.beep, Some(Beep::Refused));
    assert_eq!(outcome.trouble, Some(RecordError::EventNotStored));
    assert_eq!(bench.banner(), Some(Banner::NotStored));
    assert_eq!(bench.current(), Some(0));

    let list = Sample::of(7, &[1, 1]);
    let mut machine = machine(&list);
    let first = machine.take(Input::Press(Key::Done), 1_000).store;
    machine.take(Input::NotStored, 1_001);
    let second = machine.take(Input::Press(Key::Done), 2_000).store;
    assert_eq!(first.map(|e| e.sequence), second.map(|e| e.sequence));
    // an answer without a question
    machine.take(Input::Stored(41), 2_001);
    let before = machine.view(Some(&list));
    assert_eq!(machine.take(Input::NotStored, 2_002), Effects::default());
    assert_eq!(machine.view(Some(&list)), before);
}

#[test]
fn a_full_memory_says_so_before_and_refuses_when_it_is() {
    let mut bench = Bench::with(Memory {
        most: NEARLY_FULL + 1,
        ..Memory::with(Sample::of(7, &[1; 110]))
    });
    assert_eq!(bench.banner(), None);
    bench.press(Key::Done);
    bench.press(Key::Done);
    let left = NEARLY_FULL - 1;
    assert_eq!(bench.banner(), Some(Banner::MemoryNearlyFull { left }));
    for _ in 0..left {
        assert_eq!(bench.press(Key::Done).beep, Some(Beep::Accepted));
    }
    assert_eq!(bench.banner(), Some(Banner::MemoryFull));
    let outcome = bench.press(Key::Done);
    assert_eq!(outcome.trouble, Some(RecordError::Full));
    assert_eq!(bench.banner(), Some(Banner::NotStored));
    bench.wait(WORD_STAYS);
    assert_eq!(bench.banner(), Some(Banner::MemoryFull));
    assert_eq!(bench.current(), Some(NEARLY_FULL as u16 + 1));
}

#[test]
fn a_start_goes_on_where_the_record_ends() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.press(Key::Done);
    bench.press(Key::SetAside);
    let memory = Memory {
        boot: 4,
        ..bench.runner.record().clone()
    };
    let mut bench = Bench::with(memory);
    assert_eq!(bench.current(), Some(2));
    assert_eq!(bench.state(1), PieceState::Aside);
    bench.press(Key::Done);
    let event = bench.runner.record().events[2];
    assert_eq!((event.sequence, event.boot), (3, 4));
}

#[test]
fn a_new_list_keeps_what_was_cut_and_drops_what_was_asked() {
    let mut bench = Bench::of(&[1, 1, 2]);
    bench.press(Key::Done);
    bench.press(Key::LookAhead);
    bench.press(Key::BadStick);
    let mut list = Sample::of(8, &[3, 3, 3, 3]);
    list.pieces.swap(0, 3);
    let behind = bench.runner.load(&list, 0);
    let (made_with, stored) = (0, 1);
    assert_eq!(behind, Err(RecordError::ListBehind { made_with, stored }));
    assert_eq!(bench.runner.record().list().map(|l| l.head.digest), Some(7));
    let outcome = bench.runner.load(&list, 1).expect("a good list");
    assert!(outcome.draw);
    assert_eq!((bench.banner(), bench.shown()), (None, Some((1, false))));
    assert_eq!(bench.state(3), PieceState::Done);
    assert_eq!(bench.runner.wake_at(), None);
    let done = What::Done {
        piece: list.pieces[0].id,
        list: 8,
    };
    bench.press(Key::Done);
    assert_eq!(bench.said().last(), Some(&done));
}

#[test]
fn a_list_that_cannot_be_used_is_refused_whole() {
    let good = Sample::of(8, &[1, 1, 1]);
    let id = good.pieces[0].id;
    let mut same = good.clone();
    same.pieces[2].id = id;
    let mut nameless = good.clone();
    nameless.pieces[1].room = 9;
    let mut shapeless = good.clone();
    shapeless.pieces[1].moulding = 2;
    let mut short = good.clone();
    short.pieces.pop();
    let mut bench = Bench::of(&[1, 1]);
    for (list, error) in [
        (same, RecordError::SameId { id }),
        (nameless, RecordError::NameMissing { number: 2 }),
        (shapeless, RecordError::NameMissing { number: 2 }),
        (short, RecordError::PieceUnreadable { number: 3 }),
        (
            Sample::of(8, &[1; 513]),
            RecordError::ListTooLong { most: 512 },
        ),
    ] {
        assert_eq!(bench.runner.load(&list, 0), Err(error));
        assert_eq!(bench.runner.record().begun.as_ref().map(|_| ()), None);
    }
    let mut bench = Bench::with(Memory {
        broken: true,
        ..Memory::with(Sample::of(7, &[1, 1]))
    });
    let error = bench.runner.load(&good, 0);
    assert_eq!(error, Err(RecordError::ListNotStored));
    assert_eq!(bench.runner.place().map(Place::digest), Some(7));
}

#[test]
fn without_a_list_nothing_can_be_done() {
    let mut bench = Bench::with(Memory {
        list: None,
        ..Memory::with(Sample::of(7, &[]))
    });
    assert_eq!(bench.runner.view().body, Body::NoList);
    for key in Key::ALL {
        // the settings and the cards are there without a list
        let refused = (key != Key::Menu).then_some(Beep::Refused);
        assert_eq!(bench.press(key).beep, refused, "{key:?}");
        assert_eq!(bench.runner.record().events.len(), 0);
    }
}
