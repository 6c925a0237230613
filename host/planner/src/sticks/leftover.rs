//! The longest single leftover that can be had for the same sticks. They are packed again and again, and what makes the
//! longest leftover shorter is not kept. Then what is to be left over is planned as one more piece, with square ends: where
//! the linear programme refutes that, so much cannot be left over whatever the order; where it does not, the pieces are
//! packed as those of any mix are. Packing is left to `refill` and `dive`, refuting to `cover`.

use super::along::Laid;
use super::bound::Arris;
use super::columns::{Columns, Pattern};
use super::cover::{Rest, Verdict};
use super::dive::dive;
use super::draft::{Draft, takes};
use super::effort::{Effort, Share};
use super::grain::Coarse;
use super::lessons::teach;
use super::mixes::Mix;
use super::order::fits;
use super::refill::{Limits, Packing, gather, pack};
use super::stock::Lot;
use super::wedges::Leans;

/// Tries for each stick and steps of effort to gather what is left over.
const TRIES: usize = 30;
const GATHERING: u64 = 50;
/// Nearer than this to the most that can be left over is near enough: an inch.
const NEAR: i64 = 16_256;
/// What is aimed at is so much less than the most: three quarters of an inch.
const LESS: i64 = 12_192;
/// Steps of effort for all lengths that are tried, and for packing one of them.
const TRYING: u64 = 120;
const PACKING: u64 = 200;
/// For more pieces than this the programme takes a person's time and seldom finds more: they are gathered only.
const MOST_PIECES: usize = 90;
/// How many lengths are tried.
const LENGTHS: u64 = 12;

/// The plan with the longest leftover that was found for the same sticks, and what no leftover of theirs can be longer
/// than.
pub(super) fn lengthen(
    lot: &Lot,
    coarse: &Coarse,
    draft: &Draft,
    effort: &mut Effort<'_>,
) -> (Draft, i64) {
    let most = most_left(lot, draft);
    let limits = Limits {
        number: 0,
        tries: TRIES,
        share: effort.share(GATHERING),
    };
    // a square cut's kerf goes beside what is left over
    let aims = vec![most + lot.kerf - LESS; lot.kinds.len()];
    let start = Packing::as_is(lot, draft);
    let mut search = Search {
        lot,
        mix: draft.mix(lot),
        draft: gather(lot, coarse, start, limits, &aims, effort).draft(lot),
        most,
        possible: 0,
        known: Vec::new(),
    };
    if draft.sticks.iter().map(|s| s.pieces.len()).sum::<usize>() <= MOST_PIECES {
        search.run(coarse, effort);
    }
    (search.draft, search.most)
}

struct Search<'a> {
    lot: &'a Lot,
    mix: Mix,
    /// The plan with the longest leftover so far.
    draft: Draft,
    /// No leftover is longer.
    most: i64,
    /// The programme cannot refute this.
    possible: i64,
    /// The patterns that the programmes have found so far.
    known: Vec<Pattern>,
}

impl Search<'_> {
    fn run(&mut self, coarse: &Coarse, effort: &mut Effort<'_>) {
        let share = effort.share(TRYING);
        let whole = |length: i64| length - length.rem_euclid(coarse.grain);
        let mut failed = i64::MAX;
        for number in 1..=LENGTHS {
            let longest = self.longest(&self.draft);
            let beyond = whole(longest + NEAR);
            if failed < i64::MAX && beyond > self.possible && beyond < self.most {
                self.attempt(beyond, None, share, effort);
            }
            if self.most - longest <= NEAR || !share.spend(effort, 0) {
                return;
            }
            let aim = match self.most - LESS {
                aim if aim < failed => whole(aim),
                _ => whole(longest + 2 * (failed - longest) / 3),
            };
            if aim <= longest {
                return;
            }
            let found = self.attempt(aim, Some(number), share, effort);
            if let Some(draft) = found.filter(|draft| self.longest(draft) > longest) {
                self.draft = draft;
            }
            if self.most >= aim && self.longest(&self.draft) < aim {
                failed = aim;
            }
        }
    }

    /// The longest leftover, if the last kerf is a square cut's.
    fn longest(&self, draft: &Draft) -> i64 {
        let spares = draft.sticks.iter().map(|stick| stick.spare(self.lot));
        spares.max().unwrap_or(0) - self.lot.kerf
    }

    /// A plan with so long a leftover, if one was found; where there cannot be one, `most` is less from then on. Without
    /// a number for its draws none is looked for.
    fn attempt(
        &mut self,
        aim: i64,
        number: Option<u64>,
        share: Share,
        effort: &mut Effort<'_>,
    ) -> Option<Draft> {
        let kept = self.lot.pieces.len();
        let lot = with_kept(self.lot, aim);
        let coarse = Coarse::of(&lot);
        let sticks = self.draft.sticks.iter();
        let mut pieces: Vec<usize> = sticks.flat_map(|s| s.pieces.iter().copied()).collect();
        pieces.sort_unstable();
        let mut columns = Columns::new(&lot, &coarse, &[&pieces[..], &[kept]].concat());
        columns.learn(&self.draft);
        match self.known.is_empty() {
            true => teach(&mut columns, &lot, &coarse, &pieces, effort),
            false => columns.relearn(std::mem::take(&mut self.known)),
        }
        let mut rest = Rest::of(&columns, &self.mix, 0);
        let verdict = rest.verdict(&mut columns, true, share, effort);
        let mut found = None;
        match (verdict, number) {
            (Verdict::Impossible(_), _) => self.most = aim - 1,
            (Verdict::Possible, None) => self.possible = aim,
            (Verdict::Possible, Some(number)) => {
                self.possible = self.possible.max(aim);
                let dived = dive(rest, &mut columns, effort.share(PACKING), effort);
                let limits = Limits {
                    number,
                    tries: PACKING as usize,
                    share: effort.share(PACKING / 2),
                };
                let start = Packing::of(&lot, &self.mix, &dived);
                let mut packed = pack(&lot, &coarse, start, limits, effort);
                // what found no place goes where it was to be left over
                let mut bins = packed.bins.iter_mut();
                if let Some(bin) = bins.find(|bin| bin.pieces.contains(&kept)) {
                    let others = bin.pieces.iter().filter(|piece| **piece != kept);
                    let all: Vec<usize> = others.chain(&packed.loose).copied().collect();
                    if fits(&lot, &all, bin.length) {
                        bin.pieces = all;
                        packed.loose.clear();
                    }
                }
                found = packed.loose.is_empty().then(|| packed.draft(&lot));
            }
            (Verdict::Unknown, _) => {}
        }
        self.known = columns.patterns;
        let mut draft = found?;
        for stick in &mut draft.sticks {
            stick.pieces.retain(|&piece| piece != kept);
        }
        draft.drop_unused();
        Some(draft)
    }
}

