//! The fold on small lists: places, marks, shared cuts and taking back.

use super::*;
use crate::{
    Angle, Cautions, End, Length, ListHead, Mark, Moulding, Name, Piece, PieceEnd, Posture,
    SawHead, Side, Stock, True45,
};

struct Fixed(ListHead, std::vec::Vec<Piece>);

impl SawList for Fixed {
    fn head(&self) -> &ListHead {
        &self.0
    }
    fn piece(&self, index: u16) -> Option<Piece> {
        self.1.get(usize::from(index)).copied()
    }
}

/// Pieces on these sticks; every piece but a stick's first shares the cut of the one before it.
fn list(sticks: &[u16]) -> Fixed {
    let end = PieceEnd {
        end: End::OutsideMiter {
            gauge: Angle::RIGHT,
        },
        posture: Posture::StandingUpsideDown,
    };
    let pieces: std::vec::Vec<Piece> = (0..)
        .zip(sticks)
        .map(|(index, &stick)| Piece {
            id: PieceId(100 + index),
            room: 0,
            wall: index as u8 + 1,
            part: 1,
            parts: 1,
            moulding: 0,
            length: Length::inches(20),
            left: end,
            right: end,
            stick,
            stick_length: Length::inches(192),
            from_offcut: false,
            first: Side::Left,
            shared: index > 0 && sticks[index as usize - 1] == stick,
            cautions: Cautions::NONE,
        })
        .collect();
    let head = ListHead {
        level: Name::new(),
        digest: 7,
        pieces: pieces.len() as u16,
        sticks: 2,
        mark: Mark::Sixteenth,
        stock: Stock {
            side: Side::Left,
            saw: SawHead {
                slides: false,
                swing_left: Angle::degrees(50),
                swing_right: Angle::degrees(50),
                tilt_left: Angle::ZERO,
                tilt_right: Angle::ZERO,
                true_45: True45::EXACT,
            },
        },
        mouldings: [Moulding {
            name: Name::new(),
            height: Length::inches(5),
            thickness: Length::sixteenths(9),
            profile: Length::ZERO,
        }]
        .into_iter()
        .collect(),
        rooms: [Name::new()].into_iter().collect(),
    };
    Fixed(head, pieces)
}

fn told(sticks: &[u16], told: &[What]) -> Place {
    let mut place = Place::at_start(&list(sticks)).expect("a short list");
    for (sequence, &what) in (1..).zip(told) {
        place.take(&Event {
            sequence,
            boot: 1,
            milliseconds: 0,
            what,
        });
    }
    place
}

fn done(piece: u32) -> What {
    What::Done {
        piece: PieceId(piece),
        list: 7,
    }
}

fn back(piece: u32) -> What {
    What::TakenBack {
        piece: PieceId(piece),
    }
}

fn aside(piece: u32) -> What {
    What::SetAside {
        piece: PieceId(piece),
    }
}

#[test]
fn the_place_follows_the_list_then_what_was_set_aside_then_what_is_cut_again() {
    let again = What::CutAgain {
        piece: PieceId(100),
        reason: Reason::Short,
    };
    let place = told(&[1, 1, 2], &[done(100), aside(101), again]);
    assert_eq!((place.current(), place.next()), (Some(2), Some(1)));
    let place = told(
        &[1, 1, 2],
        &[done(100), aside(101), again, done(102), done(101)],
    );
    assert_eq!(place.current(), Some(0));
    assert_eq!(place.state(0), Some(PieceState::Again(Reason::Short)));
    let place = told(&[1], &[done(100)]);
    assert_eq!(place.current(), None);
}

#[test]
fn an_end_is_already_cut_only_while_its_neighbour_was_the_last_cut_from_the_stick() {
    assert!(!told(&[1, 1, 1], &[]).already_cut(1));
    assert!(told(&[1, 1, 1], &[done(100)]).already_cut(1));
    assert!(!told(&[1, 1, 1], &[done(100), back(100)]).already_cut(1));
    assert!(!told(&[1, 1, 1], &[aside(100)]).already_cut(1));
    // set aside, another cut from the fresh end, and the shared cut is gone
    assert!(!told(&[1, 1, 1], &[done(100), aside(101), done(102)]).already_cut(1));
    let elsewhere = What::Done {
        piece: PieceId(100),
        list: 8,
    };
    assert!(!told(&[1, 1, 1], &[elsewhere]).already_cut(1));
}

