//! What files mean, what is assumed where nothing is said, and that everything wrong is told at once; each way of being
//! wrong, with its text, is in the modules below.

mod convert;
mod csv;
mod pieces;
mod rooms;
mod setup;
mod setup_files;
mod syntax;
mod text;

use planner::walk::{
    Corner, CutList, Direction, HoldRule, Item, Price, Saw, ScarfRule, Sheet, Stretch, Turn, Walk,
};
use proptest::prelude::*;
use shared_model::{Angle, End, Joint, Length, Mark, Posture, Side, True45, Unit};

use crate::refused::Refused;

/// A level that names no set-up file.
fn sheet(text: &str) -> Result<Sheet, Vec<Refused>> {
    crate::sheet(text, &NO_FILES)
}

const NO_FILES: &[(&str, &str)] = &[];
const MOULDINGS: &str = r#""mouldings": [ { "name": "base", "height": 5.25, "thickness": 0.5625, "profile": 0.75, "sticks": [ { "length": 192, "price": 21.5 } ] } ]"#;
const ROOM: &str = r#"{ "name": "Bed 2", "moulding": "base", "outline": [
 { "wall": 120, "corner": "inside" },
 { "wall": 60, "corner": "inside" },
 { "wall": 120, "corner": "inside" },
 { "wall": 22.5 }, { "opening": 37.5, "corner": "inside" } ] }"#;
const PIECE: &str = r#"{ "room": "Bed 2", "moulding": "base", "length": 30, "left": { "joint": "cope" }, "right": { "joint": "square" } }"#;

