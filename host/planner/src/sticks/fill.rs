//! Filling one stick after another as full as it goes: the first piece of a pool is laid down, the set of others that
//! fills each kind of stick best is looked up among all their sums, and the kind that costs least for each inch filled
//! is taken. Trying that again and again on parts of a plan is left to `search`.

use super::draft::{Draft, Taken};
use super::order::fits;
use super::stock::Lot;
use super::sums::Sums;

/// Sums are told apart to 1/128 in, more coarsely only where sticks are longer than 16 ft.
const GRAIN: i64 = 127;
const MOST_GRAINS: i64 = 16 * 12 * 128;

/// Fills sticks, with its working memory.
#[derive(Debug, Default)]
pub(super) struct Filler {
    sums: Sums,
    grain: i64,
}

impl Filler {
    /// Takes sticks until every piece of the pool is placed or no stick is left for the rest. The first piece of the
    /// pool goes into the next stick, and the set that fills it up is looked for in the pool's order.
    pub fn place(&mut self, lot: &Lot, draft: &mut Draft, mut pool: Vec<usize>) {
        while !pool.is_empty() {
            let first = pool.remove(0);
            match self.offer(lot, draft, first, &pool) {
                Some(stick) => take(lot, draft, stick, &mut pool),
                None => draft.unplaced.push(first),
            }
        }
    }

    /// Fills every offcut as full as it goes, the shortest first, and leaves the rest in the pool.
    pub fn fill_offcuts(&mut self, lot: &Lot, draft: &mut Draft, pool: &mut Vec<usize>) {
        for kind in (0..lot.kinds.len()).filter(|&kind| lot.kinds[kind].offcut) {
            for _ in 0..draft.left[kind] {
                self.add_up(lot, pool, room(lot, kind));
                if let Some(stick) = self.fullest(lot, kind, Vec::new(), pool) {
                    take(lot, draft, stick, pool);
                }
            }
        }
    }

    /// The stick that costs least for each inch filled among those that can give the first piece; among equals, as free
    /// ones are however little they are filled, the one with least to spare.
    fn offer(&mut self, lot: &Lot, draft: &Draft, first: usize, others: &[usize]) -> Option<Taken> {
        let holds =
            |kind: &usize| draft.left[*kind] > 0 && lot.holds_alone(&lot.kinds[*kind], first);
        let kinds: Vec<usize> = (0..lot.kinds.len()).filter(holds).collect();
        let most = kinds.iter().map(|&kind| room(lot, kind)).max()?;
        self.add_up(lot, others, most - lot.pieces[first].safe());
        let mut best: Option<(i128, i128, i64, Taken)> = None;
        for kind in kinds {
            let Some(stick) = self.fullest(lot, kind, vec![first], others) else {
                continue;
            };
            let spare = stick.spare(lot);
            let filled = i128::from(room(lot, kind) - spare);
            let cost = i128::from(lot.kinds[kind].cost);
            let better = best
                .as_ref()
                .is_none_or(|(its_cost, its_filled, its_spare, _)| {
                    (cost * its_filled, spare) < (its_cost * filled, *its_spare)
                });
            if better {
                best = Some((cost, filled, spare, stick));
            }
        }
        best.map(|(.., stick)| stick)
    }

    /// Finds every sum that the pieces make, up to a length.
    fn add_up(&mut self, lot: &Lot, pieces: &[usize], most: i64) {
        let most = most.max(0);
        self.grain = GRAIN.max(most / MOST_GRAINS + 1);
        self.sums.restart((most / self.grain) as usize);
        for (index, &piece) in pieces.iter().enumerate() {
            let size = lot.pieces[piece].safe().div_euclid(self.grain) + 1;
            self.sums.add(index, size as usize);
        }
    }

    /// A stick of a kind with the pieces given and the set of the pieces added up that fills it best; none where that
    /// is no piece at all. Short pieces are left out again where too little would be left to hold.
    fn fullest(
        &self,
        lot: &Lot,
        kind: usize,
        given: Vec<usize>,
        others: &[usize],
    ) -> Option<Taken> {
        let taken: i64 = given.iter().map(|&piece| lot.pieces[piece].safe()).sum();
        let most = (room(lot, kind) - taken).max(0) / self.grain;
        let sum = self.sums.largest_within(most as usize);
        let mut pieces = given;
        pieces.extend(self.sums.items(sum).into_iter().map(|index| others[index]));
        while !pieces.is_empty() && !fits(lot, &pieces, lot.kinds[kind].length) {
            let short = pieces.iter().rposition(|&piece| lot.pieces[piece].short);
            // the given one alone may be what cannot be held
            let short = short.filter(|&at| at >= usize::from(taken > 0))?;
            pieces.remove(short);
        }
        (!pieces.is_empty()).then_some(Taken { kind, pieces })
    }
}

/// What the pieces of a stick may take together, each with its kerf: the last kerf may run off the end.
fn room(lot: &Lot, kind: usize) -> i64 {
    lot.kinds[kind].length - lot.trim + lot.kerf
}

/// Takes a stick, its pieces out of the pool, and whatever else of the pool goes in by the exact geometry.
fn take(lot: &Lot, draft: &mut Draft, mut stick: Taken, pool: &mut Vec<usize>) {
    pool.retain(|piece| !stick.pieces.contains(piece));
    pool.retain(|&piece| !stick.add(lot, piece));
    draft.take(stick.kind, stick.pieces);
}
