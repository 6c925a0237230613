//! Proving: which values of the pieces give the sharpest cuts on stick mixes, and whether a mix can be had at all if
//! patterns may be used in parts. Column generation (Gilmore and Gomory 1961): a linear programme over the patterns known
//! so far gives each piece a value, a knapsack finds the pattern that is worth more than its stick, and so on until there
//! is none. The values are scaled and rounded to integers before the knapsack sees them, so that every round proves a
//! cut exactly, whatever was lost in floating point. Packing whole patterns is left to `dive` and `refill`.

use std::collections::{BTreeMap, BTreeSet};

use super::dice::Dice;
use super::draft::Draft;
use super::effort::Effort;
use super::grain::Coarse;
use super::grain::Grains;
use super::knapsack::{Asked, Knapsack, MOST_WORTH, Set};
use super::mixes::Cut;
use super::order::fits;
use super::simplex::{Column, Simplex};
use super::stock::Lot;

/// How near the values at which patterns are looked for stay to the best ones so far.
const SMOOTH: f64 = 0.6;
/// How many steps a search for patterns that fit takes at most.
const NEAR: u64 = 30_000;
/// How often patterns are looked for with ends that go together before the mixes are known for which that matters.
const EXACT_ROUNDS: usize = 8;
/// A gain below this is none.
const NO_GAIN: f64 = 1e-6;

/// What can be cut from one stick: so many of each sort.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Pattern {
    pub kind: usize,
    pub set: Vec<(usize, u32)>,
}

/// What patterns cost.
#[derive(Debug, Clone)]
pub(super) struct Costs {
    /// By their kind of stick.
    pub kinds: Vec<f64>,
    /// They are a little different for each number but 0, so that of equally cheap ways others are found.
    pub flavour: u64,
}

impl Costs {
    /// Of the pattern with a number.
    fn of(&self, number: usize, kind: usize) -> f64 {
        let more = match self.flavour {
            0 => 0,
            flavour => Dice::new(flavour << 32 | number as u64).below(100),
        };
        self.kinds[kind] + 1e-5 * more as f64
    }
}

/// How the pieces are seen by the knapsack.
#[derive(Debug)]
struct View {
    coarse: Coarse,
    /// What a piece of each sort takes.
    grains: Vec<Grains>,
}

/// Which view is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sight {
    /// Every piece takes what it takes whatever lies beside it: quick, but proves nothing.
    Plain,
    /// Ends that go together count as they lie; nothing that fits is left out.
    Exact,
}

/// The patterns known of some pieces of a lot.
#[derive(Debug)]
pub(super) struct Columns<'a> {
    pub lot: &'a Lot,
    views: [View; 2],
    /// The pieces of each sort: all that are alike.
    pub sorts: Vec<Vec<usize>>,
    /// The sort of each piece of the lot, where it is among the pieces.
    pub sort_of: Vec<Option<usize>>,
    pub patterns: Vec<Pattern>,
    known: BTreeSet<Pattern>,
    knapsack: Knapsack,
}

