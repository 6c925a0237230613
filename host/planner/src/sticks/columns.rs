//! Proving: which values of the pieces give the sharpest cuts on stick mixes, and whether a mix can be had at all if
//! patterns may be used in parts. Column generation (Gilmore and Gomory 1961): a linear programme over the patterns known
//! so far gives each piece a value, a knapsack finds the pattern that is worth more than its stick, and so on until there
//! is none. The values are scaled and rounded to integers before the knapsack sees them, so that every round proves a
//! cut exactly, whatever was lost in floating point. Packing whole patterns is left to `dive` and `refill`.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use super::dice::Dice;
use super::draft::Draft;
use super::effort::Effort;
use super::grain::Coarse;
use super::knapsack::{Knapsack, MOST_WORTH, Set, Sort};
use super::mixes::{Cut, Mix};
use super::order::fits;
use super::simplex::{Column, Simplex};
use super::stock::Lot;

/// How near the values at which patterns are looked for stay to the best ones so far.
const SMOOTH: f64 = 0.6;
/// How many steps a search for patterns that fit takes at most, on the way and at the end.
const NEAR: u64 = 30_000;
const FAR: u64 = 600_000;
/// A gain below this is none.
const NO_GAIN: f64 = 1e-6;

/// What can be cut from one stick: so many of each sort.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Pattern {
    pub kind: usize,
    pub set: Vec<(usize, u32)>,
}

/// What is known of a mix when patterns may be used in parts.
#[derive(Debug, Clone)]
pub(super) enum Verdict {
    /// No plan has this mix: it breaks this cut.
    Impossible(Cut),
    /// It can be had.
    Possible,
    /// The effort ended, or it could not be told.
    Unknown,
}

/// The patterns known of some pieces of a lot.
#[derive(Debug)]
pub(super) struct Columns<'a> {
    lot: &'a Lot,
    coarse: &'a Coarse,
    pub sorts: Vec<Sort>,
    /// The sort of each piece of the lot, where it is among the pieces.
    pub sort_of: Vec<Option<usize>>,
    patterns: Vec<Pattern>,
    known: BTreeSet<Pattern>,
    /// Its tables are large, so one is shared by all that go down together.
    knapsack: Rc<RefCell<Knapsack>>,
    /// Costs are a little different for each number, so that of equally cheap ways others are found.
    pub flavour: u64,
}

