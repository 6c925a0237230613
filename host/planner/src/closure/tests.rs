//! What must hold of any room's adjustment, and what surveying texts say of simple ones; and rooms as nobody measures them,
//! which must be told and no more.

use proptest::prelude::*;
use shared_model::{Angle, Length};

use super::adjust::Adjustment;
use super::snoop::{chi_squared, snoop, test};
use super::survey::{Reading, Side, Survey, UNKNOWN, Which};

/// A clockwise outline of sides in mm and turns in degrees, lengths good to 1 mm and corners to a quarter of a degree.
fn survey(sides: &[(f64, f64)]) -> Survey {
    let side = |&(length, turn): &(f64, f64)| Side {
        length: Reading {
            value: length,
            deviation: 1.0,
        },
        turn: Some(Reading {
            value: turn.to_radians(),
            deviation: 0.25f64.to_radians(),
        }),
    };
    Survey {
        sides: sides.iter().map(side).collect(),
        ties: Vec::new(),
        round: Some(std::f64::consts::TAU),
    }
}

fn room() -> Survey {
    survey(&[
        (3000.0, 90.2),
        (4000.0, 89.9),
        (1800.0, 90.0),
        (1500.0, -90.1),
        (1204.0, 90.0),
        (2502.0, 90.0),
    ])
}

#[test]
fn an_adjusted_room_closes_and_its_badness_is_the_sum_of_its_corrections() {
    let noted = room();
    let (adjustment, adjusted) = Adjustment::settled(&noted).expect("a closed room");
    assert!(adjusted.traverse().misclosure().length() < 1e-5);
    assert!(
        adjusted
            .turned_too_far()
            .is_some_and(|over| over.abs() < 1e-9)
    );
    let parts = noted.readings().map(|which| {
        let reading = noted.reading(which);
        let part = (adjusted.reading(which).value - reading.value) / reading.deviation;
        part * part
    });
    let sum: f64 = parts.sum();
    let badness = adjustment.badness();
    assert!((sum - badness).abs() < 1e-6 * badness, "{sum} {badness}");
    assert_eq!(adjustment.conditions(), 3);
}

#[test]
fn angles_alone_share_what_they_are_out_alike() {
    // angles of equal weight take equal shares of their misclosure: in any surveying text
    let mut triangle = survey(&[(3000.0, 119.7), (4000.0, 120.0), (5000.0, 120.9)]);
    for side in &mut triangle.sides {
        side.length.deviation = UNKNOWN;
    }
    let adjustment = Adjustment::of(&triangle).expect("a closed figure");
    for side in 0..3 {
        let deviation = triangle.reading(Which::Turn(side)).deviation;
        let degrees = adjustment
            .correction(Which::Turn(side), deviation)
            .to_degrees();
        assert!((degrees + 0.2).abs() < 1e-4, "{degrees}");
    }
}

#[test]
fn a_second_reading_shares_its_difference_by_the_squares_of_the_deviations() {
    // a mean weighted by 1/s^2: in any text on least squares
    let mut wall = survey(&[(3000.0, 0.0)]);
    wall.round = None;
    wall.ties.push(super::survey::Tie {
        from: 0,
        to: 1,
        length: Reading {
            value: 3005.0,
            deviation: 2.0,
        },
    });
    let (adjustment, adjusted) = Adjustment::settled(&wall).expect("one condition");
    assert!((adjusted.sides[0].length.value - 3001.0).abs() < 1e-9);
    // 5 mm between readings of 1 and 2 mm: 5 / sqrt(5)
    let tested = test(&adjustment, Which::Length(0));
    assert!((tested.test.abs() - 5.0 / 5f64.sqrt()).abs() < 1e-9);
    assert!((adjustment.deviation_after(Which::Length(0), 1.0) - 0.8f64.sqrt()).abs() < 1e-9);
}

#[test]
fn a_blunder_alone_is_guessed_to_its_size() {
    let noted = survey(&[
        (3000.0, 90.0),
        (4000.0, 90.0),
        (3000.0, 90.0),
        (4000.0, 90.0),
    ]);
    for side in 0..4 {
        let mut wrong = noted.clone();
        wrong.sides[side].length.value += 200.0;
        let adjustment = Adjustment::of(&wrong).expect("a closed room");
        let tests = snoop(&wrong, &adjustment);
        let own = tests
            .iter()
            .find(|tested| tested.which == Which::Length(side));
        let own = own.expect("every reading is tested");
        assert!((own.error - 200.0).abs() < 1e-6);
        let most = tests
            .iter()
            .map(|tested| tested.test.abs())
            .fold(0.0, f64::max);
        assert!(
            (own.test.abs() - most).abs() < 1e-9,
            "no other reading is more suspect"
        );
    }
}

