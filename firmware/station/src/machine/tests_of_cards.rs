//! The cards before a list: when they come, how they are leafed through, how a test cut lies. The pages that a person opens
//! are tested in `tests_of_pages`.

use shared_model::{Angle, Caution, Cautions, End, Joint, PieceEnd, Posture, Side, Way};

use super::tests::Bench;
use super::{Beep, Input, Key};
use crate::sample::{Memory, Sample, cope};
use crate::timing::{HOLD_OFF, STABLE};
use crate::view::{Banner, Body, MenuRow};
use crate::work::Card;

/// A list with this end at the installed left of its second piece.
pub(super) fn list(end: End, posture: Posture) -> Sample {
    let mut list = Sample::of(7, &[1, 1, 1]);
    list.pieces[1].left = PieceEnd { end, posture };
    list
}

pub(super) fn outside(degrees: u16) -> End {
    let gauge = Angle::degrees(degrees);
    End::OutsideMiter { gauge }
}

#[test]
fn a_list_begins_with_its_cards_and_a_press_leafs_and_is_never_a_done() {
    let down = Posture::StandingUpsideDown;
    let mut bench = Bench::at_start(Memory::with(list(outside(90), down)));
    for card in [
        Card::Decide,
        Card::Hands,
        Card::TestCut(Joint::OutsideMiter),
        Card::MiterLook,
        Card::MiterFigure,
        Card::Kerf,
    ] {
        assert_eq!(bench.card(), Some(card));
        bench.pedal(100);
    }
    assert_eq!(bench.shown(), Some((1, false)));
    assert!(bench.said().is_empty());
    bench.pedal(100);
    assert_eq!((bench.said().len(), bench.current()), (1, Some(1)));
}

#[test]
fn the_first_card_of_an_old_house_is_its_paint() {
    let mut old = Sample::of(7, &[1, 1]);
    old.pieces[0].cautions = Cautions::NONE.with(Caution::LeadPaint);
    let mut bench = Bench::at_start(Memory::with(old));
    for card in [Card::OldHouse, Card::Decide, Card::Hands, Card::Kerf] {
        assert_eq!(bench.card(), Some(card));
        bench.press(Key::Done);
    }
    assert_eq!(bench.card(), None);
}

#[test]
fn only_the_joints_of_the_list_have_test_cuts() {
    let down = Posture::StandingUpsideDown;
    let bevel = Angle::degrees(45);
    for (end, cards) in [
        (End::Square, 3),
        (cope(90), 4),
        (End::ScarfUnder { bevel }, 4),
        (outside(135), 6),
    ] {
        let mut bench = Bench::at_start(Memory::with(list(end, down)));
        let mut count = 0;
        while bench.card().is_some() {
            bench.press(Key::Done);
            count += 1;
        }
        assert_eq!(count, cards, "{end:?}");
    }
}

#[test]
fn cards_are_leafed_back_and_the_last_one_is_passed_only_by_done() {
    let mut bench = Bench::at_start(Memory::with(Sample::of(7, &[1, 1])));
    assert_eq!(bench.press(Key::TakeBack).beep, Some(Beep::Refused));
    bench.press(Key::LookAhead);
    bench.press(Key::LookAhead);
    assert_eq!(bench.card(), Some(Card::Kerf));
    assert_eq!(bench.press(Key::LookAhead).beep, Some(Beep::Refused));
    for key in [Key::SetAside, Key::CutAgain, Key::BadStick] {
        assert_eq!(bench.press(key).beep, Some(Beep::Refused), "{key:?}");
        assert_eq!(bench.card(), Some(Card::Kerf));
    }
    assert_eq!(bench.digit(1).beep, Some(Beep::Refused));
    bench.press(Key::LookBack);
    assert_eq!(bench.card(), Some(Card::Hands));
    // a held pedal goes back as the key does, and says so before
    bench.wait(500);
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: true }, now);
    bench.wait(900);
    assert_eq!(bench.banner(), Some(Banner::LetGoToGoBack));
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: false }, now);
    bench.wait(STABLE);
    assert_eq!(bench.card(), Some(Card::Decide));
    // time passes no card
    bench.wait(3_600_000);
    assert_eq!(bench.card(), Some(Card::Decide));
    assert!(bench.said().is_empty());
}

#[test]
fn a_held_or_bouncing_pedal_skips_no_card() {
    let mut bench = Bench::at_start(Memory::with(Sample::of(7, &[1, 1])));
    bench.now = 1_000;
    let pedal = |bench: &mut Bench, at: u32, closed| {
        bench.runner.take(Input::Pedal { closed }, 1_000 + at);
    };
    for (at, closed) in [
        (0, true),
        (4, false),
        (6, true),
        (120, false),
        (123, true),
        (126, false),
    ] {
        pedal(&mut bench, at, closed);
    }
    bench.wait(200);
    assert_eq!(bench.card(), Some(Card::Hands));
    // a second stamp of the same foot
    for (at, closed) in [(300, true), (400, false)] {
        pedal(&mut bench, at, closed);
    }
    bench.wait(400);
    assert_eq!(bench.card(), Some(Card::Hands));
    bench.pedal(5_000);
    assert_eq!(bench.card(), Some(Card::Hands));
    // keys fall into the same hold-off
    bench.press(Key::Done);
    bench.now += HOLD_OFF - 1;
    let now = bench.now;
    bench.runner.take(Input::Press(Key::Done), now);
    assert_eq!(bench.card(), Some(Card::Kerf));
}

