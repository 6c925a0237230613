//! The most valuable set of pieces that a stick can give, for every length of stick at once: the bounded knapsack problem
//! by dynamic programming (Bellman 1957) in whole grains, with open claims as states, so that pieces whose ends go
//! together count as they lie (see `grain`). Values are integers and nothing that fits is left out, so what is found
//! is an exact upper limit; a set it names may yet be a little too long. What the values are is left to `columns`.

use std::collections::BTreeSet;

use super::grain::{Coarse, Grains, PLANES};

/// So small that no sum of values reaches 0 from it.
const NOTHING: i32 = -(1 << 30);
/// The greatest sum of values that is reckoned with.
pub(super) const MOST_WORTH: i32 = 1 << 27;

/// What a search of the knapsack is about.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked<'a> {
    /// What a piece of each sort takes.
    pub grains: &'a [Grains],
    /// What one is worth.
    pub worth: &'a [i32],
    /// How many there are.
    pub counts: &'a [u32],
}

/// The tables of one run.
#[derive(Debug, Default)]
pub(super) struct Knapsack {
    cells: usize,
    /// The pieces in the order in which they were laid, by their sort.
    items: Vec<usize>,
    /// For each count of items and each set of open claims where its row begins in `values`, if it is looked at.
    rows: Vec<[Option<usize>; PLANES]>,
    /// Which of these are looked at, for each count of items.
    live: Vec<Vec<u8>>,
    /// The greatest value of a set that takes no more than so many grains.
    values: Vec<i32>,
}

impl Knapsack {
    /// Lays every sort, in the order of their turns, each as often as there are pieces of it. Returns the work done.
    pub fn run(&mut self, coarse: &Coarse, asked: Asked<'_>) -> u64 {
        let top = coarse.top();
        self.cells = top as usize + 1;
        self.items.clear();
        for (at, grains) in asked.grains.iter().enumerate() {
            if asked.worth[at] > 0 {
                let count = asked.counts[at].min(top / grains.least.max(1));
                self.items.extend(std::iter::repeat_n(at, count as usize));
            }
        }
        let order = |at: &usize| (asked.grains[*at].turn, asked.grains[*at].rank);
        self.items.sort_by_key(order);
        self.rows.clear();
        self.values.clear();
        let mut first = [None; PLANES];
        for &plane in coarse.starts() {
            first[plane] = Some(self.values.len());
            self.values.resize(self.values.len() + self.cells, 0);
        }
        self.rows.push(first);
        for at in 0..self.items.len() {
            let sort = self.items[at];
            self.add(at, &asked.grains[sort], asked.worth[sort]);
        }
        let live = |rows: &[Option<usize>; PLANES]| {
            let planes = 0..PLANES as u8;
            let live = planes.filter(|&plane| rows[usize::from(plane)].is_some());
            live.collect()
        };
        self.live = self.rows.iter().map(live).collect();
        self.values.len() as u64
    }

    /// Makes the rows after one more item.
    fn add(&mut self, at: usize, grains: &Grains, worth: i32) {
        let mut after: [Option<usize>; PLANES] = [None; PLANES];
        let before = self.rows[at];
        for (plane, row) in before.into_iter().enumerate() {
            let (Some(row), Some(open)) = (row, grains.before(plane as u8)) else {
                continue;
            };
            // without it
            self.lay(&mut after, usize::from(open), row, 0, 0);
            for way in grains.ways() {
                if let Some(target) = way.on(open) {
                    let takes = way.takes as usize;
                    self.lay(&mut after, usize::from(target), row, takes, worth);
                }
            }
        }
        self.rows.push(after);
    }

    /// Raises a row of the next layer to another row moved by what an item takes.
    fn lay(
        &mut self,
        after: &mut [Option<usize>; PLANES],
        target: usize,
        row: usize,
        takes: usize,
        worth: i32,
    ) {
        let to = match after[target] {
            Some(to) => to,
            None => {
                let to = self.values.len();
                self.values.resize(to + self.cells, NOTHING);
                after[target] = Some(to);
                to
            }
        };
        if takes >= self.cells {
            return;
        }
        let (done, open) = self.values.split_at_mut(to);
        let from = &done[row..row + self.cells - takes];
        for (to, from) in open[takes..self.cells].iter_mut().zip(from) {
            let with = from + worth;
            *to = if with > *to { with } else { *to };
        }
    }

