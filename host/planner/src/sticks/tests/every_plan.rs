//! Tiny lots beside every plan that there is: each set of pieces in each order from each stick. The bound is never more
//! than the least of them costs, and the plan is nearly always one of the cheapest.

use shared_model::{Angle, End, Length, PieceEnd, Posture, Side};

use super::level::{Draw, checked, moulding, saw};
use crate::sticks::Blank;
use crate::sticks::check::{Across, ends, fresh_side, is_short, kerf, lay, lines};
use crate::walk::{HoldRule, MouldingStock, Saw, StickKind};

/// A stick and what it costs.
type Stick = (i64, i64);

/// The least cost of all plans that place every blank; none where no plan does.
struct EveryPlan<'a> {
    moulding: &'a MouldingStock,
    saw: &'a Saw,
    blanks: &'a [Blank],
    /// Whether short pieces must be safe to hold.
    safe: bool,
}

impl EveryPlan<'_> {
    fn least_cost(&self) -> Option<i64> {
        let priced = self.moulding.sticks.iter().all(|kind| kind.price.is_some());
        let mut sticks: Vec<(Stick, u32)> = Vec::new();
        for offcut in &self.moulding.offcuts {
            sticks.push(((i64::from(offcut.units()), 0), 1));
        }
        for StickKind {
            length,
            price,
            count,
        } in &self.moulding.sticks
        {
            let length = i64::from(length.units());
            let cost = price.filter(|_| priced).map_or(length, |price| price.0);
            sticks.push(((length, cost), count.unwrap_or(u32::MAX)));
        }
        let all = (1usize << self.blanks.len()) - 1;
        let fits: Vec<Vec<bool>> = (0..=all)
            .map(|set| {
                sticks
                    .iter()
                    .map(|&((length, _), _)| self.fits(set, length))
                    .collect()
            })
            .collect();
        self.rest(all, &mut sticks, &fits)
    }

    /// The least cost of the pieces in a set: the first of them shares a stick with some of the others.
    fn rest(&self, set: usize, sticks: &mut [(Stick, u32)], fits: &[Vec<bool>]) -> Option<i64> {
        if set == 0 {
            return Some(0);
        }
        let first = set & set.wrapping_neg();
        let mut least: Option<i64> = None;
        let mut others = set & !first;
        loop {
            let part = others | first;
            for stick in 0..sticks.len() {
                if sticks[stick].1 == 0 || !fits[part][stick] {
                    continue;
                }
                sticks[stick].1 -= 1;
                let rest = self.rest(set & !part, sticks, fits);
                sticks[stick].1 += 1;
                let cost = rest.map(|rest| rest + sticks[stick].0.1);
                least = [least, cost].into_iter().flatten().min();
            }
            if others == 0 {
                return least;
            }
            others = (others - 1) & set & !first;
        }
    }

    /// Whether the set can be cut in some order from a stick of this length.
    fn fits(&self, set: usize, length: i64) -> bool {
        let trim = i64::from(self.saw.end_trim.units());
        let used = Across {
            back: trim,
            face: trim,
        };
        self.some_order(set, used, length)
    }

    fn some_order(&self, set: usize, used: Across, length: i64) -> bool {
        let fresh = fresh_side(self.saw, self.blanks);
        let thickness = self.moulding.thickness;
        set == 0
            || (0..self.blanks.len())
                .filter(|at| set >> at & 1 == 1)
                .any(|at| {
                    let blank = &self.blanks[at];
                    let (near, far) = lines(blank, thickness, fresh);
                    let line = lay(used, near, far);
                    let kerf = kerf(self.saw, ends(blank, fresh).1);
                    let used = Across {
                        back: line.back + kerf,
                        face: line.face + kerf,
                    };
                    let rest = length - used.back.max(used.face);
                    let held = rest >= i64::from(Length::inches(12).units());
                    line.back.max(line.face) <= length
                        && (held || !self.safe || !is_short(blank, thickness, &HoldRule::USUAL))
                        && self.some_order(set & !(1 << at), used, length)
                })
    }
}

/// A lot of at most six pieces that fill a few sticks.
fn tiny(draw: &mut Draw) -> (MouldingStock, Saw, Vec<Blank>) {
    let count = draw.between(1, 6) as usize;
    let end = |draw: &mut Draw| {
        let gauge = Angle::degrees([90, 90, 92, 135][draw.between(0, 3) as usize]);
        let bevel = Angle::degrees(45);
        let end = match draw.between(0, 9) {
            0..=2 => End::Square,
            3 => End::Cope { gauge },
            4 => End::InsideMiter { gauge },
            5..=6 => End::OutsideMiter { gauge },
            7 => End::Butt { gauge },
            8 => End::ScarfOver { bevel },
            _ => End::ScarfUnder { bevel },
        };
        let posture = match draw.one_in(12) {
            true => Posture::StandingUpright,
            false => Posture::StandingUpsideDown,
        };
        PieceEnd { end, posture }
    };
    // lengths that often fill a stick all but to a wedge or a kerf
    let lengths = [5, 7, 12, 16, 18, 24, 30, 36, 40, 48];
    let blanks = (0..count)
        .map(|piece| Blank {
            piece,
            length: Length::inches(lengths[draw.between(0, 9) as usize])
                - Length::sixteenths(draw.between(0, 16)),
            left: end(draw),
            right: end(draw),
        })
        .collect();
    let mut kinds = vec![(4, None, None)];
    if draw.one_in(2) {
        kinds.push((8, None, (!draw.one_in(2)).then_some(1)));
    }
    if draw.one_in(2) {
        kinds.push((6, None, (draw.one_in(2)).then_some(2)));
    }
    if draw.one_in(2) {
        for kind in &mut kinds {
            kind.1 = Some(i64::from(kind.0) * 100 + i64::from(draw.between(-30, 90)));
        }
    }
    let offcuts: Vec<i32> = (0..draw.between(0, 2))
        .map(|_| draw.between(6, 44))
        .collect();
    let mut saw = saw();
    if draw.one_in(2) {
        saw.stock_side = Side::Right;
    }
    (moulding(&kinds, &offcuts), saw, blanks)
}

#[test]
fn no_plan_costs_less_than_the_bound_and_few_less_than_ours() {
    let mut draw = Draw::new(2);
    let (mut compared, mut cheapest, mut proved) = (0, 0, 0);
    for _ in 0..3000 {
        let (moulding, saw, blanks) = tiny(&mut draw);
        let plan = checked(&moulding, &saw, &blanks);
        let every = |safe| EveryPlan {
            moulding: &moulding,
            saw: &saw,
            blanks: &blanks,
            safe,
        };
        // a plan that is safe is measured against safe ones, for it is bound by the rule
        let least = every(plan.short_holds.is_empty()).least_cost();
        if let (Some(least), true) = (least, plan.unplaced.is_empty()) {
            assert!(
                plan.bound <= least && least <= plan.cost,
                "{blanks:?} {moulding:?}"
            );
        }
        if let Some(least) = every(true).least_cost() {
            assert_eq!(plan.unplaced, [], "{blanks:?} {moulding:?}");
            assert_eq!(plan.short_holds, [], "{blanks:?} {moulding:?}");
            compared += 1;
            cheapest += i32::from(plan.cost == least);
            proved += i32::from(plan.cost == plan.bound);
        }
    }
    assert!(
        compared > 2000 && 100 * proved >= 99 * compared,
        "{cheapest} and proved {proved} of {compared}"
    );
}
