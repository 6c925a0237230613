//! How long the pieces are: what corners take off, what springs add, where long walls are broken.

use planner::walk::*;
use shared_model::{Angle, End, Length};

use crate::small_rooms::*;

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
    assert!(crate::small_rooms::plan(narrow).has_errors());
}

#[test]
fn a_run_that_ends_in_a_sharp_corner_is_shortened_there() {
    let mut run = room("Run", vec![inside("40", 90), inside("50", 80)]);
    run.closed = false;
    let clockwise = plan(walk(vec![run.clone()]));
    let off = T.times(1.0 / 80f64.to_radians().tan());
    assert_eq!(clockwise.pieces[1].length, length("50") - off);
    assert_eq!(clockwise.pieces[0].length, length("40"));
    let mut other_way = walk(vec![run]);
    other_way.direction = Direction::CounterClockwise;
    assert_eq!(plan(other_way).pieces[1].length, length("50") - off);
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
    assert_eq!(plan.pieces[1].length, length("64 7/16"));
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
    assert!(messages(&plan)[0].starts_with("error [3] Wall 3 is 1 1/8\" long"));
    assert_eq!(plan.pieces.len(), 4);
}
