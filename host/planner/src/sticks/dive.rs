//! Packing a mix that can be had if patterns may be used in parts: patterns that are used as wholes are taken, then one of
//! those that give the longest piece left; what remains is solved again, and so on down, and back where it cannot be had
//! ("diving" with few choices at each level, after Belov and Scheithauer 2006). What finds no place is left to `refill`.

use super::columns::{Columns, Pattern};
use super::cover::{Rest, Verdict};
use super::draft::{Draft, Taken};
use super::effort::{Effort, Share};
use super::order::fits;
use super::stock::Lot;

/// How nearly a pattern has to be used as a whole to be taken as one.
const NEARLY: f64 = 0.02;
/// How many patterns for the longest piece are tried at a level.
const WIDTH: usize = 5;

/// The best found on the way down: the sticks, and what has no place as unplaced.
pub(super) fn dive(
    rest: Rest,
    columns: &mut Columns<'_>,
    share: Share,
    effort: &mut Effort<'_>,
) -> Draft {
    let free = columns.sorts.clone();
    let mut dive = Dive {
        lot: columns.lot,
        share,
        best: Draft::new(columns.lot),
        least: i64::MAX,
    };
    let level = Level {
        taken: Vec::new(),
        free,
        rest,
    };
    dive.settle(&level);
    dive.down(level, columns, effort);
    dive.best
}

struct Dive<'a> {
    lot: &'a Lot,
    share: Share,
    best: Draft,
    /// What the best leaves without a place.
    least: i64,
}

/// Where a dive is.
#[derive(Clone)]
struct Level {
    /// Sticks taken.
    taken: Vec<Taken>,
    /// The pieces of each sort that have no place.
    free: Vec<Vec<usize>>,
    rest: Rest,
}

impl Dive<'_> {
    /// Whether everything found a place.
    fn down(
        &mut self,
        mut level: Level,
        columns: &mut Columns<'_>,
        effort: &mut Effort<'_>,
    ) -> bool {
        let used = level.rest.used(columns);
        for (pattern, amount) in &used {
            for _ in 0..(amount + NEARLY) as u32 {
                self.take(columns, pattern, &mut level);
            }
        }
        if self.settle(&level) {
            return true;
        }
        let open = (0..level.free.len()).filter(|&sort| !level.free[sort].is_empty());
        let Some(longest) = open.max_by_key(|&sort| self.lot.pieces[level.free[sort][0]].bare())
        else {
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
            let mut below = level.clone();
            if !self.take(columns, pattern, &mut below) {
                continue;
            }
            if self.settle(&below) {
                return true;
            }
            let verdict = below.rest.verdict(columns, false, self.share, effort);
            if matches!(verdict, Verdict::Possible) && self.down(below, columns, effort) {
                return true;
            }
        }
        false
    }

    /// Keeps a level where it leaves least without a place; whether that is nothing.
    fn settle(&mut self, level: &Level) -> bool {
        let unplaced = level.free.iter().flatten();
        let missing: i64 = unplaced.map(|&piece| self.lot.pieces[piece].bare()).sum();
        if missing < self.least {
            self.least = missing;
            self.best = Draft::new(self.lot);
            for stick in &level.taken {
                self.best.take(stick.kind, stick.pieces.clone());
            }
            self.best.unplaced = level.free.iter().flatten().copied().collect();
        }
        missing == 0
    }

    /// Takes a stick by a pattern, as far as there are pieces for it and they fit; whether there was any.
    fn take(&self, columns: &Columns<'_>, pattern: &Pattern, level: &mut Level) -> bool {
        if level.rest.left[pattern.kind] == 0 {
            return false;
        }
        let mut pieces: Vec<usize> = Vec::new();
        for &(sort, count) in &pattern.set {
            let kept = level.free[sort].len().saturating_sub(count as usize);
            pieces.extend(level.free[sort].split_off(kept));
        }
        // part of a pattern may not fit where the whole did: a piece may have taken up another's wedge
        pieces.sort_by_key(|&piece| -self.lot.pieces[piece].bare());
        let length = self.lot.kinds[pattern.kind].length;
        while !pieces.is_empty() && !fits(self.lot, &pieces, length) {
            let shortest = pieces.pop();
            if let Some((piece, sort)) = shortest.and_then(|p| Some((p, columns.sort_of[p]?))) {
                level.free[sort].push(piece);
            }
        }
        for (open, free) in level.rest.open.iter_mut().zip(&level.free) {
            *open = free.len() as u32;
        }
        if pieces.is_empty() {
            return false;
        }
        level.rest.left[pattern.kind] -= 1;
        level.taken.push(Taken {
            kind: pattern.kind,
            pieces,
        });
        true
    }
}