#[test]
fn chi_squared_beyond_the_table_follows_it() {
    // 1 in 1000, as any table has it
    for (degrees, value) in [(6, 22.458), (8, 26.124), (10, 29.588), (20, 45.315)] {
        let got = chi_squared(degrees);
        assert!((got / value - 1.0).abs() < 1.0 / 100.0, "{degrees}: {got}");
    }
}

mod any_room {
    use super::*;
    use crate::closure::check;
    use crate::closure::report::RoomReport;
    use crate::walk::*;
    use shared_model::{Mark, Side, Unit};

    fn walk(rooms: Vec<Room>) -> Walk {
        Walk {
            setup: Setup {
                level: "Any".to_owned(),
                unit: Unit::Inch,
                mark: Mark::Sixteenth,
                old_house: false,
                saw: Saw::default(),
                mouldings: Vec::new(),
            },
            direction: Direction::Clockwise,
            cope: Side::Left,
            cope_up_to: Angle::degrees(100),
            cope_least: Length::ZERO,
            casing_gap: Length::ZERO,
            spring: Vec::new(),
            scarf: ScarfRule {
                bevel: Angle::degrees(45),
                stud: None,
                from: Side::Left,
                least: Length::inches(24),
            },
            accuracy: Accuracy::default(),
            rooms,
        }
    }

    fn item() -> impl Strategy<Value = Item> {
        let length = prop_oneof![1..3_000_000i32, Just(1), Just(Length::LONGEST.units())];
        let stretch = (length, 0..5).prop_map(|(units, kind)| {
            let length = Length::from_units(units);
            match kind {
                0 => Stretch::Opening(None),
                1 => Stretch::Opening(Some(length)),
                2 => Stretch::Existing(length),
                _ => Stretch::Wall(length),
            }
        });
        let gauge = prop_oneof![Just(9000u16), 1..18_000u16];
        let corner = (any::<bool>(), gauge).prop_map(|(inside, gauge)| Corner {
            turn: if inside { Turn::Inside } else { Turn::Outside },
            gauge: Angle::hundredths(gauge),
        });
        (stretch, prop::option::weighted(0.8, corner)).prop_map(|(stretch, corner)| Item {
            stretch,
            corner,
            radius: None,
            left: None,
            right: None,
        })
    }

    fn room() -> impl Strategy<Value = Room> {
        let outline = prop::collection::vec(item(), 0..14);
        let diagonal = (any::<usize>(), any::<usize>(), 1..3_000_000i32);
        let diagonals = prop::collection::vec(diagonal, 0..4);
        (outline, diagonals, any::<bool>(), any::<bool>()).prop_map(
            |(outline, diagonals, closed, island)| {
                let corners = outline.len() + 1;
                let diagonals = diagonals.into_iter().map(|(from, to, length)| Diagonal {
                    from: from % corners,
                    to: to % corners,
                    length: Length::from_units(length),
                });
                Room {
                    name: "Any".to_owned(),
                    moulding: 0,
                    closed,
                    island,
                    entry: 0,
                    diagonals: diagonals.collect(),
                    outline,
                }
            },
        )
    }

    proptest! {
        #[test]
        fn is_told_the_same_twice(room in room()) {
            let walk = walk(vec![room]);
            let told = check(&walk);
            prop_assert_eq!(&told, &check(&walk));
            for finding in told.iter().flatten() {
                prop_assert!(!finding.message.contains("NaN") && !finding.message.contains("inf "), "{}", finding.message);
                prop_assert!(finding.readings.len() <= 5);
            }
            let report = RoomReport::of(&walk, &walk.rooms[0]);
            for line in report.lines(&walk, &walk.rooms[0]) {
                prop_assert!(!line.contains("NaN"), "{}", line);
            }
        }
    }

    #[test]
    fn with_more_walls_than_any_house_is_told_without_a_search() {
        let wall = Item {
            stretch: Stretch::Wall(Length::inches(30)),
            corner: Some(Corner {
                turn: Turn::Inside,
                gauge: Angle::RIGHT,
            }),
            radius: None,
            left: None,
            right: None,
        };
        let room = Room {
            name: "Many".to_owned(),
            moulding: 0,
            closed: true,
            island: false,
            entry: 0,
            outline: vec![wall; 10_000],
            diagonals: Vec::new(),
        };
        let told = check(&walk(vec![room]));
        let message = &told[0][0].message;
        assert!(message.ends_with("measure it in parts."), "{message}");
    }
}
