//! Checks a stick plan against what was asked, from the meaning of the ends alone: it keeps both arrises of a stick in
//! view and knows nothing of how the plan was found.

use shared_model::{Figure, Length, PieceEnd, Side};

use crate::sticks::{Blank, SticksPlan};
use crate::walk::{MouldingStock, Saw};

/// Where something lies along a stick, from its fresh end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Across {
    pub back: i64,
    pub face: i64,
}

/// Where the sawn arrises of a piece would lie if its back began at 0 with the near end: near line and far line.
pub fn lines(blank: &Blank, thickness: Length, fresh: Side) -> (Across, Across) {
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
pub fn ends(blank: &Blank, fresh: Side) -> (PieceEnd, PieceEnd) {
    match fresh {
        Side::Left => (blank.left, blank.right),
        Side::Right => (blank.right, blank.left),
    }
}

/// The installed side at the fresh end.
pub fn fresh_side(saw: &Saw, blanks: &[Blank]) -> Side {
    let posture = saw.posture.unwrap_or(blanks[0].left.posture);
    posture.swaps(saw.stock_side.other())
}

/// What the blade takes along the stick: the least whole number that is kerf / cos(setting) or more.
pub fn kerf(saw: &Saw, end: PieceEnd) -> i64 {
    let cosine = libm::cos(end.end.setting().radians());
    let enough = |along: i64| along as f64 * cosine >= f64::from(saw.kerf.units()) - 1e-6;
    let guess = (f64::from(saw.kerf.units()) / cosine) as i64;
    (guess - 2..guess + 4)
        .find(|&along| enough(along))
        .expect("a whole number near the guess")
}

/// Lays a piece as close as it goes where `used` is used up on both arrises; returns its far line.
pub fn lay(used: Across, near: Across, far: Across) -> Across {
    let moved = (used.back - near.back).max(used.face - near.face);
    Across {
        back: far.back + moved,
        face: far.face + moved,
    }
}

pub fn is_short(blank: &Blank, thickness: Length) -> bool {
    let figure = Figure::of(blank.length, blank.left.end, blank.right.end, thickness);
    figure.overall < Length::inches(8)
}

fn parallel(a: PieceEnd, b: PieceEnd, thickness: Length) -> bool {
    // seen along the stick the far end's face goes on as far as the near end's face stays behind
    a.end.slope(thickness) == -b.end.slope(thickness)
        && a.end.setting() == b.end.setting()
        && a.posture == b.posture
}

/// Everything that a plan promises.
pub fn check(
    moulding: &MouldingStock,
    saw: &Saw,
    blanks: &[Blank],
    plan: &SticksPlan,
) -> Result<(), String> {
    let fail = |what: String| Err(what);
    if blanks.is_empty() {
        return match plan.sticks.is_empty() && (plan.cost, plan.bound) == (0, 0) {
            true => Ok(()),
            false => fail("something out of nothing".to_owned()),
        };
    }
    let find = |piece: usize| -> Result<usize, String> {
        let at = blanks.iter().position(|blank| blank.piece == piece);
        at.ok_or(format!("no such piece {piece}"))
    };
    let mut seen: Vec<usize> = plan.unplaced.clone();
    seen.extend(plan.sticks.iter().flat_map(|stick| &stick.pieces));
    seen.sort_unstable();
    let mut all: Vec<usize> = blanks.iter().map(|blank| blank.piece).collect();
    all.sort_unstable();
    if seen != all || plan.shared.len() != blanks.len() {
        return fail(format!("pieces {all:?} became {seen:?}"));
    }
    let fresh = fresh_side(saw, blanks);
    let thickness = moulding.thickness;
    let mut short_holds = Vec::new();
    for (stick, number) in plan.sticks.iter().zip(1u32..) {
        if stick.number != number || stick.pieces.is_empty() {
            return fail(format!("stick {number} is empty or out of turn"));
        }
        let length = i64::from(stick.length.units());
        let trim = i64::from(saw.end_trim.units());
        let mut used = Across {
            back: trim,
            face: trim,
        };
        let (mut cuts, mut before, mut rest) = (stick.cuts.iter().peekable(), None, 0);
        for &piece in &stick.pieces {
            let at = find(piece)?;
            let (near_end, far_end) = ends(&blanks[at], fresh);
            let (near, far) = lines(&blanks[at], thickness, fresh);
            let line = lay(used, near, far);
            if line.back.max(line.face) > length {
                return fail(format!("piece {piece} runs over stick {number}"));
            }
            let shared = before.is_some_and(|end| parallel(end, near_end, thickness));
            if plan.shared[at] != shared.then_some(fresh) {
                return fail(format!("piece {piece}: shared is {:?}", plan.shared[at]));
            }
            // each end is made once, a shared one by the cut that took off the piece before
            for (end, side) in [(near_end, fresh), (far_end, fresh.other())] {
                if side == fresh && shared {
                    continue;
                }
                let cut = cuts.next().ok_or(format!("stick {number} lacks cuts"))?;
                let first = cut.ends.first().map(|cut| (cut.piece, cut.installed));
                if first != Some((piece, side)) || cut.posture != end.posture {
                    return fail(format!(
                        "stick {number}: {cut:?} for piece {piece} {side:?}"
                    ));
                }
                let after = stick.pieces.iter().skip_while(|&&p| p != piece).nth(1);
                let mate = match (side == fresh, after) {
                    (false, Some(&next)) => {
                        let next_end = ends(&blanks[find(next)?], fresh).0;
                        parallel(end, next_end, thickness).then_some((next, fresh))
                    }
                    _ => None,
                };
                let second = cut.ends.get(1).map(|cut| (cut.piece, cut.installed));
                if second != mate || cut.ends.len() > 2 {
                    return fail(format!("stick {number}: {cut:?} should serve {mate:?} too"));
                }
            }
            let kerf = kerf(saw, far_end);
            used = Across {
                back: line.back + kerf,
                face: line.face + kerf,
            };
            rest = length - used.back.max(used.face);
            if is_short(&blanks[at], thickness) && rest < i64::from(Length::inches(12).units()) {
                short_holds.push(piece);
            }
            before = Some(far_end);
        }
        if cuts.next().is_some() {
            return fail(format!("stick {number} has cuts too many"));
        }
        if i64::from(stick.leftover.units()) != rest.max(0) {
            return fail(format!(
                "stick {number}: leftover {:?}, not {rest}",
                stick.leftover
            ));
        }
    }
    let mut told = plan.short_holds.clone();
    told.sort_unstable();
    short_holds.sort_unstable();
    if told != short_holds {
        return fail(format!("held short {short_holds:?}, told {told:?}"));
    }
    stock_and_cost(moulding, plan)
}

/// No more sticks than there are, the cost is their sum, and the bound no more than that.
fn stock_and_cost(moulding: &MouldingStock, plan: &SticksPlan) -> Result<(), String> {
    let mut offcuts = moulding.offcuts.clone();
    let mut kinds = moulding.sticks.clone();
    kinds.sort_by_key(|kind| kind.price);
    let priced = kinds.iter().all(|kind| kind.price.is_some());
    let mut cost = 0;
    for stick in &plan.sticks {
        if stick.from_offcut {
            let at = offcuts.iter().position(|&offcut| offcut == stick.length);
            offcuts.swap_remove(at.ok_or(format!("no offcut of {:?} left", stick.length))?);
            continue;
        }
        // of two kinds of one length the cheaper are used up first
        let kind = kinds
            .iter_mut()
            .find(|kind| kind.length == stick.length && kind.count != Some(0))
            .ok_or(format!("no stick of {:?} left", stick.length))?;
        kind.count = kind.count.map(|count| count - 1);
        cost += match kind.price.filter(|_| priced) {
            Some(price) => price.0,
            None => i64::from(kind.length.units()),
        };
    }
    match plan.cost == cost && plan.bound <= cost {
        true => Ok(()),
        false => Err(format!(
            "cost {} bound {}, sum {cost}",
            plan.cost, plan.bound
        )),
    }
}
