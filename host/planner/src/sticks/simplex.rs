//! The linear programme over patterns: how much of each pattern is used so that every sort of piece is covered and no
//! more of each kind of stick is used than there is. The revised primal simplex method with the inverse of the basis kept
//! in full (Dantzig and Orchard-Hays 1954): it is small, and needs no more. It reckons in floating point, plain
//! additions and multiplications in a fixed order, so every machine gets the same; nothing is proved by it, since values
//! are turned into integers before they count (see `columns`).

/// Smaller is nothing.
const NIL: f64 = 1e-9;
/// Steps until the inverse is made afresh.
const AFRESH: u32 = 120;

/// A column: what it gives to each row, and what one costs.
#[derive(Debug, Clone)]
pub(super) struct Column {
    pub entries: Vec<(usize, f64)>,
    pub cost: f64,
}

/// All columns, one behind the other.
#[derive(Debug, Clone, Default)]
struct Columns {
    entries: Vec<(u32, f64)>,
    /// Where each one's entries end.
    ends: Vec<usize>,
    costs: Vec<f64>,
}

impl Columns {
    fn add(&mut self, column: Column) {
        let entries = column.entries.into_iter();
        self.entries.extend(entries.map(|(row, x)| (row as u32, x)));
        self.ends.push(self.entries.len());
        self.costs.push(column.cost);
    }

    fn len(&self) -> usize {
        self.ends.len()
    }

    fn entries(&self, at: usize) -> &[(u32, f64)] {
        let from = at.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.entries[from..self.ends[at]]
    }

    /// What a column gives if each row's unit is worth so much.
    fn worth(&self, at: usize, values: &[f64]) -> f64 {
        let given = self.entries(at).iter();
        given.map(|&(row, x)| values[row as usize] * x).sum()
    }
}

/// A programme in the making: least cost such that every row comes to its right hand side. Its first columns are one
/// for each row, giving 1 to that row alone.
#[derive(Debug, Clone)]
pub(super) struct Simplex {
    rows: usize,
    columns: Columns,
    right: Vec<f64>,
    /// Column by column.
    inverse: Vec<f64>,
    basis: Vec<usize>,
    in_basis: Vec<bool>,
    /// How much of each basic column is used.
    used: Vec<f64>,
    /// What a unit more on each row's right hand side costs.
    duals: Vec<f64>,
    since_afresh: u32,
    work: u64,
}

impl Simplex {
    /// A programme with these right hand sides, none below 0; a row is met by its own column at this cost at first.
    pub fn new(right: Vec<f64>, own_costs: &[f64]) -> Simplex {
        let rows = right.len();
        let mut columns = Columns::default();
        for (row, &cost) in own_costs.iter().enumerate() {
            columns.add(Column {
                entries: vec![(row, 1.0)],
                cost,
            });
        }
        let mut simplex = Simplex {
            rows,
            columns,
            used: right.clone(),
            right,
            inverse: vec![0.0; rows * rows],
            basis: (0..rows).collect(),
            in_basis: vec![true; rows],
            duals: own_costs.to_vec(),
            since_afresh: 0,
            work: 0,
        };
        for row in 0..rows {
            simplex.inverse[row * rows + row] = 1.0;
        }
        simplex
    }

    /// One more column.
    pub fn add(&mut self, column: Column) {
        self.columns.add(column);
        self.in_basis.push(false);
    }

    /// How many columns there are.
    pub fn len(&self) -> usize {
        self.columns.len()
    }

    /// The work done since this was last asked.
    pub fn work(&mut self) -> u64 {
        std::mem::take(&mut self.work)
    }

    /// What a unit more on each row costs.
    pub fn duals(&self) -> &[f64] {
        &self.duals
    }

    /// What the columns in use cost together.
    #[cfg(test)]
    pub fn cost(&self) -> f64 {
        let basic = self.basis.iter().zip(&self.used);
        basic.map(|(&at, used)| self.columns.costs[at] * used).sum()
    }

    /// How much of each column is used, for those of which some is.
    pub fn used(&self) -> impl Iterator<Item = (usize, f64)> {
        let basic = self.basis.iter().zip(&self.used);
        let some = basic.filter(|(_, used)| **used > 1e-6);
        some.map(|(&at, &used)| (at, used))
    }

