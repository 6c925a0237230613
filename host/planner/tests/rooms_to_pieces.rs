//! Rooms to joints to pieces: the trade's rules one by one, each on a small room. Facts of the trade here are common
//! practice, no source, where none is named.
#![allow(clippy::unwrap_used)]

mod common;

use common::*;
use planner::walk::*;
use shared_model::{Angle, End, Joint, Length, Posture, Side};

fn four(gauge: u16) -> Vec<Item> {
    vec![
        inside("120", gauge),
        inside("144", gauge),
        inside("120", gauge),
        inside("144", gauge),
    ]
}

fn with_door() -> Vec<Item> {
    vec![
        straight("31 1/2"),
        opening("37 1/2"),
        inside("60", 90),
        inside("124 3/8", 92),
        inside("129", 90),
        inside("124 3/8", 88),
    ]
}

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
fn square_edged_stock_is_butted_a_thickness_short() {
    let mut walk = walk(vec![room("Closet", with_door())]);
    walk.setup.mouldings[0].profile = Length::ZERO;
    let plan = plan(walk);
    assert_eq!(ends(&plan)[2], "3 butt - square");
    // wall 4 butts in the corner of 92 after wall 3: t / tan(46) off the tape
    let expected = 129.0 - 0.5625 / 46f64.to_radians().tan();
    let got = f64::from(plan.pieces[3].length.units()) / 16256.0;
    assert!((got - expected).abs() < 1e-4, "{got} {expected}");
    // in a true corner the whole thickness comes off
    assert_eq!(plan.pieces[2].length, length("124 3/8") - T);
}

#[test]
fn a_square_end_in_a_corner_under_ninety_meets_the_wall_with_its_face() {
    // 9/16 in stock: .020 in at 88, .049 at 85, .099 at 80 (t / tan g, computed)
    for (gauge, off) in [
        (88, 0.0196),
        (85, 0.0492),
        (80, 0.0992),
        (90, 0.0),
        (92, 0.0),
    ] {
        let mut outline = with_door();
        outline[2] = inside("60", gauge);
        let plan = plan(walk(vec![room("Acute", outline)]));
        let got = f64::from((length("60") - plan.pieces[1].length).units()) / 16256.0;
        assert!((got - off).abs() < 5e-4, "{gauge}: {got} {off}");
    }
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
    assert!(messages(&both)[0].contains("both ends in their corner are cut to go over the other"));
    let mut outline = with_door();
    outline[3] = force(outline[3], None, Some(Joint::OutsideMiter));
    let wrong = plan(walk(vec![room("Wrong", outline)]));
    assert!(messages(&wrong)[0].contains("an outside miter cannot go into an inside corner"));
    assert_eq!(ends(&wrong)[2], "3 cope - square");
    let ring: Vec<Item> = four(90)
        .into_iter()
        .map(|item| force(item, Some(Joint::Cope), None))
        .collect();
    let circle = plan(walk(vec![room("Circle", ring)]));
    assert!(circle.has_errors());
}

#[test]
fn two_walls_in_one_line_are_scarfed_and_the_part_near_the_door_laps_over() {
    let outline = vec![
        straight("30"),
        opening("36"),
        inside("54", 90),
        inside("100", 90),
        straight("70"),
        inside("50", 90),
        inside("100", 90),
    ];
    let plan = plan(walk(vec![room("Joint", outline)]));
    // walls 1 and 2 stand beside the door; 4 and 5 lie opposite it, 4 on the way that is nearer round the right side
    let laps: Vec<(u32, End, End)> = plan
        .pieces
        .iter()
        .map(|p| (p.wall.unwrap(), p.left.end, p.right.end))
        .collect();
    let bevel = Angle::degrees(45);
    assert_eq!(laps[3].2, End::ScarfUnder { bevel });
    assert_eq!(laps[4].1, End::ScarfOver { bevel });
    let order = installed(&plan);
    let place = |wall| order.iter().position(|w| *w == wall).unwrap();
    assert!(place(4) < place(5));
    assert_eq!(laps[3].0, 4);
    assert_eq!(plan.pieces[3].length, length("70"));
}