#[test]
fn cards_come_again_after_a_power_cut_until_a_piece_was_done_and_then_never() {
    let mut bench = Bench::of(&[1, 1]);
    bench.press(Key::SetAside);
    let mut bench = Bench::at_start(bench.runner.record().clone());
    assert_eq!(bench.card(), Some(Card::Decide));
    bench.pass_cards();
    bench.press(Key::Done);
    bench.press(Key::TakeBack);
    let mut bench = Bench::at_start(bench.runner.record().clone());
    assert_eq!((bench.card(), bench.shown()), (None, Some((2, false))));
    // another list that holds the piece has been begun as well, one of strangers has not
    bench
        .runner
        .load(&Sample::of(8, &[1, 1]), 3)
        .expect("a good list");
    assert_eq!(bench.card(), None);
    let mut strangers = Sample::of(9, &[1, 1]);
    for piece in &mut strangers.pieces {
        piece.id.0 += 500;
    }
    bench.runner.load(&strangers, 3).expect("a good list");
    assert_eq!(bench.card(), Some(Card::Decide));
}

#[test]
fn the_menu_calls_the_cards_up_again() {
    let mut bench = Bench::of(&[1, 1]);
    bench.press(Key::Done);
    bench.press(Key::Menu);
    bench.press(Key::LookAhead);
    bench.press(Key::LookAhead);
    assert_eq!(bench.chosen(), Some(MenuRow::Cards));
    bench.press(Key::Done);
    assert_eq!(bench.card(), Some(Card::Decide));
    bench.pass_cards();
    assert_eq!((bench.shown(), bench.said().len()), (Some((2, false)), 1));
}

#[test]
fn a_test_cut_lies_as_such_pieces_do_and_is_set_as_the_saw_view_says() {
    // outside, installed left, upside down: at saw-right, the face longer, so the handle to the right (common practice)
    for (posture, at, way) in [
        (Posture::StandingUpsideDown, Side::Right, Way::Right),
        (Posture::StandingUpright, Side::Left, Way::Left),
        (Posture::FlatTopToFence, Side::Left, Way::Left),
        (Posture::FlatBottomToFence, Side::Right, Way::Right),
    ] {
        let mut bench = Bench::at_start(Memory::with(list(outside(90), posture)));
        bench.press(Key::Done);
        bench.press(Key::Done);
        let Body::Scrap(scrap) = bench.body() else {
            panic!("a test cut");
        };
        assert_eq!(
            (scrap.joint, scrap.number, scrap.of),
            (Joint::OutsideMiter, 1, 1)
        );
        assert_eq!(scrap.board.posture, posture);
        let (own, mate) = match at {
            Side::Left => (scrap.board.left, scrap.board.right),
            Side::Right => (scrap.board.right, scrap.board.left),
        };
        assert_eq!((own.cut.way, own.turned, own.already), (way, false, false));
        // its mate is at the other side and goes the other way: the pair closes
        assert_eq!(
            (mate.cut.joint, mate.cut.side),
            (Joint::OutsideMiter, at.other())
        );
        assert!(mate.cut.way != way && mate.cut.degrees == own.cut.degrees);
    }
}

#[test]
fn a_pair_that_the_saw_cannot_swing_both_ways_is_cut_with_the_board_turned() {
    let mut one_way = list(outside(90), Posture::FlatTopToFence);
    one_way.head.stock.saw.tilt_right = Angle::ZERO;
    let mut bench = Bench::at_start(Memory::with(one_way));
    bench.press(Key::Done);
    bench.press(Key::Done);
    let Body::Scrap(scrap) = bench.body() else {
        panic!("a test cut");
    };
    assert_eq!(
        (scrap.board.left.cut.way, scrap.board.left.turned),
        (Way::Left, false)
    );
    assert_eq!(
        (scrap.board.right.cut.way, scrap.board.right.turned),
        (Way::Left, true)
    );
}

#[test]
fn a_miter_is_tested_at_45_whatever_its_corner_reads() {
    let scrap = |list: Sample| {
        let mut bench = Bench::at_start(Memory::with(list));
        bench.press(Key::Done);
        bench.press(Key::Done);
        let Body::Scrap(scrap) = bench.body() else {
            panic!("a test cut");
        };
        bench.press(Key::Done);
        (scrap.board.left.cut.degrees, bench.card())
    };
    let up = Posture::StandingUpright;
    let wide = list(outside(135), up);
    assert_eq!(
        scrap(wide.clone()),
        (Angle::degrees(45), Some(Card::MiterLook))
    );
    // a saw that does not go so far tests it as it is cut, and nothing is said of 45
    let mut short = wide;
    short.head.stock.saw.swing_left = Angle::degrees(30);
    short.head.stock.saw.swing_right = Angle::degrees(30);
    assert_eq!(scrap(short), (Angle::hundredths(2250), Some(Card::Kerf)));
}