impl<'a> Columns<'a> {
    /// For these pieces, each pattern being a piece alone at first.
    pub fn new(lot: &'a Lot, coarse: &'a Coarse, pieces: &[usize]) -> Columns<'a> {
        let mut by_likeness: BTreeMap<(i64, i64, i64, i64, bool), usize> = BTreeMap::new();
        let mut sorts: Vec<Sort> = Vec::new();
        let mut sort_of = vec![None; lot.pieces.len()];
        for &piece in pieces {
            let laid = &lot.pieces[piece];
            let (near, far) = (laid.near.lean, laid.far.lean);
            let likeness = (laid.back, near, far, laid.kerf, laid.short);
            let sort = *by_likeness.entry(likeness).or_insert_with(|| {
                sorts.push(Sort {
                    grains: coarse.pieces[piece],
                    pieces: Vec::new(),
                });
                sorts.len() - 1
            });
            sorts[sort].pieces.push(piece);
            sort_of[piece] = Some(sort);
        }
        Columns {
            lot,
            coarse,
            sorts,
            sort_of,
            patterns: Vec::new(),
            known: BTreeSet::new(),
            knapsack: Rc::default(),
            flavour: 0,
        }
    }

    /// How large the knapsack's tables are.
    pub fn size(&self) -> u64 {
        let pieces: usize = self.sorts.iter().map(|sort| sort.pieces.len()).sum();
        pieces as u64 * u64::from(self.coarse.top())
    }

    /// Takes the sticks of a draft for patterns.
    pub fn learn(&mut self, draft: &Draft) {
        for stick in &draft.sticks {
            let mut set: BTreeMap<usize, u32> = BTreeMap::new();
            for sort in stick.pieces.iter().filter_map(|&piece| self.sort_of[piece]) {
                *set.entry(sort).or_default() += 1;
            }
            self.note(Pattern {
                kind: stick.kind,
                set: set.into_iter().collect(),
            });
        }
    }

    /// Takes over what is known of more pieces, as far as it is about these.
    pub fn inherit(&mut self, from: &Columns<'_>) {
        self.flavour = from.flavour;
        self.knapsack = Rc::clone(&from.knapsack);
        for pattern in &from.patterns {
            let set = pattern.set.iter().filter_map(|&(sort, count)| {
                let mut pieces = from.sorts[sort].pieces.iter();
                let sort = pieces.find_map(|&piece| self.sort_of[piece])?;
                Some((sort, count.min(self.sorts[sort].pieces.len() as u32)))
            });
            let mut set: Vec<(usize, u32)> = set.collect();
            set.sort_unstable();
            self.note(Pattern {
                kind: pattern.kind,
                set,
            });
        }
    }

    fn note(&mut self, pattern: Pattern) -> bool {
        let new = !pattern.set.is_empty() && self.known.insert(pattern.clone());
        if new {
            self.patterns.push(pattern);
        }
        new
    }

    /// The cuts found on the way to the least cost if patterns may be used in parts, the sharpest first; stops where one
    /// proves `enough`.
    pub fn root(&mut self, enough: i64, effort: &mut Effort<'_>) -> Vec<Cut> {
        let counts: Vec<u32> = self.lot.kinds.iter().map(|kind| kind.count).collect();
        let costs = self.costs();
        let mut own = self.own_costs(&costs);
        let mut cuts: Vec<(i64, Cut)> = Vec::new();
        loop {
            let mut programme = self.programme(&counts, &own, &costs);
            self.descend(&mut programme, &costs, enough, &mut cuts, effort);
            let bought: Vec<usize> = self.bought_alone(&programme);
            let proved = cuts.first().is_some_and(|(least, _)| -least >= enough);
            if bought.is_empty() || proved || effort.ended() || own[bought[0]] > 4.0 {
                self.keep_best(programme.duals(), &costs);
                break;
            }
            for sort in bought {
                own[sort] *= 2.0;
            }
        }
        cuts.into_iter().take(3).map(|(_, cut)| cut).collect()
    }

    /// Exchanges and adds patterns until there is none that makes it cheaper. The values at which patterns are looked for
    /// lie between those of the programme and those of the best cut so far, which keeps them from leaping to and fro
    /// (smoothing, Wentges 1997).
    fn descend(
        &mut self,
        programme: &mut Simplex,
        costs: &[f64],
        enough: i64,
        cuts: &mut Vec<(i64, Cut)>,
        effort: &mut Effort<'_>,
    ) {
        // at first every piece is worth its share of the stick that costs least for what it holds
        let rate = self.rates(costs).fold(f64::MAX, f64::min);
        let sorts = self.sorts.iter();
        let mut centre: Vec<f64> = sorts
            .map(|sort| rate * f64::from(sort.grains.least))
            .collect();
        centre.resize(programme.duals().len(), 0.0);
        loop {
            if !programme.run(|work| effort.spend(work)) && effort.ended() {
                return;
            }
            let duals = programme.duals().to_vec();
            let mut found = false;
            for share in [SMOOTH, 0.0] {
                let both = centre.iter().zip(&duals);
                let smooth: Vec<f64> = both.map(|(c, d)| share * c + (1.0 - share) * d).collect();
                let mut priced = self.price(&smooth, effort);
                let far = if share > 0.0 { NEAR } else { FAR };
                found = self.extend(
                    programme,
                    [&smooth, &duals],
                    &mut priced,
                    costs,
                    far,
                    effort,
                );
                let least = priced.cut.least_cost(self.lot);
                if cuts.first().is_none_or(|(best, _)| least > -best) {
                    centre = smooth;
                }
                cuts.push((-least, priced.cut));
                cuts.sort_by_key(|(least, _)| *least);
                cuts.truncate(3);
                if least >= enough || effort.ended() {
                    return;
                }
                if found {
                    break;
                }
            }
            if !found {
                return;
            }
        }
    }

    /// The patterns of the cheapest way to use these sticks in parts; none where they do not cover all pieces.
    pub fn cheapest(
        &mut self,
        mix: &Mix,
        rounds: usize,
        effort: &mut Effort<'_>,
    ) -> Option<Vec<(Pattern, f64)>> {
        let costs = self.costs();
        let mut own = vec![20.0; self.sorts.len()];
        own.resize(self.sorts.len() + mix.len(), 0.0);
        let mut programme = self.programme(mix, &own, &costs);
        for _ in 0..rounds {
            if !programme.run(|work| effort.spend(work)) && effort.ended() {
                return None;
            }
            let duals = programme.duals().to_vec();
            let mut priced = self.price(&duals, effort);
            if !self.extend(
                &mut programme,
                [&duals; 2],
                &mut priced,
                &costs,
                NEAR,
                effort,
            ) {
                break;
            }
        }
        if !programme.run(|work| effort.spend(work)) && effort.ended() {
            return None;
        }
        let covered = self.bought_alone(&programme).is_empty();
        covered.then(|| self.used(&programme))
    }

    /// What each kind of stick costs, the dearest 1.
    fn costs(&self) -> Vec<f64> {
        let costs = self.lot.kinds.iter().map(|kind| kind.cost);
        let dearest = costs.clone().max().unwrap_or(0).max(1) as f64;
        costs.map(|cost| cost as f64 / dearest).collect()
    }

    /// What a grain of each kind of stick costs, where it costs anything.
    fn rates(&self, costs: &[f64]) -> impl Iterator<Item = f64> {
        let rooms = costs.iter().zip(&self.coarse.rooms);
        let bought = rooms.filter(|(cost, room)| **cost > 0.0 && **room > 0);
        bought.map(|(cost, room)| cost / f64::from(*room))
    }

    /// What it costs at first to leave a piece without a stick: a little more than its share of one.
    fn own_costs(&self, costs: &[f64]) -> Vec<f64> {
        let rate = self.rates(costs).fold(0.0, f64::max);
        let sorts = self.sorts.iter();
        let mut own: Vec<f64> = sorts
            .map(|sort| 0.01 + 1.25 * rate * f64::from(sort.grains.least))
            .collect();
        own.resize(self.sorts.len() + costs.len(), 0.0);
        own
    }

    /// The sorts of which some is left without a stick.
    fn bought_alone(&self, programme: &Simplex) -> Vec<usize> {
        let used = programme.used().into_iter();
        let own = used.filter(|&(at, used)| at < self.sorts.len() && used > 1e-4);
        own.map(|(at, _)| at).collect()
    }

    /// Forgets the patterns that are far from being worth their sticks.
    fn keep_best(&mut self, duals: &[f64], costs: &[f64]) {
        let mut patterns = std::mem::take(&mut self.patterns);
        let lacks = |pattern: &Pattern| self.lacks(pattern, duals, costs);
        patterns.sort_by(|a, b| lacks(a).total_cmp(&lacks(b)));
        for pattern in patterns.split_off((4 * self.sorts.len()).min(patterns.len())) {
            self.known.remove(&pattern);
        }
        self.patterns = patterns;
    }

    /// What a pattern lacks in worth to what its stick costs.
    fn lacks(&self, pattern: &Pattern, duals: &[f64], costs: &[f64]) -> f64 {
        let set = pattern.set.iter();
        let worth: f64 = set.map(|&(sort, n)| duals[sort] * f64::from(n)).sum();
        costs[pattern.kind] - duals[self.sorts.len() + pattern.kind] - worth
    }

    /// Whether a mix can be had if patterns may be used in parts.
    pub fn possible(&mut self, mix: &Mix, effort: &mut Effort<'_>) -> Verdict {
        let takes = |sort: &Sort| f64::from(sort.grains.least.max(1));
        let most = self.sorts.iter().map(takes).fold(1.0, f64::max);
        let mut own: Vec<f64> = self.sorts.iter().map(|sort| takes(sort) / most).collect();
        own.resize(self.sorts.len() + mix.len(), 0.0);
        let costs = vec![0.0; mix.len()];
        let mut programme = self.programme(mix, &own, &costs);
        loop {
            if !programme.run(|work| effort.spend(work)) && effort.ended() {
                return Verdict::Unknown;
            }
            if programme.cost() < 1e-4 {
                return Verdict::Possible;
            }
            let duals = programme.duals().to_vec();
            let mut priced = self.price(&duals, effort);
            let found = self.extend(
                &mut programme,
                [&duals; 2],
                &mut priced,
                &costs,
                NEAR,
                effort,
            );
            if priced.cut.slack(mix) < 0 {
                return Verdict::Impossible(priced.cut);
            }
            if effort.ended() {
                return Verdict::Unknown;
            }
            if !found {
                // what is asked ever so little more than there is may be left without a stick
                return match programme.cost() < 1e-2 {
                    true => Verdict::Possible,
                    false => Verdict::Unknown,
                };
            }
        }
    }

    /// The programme of all patterns known, with so many sticks of each kind.
    fn programme(&self, counts: &[u32], own: &[f64], costs: &[f64]) -> Simplex {
        let sorts = self.sorts.len();
        let asked = self.sorts.iter().enumerate().map(|(at, sort)| {
            // ever so little more, so that no two columns leave at once
            sort.pieces.len() as f64 + 1e-7 * (1 + at * 7919 % 101) as f64
        });
        let right = asked.chain(counts.iter().map(|&count| f64::from(count)));
        let mut programme = Simplex::new(right.collect(), own);
        for row in 0..sorts {
            programme.add(Column {
                entries: vec![(row, -1.0)],
                cost: 0.0,
            });
        }
        let mut dice = Dice::new(self.flavour);
        for pattern in &self.patterns {
            let mut column = self.column(pattern, costs);
            if self.flavour > 0 {
                column.cost += 1e-5 * dice.below(100) as f64;
            }
            programme.add(column);
        }
        programme
    }

    fn column(&self, pattern: &Pattern, costs: &[f64]) -> Column {
        let set = pattern.set.iter();
        let mut entries: Vec<_> = set.map(|&(sort, n)| (sort, f64::from(n))).collect();
        entries.push((self.sorts.len() + pattern.kind, 1.0));
        Column {
            entries,
            cost: costs[pattern.kind],
        }
    }

    /// Turns the programme's values into integers and finds what each kind of stick is worth by them.
    fn price(&mut self, duals: &[f64], effort: &mut Effort<'_>) -> Priced {
        let top = self.coarse.top();
        let sorts = self.sorts.len();
        let each = self.sorts.iter().zip(duals);
        // no set can be worth more than its most valuable grain throughout
        let dense = each.map(|(sort, dual)| dual / f64::from(sort.grains.least.max(1)));
        let densest = dense.fold(1e-12, f64::max);
        let scale = f64::from(MOST_WORTH) / (densest * f64::from(top + 1));
        let worth: Vec<i32> = duals[..sorts]
            .iter()
            .map(|dual| (dual.max(0.0) * scale) as i32)
            .collect();
        let mut knapsack = self.knapsack.borrow_mut();
        effort.spend(knapsack.run(self.coarse, &self.sorts, &worth) * 3 / 4);
        let asks = self.sorts.iter().zip(&worth);
        let asks = asks.map(|(sort, &worth)| sort.pieces.len() as i64 * i64::from(worth));
        let rooms = self.coarse.rooms.iter();
        Priced {
            cut: Cut {
                holds: rooms.map(|&room| i64::from(knapsack.best(room))).collect(),
                asks: asks.sum(),
            },
            worth,
            scale,
        }
    }

    /// Adds patterns that are worth more than their sticks; whether there was one. Where there is none for a kind, its
    /// cut is sharpened: no stick of it is worth more than its price.
    fn extend(
        &mut self,
        programme: &mut Simplex,
        [priced_at, duals]: [&[f64]; 2],
        priced: &mut Priced,
        costs: &[f64],
        far: u64,
        effort: &mut Effort<'_>,
    ) -> bool {
        let mut any = false;
        for kind in (0..self.lot.kinds.len()).filter(|&kind| self.lot.kinds[kind].count > 0) {
            let price = (costs[kind] - priced_at[self.sorts.len() + kind] + NO_GAIN) * priced.scale;
            let price = price.max(0.0) as i64;
            if priced.cut.holds[kind] <= price {
                continue;
            }
            let (lot, sorts) = (self.lot, &self.sorts);
            let mut passes = |set: &Set| {
                let each = set.iter();
                let pieces = each.flat_map(|&(sort, n)| &sorts[sort].pieces[..n as usize]);
                let pieces: Vec<usize> = pieces.copied().collect();
                fits(lot, &pieces, lot.kinds[kind].length)
            };
            let room = self.coarse.rooms[kind];
            let knapsack = self.knapsack.borrow();
            let found = knapsack.find(sorts, &priced.worth, room, price, far, &mut passes);
            drop(knapsack);
            effort.spend(found.work);
            if found.sets.is_empty() && found.all {
                priced.cut.holds[kind] = price;
            }
            for set in found.sets {
                let pattern = Pattern { kind, set };
                let lacks = self.lacks(&pattern, duals, costs);
                if self.note(pattern.clone()) {
                    programme.add(self.column(&pattern, costs));
                    any |= lacks < -NO_GAIN / 2.0;
                }
            }
        }
        any
    }

    /// The patterns in use.
    fn used(&self, programme: &Simplex) -> Vec<(Pattern, f64)> {
        let first = 2 * self.sorts.len() + self.lot.kinds.len();
        let used = programme.used().into_iter().filter_map(|(at, used)| {
            let pattern = at.checked_sub(first)?;
            Some((self.patterns[pattern].clone(), used))
        });
        used.collect()
    }
}

/// The pieces' values as integers, and what follows from them.
struct Priced {
    cut: Cut,
    worth: Vec<i32>,
    /// What one unit of the programme's cost is in integers.
    scale: f64,
}
