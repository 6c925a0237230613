//! How often the saw must be set anew at least for the pieces of a stick, whatever their order: what keeps the search for
//! the next stick short. Orders themselves are left to `order`.
//!
//! # The idea
//!
//! Take the settings of the saw as towns and each piece as a road from that of its near line to that of its far line.
//! Cutting a piece whose lines differ is one change; and so is every jump from where one piece ends to where another
//! begins. The fewest trails that use each road once (Euler 1741): in each part of the map that hangs together, as many
//! as more roads leave some towns than come in, and one at least.

use super::along::Line;
use super::draft::Draft;
use super::stock::Lot;

/// The fewest changes of the saw's setting for these pieces, coming from a cut along `from`. That they fit and are safe in
/// such an order is not asked.
pub(super) fn least_changes(lot: &Lot, pieces: &[usize], from: Option<Line>) -> u32 {
    let mut map = Map::default();
    let mut turns = 0;
    for piece in pieces.iter().map(|&piece| &lot.pieces[piece]) {
        map.add(piece.near, piece.far);
        turns += u32::from(piece.near != piece.far);
    }
    let jumps = map.trails().saturating_sub(1);
    turns + jumps + u32::from(from.is_some_and(|line| !map.may_begin_at(line)))
}

/// No order of the sticks and of the pieces in each sets the saw anew more seldom: no more seldom than the sticks do each
/// for itself, and than all pieces do if any could follow any.
pub(super) fn least_changes_of_all(lot: &Lot, draft: &Draft) -> u32 {
    let sticks = draft.sticks.iter();
    let each = sticks.clone().map(|s| least_changes(lot, &s.pieces, None));
    let pieces: Vec<usize> = sticks.flat_map(|s| s.pieces.iter().copied()).collect();
    each.sum::<u32>().max(least_changes(lot, &pieces, None))
}

/// Towns and roads.
#[derive(Default)]
struct Map {
    towns: Vec<Line>,
    /// How many more roads leave a town than come in.
    more: Vec<i32>,
    /// The least town of each town's part of the map.
    part: Vec<usize>,
}

impl Map {
    fn town(&mut self, line: Line) -> usize {
        let known = self.towns.iter().position(|&town| town == line);
        known.unwrap_or_else(|| {
            self.towns.push(line);
            self.more.push(0);
            self.part.push(self.part.len());
            self.part.len() - 1
        })
    }

    fn add(&mut self, near: Line, far: Line) {
        let (near, far) = (self.town(near), self.town(far));
        self.more[near] += 1;
        self.more[far] -= 1;
        let (a, b) = (self.part[near], self.part[far]);
        for part in &mut self.part {
            if *part == a.max(b) {
                *part = a.min(b);
            }
        }
    }

    /// How many trails must begin in a part because of its towns.
    fn begun(&self, part: usize) -> u32 {
        let towns = (0..self.towns.len()).filter(|&town| self.part[town] == part);
        towns
            .map(|town| self.more[town].max(0).unsigned_abs())
            .sum()
    }

    fn trails(&self) -> u32 {
        let parts = (0..self.towns.len()).filter(|&town| self.part[town] == town);
        parts.map(|part| self.begun(part).max(1)).sum()
    }

    /// Whether one of the fewest trails can begin at a line.
    fn may_begin_at(&self, line: Line) -> bool {
        let town = self.towns.iter().position(|&town| town == line);
        town.is_some_and(|town| self.more[town] > 0 || self.begun(self.part[town]) == 0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sticks::dice::Dice;
    use crate::sticks::order::changes;
    use crate::sticks::tests::level::{a_few, lot};

    /// The fewest changes of all orders of what is left to be cut after the pieces in `cut`.
    fn every_order(lot: &Lot, from: Option<Line>, cut: &mut Vec<usize>, left: &[usize]) -> u32 {
        if left.is_empty() {
            return changes(lot, cut, from);
        }
        let mut least = u32::MAX;
        for &piece in left {
            let others: Vec<usize> = left.iter().copied().filter(|&p| p != piece).collect();
            cut.push(piece);
            least = least.min(every_order(lot, from, cut, &others));
            cut.pop();
        }
        least
    }

    #[test]
    fn the_fewest_changes_are_those_of_the_best_of_all_orders() {
        let mut dice = Dice::new(3);
        for number in 0..4 {
            let lot = lot(number);
            for _ in 0..200 {
                let set = a_few(&mut dice);
                let before = &lot.pieces[dice.below(120)];
                for from in [None, Some(before.far)] {
                    let least = every_order(&lot, from, &mut Vec::new(), &set);
                    assert_eq!(least_changes(&lot, &set, from), least, "{set:?} {from:?}");
                }
            }
        }
    }

    #[test]
    fn two_sticks_need_no_fewer_changes_than_is_said_whichever_comes_first() {
        let (lot, mut dice, mut exact) = (lot(0), Dice::new(4), 0);
        for _ in 0..200 {
            let mut set: Vec<usize> = (0..2 + dice.below(4)).map(|_| dice.below(120)).collect();
            set.sort_unstable();
            set.dedup();
            let (some, others) = set.split_at(set.len() / 2);
            let mut draft = Draft::new(&lot);
            draft.take(0, some.to_vec());
            draft.take(0, others.to_vec());
            let least = [(some, others), (others, some)].map(|(first, second)| {
                let cut_first = orders(first).into_iter();
                let least = cut_first.map(|mut cut| every_order(&lot, None, &mut cut, second));
                least.min().expect("an order")
            });
            let (said, least) = (least_changes_of_all(&lot, &draft), least[0].min(least[1]));
            assert!(said <= least, "{said} {least} {set:?}");
            exact += u32::from(said == least);
        }
        assert!(exact > 100, "{exact}");
    }

    /// Every order of some pieces.
    fn orders(pieces: &[usize]) -> Vec<Vec<usize>> {
        let Some((&last, others)) = pieces.split_last() else {
            return vec![Vec::new()];
        };
        let shorter = orders(others).into_iter();
        let ways = shorter.flat_map(|order| {
            (0..=order.len()).map(move |at| {
                let mut order = order.clone();
                order.insert(at, last);
                order
            })
        });
        ways.collect()
    }
}
