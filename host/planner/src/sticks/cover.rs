//! Whether so many sticks of each kind can give all pieces if patterns may be used in parts, for a whole mix and for what is
//! left of it once some sticks are taken. Where they cannot, integers prove it by a cut (see `columns`). What is taken
//! is left to `dive`.
//!
//! # The idea
//!
//! The linear programme leaves as little as possible without a stick. As long as something is left, the knapsack looks for
//! patterns that take it in: first seeing every piece by itself, which is quick, and only where that finds none with ends
//! that go together. Taking a stick changes nothing but what is asked, so the programme goes on from the columns that it
//! used (the dual simplex method), a few exchanges away from the next answer.

use super::columns::{Columns, Costs, Pattern, Sight};
use super::effort::{Effort, Share};
use super::mixes::{Cut, Mix};
use super::simplex::Simplex;

/// How many steps a search for patterns that fit takes at most, at first and where nothing else helps.
const NEAR: u64 = 30_000;
const FAR: u64 = 300_000;
/// So little of the pieces without a stick is none.
const NONE: f64 = 1e-4;
/// What the longest piece costs without a stick: so much that no liking for a pattern weighs against any piece.
const DEAR: f64 = 1000.0;

/// What is known of sticks when patterns may be used in parts.
#[derive(Debug, Clone)]
pub(super) enum Verdict {
    /// They cannot give the pieces: they break this cut.
    Impossible(Cut),
    /// They can.
    Possible,
    /// The effort ended, or it could not be told.
    Unknown,
}

/// Pieces without a stick and sticks for them.
#[derive(Debug, Clone)]
pub(super) struct Rest {
    programme: Simplex,
    costs: Costs,
    /// How many pieces of each sort are open.
    pub open: Vec<u32>,
    /// How many sticks of each kind are left.
    pub left: Mix,
}

impl Rest {
    /// All pieces and the sticks of a mix; each flavour prefers other patterns.
    pub fn of(columns: &Columns<'_>, mix: &Mix, flavour: u64) -> Rest {
        let sorts = 0..columns.sorts.len();
        let most = sorts.clone().map(|s| columns.least(s)).fold(1.0, f64::max);
        let mut own: Vec<f64> = sorts
            .map(|sort| DEAR * columns.least(sort) / most)
            .collect();
        own.resize(columns.sorts.len() + mix.len(), 0.0);
        let costs = Costs {
            kinds: vec![0.0; mix.len()],
            flavour,
        };
        Rest {
            programme: columns.programme(mix, &own, &costs),
            costs,
            open: columns.counts(),
            left: mix.clone(),
        }
    }

    /// Whether the sticks can give the pieces; thoroughly, where much hangs on it, within a share of the effort.
    pub fn verdict(
        &mut self,
        columns: &mut Columns<'_>,
        thorough: bool,
        share: Share,
        effort: &mut Effort<'_>,
    ) -> Verdict {
        let looks = [
            (Sight::Plain, NEAR),
            (Sight::Exact, NEAR),
            (Sight::Exact, FAR),
        ];
        let looks = if thorough { &looks[..] } else { &looks[..2] };
        columns.catch_up(&mut self.programme, &self.costs);
        let right = columns.right(&self.open, &self.left);
        self.programme.ask(right, |work| share.spend(effort, work));
        loop {
            if !self.programme.run(|work| share.spend(effort, work)) && !share.spend(effort, 0) {
                return Verdict::Unknown;
            }
            if self.lacks(columns) < NONE {
                return Verdict::Possible;
            }
            let duals = self.programme.duals().to_vec();
            let mut found = false;
            for &(sight, far) in looks {
                let mut priced = columns.price(sight, &duals, &self.open, effort);
                found = columns.extend(
                    &mut self.programme,
                    [&duals; 2],
                    &mut priced,
                    &self.costs,
                    far,
                    effort,
                );
                if sight == Sight::Exact && priced.cut.slack(&self.left) < 0 {
                    return Verdict::Impossible(priced.cut);
                }
                if found || !share.spend(effort, 0) {
                    break;
                }
            }
            if !found || !share.spend(effort, 0) {
                return Verdict::Unknown;
            }
        }
    }

