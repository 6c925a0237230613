//! What the picture shows: which piece, how the board lies, what is cut already, which stick, what comes next.

use shared_model::{Angle, Length, PieceState, Posture, Reason, SawList, Side, Way};

use super::tests::Bench;
use super::{Body, Key};
use crate::sample::{Memory, Sample, cope};
use crate::timing::CUT_AGAIN_STANDS;
use crate::view::{NextView, PieceView, StickView};

fn piece(bench: &Bench) -> PieceView {
    match bench.runner.view().body {
        Body::Piece(piece) => piece,
        body => panic!("no piece on the screen: {body:?}"),
    }
}

fn bench(list: &Sample) -> Bench {
    Bench::with(Memory::with(list.clone()))
}

#[test]
fn the_ends_stand_where_they_lie_at_the_saw() {
    let mut list = Sample::of(7, &[1, 1]);
    list.pieces[0].left.end = cope(92);
    let view = piece(&bench(&list));
    assert_eq!(view.posture, Posture::StandingUpsideDown);
    assert_eq!(view.installed_left, Side::Right);
    assert_eq!(
        (view.left.cut.side, view.right.cut.side),
        (Side::Left, Side::Right)
    );
    assert_eq!(
        (view.left.cut.way, view.left.cut.degrees),
        (Way::None, Angle::ZERO)
    );
    assert_eq!(
        (view.right.cut.way, view.right.cut.degrees),
        (Way::Left, Angle::degrees(44))
    );
    let plain = view
        .right
        .cut
        .plain
        .expect("upside down the plain part is on top");
    assert_eq!((plain.way, plain.degrees), (Way::Right, Angle::degrees(2)));
    assert_eq!(plain.depth, Length::sixteenths(72));
    assert!(!view.left.turned && !view.right.turned);
    assert_eq!(view.figure.length, Length::inches(20));
    assert_eq!(
        (view.room.as_str(), view.wall, view.number),
        ("Bed 2", 1, 1)
    );
    assert_eq!(view.moulding.as_str(), "tall base");
}

#[test]
fn a_board_that_turns_lies_as_its_first_cut_wants() {
    let (up, down) = (Posture::FlatTopToFence, Posture::FlatBottomToFence);
    let turning = |left, right, first| {
        let mut list = Sample::of(7, &[1, 1]);
        let piece = &mut list.pieces[0];
        (piece.left.posture, piece.right.posture) = (left, right);
        piece.first = first;
        piece_of(&list)
    };
    fn piece_of(list: &Sample) -> PieceView {
        piece(&bench(list))
    }
    let view = turning(up, down, Side::Left);
    assert_eq!((view.posture, view.installed_left), (up, Side::Left));
    assert_eq!((view.left.turned, view.right.turned), (false, true));
    // the turned end stands in the column where it lies now and says where it lies after turning
    assert_eq!(view.right.cut.side, Side::Left);
    let view = turning(up, down, Side::Right);
    assert_eq!((view.posture, view.installed_left), (down, Side::Right));
    assert_eq!((view.left.turned, view.right.turned), (false, true));
    // one end stands, the other lies
    let stands = Posture::StandingUpright;
    let view = turning(stands, up, Side::Right);
    assert_eq!(view.posture, up);
    assert_eq!((view.left.turned, view.right.turned), (true, false));
    let view = turning(stands, up, Side::Left);
    assert_eq!(view.posture, stands);
    assert_eq!((view.left.turned, view.right.turned), (false, true));
}

#[test]
fn an_end_is_already_cut_until_its_neighbour_is_no_more_the_last_from_the_stick() {
    let mut list = Sample::of(7, &[1, 1, 1]);
    for piece in &mut list.pieces[1..] {
        piece.shared = true;
    }
    let mut bench = bench(&list);
    assert!(!piece(&bench).left.already && !piece(&bench).right.already);
    bench.press(Key::Done);
    // upside down the installed left lies at saw-right
    assert!(piece(&bench).right.already && !piece(&bench).left.already);
    bench.press(Key::SetAside);
    assert!(!piece(&bench).right.already);
    bench.press(Key::TakeBack);
    assert!(piece(&bench).right.already);
    bench.press(Key::LookAhead);
    assert!(!piece(&bench).right.already);
    bench.press(Key::LookBack);
    bench.press(Key::TakeBack);
    assert_eq!(piece(&bench).number, 1);
    bench.press(Key::LookAhead);
    assert!(!piece(&bench).right.already);
}