fn walk_text(more: &str, mouldings: &str, rooms: &str) -> String {
    format!(r#"{{ "walk": 1, "level": "Upper floor"{more}, {mouldings}, "rooms": [ {rooms} ] }}"#)
}

fn list_text(pieces: &str) -> String {
    format!(r#"{{ "cut_list": 1, "level": "Upper floor", {MOULDINGS}, "pieces": [ {pieces} ] }}"#)
}

fn walk(text: &str) -> Walk {
    match sheet(text) {
        Ok(Sheet::Walk(walk)) => walk,
        other => panic!("a walk was meant: {other:?}"),
    }
}

fn cut_list(text: &str) -> CutList {
    match sheet(text) {
        Ok(Sheet::CutList(list)) => list,
        other => panic!("a cut list was meant: {other:?}"),
    }
}

fn refused(text: &str) -> Vec<Refused> {
    sheet(text).expect_err("this cannot be meant")
}

/// What is told of the one thing that is wrong: place, read, expected.
fn told(text: &str) -> (String, String, String) {
    let list = refused(text);
    assert_eq!(list.len(), 1, "{list:#?}");
    let one = &list[0];
    (one.place.clone(), one.read.clone(), one.expected.clone())
}

#[track_caller]
fn tells(text: &str, place: &str, read: &str, expected: &str) {
    let (a, b, c) = told(text);
    assert_eq!(
        (a.as_str(), b.as_str(), c.as_str()),
        (place, read, expected)
    );
}

#[test]
fn what_is_not_said_is_the_usual() {
    let walk = walk(&walk_text("", MOULDINGS, ROOM));
    assert_eq!(walk.setup.unit, Unit::Inch);
    assert_eq!(walk.setup.mark, Mark::Sixteenth);
    assert_eq!(
        (walk.direction, walk.cope),
        (Direction::Clockwise, Side::Left)
    );
    assert_eq!(walk.cope_up_to, Angle::degrees(100));
    assert!(walk.spring.is_empty());
    assert_eq!(
        walk.scarf,
        ScarfRule {
            bevel: Angle::degrees(45),
            stud: Some(Length::inches(16)),
            from: Side::Left,
            least: Length::inches(24),
        }
    );
    assert_eq!(walk.setup.saw, usual_saw());
    let room = &walk.rooms[0];
    assert!(room.closed && !room.island && room.diagonals.is_empty());
    assert_eq!((room.entry, room.moulding), (0, 0));
    let inside = Corner {
        turn: Turn::Inside,
        gauge: Angle::RIGHT,
    };
    assert_eq!(
        room.outline[0],
        Item {
            stretch: Stretch::Wall(Length::inches(120)),
            corner: Some(inside),
            radius: None,
            left: None,
            right: None,
        }
    );
    assert_eq!(room.outline[3].corner, None);
    let stock = &walk.setup.mouldings[0];
    assert_eq!(stock.sticks[0].price, Some(Price(215_000)));
    assert_eq!(stock.sticks[0].count, None);
}

fn usual_saw() -> Saw {
    Saw {
        posture: Some(Posture::StandingUpsideDown),
        standing_height: Length::sixteenths(104),
        flat_width: Length::inches(12),
        swing_left: Angle::degrees(50),
        swing_right: Angle::degrees(60),
        tilt_left: Angle::degrees(48),
        tilt_right: Angle::degrees(48),
        true_45: True45::EXACT,
        back_cut_up_to: Angle::degrees(5),
        slides: false,
        kerf: Length::sixteenths(2),
        end_trim: Length::sixteenths(8),
        stock_side: Side::Left,
        hold: HoldRule::USUAL,
    }
}

#[test]
fn what_is_said_is_taken() {
    let text = walk_text(
        r#", "unit": "mm", "mark": "0.5 mm", "direction": "counter-clockwise", "cope": "right", "cope_up_to": 92.5,
        "spring": [ { "over": 2400, "add": 1.5 } ], "scarf": { "degrees": 30, "stud": null, "least": "2' 0\"" },
        "saw": { "posture": "any", "tilt_right": 0, "slides": true, "stock_side": "right" }"#,
        r#""mouldings": [ { "name": "base", "height": 140, "thickness": 14, "profile": 0, "sticks": [ { "length": 4800, "count": 7 } ], "offcuts": [ 900, "3 ft 1 in" ] } ]"#,
        r#"{ "name": " Post ", "moulding": "base", "ring": "island", "outline": [
        { "wall": 300, "corner": "outside", "left": "return", "right": "inside miter" },
        { "opening": null, "corner": "outside" }, { "existing": 300, "corner": "outside", "gauge": 88.25 } ],
        "entry": 1, "diagonals": [ { "from": 0, "to": 2, "length": 424 } ] }"#,
    );
    let walk = walk(&text);
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
        (walk.scarf.stud, walk.scarf.least),
        (None, Length::inches(24))
    );
    let saw = Saw {
        posture: None,
        tilt_right: Angle::ZERO,
        true_45: True45::EXACT,
        slides: true,
        stock_side: Side::Right,
        hold: HoldRule::USUAL,
        ..usual_saw()
    };
    assert_eq!(walk.setup.saw, saw);
    let stock = &walk.setup.mouldings[0];
    assert_eq!(
        (stock.sticks[0].count, stock.sticks[0].price),
        (Some(7), None)
    );
    assert_eq!(
        stock.offcuts,
        [Length::millimetres(900), Length::inches(37)]
    );
    let room = &walk.rooms[0];
    assert_eq!(
        (room.name.as_str(), room.island, room.entry),
        ("Post", true, 0)
    );
    assert_eq!(room.outline[0].left, Some(Joint::Return));
    assert_eq!(room.outline[0].right, Some(Joint::InsideMiter));
    assert_eq!(room.outline[1].stretch, Stretch::Opening(None));
    let existing = &room.outline[2];
    assert_eq!(
        existing.stretch,
        Stretch::Existing(Length::millimetres(300))
    );
    assert_eq!(
        existing.corner.map(|c| c.gauge),
        Some(Angle::hundredths(8825))
    );
    assert_eq!((room.diagonals[0].from, room.diagonals[0].to), (0, 2));
}

