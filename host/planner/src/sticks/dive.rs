//! Packing a mix that can be had if patterns may be used in parts: patterns that are used as wholes are taken, then one of
//! those that give the longest piece left; what remains is solved again, and so on down, and back where it cannot be had
//! ("diving" with few choices at each level, after Belov and Scheithauer 2006). What finds no place is left to `refill`.

use super::columns::{Columns, Pattern};
use super::draft::{Draft, Taken};
use super::effort::{Effort, Share};
use super::grain::Coarse;
use super::mixes::Mix;
use super::order::fits;
use super::stock::Lot;

/// How nearly a pattern has to be used as a whole to be taken as one.
const NEARLY: f64 = 0.02;
/// How many patterns for the longest piece are tried at a level.
const WIDTH: usize = 5;
/// Rounds of looking for more patterns at a level.
const ROUNDS: usize = 8;

/// The best found on the way down: the sticks, and what has no place as unplaced.
pub(super) fn dive(
    lot: &Lot,
    coarse: &Coarse,
    mix: &Mix,
    columns: &mut Columns<'_>,
    share: Share,
    effort: &mut Effort<'_>,
) -> Draft {
    let mut dive = Dive {
        lot,
        coarse,
        share,
        best: Draft {
            unplaced: columns
                .sorts
                .iter()
                .flat_map(|s| s.pieces.clone())
                .collect(),
            ..Draft::new(lot)
        },
        least: i64::MAX,
    };
    if let Some(used) = columns.cheapest(mix, 4 * ROUNDS, effort) {
        let level = Level {
            taken: Vec::new(),
            left: mix.clone(),
        };
        dive.down(&level, columns, used, effort);
    }
    dive.best
}

struct Dive<'a> {
    lot: &'a Lot,
    coarse: &'a Coarse,
    share: Share,
    best: Draft,
    /// What the best leaves without a place.
    least: i64,
}

/// Where a dive is: sticks taken, and how many of each kind are left.
#[derive(Clone)]
struct Level {
    taken: Vec<Taken>,
    left: Mix,
}

impl Dive<'_> {
    /// Whether everything found a place.
    fn down(
        &mut self,
        level: &Level,
        columns: &Columns<'_>,
        mut used: Vec<(Pattern, f64)>,
        effort: &mut Effort<'_>,
    ) -> bool {
        let mut level = level.clone();
        let mut free: Vec<Vec<usize>> = columns.sorts.iter().map(|s| s.pieces.clone()).collect();
        used.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        for (pattern, amount) in &used {
            for _ in 0..(amount + NEARLY) as u32 {
                self.take(columns, pattern, &mut free, &mut level);
            }
        }
        if self.settle(&level, &free) {
            return true;
        }
        let open = (0..free.len()).filter(|&sort| !free[sort].is_empty());
        let Some(longest) = open.max_by_key(|&sort| self.lot.pieces[free[sort][0]].bare()) else {
            return true;
        };
        let gives = |pattern: &Pattern| {
            let mut set = pattern.set.iter();
            set.any(|&(sort, _)| sort == longest)
        };
        let choices = used.iter().filter(|(pattern, amount)| {
            amount.fract() > 1e-3 && amount.fract() < 1.0 - NEARLY && gives(pattern)
        });
        for (pattern, _) in choices.take(WIDTH) {
            if !self.share.spend(effort, 1000) {
                return false;
            }
            let (mut level, mut free) = (level.clone(), free.clone());
            if !self.take(columns, pattern, &mut free, &mut level) {
                continue;
            }
            if self.settle(&level, &free) {
                return true;
            }
            let rest: Vec<usize> = free.into_iter().flatten().collect();
            let mut below = Columns::new(self.lot, self.coarse, &rest);
            below.inherit(columns);
            let used = below.cheapest(&level.left, ROUNDS, effort);
            if used.is_some_and(|used| self.down(&level, &below, used, effort)) {
                return true;
            }
        }
        false
    }

    /// Keeps a level where it leaves least without a place; whether that is nothing.
    fn settle(&mut self, level: &Level, free: &[Vec<usize>]) -> bool {
        let unplaced = free.iter().flatten();
        let missing: i64 = unplaced.map(|&piece| self.lot.pieces[piece].bare()).sum();
        if missing < self.least {
            self.least = missing;
            self.best = Draft::new(self.lot);
            for stick in &level.taken {
                self.best.take(stick.kind, stick.pieces.clone());
            }
            self.best.unplaced = free.iter().flatten().copied().collect();
        }
        missing == 0
    }

    /// Takes a stick by a pattern, as far as there are pieces for it and they fit; whether there was any.
    fn take(
        &self,
        columns: &Columns<'_>,
        pattern: &Pattern,
        free: &mut [Vec<usize>],
        level: &mut Level,
    ) -> bool {
        if level.left[pattern.kind] == 0 {
            return false;
        }
        let mut pieces: Vec<usize> = Vec::new();
        for &(sort, count) in &pattern.set {
            let kept = free[sort].len().saturating_sub(count as usize);
            pieces.extend(free[sort].split_off(kept));
        }
        // part of a pattern may not fit where the whole did: a piece may have taken up another's wedge
        pieces.sort_by_key(|&piece| -self.lot.pieces[piece].bare());
        let length = self.lot.kinds[pattern.kind].length;
        while !pieces.is_empty() && !fits(self.lot, &pieces, length) {
            let shortest = pieces.pop();
            if let Some((piece, sort)) = shortest.and_then(|p| Some((p, columns.sort_of[p]?))) {
                free[sort].push(piece);
            }
        }
        if pieces.is_empty() {
            return false;
        }
        level.left[pattern.kind] -= 1;
        level.taken.push(Taken {
            kind: pattern.kind,
            pieces,
        });
        true
    }
}
