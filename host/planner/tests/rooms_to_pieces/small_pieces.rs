//! The small pieces beside a wall's board: the wedges of returns and the fillers of rounded corners.

use planner::plan::{Plan, PlannedPiece};
use planner::sticks::places;
use planner::walk::*;
use shared_model::{Angle, Arris, Caution, End, Joint, Length, Side, SmallPiece};

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
        let kerf = Saw::default().kerf;
        for on_stick in places(&plan, stick) {
            let piece = &plan.pieces[on_stick.piece];
            let end = on_stick.far.back.max(on_stick.far.face);
            let held = stick.length - end - kerf - kerf;
            assert!(
                piece.small().is_none() || held >= HoldRule::USUAL.least_hold,
                "{held:?}"
            );
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
            .any(|line| line.contains("less than 1' 0\" is left to hold")),
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

/// A room with a rounded outside corner after its fourth wall.
fn rounded() -> Vec<Item> {
    let mut outline = vec![
        inside("120", 90),
        inside("144", 90),
        inside("60", 90),
        outside("72", 90),
        inside("60", 90),
        inside("72", 90),
    ];
    outline[3].radius = Some(length("3/4"));
    outline
}

#[test]
fn a_rounded_corner_has_two_half_miters_and_a_filler() {
    for (direction, wall) in [(Direction::Clockwise, 3), (Direction::CounterClockwise, 3)] {
        let mut walk = walk(vec![room("El", rounded())]);
        walk.direction = direction;
        let plan = crate::small_rooms::plan(walk);
        let fillers = small(&plan, SmallPiece::Filler);
        let [filler] = fillers[..] else {
            panic!("one filler: {fillers:?}");
        };
        assert_eq!(filler.wall, Some(wall + 1));
        // 2 r tan 22.5 along the back, and t tan 22.5 more at each end of the face: computed
        let half = End::OutsideMiter {
            gauge: Angle::degrees(135),
        };
        assert_eq!((filler.left.end, filler.right.end), (half, half));
        let tan = (22.5f64).to_radians().tan();
        assert_eq!(filler.length, length("3/4").times(2.0 * tan));
        let figure = filler.figure(&base());
        assert_eq!(figure.arris, Arris::Face);
        let due = filler.length + T.times(2.0 * tan);
        assert!((figure.length - due).abs() <= Length::from_units(2));
        // the walls' boards stop short of where their lines meet
        let beside = |wall: u32, side: Side| {
            let board = plan
                .pieces
                .iter()
                .find(|piece| piece.wall == Some(wall))
                .unwrap();
            assert_eq!(board.end(side).end, half);
            board.length
        };
        let ahead = direction.ahead();
        let off = length("3/4").times(1.0 - tan);
        assert_eq!(beside(4, ahead), length("72") - off);
        assert_eq!(beside(5, ahead.other()), length("60") - off);
        assert!(filler.cautions.has(Caution::ShortPiece));
        let order = &plan.install[0].order;
        assert_eq!(order.len(), plan.pieces.len());
        assert!(!plan.has_errors(), "{:?}", plan.findings);
    }
}

#[test]
fn a_column_with_rounded_corners_has_a_filler_at_each() {
    let outline = (0..4).map(|_| Item {
        radius: Some(length("3/4")),
        ..outside("16", 90)
    });
    let mut column = room("Column", outline.collect());
    column.island = true;
    for direction in [Direction::Clockwise, Direction::CounterClockwise] {
        let mut walk = walk(vec![column.clone()]);
        walk.direction = direction;
        let plan = plan(walk);
        let fillers = small(&plan, SmallPiece::Filler);
        let walls: Vec<u32> = fillers.iter().map(|piece| piece.wall.unwrap()).collect();
        assert_eq!(walls, [1, 2, 3, 4]);
        // round it: four walls and four fillers on an octagon's corners
        let off = length("3/4").times(1.0 - (22.5f64).to_radians().tan());
        for board in plan.pieces.iter().filter(|piece| piece.small().is_none()) {
            assert_eq!(board.length, length("16") - off - off);
        }
        assert!(!plan.has_errors(), "{:?}", plan.findings);
    }
}

#[test]
fn a_rounded_corner_whose_joint_is_forced_or_hangs_already_is_told() {
    let mut forced = rounded();
    forced[3] = force(forced[3], None, Some(Joint::OutsideMiter));
    let mut hung = rounded();
    hung[3].stretch = Stretch::Existing(length("72"));
    for outline in [forced, hung] {
        let plan = plan(walk(vec![room("El", outline)]));
        assert_eq!(small(&plan, SmallPiece::Filler).len(), 0);
        let told = messages(&plan);
        assert!(
            told[0].contains("rounded corner gets no filler"),
            "{told:?}"
        );
    }
}
