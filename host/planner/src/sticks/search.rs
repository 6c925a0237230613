//! Improving on a plan: a few sticks are taken apart and filled anew from their pieces, and the result is kept where it
//! costs no more and does not scatter what is left over much more ("ruin and recreate", Schrimpf and others 2000, with
//! the threshold accepting of Dueck and Scheuer 1990). How much is tried is counted, never timed, and what is drawn
//! comes from a fixed sequence, so that the same pieces always give the same plan.

use super::draft::{Draft, Taken, longest_first};
use super::fill::Filler;
use super::stock::Lot;

/// How much is tried, counted as in [`work_of`].
const WORK: usize = 40_000;
/// The most sticks taken apart at once.
const MOST_STICKS: usize = 4;

/// The best plan found from here.
pub(super) fn improve(lot: &Lot, start: Draft) -> Draft {
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let mut filler = Filler::default();
    let mut now = start.clone();
    let (mut best_badness, mut best) = (start.badness(lot), start);
    let (mut work, mut longest_goes_first) = (0, false);
    while work < WORK {
        let before = (now.missing(lot), now.cost(lot));
        let unplaced = std::mem::take(&mut now.unplaced);
        let apart = take_apart(&mut now, &mut dice);
        let kept = now.sticks.len();

        let pieces = apart.iter().flat_map(|stick| &stick.pieces);
        let mut pool: Vec<usize> = unplaced.iter().chain(pieces).copied().collect();
        work += work_of(pool.len());
        longest_first(lot, &mut pool);
        longest_goes_first = !longest_goes_first;
        dice.shuffle(&mut pool, usize::from(longest_goes_first));
        filler.place(lot, &mut now, pool);

        let after = (now.missing(lot), now.cost(lot));
        let scattered = 16 * gathered(lot, &now.sticks[kept..]) < 15 * gathered(lot, &apart);
        if after > before || (after == before && scattered) {
            while now.sticks.len() > kept {
                now.give_back(kept);
            }
            for stick in apart {
                now.take(stick.kind, stick.pieces);
            }
            now.unplaced = unplaced;
            continue;
        }
        let badness = now.badness(lot);
        if badness < best_badness {
            (best_badness, best) = (badness, now.clone());
        }
    }
    best
}

/// Takes a few sticks out of a plan.
fn take_apart(draft: &mut Draft, dice: &mut Dice) -> Vec<Taken> {
    let count = 2 + dice.below(MOST_STICKS - 1);
    (0..count.min(draft.sticks.len()))
        .map(|_| draft.give_back(dice.below(draft.sticks.len())))
        .collect()
}

/// How much of what is left lies in one place: a stick all but empty may soon not be needed, two half empty ones will.
fn gathered(lot: &Lot, sticks: &[Taken]) -> i128 {
    let spares = sticks.iter().map(|stick| stick.spare(lot).max(0));
    spares.map(|spare| i128::from(spare).pow(2)).sum()
}

/// What it takes to lay so many pieces anew.
const fn work_of(pieces: usize) -> usize {
    8 + pieces + pieces * pieces / 16
}

/// A fixed sequence of draws (splitmix64, Steele and others 2014).
struct Dice(u64);

impl Dice {
    /// A number below `end`, which is above 0.
    fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        ((u128::from(z) * end as u128) >> 64) as usize
    }

    /// Shuffles all but the first few.
    fn shuffle(&mut self, items: &mut [usize], first: usize) {
        for last in (first + 1..items.len()).rev() {
            items.swap(last, first + self.below(last + 1 - first));
        }
    }
}
