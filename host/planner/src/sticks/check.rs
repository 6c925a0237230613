//! Checks a stick plan against what was asked, from the meaning of the ends alone: it keeps both arrises of a stick in
//! view and knows nothing of how a plan is found. It shares no code with the planner, only the shared model and the
//! words in which a plan is written. What is done with a plan that fails is left to the caller.

use std::fmt;

use shared_model::{Figure, Length, PieceEnd, Side};

use super::{Blank, SticksPlan};
use crate::plan::Stick;
use crate::walk::{HoldRule, MouldingStock, Saw};

/// What a stick plan was asked to do.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The moulding and its sticks.
    pub moulding: &'a MouldingStock,
    /// The saw.
    pub saw: &'a Saw,
    /// The pieces.
    pub blanks: &'a [Blank],
}

/// What is wrong with a stick plan: always a fault of the planner, never of what it was given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// a piece is cut twice, left out, or was never asked for
    Pieces,
    /// a stick gives nothing, or its number is out of turn
    EmptyStick(u32),
    /// a piece runs over the end of its stick
    TooLong(u32, usize),
    /// a cut is said to serve two ends that are not parallel, or one that could is not
    Shared(u32, usize),
    /// the cuts of a stick are not those that its pieces need, in their order
    Cuts(u32),
    /// what is left of a stick is not what its pieces leave
    Leftover(u32),
    /// short pieces come off with too little to hold, or are said to and do not
    Holds,
    /// more sticks are used than there are
    Stock(u32),
    /// the cost is not the sum of the sticks
    Cost,
    /// the bound is above the cost
    Bound,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::Pieces => write!(f, "a piece is cut twice, left out, or was never asked for."),
            Fault::EmptyStick(stick) => {
                write!(f, "stick {stick} gives nothing, or is out of turn.")
            }
            Fault::TooLong(stick, _) => write!(f, "a piece runs over the end of stick {stick}."),
            Fault::Shared(stick, _) => write!(
                f,
                "on stick {stick} it is not right which ends one cut makes."
            ),
            Fault::Cuts(stick) => write!(
                f,
                "the cuts of stick {stick} are not those that its pieces need."
            ),
            Fault::Leftover(stick) => write!(f, "what is left of stick {stick} is not so."),
            Fault::Holds => write!(
                f,
                "it is not right which short pieces come off with too little to hold."
            ),
            Fault::Stock(stick) => write!(f, "there is no stick {stick} in the stock."),
            Fault::Cost => write!(f, "the cost is not the sum of the sticks."),
            Fault::Bound => write!(f, "the bound is above the cost."),
        }
    }
}

impl std::error::Error for Fault {}

/// Whether a plan keeps everything that it promises.
///
/// # Errors
/// The first thing that is wrong.
pub fn check(asked: &Asked<'_>, plan: &SticksPlan) -> Result<(), Fault> {
    each_piece_once(asked.blanks, plan)?;
    let mut short_holds = Vec::new();
    for (stick, number) in plan.sticks.iter().zip(1u32..) {
        if stick.number != number || stick.pieces.is_empty() {
            return Err(Fault::EmptyStick(number));
        }
        check_stick(asked, plan, stick, &mut short_holds)?;
    }
    let mut told = plan.short_holds.clone();
    told.sort_unstable();
    short_holds.sort_unstable();
    match told == short_holds {
        true => stock_and_cost(asked.moulding, plan),
        false => Err(Fault::Holds),
    }
}

fn each_piece_once(blanks: &[Blank], plan: &SticksPlan) -> Result<(), Fault> {
    let mut seen: Vec<usize> = plan.unplaced.clone();
    seen.extend(plan.sticks.iter().flat_map(|stick| &stick.pieces));
    seen.sort_unstable();
    let mut all: Vec<usize> = blanks.iter().map(|blank| blank.piece).collect();
    all.sort_unstable();
    match seen == all && plan.shared.len() == blanks.len() {
        true => Ok(()),
        false => Err(Fault::Pieces),
    }
}

