//! First-fit and best-fit decreasing (Johnson 1973), written plainly, to see what the planner is worth. Both open the
//! longest stick that there is and at the end change each stick for the cheapest that will do.

use planner::sticks::Blank;
use planner::walk::{MouldingStock, Saw};
use shared_model::Length;

/// A stick being cut: how much of it is used, and which of the kinds it is.
struct Stick {
    used: i64,
    kind: usize,
}

/// Kinds of stick as length, cost and how many there are, those in hand with a cost of 0.
pub fn kinds(moulding: &MouldingStock) -> Vec<(i64, i64, usize)> {
    let units = |length: Length| i64::from(length.units());
    let priced = moulding.sticks.iter().all(|kind| kind.price.is_some());
    let bought = moulding.sticks.iter().map(|kind| {
        let price = kind.price.filter(|_| priced);
        let cost = price.map_or(units(kind.length), |price| price.0);
        let count = kind.count.map_or(usize::MAX, |count| count as usize);
        (units(kind.length), cost, count)
    });
    let in_hand = moulding.offcuts.iter().map(|&length| (units(length), 0, 1));
    bought.chain(in_hand).collect()
}

/// What a piece takes whatever lies beside it, its far kerf included.
fn takes(blank: &Blank, moulding: &MouldingStock, saw: &Saw) -> i64 {
    let wedge = |end: shared_model::PieceEnd| {
        let reach = end.end.reach(moulding.thickness).units();
        i64::from(reach.max(0))
    };
    let kerf = f64::from(saw.kerf.units()) / blank.right.end.setting().radians().cos();
    let length = i64::from(blank.length.units());
    length + wedge(blank.left) + wedge(blank.right) + kerf.ceil() as i64
}

/// What the rule costs; none where it finds no place for a piece.
pub fn decreasing(
    blanks: &[Blank],
    moulding: &MouldingStock,
    saw: &Saw,
    best_fit: bool,
) -> Option<i64> {
    let mut kinds = kinds(moulding);
    kinds.sort_by_key(|&(length, cost, _)| (cost > 0, -length));
    let kerf = i64::from(saw.kerf.units());
    let room = |kind: usize| kinds[kind].0 - i64::from(saw.end_trim.units()) + kerf;
    let mut left: Vec<usize> = kinds.iter().map(|kind| kind.2).collect();
    let mut sizes: Vec<i64> = blanks.iter().map(|b| takes(b, moulding, saw)).collect();
    sizes.sort_unstable_by_key(|size| -size);
    let mut sticks: Vec<Stick> = Vec::new();
    for size in sizes {
        let spare = |stick: &Stick| room(stick.kind) - stick.used - size;
        let mut fitting = (0..sticks.len()).filter(|&at| spare(&sticks[at]) >= 0);
        let at = match best_fit {
            true => fitting.min_by_key(|&at| spare(&sticks[at])),
            false => fitting.next(),
        };
        match at {
            Some(at) => sticks[at].used += size,
            None => {
                let mut open = (0..kinds.len()).filter(|&k| left[k] > 0 && room(k) >= size);
                let kind = open.next()?;
                left[kind] -= 1;
                sticks.push(Stick { used: size, kind });
            }
        }
    }
    let mut cost = 0;
    for stick in &sticks {
        left[stick.kind] = left[stick.kind].saturating_add(1);
        let fits = (0..kinds.len()).filter(|&k| left[k] > 0 && room(k) >= stick.used);
        let cheapest = fits.min_by_key(|&kind| kinds[kind].1)?;
        left[cheapest] -= 1;
        cost += kinds[cheapest].1;
    }
    Some(cost)
}
