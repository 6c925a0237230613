//! Which stick each piece of one moulding is cut from, in which order and with which cuts, and what that costs against
//! the least it can cost. What the pieces are, and how several mouldings make one list, is left to the rest of the
//! planner.
//!
//! One idea a file: `along` (geometry along a stick), `wedges` (what ends waste between them), `order` (order within a
//! stick), `stock` and `draft` (what is worked on), `grain`, `sums`, `fill` and `best_fit` (first plans), `refill`
//! (packing given sticks), `mixes` and `bound` (which sticks a plan must take at least), `knapsack`, `simplex`, `columns`,
//! `lessons`, `cover` and `dive` (the proof), `tighten` (very many sticks), `solve` (how they work together), `leftover` (one long
//! leftover), `sequence` and `trails` (few changes of the saw's setting), `effort` (work, counted), `check` (that a plan is good),
//! `places` (where the pieces of a finished plan lie). Everything is decided in whole units of [`Length`] and counted,
//! so that the same pieces and the same effort always give the same plan.

mod along;
mod best_fit;
mod bound;
pub mod check;
mod columns;
mod cover;
mod dice;
mod dive;
mod draft;
mod effort;
mod fill;
mod grain;
mod knapsack;
mod leftover;
mod lessons;
mod mixes;
mod order;
mod places;
mod refill;
mod sequence;
mod simplex;
mod solve;
mod stock;
mod sums;
#[cfg(test)]
pub(crate) mod tests;
mod tighten;
mod trails;
mod wedges;
mod wishes;

use shared_model::{Length, PieceEnd, Posture, Side};

use crate::plan::{CutEnd, Stick, StickCut};
use crate::walk::{MouldingStock, Saw};
use along::{Front, Laid};
use draft::Draft;
pub use effort::Effort;
pub(crate) use places::left_after;
pub use places::{EndLine, OnStick, places};
use stock::Lot;
pub use wishes::Wishes;

/// What is to be planned: the pieces of one moulding and what there is to cut them from.
#[derive(Debug, Clone, Copy)]
pub struct Task<'a> {
    /// The moulding's number in the plan.
    pub number: usize,
    /// The moulding and its sticks.
    pub moulding: &'a MouldingStock,
    /// The saw.
    pub saw: &'a Saw,
    /// The pieces.
    pub blanks: &'a [Blank],
    /// The number of each piece's room, or nothing where no order by rooms is asked for.
    pub rooms: &'a [usize],
    /// What is asked beyond that.
    pub wishes: Wishes,
}

/// A piece as the stick planner sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Blank {
    /// The piece, as a place in [`Plan::pieces`](crate::plan::Plan::pieces).
    pub piece: usize,
    /// Along the back.
    pub length: Length,
    /// The installed left end.
    pub left: PieceEnd,
    /// The installed right end.
    pub right: PieceEnd,
}

impl Blank {
    const fn end(&self, installed: Side) -> PieceEnd {
        match installed {
            Side::Left => self.left,
            Side::Right => self.right,
        }
    }
}

impl<'a> Task<'a> {
    /// What a checker has to know of it.
    pub fn asked(&self) -> check::Asked<'a> {
        check::Asked {
            moulding: self.moulding,
            saw: self.saw,
            blanks: self.blanks,
        }
    }
}

/// How the pieces of one moulding come from sticks.
#[derive(Debug, Clone, PartialEq)]
pub struct SticksPlan {
    /// The sticks, numbered from 1 within this moulding, in the order in which they are cut: offcuts first.
    pub sticks: Vec<Stick>,
    /// The installed end of every piece that lies at its stick's fresh end and is cut first.
    pub first: Side,
    /// For each blank the installed end that is made by the cut of the piece before it on the stick, if one is.
    pub shared: Vec<Option<Side>>,
    /// The pieces ([`Blank::piece`]) that no stick could give: too long, or too many for the sticks there are, or cut
    /// away altogether by their own ends.
    pub unplaced: Vec<usize>,
    /// What the sticks cost: ten-thousandths of the price's unit, or units of [`Length`] where a kind of stick has no
    /// price.
    pub cost: i64,
    /// What any plan for the pieces that are placed must cost at least, in the same unit.
    pub bound: i64,
    /// How often the saw is set anew on the way through the list.
    pub changes: u32,
    /// The same if only that counted, and for the same sticks each cut in the order of the list of pieces.
    pub other_changes: OtherChanges,
    /// The longest leftover, and what it could be at most with the same sticks.
    pub leftover: [Length; 2],
    /// The short pieces ([`Blank::piece`]) that come off while less remains than the saw's rule ([`Saw::hold`]) asks: no
    /// stick that there is could give them with more.
    pub short_holds: Vec<usize>,
}

