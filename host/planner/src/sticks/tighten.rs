//! Making a plan of very many sticks cheaper: what is left over of them is gathered into one stick until a shorter one
//! will do for it or none is needed, and so on while the plan costs more than the bound. How it is gathered is left to
//! `refill`, smaller plans to `solve`.

use super::draft::Draft;
use super::effort::Effort;
use super::grain::Coarse;
use super::refill::{Limits, Packing, gather};
use super::stock::Lot;

/// Steps of effort for all of it.
const STEPS: u64 = 400;
/// Tries for each stick before a stick counts as not to be had shorter, and how often in a row that may be.
const TRIES: usize = 4;
const AGAIN: i64 = 6;

/// Makes a plan with a place for every piece cheaper until it costs no more than the bound, or the effort for it ends.
pub(super) fn tighten(
    lot: &Lot,
    coarse: &Coarse,
    draft: &mut Draft,
    bound: i64,
    effort: &mut Effort<'_>,
) {
    let share = effort.share(STEPS);
    let (mut number, mut failed) = (0, 0);
    let mut cost = draft.cost(lot);
    while cost > bound && failed < AGAIN && share.spend(effort, 1) {
        number += 1;
        let limits = Limits {
            number,
            tries: TRIES,
            share,
        };
        // a stick that has enough to spare may still want its last kerf or its hold
        let more = failed * lot.widest_kerf;
        let aims: Vec<i64> = (0..lot.kinds.len())
            .map(|kind| saving(lot, kind) + more)
            .collect();
        let start = Packing::as_is(lot, draft);
        *draft = gather(lot, coarse, start, limits, &aims, effort).draft(lot);
        draft.shrink(lot);
        let now = draft.cost(lot);
        failed = if now < cost { 0 } else { failed + 1 };
        cost = now;
    }
}

/// What a stick of a kind must have to spare so that it is changed for a shorter one, or not needed, where that saves
/// most for its length.
fn saving(lot: &Lot, kind: usize) -> i64 {
    let now = &lot.kinds[kind];
    let shorter = lot.kinds.iter().filter(|other| {
        !other.offcut && other.count > 0 && other.length < now.length && other.cost < now.cost
    });
    let ways = shorter.map(|other| (now.length - other.length, now.cost - other.cost));
    let none = (lot.room(kind), now.cost);
    let more = |a: &(i64, i64), b: &(i64, i64)| {
        let cross = |a: i64, b: i64| i128::from(a) * i128::from(b);
        // among equals the shorter way
        (cross(a.1, b.0).cmp(&cross(b.1, a.0))).then(b.0.cmp(&a.0))
    };
    let best = ways.chain([none]).filter(|way| way.1 > 0).max_by(more);
    // what costs nothing is not worth it
    best.map_or(i64::from(i32::MAX), |way| way.0)
}
