//! The rule of each key, one press at a time.

use shared_model::{PieceId, PieceState, Reason, What};

use super::tests::Bench;
use super::{Beep, Input, Key};
use crate::timing::{
    BAD_STICK_STANDS, CUT_AGAIN_STANDS, LOOKING_RETURNS, PARKED, STABLE, WORD_STAYS,
};
use crate::view::Banner;

fn done(piece: u32) -> What {
    What::Done {
        piece: PieceId(piece),
        list: 7,
    }
}

fn again(piece: u32, reason: Reason) -> What {
    What::CutAgain {
        piece: PieceId(piece),
        reason,
    }
}

#[test]
fn done_marks_the_piece_at_the_place_and_only_that() {
    let mut bench = Bench::of(&[1, 1]);
    bench.press(Key::Done);
    assert_eq!(bench.press(Key::Done).beep, Some(Beep::Accepted));
    assert_eq!(bench.said(), [done(100), done(101)]);
    assert_eq!(bench.press(Key::Done).beep, Some(Beep::Refused));
    assert_eq!(bench.banner(), Some(Banner::NothingToDo));
    bench.wait(WORD_STAYS);
    assert_eq!(bench.banner(), None);
    assert_eq!(bench.said().len(), 2);
}

#[test]
fn looking_moves_what_is_shown_and_done_only_comes_back() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.press(Key::Done);
    for (key, shown) in [
        (Key::LookAhead, (3, true)),
        (Key::LookAhead, (3, true)),
        (Key::LookBack, (2, false)),
        (Key::LookBack, (1, true)),
        (Key::LookBack, (1, true)),
    ] {
        bench.press(key);
        assert_eq!(bench.shown(), Some(shown), "{key:?}");
        assert_eq!(bench.current(), Some(1));
    }
    assert_eq!(bench.banner(), Some(Banner::NothingToDo));
    assert_eq!(bench.pedal(100).beep, Some(Beep::Refused));
    assert_eq!(bench.banner(), Some(Banner::BackFromLooking));
    assert_eq!(bench.shown(), Some((2, false)));
    assert_eq!(bench.said(), [done(100)]);
    bench.pedal(100);
    assert_eq!(bench.said(), [done(100), done(101)]);
    assert_eq!(bench.banner(), None);
}

#[test]
fn looking_ends_by_itself_but_not_under_a_foot() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.press(Key::LookAhead);
    bench.wait(LOOKING_RETURNS - 1_000);
    bench.press(Key::LookAhead);
    bench.wait(LOOKING_RETURNS - 50);
    assert_eq!(bench.shown(), Some((3, true)));
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: true }, now);
    bench.wait(200);
    assert_eq!(bench.shown(), Some((3, true)));
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: false }, now);
    bench.wait(25);
    assert_eq!(bench.banner(), Some(Banner::BackFromLooking));
    assert!(bench.said().is_empty());

    // under a parked foot it does
    bench.press(Key::LookAhead);
    bench.wait(LOOKING_RETURNS - 50);
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: true }, now);
    bench.wait(2_524);
    assert_eq!(bench.shown(), Some((2, true)));
    bench.wait(1);
    assert_eq!(bench.shown(), Some((1, false)));
}

#[test]
fn a_finished_list_is_looked_at_from_its_ends() {
    let mut bench = Bench::of(&[1, 1, 1]);
    for _ in 0..3 {
        bench.press(Key::Done);
    }
    assert_eq!(bench.shown(), None);
    bench.press(Key::LookBack);
    assert_eq!(bench.shown(), Some((3, true)));
    bench.press(Key::Done);
    assert_eq!(bench.banner(), Some(Banner::BackFromLooking));
    bench.press(Key::LookAhead);
    assert_eq!(bench.shown(), Some((1, true)));
}

#[test]
fn take_back_undoes_what_was_said_last_and_comes_back_from_looking() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.press(Key::Done);
    bench.press(Key::SetAside);
    bench.press(Key::LookAhead);
    bench.press(Key::LookBack);
    assert_eq!(bench.press(Key::TakeBack).beep, Some(Beep::TakenBack));
    assert_eq!(bench.state(1), PieceState::Waiting);
    assert_eq!(bench.shown(), Some((2, false)));
    assert_eq!(bench.banner(), None);
    bench.press(Key::LookAhead);
    bench.press(Key::TakeBack);
    assert_eq!(bench.shown(), Some((1, false)));
    assert_eq!(bench.press(Key::TakeBack).beep, Some(Beep::Refused));
    assert_eq!(bench.banner(), Some(Banner::NothingToTakeBack));
    assert_eq!(bench.said().len(), 4);
}

