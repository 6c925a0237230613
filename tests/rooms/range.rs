//! A saw of little range: the board too tall to stand, and a blade that tilts to one side only. Each end has to be given in
//! a posture in which it can be cut.

use planner::finding::Severity;
use planner::plan::{Plan, PlannedPiece};
use shared_model::{Angle, Length, Posture, Side, Way};

use super::outline::Outline;
use super::ways::{walk, ways};
use super::{as_measured, each_level, judged};
use crate::saw_solid::seen_at_the_saw;

#[test]
fn each_end_gets_a_posture_that_the_saw_can_cut() {
    let (mut turned, mut told) = (0, 0);
    for tilts in [[48, 0], [0, 48]] {
        each_level(as_measured, |outlines| {
            let (turns, warnings) = level(outlines, tilts);
            turned += turns;
            told += warnings;
        });
    }
    assert!(turned > 0 && told > 0);
}

/// How many boards are turned between their cuts, and how many ends are told to be cut in another posture than asked.
fn level(outlines: &[Outline], tilts: [u16; 2]) -> (usize, usize) {
    let (mut turned, mut told) = (0, 0);
    let asked = [
        None,
        Some(Posture::StandingUpsideDown),
        Some(Posture::FlatTopToFence),
    ];
    for way in ways(&asked).into_iter().filter(|way| way.moulded) {
        let mut walk = walk(outlines, way, &[192]);
        let saw = &mut walk.setup.saw;
        saw.standing_height = Length::inches(4);
        [saw.tilt_left, saw.tilt_right] = tilts.map(Angle::degrees);
        let plan = judged(outlines, &walk);
        assert!(!plan.has_errors(), "{:?}", plan.findings);
        for piece in &plan.pieces {
            turned += usize::from(piece.left.posture != piece.right.posture);
            for side in [Side::Left, Side::Right] {
                let end = piece.end(side);
                let seen = seen_at_the_saw(end.end, side, end.posture);
                let most = match seen.way {
                    Way::Left => tilts[0],
                    Way::Right => tilts[1],
                    Way::None => 0,
                };
                let possible = !end.posture.stands() && seen.degrees < f64::from(most) + 0.001;
                assert!(possible, "{} {:?}: {seen:?}", piece.room, piece.wall);
                if way.posture.is_some_and(|asked| asked != end.posture) {
                    assert!(warned(&plan, piece), "{} {:?}", piece.room, piece.wall);
                    told += 1;
                }
            }
        }
    }
    (turned, told)
}

fn warned(plan: &Plan, piece: &PlannedPiece) -> bool {
    plan.findings.iter().any(|finding| {
        finding.severity == Severity::Warning
            && finding.room.as_ref() == Some(&piece.room)
            && piece.wall.is_some_and(|wall| finding.walls.contains(&wall))
    })
}
