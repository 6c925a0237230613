//! Stick mixes: how many of each kind of stick a plan takes. What any plan must satisfy is written as *cuts* on these
//! counts, and the mixes that satisfy all cuts are listed from the cheapest up. Where the cuts come from is left to
//! `bound` and `columns`, whether a mix can be packed to `refill`.
//!
//! # The idea
//!
//! Give each piece a value. If no stick of kind k can give pieces worth more than V(k) together, then the sticks of any
//! plan are worth at least what all pieces are worth: the sum of V(k) n(k) is no less. Each set of values gives such a
//! cut (Farkas 1902, as used for integer right hand sides by Gilmore and Gomory 1961); all numbers are integers, so a
//! mix that breaks one is impossible beyond doubt. The cheapest mix that breaks none bounds the cost of every plan from
//! below, and does so as a whole number of sticks, not as parts of them.

use super::stock::{Kind, Lot};

/// How many of each kind.
pub(super) type Mix = Vec<u32>;

/// The most mixes of one cost that are listed.
const MOST_LISTED: usize = 400;
/// The most counts that are tried in one search through the mixes.
const MOST_TRIED: u64 = 400_000;

/// What any plan must satisfy: its sticks hold no less than is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cut {
    /// What a stick of each kind holds at most.
    pub holds: Vec<i64>,
    /// What all pieces are worth.
    pub asks: i64,
}

impl Cut {
    /// By how much a mix holds more than is asked; below zero where it is impossible.
    pub fn slack(&self, mix: &[u32]) -> i128 {
        let held = self.holds.iter().zip(mix);
        let held: i128 = held.map(|(&h, &n)| i128::from(h) * i128::from(n)).sum();
        held - i128::from(self.asks)
    }

    /// The least cost of sticks, or parts of them, that satisfy it: the cheapest by what they hold are used up first
    /// (Dantzig 1957).
    pub fn least_cost(&self, lot: &Lot) -> i64 {
        let mut kinds: Vec<usize> = (0..lot.kinds.len())
            .filter(|&kind| self.holds[kind] > 0)
            .collect();
        let cost = |kind: usize| i128::from(lot.kinds[kind].cost);
        let holds = |kind: usize| i128::from(self.holds[kind]);
        kinds.sort_by(|&a, &b| (cost(a) * holds(b)).cmp(&(cost(b) * holds(a))));
        let (mut open, mut paid) = (i128::from(self.asks), 0);
        for kind in kinds {
            let count = i128::from(lot.kinds[kind].count);
            if open <= count * holds(kind) {
                // a part of a unit of money is a whole one
                let part = open.max(0) * cost(kind);
                paid += part / holds(kind) + i128::from(part % holds(kind) > 0);
                break;
            }
            open -= count * holds(kind);
            paid += count * cost(kind);
        }
        i64::try_from(paid).unwrap_or(i64::MAX)
    }
}

/// The mixes that satisfy all cuts.
#[derive(Debug, Clone)]
pub(super) struct Mixes<'a> {
    lot: &'a Lot,
    /// The kinds that cost something, those first that cost least for what they hold.
    bought: Vec<usize>,
    /// What every cost is a multiple of.
    step: i64,
    cuts: Vec<Cut>,
    /// Mixes that have been tried.
    closed: Vec<Mix>,
}

/// The mixes of one cost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Level {
    /// What they cost.
    pub cost: i64,
    /// The mixes, those with most room first; empty where there were too many to look through.
    pub mixes: Vec<Mix>,
    /// All mixes of this cost are listed.
    pub complete: bool,
}