    /// Asks for other right hand sides, of the columns as they are exchanged by now. What they cost is as little as before,
    /// but some may be used less than not at all: those are exchanged first (the dual simplex method, Lemke 1954).
    pub fn ask(&mut self, right: Vec<f64>, mut go_on: impl FnMut(u64) -> bool) -> bool {
        self.right = right;
        self.used.fill(0.0);
        for (&right, inverse) in self.right.iter().zip(self.inverse.chunks(self.rows)) {
            for (used, x) in self.used.iter_mut().zip(inverse) {
                *used += right * x;
            }
        }
        self.work += (self.rows * self.rows) as u64;
        for _ in 0..10 * self.rows + 100 {
            let least = (0..self.rows).min_by(|&a, &b| self.used[a].total_cmp(&self.used[b]));
            let Some(row) = least.filter(|&row| self.used[row] < -NIL) else {
                return true;
            };
            let Some(entering) = self.entering_at(row) else {
                return true;
            };
            if self.since_afresh >= AFRESH {
                self.afresh();
                continue;
            }
            let direction = self.direction(entering);
            if direction[row] > -NIL {
                return true;
            }
            self.swap(row, entering, &direction);
            let work = self.work();
            if !go_on(work) {
                return false;
            }
        }
        true
    }

    /// The column that is to take the place of a basic one that is used less than not at all: that which makes it dearer
    /// least.
    fn entering_at(&mut self, row: usize) -> Option<usize> {
        let inverse = self.inverse.iter().skip(row).step_by(self.rows);
        let along: Vec<f64> = inverse.copied().collect();
        let mut best: Option<(f64, f64, usize)> = None;
        for at in (0..self.columns.len()).filter(|&at| !self.in_basis[at]) {
            let change = self.columns.worth(at, &along);
            if change > -1e-7 {
                continue;
            }
            let dearer = self.columns.costs[at] - self.columns.worth(at, &self.duals);
            let ratio = dearer.max(0.0) / -change;
            let better = best.is_none_or(|(least, most, _)| {
                ratio < least - NIL || (ratio < least + NIL && change < most)
            });
            if better {
                best = Some((ratio, change, at));
            }
        }
        self.work += 9 * self.columns.len() as u64;
        best.map(|(.., at)| at)
    }

    /// Exchanges columns until no other makes it cheaper. Returns false where it stops for another reason: at a limit,
    /// which no programme of this kind should reach, or because it may do no more work.
    pub fn run(&mut self, mut go_on: impl FnMut(u64) -> bool) -> bool {
        let limit = 40 * self.rows + 200;
        for _ in 0..limit {
            let Some(entering) = self.entering() else {
                return true;
            };
            if !self.exchange(entering) {
                return true;
            }
            let work = self.work();
            if !go_on(work) {
                return false;
            }
        }
        false
    }

    /// The column that makes it cheapest for each unit taken in.
    fn entering(&mut self) -> Option<usize> {
        let mut best = (-1e-7, None);
        for at in (0..self.columns.len()).filter(|&at| !self.in_basis[at]) {
            let gain = self.columns.costs[at] - self.columns.worth(at, &self.duals);
            if gain < best.0 {
                best = (gain, Some(at));
            }
        }
        self.work += 6 * self.columns.len() as u64;
        best.1
    }

    /// Takes a column into the basis; false where it changes nothing that is told apart.
    fn exchange(&mut self, entering: usize) -> bool {
        if self.since_afresh >= AFRESH {
            self.afresh();
        }
        let direction = self.direction(entering);
        let mut leaving: Option<(usize, f64)> = None;
        for row in 0..self.rows {
            if direction[row] > 1e-7 {
                let ratio = self.used[row].max(0.0) / direction[row];
                let better = leaving.is_none_or(|(best, least)| {
                    ratio < least - NIL || (ratio < least + NIL && direction[row] > direction[best])
                });
                if better {
                    leaving = Some((row, ratio));
                }
            }
        }
        if let Some((row, _)) = leaving {
            self.swap(row, entering, &direction);
        }
        leaving.is_some()
    }

    /// Puts a column in the place of a basic one.
    fn swap(&mut self, row: usize, entering: usize, direction: &[f64]) {
        let gain = self.columns.costs[entering] - self.columns.worth(entering, &self.duals);
        self.pivot(row, direction);
        let inverse = self.inverse.iter().skip(row).step_by(self.rows);
        for (dual, entry) in self.duals.iter_mut().zip(inverse) {
            *dual += gain * entry;
        }
        self.in_basis[self.basis[row]] = false;
        self.in_basis[entering] = true;
        self.basis[row] = entering;
        self.since_afresh += 1;
    }

    /// What a unit of a column takes of each basic one.
    fn direction(&mut self, at: usize) -> Vec<f64> {
        let mut direction = vec![0.0; self.rows];
        let entries = self.columns.entries(at);
        for &(row, x) in entries {
            let from = row as usize * self.rows;
            let inverse = &self.inverse[from..from + self.rows];
            for (to, from) in direction.iter_mut().zip(inverse) {
                *to += x * from;
            }
        }
        self.work += (entries.len() * self.rows) as u64;
        direction
    }