#[test]
fn a_wall_longer_than_a_stick_is_broken_over_a_stud() {
    let outline = vec![
        straight("30"),
        opening("36"),
        inside("189", 90),
        inside("120", 90),
        inside("255", 90),
        inside("120", 90),
    ];
    let plan = plan(walk(vec![room("Long", outline)]));
    let parts: Vec<_> = plan.pieces.iter().filter(|p| p.wall == Some(4)).collect();
    assert_eq!(parts.len(), 2);
    assert_eq!(parts[0].length + parts[1].length, length("255"));
    // the middle of the overlap is over the stud: half the thickness beyond the end of the shorter back
    let seam = match parts[0].right.end {
        End::ScarfOver { .. } => parts[0].length + T.times(0.5),
        _ => parts[0].length - T.times(0.5),
    };
    assert_eq!(seam.units() % length("16").units(), 0);
    assert_eq!(seam, length("128"));
    assert_eq!((parts[0].part, parts[1].part, parts[1].parts), (1, 2, 2));
    assert_eq!(messages(&plan), [""; 0]);
}

#[test]
fn the_part_on_the_doors_side_of_the_seam_laps_over_however_the_way_round_is() {
    // an L: the door stands 26 in left of the long wall's seam, the way to it is shorter round the right
    let outline = vec![
        inside("250", 90),
        inside("60", 90),
        straight("130"),
        opening("36"),
        outside("4", 90),
        inside("200", 90),
        inside("80", 90),
        inside("260", 90),
    ];
    let mut walk = walk(vec![room("El", outline)]);
    walk.setup.mouldings[0].sticks[0].length = length("144");
    let bevel = Angle::degrees(45);
    let by_plan = plan(walk.clone());
    assert_eq!(by_plan.pieces[0].right.end, End::ScarfOver { bevel });
    // without the door's width there is only the way along the outline to go by
    walk.rooms[0].outline[3].stretch = Stretch::Opening(None);
    let by_way = plan(walk);
    assert_eq!(by_way.pieces[0].right.end, End::ScarfUnder { bevel });
}

#[test]
fn a_long_offcut_or_a_last_long_stick_serves_one_wall_and_the_next_is_broken() {
    let mut walk = walk(vec![room(
        "Hall",
        vec![
            straight("140"),
            opening("30"),
            straight("140"),
            opening("30"),
            straight("140"),
            opening("30"),
        ],
    )]);
    let stock = &mut walk.setup.mouldings[0];
    stock.sticks[0].length = length("96");
    stock.sticks.push(StickKind {
        length: length("144"),
        price: None,
        count: Some(1),
    });
    stock.offcuts = vec![length("150")];
    let plan = plan(walk);
    assert_eq!(messages(&plan), [""; 0]);
    let parts: Vec<u32> = plan.pieces.iter().map(|piece| piece.parts).collect();
    assert_eq!(parts, [1, 1, 2, 2]);
}

#[test]
fn without_a_stud_that_serves_the_joint_is_told_to_be_blocked() {
    let mut walk = walk(vec![room("Hall", vec![straight("196"), opening("40")])]);
    walk.scarf.stud = Some(length("150"));
    walk.scarf.least = length("60");
    let plan = plan(walk);
    assert_eq!(plan.pieces.len(), 2);
    assert!(messages(&plan)[0].contains("put blocking behind the joints"));
}

#[test]
fn corners_that_would_use_up_a_stick_are_an_error_and_not_a_thousand_parts() {
    // .9 typed for 90: the miters alone would reach farther than a stick
    let mut outline = vec![
        straight("30"),
        opening("36"),
        outside("60", 90),
        outside("140", 90),
        inside("120", 90),
    ];
    for item in &mut outline[2..4] {
        item.corner.as_mut().unwrap().gauge = Angle::hundredths(90);
    }
    let mut narrow = walk(vec![room("Slip", outline)]);
    narrow.setup.mouldings[0].sticks[0].length = length("144");
    let plan = plan(narrow.clone());
    let used_up = |line: &String| line.contains("would use up a stick of 11' 11 1/2\"");
    assert!(messages(&plan).iter().any(used_up));
    assert!(plan.pieces.len() <= 6);
    // lengths that no board has stay in range, whatever is typed
    narrow.rooms[0].outline[2].corner.as_mut().unwrap().gauge = Angle::hundredths(1);
    narrow.setup.mouldings[0].thickness = length("6");
    assert!(common::plan(narrow).has_errors());
}

#[test]
fn spring_lengthens_only_what_runs_between_two_walls() {
    let mut walk = walk(vec![room("Bed", with_door())]);
    let rule = |over, add| Spring {
        over: length(over),
        add: length(add),
    };
    walk.spring = vec![rule("96", "1/16"), rule("125", "1/8")];
    let plan = plan(walk);
    assert_eq!(plan.pieces[1].length, length("60"));
    assert_eq!(plan.pieces[2].length, length("124 3/8") + length("1/16"));
    assert_eq!(plan.pieces[3].length, length("129") + length("1/8"));
}

