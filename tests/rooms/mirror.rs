//! A room seen in a mirror that stands upright, worked on by somebody of the other hand: left and right swap at every piece,
//! and nothing else changes.

use planner::plan::Plan;
use planner::walk::{Direction, Saw};
use shared_model::{Angle, Posture, True45};

use super::data::{Corners, levels};
use super::outline::{Outline, millimetres};
use super::ways::{Way, walk, ways};
use super::{as_measured, soon_planned};

/// The saw seen in the mirror.
fn mirrored(saw: Saw) -> Saw {
    Saw {
        swing_left: saw.swing_right,
        swing_right: saw.swing_left,
        tilt_left: saw.tilt_right,
        tilt_right: saw.tilt_left,
        true_45: True45 {
            swing_left: saw.true_45.swing_right,
            swing_right: saw.true_45.swing_left,
            tilt_left: saw.true_45.tilt_right,
            tilt_right: saw.true_45.tilt_left,
        },
        stock_side: saw.stock_side.other(),
        ..saw
    }
}

#[test]
fn a_room_in_the_mirror_swaps_hands_and_nothing_else() {
    for level in levels() {
        let doorless = level.rooms.iter().map(Corners::without_doors).collect();
        let leaning = level.rooms.iter().map(|room| room.sheared(0.07)).collect();
        is_mirrored(level.rooms, Some(Posture::StandingUpsideDown));
        is_mirrored(doorless, None);
        is_mirrored(leaning, Some(Posture::FlatTopToFence));
    }
}

fn is_mirrored(rooms: Vec<Corners>, posture: Option<Posture>) {
    let outlines: Vec<Outline> = rooms.iter().map(as_measured).collect();
    let images = rooms.iter().map(Corners::mirrored);
    let images: Vec<Outline> = images.map(|room| as_measured(&room)).collect();
    for way in ways(&[posture]) {
        let mut here = walk(&outlines, way, &[144]);
        // studs are counted from the left, so that they have no image
        here.scarf.stud = None;
        let saw = &mut here.setup.saw;
        (saw.tilt_left, saw.swing_right) = (Angle::degrees(20), Angle::degrees(44));
        (saw.true_45.swing_left, saw.true_45.tilt_right) =
            (Angle::hundredths(4480), Angle::hundredths(4530));
        let image_way = Way {
            direction: match way.direction {
                Direction::Clockwise => Direction::CounterClockwise,
                Direction::CounterClockwise => Direction::Clockwise,
            },
            cope: way.cope.other(),
            ..way
        };
        let mut there = walk(&images, image_way, &[144]);
        there.scarf.stud = None;
        there.setup.saw = mirrored(here.setup.saw);
        is_image(&soon_planned(here), &soon_planned(there));
    }
}

fn is_image(plan: &Plan, image: &Plan) {
    assert_eq!(plan.pieces.len(), image.pieces.len());
    assert_eq!(plan.findings.len(), image.findings.len());
    for piece in &plan.pieces {
        let key = (&piece.room, piece.wall, piece.parts + 1 - piece.part);
        let same = image
            .pieces
            .iter()
            .find(|other| (&other.room, other.wall, other.part) == key);
        let other = same.expect("the piece has an image");
        let what = format!("{piece:?} {other:?}");
        assert_eq!(piece.parts, other.parts, "{what}");
        assert_eq!(
            (piece.left, piece.right),
            (other.right, other.left),
            "{what}"
        );
        // equal parts are rounded to whole units from the left
        let rounding = if piece.parts == 1 { 0.0 } else { 0.01 };
        let off = millimetres(piece.length) - millimetres(other.length);
        assert!(off.abs() <= rounding, "{what}");
    }
}