#[test]
fn cut_lists_are_taken() {
    let list = cut_list(&list_text(&format!(
        r#"{PIECE}, {{ "room": "Hall", "wall": 2, "moulding": "base", "length": "10' 0\"",
        "left": {{ "joint": "scarf", "degrees": 30, "face": "shorter" }}, "right": {{ "joint": "outside miter", "gauge": 135 }} }}"#
    )));
    let [first, second] = list.pieces.as_slice() else {
        panic!("two pieces: {list:?}");
    };
    assert_eq!((first.wall, first.length), (None, Length::inches(30)));
    assert_eq!(
        first.left,
        End::Cope {
            gauge: Angle::RIGHT
        }
    );
    assert_eq!(first.right, End::Square);
    assert_eq!((second.wall, second.length), (Some(2), Length::inches(120)));
    assert_eq!(
        second.left,
        End::ScarfUnder {
            bevel: Angle::degrees(30)
        }
    );
    assert_eq!(
        second.right,
        End::OutsideMiter {
            gauge: Angle::degrees(135)
        }
    );
}

#[test]
fn everything_that_cannot_be_is_told_at_once_in_the_files_order() {
    let room = ROOM
        .replace("\"wall\": 60", "\"wall\": 0")
        .replace("\"opening\": 37.5", "\"opening\": -1");
    let text = walk_text(", \"cope\": \"both\"", MOULDINGS, &room);
    let list = refused(&text);
    let places: Vec<&str> = list.iter().map(|one| one.place.as_str()).collect();
    assert_eq!(
        places,
        [
            "cope",
            "rooms[0] \"Bed 2\", item 2, wall",
            "rooms[0] \"Bed 2\", item 5, opening"
        ]
    );
    assert_eq!((list[1].line, list[1].column), (3, 12));
    assert_eq!(
        list[1].to_string(),
        "3:12: rooms[0] \"Bed 2\", item 2, wall\n     { \"wall\": 0, \"corner\": \"inside\" },\n               ^\n    read     0\n    expected a length of more than 0\n    example  \"wall\": 124.375"
    );
}

#[test]
fn a_flood_of_errors_is_cut_short_and_counted() {
    let walls = vec!["{ \"wall\": 0 }"; 250].join(", ");
    let room = format!(
        r#"{{ "name": "Hall", "moulding": "base", "closed": false, "outline": [ {walls} ] }}"#
    );
    let list = refused(&walk_text("", MOULDINGS, &room));
    assert_eq!((list.len(), list[99].beyond), (100, 150));
    assert!(list[99].to_string().ends_with("and 150 more"));
}

/// A text that is nearly a walk: bytes changed, left out, or a stretch said twice.
fn nearly(text: &str, changes: &[(usize, usize, u8, u8)]) -> String {
    let mut bytes = text.as_bytes().to_vec();
    for &(at, length, byte, kind) in changes {
        let at = at % bytes.len();
        let end = (at + length).min(bytes.len());
        match kind % 3 {
            0 => bytes[at] = byte,
            1 => drop(bytes.drain(at..end)),
            _ => {
                let again = bytes[at..end].to_vec();
                bytes.splice(at..at, again);
            }
        }
        if bytes.is_empty() {
            break;
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

proptest! {
    #[test]
    fn whatever_is_wrong_is_told_and_nothing_panics(
        changes in prop::collection::vec((any::<usize>(), 1usize..40, any::<u8>(), any::<u8>()), 1..6)
    ) {
        let text = nearly(&walk_text(r#", "saw": { "kerf": 0.125 }, "scarf": { "stud": null }"#, MOULDINGS, ROOM), &changes);
        if let Err(refused) = sheet(&text) {
            prop_assert!(!refused.is_empty());
            let lines = text.split('\n').count();
            for one in refused {
                prop_assert!((1..=lines.max(1)).contains(&one.line), "{one}");
                prop_assert!(!one.read.is_empty() && !one.expected.is_empty() && !one.example.is_empty(), "{one}");
            }
        }
    }
}
