//! The longest single leftover that can be had for the same sticks: one stick is made shorter by what is to be left over,
//! and the pieces are packed again; how much it can be made shorter is found by halving. Packing is left to `refill`.

use super::draft::{Draft, longest_first};
use super::effort::Effort;
use super::grain::Coarse;
use super::refill::{Limits, Packing, pack};
use super::stock::Lot;

/// Steps of effort for one length, and for all.
const STEPS: u64 = 12;
const ALL_STEPS: u64 = 100;
/// Tries for each stick and length.
const TRIES: usize = 50;
/// Nearer than this to the most that can be left over is near enough: a quarter of an inch.
const NEAR: i64 = 4064;

/// The plan with the longest leftover that was found for the same sticks.
pub(super) fn lengthen(lot: &Lot, coarse: &Coarse, draft: Draft, effort: &mut Effort<'_>) -> Draft {
    let mut best = draft;
    let all = effort.share(ALL_STEPS);
    let Some(at) = (0..best.sticks.len()).max_by_key(|&at| best.sticks[at].spare(lot)) else {
        return best;
    };
    let mut least = best.sticks[at].spare(lot);
    let mut most = most_left(lot, &best);
    let mut tries = 0;
    while most - least > NEAR && all.spend(effort, 1) {
        // at first nearly all that can be left over, since it often can
        let aim = match tries {
            0 => most - NEAR / 2,
            _ => least + (most - least) / 2,
        };
        tries += 1;
        let limits = Limits {
            number: tries,
            tries: TRIES,
            share: effort.share(STEPS),
        };
        let packed = pack(lot, coarse, shortened(lot, &best, aim), limits, effort);
        match packed.loose.is_empty() {
            true => {
                best = packed.draft(lot);
                let spares = best.sticks.iter().map(|stick| stick.spare(lot));
                least = spares.max().unwrap_or(least).max(aim);
            }
            false => most = aim,
        }
    }
    best
}

/// What would be left over if all of it lay in one stick and nothing were lost between the pieces.
pub(super) fn most_left(lot: &Lot, draft: &Draft) -> i64 {
    let rooms = draft
        .sticks
        .iter()
        .map(|stick| lot.room(stick.kind) - lot.kerf + lot.widest_kerf);
    let pieces = draft.sticks.iter().flat_map(|stick| &stick.pieces);
    let bare = pieces.map(|&piece| lot.pieces[piece].bare());
    let longest = draft.sticks.iter().map(|stick| lot.room(stick.kind)).max();
    (rooms.sum::<i64>() - bare.sum::<i64>()).min(longest.unwrap_or(0))
}

/// The sticks of a plan, the one with most left over shorter by `aim`; what has no place in it any more is loose.
fn shortened(lot: &Lot, draft: &Draft, aim: i64) -> Packing {
    let mut packing = Packing {
        bins: Vec::new(),
        loose: Vec::new(),
    };
    for stick in &draft.sticks {
        packing.add(lot, stick.kind, stick.pieces.clone());
    }
    let spares = draft.sticks.iter().map(|stick| stick.spare(lot));
    let reserve = spares.enumerate().max_by_key(|(_, spare)| *spare);
    if let Some((at, spare)) = reserve {
        let bin = &mut packing.bins[at];
        bin.length -= aim;
        longest_first(lot, &mut bin.pieces);
        let mut over = aim - spare;
        while over > 0 {
            let Some(piece) = bin.pieces.pop() else { break };
            over -= lot.pieces[piece].bare();
            packing.loose.push(piece);
        }
    }
    packing
}
