//! How the ideas work together on the pieces of one moulding: first plans, a bound from the wood, better plans by packing
//! cheaper mixes of sticks, then the proof: mix after mix, the cheapest first, is refuted or packed. Each idea is in a
//! module of its own.

use super::best_fit::{best_fit, first_fit};
use super::bound::material_cuts;
use super::columns::Columns;
use super::cover::{Rest, Verdict};
use super::dive::dive;
use super::draft::{Draft, longest_first};
use super::effort::Effort;
use super::fill::Filler;
use super::grain::Coarse;
use super::leftover::{lengthen, most_left};
use super::lessons::teach;
use super::mixes::{Mix, Mixes};
use super::refill::{Limits, Packing, pack};
use super::stock::Lot;
use super::tighten::tighten;

/// Steps of effort for a first try at a mix, a step for so many pieces and no fewer than this.
const QUICK: u64 = 12;
const PIECES_A_QUICK_STEP: usize = 5;
/// Steps of effort for a try at a mix that the linear programme allows.
const THOROUGH: u64 = 400;
/// For more pieces than this a thorough try takes more, by the cube: so grows the work of a dive down to its end.
const FEW: u64 = 150;
/// Steps of effort to find a place for every piece where sticks are few.
const PLACING: u32 = 250;
/// How often a mix that is neither refuted nor packed is tried again.
const AGAIN: u64 = 6;
/// Tries for each stick that a step of effort allows, so that small levels do not try for ever.
const TRIES_A_STEP: usize = 10;
/// Mixes of one cost that are tried before the linear programme is asked.
const QUICK_TRIES: usize = 2;
/// The knapsack's tables are no larger than this.
const MOST_CELLS: u64 = 6_000_000;
/// More pieces than this are only placed one by one, and what is left over of their sticks gathered.
const MOST_REFILLED: usize = 1500;

/// What was found.
pub(super) struct Solved {
    /// The cheapest plan.
    pub draft: Draft,
    /// What is known of all others; none where a piece has no place.
    pub proved: Option<Proved>,
}

/// What no plan for the same pieces can do better.
pub(super) struct Proved {
    /// None costs less than this.
    pub bound: i64,
    /// No leftover of the same sticks is longer than this.
    pub most_left: i64,
}

impl Proved {
    /// For the pieces that a draft places, by their wood alone.
    pub fn by_wood(lot: &Lot, draft: &Draft) -> Proved {
        let placed = draft.sticks.iter().flat_map(|stick| &stick.pieces);
        let placed: Vec<usize> = placed.copied().collect();
        Proved {
            bound: Mixes::new(lot, material_cuts(lot, &placed)).least_cost(),
            most_left: most_left(lot, draft),
        }
    }
}

/// The cheapest plan found, and what no plan for the pieces it places can do better.
pub(super) fn solve(lot: &Lot, pieces: &[usize], effort: &mut Effort<'_>) -> Solved {
    let coarse = Coarse::of(lot);
    let draft = place(lot, &coarse, pieces);
    if !draft.unplaced.is_empty() {
        return Solved {
            draft,
            proved: None,
        };
    }
    let mut solver = Solver {
        lot,
        coarse: &coarse,
        draft,
        tries: 0,
    };
    let bound = solver.improve_and_prove(pieces, effort);
    effort.settle();
    let (draft, most_left) = match pieces.len() <= MOST_REFILLED {
        true => lengthen(lot, &coarse, &solver.draft, effort),
        false => (solver.draft.clone(), most_left(lot, &solver.draft)),
    };
    Solved {
        draft,
        proved: Some(Proved { bound, most_left }),
    }
}

/// A stick for each piece that was found one, whatever that costs. Where sticks are few, that is looked for with an effort
/// of its own: what has no place hangs on nothing else.
pub(super) fn place(lot: &Lot, coarse: &Coarse, pieces: &[usize]) -> Draft {
    let draft = first_plan(lot, coarse, pieces);
    if draft.unplaced.is_empty() || !is_wood_enough(lot, pieces) {
        return draft;
    }
    let mut solver = Solver {
        lot,
        coarse,
        draft,
        tries: 0,
    };
    solver.place_all(&mut Effort::new(PLACING, &mut |_| true));
    solver.draft
}

/// Whether all the sticks together are as long as the pieces: if not, there is no need to look.
fn is_wood_enough(lot: &Lot, pieces: &[usize]) -> bool {
    let needed: i64 = pieces.iter().map(|&piece| lot.pieces[piece].bare()).sum();
    let wider = lot.widest_kerf - lot.kerf;
    let kinds = lot.kinds.iter().enumerate();
    let there =
        kinds.map(|(number, kind)| i64::from(kind.count).saturating_mul(lot.room(number) + wider));
    needed <= there.fold(0, |sum, wood| sum.saturating_add(wood.max(0)))
}

