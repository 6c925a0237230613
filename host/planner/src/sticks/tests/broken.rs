//! Plans broken on purpose, each in one way: the checker has to see every one of them.

use shared_model::{Length, Posture, Side};

use super::level::{level, moulding, saw};
use crate::plan::Stick;
use crate::sticks::SticksPlan;
use crate::sticks::check::{Asked, Fault, check};
use crate::walk::{HoldRule, MouldingStock, Saw};

/// Breaks a good plan and gives what the checker says of it.
fn broken(
    stock: &MouldingStock,
    saw_now: &Saw,
    breaking: impl Fn(&mut SticksPlan) -> bool,
) -> Fault {
    let mut draws = 0..20;
    let fault = draws.find_map(|number| {
        let blanks = level(30, number);
        let mut plan = super::level::checked(stock, &saw(), &blanks);
        let asked = Asked {
            moulding: stock,
            saw: saw_now,
            blanks: &blanks,
        };
        breaking(&mut plan).then(|| check(&asked, &plan).expect_err("a broken plan"))
    });
    fault.expect("a plan that can be broken so")
}

fn usual() -> MouldingStock {
    moulding(&[(16, Some(2150), None), (8, Some(1100), Some(6))], &[40])
}

/// The stick whose last piece ends nearest to its end.
fn fullest(plan: &mut SticksPlan) -> &mut Stick {
    let fullest = plan.sticks.iter_mut().min_by_key(|stick| stick.leftover);
    fullest.expect("a stick")
}

#[test]
fn a_stick_that_is_too_short_is_seen() {
    let fault = broken(&usual(), &saw(), |plan| {
        let stick = fullest(plan);
        stick.length -= stick.leftover + Length::inches(1);
        true
    });
    assert!(matches!(fault, Fault::TooLong(..)), "{fault:?}");
}

#[test]
fn a_kerf_that_was_left_out_is_seen() {
    // planned for the usual blade and checked with one twice as thick
    let thick = Saw {
        kerf: Length::sixteenths(4),
        ..saw()
    };
    let fault = broken(&usual(), &thick, |_| true);
    assert!(
        matches!(fault, Fault::TooLong(..) | Fault::Leftover(_)),
        "{fault:?}"
    );
}

#[test]
fn pieces_in_another_order_than_their_cuts_are_seen() {
    let fault = broken(&usual(), &saw(), |plan| {
        let stick = plan
            .sticks
            .iter_mut()
            .find(|stick| stick.pieces.len() > 2 && stick.leftover > Length::inches(3));
        stick.map(|stick| stick.pieces.rotate_left(1)).is_some()
    });
    assert!(
        matches!(fault, Fault::Cuts(_) | Fault::Shared(..)),
        "{fault:?}"
    );
}

#[test]
fn a_cut_shared_by_ends_that_are_not_parallel_is_seen() {
    let fault = broken(&usual(), &saw(), |plan| {
        let alone = (plan.shared.iter_mut()).find(|shared| shared.is_none());
        alone.map(|shared| *shared = Some(Side::Left)).is_some()
    });
    assert!(matches!(fault, Fault::Shared(..)), "{fault:?}");
    let fault = broken(&usual(), &saw(), |plan| {
        let cuts = plan.sticks.iter_mut().flat_map(|stick| &mut stick.cuts);
        let both = cuts.into_iter().find(|cut| cut.ends.len() == 2);
        both.map(|cut| cut.ends.pop()).is_some()
    });
    assert!(matches!(fault, Fault::Cuts(_)), "{fault:?}");
}

#[test]
fn a_cut_in_another_posture_is_seen() {
    let fault = broken(&usual(), &saw(), |plan| {
        plan.sticks[0].cuts[0].posture = Posture::FlatTopToFence;
        true
    });
    assert!(matches!(fault, Fault::Cuts(1)), "{fault:?}");
}

#[test]
fn pieces_lost_or_cut_twice_are_seen() {
    let lost = |plan: &mut SticksPlan| plan.sticks[0].pieces.pop().is_some();
    assert_eq!(broken(&usual(), &saw(), lost), Fault::Pieces);
    let twice = |plan: &mut SticksPlan| {
        let piece = plan.sticks[1].pieces[0];
        plan.sticks[0].pieces.push(piece);
        true
    };
    assert_eq!(broken(&usual(), &saw(), twice), Fault::Pieces);
}

#[test]
fn an_unsafe_hold_is_seen_unless_it_is_told_and_only_then() {
    // a short piece alone at the end of a stick that is cut to it
    let fault = broken(&usual(), &saw(), |plan| {
        plan.short_holds = vec![plan.sticks[0].pieces[0]];
        true
    });
    assert_eq!(fault, Fault::Holds);
    let stock = usual();
    let blanks = level(30, 3);
    let plan = super::level::checked(&stock, &saw(), &blanks);
    // by a stricter rule the same plan is not safe, and does not say so
    let strict = Saw {
        hold: HoldRule {
            short_piece: Length::inches(60),
            least_hold: Length::inches(100),
        },
        ..saw()
    };
    let asked = Asked {
        moulding: &stock,
        saw: &strict,
        blanks: &blanks,
    };
    assert_eq!(check(&asked, &plan), Err(Fault::Holds));
}

#[test]
fn wrong_sums_are_seen() {
    let dearer = |plan: &mut SticksPlan| {
        plan.cost += 1;
        true
    };
    assert_eq!(broken(&usual(), &saw(), dearer), Fault::Cost);
    let bound = |plan: &mut SticksPlan| {
        plan.bound = plan.cost + 1;
        true
    };
    assert_eq!(broken(&usual(), &saw(), bound), Fault::Bound);
    let leftover = |plan: &mut SticksPlan| {
        plan.sticks[0].leftover += Length::sixteenths(1);
        true
    };
    assert_eq!(broken(&usual(), &saw(), leftover), Fault::Leftover(1));
    let more_than_there_are = |plan: &mut SticksPlan| {
        let stick = plan.sticks.iter_mut().find(|stick| !stick.from_offcut);
        stick
            .map(|stick| {
                stick.length = Length::inches(191);
                stick.leftover -= Length::inches(1);
            })
            .is_some()
    };
    let fault = broken(&usual(), &saw(), more_than_there_are);
    assert!(
        matches!(
            fault,
            Fault::Stock(_) | Fault::Leftover(_) | Fault::TooLong(..)
        ),
        "{fault:?}"
    );
    let out_of_turn = |plan: &mut SticksPlan| {
        plan.sticks.swap(0, 1);
        true
    };
    assert_eq!(broken(&usual(), &saw(), out_of_turn), Fault::EmptyStick(1));
}
