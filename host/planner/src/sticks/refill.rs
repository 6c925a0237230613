//! Packing pieces into given sticks: a few sticks are emptied and filled anew from their pieces and those that have no
//! place yet, and what comes of it is kept where no more is without a place and what is left over does not scatter much
//! more ("ruin and recreate", Schrimpf and others 2000, with the threshold accepting of Dueck and Scheuer 1990). Filling
//! all but the last of a few sticks to the brim drives what is left over into the last, until it is enough for a piece.
//! Which sticks are tried is left to `mixes`, how one is filled to `fill`.

use super::dice::Dice;
use super::draft::{Draft, Taken, takes};
use super::effort::{Effort, Share};
use super::fill::Filler;
use super::grain::Coarse;
use super::order::fits;
use super::stock::Lot;

/// The most pieces without a place that are taken into one try.
const MOST_LOOSE: usize = 14;
/// In half of the tries one in so many pieces is held back from a stick.
const THIN: usize = 6;
/// What a try costs beyond its sums, in simple operations.
const WORK_A_TRY: u64 = 1500;

/// A stick to be packed: its kind, and its length without what is to be left over of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Bin {
    pub kind: usize,
    pub length: i64,
    pub pieces: Vec<usize>,
}

/// Sticks to be packed, and the pieces that have no place in them yet.
#[derive(Debug, Clone)]
pub(super) struct Packing {
    pub bins: Vec<Bin>,
    pub loose: Vec<usize>,
}

impl Packing {
    /// The sticks of a mix (so many of each kind), with the pieces of a draft where their sticks are the same.
    pub fn of(lot: &Lot, mix: &[u32], draft: &Draft) -> Packing {
        let mut left = mix.to_vec();
        let mut packing = Packing {
            bins: Vec::new(),
            loose: draft.unplaced.clone(),
        };
        let mut fullest: Vec<&Taken> = draft.sticks.iter().collect();
        fullest.sort_by_key(|stick| stick.spare(lot));
        for stick in fullest {
            match left[stick.kind] {
                0 => packing.loose.extend(&stick.pieces),
                _ => {
                    left[stick.kind] -= 1;
                    packing.add(lot, stick.kind, stick.pieces.clone());
                }
            }
        }
        for (kind, &count) in left.iter().enumerate() {
            for _ in 0..count {
                packing.add(lot, kind, Vec::new());
            }
        }
        packing
    }

    /// The sticks of a draft as they are.
    pub fn as_is(lot: &Lot, draft: &Draft) -> Packing {
        let mut packing = Packing {
            bins: Vec::new(),
            loose: draft.unplaced.clone(),
        };
        for stick in &draft.sticks {
            packing.add(lot, stick.kind, stick.pieces.clone());
        }
        packing
    }

    /// Adds a stick.
    fn add(&mut self, lot: &Lot, kind: usize, pieces: Vec<usize>) {
        self.bins.push(Bin {
            kind,
            length: lot.kinds[kind].length,
            pieces,
        });
    }

    /// The packing as a draft.
    pub fn draft(self, lot: &Lot) -> Draft {
        let mut draft = Draft::new(lot);
        draft.unplaced = self.loose;
        for bin in self.bins.into_iter().filter(|bin| !bin.pieces.is_empty()) {
            draft.take(bin.kind, bin.pieces);
        }
        draft
    }

    fn missing(&self, lot: &Lot) -> i64 {
        let loose = self.loose.iter().map(|&piece| lot.pieces[piece].bare());
        loose.sum()
    }
}

/// How much is done for one packing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    /// Which sequence of draws.
    pub number: u64,
    /// How many tries for each stick.
    pub tries: usize,
    /// A share of the effort.
    pub share: Share,
}

