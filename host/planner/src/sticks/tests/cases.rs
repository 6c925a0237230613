//! Cases that can be followed on paper.

use shared_model::{Angle, End, Length, PieceEnd, Posture, Side};

use super::level::{checked, moulding, saw};
use crate::plan::CutEnd;
use crate::sticks::Blank;
use crate::walk::{HoldRule, Saw};

const RIGHT_WAY_UP: Posture = Posture::StandingUpright;
const UPSIDE_DOWN: Posture = Posture::StandingUpsideDown;
const OUTSIDE: End = End::OutsideMiter {
    gauge: Angle::RIGHT,
};
const COPE: End = End::Cope {
    gauge: Angle::RIGHT,
};

fn blank(piece: usize, length: Length, left: End, right: End) -> Blank {
    let end = |end| PieceEnd {
        end,
        posture: UPSIDE_DOWN,
    };
    Blank {
        piece,
        length,
        left: end(left),
        right: end(right),
    }
}

fn inches(inches: i32) -> Length {
    Length::inches(inches)
}

/// A 1/8 in kerf at 45 degrees: 2032 units times the square root of 2, rounded up.
const KERF_AT_45: i32 = 2874;
const KERF: i32 = 2032;
const TRIM: i32 = 8128;

#[test]
fn an_outside_miter_and_the_cope_after_it_share_one_cut_to_the_unit() {
    // upside down with the stick to the left of the saw, the installed left end comes first
    let pieces = [
        blank(0, inches(30), COPE, End::Square),
        blank(1, inches(40), End::Square, OUTSIDE),
    ];
    let mut stock = moulding(&[], &[71]);
    stock.offcuts = vec![inches(70) + Length::from_units(TRIM + KERF_AT_45)];
    let plan = checked(&stock, &saw(), &pieces);
    assert_eq!(plan.sticks[0].pieces, [1, 0]);
    assert_eq!(plan.sticks[0].leftover, Length::ZERO);
    assert_eq!(plan.shared, [Some(Side::Left), None]);
    let end = |piece, installed| CutEnd { piece, installed };
    let cuts: Vec<_> = plan.sticks[0]
        .cuts
        .iter()
        .map(|cut| cut.ends.clone())
        .collect();
    assert_eq!(
        cuts,
        [
            vec![end(1, Side::Left)],
            vec![end(1, Side::Right), end(0, Side::Left)],
            vec![end(0, Side::Right)],
        ]
    );
    stock.offcuts[0] -= Length::from_units(1);
    assert_eq!(checked(&stock, &saw(), &pieces).unplaced.len(), 1);
}

#[test]
fn ends_that_are_not_parallel_lose_the_wedge() {
    // a right way up board with the stick to the left: the installed right end comes first
    let mut saw = saw();
    saw.posture = Some(RIGHT_WAY_UP);
    let mut pieces = [
        blank(0, inches(30), End::Square, OUTSIDE),
        blank(1, inches(40), OUTSIDE, OUTSIDE),
    ];
    for piece in &mut pieces {
        (piece.left.posture, piece.right.posture) = (RIGHT_WAY_UP, RIGHT_WAY_UP);
    }
    // trim, a wedge of 9/16 in before the first piece, one between them and one beyond the last, a square kerf; the
    // other way round the kerf between them would be a slanted one
    let mut stock = moulding(&[], &[72]);
    stock.offcuts[0] = inches(70) + Length::sixteenths(3 * 9) + Length::from_units(TRIM + KERF);
    let plan = checked(&stock, &saw, &pieces);
    assert_eq!(plan.sticks[0].pieces, [0, 1]);
    assert_eq!(plan.sticks[0].cuts.len(), 4);
    assert_eq!(plan.sticks[0].cuts[0].ends[0].installed, Side::Right);
    stock.offcuts[0] -= Length::from_units(1);
    assert_eq!(checked(&stock, &saw, &pieces).unplaced.len(), 1);
}

#[test]
fn an_end_cut_in_a_turned_posture_shares_no_cut() {
    let mut pieces = [
        blank(0, inches(30), End::Square, End::Square),
        blank(1, inches(40), End::Square, End::Square),
    ];
    let stock = moulding(&[], &[96]);
    let plan = checked(&stock, &saw(), &pieces);
    assert_eq!(plan.shared, [None, Some(Side::Left)]);
    assert_eq!(plan.sticks[0].cuts.len(), 3);
    for piece in &mut pieces {
        piece.left.posture = RIGHT_WAY_UP;
    }
    let turned = checked(&stock, &saw(), &pieces);
    assert_eq!(turned.shared, [None, None]);
    let postures: Vec<_> = turned.sticks[0]
        .cuts
        .iter()
        .map(|cut| cut.posture)
        .collect();
    assert_eq!(postures, [RIGHT_WAY_UP, UPSIDE_DOWN].repeat(2));
    // turning the board takes none of it
    assert_eq!(turned.sticks[0].leftover, plan.sticks[0].leftover);
}

#[test]
fn the_back_cut_of_a_butt_gives_the_next_piece_its_wood() {
    // at 95 degrees the back cut takes t * tan(5) off the back of the butt; its face keeps the whole length
    let gauge = Angle::degrees(95);
    let butt = End::Butt { gauge };
    let relief = butt.slope(Length::sixteenths(9));
    let pieces = [blank(0, inches(40), End::Square, butt)];
    let mut stock = moulding(&[], &[41]);
    stock.offcuts[0] = inches(40) + Length::from_units(TRIM);
    let plan = checked(&stock, &saw(), &pieces);
    assert_eq!((plan.unplaced.len(), plan.bound), (0, 0));
    let after = [pieces[0], blank(1, inches(20), COPE, End::Square)];
    // the cope, its back foremost, moves up to the butt's back
    let kerf = 2040; // 2032 / cos(5 degrees), rounded up
    stock.offcuts[0] = inches(60) - relief + Length::from_units(TRIM + kerf);
    assert_eq!(checked(&stock, &saw(), &after).sticks[0].pieces, [0, 1]);
    stock.offcuts[0] -= Length::from_units(1);
    assert_eq!(checked(&stock, &saw(), &after).unplaced.len(), 1);
}

