//! Every way in which a file can be wrong, with the text in which it is told; and what is assumed where nothing is said.

use planner::walk::{
    Corner, CutList, Direction, Item, Price, Saw, ScarfRule, Sheet, Stretch, Turn, Walk,
};
use proptest::prelude::*;
use shared_model::{Angle, End, Joint, Length, Mark, Posture, Side, Unit};

use super::meaning::Refused;
use super::sheet;

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
        slides: false,
        kerf: Length::sixteenths(2),
        end_trim: Length::sixteenths(8),
        stock_side: Side::Left,
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
        slides: true,
        stock_side: Side::Right,
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
fn what_is_no_json_is_told_with_its_place() {
    let text =
        "{ \"walk\": 1,\n  \"level\": \"Upper floor\",\n  \"rooms\": [ { \"name\": \"Hall\", } ] }";
    let one = &refused(text)[0];
    assert_eq!((one.line, one.column), (3, 32));
    assert_eq!(one.read, "} ] }");
    assert_eq!(
        one.expected,
        "a key in quotation marks, and no comma before a closing }"
    );
    let one = &refused("{ \"walk\": 1,")[0];
    assert_eq!(one.read, "the end of the file");
    let one = &refused("Bed 2\n  wall 60")[0];
    assert_eq!((one.line, one.column), (1, 1));
    assert_eq!(
        (one.read.as_str(), one.expected.as_str()),
        ("Bed 2", "JSON: expected value")
    );
    let deep = "[".repeat(100_000);
    assert!(!refused(&deep).is_empty());
    let text = format!("{} true", walk_text("", MOULDINGS, ROOM));
    assert_eq!(refused(&text)[0].expected, "nothing after the closing }");
}

#[test]
fn other_kinds_of_file_are_told_apart() {
    let expected = "a walk or a cut list: exactly one of the keys \"walk\" and \"cut_list\"";
    for (text, read) in [
        ("{}", "neither \"walk\" nor \"cut_list\""),
        (
            "{ \"walk\": 1, \"cut_list\": 1 }",
            "both \"walk\" and \"cut_list\"",
        ),
        ("{ \"plan\": 1 }", "a plan"),
    ] {
        tells(text, "the file", read, expected);
    }
    tells("[1, 2]", "the file", "sequence", "an object { }");
    tells(
        &walk_text(
            "",
            MOULDINGS,
            &ROOM.replacen("{ \"wall\": 22.5 }", "[22.5]", 1),
        ),
        "rooms[0], item 4",
        "sequence",
        "an object { }",
    );
}

#[test]
fn unknown_keys_are_refused_with_the_nearest_right_one() {
    let room = ROOM.replacen("\"wall\"", "\"wal\"", 1);
    let one = &refused(&walk_text("", MOULDINGS, &room))[0];
    assert_eq!(one.place, "rooms[0], item 1, wal");
    assert_eq!(one.read, "the key \"wal\"");
    assert_eq!(one.example, "\"wall\"");
    assert!(
        one.expected
            .starts_with("one of the keys \"wall\", \"opening\", \"existing\"")
    );
    let one = &refused(&walk_text(", \"dirction\": \"clockwise\"", MOULDINGS, ROOM))[0];
    assert_eq!(one.example, "\"direction\"");
}

#[test]
fn wrong_types_and_missing_keys_are_told() {
    let room = |from: &str, to: &str| walk_text("", MOULDINGS, &ROOM.replacen(from, to, 1));
    tells(
        &room("\"wall\": 120", "\"wall\": true"),
        "rooms[0], item 1, wall",
        "boolean true",
        "a length such as 124.375 or \"10' 4 3/8\"",
    );
    tells(
        &room("\"wall\": 120", "\"wall\": null"),
        "rooms[0], item 1, wall",
        "null",
        "a length such as 124.375 or \"10' 4 3/8\"",
    );
    tells(
        &room("\"name\": \"Bed 2\", ", ""),
        "rooms[0]",
        "nothing",
        "the key \"name\"",
    );
    tells(
        &room("\"name\"", "\"name\": \"Hall\", \"name\""),
        "rooms[0]",
        "the key \"name\" a second time",
        "each key once",
    );
    tells(
        &walk_text(", \"cope_up_to\": \"wide\"", MOULDINGS, ROOM),
        "cope_up_to",
        "string \"wide\"",
        "a number",
    );
    tells(
        &room("\"outline\"", "\"entry\": -1, \"outline\""),
        "rooms[0], entry",
        "integer -1",
        "a whole number of 0 or more",
    );
}

