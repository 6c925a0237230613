//! What the settings change: gaps at casings, walls too short to cope, back cuts, where a long wall is broken.

use planner::install;
use planner::plan::Plan;
use planner::walk::*;
use shared_model::{Angle, Caution, End, Joint, Length, Side};

use crate::small_rooms::*;

#[test]
fn a_gap_is_left_at_every_casing_and_nowhere_else() {
    let mut walk = walk(vec![room("Bed", with_door())]);
    let before = plan(walk.clone());
    walk.casing_gap = length("1/32");
    let after = plan(walk);
    let gaps: Vec<Length> = (before.pieces.iter().zip(&after.pieces))
        .map(|(before, after)| before.length - after.length)
        .collect();
    let none = Length::ZERO;
    // walls 1 and 2 end at the door
    assert_eq!(gaps, [length("1/32"), length("1/32"), none, none, none]);
}

#[test]
fn a_gap_moves_no_joint_off_its_stud() {
    let mut walk = walk(vec![room("Hall", vec![straight("250"), opening("40")])]);
    walk.casing_gap = length("1/16");
    let plan = plan(walk);
    let left = &plan.pieces[0];
    let half = T.times(0.5);
    let seam = left.length
        + length("1/16")
        + if matches!(left.right.end, End::ScarfOver { .. }) {
            half
        } else {
            -half
        };
    assert_eq!(seam, length("128"));
}

/// A room with a pier of 5 in beside its door: two short walls, both in inside corners with longer ones.
fn piers() -> Vec<Item> {
    vec![
        straight("40"),
        opening("32"),
        inside("48", 90),
        inside("100", 90),
        inside("5", 90),
        outside("20", 90),
        inside("115", 90),
        inside("120", 90),
    ]
}

#[test]
fn a_wall_too_short_to_cope_runs_square_and_its_neighbours_are_coped_over_it() {
    let mut walk = walk(vec![room("Pier", piers())]);
    walk.rooms[0].closed = false;
    let usual = ends(&plan(walk.clone()));
    assert_eq!(usual[2], "3 cope - square");
    assert_eq!(usual[3], "4 cope - square");
    walk.cope_least = length("6");
    let spared = plan(walk.clone());
    let told = ends(&spared);
    assert_eq!(told[2], "3 cope - cope", "{told:?}");
    assert_eq!(told[3], "4 square - square", "{told:?}");
    let order = installed(&spared);
    let turn = |wall: u32| order.iter().position(|&at| at == wall).unwrap();
    assert!(turn(4) < turn(3) && turn(4) < turn(5), "{order:?}");
    // a wall as long as the setting is coped
    walk.cope_least = length("5");
    assert_eq!(ends(&plan(walk.clone())), usual);
    // and so is one whose joint is forced
    walk.cope_least = length("6");
    walk.rooms[0].outline[4].left = Some(Joint::Cope);
    assert_eq!(ends(&plan(walk))[3], "4 cope - square");
}

#[test]
fn sparing_short_walls_makes_no_circle() {
    // every ring of four to six walls, each short or long, in every way of working, some corners forced the other way
    let mut spared = 0;
    for count in 4..=6usize {
        for short in 0..1u32 << count {
            for forced in [0, 1 << 1, 0b1010] {
                for cope in [Side::Left, Side::Right] {
                    for direction in [Direction::Clockwise, Direction::CounterClockwise] {
                        let wall = |at: usize| {
                            let wall = inside(if short >> at & 1 == 1 { "5" } else { "60" }, 90);
                            let other = (forced >> at & 1 == 1).then_some(Joint::Cope);
                            match cope {
                                Side::Left => force(wall, None, other),
                                Side::Right => force(wall, other, None),
                            }
                        };
                        let mut walk = walk(vec![room("Ring", (0..count).map(wall).collect())]);
                        (walk.direction, walk.cope) = (direction, cope);
                        walk.cope_least = length("6");
                        let (walls, found) = planner::joints::joints(&walk, &walk.rooms[0]);
                        assert_eq!(found, [], "{short:b} {forced:b}");
                        let mut before = Vec::new();
                        for (at, wall) in walls.iter().enumerate() {
                            for side in [Side::Left, Side::Right] {
                                let end = wall.end(side);
                                let other = walls.iter().position(|w| Some(w.number) == end.meets);
                                let other = other.expect("a ring");
                                let mate = walls[other].end(side.other()).end;
                                match end.end {
                                    End::Cope { .. } => {
                                        assert_eq!(mate, End::Square);
                                        before.push((other, at));
                                    }
                                    _ => assert!(matches!(mate, End::Cope { .. })),
                                }
                            }
                            let square =
                                wall.left.end == End::Square && wall.right.end == End::Square;
                            spared += usize::from(square && wall.length < length("6"));
                        }
                        let order = install::order(walls.len(), &before);
                        assert!(order.is_ok(), "{short:b} {forced:b} {cope:?} {direction:?}");
                    }
                }
            }
        }
    }
    assert!(spared > 500, "{spared}");
}

