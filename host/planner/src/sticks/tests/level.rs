//! Whole levels of an invented builder's houses, from a number: rooms, closets, halls with outside corners, bays,
//! columns and walls in two parts, as the walk would give them.

use shared_model::{Angle, End, Length, PieceEnd, Posture, Side};

use crate::sticks::along::Laid;
use crate::sticks::check::{Asked, Fault, check};
use crate::sticks::dice::Dice;
use crate::sticks::stock::Lot;
use crate::sticks::{Blank, Effort, SticksPlan, Task, Wishes, plan_sticks};
use crate::walk::{MouldingStock, Price, Saw, StickKind};

/// A fixed sequence of draws.
pub struct Draw(u64);

impl Draw {
    pub fn new(number: u64) -> Draw {
        Draw(number.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    /// From `low` up to and with `high`.
    pub fn between(&mut self, low: i32, high: i32) -> i32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        low + (self.0 >> 33) as i32 % (high - low + 1)
    }

    pub fn one_in(&mut self, count: i32) -> bool {
        self.between(1, count) == 1
    }
}

fn corner(degrees: u16, end: fn(Angle) -> End) -> End {
    end(Angle::degrees(degrees))
}

const COPE: fn(Angle) -> End = |gauge| End::Cope { gauge };
const INSIDE: fn(Angle) -> End = |gauge| End::InsideMiter { gauge };
const OUTSIDE: fn(Angle) -> End = |gauge| End::OutsideMiter { gauge };

/// Rooms are added until there are enough pieces.
pub fn level(pieces: usize, number: u64) -> Vec<Blank> {
    let mut draw = Draw::new(number);
    let mut walls: Vec<(i32, End, End)> = Vec::new();
    while walls.len() < pieces {
        match draw.between(0, 9) {
            0..=4 => room(&mut draw, &mut walls),
            5..=6 => closet(&mut draw, &mut walls),
            7..=8 => hall(&mut draw, &mut walls),
            _ => column(&mut draw, &mut walls),
        }
    }
    walls.truncate(pieces);
    let end = |end| PieceEnd {
        end,
        posture: Posture::StandingUpsideDown,
    };
    let blank = |(piece, (length, left, right)): (usize, (i32, End, End))| Blank {
        piece,
        length: Length::sixteenths(length),
        left: end(left),
        right: end(right),
    };
    walls.into_iter().enumerate().map(blank).collect()
}

/// A wall in sixteenths; one that is longer than a stick becomes two parts with a scarf.
fn wall(walls: &mut Vec<(i32, End, End)>, length: i32, left: End, right: End) {
    let bevel = Angle::degrees(45);
    if length > 190 * 16 {
        let part = length * 9 / 16;
        walls.push((part, left, End::ScarfOver { bevel }));
        walls.push((length - part, End::ScarfUnder { bevel }, right));
    } else {
        walls.push((length, left, right));
    }
}

/// Four walls with doors in the first two; every corner coped on the left. Some have a bay in the third.
fn room(draw: &mut Draw, walls: &mut Vec<(i32, End, End)>) {
    let gauge = 88 + draw.between(0, 4) as u16 * u16::from(draw.one_in(3));
    let a = draw.between(108 * 16, 240 * 16);
    let b = draw.between(100 * 16, 170 * 16);
    let (cope, bay) = (corner(90, COPE), corner(135, OUTSIDE));
    for (length, left) in [(a, cope), (b, corner(gauge, COPE))] {
        let door = draw.between(4 * 16, length - 43 * 16);
        wall(walls, door, left, End::Square);
        wall(walls, length - door - 37 * 16, End::Square, End::Square);
    }
    if draw.one_in(5) {
        let side = draw.between(25 * 16, 45 * 16);
        let inside = corner(135, INSIDE);
        wall(walls, (a - 2 * side) / 2, cope, bay);
        wall(walls, side, bay, inside);
        wall(walls, side, inside, inside);
        wall(walls, side, inside, bay);
        wall(walls, (a - 2 * side) / 2, bay, End::Square);
    } else {
        wall(walls, a, cope, End::Square);
    }
    wall(walls, b, cope, End::Square);
}

/// Three walls and two short returns beside a wide opening.
fn closet(draw: &mut Draw, walls: &mut Vec<(i32, End, End)>) {
    let (a, b) = (
        draw.between(36 * 16, 110 * 16),
        draw.between(22 * 16, 30 * 16),
    );
    let cope = corner(90, COPE);
    wall(walls, draw.between(3 * 16, 10 * 16), cope, End::Square);
    wall(
        walls,
        draw.between(3 * 16, 10 * 16),
        End::Square,
        End::Square,
    );
    wall(walls, b, cope, End::Square);
    wall(walls, a, cope, End::Square);
    wall(walls, b, cope, End::Square);
}

/// Stretches between doors, ending at outside corners; one is butted, as on square-edged stock.
fn hall(draw: &mut Draw, walls: &mut Vec<(i32, End, End)>) {
    let outside = corner(90 + draw.between(0, 2) as u16, OUTSIDE);
    wall(walls, draw.between(30 * 16, 120 * 16), outside, End::Square);
    wall(
        walls,
        draw.between(4 * 16, 40 * 16),
        End::Square,
        End::Square,
    );
    wall(
        walls,
        draw.between(20 * 16, 60 * 16),
        corner(90, COPE),
        outside,
    );
    let gauge = Angle::degrees(93);
    wall(
        walls,
        draw.between(10 * 16, 46 * 16),
        End::Butt { gauge },
        End::Square,
    );
}

/// Four faces, mitered all round.
fn column(draw: &mut Draw, walls: &mut Vec<(i32, End, End)>) {
    let (a, b) = (draw.between(5 * 16, 16 * 16), draw.between(5 * 16, 40 * 16));
    let outside = corner(90, OUTSIDE);
    for length in [a, b, a, b] {
        wall(walls, length, outside, outside);
    }
}

/// One to seven pieces of a level, each once, by their places.
pub(in crate::sticks) fn a_few(dice: &mut Dice) -> Vec<usize> {
    let mut few: Vec<usize> = (0..=dice.below(6)).map(|_| dice.below(120)).collect();
    few.sort_unstable();
    few.dedup();
    few
}

pub fn saw() -> Saw {
    Saw::default()
}

/// Sticks of so many feet, with prices in hundredths and counts where they are given.
pub fn moulding(kinds: &[(i32, Option<i64>, Option<u32>)], offcuts: &[i32]) -> MouldingStock {
    MouldingStock {
        name: "base".to_owned(),
        height: Length::inches(5),
        thickness: Length::sixteenths(9),
        profile: Length::sixteenths(12),
        sticks: kinds
            .iter()
            .map(|&(feet, price, count)| StickKind {
                length: Length::inches(12 * feet),
                price: price.map(|hundredths| Price(100 * hundredths)),
                count,
            })
            .collect(),
        offcuts: offcuts
            .iter()
            .map(|&inches| Length::inches(inches))
            .collect(),
    }
}

/// The effort that the tests take: much less than usual, so that they end soon.
const EFFORT: u32 = 60;

/// Plans as usual, with little effort.
pub fn plan_with(
    number: usize,
    moulding: &MouldingStock,
    saw: &Saw,
    blanks: &[Blank],
) -> SticksPlan {
    let task = task(number, moulding, saw, blanks);
    plan_sticks(&task, &mut Effort::new(EFFORT, &mut |_| true))
}

/// The usual, asked of one moulding.
pub fn task<'a>(
    number: usize,
    moulding: &'a MouldingStock,
    saw: &'a Saw,
    blanks: &'a [Blank],
) -> Task<'a> {
    Task {
        number,
        moulding,
        saw,
        blanks,
        rooms: &[],
        wishes: Wishes::USUAL,
    }
}

