//! The classes of pieces and sticks on which the stick planner is measured. How it does is left to the table.
//!
//! *Uniform* and *triplet* are the constructions of Falkenauer 1996 ("A hybrid grouping genetic algorithm for bin
//! packing", the triplets in whole numbers as the bin packing library of Delorme, Iori and Martello 2018 has them);
//! *planted* sticks are cut up without any waste, so that the least number is known. Levels are by `level`.

use planner::sticks::Blank;
use planner::walk::{MouldingStock, Price, Saw, StickKind};
use shared_model::{End, Length, PieceEnd, Posture, Side};

use super::level::level;
use super::mersenne::Mersenne;

/// Pieces, the sticks for them, and the saw.
pub struct Instance {
    /// Which one of its class.
    pub number: u64,
    /// The pieces.
    pub blanks: Vec<Blank>,
    /// The sticks.
    pub moulding: MouldingStock,
    /// The saw.
    pub saw: Saw,
}

/// The saw of the levels: a stick that lies to the right and a board the right way up, so that the installed left end
/// is cut first.
pub fn saw() -> Saw {
    Saw {
        posture: Some(Posture::StandingUpright),
        stock_side: Side::Right,
        ..Saw::default()
    }
}

/// Sticks by length, price and count, and offcuts by the inch.
fn moulding(kinds: Vec<(Length, Option<i64>, Option<u32>)>, offcuts: &[i32]) -> MouldingStock {
    let kinds = kinds.into_iter().map(|(length, price, count)| StickKind {
        length,
        price: price.map(|hundredths| Price(100 * hundredths)),
        count,
    });
    MouldingStock {
        name: "base".to_owned(),
        height: Length::inches(5),
        thickness: Length::sixteenths(9),
        profile: Length::sixteenths(12),
        sticks: kinds.collect(),
        offcuts: offcuts.iter().map(|&i| Length::inches(i)).collect(),
    }
}

/// The sticks that a level of so many pieces is cut from: 16 ft alone (S1), 12 and 16 (S2), 8 to 16 by length (S4), by a
/// price table (P4), and by that table with few of each and six offcuts in hand (L4).
pub fn stock(name: &str, pieces: usize) -> MouldingStock {
    let feet = |feet: i32| Length::inches(12 * feet);
    let by_length = |of: &[i32]| of.iter().map(|&f| (feet(f), None, None)).collect();
    let prices = [(8, 1147), (12, 1698), (14, 2043), (16, 2279)];
    match name {
        "S1" => moulding(by_length(&[16]), &[]),
        "S2" => moulding(by_length(&[12, 16]), &[]),
        "S4" => moulding(by_length(&[8, 12, 14, 16]), &[]),
        "P4" => moulding(
            prices
                .map(|(f, price)| (feet(f), Some(price), None))
                .to_vec(),
            &[],
        ),
        _ => moulding(
            prices
                .map(|(f, price)| {
                    let share = if f == 16 { 4 } else { 12 };
                    (feet(f), Some(price), Some(pieces as u32 / share))
                })
                .to_vec(),
            &[14, 22, 31, 47, 66, 90],
        ),
    }
}

/// Levels of so many pieces, by their seeds.
pub fn levels(name: &str, pieces: usize, seeds: std::ops::Range<u64>) -> Vec<Instance> {
    seeds
        .map(|number| Instance {
            number,
            blanks: level(pieces, number),
            moulding: stock(name, pieces),
            saw: saw(),
        })
        .collect()
}

/// Square pieces of whole inches out of one kind of stick, without kerf or trim.
fn plain(number: u64, sizes: &[i32], stick: Length, unit: Length, kerf: Length) -> Instance {
    let end = PieceEnd {
        end: End::Square,
        posture: Posture::StandingUpright,
    };
    let numbered = sizes.iter().enumerate();
    Instance {
        number,
        blanks: numbered
            .map(|(piece, &size)| Blank {
                piece,
                length: Length::from_units(size * unit.units()),
                left: end,
                right: end,
            })
            .collect(),
        moulding: moulding(vec![(stick, None, None)], &[]),
        saw: Saw {
            kerf,
            end_trim: Length::ZERO,
            ..saw()
        },
    }
}

/// Falkenauer's uniform class: whole sizes from 20 to 100 into 150.
pub fn uniform(pieces: usize, numbers: std::ops::Range<u64>) -> Vec<Instance> {
    let one = |number| {
        let mut draw = Mersenne::new(pieces as u64 * 100 + number);
        let sizes: Vec<i32> = (0..pieces).map(|_| 20 + draw.below(81) as i32).collect();
        let inch = Length::inches(1);
        plain(number, &sizes, Length::inches(150), inch, Length::ZERO)
    };
    numbers.map(one).collect()
}

/// Falkenauer's triplets: each stick of 1000 can be cut into three pieces without waste, and in no better way.
pub fn triplet(pieces: usize, numbers: std::ops::Range<u64>) -> Vec<Instance> {
    let one = |number| {
        let mut draw = Mersenne::new(pieces as u64 * 1000 + number);
        let mut sizes = Vec::new();
        for _ in 0..pieces / 3 {
            let a = 380 + draw.below(111) as i32;
            let most = (1000 - a) / 2;
            let b = 250 + draw.below((most - 249) as usize) as i32;
            sizes.extend([a, b, 1000 - a - b]);
        }
        draw.shuffle(&mut sizes);
        let eighth = Length::sixteenths(2);
        plain(number, &sizes, Length::inches(125), eighth, Length::ZERO)
    };
    numbers.map(one).collect()
}

/// Sticks of 16 ft cut up without waste into the mixture of lengths that levels have, a kerf after each.
pub fn planted(sticks: usize, numbers: std::ops::Range<u64>) -> Vec<Instance> {
    let one = |number| {
        let mut draw = Mersenne::new(sticks as u64 * 77 + number);
        let mut sizes = Vec::new();
        // in sixteenths, with the kerf of two: a stick gives one more than its length since the last runs off its end
        for _ in 0..sticks {
            let mut rest = 16 * 192 + 2;
            loop {
                let inches = match draw.fraction() < 0.35 {
                    true => draw.between(3.0, 24.0),
                    false => draw.between(24.0, 150.0),
                };
                let size = (16.0 * inches) as i32 + 2;
                if size > rest - 34 || (rest < 1600 && draw.fraction() < 0.25) {
                    sizes.push(rest - 2);
                    break;
                }
                sizes.push(size - 2);
                rest -= size;
            }
        }
        draw.shuffle(&mut sizes);
        let (stick, unit) = (Length::inches(192), Length::sixteenths(1));
        plain(number, &sizes, stick, unit, Length::sixteenths(2))
    };
    numbers.map(one).collect()
}
