//! The longest single leftover that can be had for the same sticks: they are packed again and again, and what makes the
//! longest leftover shorter is not kept, until it is nearly all that the sticks can have to spare together. Packing is
//! left to `refill`.

use super::draft::{Draft, takes};
use super::effort::Effort;
use super::grain::Coarse;
use super::refill::{Limits, Packing, gather};
use super::stock::Lot;

/// Steps of effort, and tries for each stick.
const STEPS: u64 = 100;
const TRIES: usize = 100;
/// Nearer than this to the most that can be left over is near enough: three quarters of an inch.
const NEAR: i64 = 12_192;

/// The plan with the longest leftover that was found for the same sticks.
pub(super) fn lengthen(
    lot: &Lot,
    coarse: &Coarse,
    draft: &Draft,
    effort: &mut Effort<'_>,
) -> Draft {
    let limits = Limits {
        number: 0,
        tries: TRIES,
        share: effort.share(STEPS),
    };
    // a square cut's kerf goes beside what is left over
    let aim = most_left(lot, draft) + lot.kerf - NEAR;
    let (start, aims) = (Packing::as_is(lot, draft), vec![aim; lot.kinds.len()]);
    gather(lot, coarse, start, limits, &aims, effort).draft(lot)
}

/// What would be left over if all of it lay in one stick. The sticks one after another are one round trip over all
/// leans (see `wedges`), so all pieces together waste no more than they do stick by stick; and each stick but that one
/// may have another piece with a wide kerf as its last.
pub(super) fn most_left(lot: &Lot, draft: &Draft) -> i64 {
    let rooms = draft.sticks.iter().map(|stick| lot.room(stick.kind));
    let pieces: Vec<usize> = (draft.sticks.iter())
        .flat_map(|stick| stick.pieces.iter().copied())
        .collect();
    let mut wider: Vec<i64> = (pieces.iter())
        .map(|&piece| lot.pieces[piece].kerf - lot.kerf)
        .collect();
    wider.sort_unstable_by_key(|more| -more);
    let others = draft.sticks.len().saturating_sub(1);
    let run_off: i64 = wider.iter().take(others).sum();
    let longest = rooms.clone().max().unwrap_or(0) - lot.kerf;
    let least = match lot.leans.wedges(&pieces) {
        Some(_) => takes(lot, &pieces),
        None => pieces.iter().map(|&piece| lot.pieces[piece].bare()).sum(),
    };
    (rooms.sum::<i64>() + run_off - lot.kerf - least).min(longest)
}