#[test]
fn take_back_with_a_question_only_drops_the_question() {
    for key in [Key::CutAgain, Key::BadStick] {
        let mut bench = Bench::of(&[1, 1, 1]);
        bench.press(Key::Done);
        assert_eq!(bench.press(key).beep, Some(Beep::Question));
        assert!(bench.banner().is_some());
        assert_eq!(bench.pedal(1_000).beep, Some(Beep::TakenBack));
        assert_eq!(bench.banner(), None);
        bench.wait(10_000);
        assert_eq!(bench.said(), [done(100)]);
    }
}

#[test]
fn set_aside_leaves_the_piece_shown_if_it_waits() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.press(Key::LookAhead);
    bench.press(Key::LookAhead);
    bench.wait(LOOKING_RETURNS - 600);
    assert_eq!(bench.press(Key::SetAside).beep, Some(Beep::Accepted));
    // it stays on the screen as what it is now
    bench.wait(LOOKING_RETURNS - 501);
    assert_eq!(bench.shown(), Some((3, true)));
    assert_eq!(bench.press(Key::SetAside).beep, Some(Beep::Refused));
    bench.press(Key::Done);
    bench.press(Key::Done);
    bench.press(Key::SetAside);
    assert_eq!(bench.current(), Some(1));
    assert_eq!(bench.state(1), PieceState::Aside);
    // at the place, but it does not wait any more
    assert_eq!(bench.press(Key::SetAside).beep, Some(Beep::Refused));
    assert_eq!(bench.banner(), Some(Banner::NothingToDo));
}

#[test]
fn looking_ends_where_the_piece_looked_at_comes_to_be_the_place() {
    let mut bench = Bench::of(&[1, 2, 2]);
    bench.press(Key::BadStick);
    bench.press(Key::LookAhead);
    assert_eq!(bench.shown(), Some((2, true)));
    bench.press(Key::BadStick);
    assert_eq!(bench.shown(), Some((2, false)));
    bench.press(Key::Done);
    let bad = What::BadStick { list: 7, stick: 1 };
    assert_eq!(bench.said(), [bad, done(101)]);
}

#[test]
fn cut_again_goes_through_the_reasons_and_is_stored_by_itself() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.press(Key::Done);
    for reason in Reason::ALL {
        assert_eq!(bench.press(Key::CutAgain).beep, Some(Beep::Question));
        let asked = Banner::CutAgainAsked { number: 1, reason };
        assert_eq!(bench.banner(), Some(asked));
    }
    bench.press(Key::CutAgain);
    assert_eq!(bench.banner(), None);
    bench.wait(10_000);
    assert_eq!(bench.said(), [done(100)]);
    bench.press(Key::CutAgain);
    bench.wait(CUT_AGAIN_STANDS - 600);
    bench.press(Key::CutAgain);
    assert_eq!(bench.wait(CUT_AGAIN_STANDS - 1).beep, None);
    assert_eq!(bench.wait(1).beep, Some(Beep::Accepted));
    assert_eq!(bench.said(), [done(100), again(100, Reason::WrongEnd)]);
    assert_eq!(bench.state(0), PieceState::Again(Reason::WrongEnd));
    assert_eq!(bench.banner(), None);
    // nothing is done now
    assert_eq!(bench.press(Key::CutAgain).beep, Some(Beep::Refused));
}

#[test]
fn cut_again_means_the_piece_shown_where_it_is_done() {
    let mut bench = Bench::of(&[1, 1, 1, 1]);
    for _ in 0..3 {
        bench.press(Key::Done);
    }
    bench.press(Key::LookBack);
    bench.press(Key::LookBack);
    bench.press(Key::CutAgain);
    // looking on does not change what was asked
    bench.press(Key::LookBack);
    let asked = Banner::CutAgainAsked {
        number: 2,
        reason: Reason::Short,
    };
    assert_eq!(bench.banner(), Some(asked));
    bench.wait(CUT_AGAIN_STANDS);
    assert_eq!(bench.said().last(), Some(&again(101, Reason::Short)));
    bench.press(Key::LookAhead);
    bench.press(Key::CutAgain);
    let asked = Banner::CutAgainAsked {
        number: 3,
        reason: Reason::Short,
    };
    assert_eq!(bench.banner(), Some(asked));
}

