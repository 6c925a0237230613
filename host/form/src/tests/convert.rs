//! Every walk and every cut list comes back the same from all three forms.

use planner::walk::{
    Accuracy, Corner, CutList, Diagonal, Direction, HoldRule, Item, ListedPiece, MouldingStock,
    Price, Room, Saw, ScarfRule, Setup, Sheet, Spring, StickKind, Stretch, Turn, Walk,
};
use proptest::prelude::*;
use proptest::strategy::Just;
use shared_model::{Angle, End, Joint, Length, Mark, Side, True45, Unit};

use super::sheet;
use crate::words::{MARKS, MEASURES, POSTURES};
use crate::{to_csv, to_json, to_text};

/// Any length of this many units, or a mark of the tape.
fn length(from: i32, to: i32) -> impl Strategy<Value = Length> {
    let marks = (from / 127 + 1)..(to / 127);
    prop_oneof![
        (from..to).prop_map(Length::from_units),
        marks.prop_map(|marks| Length::from_units(marks * 127)),
    ]
}

fn wall() -> impl Strategy<Value = Length> {
    length(1_000, 10_000_000)
}

fn angle(from: u16, to: u16) -> impl Strategy<Value = Angle> {
    prop_oneof![
        Just(Angle::RIGHT.in_hundredths().clamp(from, to)),
        from..=to
    ]
    .prop_map(Angle::hundredths)
}

fn gauge() -> impl Strategy<Value = Angle> {
    angle(1, 17_999)
}

fn side() -> impl Strategy<Value = Side> {
    prop_oneof![Just(Side::Left), Just(Side::Right)]
}

fn name() -> impl Strategy<Value = String> {
    let odd = prop::sample::select(vec![
        "",
        "// ",
        "\"",
        "room",
        "a // b",
        "http://x",
        "Bed 2:",
        "60",
        "caf\u{e9}, ",
        "\\",
    ]);
    (odd, "[a-zA-Z0-9 \"/#,:\\\\-]{0,8}")
        .prop_map(|(odd, more)| format!("{odd}{more}x").trim().to_owned())
}

fn saw() -> impl Strategy<Value = Saw> {
    let lengths = (
        length(0, 200_000),
        length(0, 200_000),
        length(0, 16_000),
        length(0, 16_000),
    );
    let angles = [
        angle(0, 8999),
        angle(0, 8999),
        angle(0, 8999),
        angle(0, 8999),
    ];
    let posture = prop::sample::select(POSTURES.to_vec());
    let measured = || angle(4000, 5000);
    let true_45 = prop_oneof![
        Just(True45::EXACT),
        (measured(), measured(), measured(), measured()).prop_map(
            |(swing_left, swing_right, tilt_left, tilt_right)| True45 {
                swing_left,
                swing_right,
                tilt_left,
                tilt_right,
            }
        )
    ];
    let back_cut = prop_oneof![Just(Angle::degrees(5)), angle(0, 4500)];
    let hold = prop_oneof![
        Just(HoldRule::USUAL),
        (length(0, 700_000), length(0, 700_000)).prop_map(|(short_piece, least_hold)| HoldRule {
            short_piece,
            least_hold
        })
    ];
    let posture = (posture, true_45, back_cut, hold);
    (posture, lengths, angles, any::<bool>(), side()).prop_map(
        |(
            ((_, posture), true_45, back_cut_up_to, hold),
            (tall, wide, kerf, trim),
            [a, b, c, d],
            slides,
            stock_side,
        )| {
            Saw {
                posture,
                standing_height: tall,
                flat_width: wide,
                swing_left: a,
                swing_right: b,
                tilt_left: c,
                tilt_right: d,
                true_45,
                back_cut_up_to,
                slides,
                kerf,
                end_trim: trim,
                stock_side,
                hold,
            }
        },
    )
}

fn moulding() -> impl Strategy<Value = MouldingStock> {
    let stick = (
        length(100_000, 4_000_000),
        prop::option::of((0i64..=1_000_000_000).prop_map(Price)),
        prop::option::of(1u32..500),
    )
        .prop_map(|(length, price, count)| StickKind {
            length,
            price,
            count,
        });
    (
        name(),
        (
            length(20_000, 200_000),
            length(1_000, 30_000),
            length(0, 19_000),
        ),
        prop::collection::vec(stick, 1..4),
        prop::collection::vec(wall(), 0..4),
    )
        .prop_map(
            |(name, (height, thickness, profile), sticks, offcuts)| MouldingStock {
                name,
                height,
                thickness,
                profile,
                sticks,
                offcuts,
            },
        )
}

fn setup() -> impl Strategy<Value = Setup> {
    let mark = prop::sample::select(MARKS.map(|(_, mark): (_, Mark)| mark).to_vec());
    let mouldings = prop::collection::vec(moulding(), 1..4);
    (name(), any::<(bool, bool)>(), mark, saw(), mouldings).prop_map(
        |(level, (metric, old_house), mark, saw, mut mouldings)| {
            for (index, moulding) in mouldings.iter_mut().enumerate() {
                moulding.name += &index.to_string();
            }
            let unit = if metric { Unit::Millimetre } else { Unit::Inch };
            Setup {
                level,
                unit,
                mark,
                saw,
                mouldings,
                old_house,
            }
        },
    )
}