#[test]
fn a_corner_that_wants_a_wider_back_cut_than_the_saw_is_set_for_is_told() {
    let told = |gauge: u16, most: u16| {
        let mut run = room("Run", vec![inside("60", gauge), straight("80")]);
        run.closed = false;
        let mut walk = walk(vec![run]);
        walk.setup.saw.back_cut_up_to = Angle::degrees(most);
        messages(&plan(walk))
    };
    assert_eq!(told(95, 5), [""; 0]);
    let wide = told(97, 5);
    assert_eq!(wide.len(), 1);
    assert!(
        wide[0].starts_with(
            "warning [2] A cope in a corner of 97 wants a back cut of 7 degrees, and the saw's settings go up to 5: "
        ),
        "{wide:?}"
    );
    assert_eq!(told(97, 7), [""; 0]);
    // beyond the limit for copes it is mitered and wants none
    assert_eq!(told(101, 5), [""; 0]);
}

/// The places of a broken wall's seams, along it from its installed left end.
fn seams(plan: &Plan) -> Vec<Length> {
    let half = T.times(0.5);
    let mut at = Length::ZERO;
    let mut seams = Vec::new();
    for piece in plan.pieces.iter().filter(|piece| piece.parts > 1) {
        at += piece.length;
        if piece.part < piece.parts {
            let over = matches!(piece.right.end, End::ScarfOver { .. });
            seams.push(if over { at + half } else { at - half });
        }
    }
    seams
}

fn hall(long: &str, stick: &str, change: impl FnOnce(&mut ScarfRule)) -> Plan {
    let mut walk = walk(vec![room("Hall", vec![straight(long), opening("40")])]);
    walk.setup.mouldings[0].sticks[0].length = length(stick);
    change(&mut walk.scarf);
    plan(walk)
}

#[test]
fn joints_are_over_studs_from_the_end_where_they_are_known() {
    let from_left = seams(&hall("250", "192", |_| {}));
    assert_eq!(from_left, [length("128")]);
    let from_right = seams(&hall("250", "192", |rule| rule.from = Side::Right));
    assert_eq!(from_right, [length("250") - length("128")]);
    // several to a wall, the parts of 160, 144, 144 and 152 as equal as the studs allow: computed
    let several = seams(&hall("600", "192", |_| {}));
    assert_eq!(several, ["160", "304", "448"].map(length));
}

#[test]
fn joints_stay_two_feet_from_corners_and_openings_where_they_can() {
    // parts of 12 in would do, and a seam at 16 would leave the parts more equal to a stick of 120
    let near = |stick: &str| seams(&hall("136", stick, |rule| rule.least = length("12")));
    let seam = near("120")[0];
    assert!(
        seam >= length("24") && seam <= length("136") - length("24"),
        "{seam:?}"
    );
    // a stud that cannot be avoided is taken all the same
    let only = seams(&hall("130", "120", |rule| {
        rule.least = length("12");
        rule.stud = Some(length("113"));
    }));
    assert_eq!(only, [length("113")]);
}

#[test]
fn the_shorter_face_goes_on_first_and_neighbours_on_a_stick_share_the_cut() {
    // studs every 22 in: parts of 110 and 90, of 88 and 106, of which the shorter two come from one stick: computed
    let hall = |name, long| room(name, vec![straight(long), opening("40")]);
    let mut walk = walk(vec![hall("One", "200"), hall("Two", "194")]);
    walk.scarf.stud = Some(length("22"));
    let plan = plan(walk);
    for room in &plan.install {
        let over = |at: &usize| {
            let ends = [plan.pieces[*at].left.end, plan.pieces[*at].right.end];
            ends.iter().any(|end| matches!(end, End::ScarfOver { .. }))
        };
        let order: Vec<bool> = room.order.iter().map(over).collect();
        assert_eq!(order, [false, true]);
    }
    assert_eq!(plan.sticks.len(), 3);
    let shared = plan.sticks.iter().flat_map(|stick| &stick.cuts);
    let shared = shared.filter(|cut| cut.ends.len() == 2);
    let joints: Vec<Joint> = shared
        .flat_map(|cut| &cut.ends)
        .map(|end| plan.pieces[end.piece].end(end.installed).end.joint())
        .collect();
    assert_eq!(joints, [Joint::Scarf, Joint::Scarf], "{:?}", plan.sticks);
}

#[test]
fn an_old_house_is_said_once_and_with_the_first_piece() {
    let mut walk = walk(vec![room("Bed", with_door())]);
    walk.setup.old_house = true;
    let plan = plan(walk);
    let told = messages(&plan);
    assert_eq!(told.len(), 1);
    assert!(told[0].contains("paint may hold lead"), "{told:?}");
    for piece in &plan.pieces {
        let first = piece.cut.unwrap().order == 1;
        assert_eq!(piece.cautions.has(Caution::LeadPaint), first);
    }
}
