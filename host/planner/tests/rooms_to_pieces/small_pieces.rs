//! The small pieces beside a wall's board: the wedges of returns.

use planner::plan::{Plan, PlannedPiece};
use planner::sticks::{LEAST_HOLD, places};
use planner::walk::*;
use shared_model::{Angle, Arris, Caution, End, Joint, Length, SmallPiece};

use crate::small_rooms::*;

/// A run of two walls round an inside corner, with a return at both its open ends.
fn run() -> Plan {
    let mut run = room(
        "Run",
        vec![
            force(inside("60", 90), Some(Joint::Return), None),
            force(straight("80"), None, Some(Joint::Return)),
        ],
    );
    run.closed = false;
    plan(walk(vec![run]))
}

fn small(plan: &Plan, kind: SmallPiece) -> Vec<&PlannedPiece> {
    let pieces = plan.pieces.iter();
    pieces.filter(|piece| piece.small() == Some(kind)).collect()
}

#[test]
fn a_return_has_its_long_point_at_the_finished_end_and_a_wedge_of_its_own() {
    let plan = run();
    assert_eq!(
        ends(&plan),
        [
            "1 return - square",
            "1 square - return",
            "2 cope - return",
            "2 return - square",
        ]
    );
    // along the back each board stops a thickness short of the finished end, on the face it reaches it
    assert_eq!(plan.pieces[0].length, length("60") - T);
    let stock = base();
    for piece in small(&plan, SmallPiece::Wedge) {
        let figure = piece.figure(&stock);
        assert_eq!(piece.length, Length::ZERO, "nothing on its back");
        assert_eq!((figure.length, figure.arris), (T, Arris::Face));
        assert_eq!((piece.part, piece.parts), (0, 0));
        for caution in [Caution::ReturnWedge, Caution::ShortPiece] {
            assert!(piece.cautions.has(caution));
        }
    }
    let boards = plan.pieces.iter().filter(|piece| piece.small().is_none());
    assert!(
        boards
            .clone()
            .all(|board| !board.cautions.has(Caution::ReturnWedge))
    );
    assert_eq!(boards.count(), 2);
    assert_eq!(messages(&plan), [""; 0]);
}

#[test]
fn a_wedge_goes_on_after_the_board_that_it_closes() {
    let plan = run();
    let order = &plan.install[0].order;
    let turn = |at: usize| order.iter().position(|&place| place == at);
    assert!(turn(0) < turn(1) && turn(2) < turn(3), "{order:?}");
}

#[test]
fn a_wedge_comes_off_while_there_is_stick_to_hold() {
    let plan = run();
    for stick in &plan.sticks {
        let kerf = saw().kerf;
        for on_stick in places(&plan, stick) {
            let piece = &plan.pieces[on_stick.piece];
            let end = on_stick.far.back.max(on_stick.far.face);
            let held = stick.length - end - kerf - kerf;
            assert!(piece.small().is_none() || held >= LEAST_HOLD, "{held:?}");
        }
    }
    // where there is nothing longer than a foot it is told
    let mut outline = vec![force(straight("6"), None, Some(Joint::Return))];
    outline[0].corner = None;
    let mut stub = room("Stub", outline);
    stub.closed = false;
    let mut walk = walk(vec![stub]);
    let stock = &mut walk.setup.mouldings[0];
    stock.sticks.clear();
    stock.offcuts = vec![length("9")];
    let told = messages(&crate::small_rooms::plan(walk));
    assert!(
        told.iter()
            .any(|line| line.contains("too little is left to hold")),
        "{told:?}"
    );
}

#[test]
fn a_cut_list_gets_the_wedges_of_its_returns() {
    let list = CutList {
        setup: walk(Vec::new()).setup,
        pieces: vec![ListedPiece {
            room: "Hall".to_owned(),
            wall: Some(2),
            moulding: 0,
            length: length("40"),
            left: End::Cope {
                gauge: Angle::RIGHT,
            },
            right: End::Return,
        }],
    };
    let plan = planner::plan(&Sheet::CutList(list));
    assert_eq!(ends(&plan), ["2 cope - return", "2 return - square"]);
    assert_eq!(plan.install[0].order, [0, 1]);
    assert_eq!(messages(&plan), [""; 0]);
}