impl SticksPlan {
    /// No stick for any piece.
    pub(crate) fn nothing(blanks: &[Blank], first: Side) -> SticksPlan {
        SticksPlan {
            sticks: Vec::new(),
            first,
            shared: vec![None; blanks.len()],
            unplaced: blanks.iter().map(|blank| blank.piece).collect(),
            cost: 0,
            bound: 0,
            changes: 0,
            other_changes: OtherChanges::default(),
            leftover: [Length::ZERO; 2],
            short_holds: Vec::new(),
        }
    }
}

/// How often the saw would be set anew in other orders of the same sticks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct OtherChanges {
    /// In the order that sets it most seldom, rooms or not.
    pub steady: u32,
    /// No order of the sticks and of the pieces in each sets it more seldom.
    pub at_least: u32,
    /// With the pieces of each stick as the list has them.
    pub as_listed: u32,
}

/// What of a moulding's pieces no stick gives, and which cannot be held.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lacking {
    /// As in [`SticksPlan::unplaced`].
    pub unplaced: Vec<usize>,
    /// As in [`SticksPlan::short_holds`].
    pub short_holds: Vec<usize>,
}

/// What [`plan_sticks`] cannot place or hold, with whatever effort, without looking for the cheapest sticks.
pub fn lacking(task: &Task<'_>) -> Lacking {
    let mut lot = lot_of(task);
    let (possible, impossible): (Vec<usize>, Vec<usize>) =
        (0..task.blanks.len()).partition(|&p| lot.can_give(p));
    let mut lacking = Lacking {
        unplaced: impossible.iter().map(|&p| task.blanks[p].piece).collect(),
        short_holds: Vec::new(),
    };
    if possible.iter().all(|&piece| lot.has_plenty(piece)) {
        return lacking;
    }
    let mut draft = solve::place(&lot, &grain::Coarse::of(&lot), &possible);
    if !draft.unplaced.is_empty() {
        let let_off = place_by_force(&mut lot, &mut draft);
        let plan = laid_out(task, &lot, &draft, &let_off);
        (lacking.unplaced, lacking.short_holds) = (plan.unplaced, plan.short_holds);
    }
    lacking
}

/// Plans the sticks of one moulding. Offcuts in hand cost nothing; like bought sticks they are trimmed at their fresh
/// end.
///
/// The rule for short pieces ([`Saw::hold`]) is broken only for a piece that found no place by it in any stick, a
/// further bought one included. Which pieces find no place, or cannot be held, does not hang on the effort.
pub fn plan_sticks(task: &Task<'_>, effort: &mut Effort<'_>) -> SticksPlan {
    let mut lot = lot_of(task);
    let possible: Vec<usize> = (0..task.blanks.len())
        .filter(|&p| lot.can_give(p))
        .collect();
    let solve::Solved { mut draft, proved } = solve::solve(&lot, &possible, effort);
    let let_off = place_by_force(&mut lot, &mut draft);
    let mut plan = laid_out(task, &lot, &draft, &let_off);
    let proved = proved.unwrap_or_else(|| solve::Proved::by_wood(&lot, &draft));
    plan.bound = proved.bound;
    plan.leftover[1] = length(proved.most_left.max(0));
    plan
}

/// The pieces as they lie along sticks, and what there is of those.
fn lot_of(task: &Task<'_>) -> Lot {
    let (moulding, saw) = (task.moulding, task.saw);
    let fresh = fresh_side(saw, task.blanks);
    let lay = |blank| {
        Laid::of(
            blank,
            moulding.thickness,
            saw.kerf,
            saw.hold.short_piece,
            fresh,
        )
    };
    Lot::of(moulding, saw, task.blanks.iter().map(lay).collect())
}

