//! Which cautions a piece gets, each just at its limit and just beyond. Where the limits come from stands beside them in the
//! planner; how they are worded is the shared model's to say.

use planner::walk::*;
use shared_model::{Angle, Caution, Cautions, Posture};

use crate::small_rooms::*;

/// The cautions of the pieces of an open run with a saw and sticks changed so.
fn cautions(outline: Vec<Item>, change: impl FnOnce(&mut Setup)) -> Vec<Cautions> {
    let mut run = room("Run", outline);
    run.closed = false;
    let mut walk = walk(vec![run]);
    change(&mut walk.setup);
    plan(walk)
        .pieces
        .iter()
        .map(|piece| piece.cautions)
        .collect()
}

fn as_it_is(_: &mut Setup) {}

fn of_one(long: &str, caution: Caution) -> bool {
    cautions(vec![straight(long)], as_it_is)[0].has(caution)
}

#[test]
fn short_pieces_and_long_ones() {
    for (long, short) in [("7 15/16", true), ("8", false)] {
        assert_eq!(of_one(long, Caution::ShortPiece), short, "{long}");
    }
    for (long, support) in [("96", false), ("96 1/16", true)] {
        assert_eq!(of_one(long, Caution::LongPiece), support, "{long}");
    }
}

#[test]
fn a_short_piece_of_which_little_is_left_to_hold() {
    // 6 in, a kerf and the trim leave a foot of 18 5/8: computed
    for (stick, held) in [("18 1/2", true), ("18 3/4", false)] {
        let told = cautions(vec![straight("6")], |setup| {
            setup.mouldings[0].sticks.clear();
            setup.mouldings[0].offcuts = vec![length(stick)];
        });
        assert_eq!(told[0].has(Caution::ShortHold), held, "{stick}");
    }
}

#[test]
fn part_depth_only_where_the_saw_makes_the_plain_cut() {
    let corner = || vec![inside("60", 90), straight("60")];
    let any = |posture| {
        let told = cautions(corner(), |setup| setup.saw.posture = Some(posture));
        told.iter()
            .map(|cautions| cautions.has(Caution::PartDepth))
            .collect::<Vec<_>>()
    };
    assert_eq!(any(Posture::StandingUpsideDown), [false, true]);
    assert_eq!(any(Posture::StandingUpright), [false, false]);
}

#[test]
fn the_fence_is_moved_clear_before_a_wide_swing_and_any_tilt() {
    let clear = |gauge, posture| {
        let told = cautions(vec![outside("60", gauge), straight("60")], |setup| {
            setup.saw.posture = Some(posture);
        });
        told[0].has(Caution::FenceClear)
    };
    assert!(!clear(90, Posture::StandingUpsideDown));
    assert!(clear(89, Posture::StandingUpsideDown));
    assert!(clear(170, Posture::FlatTopToFence));
}

#[test]
fn a_steep_angle_near_the_end_of_the_saws_range() {
    // 48 and 48.5 degrees, where this saw swings 50 to the left and 60 to the right
    for (gauge, near) in [(84, false), (83, true)] {
        let told = cautions(vec![outside("60", gauge), straight("60")], as_it_is);
        let told = told.iter().filter(|told| told.has(Caution::NearSawLimit));
        assert_eq!(told.count() == 1, near, "{gauge}");
    }
    // a square cut is near no limit
    let told = cautions(vec![straight("60")], |setup| {
        setup.saw.swing_left = Angle::ZERO;
        setup.saw.swing_right = Angle::ZERO;
    });
    assert!(!told[0].has(Caution::NearSawLimit));
}

#[test]
fn a_board_nearly_as_tall_as_the_saw_takes_on_edge() {
    let tall = |takes: &str, posture| {
        let told = cautions(vec![straight("60")], |setup| {
            setup.saw.standing_height = length(takes);
            setup.saw.posture = Some(posture);
        });
        told[0].has(Caution::TallBoard)
    };
    // nine tenths of 5 13/16 are 5.23 in and of 5 7/8 5.29, and the board is 5.25
    assert!(tall("5 13/16", Posture::StandingUpsideDown));
    assert!(!tall("5 7/8", Posture::StandingUpsideDown));
    assert!(!tall("5 13/16", Posture::FlatTopToFence));
}
