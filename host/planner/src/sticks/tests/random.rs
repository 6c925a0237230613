//! Random lots of every kind of end, posture, stock and saw, shrunk to the smallest that fails.

use proptest::prelude::*;
use shared_model::{Angle, End, Length, PieceEnd, Posture, Side};

use super::level::{faults, plan_with, saw, task};
use crate::sticks::{Blank, Effort, lacking, plan_sticks};
use crate::walk::{MouldingStock, Price, Saw, StickKind};

fn gauge() -> impl Strategy<Value = Angle> {
    prop_oneof![
        2 => Just(Angle::RIGHT),
        2 => (85u16..=140).prop_map(Angle::degrees),
        1 => (8500u16..=14_000).prop_map(Angle::hundredths),
    ]
}

fn end() -> impl Strategy<Value = End> {
    let bevel = || prop_oneof![Just(Angle::degrees(45)), Just(Angle::degrees(30))];
    prop_oneof![
        3 => Just(End::Square),
        1 => gauge().prop_map(|gauge| End::Butt { gauge }),
        2 => gauge().prop_map(|gauge| End::Cope { gauge }),
        1 => gauge().prop_map(|gauge| End::InsideMiter { gauge }),
        2 => gauge().prop_map(|gauge| End::OutsideMiter { gauge }),
        1 => bevel().prop_map(|bevel| End::ScarfOver { bevel }),
        1 => bevel().prop_map(|bevel| End::ScarfUnder { bevel }),
        1 => Just(End::Return),
    ]
}

fn posture() -> impl Strategy<Value = Posture> {
    prop_oneof![
        6 => Just(Posture::StandingUpsideDown),
        1 => Just(Posture::StandingUpright),
        1 => Just(Posture::FlatTopToFence),
        1 => Just(Posture::FlatBottomToFence),
    ]
}

fn blank() -> impl Strategy<Value = Blank> {
    let length = prop_oneof![
        3 => (8 * 16..200 * 16).prop_map(Length::sixteenths),
        2 => (16..14 * 16).prop_map(Length::sixteenths),
        1 => (1..3_200_000).prop_map(Length::from_units),
    ];
    (length, end(), posture(), end(), posture()).prop_map(|(length, left, l, right, r)| Blank {
        piece: 0,
        length,
        left: PieceEnd {
            end: left,
            posture: l,
        },
        right: PieceEnd {
            end: right,
            posture: r,
        },
    })
}

fn blanks(most: usize) -> impl Strategy<Value = Vec<Blank>> {
    prop::collection::vec(blank(), 0..=most).prop_map(|mut blanks| {
        for (at, blank) in blanks.iter_mut().enumerate() {
            // their places in a plan with pieces of other mouldings between them
            blank.piece = 3 * at + 1;
        }
        blanks
    })
}

fn stock() -> impl Strategy<Value = MouldingStock> {
    let kind = (
        20i32..=240,
        prop::option::weighted(0.8, 0i64..4000),
        prop::option::weighted(0.4, 0u32..12),
    );
    let kind = kind.prop_map(|(inches, price, count)| StickKind {
        length: Length::inches(inches),
        price: price.map(|price| Price(price * 25)),
        count,
    });
    (
        prop::collection::vec(kind, 0..5),
        prop::collection::vec((80i32..1600).prop_map(Length::sixteenths), 0..6),
        5i32..=14,
    )
        .prop_map(|(sticks, offcuts, thickness)| MouldingStock {
            name: "base".to_owned(),
            height: Length::inches(5),
            thickness: Length::sixteenths(thickness),
            profile: Length::ZERO,
            sticks,
            offcuts,
        })
}

fn any_saw() -> impl Strategy<Value = Saw> {
    (
        prop::option::of(posture()),
        any::<bool>(),
        0i32..3000,
        0i32..20_000,
    )
        .prop_map(|(posture, left, kerf, trim)| Saw {
            posture,
            kerf: Length::from_units(kerf),
            end_trim: Length::from_units(trim),
            stock_side: if left { Side::Left } else { Side::Right },
            ..saw()
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn random_lots_are_cut_validly(stock in stock(), saw in any_saw(), blanks in blanks(24)) {
        let plan = plan_with(3, &stock, &saw, &blanks);
        prop_assert_eq!(faults(&stock, &saw, &blanks, &plan), Ok(()));
        prop_assert!(plan.sticks.iter().all(|stick| stick.moulding == 3));
    }

    #[test]
    fn what_is_lacking_is_known_without_a_plan_and_hangs_on_no_effort(
        stock in stock(), saw in any_saw(), blanks in blanks(24)
    ) {
        let task = task(3, &stock, &saw, &blanks);
        let known = lacking(&task);
        for effort in [0, 60] {
            let plan = plan_sticks(&task, &mut Effort::new(effort, &mut |_| true));
            prop_assert_eq!((&known.unplaced, &known.short_holds), (&plan.unplaced, &plan.short_holds));
        }
    }

    #[test]
    fn only_what_is_too_long_goes_without_a_stick_where_sticks_never_end(
        mut stock in stock(), saw in any_saw(), blanks in blanks(16)
    ) {
        for kind in &mut stock.sticks {
            kind.count = None;
        }
        let plan = plan_with(0, &stock, &saw, &blanks);
        prop_assert_eq!(faults(&stock, &saw, &blanks, &plan), Ok(()));
        for blank in blanks.iter().filter(|blank| plan.unplaced.contains(&blank.piece)) {
            let alone = plan_with(0, &stock, &saw, &[*blank]);
            let others = plan.sticks.iter().any(|stick| stick.from_offcut);
            prop_assert!(others || alone.unplaced == [blank.piece]);
        }
    }
}