struct Solver<'a> {
    lot: &'a Lot,
    coarse: &'a Coarse,
    /// The cheapest plan known.
    draft: Draft,
    /// How many packings were tried: each begins another sequence of draws.
    tries: u64,
}

impl Solver<'_> {
    /// Tries to place everything in all the sticks that there are.
    fn place_all(&mut self, effort: &mut Effort<'_>) {
        let mix: Mix = self.lot.kinds.iter().map(|kind| kind.count).collect();
        let sticks: u64 = mix.iter().map(|&count| u64::from(count)).sum();
        if sticks > MOST_REFILLED as u64 {
            return;
        }
        let start = Packing::of(self.lot, &mix, &self.draft);
        if let Some(mut draft) = self.pack(start, u64::from(PLACING), effort) {
            draft.shrink(self.lot);
            self.draft = draft;
        }
    }

    /// Packs; none where a piece is left without a place.
    fn pack(&mut self, start: Packing, steps: u64, effort: &mut Effort<'_>) -> Option<Draft> {
        self.tries += 1;
        let limits = Limits {
            number: self.tries,
            tries: steps as usize * TRIES_A_STEP,
            share: effort.share(steps),
        };
        let packed = pack(self.lot, self.coarse, start, limits, effort);
        packed.loose.is_empty().then(|| packed.draft(self.lot))
    }

    /// Packs a mix from the cheapest plan known, and takes it where it is cheaper.
    fn try_mix(&mut self, mix: &Mix, steps: u64, effort: &mut Effort<'_>) -> bool {
        let start = Packing::of(self.lot, mix, &self.draft);
        let draft = self.pack(start, steps, effort);
        draft.is_some_and(|draft| self.take(draft))
    }

    fn take(&mut self, draft: Draft) -> bool {
        let better = draft.cost(self.lot) < self.draft.cost(self.lot);
        if better {
            self.draft = draft;
        }
        better
    }

    fn cost(&self) -> i64 {
        self.draft.cost(self.lot)
    }

    /// Makes the plan cheaper and the bound higher until they meet or the effort ends. Returns the bound.
    fn improve_and_prove(&mut self, pieces: &[usize], effort: &mut Effort<'_>) -> i64 {
        let mut mixes = Mixes::new(self.lot, material_cuts(self.lot, pieces));
        let bound = self.level_at(&mixes, 0, effort);
        if bound < self.cost() && pieces.len() > MOST_REFILLED {
            tighten(self.lot, self.coarse, &mut self.draft, bound, effort);
        }
        if bound >= self.cost() || pieces.len() > MOST_REFILLED {
            return bound.min(self.cost());
        }
        self.come_down(&mixes, bound, effort);
        if bound >= self.cost() || effort.ended() {
            return bound.min(self.cost());
        }
        let mut columns = Columns::new(self.lot, self.coarse, pieces);
        if columns.size() > MOST_CELLS {
            return bound;
        }
        columns.learn(&self.draft);
        teach(&mut columns, self.lot, self.coarse, pieces, effort);
        for cut in columns.root(self.cost(), effort) {
            mixes.add(cut);
        }
        let bound = self.level_at(&mixes, bound, effort);
        if effort.ended() || bound >= self.cost() {
            return bound.min(self.cost());
        }
        self.come_down(&mixes, bound, effort);
        self.prove(mixes, columns, bound, effort)
    }

    /// The least cost of a mix that is still allowed, or the plan's own where there is none below it.
    fn level_at(&self, mixes: &Mixes<'_>, from: i64, effort: &mut Effort<'_>) -> i64 {
        let mut work = 0;
        let level = mixes.next_level(from, self.cost(), &mut work);
        effort.spend(work);
        level.map_or(self.cost(), |level| level.cost)
    }

    /// Tries to pack mixes between the bound and the plan's cost, first the cheapest, then dearer ones.
    fn come_down(&mut self, mixes: &Mixes<'_>, bound: i64, effort: &mut Effort<'_>) {
        let steps = QUICK.max((self.lot.pieces.len() / PIECES_A_QUICK_STEP) as u64);
        let mut target = bound;
        let mut work = 0;
        while let Some(level) = mixes.next_level(target, self.cost(), &mut work) {
            if !effort.spend(std::mem::take(&mut work)) {
                return;
            }
            for mix in level.mixes.iter().take(QUICK_TRIES) {
                if self.try_mix(mix, steps, effort) {
                    break;
                }
            }
            if effort.ended() || !level.complete {
                return;
            }
            // half of the way up, so that a better plan is found in few tries
            let way = (self.cost() - level.cost) / 2;
            target = level.cost.saturating_add(way.max(1));
        }
    }

    /// Refutes or packs mix after mix. Returns the bound: the cost of the cheapest mix that is neither.
    fn prove(
        &mut self,
        mut mixes: Mixes<'_>,
        mut columns: Columns<'_>,
        mut bound: i64,
        effort: &mut Effort<'_>,
    ) -> i64 {
        let mut open: Vec<(i64, Mix)> = Vec::new();
        let mut from = bound;
        let mut work = 0;
        while let Some(level) = mixes.next_level(from, self.cost(), &mut work) {
            from = level.cost;
            if open.is_empty() {
                bound = level.cost;
            }
            if !effort.spend(std::mem::take(&mut work)) || level.mixes.is_empty() {
                return bound;
            }
            for mix in level.mixes {
                if effort.ended() || self.cost() <= level.cost {
                    break;
                }
                if !mixes.allows(&mix) {
                    continue;
                }
                let mut rest = Rest::of(&columns, &mix, 0);
                match rest.verdict(&mut columns, true, effort.all(), effort) {
                    Verdict::Impossible(cut) => mixes.add(cut),
                    Verdict::Possible if self.dive(rest, &mut columns, effort) => {}
                    Verdict::Possible | Verdict::Unknown => {
                        mixes.close(mix.clone());
                        open.push((level.cost, mix));
                    }
                }
            }
            if effort.ended() {
                return bound.min(self.cost());
            }
        }
        self.try_again(&open, &mixes, &mut columns, effort);
        let allowed = open.iter().find(|(_, mix)| mixes.allows(mix));
        allowed
            .map_or(self.cost(), |(cost, _)| *cost)
            .min(self.cost())
    }

    /// Packs a mix from what a dive finds; whether that made the plan cheaper.
    fn dive(&mut self, rest: Rest, columns: &mut Columns<'_>, effort: &mut Effort<'_>) -> bool {
        let pieces: u64 = rest.open.iter().map(|&open| u64::from(open)).sum();
        let share = effort.share(THOROUGH * pieces.max(FEW).pow(3) / FEW.pow(3));
        let mix = rest.left.clone();
        let found = dive(rest, columns, share, effort);
        let start = Packing::of(self.lot, &mix, &found);
        let packed = self.pack(start, THOROUGH / 2, effort);
        packed.is_some_and(|draft| self.take(draft))
    }

    /// Dives again for the mixes that are neither refuted nor packed, each time another way.
    fn try_again(
        &mut self,
        open: &[(i64, Mix)],
        mixes: &Mixes<'_>,
        columns: &mut Columns<'_>,
        effort: &mut Effort<'_>,
    ) {
        for flavour in 1..=AGAIN {
            for (cost, mix) in open {
                if *cost < self.cost() && mixes.allows(mix) && !effort.ended() {
                    let mut rest = Rest::of(columns, mix, flavour);
                    if matches!(
                        rest.verdict(columns, true, effort.all(), effort),
                        Verdict::Possible
                    ) {
                        self.dive(rest, columns, effort);
                    }
                }
            }
        }
    }
}

