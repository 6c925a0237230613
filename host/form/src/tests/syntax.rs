//! Files that are no JSON, are of another kind, or hold keys and types that the forms do not have.

use super::{MOULDINGS, ROOM, refused, tells, walk_text};

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
    tells("[1, 2]", "the file", "a list [ ]", "an object { }");
    tells(
        &walk_text(
            "",
            MOULDINGS,
            &ROOM.replacen("{ \"wall\": 22.5 }", "[22.5]", 1),
        ),
        "rooms[0], item 4",
        "a list [ ]",
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
        "true",
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
        "\"wide\"",
        "a number",
    );
    tells(
        &room("\"outline\"", "\"entry\": -1, \"outline\""),
        "rooms[0], entry",
        "-1",
        "a whole number of 0 or more",
    );
}