impl<'a> Mixes<'a> {
    /// The mixes of a lot under these cuts.
    pub fn new(lot: &'a Lot, cuts: Vec<Cut>) -> Mixes<'a> {
        let mut bought: Vec<usize> = (0..lot.kinds.len())
            .filter(|&kind| lot.kinds[kind].cost > 0 && lot.kinds[kind].count > 0)
            .collect();
        bought.sort_by_key(|&kind| (lot.kinds[kind].count, -lot.kinds[kind].length));
        let costs = bought.iter().map(|&kind| lot.kinds[kind].cost);
        Mixes {
            lot,
            step: costs.fold(0, super::grain::divisor).max(1),
            bought,
            cuts,
            closed: Vec::new(),
        }
    }

    /// One more cut.
    pub fn add(&mut self, cut: Cut) {
        if !self.cuts.contains(&cut) {
            self.cuts.push(cut);
        }
    }

    /// A mix need not be listed again.
    pub fn close(&mut self, mix: Mix) {
        self.closed.push(mix);
    }

    /// Whether it breaks no cut.
    pub fn allows(&self, mix: &[u32]) -> bool {
        self.cuts.iter().all(|cut| cut.slack(mix) >= 0)
    }

    /// No plan costs less than this, as far as each cut tells alone.
    pub fn least_cost(&self) -> i64 {
        let least = self.cuts.iter().map(|cut| cut.least_cost(self.lot)).max();
        let least = least.unwrap_or(0);
        least.saturating_add((self.step - least % self.step) % self.step)
    }

    /// The cheapest mixes of at least `from` and less than `below` that break no cut and are not closed; none where
    /// there are none. Adds to the work done.
    pub fn next_level(&self, from: i64, below: i64, work: &mut u64) -> Option<Level> {
        let from = from.max(self.least_cost());
        if from >= below {
            return None;
        }
        let mut search = Search::new(self, from, below);
        search.run();
        *work += search.tried * self.cuts.len() as u64 * 4;
        if search.tried >= MOST_TRIED {
            return Some(Level {
                cost: from,
                mixes: Vec::new(),
                complete: false,
            });
        }
        let cost = search.best?;
        let room = |mix: &Mix| -> i128 {
            let sticks = (0..mix.len())
                .map(|kind| i128::from(mix[kind]) * i128::from(self.lot.room(kind).max(0)));
            -sticks.sum::<i128>()
        };
        let complete = search.found.len() < MOST_LISTED;
        search.found.sort_by_key(|mix| (room(mix), mix.clone()));
        Some(Level {
            cost,
            mixes: search.found,
            complete,
        })
    }
}

/// A walk through the counts of the kinds that cost something; of the others all are taken.
struct Search<'a> {
    mixes: &'a Mixes<'a>,
    from: i64,
    /// Nothing dearer is wanted; it comes down as cheaper mixes are found.
    best: Option<i64>,
    below: i64,
    found: Vec<Mix>,
    tried: u64,
    now: Mix,
    /// What each cut still asks.
    asks: Vec<i128>,
    /// For each place among the bought kinds and each cut, the least cost of a unit asked, by that kind or a later one:
    /// as cost and what is held for it.
    rates: Vec<Vec<(i64, i64)>>,
}