    /// How many pieces are left without a stick.
    fn lacks(&self, columns: &Columns<'_>) -> f64 {
        let own = self.programme.used();
        let own = own.filter(|(at, _)| *at < columns.sorts.len());
        own.map(|(_, used)| used).sum()
    }

    /// The patterns in use, those used most first.
    pub fn used(&self, columns: &Columns<'_>) -> Vec<(Pattern, f64)> {
        let used = columns.used(&self.programme);
        let mut used: Vec<(Pattern, f64)> = used.map(|(p, used)| (p.clone(), used)).collect();
        used.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        used
    }
}

#[cfg(test)]
mod tests {
    use shared_model::{Length, Side};

    use super::*;
    use crate::sticks::along::Laid;
    use crate::sticks::grain::Coarse;
    use crate::sticks::stock::Lot;
    use crate::sticks::tests::level::{level, moulding, saw};

    fn lot() -> Lot {
        let stock = moulding(&[(16, None, None), (12, None, None)], &[]);
        let lay = |blank| {
            let (saw, short) = (saw(), Length::inches(8));
            Laid::of(blank, stock.thickness, saw.kerf, short, Side::Left)
        };
        let laid = level(40, 5).iter().map(lay).collect();
        Lot::of(&stock, &saw(), laid)
    }

    #[test]
    fn too_few_sticks_break_a_cut_that_more_sticks_do_not() {
        let lot = lot();
        let pieces: Vec<usize> = (0..40).collect();
        let mut columns = Columns::new(&lot, &Coarse::of(&lot), &pieces);
        let (mut go_on, mut refuted) = (|_| true, 0);
        let mut effort = Effort::new(1000, &mut go_on);
        for sticks in 0..40 {
            let mut rest = Rest::of(&columns, &vec![sticks, 2], 0);
            match rest.verdict(&mut columns, true, effort.all(), &mut effort) {
                Verdict::Impossible(cut) => {
                    assert!(cut.slack(&[sticks, 2]) < 0 && cut.slack(&[40, 2]) >= 0);
                    assert_eq!(refuted, sticks);
                    refuted += 1;
                }
                verdict => assert!(matches!(verdict, Verdict::Possible)),
            }
        }
        assert!(refuted > 8 && refuted < 20, "{refuted}");
    }

    #[test]
    fn what_is_left_is_judged_as_if_it_were_new() {
        let lot = lot();
        let pieces: Vec<usize> = (0..40).collect();
        let mut columns = Columns::new(&lot, &Coarse::of(&lot), &pieces);
        let mut go_on = |_| true;
        let mut effort = Effort::new(1000, &mut go_on);
        let mut rest = Rest::of(&columns, &vec![14, 2], 0);
        let mut verdicts = [0; 2];
        while rest.open.iter().any(|&open| open > 0) {
            let known = rest.verdict(&mut columns, true, effort.all(), &mut effort);
            let open = 0..columns.sorts.len();
            let open = open.flat_map(|s| columns.sorts[s][..rest.open[s] as usize].to_vec());
            let open: Vec<usize> = open.collect();
            let mut others = Columns::new(&lot, &Coarse::of(&lot), &open);
            let new = Rest::of(&others, &rest.left, 0);
            let new = { new }.verdict(&mut others, true, effort.all(), &mut effort);
            let possible = matches!(known, Verdict::Possible);
            assert_eq!(possible, matches!(new, Verdict::Possible));
            verdicts[usize::from(possible)] += 1;
            // half a stick at a time, so that at last there are too few
            let (kind, set) = match rest.used(&columns).first() {
                Some((pattern, _)) if rest.left[pattern.kind] > 0 => {
                    (pattern.kind, pattern.set.clone())
                }
                _ => break,
            };
            rest.left[kind] -= 1;
            for (sort, count) in set.into_iter().step_by(2) {
                rest.open[sort] = rest.open[sort].saturating_sub(count);
            }
        }
        assert!(verdicts[0] > 0 && verdicts[1] > 0, "{verdicts:?}");
    }
}