#[test]
fn a_bad_stick_takes_its_uncut_pieces_out_until_it_is_kept() {
    let bad = What::BadStick { list: 7, stick: 1 };
    let place = told(&[1, 1, 2], &[done(100), bad]);
    assert_eq!(place.state(1), Some(PieceState::NoStick));
    assert_eq!(place.current(), Some(2));
    assert_eq!(place.to_take_back(), Some(TakeBack::Stick(1)));
    let kept = What::StickKept { list: 7, stick: 1 };
    let place = told(&[1, 1, 2], &[done(100), bad, kept]);
    assert_eq!(place.current(), Some(1));
    assert_eq!(place.to_take_back(), Some(TakeBack::Piece(0)));
    let of_another_plan = What::BadStick { list: 8, stick: 1 };
    assert_eq!(told(&[1, 1], &[of_another_plan]).current(), Some(0));
    // the end that was made on a bad stick is no help on the next one
    let place = told(&[1, 1, 2], &[done(100), bad]);
    assert!(!place.already_cut(1));
    // what is cut again comes from elsewhere: it neither waits with the stick nor hides what was said after
    let again = What::CutAgain {
        piece: PieceId(100),
        reason: Reason::Short,
    };
    let place = told(&[1, 1], &[done(100), again, bad, done(100)]);
    assert_eq!(place.to_take_back(), Some(TakeBack::Piece(0)));
    let place = told(&[1, 1], &[done(100), again]);
    assert_eq!((place.waiting_on(1), place.stick(0)), (1, Some(1)));
    assert_eq!(told(&[1, 1], &[done(100), bad]).waiting_on(1), 0);
    // keeping a stick leaves what was said of its pieces to be taken back
    let place = told(&[1, 1], &[aside(100), bad, kept]);
    assert_eq!(place.to_take_back(), Some(TakeBack::Piece(0)));
}

#[test]
fn a_stick_is_begun_by_a_cut_of_this_list_that_stands() {
    assert!(!told(&[1, 1], &[aside(100)]).stick_begun(1));
    assert!(told(&[1, 1], &[done(100)]).stick_begun(1));
    assert!(!told(&[1, 1], &[done(100), back(100)]).stick_begun(1));
    let elsewhere = What::Done {
        piece: PieceId(100),
        list: 8,
    };
    assert!(!told(&[1, 1], &[elsewhere]).stick_begun(1));
}

#[test]
fn taking_back_undoes_one_thing_at_a_time() {
    let again = What::CutAgain {
        piece: PieceId(100),
        reason: Reason::Damaged,
    };
    let place = told(&[1, 1], &[done(100), again, back(100)]);
    assert_eq!(place.state(0), Some(PieceState::Done));
    let place = told(&[1, 1], &[aside(100), back(100)]);
    assert_eq!(place.state(0), Some(PieceState::Waiting));
    let place = told(&[1, 1], &[done(100), done(101), back(101)]);
    assert_eq!(place.to_take_back(), Some(TakeBack::Piece(0)));
    assert_eq!(place.last_done(), Some(0));
}

#[test]
fn what_is_cut_and_no_longer_in_the_list_is_counted_once() {
    let place = told(&[1], &[done(500), done(500), done(501), back(501)]);
    assert_eq!(place.progress().not_in_list, 1);
    assert_eq!(place.current(), Some(0));
    let again = What::CutAgain {
        piece: PieceId(500),
        reason: Reason::Short,
    };
    let count = |said: &[What]| told(&[1], said).progress().not_in_list;
    assert_eq!(count(&[done(500), again]), 0);
    assert_eq!(count(&[done(500), again, back(500)]), 1);
    assert_eq!(count(&[aside(500), back(500)]), 0);
}

#[test]
fn a_list_that_was_made_after_the_call_for_another_cut_has_a_stick_for_it() {
    let elsewhere = What::Done {
        piece: PieceId(101),
        list: 8,
    };
    let again = What::CutAgain {
        piece: PieceId(101),
        reason: Reason::Short,
    };
    let place = told(&[1, 1, 2], &[elsewhere, again]);
    assert_eq!(place.state(1), Some(PieceState::Waiting));
    assert_eq!((place.waiting_on(1), place.progress().again), (2, 0));
    // its turn comes, its shared end counts, and a bad stick takes it out, as with any other piece
    let place = told(&[1, 1, 2], &[elsewhere, again, done(100)]);
    assert_eq!((place.current(), place.already_cut(1)), (Some(1), true));
    let bad = What::BadStick { list: 7, stick: 1 };
    let place = told(&[1, 1, 2], &[elsewhere, again, bad]);
    assert_eq!(place.state(1), Some(PieceState::NoStick));
    // set aside and taken back it waits as before
    let place = told(&[1, 1, 2], &[elsewhere, again, aside(101)]);
    assert_eq!(place.state(1), Some(PieceState::Aside));
    let place = told(&[1, 1, 2], &[elsewhere, again, aside(101), back(101)]);
    assert_eq!(place.state(1), Some(PieceState::Waiting));
    // taken back, the first cut counts; called for once more after this list's cut, the list has no stick for it
    let place = told(&[1, 1, 2], &[elsewhere, again, back(101)]);
    assert_eq!(place.state(1), Some(PieceState::Done));
    let place = told(&[1, 1, 2], &[elsewhere, again, done(101), again]);
    assert_eq!(place.state(1), Some(PieceState::Again(Reason::Short)));
}