/// What the checker says of a plan.
pub fn faults(
    moulding: &MouldingStock,
    saw: &Saw,
    blanks: &[Blank],
    plan: &SticksPlan,
) -> Result<(), Fault> {
    let asked = Asked {
        moulding,
        saw,
        blanks,
    };
    check(&asked, plan)
}

/// Plans, checks, and gives the plan back.
pub fn checked(moulding: &MouldingStock, saw: &Saw, blanks: &[Blank]) -> SticksPlan {
    let plan = plan_with(0, moulding, saw, blanks);
    if let Err(what) = faults(moulding, saw, blanks, &plan) {
        panic!("{what}\n{moulding:?}\n{saw:?}\n{blanks:?}\n{plan:?}");
    }
    plan
}

#[test]
fn whole_levels_are_cut_validly_and_near_the_bound() {
    let by_length = [
        (8, None, None),
        (12, None, None),
        (14, None, None),
        (16, None, None),
    ];
    let prices = [(8, 1147), (12, 1698), (14, 2043), (16, 2279)];
    let priced = prices.map(|(feet, price)| (feet, Some(price), None));
    for number in 0..6 {
        for pieces in [40, 80, 150, 250] {
            let blanks = level(pieces, number);
            let few = prices.map(|(feet, price)| {
                let count = pieces as u32 / if feet == 16 { 4 } else { 12 };
                (feet, Some(price), Some(count))
            });
            let offcuts = [14, 22, 31, 47, 66, 90];
            // a plan may need one stick more than the bound, and a little besides
            for (stock, percent) in [
                (moulding(&[(16, None, None)], &[]), 0),
                (moulding(&by_length, &[]), 1),
                (moulding(&priced, &[]), 2),
                (moulding(&few, &offcuts), 5),
            ] {
                let plan = checked(&stock, &saw(), &blanks);
                assert_eq!((&plan.unplaced, &plan.short_holds), (&vec![], &vec![]));
                let kinds = stock.sticks.iter();
                let longest = kinds.map(|kind| match kind.price {
                    Some(price) => price.0,
                    None => i64::from(kind.length.units()),
                });
                let allowed = plan.bound * percent / 100 + longest.max().expect("a kind");
                assert!(
                    plan.cost - plan.bound <= allowed,
                    "{} {}",
                    plan.cost,
                    plan.bound
                );
            }
        }
    }
}

#[test]
fn the_same_pieces_give_the_same_plan() {
    let stock = moulding(&[(8, None, None), (16, None, Some(20))], &[30, 40]);
    let blanks = level(90, 7);
    assert_eq!(
        checked(&stock, &saw(), &blanks),
        checked(&stock, &saw(), &blanks)
    );
}

/// A level of 120 pieces as they lie along sticks of 16 ft.
pub(in crate::sticks) fn lot(number: u64) -> Lot {
    let stock = moulding(&[(16, None, None)], &[]);
    let lay = |blank| {
        let (saw, short) = (saw(), Length::inches(8));
        Laid::of(blank, stock.thickness, saw.kerf, short, Side::Left)
    };
    let laid = level(120, number).iter().map(lay).collect();
    Lot::of(&stock, &saw(), laid)
}