impl<'a> Columns<'a> {
    /// For these pieces, each pattern being a piece alone at first.
    pub fn new(lot: &'a Lot, coarse: &Coarse, pieces: &[usize]) -> Columns<'a> {
        let mut by_likeness: BTreeMap<(i64, i64, i64, i64, bool), usize> = BTreeMap::new();
        let mut sorts: Vec<Vec<usize>> = Vec::new();
        let mut sort_of = vec![None; lot.pieces.len()];
        for &piece in pieces {
            let laid = &lot.pieces[piece];
            let (near, far) = (laid.near.lean, laid.far.lean);
            let likeness = (laid.back, near, far, laid.kerf, laid.short);
            let sort = *by_likeness.entry(likeness).or_insert_with(|| {
                sorts.push(Vec::new());
                sorts.len() - 1
            });
            sorts[sort].push(piece);
            sort_of[piece] = Some(sort);
        }
        let views = [coarse.plain(), coarse.clone()].map(|coarse| View {
            grains: sorts.iter().map(|s| coarse.pieces[s[0]]).collect(),
            coarse,
        });
        Columns {
            lot,
            views,
            sorts,
            sort_of,
            patterns: Vec::new(),
            known: BTreeSet::new(),
            knapsack: Knapsack::default(),
        }
    }

    fn view(&self, sight: Sight) -> &View {
        &self.views[sight as usize]
    }

    /// How large the knapsack's tables are.
    pub fn size(&self) -> u64 {
        let pieces: usize = self.sorts.iter().map(Vec::len).sum();
        pieces as u64 * u64::from(self.view(Sight::Exact).coarse.top())
    }

    /// How many pieces there are of each sort.
    pub fn counts(&self) -> Vec<u32> {
        self.sorts.iter().map(|sort| sort.len() as u32).collect()
    }

    /// The least that a piece of a sort takes, in grains.
    pub fn least(&self, sort: usize) -> f64 {
        f64::from(self.view(Sight::Exact).grains[sort].least.max(1))
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

    /// Takes over patterns of the same sorts as far as there are the pieces for them and they can be cut.
    pub fn relearn(&mut self, patterns: Vec<Pattern>) {
        for pattern in patterns {
            let set = pattern.set.iter();
            let given: Option<Vec<&[usize]>> = set
                .map(|&(sort, n)| self.sorts.get(sort)?.get(..n as usize))
                .collect();
            let length = self.lot.kinds[pattern.kind].length;
            if given.is_some_and(|pieces| fits(self.lot, &pieces.concat(), length)) {
                self.note(pattern);
            }
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
        let kinds: Vec<u32> = self.lot.kinds.iter().map(|kind| kind.count).collect();
        let costs = self.costs();
        let mut own = self.own_costs(&costs);
        let mut cuts: Vec<(i64, Cut)> = Vec::new();
        loop {
            let mut programme = self.programme(&kinds, &own, &costs);
            for sight in [Sight::Plain, Sight::Exact] {
                self.descend(&mut programme, sight, &costs, enough, &mut cuts, effort);
            }
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
        sight: Sight,
        costs: &Costs,
        enough: i64,
        cuts: &mut Vec<(i64, Cut)>,
        effort: &mut Effort<'_>,
    ) {
        let counts = self.counts();
        // at first every piece is worth its share of the stick that costs least for what it holds
        let rate = self.rates(costs).fold(f64::MAX, f64::min);
        let mut centre: Vec<f64> = (0..self.sorts.len())
            .map(|s| rate * self.least(s))
            .collect();
        centre.resize(programme.duals().len(), 0.0);
        let mut highest: Option<i64> = None;
        let rounds = match sight {
            Sight::Plain => usize::MAX,
            Sight::Exact => EXACT_ROUNDS,
        };
        for _ in 0..rounds {
            if !programme.run(|work| effort.spend(work)) && effort.ended() {
                return;
            }
            let duals = programme.duals().to_vec();
            let mut found = false;
            for share in [SMOOTH, 0.0] {
                let both = centre.iter().zip(&duals);
                let smooth: Vec<f64> = both.map(|(c, d)| share * c + (1.0 - share) * d).collect();
                let mut priced = self.price(sight, &smooth, &counts, effort);
                found = self.extend(
                    programme,
                    [&smooth, &duals],
                    &mut priced,
                    costs,
                    NEAR,
                    effort,
                );
                let least = priced.cut.least_cost(self.lot);
                if highest.is_none_or(|highest| least > highest) {
                    highest = Some(least);
                    centre = smooth;
                }
                if sight == Sight::Exact {
                    cuts.push((-least, priced.cut));
                    cuts.sort_by_key(|(least, _)| *least);
                    cuts.truncate(3);
                    if least >= enough {
                        return;
                    }
                }
                if effort.ended() {
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

    /// What each kind of stick costs, the dearest 1.
    fn costs(&self) -> Costs {
        let costs = self.lot.kinds.iter().map(|kind| kind.cost);
        let dearest = costs.clone().max().unwrap_or(0).max(1) as f64;
        Costs {
            kinds: costs.map(|cost| cost as f64 / dearest).collect(),
            flavour: 0,
        }
    }

    /// What a grain of each kind of stick costs, where it costs anything.
    fn rates(&self, costs: &Costs) -> impl Iterator<Item = f64> {
        let rooms = costs
            .kinds
            .iter()
            .zip(&self.view(Sight::Exact).coarse.rooms);
        let bought = rooms.filter(|(cost, room)| **cost > 0.0 && **room > 0);
        bought.map(|(cost, room)| cost / f64::from(*room))
    }

    /// What it costs at first to leave a piece without a stick: a little more than its share of one.
    fn own_costs(&self, costs: &Costs) -> Vec<f64> {
        let rate = self.rates(costs).fold(0.0, f64::max);
        let share = |sort| 0.01 + 1.25 * rate * self.least(sort);
        let mut own: Vec<f64> = (0..self.sorts.len()).map(share).collect();
        own.resize(self.sorts.len() + costs.kinds.len(), 0.0);
        own
    }

    /// The sorts of which some is left without a stick.
    fn bought_alone(&self, programme: &Simplex) -> Vec<usize> {
        let own = programme
            .used()
            .filter(|&(at, used)| at < self.sorts.len() && used > 1e-4);
        own.map(|(at, _)| at).collect()
    }

    /// Forgets the patterns that are far from being worth their sticks.
    fn keep_best(&mut self, duals: &[f64], costs: &Costs) {
        let mut patterns = std::mem::take(&mut self.patterns);
        let lacks = |pattern: &Pattern| self.lacks(pattern, duals, costs);
        patterns.sort_by(|a, b| lacks(a).total_cmp(&lacks(b)));
        for pattern in patterns.split_off((4 * self.sorts.len()).min(patterns.len())) {
            self.known.remove(&pattern);
        }
        self.patterns = patterns;
    }

    /// What a pattern lacks in worth to what its stick costs.
    fn lacks(&self, pattern: &Pattern, duals: &[f64], costs: &Costs) -> f64 {
        let set = pattern.set.iter();
        let worth: f64 = set.map(|&(sort, n)| duals[sort] * f64::from(n)).sum();
        costs.kinds[pattern.kind] - duals[self.sorts.len() + pattern.kind] - worth
    }

    /// The programme of all patterns known, with so many sticks of each kind.
    pub fn programme(&self, kinds: &[u32], own: &[f64], costs: &Costs) -> Simplex {
        let sorts = self.sorts.len();
        let mut programme = Simplex::new(self.right(&self.counts(), kinds), own);
        for row in 0..sorts {
            programme.add(Column {
                entries: vec![(row, -1.0)],
                cost: 0.0,
            });
        }
        self.catch_up(&mut programme, costs);
        programme
    }

    /// What a programme is asked for: so many pieces of each sort, no more than so many sticks of each kind.
    pub fn right(&self, counts: &[u32], kinds: &[u32]) -> Vec<f64> {
        let asked = counts.iter().enumerate().map(|(at, &count)| {
            // ever so little less, so that no two columns leave at once and what can be had just so can be had
            f64::from(count) - 1e-7 * (1 + at * 7919 % 101) as f64
        });
        asked.chain(kinds.iter().map(|&k| f64::from(k))).collect()
    }

    /// Adds the patterns that have become known since.
    pub fn catch_up(&self, programme: &mut Simplex, costs: &Costs) {
        let first = 2 * self.sorts.len() + self.lot.kinds.len();
        let known = programme.len() - first;
        for (number, pattern) in self.patterns.iter().enumerate().skip(known) {
            let set = pattern.set.iter();
            let mut entries: Vec<_> = set.map(|&(sort, n)| (sort, f64::from(n))).collect();
            entries.push((self.sorts.len() + pattern.kind, 1.0));
            programme.add(Column {
                entries,
                cost: costs.of(number, pattern.kind),
            });
        }
    }

    /// Turns the programme's values into integers and finds what each kind of stick is worth by them, if so many pieces of
    /// each sort are open.
    pub fn price(
        &mut self,
        sight: Sight,
        duals: &[f64],
        open: &[u32],
        effort: &mut Effort<'_>,
    ) -> Priced {
        let View { coarse, grains } = &self.views[sight as usize];
        let sorts = (0..self.sorts.len()).filter(|&sort| open[sort] > 0);
        // no set can be worth more than its most valuable grain throughout
        let dense = sorts.map(|sort| duals[sort] / f64::from(grains[sort].least.max(1)));
        let densest = dense.fold(1e-12, f64::max);
        let scale = f64::from(MOST_WORTH) / (densest * f64::from(coarse.top() + 1));
        let worth = open.iter().zip(duals).map(|(&open, dual)| match open {
            0 => 0,
            _ => (dual.max(0.0) * scale) as i32,
        });
        let worth: Vec<i32> = worth.collect();
        let asked = Asked {
            grains,
            worth: &worth,
            counts: open,
        };
        effort.spend(self.knapsack.run(coarse, asked) * 3 / 4);
        let asks = open.iter().zip(&worth);
        let asks = asks.map(|(&open, &worth)| i64::from(open) * i64::from(worth));
        let rooms = coarse.rooms.iter();
        Priced {
            cut: Cut {
                holds: rooms
                    .map(|&room| i64::from(self.knapsack.best(room)))
                    .collect(),
                asks: asks.sum(),
            },
            sight,
            open: open.to_vec(),
            worth,
            scale,
        }
    }

    /// Adds patterns that are worth more than their sticks; whether there was one. Where there is none for a kind, its
    /// cut is sharpened: no stick of it is worth more than its price.
    pub fn extend(
        &mut self,
        programme: &mut Simplex,
        [priced_at, duals]: [&[f64]; 2],
        priced: &mut Priced,
        costs: &Costs,
        far: u64,
        effort: &mut Effort<'_>,
    ) -> bool {
        let mut any = false;
        self.catch_up(programme, costs);
        for kind in (0..self.lot.kinds.len()).filter(|&kind| self.lot.kinds[kind].count > 0) {
            let price =
                (costs.kinds[kind] - priced_at[self.sorts.len() + kind] + NO_GAIN) * priced.scale;
            let price = price.max(0.0) as i64;
            if priced.cut.holds[kind] <= price {
                continue;
            }
            let (lot, sorts) = (self.lot, &self.sorts);
            let mut passes = |set: &Set| {
                let each = set.iter();
                let pieces = each.flat_map(|&(sort, n)| &sorts[sort][..n as usize]);
                let pieces: Vec<usize> = pieces.copied().collect();
                fits(lot, &pieces, lot.kinds[kind].length)
            };
            let View { coarse, grains } = &self.views[priced.sight as usize];
            let asked = Asked {
                grains,
                worth: &priced.worth,
                counts: &priced.open,
            };
            let room = coarse.rooms[kind];
            let found = self.knapsack.find(asked, room, price, far, &mut passes);
            effort.spend(found.work);
            if found.sets.is_empty() && found.all {
                priced.cut.holds[kind] = price;
            }
            for set in found.sets {
                let pattern = Pattern { kind, set };
                let lacks = self.lacks(&pattern, duals, costs);
                if self.note(pattern) {
                    any |= lacks < -NO_GAIN / 2.0;
                }
            }
        }
        self.catch_up(programme, costs);
        any
    }

    /// The patterns in use.
    pub fn used<'b>(&'b self, programme: &'b Simplex) -> impl Iterator<Item = (&'b Pattern, f64)> {
        let first = 2 * self.sorts.len() + self.lot.kinds.len();
        programme.used().filter_map(move |(at, used)| {
            let pattern = at.checked_sub(first)?;
            Some((&self.patterns[pattern], used))
        })
    }
}

/// The pieces' values as integers, and what follows from them.
pub(super) struct Priced {
    pub cut: Cut,
    sight: Sight,
    open: Vec<u32>,
    worth: Vec<i32>,
    /// What one unit of the programme's cost is in integers.
    scale: f64,
}
