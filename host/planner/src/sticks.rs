//! Which stick each piece of one moulding is cut from, in which order and with which cuts, and what that costs against
//! the least it can cost. What the pieces are, and how several mouldings make one list, is left to the rest of the
//! planner.
//!
//! One idea a file: `along` (geometry along a stick), `order` (order within a stick), `stock` and `draft` (what is
//! worked on), `sums`, `fill` and `best_fit` (first plans), `search` (improving on them), `bound` (what cannot be
//! beaten), `places` (where the pieces of a finished plan lie). Everything is decided in whole units of [`Length`] and
//! counted, so that the same pieces always give the same plan.

mod along;
mod best_fit;
mod bound;
mod draft;
mod fill;
mod order;
mod places;
mod search;
mod stock;
mod sums;
#[cfg(test)]
mod tests;

use shared_model::{Length, PieceEnd, Posture, Side};

use crate::plan::{CutEnd, Stick, StickCut};
use crate::walk::{MouldingStock, Saw};
use along::{Front, Laid};
use draft::{Draft, longest_first};
use order::best_order;
pub use places::{EndLine, OnStick, places};
use stock::{Kind, Lot};

/// What must remain of the stick, beyond the kerf, when a piece comes off that is too short to be held
/// ([`SHORT_PIECE`](crate::cautions::SHORT_PIECE), tip to tip): common practice on site, no source.
pub const LEAST_HOLD: Length = Length::inches(12);

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

/// How the pieces of one moulding come from sticks.
#[derive(Debug, Clone, PartialEq)]
pub struct SticksPlan {
    /// The sticks, numbered from 1 within this moulding: offcuts first, then by the first piece of the list that each
    /// gives.
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
    /// The short pieces ([`Blank::piece`]) that come off while less than [`LEAST_HOLD`] remains: no stick that there is
    /// could give them with more.
    pub short_holds: Vec<usize>,
}

/// Plans the sticks of one moulding. Offcuts in hand cost nothing; like bought sticks they are trimmed at their fresh
/// end.
///
/// The rule for short pieces ([`LEAST_HOLD`]) is broken only for a piece that found no place by it in any stick, a
/// further bought one included.
pub fn plan_sticks(
    moulding_number: usize,
    moulding: &MouldingStock,
    saw: &Saw,
    blanks: &[Blank],
) -> SticksPlan {
    let fresh = fresh_side(saw, blanks);
    let lay = |blank| Laid::of(blank, moulding.thickness, saw.kerf, fresh);
    let mut lot = Lot::of(moulding, saw, blanks.iter().map(lay).collect());
    let possible = (0..blanks.len()).filter(|&piece| lot.can_give(piece));
    let mut draft = search::improve(&lot, first_plan(&lot, possible.collect()));
    let let_off = place_by_force(&mut lot, &mut draft);

    let sticks = in_order(&lot, &draft);
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
        bound: bound::bound(&lot, &placed),
        short_holds: Vec::new(),
    };
    for (stick, number) in sticks.iter().zip(1..) {
        let mut front = Front::fresh(lot.trim);
        let mut before: Option<Laid> = None;
        for &place in &stick.places {
            let laid = lot.pieces[place];
            front = front.after(&laid);
            let held = front.rest(stick.kind.length) >= i64::from(LEAST_HOLD.units());
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

/// The best of several first plans: by best fit with each kind of stick as the one that is opened, and by filling stick
/// after stick, the offcuts first or as they come.
fn first_plan(lot: &Lot, mut pieces: Vec<usize>) -> Draft {
    longest_first(lot, &mut pieces);
    let mut plans: Vec<Draft> = (0..lot.kinds.len())
        .map(|opener| best_fit::best_fit(lot, &pieces, opener))
        .collect();
    let mut filler = fill::Filler::default();
    for offcuts_first in [true, false] {
        let (mut draft, mut pool) = (Draft::new(lot), pieces.clone());
        if offcuts_first {
            filler.fill_offcuts(lot, &mut draft, &mut pool);
        }
        filler.place(lot, &mut draft, pool);
        draft.shrink(lot);
        plans.push(draft);
    }
    let best = plans.into_iter().min_by_key(|draft| draft.badness(lot));
    best.unwrap_or_else(|| Draft::new(lot))
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

/// A stick and its pieces in the order in which they are cut.
struct Ordered {
    kind: Kind,
    places: Vec<usize>,
}

/// The sticks of a plan in the order in which they are cut, each with its best order.
fn in_order(lot: &Lot, draft: &Draft) -> Vec<Ordered> {
    let mut sticks: Vec<Ordered> = (draft.sticks.iter())
        .filter_map(|stick| {
            let kind = lot.kinds[stick.kind];
            let places = best_order(lot, &stick.pieces, kind.length)?;
            Some(Ordered { kind, places })
        })
        .collect();
    sticks.sort_by_key(|stick| (!stick.kind.offcut, stick.places.iter().min().copied()));
    sticks
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
