//! What any plan for these pieces must cost at least: the *material bound*. Finding plans is left to the others.
//!
//! # Why it holds
//!
//! Take any stick of length L that gives pieces 1 to n in this order. Let b(i) and f(i) be what piece i measures from
//! line to line along the back and along the face (for a butt the back is what its back cut leaves), and k(i) what its
//! far end's blade takes along the stick. The first piece's near line is at or beyond the trim on both arrises. Each
//! next near line is, on both arrises, at or beyond the far line before it plus the kerf k(i) of that far line's cut,
//! whether one cut serves both neighbours or two are made: a shared slanted cut saves the wedge between the two, never
//! the kerf. The last far line is within the stick on both arrises. So, adding up along the *back* alone,
//!
//! > trim + b(1) + k(1) + b(2) + k(2) + ... + b(n) <= L
//!
//! and the same along the *face* with f for b, for every kind of end. (Reckoning on the back is why an outside miter
//! beside a parallel inside end is no exception: the miter's face, reaching beyond its back, lies where the neighbour's
//! face is missing, and on the back nothing overlaps.) With K the widest kerf of any piece and c the square one, c <=
//! k(i) <= K, that gives four ledgers, in each of which what a piece takes depends on the piece alone:
//!
//! | a piece takes | a stick holds |
//! | --- | --- |
//! | b(i) + k(i) | L - trim + K |
//! | b(i) + c | L - trim + c |
//! | f(i) + k(i) | L - trim + K |
//! | f(i) + c | L - trim + c |
//!
//! Adding up a ledger over all sticks of a plan: what its sticks hold covers what its pieces take. The least cost of
//! covering that with parts of sticks, no more of each kind than there are and only of kinds that can give some piece,
//! is therefore no more than the plan's cost; it is found by using the cheapest per unit held first (Dantzig 1957). A
//! plan's cost is a sum of prices, so the bound may be rounded up to the next multiple of their greatest common
//! divisor. A mixture of arrises proves no more than the better of the two, since what is to be covered is linear in
//! the mixture.

use super::along::Laid;
use super::stock::{Kind, Lot};

/// The least that any plan for these pieces can cost.
pub(super) fn bound(lot: &Lot, pieces: &[usize]) -> i64 {
    let gives = |kind: &&Kind| pieces.iter().any(|&piece| lot.holds_alone(kind, piece));
    let kinds: Vec<&Kind> = lot.kinds.iter().filter(gives).collect();
    let laid: Vec<&Laid> = pieces.iter().map(|&piece| &lot.pieces[piece]).collect();
    let widest = laid.iter().map(|piece| piece.kerf).max().unwrap_or(0);
    let along: [fn(&Laid) -> i64; 2] = [|piece| piece.back, Laid::face];
    let ledgers = along.into_iter().flat_map(|along| {
        let own = laid.iter().map(|piece| along(piece) + piece.kerf).sum();
        let square = laid.iter().map(|piece| along(piece) + lot.kerf).sum();
        [(own, widest), (square, lot.kerf)]
    });
    let covers = ledgers.map(|(takes, kerf)| cover(&kinds, takes, kerf - lot.trim));
    let least = covers.max().unwrap_or(0);
    let step = kinds.iter().fold(0, |step, kind| divisor(step, kind.cost));
    match step {
        0 => 0,
        step => least + (step - least % step) % step,
    }
}

/// The least cost of sticks, or parts of them, that hold so much together; a stick holds its length and `beyond`.
fn cover(kinds: &[&Kind], takes: i64, beyond: i64) -> i64 {
    let holds = |kind: &Kind| i128::from(kind.length + beyond);
    let cost = |kind: &Kind| i128::from(kind.cost);
    let mut kinds: Vec<&Kind> = kinds
        .iter()
        .copied()
        .filter(|kind| holds(kind) > 0)
        .collect();
    kinds.sort_by(|a, b| (cost(a) * holds(b)).cmp(&(cost(b) * holds(a))));
    let (mut open, mut paid) = (i128::from(takes), 0);
    for kind in kinds {
        let (all, each) = (i128::from(kind.count) * holds(kind), holds(kind));
        if open <= all {
            // a part of a unit of money is a whole one
            let part = open.max(0) * cost(kind);
            paid += part / each + i128::from(part % each > 0);
            break;
        }
        open -= all;
        paid += i128::from(kind.count) * cost(kind);
    }
    i64::try_from(paid).unwrap_or(i64::MAX)
}

/// The greatest common divisor.
fn divisor(a: i64, b: i64) -> i64 {
    match b {
        0 => a,
        b => divisor(b, a % b),
    }
}