#[test]
fn an_end_that_is_cut_already_asks_for_no_turn() {
    let mut list = Sample::of(7, &[1, 1]);
    let (up, down) = (Posture::FlatTopToFence, Posture::FlatBottomToFence);
    let second = &mut list.pieces[1];
    second.shared = true;
    second.left.end = cope(90);
    (second.left.posture, second.right.posture) = (up, down);
    let mut bench = bench(&list);
    bench.press(Key::Done);
    let view = piece(&bench);
    assert_eq!((view.posture, view.installed_left), (down, Side::Right));
    assert!(view.right.already);
    assert!(!view.left.turned && !view.right.turned);
    // the cope is shown as it lies now
    assert_eq!(
        (view.right.cut.posture, view.right.cut.side),
        (down, Side::Right)
    );
    assert_eq!(view.right.cut.way, Way::Left);
}

#[test]
fn a_stick_is_fresh_until_something_is_cut_from_it() {
    let mut list = Sample::of(7, &[1, 1, 2, 2]);
    list.pieces[2].from_offcut = true;
    list.pieces[2].stick_length = Length::inches(61);
    let mut bench = bench(&list);
    let fresh = |number, inches, offcut| StickView::Fresh {
        number,
        length: Length::inches(inches),
        offcut,
    };
    assert_eq!(piece(&bench).stick, fresh(1, 192, false));
    bench.press(Key::SetAside);
    assert_eq!(piece(&bench).stick, fresh(1, 192, false));
    bench.press(Key::Done);
    assert_eq!(piece(&bench).stick, fresh(2, 61, true));
    bench.press(Key::Done);
    assert_eq!(piece(&bench).stick, StickView::Same { number: 2 });
    bench.press(Key::Done);
    // what was set aside goes on with the stick that it was begun with
    assert_eq!(piece(&bench).stick, StickView::Same { number: 1 });
    bench.press(Key::CutAgain);
    bench.wait(CUT_AGAIN_STANDS);
    bench.press(Key::Done);
    assert_eq!(piece(&bench).stick, StickView::Unplanned);
    assert_eq!(piece(&bench).state, PieceState::Again(Reason::Short));
}

#[test]
fn the_next_piece_is_shown_in_the_order_of_the_work() {
    let mut list = Sample::of(7, &[1, 2, 2]);
    list.pieces[1].moulding = 1;
    let mut bench = bench(&list);
    let next = |index: u16, room: &str, fresh_stick| {
        let piece = list.piece(index).expect("a piece");
        Some(NextView {
            length: piece.length,
            room: crate::sample::name(room),
            wall: piece.wall,
            fresh_stick,
        })
    };
    assert_eq!(piece(&bench).next, next(1, "Hall", true));
    assert!(!piece(&bench).new_moulding);
    bench.press(Key::SetAside);
    // the piece shown begins stick 2, the next goes on with it
    assert_eq!(piece(&bench).next, next(2, "Bed 2", false));
    assert!(piece(&bench).new_moulding);
    bench.press(Key::LookAhead);
    assert_eq!((piece(&bench).number, piece(&bench).next), (3, None));
    bench.press(Key::LookBack);
    bench.press(Key::Done);
    assert_eq!(piece(&bench).next, next(0, "Bed 2", true));
    bench.press(Key::Done);
    assert_eq!((piece(&bench).number, piece(&bench).next), (1, None));
    assert!(!piece(&bench).new_moulding);
}

#[test]
fn a_finished_list_shows_how_it_stands() {
    let list = Sample::of(7, &[1, 2]);
    let mut bench = bench(&list);
    bench.press(Key::BadStick);
    bench.press(Key::BadStick);
    bench.press(Key::Done);
    match bench.runner.view().body {
        Body::Finished {
            level,
            digest,
            progress,
        } => {
            assert_eq!((level.as_str(), digest), ("Upper floor", 7));
            assert_eq!(
                (progress.done, progress.no_stick, progress.pieces),
                (1, 1, 2)
            );
        }
        body => panic!("{body:?}"),
    }
}