#[test]
fn rooms_that_cannot_be_are_told() {
    let room = |from: &str, to: &str| walk_text("", MOULDINGS, &ROOM.replacen(from, to, 1));
    let item = |item: &str| room("{ \"wall\": 22.5 }", item);
    tells(
        &room("\"moulding\": \"base\"", "\"moulding\": \"bass\""),
        "rooms[0] \"Bed 2\", moulding",
        "\"bass\"",
        "a moulding of this file: \"base\"",
    );
    for gauge in ["0", "180", "-90", "179.999", "1e9"] {
        tells(
            &room(
                "\"wall\": 60,",
                &format!("\"wall\": 60, \"gauge\": {gauge},"),
            ),
            "rooms[0] \"Bed 2\", item 2, gauge",
            gauge,
            "more than 0 and less than 180 degrees, as an angle finder laid in or on the corner reads it",
        );
    }
    tells(
        &item("{ \"wall\": 22.5, \"gauge\": 92 }"),
        "rooms[0] \"Bed 2\", item 4, gauge",
        "92",
        "a corner with it: without one the next item goes straight on",
    );
    tells(
        &item("{ \"corner\": \"inside\" }"),
        "rooms[0] \"Bed 2\", item 4",
        "none of them",
        "one of \"wall\", \"opening\" and \"existing\"",
    );
    tells(
        &item("{ \"wall\": 3, \"opening\": null }"),
        "rooms[0] \"Bed 2\", item 4",
        "wall and opening",
        "one of \"wall\", \"opening\" and \"existing\"",
    );
    for (wall, expected) in [
        ("0", "a length of more than 0"),
        ("-3", "a length of more than 0"),
        ("\"\"", "a length: there is no length here"),
        (
            "\"3 3/7\"",
            "a length: the lower number of a fraction must be 2, 4, 8, 16, 32, 64 or 128",
        ),
        (
            "\"3,5\"",
            "a length: a decimal comma is not read: write a point",
        ),
        (
            "20000",
            "a length: a length over 10,000 in (254 m) is not believed",
        ),
        ("1e300", "a length: the number has too many digits"),
    ] {
        let text = item(&format!("{{ \"wall\": {wall} }}"));
        tells(&text, "rooms[0] \"Bed 2\", item 4, wall", wall, expected);
    }
    tells(
        &item("{ \"wall\": 3, \"left\": \"coped\" }"),
        "rooms[0] \"Bed 2\", item 4, left",
        "\"coped\"",
        "\"square\", \"butt\", \"cope\", \"inside miter\", \"outside miter\", \"scarf\" or \"return\"",
    );
    assert_eq!(
        refused(&item("{ \"wall\": 3, \"left\": \"coped\" }"))[0].example,
        "\"left\": \"cope\""
    );
    tells(
        &item("{ \"opening\": 3, \"right\": \"cope\" }"),
        "rooms[0] \"Bed 2\", item 4, right",
        "\"cope\"",
        "nothing: a joint is forced on a wall that gets board",
    );
    tells(
        &room("\"corner\": \"inside\"", "\"corner\": \"inner\""),
        "rooms[0] \"Bed 2\", item 1, corner",
        "\"inner\"",
        "\"inside\" or \"outside\"",
    );
    tells(
        &room("\"outline\"", "\"entry\": 2, \"outline\""),
        "rooms[0] \"Bed 2\", entry",
        "2",
        "1: this room has one opening",
    );
    tells(
        &room("\"outline\"", "\"ring\": \"round\", \"outline\""),
        "rooms[0] \"Bed 2\", ring",
        "\"round\"",
        "\"island\"",
    );
    tells(
        &walk_text("", MOULDINGS, &format!("{ROOM}, {ROOM}")),
        "rooms[1] \"Bed 2\", name",
        "\"Bed 2\"",
        "a name that no other room has",
    );
    tells(
        &room("\"Bed 2\"", "\" \""),
        "rooms[0] \" \", name",
        "\" \"",
        "a name on one line, with at least one letter or digit",
    );
    tells(
        &walk_text("", MOULDINGS, ""),
        "rooms",
        "[ ]",
        "at least one room",
    );
    let two_corners = r#"{ "name": "Hall", "moulding": "base", "outline": [ { "wall": 9, "corner": "inside" }, { "wall": 9, "corner": "inside" } ] }"#;
    tells(
        &walk_text("", MOULDINGS, two_corners),
        "rooms[0] \"Hall\", outline",
        "a closed outline with 2 corners",
        "at least 3 corners, or \"closed\": false where the last item does not meet the first",
    );
    let no_item = r#"{ "name": "Hall", "moulding": "base", "outline": [] }"#;
    tells(
        &walk_text("", MOULDINGS, no_item),
        "rooms[0] \"Hall\", outline",
        "[]",
        "at least one wall",
    );
}

