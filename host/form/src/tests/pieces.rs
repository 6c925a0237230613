//! Pieces of a cut list that cannot be.

use super::{PIECE, list_text, tells, told};

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