/// Packs until every piece has a place or a limit is reached; the best packing found.
pub(super) fn pack(
    lot: &Lot,
    coarse: &Coarse,
    start: Packing,
    limits: Limits,
    effort: &mut Effort<'_>,
) -> Packing {
    let mut tries = limits.tries * start.bins.len();
    let mut search = Search::new(lot, coarse, start, limits.number);
    search.fill_empty();
    let mut best = search.now.clone();
    let mut least = best.missing(lot);
    let mut missing = least;
    let mut go_on = limits.share.spend(effort, search.filler.work());
    while go_on && least > 0 && tries > 0 {
        tries -= 1;
        missing = search.attempt(missing);
        if missing < least {
            least = missing;
            best.clone_from(&search.now);
        }
        go_on = (limits.share).spend(effort, search.filler.work() + WORK_A_TRY);
    }
    best
}

/// Packs sticks in which every piece has its place again and again, until one of them has as much to spare as is aimed
/// at for its kind (as [`Taken::spare`] counts it) or a limit is reached. The stick that is nearest to that never comes
/// to be farther from it.
pub(super) fn gather(
    lot: &Lot,
    coarse: &Coarse,
    start: Packing,
    limits: Limits,
    aims: &[i64],
    effort: &mut Effort<'_>,
) -> Packing {
    let mut tries = limits.tries * start.bins.len();
    let mut search = Search::new(lot, coarse, start, limits.number);
    let bins = search.now.bins.iter();
    search.aims = bins.map(|bin| aims[bin.kind] - search.beyond()).collect();
    search.gathers = true;
    search.find_roomiest();
    let mut go_on = !effort.ended();
    let open = |search: &Search<'_>| {
        let at = search.roomiest;
        at < search.spares.len() && search.spares[at] < search.aims[at]
    };
    while go_on && tries > 0 && open(&search) {
        tries -= 1;
        search.attempt(0);
        go_on = (limits.share).spend(effort, search.filler.work() + WORK_A_TRY);
    }
    search.now
}

struct Search<'a> {
    lot: &'a Lot,
    filler: Filler<'a>,
    dice: Dice,
    now: Packing,
    /// What each stick has to spare, but for what the trim and the last kerf change in it.
    spares: Vec<i64>,
    /// What each is to have; nothing where that is not asked.
    aims: Vec<i64>,
    /// The stick that has most, or that comes nearest to its aim.
    roomiest: usize,
    /// That one is not to have less.
    gathers: bool,
}