/// Lays the pieces of one stick in their order, and sees that each of its ends is made once and in its turn.
fn check_stick(
    asked: &Asked<'_>,
    plan: &SticksPlan,
    stick: &Stick,
    short_holds: &mut Vec<usize>,
) -> Result<(), Fault> {
    let Asked {
        moulding,
        saw,
        blanks,
    } = *asked;
    let number = stick.number;
    let fresh = fresh_side(saw, blanks);
    if plan.first != fresh {
        return Err(Fault::Cuts(number));
    }
    let thickness = moulding.thickness;
    let length = i64::from(stick.length.units());
    let trim = i64::from(saw.end_trim.units());
    let mut used = Across {
        back: trim,
        face: trim,
    };
    let at: Vec<usize> = (stick.pieces.iter())
        .filter_map(|piece| blanks.iter().position(|blank| blank.piece == *piece))
        .collect();
    let (mut cuts, mut before, mut rest) = (stick.cuts.iter(), None, 0);
    for (turn, &at) in at.iter().enumerate() {
        let blank = &blanks[at];
        let piece = blank.piece;
        let (near_end, far_end) = ends(blank, fresh);
        let (near, far) = lines(blank, thickness, fresh);
        let line = lay(used, near, far);
        if line.back.max(line.face) > length {
            return Err(Fault::TooLong(number, piece));
        }
        let shared = before.is_some_and(|end| parallel(end, near_end, thickness));
        if plan.shared[at] != shared.then_some(fresh) {
            return Err(Fault::Shared(number, piece));
        }
        // each end is made once, a shared one by the cut that took off the piece before
        if !shared && !makes(cuts.next(), near_end, &[(piece, fresh)]) {
            return Err(Fault::Cuts(number));
        }
        let mut made = vec![(piece, fresh.other())];
        made.extend(next_parallel(asked, stick, turn, far_end));
        if !makes(cuts.next(), far_end, &made) {
            return Err(Fault::Cuts(number));
        }
        let kerf = kerf(saw, far_end);
        used = Across {
            back: line.back + kerf,
            face: line.face + kerf,
        };
        rest = length - used.back.max(used.face);
        if is_short(blank, thickness, &saw.hold) && rest < i64::from(saw.hold.least_hold.units()) {
            short_holds.push(piece);
        }
        before = Some(far_end);
    }
    if cuts.next().is_some() {
        return Err(Fault::Cuts(number));
    }
    match i64::from(stick.leftover.units()) == rest.max(0) {
        true => Ok(()),
        false => Err(Fault::Leftover(number)),
    }
}

/// The near end of the piece after a turn, where the cut of this far end makes it too.
fn next_parallel(
    asked: &Asked<'_>,
    stick: &Stick,
    turn: usize,
    far_end: PieceEnd,
) -> Option<(usize, Side)> {
    let next = *stick.pieces.get(turn + 1)?;
    let blank = asked.blanks.iter().find(|blank| blank.piece == next)?;
    let fresh = fresh_side(asked.saw, asked.blanks);
    let near_end = ends(blank, fresh).0;
    parallel(far_end, near_end, asked.moulding.thickness).then_some((next, fresh))
}

/// Whether a cut in the posture of this end makes exactly these ends.
fn makes(cut: Option<&crate::plan::StickCut>, end: PieceEnd, made: &[(usize, Side)]) -> bool {
    cut.is_some_and(|cut| {
        let ends = cut.ends.iter().map(|cut| (cut.piece, cut.installed));
        cut.posture == end.posture && ends.eq(made.iter().copied())
    })
}

