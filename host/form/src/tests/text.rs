//! What a text sheet means, in the fewest words and in all of them; what it is told when it cannot be, is in the files
//! under tests/data/bad.

use planner::walk::{Direction, Price, Stretch, Turn};
use proptest::prelude::*;
use shared_model::{Angle, End, Joint, Length, Mark, Posture, Side, True45, Unit};

use super::{cut_list, nearly, refused, sheet, walk};

const DEN: &str = "\
// measured on Tuesday
level Garden room
moulding base
high 5 1/4, thick 9/16, profile 3/4
stick 192

room Den
31 1/2          // to the casing
door 37 1/2
75
10' 4 3/8
12' 0 corner 92
10' 4 3/8
";

const CUTS: &str = "Cut List\nlevel Upper floor\nsaw standing upright\nmoulding base\nhigh 5 1/4 thick 9/16 profile 3/4\nstick 192\n\
         room Bed 2\n30 left cope\n10' 0 left scarf under 30, right outside miter 135, wall 2\nroom Hall\n\
         40 1/2+ left scarf over right inside miter\n12 left return right butt 88\n";

#[test]
fn a_few_lines_are_a_room() {
    let text = walk(DEN);
    let json = walk(
        r#"{ "walk": 1, "level": "Garden room",
        "mouldings": [ { "name": "base", "height": 5.25, "thickness": 0.5625, "profile": 0.75, "sticks": [ { "length": 192 } ] } ],
        "rooms": [ { "name": "Den", "moulding": "base", "outline": [
        { "wall": "31 1/2" }, { "opening": "37 1/2" }, { "wall": "75", "corner": "inside" }, { "wall": "10' 4 3/8", "corner": "inside" },
        { "wall": "144", "corner": "inside", "gauge": 92 }, { "wall": "10' 4 3/8", "corner": "inside" } ] } ] }"#,
    );
    assert_eq!(text, json);
}

#[test]
fn capitals_commas_and_carriage_returns_do_not_matter() {
    let shouted = DEN.to_uppercase().replace('\n', "\r\n");
    let plain = DEN.replace("12' 0 corner 92", "wall 12' 0, Corner: 92\u{b0},");
    let mut loud = walk(&shouted);
    loud.setup.level = "Garden room".to_owned();
    loud.setup.mouldings[0].name = "base".to_owned();
    loud.rooms[0].name = "Den".to_owned();
    assert_eq!(loud, walk(DEN));
    assert_eq!(walk(&plain), walk(DEN));
}

#[test]
fn a_room_may_name_its_moulding_on_its_own_line() {
    let two = DEN.replace(
        "room Den",
        "moulding Closet base\nhigh 3 thick 1/2 profile 0\nstick 96\n\nroom Den",
    );
    let under = walk(&two.replace("room Den", "room Den\nwith closet base"));
    assert_eq!(under.rooms[0].moulding, 1);
    for line in [
        "room Den, with closet base",
        "Room Den with Closet base",
        "room Den With closet base,",
    ] {
        assert_eq!(walk(&two.replace("room Den", line)), under, "{line}");
    }
    let named = walk(&two.replace("room Den", "room \"Den with closet base\""));
    assert_eq!(named.rooms[0].name, "Den with closet base");
    assert_eq!(named.rooms[0].moulding, 0);
    let read = |form: &planner::walk::Sheet| walk(&crate::to_text(form));
    assert_eq!(read(&planner::walk::Sheet::Walk(named.clone())), named);
}

#[test]
fn what_phones_and_old_programs_write_is_read() {
    let phone = DEN
        .replace("31 1/2 ", "31 1\u{2044}2")
        .replace("3/8", "3\u{2215}8");
    assert_eq!(walk(&phone), walk(DEN));
    assert_eq!(walk(&DEN.replace('\n', "\r")), walk(DEN));
    for half in ["91 1/2", "91\u{bd}", "91.5"] {
        let corner = walk(&DEN.replace("corner 92", &format!("corner {half}")));
        let gauge = corner.rooms[0].outline[4].corner.map(|corner| corner.gauge);
        assert_eq!(gauge, Some(Angle::hundredths(9150)), "{half}");
    }
    let across = |line: &str| walk(&format!("{DEN}{line}\n")).rooms[0].diagonals.clone();
    assert_eq!(
        across("across 0 to 4 160 7/8"),
        across("across 0 to 4 is 160 7/8")
    );
    assert_eq!(across("across 0 to 4 160 7/8").len(), 1);
    let cuts = cut_list(&CUTS.replace("left cope\n", "left cope 91 1/2\n"));
    let gauge = Angle::hundredths(9150);
    assert_eq!(cuts.pieces[0].left, End::Cope { gauge });
}