impl<'a> Search<'a> {
    fn new(lot: &'a Lot, coarse: &'a Coarse, start: Packing, number: u64) -> Search<'a> {
        let mut search = Search {
            lot,
            filler: Filler::new(lot, coarse),
            dice: Dice::new(number),
            spares: Vec::new(),
            aims: vec![0; start.bins.len()],
            now: start,
            roomiest: 0,
            gathers: false,
        };
        search.measure();
        search
    }

    fn measure(&mut self) {
        let bins = self.now.bins.iter();
        self.spares = bins
            .map(|bin| bin.length - takes(self.lot, &bin.pieces))
            .collect();
        self.find_roomiest();
    }

    fn find_roomiest(&mut self) {
        let roomiest = (0..self.spares.len()).max_by_key(|&at| self.spares[at] - self.aims[at]);
        self.roomiest = roomiest.unwrap_or(0);
    }

    /// What every stick has to spare beyond what is kept of it.
    fn beyond(&self) -> i64 {
        self.lot.kerf - self.lot.trim
    }

    /// Fills the sticks that hold nothing, the shortest first.
    fn fill_empty(&mut self) {
        let mut empty: Vec<usize> = (0..self.now.bins.len())
            .filter(|&at| self.now.bins[at].pieces.is_empty())
            .collect();
        empty.sort_by_key(|&at| self.now.bins[at].length);
        let mut loose = std::mem::take(&mut self.now.loose);
        super::draft::longest_first(self.lot, &mut loose);
        for at in empty {
            let bin = &mut self.now.bins[at];
            bin.pieces = self.filler.fullest(bin.length, bin.kind, &loose);
            loose.retain(|piece| !bin.pieces.contains(piece));
        }
        self.now.loose = loose;
        self.measure();
    }

    /// Fills a few sticks anew; what is then without a place, where `missing` was before.
    fn attempt(&mut self, missing: i64) -> i64 {
        let chosen = self.choose();
        let before: Vec<Vec<usize>> = (chosen.iter())
            .map(|&at| self.now.bins[at].pieces.clone())
            .collect();
        self.dice.shuffle(&mut self.now.loose);
        let kept = self.now.loose.len().saturating_sub(MOST_LOOSE);
        let loose = self.now.loose.split_off(kept);
        let mut pool: Vec<usize> = before.iter().flatten().chain(&loose).copied().collect();
        let spares: Vec<i64> = chosen.iter().map(|&at| self.spares[at]).collect();

        let thinned = self.dice.below(2) > 0;
        self.filler.thrifty = self.gathers && self.dice.below(2) > 0;
        for (turn, &at) in chosen.iter().enumerate() {
            self.dice.shuffle(&mut pool);
            let last = turn + 1 == chosen.len();
            let bin = &self.now.bins[at];
            let pieces = if last && fits(self.lot, &pool, bin.length) {
                pool.clone()
            } else if thinned && !last {
                // without a few of the pieces another set fills it best
                let kept = pool.iter().filter(|_| self.dice.below(THIN) > 0);
                let thin: Vec<usize> = kept.copied().collect();
                self.filler.fullest(bin.length, bin.kind, &thin)
            } else {
                self.filler.fullest(bin.length, bin.kind, &pool)
            };
            pool.retain(|piece| !pieces.contains(piece));
            self.spares[at] = self.now.bins[at].length - takes(self.lot, &pieces);
            self.now.bins[at].pieces = pieces;
        }
        let size = |pieces: &[usize]| -> i64 {
            let bare = pieces.iter().map(|&piece| self.lot.pieces[piece].bare());
            bare.sum()
        };
        let after = missing - size(&loose) + size(&pool);
        let now: Vec<i64> = chosen.iter().map(|&at| self.spares[at]).collect();
        let nearest = |spares: &[i64]| {
            let pairs = chosen.iter().zip(spares);
            pairs.map(|(&at, spare)| spare - self.aims[at]).max()
        };
        let scattered = match self.gathers {
            true => nearest(&now) < nearest(&spares),
            false => 16 * self.gathered(&now) < 15 * self.gathered(&spares),
        };
        // now and then a little more may be without a place, so that the search does not stick where it is
        let slip = match self.dice.below(64) {
            0 => missing / 4,
            _ => 0,
        };
        if after > missing + slip || (after == missing && scattered) {
            for ((&at, pieces), spare) in chosen.iter().zip(before).zip(spares) {
                self.now.bins[at].pieces = pieces;
                self.spares[at] = spare;
            }
            self.now.loose.extend(loose);
            return missing;
        }
        self.now.loose.extend(pool);
        self.find_roomiest();
        after
    }

    /// A few sticks, in the order in which they are filled; mostly the one with most left over is the last of them.
    fn choose(&mut self) -> Vec<usize> {
        let count = (2 + self.dice.below(3)).min(self.now.bins.len());
        let mut chosen = Vec::with_capacity(count);
        if self.dice.below(4) > 0 && !self.spares.is_empty() {
            chosen.push(self.roomiest);
        }
        while chosen.len() < count {
            let at = self.dice.below(self.now.bins.len());
            if !chosen.contains(&at) {
                chosen.push(at);
            }
        }
        chosen.reverse();
        chosen
    }

    /// How much of what is left over lies in one place.
    fn gathered(&self, spares: &[i64]) -> i128 {
        let beyond = self.beyond();
        let spares = spares.iter().map(|&spare| spare + beyond);
        spares.map(|spare| i128::from(spare.max(0)).pow(2)).sum()
    }
}