#[test]
fn short_pieces_come_off_while_there_is_stick_to_hold() {
    let pieces = [
        blank(0, inches(12), End::Square, End::Square),
        blank(1, inches(6), End::Square, End::Square),
    ];
    // 1/2 in of trim, 6 in and a kerf leave 12 1/4 in, which is also what the other piece and its kerf take
    let mut stock = moulding(&[], &[19]);
    stock.offcuts[0] -= Length::sixteenths(2);
    let plan = checked(&stock, &saw(), &pieces);
    assert_eq!(
        (&plan.sticks[0].pieces, &plan.short_holds),
        (&vec![1, 0], &vec![])
    );
    // two offcuts: the short piece goes to the one where it can be held, though it would fill the other
    let stock = moulding(&[], &[7, 21]);
    let plan = checked(&stock, &saw(), &pieces);
    assert_eq!(
        (plan.sticks.len(), &plan.sticks[0].pieces),
        (1, &vec![1, 0])
    );
}

#[test]
fn a_stick_is_bought_before_a_short_piece_is_held_short_and_it_is_told_when_there_is_none() {
    let pieces = [blank(9, inches(6), End::Square, End::Square)];
    let plan = checked(&moulding(&[(8, Some(1000), None)], &[10]), &saw(), &pieces);
    assert!(!plan.sticks[0].from_offcut && plan.short_holds.is_empty());
    let plan = checked(&moulding(&[(1, Some(100), None)], &[10]), &saw(), &pieces);
    assert!(plan.sticks[0].from_offcut);
    assert_eq!((plan.cost, plan.short_holds), (0, vec![9]));
}

#[test]
fn what_is_short_and_how_much_is_held_is_the_saws_to_say() {
    // 1/2 in of trim, 6 in and a kerf leave 11 3/8 in of the offcut
    let pieces = [blank(9, inches(6), End::Square, End::Square)];
    let stock = moulding(&[(8, Some(1000), None)], &[18]);
    let from_offcut = |least_hold: Length, short_piece: i32| {
        let hold = HoldRule {
            least_hold,
            short_piece: Length::inches(short_piece),
        };
        let saw = Saw { hold, ..saw() };
        let plan = checked(&stock, &saw, &pieces);
        assert_eq!(plan.short_holds, []);
        plan.sticks[0].from_offcut
    };
    let left = Length::sixteenths(16 * 18 - 8 - 16 * 6 - 2);
    assert!(!from_offcut(Length::inches(12), 8));
    assert!(!from_offcut(left + Length::from_units(1), 8));
    assert!(from_offcut(left, 8));
    assert!(from_offcut(Length::inches(12), 6));
}

#[test]
fn what_no_stick_can_give_is_named_and_the_rest_is_cut() {
    let pieces = [
        blank(4, inches(100), End::Square, End::Square),
        blank(5, inches(60), COPE, End::Square),
        blank(6, inches(60), End::Square, End::Square),
        // its two ends cross within the board
        blank(7, inches(1), COPE, COPE),
    ];
    let plan = checked(&moulding(&[(8, None, Some(1))], &[]), &saw(), &pieces);
    assert_eq!(plan.unplaced.len(), 3);
    assert!(plan.unplaced.contains(&4) && plan.unplaced.contains(&7));
    assert_eq!(
        (plan.cost, plan.bound),
        (i64::from(inches(96).units()), plan.cost)
    );
}

#[test]
fn cost_goes_by_length_where_one_kind_has_no_price() {
    let pieces = [blank(0, inches(60), End::Square, End::Square)];
    let priced = checked(
        &moulding(&[(8, Some(900), None), (16, Some(800), None)], &[]),
        &saw(),
        &pieces,
    );
    assert_eq!(
        (priced.cost, priced.sticks[0].length),
        (80_000, inches(192))
    );
    assert_eq!(priced.bound, 80_000);
    let by_length = checked(
        &moulding(&[(8, Some(900), None), (16, None, None)], &[]),
        &saw(),
        &pieces,
    );
    assert_eq!(by_length.cost, i64::from(inches(96).units()));
}

#[test]
fn the_last_kerf_may_run_off_the_end_and_the_bound_knows_it() {
    for far in [End::Square, COPE] {
        let pieces = [
            blank(0, inches(10), End::Square, End::Square),
            blank(1, inches(10), End::Square, far),
        ];
        let mut stock = moulding(&[(2, None, None)], &[]);
        stock.sticks[0].length = inches(20) + Length::from_units(TRIM + KERF);
        let plan = checked(&stock, &saw(), &pieces);
        assert_eq!((plan.sticks.len(), plan.bound), (1, plan.cost));
    }
}

#[test]
fn of_orders_that_leave_as_much_the_one_with_fewest_cuts_is_taken() {
    let mut pieces = [0, 1, 2].map(|at| blank(at, inches(30), End::Square, End::Square));
    for piece in &mut pieces[..2] {
        piece.left.posture = RIGHT_WAY_UP;
    }
    pieces[2].right.posture = RIGHT_WAY_UP;
    // 0 and 1 begin right way up and end upside down, 2 the other way: only with 2 between them are two cuts shared
    let plan = checked(&moulding(&[], &[100]), &saw(), &pieces);
    assert_eq!(plan.sticks[0].pieces, [0, 2, 1]);
    assert_eq!(plan.sticks[0].cuts.len(), 4);
}