#[test]
fn everything_that_json_can_say_is_said() {
    let walk = walk(
        "level \"Upper // floor\"\nunit mm\ntape 0.5 mm\nwalk Counter-Clockwise\ncope right\nmiter over 92.5\n\
         spring 1.5 over 2400\nscarf 30 stud none least 610\nsaw any slides\nsaw tall 165, wide 300 kerf 3 trim 12 stock right\n\
         swing left 45\ntilt left 0 right 48\nhold 350, under 210\nTrue 45 left 44.8, right 45.1\ntrue 45 tilt right 44.9\n\
         moulding base\nhigh 140 thick 14 profile 0\nstick 4800 at 21.50 have 7\nstick 3600\noffcut 900, 3 ft 1 in\n\
         moulding Closet base\nhigh 90 thick 12 profile 0\noffcut 100\n\
         room Post\nwith closet BASE\nisland\n300 out left return right inside miter\ntub ?\nhung 300 out 88.25\n300 on\n10 corner 45\n\
         enter 1\nacross 0 to 2 is 424\nroom Hall\nopen\n900 left square\nstairs\n",
    );
    assert_eq!(walk.setup.level, "Upper // floor");
    assert_eq!(
        (walk.setup.unit, walk.setup.mark),
        (Unit::Millimetre, Mark::HalfMillimetre)
    );
    assert_eq!(
        (walk.direction, walk.cope),
        (Direction::CounterClockwise, Side::Right)
    );
    assert_eq!(walk.cope_up_to, Angle::hundredths(9250));
    assert_eq!(walk.spring[0].over, Length::millimetres(2400));
    assert_eq!(
        (walk.scarf.bevel, walk.scarf.stud),
        (Angle::degrees(30), None)
    );
    let saw = walk.setup.saw;
    assert_eq!(
        (saw.posture, saw.slides, saw.stock_side),
        (None, true, Side::Right)
    );
    assert_eq!(
        (saw.swing_left, saw.swing_right, saw.tilt_left),
        (Angle::degrees(45), Angle::degrees(60), Angle::ZERO)
    );
    assert_eq!(saw.kerf, Length::millimetres(3));
    assert_eq!(
        (saw.hold.least_hold, saw.hold.short_piece),
        (Length::millimetres(350), Length::millimetres(210))
    );
    assert_eq!(
        saw.true_45,
        True45 {
            swing_left: Angle::hundredths(4480),
            swing_right: Angle::hundredths(4510),
            tilt_left: Angle::degrees(45),
            tilt_right: Angle::hundredths(4490),
        }
    );
    let base = &walk.setup.mouldings[0];
    assert_eq!(
        (base.sticks[0].price, base.sticks[0].count),
        (Some(Price(215_000)), Some(7))
    );
    assert_eq!((base.sticks[1].price, base.sticks[1].count), (None, None));
    assert_eq!(base.offcuts, [Length::millimetres(900), Length::inches(37)]);
    let post = &walk.rooms[0];
    assert_eq!(
        (
            post.moulding,
            post.island,
            post.closed,
            post.diagonals.len()
        ),
        (1, true, true, 1)
    );
    let [first, tub, hung, on, last] = post.outline.as_slice() else {
        panic!("five stretches: {post:?}");
    };
    assert_eq!(
        (first.left, first.right),
        (Some(Joint::Return), Some(Joint::InsideMiter))
    );
    assert_eq!(first.corner.map(|corner| corner.turn), Some(Turn::Outside));
    assert_eq!((tub.stretch, tub.corner), (Stretch::Opening(None), None));
    assert_eq!(hung.stretch, Stretch::Existing(Length::millimetres(300)));
    assert_eq!(
        hung.corner.map(|corner| corner.gauge),
        Some(Angle::hundredths(8825))
    );
    assert_eq!(
        (on.corner, last.corner.map(|corner| corner.turn)),
        (None, Some(Turn::Inside))
    );
    let hall = &walk.rooms[1];
    assert_eq!(
        (hall.moulding, hall.closed, hall.outline[0].corner),
        (0, false, None)
    );
}

#[test]
fn a_cut_list_is_a_piece_a_line() {
    let list = cut_list(CUTS);
    assert_eq!(list.setup.saw.posture, Some(Posture::StandingUpright));
    let ends: Vec<(End, End)> = list
        .pieces
        .iter()
        .map(|piece| (piece.left, piece.right))
        .collect();
    let (gauge, bevel) = (Angle::RIGHT, Angle::degrees(45));
    assert_eq!(
        ends,
        [
            (End::Cope { gauge }, End::Square),
            (
                End::ScarfUnder {
                    bevel: Angle::degrees(30)
                },
                End::OutsideMiter {
                    gauge: Angle::degrees(135)
                }
            ),
            (End::ScarfOver { bevel }, End::InsideMiter { gauge }),
            (
                End::Return,
                End::Butt {
                    gauge: Angle::degrees(88)
                }
            ),
        ]
    );
    assert_eq!(
        (list.pieces[1].wall, list.pieces[1].length),
        (Some(2), Length::inches(120))
    );
    assert_eq!(
        (list.pieces[2].room.as_str(), list.pieces[2].wall),
        ("Hall", None)
    );
}

#[test]
fn all_that_is_wrong_is_told_in_the_files_order() {
    let text = DEN
        .replace("stick 192", "stick 192 at 21,50")
        .replace("door", "dor")
        .replace("75\n", "75 3/7\n")
        .replace("corner 92", "corner 190 left copd");
    let list = refused(&text);
    let told: Vec<(usize, usize, &str)> = list
        .iter()
        .map(|one| (one.line, one.column, one.read.as_str()))
        .collect();
    assert_eq!(
        told,
        [
            (5, 14, "21,50"),
            (9, 1, "dor"),
            (10, 6, "75 3/7"),
            (12, 14, "190"),
            (12, 23, "copd")
        ]
    );
}

proptest! {
    #[test]
    fn whatever_is_typed_is_read_or_told(
        base in prop::sample::select(vec![DEN, CUTS]),
        changes in prop::collection::vec((any::<usize>(), 1usize..40, any::<u8>(), any::<u8>()), 1..6)
    ) {
        let text = nearly(base, &changes);
        if let Err(refused) = sheet(&text) {
            prop_assert!(!refused.is_empty());
            for one in refused {
                prop_assert!(!one.read.is_empty() && !one.expected.is_empty() && !one.example.is_empty(), "{one}");
            }
        }
    }
}
