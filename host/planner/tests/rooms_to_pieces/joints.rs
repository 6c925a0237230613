//! Which joint each end gets, and in which order the pieces go on the wall.

use planner::walk::*;
use shared_model::{Angle, Joint, Side};

use crate::small_rooms::*;

#[test]
fn the_first_after_a_door_starts_square_and_the_others_are_coped_on_the_left() {
    let plan = plan(walk(vec![room("Bed", with_door())]));
    assert_eq!(
        ends(&plan),
        [
            "1 cope - square",
            "2 square - square",
            "3 cope - square",
            "4 cope - square",
            "5 cope - square",
        ]
    );
    assert_eq!(installed(&plan), [2, 3, 4, 5, 1]);
    assert_eq!(messages(&plan), [""; 0]);
}

#[test]
fn one_outside_corner_or_wide_corner_breaks_the_ring_by_itself() {
    let outline = vec![
        inside("120", 90),
        inside("144", 90),
        inside("60", 90),
        outside("72", 90),
        inside("60", 90),
        inside("72", 90),
    ];
    let el = plan(walk(vec![room("El", outline)]));
    assert_eq!(
        ends(&el),
        [
            "1 cope - square",
            "2 cope - square",
            "3 cope - square",
            "4 cope - outside miter",
            "5 outside miter - square",
            "6 cope - square",
        ]
    );
    let mut outline = four(90);
    outline[2].corner.as_mut().unwrap().gauge = Angle::degrees(101);
    let wide = plan(walk(vec![room("Wide", outline)]));
    assert_eq!(
        ends(&wide),
        [
            "1 cope - square",
            "2 cope - square",
            "3 cope - inside miter",
            "4 inside miter - square",
        ]
    );
}

#[test]
fn board_that_hangs_already_is_coped_over_from_both_sides() {
    let outline = vec![
        straight("31 1/2"),
        opening("37 1/2"),
        inside("60", 90),
        existing("124 3/8"),
        inside("129", 90),
        inside("124 3/8", 90),
    ];
    let plan = plan(walk(vec![room("Hall", outline)]));
    assert_eq!(
        ends(&plan),
        [
            "1 cope - square",
            "2 square - cope",
            "3 cope - square",
            "4 cope - square",
        ]
    );
}

#[test]
fn an_opening_at_a_corner_leaves_the_wall_square() {
    let mut outline = with_door();
    outline[1].corner = Some(Corner {
        turn: Turn::Inside,
        gauge: Angle::degrees(85),
    });
    let plan = plan(walk(vec![room("Corner door", outline)]));
    assert_eq!(ends(&plan)[1], "2 square - square");
    assert_eq!(plan.pieces[0].length, length("31 1/2"));
}

#[test]
fn an_open_run_has_loose_square_ends() {
    let mut run = room(
        "Run",
        vec![inside("40", 90), outside("50", 90), straight("60")],
    );
    run.closed = false;
    let left_to_right = plan(walk(vec![run.clone()]));
    assert_eq!(
        ends(&left_to_right),
        [
            "1 square - square",
            "2 cope - outside miter",
            "3 outside miter - square",
        ]
    );
    let mut other_way = walk(vec![run]);
    other_way.direction = Direction::CounterClockwise;
    other_way.cope = Side::Right;
    assert_eq!(
        ends(&plan(other_way)),
        [
            "1 square - square",
            "2 outside miter - cope",
            "3 square - outside miter",
        ]
    );
}

#[test]
fn an_island_is_mitered_all_round() {
    let mut column = room("Column", (0..4).map(|_| outside("16", 90)).collect());
    column.island = true;
    let plan = plan(walk(vec![column]));
    assert!(
        ends(&plan)
            .iter()
            .all(|line| line.ends_with("outside miter - outside miter"))
    );
    assert_eq!(plan.pieces.len(), 4);
    assert!(plan.pieces.iter().all(|piece| piece.length == length("16")));
}