/// The best of several first plans: by best and first fit with each kind of stick as the one that is opened, and by
/// filling stick after stick, the offcuts first or as they come.
fn first_plan(lot: &Lot, coarse: &Coarse, pieces: &[usize]) -> Draft {
    let mut pieces = pieces.to_vec();
    longest_first(lot, &mut pieces);
    let mut plans: Vec<Draft> = Vec::new();
    let mut filler = Filler::new(lot, coarse);
    let offcuts = lot.kinds.iter().any(|kind| kind.offcut);
    for offcuts_first in [true, false].into_iter().take(1 + usize::from(offcuts)) {
        let (mut draft, mut pool) = (Draft::new(lot), pieces.clone());
        if offcuts_first {
            filler.fill_offcuts(&mut draft, &mut pool);
        }
        filler.place(&mut draft, pool);
        draft.shrink(lot);
        plans.push(draft);
    }
    // many pieces fill their sticks well, and then the others cost more time than they are worth
    let filled = plans.iter().any(|draft| draft.unplaced.is_empty());
    if pieces.len() <= MOST_REFILLED || !filled {
        let mut openers: Vec<usize> = (0..lot.kinds.len())
            .filter(|&kind| !lot.kinds[kind].offcut)
            .collect();
        if openers.is_empty() {
            openers.push(0);
        }
        for opener in openers {
            plans.extend([best_fit, first_fit].map(|fit| fit(lot, &pieces, opener)));
        }
    }
    let best = plans.into_iter().min_by_key(|draft| draft.badness(lot));
    best.unwrap_or_else(|| Draft::new(lot))
}