#[test]
fn diagonals_and_entries_that_cannot_be_are_told() {
    let with = |diagonal: &str| {
        let keys = format!("\"diagonals\": [ {diagonal} ], \"outline\"");
        walk_text("", MOULDINGS, &ROOM.replacen("\"outline\"", &keys, 1))
    };
    tells(
        &with(r#"{ "from": 0, "to": 6, "length": 3 }"#),
        "rooms[0] \"Bed 2\", diagonals[0], to",
        "6",
        "0 to 5: a corner's number is that of the item it follows, 0 where the walk begins",
    );
    for (from, to) in [(2, 2), (0, 5), (5, 0)] {
        tells(
            &with(&format!(r#"{{ "from": {from}, "to": {to}, "length": 3 }}"#)),
            "rooms[0] \"Bed 2\", diagonals[0]",
            &format!("from {from} to {to}"),
            "two different corners",
        );
    }
    tells(
        &with(r#"{ "from": 0, "to": 2, "length": 0 }"#),
        "rooms[0] \"Bed 2\", diagonals[0], length",
        "0",
        "a length of more than 0",
    );
    let room = |openings: &str, entry: u32| {
        let text = ROOM.replace("{ \"opening\": 37.5, \"corner\": \"inside\" }", openings);
        let entry = format!("\"entry\": {entry}, \"outline\"");
        walk_text("", MOULDINGS, &text.replacen("\"outline\"", &entry, 1))
    };
    let (none, two) = (
        r#"{ "wall": 3, "corner": "inside" }"#,
        r#"{ "opening": null }, { "wall": 3 }, { "opening": 3, "corner": "inside" }"#,
    );
    tells(
        &room(none, 1),
        "rooms[0] \"Bed 2\", entry",
        "1",
        "nothing: this room has no opening",
    );
    for entry in [0, 3] {
        tells(
            &room(two, entry),
            "rooms[0] \"Bed 2\", entry",
            &entry.to_string(),
            "1 to 2: openings are counted in walking order",
        );
    }
    assert_eq!(walk(&room(two, 2)).rooms[0].entry, 1);
}

#[test]
fn stock_that_cannot_be_is_told() {
    let stock = |from: &str, to: &str| walk_text("", &MOULDINGS.replacen(from, to, 1), ROOM);
    for (from, to, place, read, expected) in [
        (
            "0.75",
            "5.25",
            "profile",
            "5.25",
            "less than the height, 5.25: the shaped part at the top; 0 for square-edged stock",
        ),
        ("0.75", "-1", "profile", "-1", "a length of 0 or more"),
        ("5.25", "0", "height", "0", "a length of more than 0"),
        (
            "0.5625",
            "\"thin\"",
            "thickness",
            "\"thin\"",
            "a length: a digit was expected here",
        ),
        (
            "{ \"length\": 192, \"price\": 21.5 }",
            "",
            "sticks",
            "[ ]",
            "at least one length in which it is bought",
        ),
        (
            "192",
            "0.625",
            "sticks[0], length",
            "0.625",
            "more than the saw's end_trim and kerf together take, 0.625",
        ),
        (
            "192",
            "0",
            "sticks[0], length",
            "0",
            "a length of more than 0",
        ),
        (
            "21.5",
            "-1",
            "sticks[0], price",
            "-1",
            "0 to 100000 of the money's unit; nothing where the price is not known",
        ),
        (
            "21.5",
            "21.50001",
            "sticks[0], price",
            "21.50001",
            "at most four digits after the point",
        ),
        (
            "21.5",
            "21.5, \"count\": 0",
            "sticks[0], count",
            "0",
            "1 or more; null or nothing where there are as many as needed",
        ),
        (
            "} ] } ]",
            "} ], \"offcuts\": [ 9, 0 ] } ]",
            "offcuts[1]",
            "0",
            "a length of more than 0",
        ),
    ] {
        let place = format!("mouldings[0] \"base\", {place}");
        tells(&stock(from, to), &place, read, expected);
    }
    let twice = MOULDINGS.replace("} ] } ]", "} ] }, { \"name\": \"base\", \"height\": 3, \"thickness\": 0.5, \"profile\": 0, \"sticks\": [ { \"length\": 96 } ] } ]");
    tells(
        &walk_text("", &twice, ROOM),
        "mouldings[1] \"base\", name",
        "\"base\"",
        "a name that no other moulding has",
    );
    let none = refused(&walk_text("", "\"mouldings\": []", ROOM));
    assert_eq!(none[0].expected, "at least one moulding");
}

#[test]
fn ways_of_working_that_cannot_be_are_told() {
    for (more, place, read, expected) in [
        ("\"unit\": \"cm\"", "unit", "\"cm\"", "\"in\" or \"mm\""),
        (
            "\"mark\": \"1/10 in\"",
            "mark",
            "\"1/10 in\"",
            "\"1/8 in\", \"1/16 in\", \"1/32 in\", \"1/64 in\", \"1 mm\" or \"0.5 mm\"",
        ),
        (
            "\"direction\": \"anticlockwise\"",
            "direction",
            "\"anticlockwise\"",
            "\"clockwise\" or \"counter-clockwise\"",
        ),
        (
            "\"cope\": \"both\"",
            "cope",
            "\"both\"",
            "\"left\" or \"right\"",
        ),
        (
            "\"cope_up_to\": 89.99",
            "cope_up_to",
            "89.99",
            "90 to 135 degrees: inside corners wider than this are mitered",
        ),
        (
            "\"cope_up_to\": 135.01",
            "cope_up_to",
            "135.01",
            "90 to 135 degrees: inside corners wider than this are mitered",
        ),
        (
            "\"scarf\": { \"degrees\": 60.01 }",
            "scarf, degrees",
            "60.01",
            "more than 0 and at most 60 degrees from square",
        ),
        (
            "\"scarf\": { \"degrees\": 0 }",
            "scarf, degrees",
            "0",
            "more than 0 and at most 60 degrees from square",
        ),
        (
            "\"scarf\": { \"stud\": 0 }",
            "scarf, stud",
            "0",
            "a length of more than 0",
        ),
        (
            "\"scarf\": { \"least\": -1 }",
            "scarf, least",
            "-1",
            "a length of more than 0",
        ),
        (
            "\"spring\": [ { \"over\": 96, \"add\": 0 } ]",
            "spring[0], add",
            "0",
            "a length of more than 0",
        ),
        (
            "\"spring\": [ { \"over\": 96, \"add\": 2 } ]",
            "spring[0], add",
            "2",
            "at most 1 in: a board is sprung in by a small part of an inch",
        ),
        (
            "\"saw\": { \"posture\": \"standing\" }",
            "saw, posture",
            "\"standing\"",
            "\"standing upside down\", \"standing upright\", \"flat top to fence\", \"flat bottom to fence\" or \"any\"",
        ),
        (
            "\"saw\": { \"swing_left\": 90 }",
            "saw, swing_left",
            "90",
            "0 to 89 degrees; 0 where the saw cannot",
        ),
        (
            "\"saw\": { \"kerf\": -0.125 }",
            "saw, kerf",
            "-0.125",
            "a length of 0 or more",
        ),
        (
            "\"saw\": { \"kerf\": 1.25 }",
            "saw, kerf",
            "1.25",
            "at most 1 in: no saw blade is thicker",
        ),
        (
            "\"saw\": { \"end_trim\": -1 }",
            "saw, end_trim",
            "-1",
            "a length of 0 or more",
        ),
        (
            "\"saw\": { \"stock_side\": \"near\" }",
            "saw, stock_side",
            "\"near\"",
            "\"left\" or \"right\"",
        ),
    ] {
        let text = walk_text(&format!(", {more}"), MOULDINGS, ROOM);
        tells(&text, place, read, expected);
    }
    let long_trim = walk_text(", \"saw\": { \"end_trim\": 192 }", MOULDINGS, ROOM);
    tells(
        &long_trim,
        "mouldings[0] \"base\", sticks[0], length",
        "192",
        "more than the saw's end_trim and kerf together take, 192.125",
    );
    let two = walk_text("", MOULDINGS, ROOM).replacen("\"walk\": 1", "\"walk\": 2", 1);
    tells(
        &two,
        "walk",
        "2",
        "1: the version of the form that this program reads",
    );
    let unnamed = walk_text("", MOULDINGS, ROOM).replacen("Upper floor", "a\\nb", 1);
    assert_eq!(told(&unnamed).0, "level");
}

#[test]
fn pieces_that_cannot_be_are_told() {
    let piece = |from: &str, to: &str| list_text(&PIECE.replacen(from, to, 1));
    let spot = |key: &str| format!("pieces[0] \"Bed 2\", {key}");
    let cope = "{ \"joint\": \"cope\" }";
    for (from, to, place, read, expected) in [
        (
            "\"length\": 30",
            "\"length\": 0",
            "length",
            "0",
            "a length of more than 0",
        ),
        (
            "\"moulding\"",
            "\"wall\": 0, \"moulding\"",
            "wall",
            "0",
            "1 or more; nothing where the wall has no number",
        ),
        (
            cope,
            "{ \"joint\": \"cope\", \"degrees\": 30 }",
            "left, degrees",
            "30",
            "nothing: only a scarf takes this",
        ),
        (
            cope,
            "{ \"joint\": \"cope\", \"face\": \"longer\" }",
            "left, face",
            "\"longer\"",
            "nothing: only a scarf takes this",
        ),
        (
            cope,
            "{ \"joint\": \"scarf\" }",
            "left, face",
            "nothing",
            "the scarf's face against its back: \"longer\" laps over the mate, \"shorter\" goes on the wall first",
        ),
        (
            cope,
            "{ \"joint\": \"scarf\", \"face\": \"long\" }",
            "left, face",
            "\"long\"",
            "\"longer\" or \"shorter\"",
        ),
        (
            cope,
            "{ \"joint\": \"scarf\", \"face\": \"longer\", \"degrees\": 61 }",
            "left, degrees",
            "61",
            "more than 0 and at most 60 degrees from square",
        ),
        (
            cope,
            "{ \"joint\": \"return\", \"gauge\": 90 }",
            "left, gauge",
            "90",
            "nothing: a return stands in no corner",
        ),
        (
            cope,
            "{ \"joint\": \"cope\", \"gauge\": 180 }",
            "left, gauge",
            "180",
            "more than 0 and less than 180 degrees, as an angle finder laid in or on the corner reads it",
        ),
    ] {
        tells(&piece(from, to), &spot(place), read, expected);
    }
    let joint = told(&piece("\"square\"", "\"plain\""));
    assert_eq!(
        (joint.0, joint.1.as_str()),
        (spot("right, joint"), "\"plain\"")
    );
    tells(&list_text(""), "pieces", "[ ]", "at least one piece");
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
        "3:12: rooms[0] \"Bed 2\", item 2, wall\n    read     0\n    expected a length of more than 0\n    example  \"wall\": 124.375"
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