    fn pivot(&mut self, row: usize, direction: &[f64]) {
        let rows = self.rows;
        let by = direction[row];
        let change = |column: &mut [f64]| {
            let share = column[row] / by;
            if share != 0.0 {
                for (entry, along) in column.iter_mut().zip(direction) {
                    *entry -= share * along;
                }
                column[row] = share;
            }
            share != 0.0
        };
        let changed = self
            .inverse
            .chunks_mut(rows)
            .filter_map(|c| change(c).then_some(()));
        self.work += (changed.count() * rows) as u64;
        change(&mut self.used);
    }

    /// Makes inverse, use and duals anew from the basis, so that small errors do not add up.
    fn afresh(&mut self) {
        let rows = self.rows;
        self.inverse.fill(0.0);
        for row in 0..rows {
            self.inverse[row * rows + row] = 1.0;
        }
        self.used.clone_from(&self.right);
        let basis = std::mem::replace(&mut self.basis, (0..rows).collect());
        // own columns stand in their rows already; the others go where they weigh most
        let mut free = vec![true; rows];
        for &at in basis.iter().filter(|at| **at < rows) {
            free[at] = false;
        }
        self.in_basis.fill(false);
        for &at in basis.iter().filter(|at| **at >= rows) {
            let direction = self.direction(at);
            let weight = |row: &usize| direction[*row].abs();
            let open = (0..rows).filter(|&row| free[row]);
            let heaviest = open.max_by(|a, b| weight(a).total_cmp(&weight(b)));
            let Some(row) = heaviest.filter(|row| weight(row) > 1e-7) else {
                continue;
            };
            free[row] = false;
            self.pivot(row, &direction);
            self.basis[row] = at;
        }
        for &at in &self.basis {
            self.in_basis[at] = true;
        }
        for row in 0..rows {
            let inverse = &self.inverse[row * rows..(row + 1) * rows];
            let costs = self.basis.iter().map(|&at| self.columns.costs[at]);
            self.duals[row] = costs.zip(inverse).map(|(cost, x)| cost * x).sum();
        }
        self.since_afresh = 0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_programme_that_can_be_solved_on_paper() {
        // cover 10 and 7 by (1, 1) at 3, (2, 0) at 4 and (0, 1) at 2: 7 of the first and 1.5 of the second, 27
        let mut simplex = Simplex::new(vec![10.0, 7.0], &[100.0, 100.0]);
        for (entries, cost) in [
            (vec![(0, 1.0), (1, 1.0)], 3.0),
            (vec![(0, 2.0)], 4.0),
            (vec![(1, 1.0)], 2.0),
            (vec![(0, -1.0)], 0.0),
            (vec![(1, -1.0)], 0.0),
        ] {
            simplex.add(Column { entries, cost });
        }
        assert!(simplex.run(|_| true));
        assert!((simplex.cost() - 27.0).abs() < 1e-9);
        assert!((simplex.duals()[0] - 2.0).abs() < 1e-9);
        let before = simplex.used().count();
        simplex.afresh();
        let after = simplex.used().count();
        assert!((simplex.cost() - 27.0).abs() < 1e-9);
        assert_eq!(before, after);
    }

    #[test]
    fn other_right_hand_sides_cost_what_they_do_from_the_start() {
        let mut dice = crate::sticks::dice::Dice::new(3);
        for _ in 0..200 {
            let rows = 2 + dice.below(6);
            let mut right = || (0..rows).map(|_| dice.below(9) as f64).collect::<Vec<_>>();
            let (first, second) = (right(), right());
            let mut simplex = Simplex::new(first, &vec![9.0; rows]);
            let mut fresh = Simplex::new(second.clone(), &vec![9.0; rows]);
            for at in 0..3 * rows {
                // each gives a little of a few rows, and nothing may be too much
                let mut entries = vec![(at % rows, if at < rows { -1.0 } else { 1.0 })];
                for row in (0..rows).filter(|row| at >= rows && *row != at % rows) {
                    if dice.below(2) > 0 {
                        entries.push((row, dice.below(3) as f64));
                    }
                }
                let cost = if at < rows {
                    0.0
                } else {
                    1.0 + dice.below(5) as f64
                };
                for simplex in [&mut simplex, &mut fresh] {
                    simplex.add(Column {
                        entries: entries.clone(),
                        cost,
                    });
                }
            }
            assert!(simplex.run(|_| true) && fresh.run(|_| true));
            assert!(simplex.ask(second, |_| true) && simplex.run(|_| true));
            assert!((simplex.cost() - fresh.cost()).abs() < 1e-6);
        }
    }
}
