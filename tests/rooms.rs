//! Real rooms planned in every way of walking and cutting, and judged by reckonings of their own. `data` reads and varies
//! the rooms, `outline` writes them as walks, `ways` are the ways of working; `plane` is the geometry, `laid` lays the boards
//! along the walls; what must hold of them is in `joints`, `faces`, `seams` and `sticks`, and with settings in `settings`.
//!
//! Stretches of wall of 20 mm and less, which the data's totals leave out, stop board here as a door does; the test
//! `walls_that_their_joints_use_up_are_told_and_the_rest_is_planned` keeps them as walls.

pub mod data;
mod faces;
mod joints;
mod laid;
mod mirror;
pub mod outline;
mod plane;
mod range;
mod seams;
mod settings;
mod sticks;
pub mod ways;

use planner::plan::Plan;
use planner::sticks::{Effort, Wishes};
use planner::walk::*;
use shared_model::{Angle, Length, Posture};

use data::{Corners, levels};
use laid::Laid;
use outline::{Kind, Outline, tape};
use ways::{USUAL, all_postures, walk, ways};

/// Planned with little effort: what these tests judge does not hang on how cheap the sticks are.
fn soon_planned(walk: Walk) -> Plan {
    let mut go_on = |_| true;
    planner::plan_with(
        &Sheet::Walk(walk),
        &Wishes::USUAL,
        &mut Effort::new(3, &mut go_on),
    )
}

/// Plans and judges everything that holds of any room; the plan is given back for more.
fn judged(outlines: &[Outline], walk: &Walk) -> Plan {
    let plan = soon_planned(walk.clone());
    let laid: Vec<Laid> = (0..outlines.len())
        .map(|room| Laid::of(outlines, room, walk, &plan))
        .collect();
    let pieces: usize = laid.iter().map(Laid::pieces).sum();
    let boards = plan.pieces.iter().filter(|piece| piece.small().is_none());
    assert_eq!(pieces, boards.count(), "every board belongs to one wall");
    for laid in &laid {
        laid.each_wall_is_covered_once();
        laid.corners_are_closed();
        laid.a_ring_is_broken_at_its_beginning();
        laid.what_goes_over_comes_after();
        laid.faces_close();
        laid.scarfs_are_over_studs_and_lap_away_from_the_door();
    }
    sticks::sticks_give_their_pieces(&plan);
    plan
}

fn each_level(vary: impl Fn(&Corners) -> Outline, mut check: impl FnMut(&[Outline])) {
    for level in levels() {
        let outlines: Vec<Outline> = level.rooms.iter().map(&vary).collect();
        check(&outlines);
    }
}

fn as_measured(corners: &Corners) -> Outline {
    corners.outline().without_slivers()
}

#[test]
fn the_outlines_are_those_that_the_data_counts() {
    for level in levels() {
        let outlines: Vec<Outline> = level.rooms.iter().map(Corners::outline).collect();
        let bends = outlines
            .iter()
            .flat_map(|outline| &outline.strips)
            .filter_map(|strip| strip.corner);
        let (inside, outside): (Vec<_>, Vec<_>) = bends.partition(|bend| bend.inside);
        assert_eq!(inside.len() as u64, level.inside);
        assert_eq!(outside.len() as u64, level.outside);
        assert_eq!((inside.len() + outside.len()) as u64, level.walls);
        let outlines = outlines.into_iter().map(Outline::without_slivers);
        let walls: Vec<f64> = outlines
            .flat_map(|outline| outline.strips)
            .filter(|strip| strip.kind == Kind::Wall)
            .map(|strip| strip.length())
            .collect();
        assert_eq!(walls.len() as u64, level.pieces);
        assert!((walls.iter().sum::<f64>() - level.baseboard).abs() < 1.0);
        let around = level
            .rooms
            .iter()
            .flat_map(|room| room.without_doors().outline().strips);
        assert!((around.map(|strip| strip.length()).sum::<f64>() - level.perimeter).abs() < 1.0);
    }
}

#[test]
fn every_level_in_every_way_of_working() {
    for level in levels() {
        let outlines: Vec<Outline> = level.rooms.iter().map(as_measured).collect();
        for way in ways(&all_postures()) {
            let plan = judged(&outlines, &walk(&outlines, way, &[192, 144]));
            assert!(!plan.has_errors(), "{:?}", plan.findings);
            let whole = plan.pieces.iter().filter(|piece| piece.part == 1);
            assert_eq!(whole.count() as u64, level.pieces);
            for piece in &plan.pieces {
                let asked = way.posture.unwrap_or(Posture::StandingUpsideDown);
                assert_eq!((piece.left.posture, piece.right.posture), (asked, asked));
            }
        }
    }
}