/// No more sticks than there are, the cost is their sum, and the bound no more than that.
fn stock_and_cost(moulding: &MouldingStock, plan: &SticksPlan) -> Result<(), Fault> {
    let mut offcuts = moulding.offcuts.clone();
    let mut kinds = moulding.sticks.clone();
    kinds.sort_by_key(|kind| kind.price);
    let priced = kinds.iter().all(|kind| kind.price.is_some());
    let mut cost: i64 = 0;
    for stick in &plan.sticks {
        if stick.from_offcut {
            let at = offcuts.iter().position(|&offcut| offcut == stick.length);
            offcuts.swap_remove(at.ok_or(Fault::Stock(stick.number))?);
            continue;
        }
        // of two kinds of one length the cheaper are used up first
        let kind = kinds
            .iter_mut()
            .find(|kind| kind.length == stick.length && kind.count != Some(0))
            .ok_or(Fault::Stock(stick.number))?;
        kind.count = kind.count.map(|count| count - 1);
        cost = cost.saturating_add(match kind.price.filter(|_| priced) {
            Some(price) => price.0.max(0),
            None => i64::from(kind.length.units()),
        });
    }
    match (plan.cost == cost, plan.bound <= cost) {
        (true, true) => Ok(()),
        (true, false) => Err(Fault::Bound),
        (false, _) => Err(Fault::Cost),
    }
}

/// Where something lies along a stick, from its fresh end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Across {
    pub back: i64,
    pub face: i64,
}

/// Where the sawn arrises of a piece would lie if its back began at 0 with the near end: near line and far line.
pub(super) fn lines(blank: &Blank, thickness: Length, fresh: Side) -> (Across, Across) {
    let (near, far) = ends(blank, fresh);
    // outward from the nominal length: the face by the reach, the back by what a butt's back cut takes off it
    let outward = |end: PieceEnd| {
        let face = i64::from(end.end.reach(thickness).units());
        let back = face - i64::from(end.end.slope(thickness).units());
        Across { back, face }
    };
    let (near, far) = (outward(near), outward(far));
    let length = i64::from(blank.length.units());
    let near_line = Across {
        back: -near.back,
        face: -near.face,
    };
    let far_line = Across {
        back: length + far.back,
        face: length + far.face,
    };
    (near_line, far_line)
}

/// The near and the far end.
pub(super) fn ends(blank: &Blank, fresh: Side) -> (PieceEnd, PieceEnd) {
    match fresh {
        Side::Left => (blank.left, blank.right),
        Side::Right => (blank.right, blank.left),
    }
}

/// The installed side at the fresh end: the stick lies on the stock side, so its fresh end is at the other.
pub(super) fn fresh_side(saw: &Saw, blanks: &[Blank]) -> Side {
    let first = blanks.first().map(|blank| blank.left.posture);
    let posture = saw.posture.or(first);
    let other = saw.stock_side.other();
    posture.map_or(other, |posture| posture.swaps(other))
}

/// What the blade takes along the stick: the least whole number that is kerf / cos(setting) or more.
pub(super) fn kerf(saw: &Saw, end: PieceEnd) -> i64 {
    let cosine = libm::cos(end.end.setting().radians());
    let thick = f64::from(saw.kerf.units().max(0));
    let guess = (thick / cosine) as i64;
    let mut along = guess.saturating_sub(2).max(0);
    while (along as f64) * cosine < thick - 1e-6 && along <= guess.saturating_add(4) {
        along += 1;
    }
    along
}

/// Lays a piece as close as it goes where `used` is used up on both arrises; returns its far line.
pub(super) fn lay(used: Across, near: Across, far: Across) -> Across {
    let moved = (used.back - near.back).max(used.face - near.face);
    Across {
        back: far.back + moved,
        face: far.face + moved,
    }
}

/// Whether a piece is too short to be held.
pub(super) fn is_short(blank: &Blank, thickness: Length, hold: &HoldRule) -> bool {
    let figure = Figure::of(blank.length, blank.left.end, blank.right.end, thickness);
    figure.overall < hold.short_piece
}

fn parallel(a: PieceEnd, b: PieceEnd, thickness: Length) -> bool {
    // seen along the stick the far end's face goes on as far as the near end's face stays behind
    a.end.slope(thickness) == -b.end.slope(thickness)
        && a.end.setting() == b.end.setting()
        && a.posture == b.posture
}