#[test]
fn a_wall_that_its_joints_use_up_is_an_error_and_the_rest_is_planned() {
    let outline = vec![
        straight("30"),
        opening("36"),
        inside("54", 90),
        inside("1 1/8", 90),
        inside("120", 90),
        inside("1 1/4", 90),
    ];
    let plan = plan(walk(vec![room("Thin", outline)]));
    assert_eq!(messages(&plan).len(), 1);
    assert!(messages(&plan)[0].starts_with("error [3] wall 3 is 1 1/8\" long"));
    assert_eq!(plan.pieces.len(), 4);
}

#[test]
fn each_end_gets_a_posture_that_the_saw_can_cut() {
    let corner = || {
        vec![
            outside("40", 90),
            outside("40", 90),
            outside("40", 90),
            outside("40", 90),
        ]
    };
    let column = |saw: Saw| {
        let mut island = room("Column", corner());
        island.island = true;
        let mut walk = walk(vec![island]);
        walk.setup.saw = saw;
        plan(walk)
    };
    // a saw that tilts left only: one end with the top to the fence, then the board is turned
    let lying = Saw {
        posture: Some(Posture::FlatTopToFence),
        tilt_right: Angle::ZERO,
        ..saw()
    };
    let plan = column(lying);
    let piece = &plan.pieces[0];
    assert_eq!(piece.left.posture, Posture::FlatTopToFence);
    assert_eq!(piece.right.posture, Posture::FlatBottomToFence);
    assert!(
        messages(&plan)[0]
            .starts_with("warning [1, 2, 3, 4] An outside miter needs 45 degrees to the right")
    );
    // a board too tall to stand lies flat
    let low = Saw {
        standing_height: length("4"),
        ..saw()
    };
    let plan = column(low);
    assert_eq!(plan.pieces[0].left.posture, Posture::FlatTopToFence);
    assert!(messages(&plan)[0].contains("taller than the saw takes on edge"));
    // "any" takes a posture that cuts both ends
    let free = Saw {
        posture: None,
        swing_right: Angle::degrees(30),
        ..saw()
    };
    let plan = column(free);
    assert_eq!(plan.pieces[0].left.posture, Posture::FlatTopToFence);
    assert_eq!(plan.pieces[0].right.posture, Posture::FlatTopToFence);
    assert_eq!(messages(&plan), [""; 0]);
}

#[test]
fn what_no_posture_can_cut_is_an_error_in_the_asked_one() {
    let mut outline = with_door();
    outline[3] = inside("124 3/8", 55);
    let steep = plan(walk(vec![room("Steep", outline)]));
    assert!(steep.has_errors());
    assert!(messages(&steep)[0].starts_with(
        "error [4] A cope needs 62.5 degrees to the left, and the saw swings 50 that way, and no other way"
    ));
    assert_eq!(steep.pieces[3].left.posture, Posture::StandingUpsideDown);
    // at 60 the same saw still can, with the board the right way up: its table swings farther to the right
    let mut outline = with_door();
    outline[3] = inside("124 3/8", 60);
    let turned = plan(walk(vec![room("Sharp", outline)]));
    assert_eq!(turned.pieces[3].left.posture, Posture::StandingUpright);
    assert!(!turned.has_errors());
}

#[test]
fn cut_lists_keep_the_ends_that_somebody_decided() {
    let gauge = Angle::RIGHT;
    let list = CutList {
        setup: walk(Vec::new()).setup,
        pieces: vec![
            ListedPiece {
                room: "Bed".to_owned(),
                wall: Some(3),
                moulding: 0,
                length: length("124 3/8"),
                left: End::Cope { gauge },
                right: End::Square,
            },
            ListedPiece {
                room: "Bed".to_owned(),
                wall: None,
                moulding: 0,
                length: length("20"),
                left: End::Square,
                right: End::OutsideMiter { gauge },
            },
        ],
    };
    let plan = planner::plan(&Sheet::CutList(list));
    assert_eq!(ends(&plan), ["3 cope - square", "0 square - outside miter"]);
    assert_eq!(plan.pieces[0].length, length("124 3/8"));
    assert_eq!(plan.install[0].order, [0, 1]);
}