#[test]
fn forced_ends_are_kept_and_their_mates_follow() {
    let mut outline = with_door();
    outline[2] = force(outline[2], None, Some(Joint::Cope));
    outline[4] = force(outline[4], None, Some(Joint::InsideMiter));
    outline[0] = force(outline[0], None, Some(Joint::Return));
    let plan = plan(walk(vec![room("Forced", outline)]));
    assert_eq!(
        ends(&plan),
        [
            "1 cope - return",
            "1 return - square",
            "2 square - cope",
            "3 square - square",
            "4 cope - inside miter",
            "5 inside miter - square",
        ]
    );
    // the return's figure is its long point: the back is a thickness shorter
    assert_eq!(plan.pieces[0].length, length("31 1/2") - T);
}

#[test]
fn forced_ends_that_make_no_joint_are_found() {
    let mut outline = with_door();
    outline[2] = force(outline[2], None, Some(Joint::Cope));
    outline[3] = force(outline[3], Some(Joint::Cope), None);
    let both = plan(walk(vec![room("Both", outline)]));
    assert!(both.has_errors());
    assert!(messages(&both)[0].contains("Both ends in their corner are cut to go over the other"));
    let mut outline = with_door();
    outline[3] = force(outline[3], None, Some(Joint::OutsideMiter));
    let wrong = plan(walk(vec![room("Wrong", outline)]));
    assert!(messages(&wrong)[0].contains("An outside miter cannot go into an inside corner"));
    assert_eq!(ends(&wrong)[2], "3 cope - square");
    let ring: Vec<Item> = four(90)
        .into_iter()
        .map(|item| force(item, Some(Joint::Cope), None))
        .collect();
    let circle = plan(walk(vec![room("Circle", ring)]));
    assert!(circle.has_errors());
}

#[test]
fn a_ring_is_broken_at_the_first_walked_piece() {
    let cases = [
        (Direction::Clockwise, Side::Left, 4),
        (Direction::CounterClockwise, Side::Right, 4),
        (Direction::Clockwise, Side::Right, 2),
        (Direction::CounterClockwise, Side::Left, 2),
    ];
    for (direction, cope, coped_at_both) in cases {
        let mut walk = walk(vec![room("Ring", four(90))]);
        (walk.direction, walk.cope) = (direction, cope);
        let plan = plan(walk);
        for piece in &plan.pieces {
            let joints = [piece.left.end.joint(), piece.right.end.joint()];
            let copes = joints.iter().filter(|joint| **joint == Joint::Cope).count();
            let expected = match piece.wall.unwrap() {
                1 => 0,
                wall if wall == coped_at_both => 2,
                _ => 1,
            };
            assert_eq!(copes, expected, "{direction:?} {cope:?} {:?}", piece.wall);
            if copes == 1 {
                assert_eq!(piece.end(cope).end.joint(), Joint::Cope);
            }
        }
        let order = installed(&plan);
        assert_eq!(order[0], 1, "the square one goes on the wall first");
        assert_eq!(
            order[3], coped_at_both,
            "the one coped at both ends goes on last"
        );
    }
}

#[test]
fn a_joint_forced_where_there_is_nothing_to_meet_is_told() {
    let mut outline = with_door();
    outline[0] = force(outline[0], None, Some(Joint::Scarf));
    outline[2] = force(outline[2], Some(Joint::InsideMiter), None);
    let told = plan(walk(vec![room("Loose", outline)]));
    let warning = |wall: u32, what: &str| {
        format!(
            "warning [{wall}] {what} is forced at an opening, where there is no board for it to meet."
        )
    };
    assert_eq!(
        messages(&told),
        [warning(1, "A scarf"), warning(2, "An inside miter")]
    );
}

#[test]
fn only_the_boards_in_a_circle_are_told_to_be_in_one() {
    let mut run = room(
        "Circle",
        vec![
            inside("50", 90),
            inside("40", 90),
            outside("50", 90),
            straight("20"),
        ],
    );
    run.closed = false;
    run.outline[0] = force(run.outline[0], None, Some(Joint::Cope));
    run.outline[1] = force(run.outline[1], Some(Joint::Cope), None);
    let told = messages(&plan(walk(vec![run])));
    assert!(
        told.iter()
            .any(|line| line.starts_with("error [1, 2] These boards wait for each other")),
        "{told:?}"
    );
}