fn item() -> impl Strategy<Value = Item> {
    let corner = prop_oneof![Just(Turn::Inside), Just(Turn::Outside)];
    let corner =
        prop::option::of((corner, gauge()).prop_map(|(turn, gauge)| Corner { turn, gauge }));
    let joint = || prop::option::weighted(0.2, prop::sample::select(Joint::ALL.to_vec()));
    let stretch = prop_oneof![
        4 => wall().prop_map(Stretch::Wall),
        1 => wall().prop_map(|width| Stretch::Opening(Some(width))),
        1 => Just(Stretch::Opening(None)),
        1 => wall().prop_map(Stretch::Existing),
    ];
    let radius = prop::option::weighted(0.2, length(1, 300_000));
    (stretch, corner, radius, joint(), joint()).prop_map(
        |(stretch, corner, radius, left, right)| {
            let forced = matches!(stretch, Stretch::Wall(_));
            let rounded = corner.is_some_and(|corner| corner.turn == Turn::Outside);
            Item {
                stretch,
                corner,
                radius: radius.filter(|_| rounded),
                left: left.filter(|_| forced),
                right: right.filter(|_| forced),
            }
        },
    )
}

fn room() -> impl Strategy<Value = Room> {
    let items = prop::collection::vec(item(), 1..8);
    let diagonal = prop::option::of(wall());
    (name(), any::<(usize, bool, bool, usize)>(), items, diagonal).prop_map(
        |(name, (moulding, closed, island, entry), outline, diagonal)| {
            let count = |what: fn(&Item) -> bool| outline.iter().filter(|item| what(item)).count();
            let corners = count(|item| item.corner.is_some());
            let openings = count(|item| matches!(item.stretch, Stretch::Opening(_)));
            let closed = closed && corners >= 3;
            let diagonal = diagonal.map(|length| Diagonal {
                from: 0,
                to: 1,
                length,
            });
            Room {
                name,
                moulding,
                closed,
                island,
                entry: entry.checked_rem(openings).unwrap_or(0),
                diagonals: diagonal.into_iter().collect(),
                outline,
            }
        },
    )
}

pub fn walk() -> impl Strategy<Value = Sheet> {
    let spring =
        (length(0, 3_000_000), length(1, 16_256)).prop_map(|(over, add)| Spring { over, add });
    let scarf = (
        angle(1, 6000),
        prop::option::of(length(66_000, 900_000)),
        side(),
        wall(),
    )
        .prop_map(|(bevel, stud, from, least)| ScarfRule {
            bevel,
            stud,
            from,
            least,
        });
    let measures = prop::sample::select(MEASURES.to_vec());
    let accuracy = (prop::option::of(measures), angle(1, 500), angle(1, 500)).prop_map(
        |(with, corners, gauge)| Accuracy {
            with: with.map(|(_, measure)| measure),
            corners,
            gauge,
        },
    );
    let off_or = |most| prop_oneof![Just(Length::ZERO), length(1, most)];
    (
        setup(),
        (
            (any::<bool>(), side(), angle(9000, 13_500)),
            (off_or(700_000), off_or(16_256)),
        ),
        prop::collection::vec(spring, 0..3),
        scarf,
        accuracy,
        prop::collection::vec(room(), 1..5),
    )
        .prop_map(
            |(setup, (way, (cope_least, casing_gap)), spring, scarf, accuracy, mut rooms)| {
                let (clockwise, cope, cope_up_to) = way;
                for (index, room) in rooms.iter_mut().enumerate() {
                    room.name += &index.to_string();
                    room.moulding %= setup.mouldings.len();
                }
                Sheet::Walk(Walk {
                    setup,
                    direction: if clockwise {
                        Direction::Clockwise
                    } else {
                        Direction::CounterClockwise
                    },
                    cope,
                    cope_up_to,
                    cope_least,
                    casing_gap,
                    spring,
                    scarf,
                    accuracy,
                    rooms,
                })
            },
        )
}

fn end() -> impl Strategy<Value = End> {
    prop_oneof![
        Just(End::Square),
        Just(End::Return),
        gauge().prop_map(|gauge| End::Butt { gauge }),
        gauge().prop_map(|gauge| End::Cope { gauge }),
        gauge().prop_map(|gauge| End::InsideMiter { gauge }),
        gauge().prop_map(|gauge| End::OutsideMiter { gauge }),
        angle(1, 6000).prop_map(|bevel| End::ScarfOver { bevel }),
        angle(1, 6000).prop_map(|bevel| End::ScarfUnder { bevel }),
    ]
}

pub fn cut_list() -> impl Strategy<Value = Sheet> {
    let piece = (
        name(),
        prop::option::of(1u32..90),
        any::<usize>(),
        wall(),
        end(),
        end(),
    )
        .prop_map(|(room, wall, moulding, length, left, right)| ListedPiece {
            room,
            wall,
            moulding,
            length,
            left,
            right,
        });
    (setup(), prop::collection::vec(piece, 1..8)).prop_map(|(setup, mut pieces)| {
        for piece in &mut pieces {
            piece.moulding %= setup.mouldings.len();
        }
        Sheet::CutList(CutList { setup, pieces })
    })
}

fn read(text: &str) -> Sheet {
    sheet(text).unwrap_or_else(|refused| panic!("{refused:#?}\n{text}"))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn all_three_forms_say_the_same(sheet in prop_oneof![walk(), cut_list()]) {
        let json = |sheet: &Sheet| to_json(sheet).expect("JSON");
        let forms: [&dyn Fn(&Sheet) -> String; 3] = [&to_text, &json, &to_csv];
        let written = forms.map(|write| write(&sheet));
        for text in &written {
            let back = read(text);
            prop_assert_eq!(&back, &sheet, "{}", text);
            prop_assert_eq!(&forms.map(|write| write(&back)), &written);
        }
    }
}
