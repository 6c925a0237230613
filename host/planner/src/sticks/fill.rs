//! Filling one stick after another as full as it goes: the first piece of a pool is laid down, the set of others that
//! fills each kind of stick best is looked up among all their sums, and the kind that costs least for each inch filled
//! is taken. Doing that again and again on parts of a plan is left to `refill`.

use super::draft::{Draft, Taken};
use super::grain::Coarse;
use super::order::fits;
use super::stock::Lot;
use super::sums::Sums;

/// The most pieces that are summed at once.
const MOST_SUMMED: usize = 96;
/// How many sums are tried before some pieces are left out by force.
const TRIES: usize = 4;

/// Fills sticks, with its working memory.
#[derive(Debug)]
pub(super) struct Filler<'a> {
    lot: &'a Lot,
    coarse: &'a Coarse,
    /// Fills with what wastes no wedges; there may be fuller sets.
    pub thrifty: bool,
    sums: Sums,
    /// Work done since it was last asked for.
    work: u64,
}

impl<'a> Filler<'a> {
    /// A filler for a lot.
    pub fn new(lot: &'a Lot, coarse: &'a Coarse) -> Filler<'a> {
        Filler {
            lot,
            coarse,
            thrifty: false,
            sums: Sums::default(),
            work: 0,
        }
    }

    /// The work done since this was last asked.
    pub fn work(&mut self) -> u64 {
        std::mem::take(&mut self.work)
    }

    /// Takes sticks until every piece of the pool is placed or no stick is left for the rest. The first piece of the
    /// pool goes into the next stick.
    pub fn place(&mut self, draft: &mut Draft, mut pool: Vec<usize>) {
        while !pool.is_empty() {
            let first = pool.remove(0);
            // from many pieces a stick can be filled without wasting wedges, mostly as full as any
            let mut offer = None;
            if pool.len() > MOST_SUMMED {
                self.thrifty = true;
                let thrifty = self.offer(draft, first, &pool);
                offer = thrifty.filter(|(_, spare)| *spare <= self.lot.kerf);
                self.thrifty = false;
            }
            let offer = offer.or_else(|| self.offer(draft, first, &pool));
            match offer {
                Some((stick, _)) => {
                    pool.retain(|piece| !stick.pieces.contains(piece));
                    draft.take(stick.kind, stick.pieces);
                }
                None => draft.unplaced.push(first),
            }
        }
    }

    /// Fills every offcut as full as it goes, the shortest first, and leaves the rest in the pool.
    pub fn fill_offcuts(&mut self, draft: &mut Draft, pool: &mut Vec<usize>) {
        for kind in (0..self.lot.kinds.len()).filter(|&kind| self.lot.kinds[kind].offcut) {
            for _ in 0..draft.left[kind] {
                let pieces = self.fullest(self.lot.kinds[kind].length, kind, pool);
                pool.retain(|piece| !pieces.contains(piece));
                if !pieces.is_empty() {
                    draft.take(kind, pieces);
                }
            }
        }
    }

    /// The set of the pool that fills a stick of a kind best, cut down to a length.
    pub fn fullest(&mut self, length: i64, kind: usize, pool: &[usize]) -> Vec<usize> {
        let all = self.lot.kinds[kind].length.max(1);
        let room = self.coarse.brims[kind];
        let shorter = i128::from(room) * i128::from(length.max(0)) / i128::from(all);
        let room = room.min(shorter as u32 + 1);
        let pool = spread(pool);
        self.sums.thrifty = self.thrifty;
        self.work += self.sums.run(self.coarse, room, &[], &pool);
        self.set_within(length, room, &[]).unwrap_or_default()
    }

    /// The stick that costs least for each inch filled among those that can give the first piece, and what it has to
    /// spare; among equals, as free ones are however little they are filled, the one with least.
    fn offer(&mut self, draft: &Draft, first: usize, others: &[usize]) -> Option<(Taken, i64)> {
        let lot = self.lot;
        let holds =
            |kind: &usize| draft.left[*kind] > 0 && lot.holds_alone(&lot.kinds[*kind], first);
        let kinds: Vec<usize> = (0..lot.kinds.len()).filter(holds).collect();
        let most = kinds.iter().map(|&kind| self.coarse.brims[kind]).max()?;
        let others = spread(others);
        self.sums.thrifty = self.thrifty;
        self.work += self.sums.run(self.coarse, most, &[first], &others);
        let mut best: Option<(i128, i128, i64, Taken)> = None;
        for kind in kinds {
            let room = self.coarse.brims[kind];
            let Some(pieces) = self.set_within(lot.kinds[kind].length, room, &[first]) else {
                continue;
            };
            let stick = Taken { kind, pieces };
            let spare = stick.spare(lot);
            let filled = i128::from(lot.room(kind) - spare);
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
        best.map(|(.., spare, stick)| (stick, spare))
    }

    /// The fullest set summed that fits a stick; none where not even the given pieces do.
    fn set_within(&mut self, length: i64, room: u32, given: &[usize]) -> Option<Vec<usize>> {
        let mut most = room;
        for _ in 0..TRIES {
            let sum = self.sums.largest_within(most)?;
            let pieces = self.sums.pieces(self.coarse, sum);
            self.work += 40 * pieces.len() as u64;
            if fits(self.lot, &pieces, length) {
                return Some(pieces);
            }
            let Some(less) = sum.checked_sub(1) else {
                break;
            };
            most = less;
        }
        // short pieces that cannot be held, or ends that do not go together: as many as go
        let sum = self.sums.largest_within(most)?;
        let mut pieces = given.to_vec();
        if !given.is_empty() && !fits(self.lot, &pieces, length) {
            return None;
        }
        for piece in self.sums.pieces(self.coarse, sum) {
            if !given.contains(&piece) {
                pieces.push(piece);
                if !fits(self.lot, &pieces, length) {
                    pieces.pop();
                }
            }
        }
        Some(pieces)
    }
}

/// A pool small enough to be summed: the first pieces, and others spread over the rest.
fn spread(pool: &[usize]) -> Vec<usize> {
    if pool.len() <= MOST_SUMMED {
        return pool.to_vec();
    }
    let step = |at: usize| at * pool.len() / MOST_SUMMED;
    (0..MOST_SUMMED).map(|at| pool[step(at)]).collect()
}