/// The lot with one more piece: what is to be left over.
fn with_kept(lot: &Lot, length: i64) -> Lot {
    let mut pieces = lot.pieces.clone();
    pieces.push(Laid::plain(length, lot.kerf));
    Lot {
        leans: Leans::of(&pieces),
        pieces,
        ..lot.clone()
    }
}

/// What would be left over if all of it lay in one stick: less than by the wood along each arris (see `bound`), and less
/// than by the wedges. The sticks one after another are one round trip over all leans (see `wedges`), so all pieces
/// together waste no more than they do stick by stick; and each stick but that one may have another piece with a wide
/// kerf as its last.
pub(super) fn most_left(lot: &Lot, draft: &Draft) -> i64 {
    let rooms = draft.sticks.iter().map(|stick| lot.room(stick.kind));
    let places: Vec<usize> = (draft.sticks.iter())
        .flat_map(|stick| stick.pieces.iter().copied())
        .collect();
    let pieces: Vec<&Laid> = places.iter().map(|&piece| &lot.pieces[piece]).collect();
    let others = draft.sticks.len().saturating_sub(1);
    let less = |takes: i64, run_off: &dyn Fn(&Laid) -> i64| {
        let mut run_off: Vec<i64> = pieces.iter().map(|piece| run_off(piece)).collect();
        run_off.sort_unstable_by_key(|more| -more);
        takes - run_off.iter().take(others).sum::<i64>()
    };
    let along = Arris::ALL.map(|arris| {
        let takes = pieces.iter().map(|piece| arris.takes(piece)).sum();
        less(takes, &|piece| arris.runs_off(lot, piece))
    });
    let wedged = lot.leans.wedges(&places).map(|_| {
        let last = |piece: &Laid| Arris::ALL.map(|arris| arris.runs_off(lot, piece));
        less(takes(lot, &places), &|piece| {
            last(piece).into_iter().fold(0, i64::max)
        })
    });
    let least = along.into_iter().chain(wedged).fold(0, i64::max);
    let longest = rooms.clone().max().unwrap_or(0) - lot.kerf;
    (rooms.sum::<i64>() - lot.kerf - least).min(longest)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sticks::dice::Dice;
    use crate::sticks::stock::Kind;
    use crate::sticks::tests::level;

    /// Sticks that some pieces of a level just fit, one of them longer by what is to be left over of it.
    fn planted(dice: &mut Dice, left: i64) -> Option<(Lot, Draft)> {
        let mut lot = level::lot(dice.below(6) as u64);
        lot.kinds.clear();
        let mut pieces: Vec<usize> = (0..lot.pieces.len()).collect();
        dice.shuffle(&mut pieces);
        let mut draft = Draft::new(&lot);
        for stick in 0..4 {
            let set = pieces.split_off(pieces.len() - 2 - dice.below(3));
            let more = if stick == 0 { left } else { 0 };
            let kept = if stick == 0 { lot.kerf } else { 0 };
            let length = takes(&lot, &set) - lot.kerf + lot.trim + kept + more;
            if !fits(&lot, &set, length) {
                return None;
            }
            lot.kinds.push(Kind {
                length,
                cost: length,
                count: 1,
                offcut: false,
            });
            draft.left.push(1);
            draft.take(stick, set);
        }
        Some((lot, draft))
    }

    #[test]
    fn what_can_be_left_over_is_never_refuted_and_two_inches_more_mostly_are() {
        let (mut dice, mut refuted, mut tried) = (Dice::new(8), 0, 0);
        let mut go_on = |_| true;
        let mut effort = Effort::new(20_000, &mut go_on);
        while tried < 60 {
            let left = 16_256 * (3 + dice.below(60) as i64) + dice.below(16_256) as i64;
            let Some((lot, draft)) = planted(&mut dice, left) else {
                continue;
            };
            tried += 1;
            let mut search = Search {
                mix: draft.mix(&lot),
                lot: &lot,
                draft,
                most: i64::MAX,
                possible: 0,
                known: Vec::new(),
            };
            assert_eq!(search.longest(&search.draft), left);
            let share = effort.all();
            let found = search.attempt(left, Some(1), share, &mut effort);
            assert_eq!(search.most, i64::MAX);
            assert!(found.is_none_or(|draft| draft.unplaced.is_empty()));
            search.attempt(left + 32_512, None, share, &mut effort);
            refuted += u32::from(search.most < i64::MAX);
            assert!(search.most >= left);
        }
        assert!(refuted > 40, "{refuted}");
    }
}