#[test]
fn done_settles_a_question_and_marks_the_piece_even_if_the_tap_outlasts_it() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.press(Key::Done);
    bench.press(Key::CutAgain);
    bench.wait(CUT_AGAIN_STANDS - 100);
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: true }, now);
    bench.wait(300);
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: false }, now);
    bench.wait(5_000);
    // the tap began while the question stood: the recut is stored with it, and before it
    let said = [done(100), again(100, Reason::Short), done(101)];
    assert_eq!(bench.said(), said);

    // a foot that stays too long for a tap lets the question have its way
    bench.press(Key::CutAgain);
    let down = bench.now + 500;
    bench.pedal(3_000);
    assert_eq!(bench.said().last(), Some(&again(101, Reason::Short)));
    // at the moment at which the foot is parked, and not before
    let stored = bench.runner.record().events[3].milliseconds;
    assert_eq!(stored, down + STABLE + PARKED);
}

#[test]
fn a_bad_stick_takes_two_presses_within_the_time() {
    let mut bench = Bench::of(&[1, 1, 1, 2]);
    bench.press(Key::Done);
    assert_eq!(bench.press(Key::BadStick).beep, Some(Beep::Question));
    let asked = Banner::BadStickAsked {
        number: 1,
        pieces: 2,
    };
    assert_eq!(bench.banner(), Some(asked));
    bench.wait(BAD_STICK_STANDS);
    assert_eq!(bench.banner(), None);
    bench.press(Key::BadStick);
    bench.wait(BAD_STICK_STANDS - 501);
    assert_eq!(bench.press(Key::BadStick).beep, Some(Beep::Accepted));
    let bad = What::BadStick { list: 7, stick: 1 };
    assert_eq!(bench.said(), [done(100), bad]);
    assert_eq!(bench.current(), Some(3));
    // neither a piece that waits for a new plan nor one that came from the stick before asks it again
    for number in [3, 2, 1] {
        bench.press(Key::LookBack);
        assert_eq!(bench.shown(), Some((number, true)));
        assert_eq!(bench.press(Key::BadStick).beep, Some(Beep::Refused));
    }
}

#[test]
fn a_piece_that_is_cut_again_has_no_stick_to_be_bad() {
    let mut bench = Bench::of(&[1]);
    bench.press(Key::Done);
    bench.press(Key::LookBack);
    assert_eq!(bench.press(Key::BadStick).beep, Some(Beep::Refused));
    bench.press(Key::CutAgain);
    bench.wait(CUT_AGAIN_STANDS);
    assert_eq!(bench.current(), Some(0));
    assert_eq!(bench.press(Key::BadStick).beep, Some(Beep::Refused));
}

#[test]
fn another_question_takes_the_place_of_the_one_before() {
    let mut bench = Bench::of(&[1, 1]);
    bench.press(Key::Done);
    bench.press(Key::BadStick);
    bench.press(Key::CutAgain);
    bench.press(Key::BadStick);
    let asked = Banner::BadStickAsked {
        number: 1,
        pieces: 1,
    };
    assert_eq!(bench.banner(), Some(asked));
    bench.wait(10_000);
    assert_eq!(bench.said(), [done(100)]);
}

#[test]
fn done_while_looking_settles_a_question_and_marks_nothing() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.press(Key::Done);
    bench.press(Key::LookBack);
    bench.press(Key::CutAgain);
    bench.press(Key::Done);
    assert_eq!(bench.said(), [done(100), again(100, Reason::Short)]);
    assert_eq!(bench.shown(), Some((2, false)));
}

#[test]
fn done_marks_the_piece_that_was_shown_and_not_the_one_just_said_to_be_cut_again() {
    let mut bench = Bench::of(&[1]);
    bench.press(Key::Done);
    bench.press(Key::CutAgain);
    // nothing is left to cut but the piece itself, and that was not on the screen
    bench.press(Key::Done);
    assert_eq!(bench.said(), [done(100), again(100, Reason::Short)]);
    assert_eq!(bench.current(), Some(0));
}

#[test]
fn a_take_back_that_does_not_move_the_place_is_told() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.press(Key::LookAhead);
    bench.press(Key::LookAhead);
    bench.press(Key::SetAside);
    bench.press(Key::TakeBack);
    assert_eq!(bench.state(2), PieceState::Waiting);
    assert_eq!(bench.shown(), Some((1, false)));
    assert_eq!(bench.banner(), Some(Banner::TakenBack { number: 3 }));
    bench.press(Key::Done);
    bench.press(Key::TakeBack);
    assert_eq!((bench.shown(), bench.banner()), (Some((1, false)), None));
}
