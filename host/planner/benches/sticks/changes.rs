//! How often the saw is set anew for a plan, counted plainly from its pieces' ends, and for other orders of the same
//! sticks. What orders are good is left to the planner.

use planner::sticks::{Blank, SticksPlan};
use shared_model::{PieceEnd, Side};

use super::classes::Instance;

/// As the list has the pieces and the sticks (by their first pieces), with the pieces of each stick as the plan has
/// them, with the sticks as well, and what the planner says it is at least.
pub fn counts(instance: &Instance, plan: &SticksPlan) -> [u32; 4] {
    let ours: Vec<Vec<usize>> = plan.sticks.iter().map(|s| s.pieces.clone()).collect();
    let mut pieces_ordered = ours.clone();
    pieces_ordered.sort_by_key(|pieces| pieces.iter().min().copied());
    let mut listed = pieces_ordered.clone();
    for pieces in &mut listed {
        pieces.sort_unstable();
    }
    let lists = [listed, pieces_ordered, ours];
    let [listed, pieces_ordered, ours] = lists.map(|list| count(instance, plan.first, &list));
    assert_eq!(ours, plan.changes);
    [listed, pieces_ordered, ours, plan.other_changes.at_least]
}

fn count(instance: &Instance, first: Side, sticks: &[Vec<usize>]) -> u32 {
    // a plan's pieces are numbered as the blanks are
    let pieces = sticks.iter().flatten().map(|&piece| instance.blanks[piece]);
    let cuts: Vec<_> = pieces
        .flat_map(|blank| {
            let (near, far) = ends(&blank, first);
            // which way a cut leans depends on which end of its piece it makes
            [setting(near, -1), setting(far, 1)]
        })
        .collect();
    cuts.windows(2).filter(|two| two[0] != two[1]).count() as u32
}

fn ends(blank: &Blank, first: Side) -> (PieceEnd, PieceEnd) {
    match first {
        Side::Left => (blank.left, blank.right),
        Side::Right => (blank.right, blank.left),
    }
}

/// How the saw is set for a cut: the angle, which way, and how the board lies.
fn setting(end: PieceEnd, way: i32) -> (i32, shared_model::Angle, shared_model::Posture) {
    let slope = end
        .end
        .slope(shared_model::Length::inches(1))
        .units()
        .signum();
    (way * slope, end.end.setting(), end.posture)
}