    /// The greatest value of a set that takes no more than `room`.
    pub fn best(&self, room: u32) -> i32 {
        let cell = (room as usize).min(self.cells - 1);
        let last = self.rows.len() - 1;
        let values = self
            .settled()
            .filter_map(|plane| self.value(last, plane, cell));
        values.max().unwrap_or(0)
    }

    /// The sets of claims that are good after all items.
    fn settled(&self) -> impl Iterator<Item = usize> {
        let live = self.live.last().into_iter().flatten();
        let settled = live.filter(|&&plane| Grains::settled(plane));
        settled.map(|&plane| usize::from(plane))
    }

    /// Looks for sets that take no more than `room`, are worth more than `price` and pass a test, the most valuable ones
    /// first as the tables see it, until enough are found, there are no others, or so many steps
    /// are taken.
    pub fn find(
        &self,
        asked: Asked<'_>,
        room: u32,
        price: i64,
        far: u64,
        passes: &mut dyn FnMut(&Set) -> bool,
    ) -> Found {
        let mut walk = Walk {
            tables: self,
            asked,
            price,
            passes,
            taken: Vec::new(),
            tried: BTreeSet::new(),
            found: Vec::new(),
            nodes: 0,
            far,
        };
        let cell = (room as usize).min(self.cells - 1);
        for plane in self.settled() {
            walk.down(self.items.len(), plane, cell, 0);
        }
        Found {
            all: walk.nodes < far && walk.found.len() < ENOUGH,
            sets: walk.found,
            work: 60 * walk.nodes,
        }
    }

    fn value(&self, layer: usize, plane: usize, cell: usize) -> Option<i32> {
        let row = self.rows[layer][plane]?;
        Some(self.values[row + cell]).filter(|value| *value >= 0)
    }
}

/// So many of each sort.
pub(super) type Set = Vec<(usize, u32)>;

/// What a search found.
pub(super) struct Found {
    pub sets: Vec<Set>,
    /// There are no others.
    pub all: bool,
    pub work: u64,
}

/// So many sets are enough.
const ENOUGH: usize = 16;

/// A search back through the tables: what the rest can still be worth at most is read from them (branch and bound, Land
/// and Doig 1960).
struct Walk<'a> {
    tables: &'a Knapsack,
    asked: Asked<'a>,
    price: i64,
    passes: &'a mut dyn FnMut(&Set) -> bool,
    /// The items taken so far.
    taken: Vec<usize>,
    tried: BTreeSet<Set>,
    found: Vec<Set>,
    nodes: u64,
    far: u64,
}

