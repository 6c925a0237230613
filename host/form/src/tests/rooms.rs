//! Rooms that cannot be.

use super::{MOULDINGS, ROOM, refused, tells, walk, walk_text};

#[test]
fn rooms_that_cannot_be_are_told() {
    let room = |from: &str, to: &str| walk_text("", MOULDINGS, &ROOM.replacen(from, to, 1));
    let item = |item: &str| room("{ \"wall\": 22.5 }", item);
    tells(
        &room("\"moulding\": \"base\"", "\"moulding\": \"bass\""),
        "rooms[0] \"Bed 2\", moulding",
        "\"bass\"",
        "a moulding of this level: \"base\"",
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
        "at least 3 corners, an opening's too where it reaches one, or \"closed\": false where the last item does not meet the first",
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
        "0 to 5: corners are numbered along the outline, 0 where the walk begins",
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