impl<'a> Search<'a> {
    fn new(mixes: &'a Mixes<'a>, from: i64, below: i64) -> Search<'a> {
        let lot = mixes.lot;
        let free = |kind: &Kind| if kind.cost == 0 { kind.count } else { 0 };
        let now: Mix = lot.kinds.iter().map(free).collect();
        let rates = (0..mixes.bought.len()).map(|from| {
            let cheapest = |cut: &Cut| {
                let kinds = mixes.bought[from..].iter();
                let kinds = kinds.filter(|&&kind| cut.holds[kind] > 0);
                let rates = kinds.map(|&kind| (lot.kinds[kind].cost, cut.holds[kind]));
                let cross = |a: i64, b: i64| i128::from(a) * i128::from(b);
                rates.min_by(|a, b| cross(a.0, b.1).cmp(&cross(b.0, a.1)))
            };
            let rates = mixes.cuts.iter().map(|cut| cheapest(cut).unwrap_or((0, 0)));
            rates.collect()
        });
        Search {
            from,
            best: None,
            below,
            found: Vec::new(),
            tried: 0,
            asks: mixes.cuts.iter().map(|cut| -cut.slack(&now)).collect(),
            now,
            rates: rates.collect(),
            mixes,
        }
    }

    fn run(&mut self) {
        if self.mixes.bought.is_empty() {
            if self.asks.iter().all(|&asks| asks <= 0) {
                self.take(0);
            }
            return;
        }
        self.walk(0, 0);
    }

    /// Tries every count of the kind at a place, the most first, with what the kinds before it cost.
    fn walk(&mut self, place: usize, paid: i64) {
        let mixes = self.mixes;
        let kind = mixes.bought[place];
        let (cost, count) = (mixes.lot.kinds[kind].cost, mixes.lot.kinds[kind].count);
        let limit = self.best.unwrap_or(self.below - 1);
        let affordable = ((limit - paid) / cost).clamp(0, i64::from(count));
        if place + 1 == mixes.bought.len() {
            self.last(kind, paid, affordable);
            return;
        }
        let dear = |search: &Search<'_>, paid: i64| {
            let rest = search.rest(place + 1);
            rest.is_none_or(|rest| {
                i128::from(paid) + rest > i128::from(search.best.unwrap_or(search.below - 1))
            })
        };
        let mut taken = affordable;
        self.take_of(kind, taken);
        while taken >= 0 && self.tried < MOST_TRIED {
            self.tried += 1;
            let now = paid + taken * cost;
            if !dear(self, now) {
                self.walk(place + 1, now);
            }
            if taken > 0 {
                self.take_of(kind, -1);
            }
            taken -= 1;
        }
        self.take_of(kind, -(taken + 1));
    }

    /// The last kind's count is what the cuts still ask, and more where the cost is to be no less than `from`.
    fn last(&mut self, kind: usize, paid: i64, affordable: i64) {
        self.tried += 1;
        let cost = self.mixes.lot.kinds[kind].cost;
        let mut least = i128::from((self.from - paid + cost - 1).max(0) / cost);
        for (cut, &asks) in self.mixes.cuts.iter().zip(&self.asks) {
            let holds = i128::from(cut.holds[kind]);
            match (asks > 0, holds > 0) {
                (false, _) => {}
                (true, true) => least = least.max((asks + holds - 1) / holds),
                (true, false) => return,
            }
        }
        let Ok(least) = i64::try_from(least) else {
            return;
        };
        for count in least..=affordable {
            self.now[kind] = count as u32;
            let open = !self.mixes.closed.contains(&self.now);
            if open {
                self.take(paid + count * cost);
            }
            self.now[kind] = 0;
            if open {
                break;
            }
        }
    }

    fn take(&mut self, cost: i64) {
        if cost < self.from || self.best.is_some_and(|best| cost > best) {
            return;
        }
        if self.best != Some(cost) {
            self.best = Some(cost);
            self.found.clear();
        }
        if self.found.len() < MOST_LISTED {
            self.found.push(self.now.clone());
        }
    }

    /// What is still asked costs at least this by the kinds from a place on; none where they cannot give it.
    fn rest(&self, place: usize) -> Option<i128> {
        let mut most = 0;
        for (&asks, &(cost, holds)) in self.asks.iter().zip(&self.rates[place]) {
            if asks > 0 {
                if holds == 0 {
                    return None;
                }
                let holds = i128::from(holds);
                most = most.max((asks * i128::from(cost) + holds - 1) / holds);
            }
        }
        Some(most)
    }

    fn take_of(&mut self, kind: usize, count: i64) {
        self.now[kind] = (i64::from(self.now[kind]) + count) as u32;
        for (asks, cut) in self.asks.iter_mut().zip(&self.mixes.cuts) {
            *asks -= i128::from(cut.holds[kind]) * i128::from(count);
        }
    }
}
