//! Saws, stock and ways of working that cannot be.

use super::{MOULDINGS, ROOM, refused, tells, told, walk_text};

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
            "\"saw\": { \"true_45\": { \"swing_left\": 39.99 } }",
            "saw, true_45, swing_left",
            "39.99",
            "40 to 50 degrees, as measured on a test cut with the scale at 45",
        ),
        (
            "\"saw\": { \"true_45\": { \"tilt_right\": 50.01 } }",
            "saw, true_45, tilt_right",
            "50.01",
            "40 to 50 degrees, as measured on a test cut with the scale at 45",
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
        (
            "\"saw\": { \"least_hold\": 48.0625 }",
            "saw, least_hold",
            "48.0625",
            "at most 48 in: no stick could be cut to its end",
        ),
        (
            "\"saw\": { \"short_piece\": -1 }",
            "saw, short_piece",
            "-1",
            "a length of 0 or more",
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