/// The plan that a draft is, its sticks and their pieces put in order; what is proved of it is left open.
fn laid_out(task: &Task<'_>, lot: &Lot, draft: &Draft, let_off: &[usize]) -> SticksPlan {
    let Task {
        number: moulding_number,
        saw,
        blanks,
        rooms,
        wishes,
        ..
    } = *task;
    let fresh = fresh_side(saw, blanks);
    let rooms = if wishes.room_by_room { rooms } else { &[] };
    let sequence = sequence::sequence(lot, draft, rooms);
    let sticks = &sequence.sticks;
    let mut placed: Vec<usize> = sticks.iter().flat_map(|s| s.places.clone()).collect();
    placed.sort_unstable();
    let missing = |place: &usize| placed.binary_search(place).is_err();
    let mut plan = SticksPlan {
        sticks: Vec::new(),
        first: fresh,
        shared: vec![None; blanks.len()],
        unplaced: (0..blanks.len())
            .filter(missing)
            .map(|place| blanks[place].piece)
            .collect(),
        cost: (sticks.iter()).fold(0, |cost, stick| stick.kind.cost.saturating_add(cost)),
        bound: 0,
        changes: sequence.changes,
        other_changes: OtherChanges {
            steady: match rooms {
                [] => sequence.changes,
                _ => sequence::sequence(lot, draft, &[]).changes,
            },
            at_least: trails::least_changes_of_all(lot, draft),
            as_listed: sequence::changes_as_listed(lot, &sequence),
        },
        leftover: [Length::ZERO; 2],
        short_holds: Vec::new(),
    };
    for (stick, number) in sequence.sticks.iter().zip(1..) {
        let mut front = Front::fresh(lot.trim);
        let mut before: Option<Laid> = None;
        for &place in &stick.places {
            let laid = lot.pieces[place];
            front = front.after(&laid);
            let held = front.rest(stick.kind.length) >= lot.hold;
            if !held && let_off.contains(&place) {
                plan.short_holds.push(blanks[place].piece);
            }
            let shared = before.is_some_and(|before| before.far == laid.near);
            plan.shared[place] = shared.then_some(fresh);
            before = Some(laid);
        }
        plan.sticks.push(Stick {
            number,
            moulding: moulding_number,
            length: length(stick.kind.length),
            from_offcut: stick.kind.offcut,
            pieces: stick
                .places
                .iter()
                .map(|&place| blanks[place].piece)
                .collect(),
            cuts: cuts(blanks, fresh, &stick.places, &plan.shared),
            leftover: length(front.rest(stick.kind.length).max(0)),
        });
        plan.leftover[0] = plan.leftover[0].max(length(front.rest(stick.kind.length).max(0)));
    }
    plan
}

/// The installed side that lies at the fresh end: the stick lies on the stock side, so its fresh end is at the other
/// side of the saw. Where no posture is asked for, the first blank's tells.
fn fresh_side(saw: &Saw, blanks: &[Blank]) -> Side {
    let first = blanks.first().map(|blank| blank.left.posture);
    let posture = saw.posture.or(first).unwrap_or(Posture::ALL[0]);
    posture.swaps(saw.stock_side.other())
}

/// Places what found no place: as it is if that has become possible, else letting short pieces off their rule. Returns
/// the pieces that were let off.
fn place_by_force(lot: &mut Lot, draft: &mut Draft) -> Vec<usize> {
    let mut let_off = Vec::new();
    for piece in std::mem::take(&mut draft.unplaced) {
        let place = |lot: &Lot, draft: &mut Draft| {
            best_fit::add_where_tightest(lot, draft, piece)
                || best_fit::open(lot, draft, piece, None)
        };
        if place(lot, draft) {
            continue;
        }
        if lot.pieces[piece].short {
            lot.pieces[piece].short = false;
            let_off.push(piece);
            if place(lot, draft) {
                continue;
            }
        }
        draft.unplaced.push(piece);
    }
    let_off
}

/// Every full-depth cut through a stick, in order: each piece's near end, unless the cut before has made it, then its
/// far end.
fn cuts(blanks: &[Blank], fresh: Side, places: &[usize], shared: &[Option<Side>]) -> Vec<StickCut> {
    let mut cuts: Vec<StickCut> = Vec::new();
    for &place in places {
        for installed in [fresh, fresh.other()] {
            let end = CutEnd {
                piece: blanks[place].piece,
                installed,
            };
            match cuts.last_mut().filter(|_| shared[place] == Some(installed)) {
                Some(cut) => cut.ends.push(end),
                None => cuts.push(StickCut {
                    posture: blanks[place].end(installed).posture,
                    ends: vec![end],
                }),
            }
        }
    }
    cuts
}

/// A length on a stick: never longer than the stick, so in range.
fn length(units: i64) -> Length {
    Length::from_units(i32::try_from(units).unwrap_or(i32::MAX))
}