#[test]
fn rooms_without_their_doors_are_rings_and_shorter_sticks_make_more_scarfs() {
    let (mut rings, mut parts) = (0, 0);
    each_level(
        |corners| corners.without_doors().outline().without_slivers(),
        |outlines| {
            for way in ways(&USUAL) {
                let mut walk = walk(outlines, way, &[96]);
                // the corners of 90 are coped, those of 90.06 mitered
                walk.cope_up_to = Angle::RIGHT;
                let plan = judged(outlines, &walk);
                parts += plan.pieces.iter().filter(|piece| piece.parts > 2).count();
                let laid = (0..outlines.len()).map(|room| Laid::of(outlines, room, &walk, &plan));
                rings += laid.filter(Laid::is_a_ring).count();
            }
        },
    );
    assert!(rings > 8 * 30 && parts > 8 * 80, "{rings} {parts}");
}

#[test]
fn walls_measured_in_stretches_have_a_scarf_where_they_meet() {
    for doors in [true, false] {
        each_level(
            |corners| {
                let outline = match doors {
                    true => corners.outline(),
                    false => corners.without_doors().outline(),
                };
                outline.without_slivers().in_stretches()
            },
            |outlines| {
                for way in ways(&USUAL) {
                    let plan = judged(outlines, &walk(outlines, way, &[192]));
                    assert!(!plan.has_errors(), "{:?}", plan.findings);
                }
            },
        );
    }
}

#[test]
fn leaning_rooms_with_acute_and_wide_corners() {
    // tangents of 4, 12 and 25 degrees
    for shear in [0.07, 0.2126, -0.4663] {
        each_level(
            |corners| as_measured(&corners.sheared(shear)),
            |outlines| {
                for way in ways(&USUAL) {
                    let plan = judged(outlines, &walk(outlines, way, &[192]));
                    assert!(!plan.has_errors(), "{:?}", plan.findings);
                }
            },
        );
    }
}

#[test]
fn rooms_in_which_some_board_hangs_already() {
    for shear in [0.0, 0.07] {
        each_level(
            |corners| as_measured(&corners.sheared(shear)).partly_hung(),
            |outlines| {
                for way in ways(&USUAL) {
                    judged(outlines, &walk(outlines, way, &[192]));
                }
            },
        );
    }
}

#[test]
fn columns_are_walked_with_the_wall_on_the_same_hand() {
    for shear in [0.0, 0.2126] {
        each_level(
            |corners| {
                corners
                    .sheared(shear)
                    .as_column()
                    .outline()
                    .without_slivers()
            },
            |outlines| {
                for way in ways(&USUAL) {
                    judged(outlines, &walk(outlines, way, &[192]));
                }
            },
        );
    }
}

#[test]
fn walls_that_their_joints_use_up_are_told_and_the_rest_is_planned() {
    let mut bare = 0;
    // as they are, with stretches down to 6 mm, and as small as a doll's house
    for size in [1.0, 0.05] {
        each_level(
            |corners| corners.shrunk(size).outline(),
            |outlines| {
                for way in ways(&USUAL) {
                    let walk = walk(outlines, way, &[192]);
                    let plan = judged(outlines, &walk);
                    let walls = outlines
                        .iter()
                        .map(|outline| outline.walls(way.direction).len());
                    bare +=
                        walls.sum::<usize>() - plan.pieces.iter().filter(|p| p.part == 1).count();
                }
            },
        );
    }
    assert!(bare > 8 * 40, "{bare}");
}

#[test]
fn what_is_sprung_in_is_longer_and_nothing_else_changes() {
    let (over, add) = (tape(2400.0), tape(1.5));
    each_level(as_measured, |outlines| {
        for way in ways(&USUAL) {
            let plain = walk(outlines, way, &[192]);
            let mut sprung = plain.clone();
            sprung.spring = vec![Spring { over, add }];
            let (before, after) = (judged(outlines, &plain), soon_planned(sprung));
            for (before, after) in before.pieces.iter().zip(&after.pieces) {
                let outline = outlines.iter().find(|outline| outline.name == before.room);
                let outline = outline.expect("a piece's room");
                let wall = before.wall.expect("a piece's wall") as usize;
                let strip = outline.walls(way.direction)[wall - 1];
                let springs = outline.runs_between_walls(strip)
                    && tape(outline.strips[strip].length()) > over
                    && before.parts == 1;
                let due = if springs { add } else { Length::ZERO };
                assert_eq!(after.length, before.length + due, "{} {wall}", before.room);
                assert_eq!((after.left, after.right), (before.left, before.right));
            }
        }
    });
}
