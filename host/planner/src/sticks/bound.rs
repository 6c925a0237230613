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
//! face is missing, and on the back nothing overlaps.) The last kerf k(n) is not in the sum: it may run off the end. With
//! c the square kerf, let r(i) be by how much piece i, lying last, may take less than k(i) + b(i) beside c: at most
//! k(i) - c; that less what its far line lies farther on the other arris, since it has to be within the stick there too;
//! nothing for a short piece, which comes off while stick to hold remains beyond its kerf. With R the greatest r(i), that
//! gives four ledgers, in each of which what a piece takes depends on the piece alone:
//!
//! | a piece takes | a stick holds |
//! | --- | --- |
//! | b(i) + k(i) | L - trim + c + R |
//! | b(i) + k(i) - r(i) | L - trim + c |
//! | f(i) + k(i) | L - trim + c + R |
//! | f(i) + k(i) - r(i) | L - trim + c |
//!
//! Adding up a ledger over all sticks of a plan: what its sticks hold covers what its pieces take. A stick that can give
//! no piece holds nothing. A mixture of arrises proves no more than the two of them, since what is to be covered is
//! linear in the mixture.

use super::along::Laid;
use super::mixes::Cut;
use super::stock::Lot;

/// A long line of the board.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Arris {
    Back,
    Face,
}

impl Arris {
    /// Both.
    pub const ALL: [Arris; 2] = [Arris::Back, Arris::Face];

    /// What a piece takes along it with its kerf, wherever it lies.
    pub fn takes(self, piece: &Laid) -> i64 {
        match self {
            Arris::Back => piece.bare(),
            Arris::Face => piece.face() + piece.kerf,
        }
    }

    /// By how much it may take less as a stick's last.
    pub fn runs_off(self, lot: &Lot, piece: &Laid) -> i64 {
        let beyond = match self {
            Arris::Back => piece.far.lean,
            Arris::Face => -piece.far.lean,
        };
        match piece.short && lot.hold >= 0 {
            true => 0,
            false => (piece.kerf - lot.kerf - beyond.max(0)).max(0),
        }
    }
}

/// The cuts that the wood of these pieces gives.
pub(super) fn material_cuts(lot: &Lot, pieces: &[usize]) -> Vec<Cut> {
    let laid: Vec<&Laid> = pieces.iter().map(|&piece| &lot.pieces[piece]).collect();
    let useful: Vec<bool> = (lot.kinds.iter())
        .map(|kind| pieces.iter().any(|&piece| lot.holds_alone(kind, piece)))
        .collect();
    let ledgers = Arris::ALL.into_iter().flat_map(|arris| {
        let run_off = laid.iter().map(|piece| arris.runs_off(lot, piece));
        let takes: i64 = laid.iter().map(|piece| arris.takes(piece)).sum();
        let most = run_off.clone().max().unwrap_or(0);
        [(takes, most), (takes - run_off.sum::<i64>(), 0)]
    });
    let cuts = ledgers.map(|(asks, more)| {
        let holds = lot.kinds.iter().zip(&useful).map(|(kind, useful)| {
            let holds = (kind.length - lot.trim + lot.kerf + more).max(0);
            if *useful { holds } else { 0 }
        });
        Cut {
            holds: holds.collect(),
            asks,
        }
    });
    cuts.collect()
}
