//! What any plan for these pieces must hold at least, by its wood alone: the *material cuts* on stick mixes. Sharper cuts
//! are found by `columns`; what the cheapest mix is that satisfies them, by `mixes`.
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
//! Adding up a ledger over all sticks of a plan: what its sticks hold covers what its pieces take. A stick that can give
//! no piece holds nothing. A mixture of arrises proves no more than the two of them, since what is to be covered is
//! linear in the mixture.

use super::along::Laid;
use super::mixes::Cut;
use super::stock::Lot;

/// The cuts that the wood of these pieces gives.
pub(super) fn material_cuts(lot: &Lot, pieces: &[usize]) -> Vec<Cut> {
    let laid: Vec<&Laid> = pieces.iter().map(|&piece| &lot.pieces[piece]).collect();
    let widest = laid.iter().map(|piece| piece.kerf).max().unwrap_or(0);
    let useful: Vec<bool> = (lot.kinds.iter())
        .map(|kind| pieces.iter().any(|&piece| lot.holds_alone(kind, piece)))
        .collect();
    let along: [fn(&Laid) -> i64; 2] = [|piece| piece.back, Laid::face];
    let ledgers = along.into_iter().flat_map(|along| {
        let own = laid.iter().map(|piece| along(piece) + piece.kerf).sum();
        let square = laid.iter().map(|piece| along(piece) + lot.kerf).sum();
        [(own, widest), (square, lot.kerf)]
    });
    let cuts = ledgers.map(|(asks, kerf)| {
        let holds = lot.kinds.iter().zip(&useful).map(|(kind, useful)| {
            let holds = (kind.length - lot.trim + kerf).max(0);
            if *useful { holds } else { 0 }
        });
        Cut {
            holds: holds.collect(),
            asks,
        }
    });
    cuts.collect()
}