impl Walk<'_> {
    /// Goes on from where the items from `layer` on are decided, the taken ones worth `so_far`.
    fn down(&mut self, mut layer: usize, mut plane: usize, mut cell: usize, so_far: i64) {
        let tables = self.tables;
        loop {
            if self.nodes >= self.far || self.found.len() >= ENOUGH {
                return;
            }
            self.nodes += 1;
            let Some(at) = layer.checked_sub(1) else {
                return self.arrive();
            };
            let sort = tables.items[at];
            let grains = &self.asked.grains[sort];
            let worth = i64::from(self.asked.worth[sort]);
            // of pieces that are alike the first are taken
            let forced = self.taken.last() == Some(&(at + 1)) && tables.items[at + 1] == sort;
            let mut ways: Vec<(i64, usize, usize, bool)> = Vec::new();
            for &source in &tables.live[at] {
                let Some(open) = grains.before(source) else {
                    continue;
                };
                let source = usize::from(source);
                let mut consider = |cell: usize, gain: i64, taken: bool| {
                    let rest = tables.value(at, source, cell).map(i64::from);
                    if let Some(rest) = rest.filter(|rest| so_far + gain + rest > self.price) {
                        ways.push((-(rest + gain), source, cell, taken));
                    }
                };
                if !forced && usize::from(open) == plane {
                    consider(cell, 0, false);
                }
                for way in grains.ways() {
                    if way.on(open) == Some(plane as u8) && cell >= way.takes as usize {
                        consider(cell - way.takes as usize, worth, true);
                    }
                }
            }
            ways.sort_unstable();
            let Some((last, others)) = ways.split_last() else {
                return;
            };
            if others.is_empty() && !last.3 {
                (layer, plane, cell) = (at, last.1, last.2);
                continue;
            }
            for &(_, source, cell, taken) in &ways {
                let gain = if taken { worth } else { 0 };
                if taken {
                    self.taken.push(at);
                }
                self.down(at, source, cell, so_far + gain);
                if taken {
                    self.taken.pop();
                }
            }
            return;
        }
    }

    /// Every item is decided.
    fn arrive(&mut self) {
        let mut set: Set = Vec::new();
        for &at in self.taken.iter().rev() {
            let sort = self.tables.items[at];
            match set.iter_mut().find(|(known, _)| *known == sort) {
                Some((_, count)) => *count += 1,
                None => set.push((sort, 1)),
            }
        }
        set.sort_unstable();
        if self.tried.insert(set.clone()) && (self.passes)(&set) {
            self.found.push(set);
        }
    }
}

#[cfg(test)]
mod tests {
    use shared_model::{Length, Side};

    use super::*;
    use crate::sticks::along::Laid;
    use crate::sticks::dice::Dice;
    use crate::sticks::draft::takes;
    use crate::sticks::stock::Lot;
    use crate::sticks::tests::level::{level, moulding, saw};

    #[test]
    fn what_fits_with_its_ends_together_is_never_left_out_and_a_wedge_too_much_mostly_is() {
        let stock = moulding(&[(16, None, None)], &[]);
        let (mut dice, mut loose) = (Dice::new(5), 0);
        for number in 0..6 {
            let blanks = level(150, number);
            let lay =
                |blank| Laid::of(blank, stock.thickness, saw().kerf, Length::ZERO, Side::Left);
            let mut laid: Vec<Laid> = blanks.iter().map(lay).collect();
            // ends of other leans than levels have, so that a rise can come down by several pieces
            for piece in laid.iter_mut().filter(|_| number > 2) {
                let mut lean = |lean: i64| lean * (1 + dice.below(4) as i64) / 2;
                (piece.near.lean, piece.far.lean) = (lean(piece.near.lean), lean(piece.far.lean));
            }
            let lot = Lot::of(&stock, &saw(), laid);
            let leaning: Vec<usize> = (0..150)
                .filter(|&p| lot.pieces[p].near.lean != 0 && lot.pieces[p].far.lean != 0)
                .collect();
            for _ in 0..300 {
                let mut set: Vec<usize> = (0..=dice.below(7)).map(|_| dice.below(150)).collect();
                set.extend((0..dice.below(4)).map(|_| leaning[dice.below(leaning.len())]));
                set.sort_unstable();
                set.dedup();
                // a stick that they just fit
                let taken = takes(&lot, &set) - lot.kerf + lot.trim;
                let mut tight = lot.clone();
                tight.kinds[0].length = taken;
                let coarse = Coarse::of(&tight);
                let grains: Vec<Grains> = set.iter().map(|&p| coarse.pieces[p]).collect();
                let (worth, counts) = (vec![1; set.len()], vec![1; set.len()]);
                let asked = Asked {
                    grains: &grains,
                    worth: &worth,
                    counts: &counts,
                };
                let mut knapsack = Knapsack::default();
                knapsack.run(&coarse, asked);
                let room = coarse.rooms[0];
                assert_eq!(knapsack.best(room), set.len() as i32, "{number} {set:?}");
                // a wedge less
                let less = room - (9144 * i64::from(room) / taken) as u32;
                loose += usize::from(knapsack.best(less) == set.len() as i32);
            }
        }
        assert!(loose < 300, "{loose} of 1800");
    }
}
