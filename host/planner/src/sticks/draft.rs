//! A plan in the making: which pieces come from which stick, what it costs and how good it is. Their order within a
//! stick is left to `order`.

use super::mixes::Mix;
use super::order::fits;
use super::stock::Lot;

/// A stick in use.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Taken {
    /// What stick it is, as a place in [`Lot::kinds`].
    pub kind: usize,
    /// Its pieces, in no order.
    pub pieces: Vec<usize>,
}

impl Taken {
    /// What is left if the last kerf is a square cut's, in the order that wastes least; below zero at most by what the
    /// last kerf is wider.
    pub fn spare(&self, lot: &Lot) -> i64 {
        lot.room(self.kind) - takes(lot, &self.pieces)
    }

    /// Adds a piece if the stick can give it with the others.
    pub fn add(&mut self, lot: &Lot, piece: usize) -> bool {
        self.pieces.push(piece);
        let added = fits(lot, &self.pieces, lot.kinds[self.kind].length);
        if !added {
            self.pieces.pop();
        }
        added
    }
}

/// What a set of pieces takes with all its kerfs, in the order that wastes least.
pub(super) fn takes(lot: &Lot, pieces: &[usize]) -> i64 {
    let bare: i64 = pieces.iter().map(|&piece| lot.pieces[piece].bare()).sum();
    let safe = || pieces.iter().map(|&piece| lot.pieces[piece].safe()).sum();
    lot.leans
        .wedges(pieces)
        .map_or_else(safe, |wedges| bare + wedges)
}

/// A plan in the making.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Draft {
    /// The sticks in use; each can give its pieces.
    pub sticks: Vec<Taken>,
    /// How many there still are of each kind.
    pub left: Vec<u32>,
    /// Pieces without a stick.
    pub unplaced: Vec<usize>,
}

/// How good a plan is; the less the better: wood still to be found, cost, and the longest leftover (as far as it is
/// sure whatever the order within the stick) with its sign turned.
pub(super) type Badness = (i64, i64, i64);

impl Draft {
    /// Nothing taken, nothing placed.
    pub fn new(lot: &Lot) -> Draft {
        Draft {
            sticks: Vec::new(),
            left: lot.kinds.iter().map(|kind| kind.count).collect(),
            unplaced: Vec::new(),
        }
    }

    /// Takes a stick.
    pub fn take(&mut self, kind: usize, pieces: Vec<usize>) {
        self.left[kind] -= 1;
        self.sticks.push(Taken { kind, pieces });
    }

    /// Gives a stick back; its pieces are the caller's to place.
    pub fn give_back(&mut self, stick: usize) -> Taken {
        let taken = self.sticks.swap_remove(stick);
        self.left[taken.kind] += 1;
        taken
    }

    /// Gives back the sticks that give nothing.
    pub fn drop_unused(&mut self) {
        while let Some(unused) = self.sticks.iter().position(|s| s.pieces.is_empty()) {
            self.give_back(unused);
        }
    }

    /// How many of each kind are in use.
    pub fn mix(&self, lot: &Lot) -> Mix {
        let mut mix = vec![0; lot.kinds.len()];
        for stick in &self.sticks {
            mix[stick.kind] += 1;
        }
        mix
    }

    /// What the sticks in use cost.
    pub fn cost(&self, lot: &Lot) -> i64 {
        let costs = self.sticks.iter().map(|stick| lot.kinds[stick.kind].cost);
        costs.fold(0, i64::saturating_add)
    }

    /// What the pieces without a stick would take.
    pub fn missing(&self, lot: &Lot) -> i64 {
        let unplaced = self.unplaced.iter().map(|&piece| lot.pieces[piece].bare());
        unplaced.sum()
    }

    /// How good it is.
    pub fn badness(&self, lot: &Lot) -> Badness {
        let spares = self.sticks.iter().map(|stick| stick.spare(lot));
        (
            self.missing(lot),
            self.cost(lot),
            -spares.max().unwrap_or(0),
        )
    }

    /// Replaces each stick by the cheapest that can still give its pieces, those with most to spare first.
    pub fn shrink(&mut self, lot: &Lot) {
        let mut sticks: Vec<usize> = (0..self.sticks.len()).collect();
        sticks.sort_by_key(|&stick| -self.sticks[stick].spare(lot));
        for stick in sticks {
            let now = self.sticks[stick].kind;
            let cheaper = (0..lot.kinds.len()).filter(|&kind| {
                self.left[kind] > 0
                    && lot.kinds[kind].cost < lot.kinds[now].cost
                    && fits(lot, &self.sticks[stick].pieces, lot.kinds[kind].length)
            });
            if let Some(kind) = cheaper.min_by_key(|&kind| (lot.kinds[kind].cost, kind)) {
                self.left[kind] -= 1;
                self.left[now] += 1;
                self.sticks[stick].kind = kind;
            }
        }
    }
}

/// Pieces by what they take, the longest first.
pub(super) fn longest_first(lot: &Lot, pieces: &mut [usize]) {
    pieces.sort_by_key(|&piece| (-lot.pieces[piece].safe(), piece));
}
