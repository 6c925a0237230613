//! The commands that read a file and print: exact texts and exit statuses, from a fresh folder. What is planned is left to
//! the planner's own tests.

use std::fs;

use serde_json::{Value, json};

use crate::program::{BED_2, fresh_folder, said};

fn plan_of(text: &str) -> Value {
    let folder = fresh_folder();
    let said = said(
        folder.path(),
        &["plan", "-", "--format", "json"],
        text.as_bytes(),
    );
    serde_json::from_str(&said.out).expect("a plan")
}

#[test]
fn a_good_walk_has_no_findings() {
    let folder = fresh_folder();
    fs::write(folder.path().join("walk.json"), BED_2).expect("a file");
    let said = said(folder.path(), &["check", "walk.json"], b"");
    assert_eq!(
        (said.status, said.out.as_str(), said.err.as_str()),
        (0, "", "no findings\n")
    );
}

#[test]
fn findings_are_printed_and_errors_set_the_status() {
    // a saw that neither swings nor tilts cuts no miter
    let text = BED_2
        .replace("\"unit\": \"in\",", "\"saw\": { \"swing_left\": 0, \"swing_right\": 0, \"tilt_left\": 0, \"tilt_right\": 0 },")
        .replace("124.375, \"corner\": \"inside\"", "124.375, \"corner\": \"inside\", \"gauge\": 92");
    let folder = fresh_folder();
    let check = said(folder.path(), &["check", "-"], text.as_bytes());
    assert_eq!(check.status, 1, "{}{}", check.out, check.err);
    assert!(
        check.out.starts_with("error: Bed 2, walls "),
        "{}",
        check.out
    );
    assert!(check.out.ends_with("\n\n"), "{}", check.out);
    assert!(check.out.lines().all(|line| line.chars().count() <= 80));
    let count = check.out.matches("error: ").count();
    assert!(
        check.err.starts_with(&format!("{count} error")),
        "{}",
        check.err
    );
    let plan = said(
        folder.path(),
        &["plan", "-", "--format", "json"],
        text.as_bytes(),
    );
    assert_eq!(plan.status, 1);
    let plan: Value = serde_json::from_str(&plan.out).expect("a plan all the same");
    assert_eq!(plan["findings"][0]["severity"], "error");
    assert_eq!(plan["pieces"].as_array().map(Vec::len), Some(5));
    let run = said(
        folder.path(),
        &["run", "-", "--no-open", "--port", "0"],
        text.as_bytes(),
    );
    assert_eq!(run.status, 1);
    let ending =
        "nothing is shown while a plan has errors; put them right, or say --despite-errors\n";
    assert!(run.err.ends_with(ending), "{}", run.err);
    assert!(
        !folder.path().join("data").exists(),
        "nothing is kept of it"
    );
}

#[test]
fn a_plan_has_every_key_that_other_programs_rely_on() {
    let plan = plan_of(BED_2);
    assert_eq!(plan["plan"], 1);
    assert_eq!(
        (&plan["level"], &plan["unit"]),
        (&json!("Upper floor"), &json!("in"))
    );
    let digest = plan["digest"].as_str().expect("a digest");
    assert!(
        digest.len() == 9 && digest.as_bytes()[4] == b'-',
        "{digest}"
    );
    let wall_2 = &plan["pieces"][1];
    let expected = json!({
        "room": "Bed 2", "wall": 2, "part": 1, "parts": 1, "moulding": "base",
        "length": 124.375, "face": 123.8125, "overall": 124.375,
        "installed": {
            "left": { "joint": "cope", "gauge": 90, "reach": -0.5625 },
            "right": { "joint": "square", "reach": 0 } },
        "saw": {
            "left": { "joint": "square", "installed": "right", "side": "left", "posture": "standing upside down",
                      "by": "swing", "way": "none", "degrees": 0, "plain": null },
            "right": { "joint": "cope", "installed": "left", "side": "right", "posture": "standing upside down",
                       "by": "swing", "way": "left", "degrees": 45,
                       "plain": { "way": "none", "degrees": 0, "depth": 4.5 } } },
    });
    for (key, value) in expected.as_object().expect("an object") {
        assert_eq!(&wall_2[key], value, "{key}");
    }
    let id = wall_2["id"].as_str().expect("an id");
    assert!(
        id.len() == 8 && id.bytes().all(|c| c.is_ascii_hexdigit()),
        "{id}"
    );
    assert_eq!(plan["install"][0]["room"], "Bed 2");
    let order = plan["install"][0]["order"].as_array().expect("an order");
    assert_eq!(order.len(), 5);
    let bought = plan["buy"][0]["count"].as_f64().expect("a count");
    assert_eq!(plan["buy"][0]["length"], 192);
    assert_eq!(plan["cost"].as_f64(), Some(21.5 * bought));
    assert!(plan["bound"].as_f64() <= plan["cost"].as_f64());
    assert_eq!(plan["findings"], json!([]));
}

#[test]
fn sticks_and_pieces_name_each_other() {
    let plan = plan_of(BED_2);
    let pieces = plan["pieces"].as_array().expect("pieces");
    let sticks = plan["sticks"].as_array().expect("sticks");
    let mut ends = 0;
    let mut order = 0;
    for stick in sticks {
        assert_eq!(
            (&stick["from"], &stick["length"]),
            (&json!("bought"), &json!(192))
        );
        for id in stick["pieces"].as_array().expect("ids") {
            order += 1;
            let piece = pieces
                .iter()
                .find(|piece| piece["id"] == *id)
                .expect("a piece");
            assert_eq!(
                (&piece["stick"], &piece["order"]),
                (&stick["number"], &json!(order))
            );
        }
        for cut in stick["cuts"].as_array().expect("cuts") {
            for end in cut["ends"].as_array().expect("ends") {
                ends += 1;
                let piece = pieces.iter().find(|piece| piece["id"] == end["piece"]);
                let saw = &piece.expect("a piece")["saw"][end["end"].as_str().expect("a side")];
                for key in ["posture", "by", "way", "degrees"] {
                    assert_eq!(cut[key], saw[key], "{key}");
                }
            }
        }
    }
    assert_eq!((order, ends), (5, 10));
}

#[test]
fn millimetres_come_out_as_millimetres() {
    let text = BED_2
        .replace("\"in\"", "\"mm\"")
        .replace("5.25", "140")
        .replace("0.5625", "14.3")
        .replace("0.75", "19")
        .replace("192", "4880")
        .replace("124.375", "3159.1")
        .replace("31.5", "800")
        .replace("102", "2590.8")
        .replace("33 ", "838 ")
        .replace("37.5", "952.5");
    let plan = plan_of(&text);
    assert_eq!(plan["unit"], "mm");
    let wall_2 = &plan["pieces"][1];
    assert_eq!(
        (&wall_2["length"], &wall_2["face"]),
        (&json!(3159.1), &json!(3144.8))
    );
    assert_eq!(wall_2["saw"]["right"]["plain"]["depth"], 121);
    assert_eq!(plan["buy"][0]["length"], 4880);
}

#[test]
fn a_cut_list_gives_the_cuts_of_the_walk_it_was_made_from() {
    let plan = plan_of(BED_2);
    let pieces = plan["pieces"].as_array().expect("pieces");
    let listed = |piece: &Value| {
        let end = |side: &str| {
            let mut end = piece["installed"][side].clone();
            end.as_object_mut().expect("an end").remove("reach");
            end
        };
        json!({ "room": piece["room"], "wall": piece["wall"], "moulding": piece["moulding"],
                "length": piece["length"], "left": end("left"), "right": end("right") })
    };
    let walk: Value = serde_json::from_str(BED_2).expect("a walk");
    let list = json!({ "cut_list": 1, "level": "Upper floor", "mouldings": walk["mouldings"],
                       "pieces": pieces.iter().map(listed).collect::<Vec<_>>() });
    let again = plan_of(&list.to_string());
    for (piece, same) in pieces
        .iter()
        .zip(again["pieces"].as_array().expect("pieces"))
    {
        for key in [
            "room",
            "wall",
            "length",
            "face",
            "overall",
            "installed",
            "saw",
        ] {
            assert_eq!(piece[key], same[key], "{key}");
        }
    }
    assert_eq!(again["findings"], json!([]));
}

#[test]
fn what_cannot_be_read_says_where_and_why() {
    let folder = fresh_folder();
    fs::write(
        folder.path().join("walk.json"),
        BED_2.replace("\"wall\": 102", "\"wall\": \"102 3/7\""),
    )
    .expect("a file");
    let expected = "\
walk.json:7:46: rooms[0] \"Bed 2\", item 3, wall
                                { \"wall\": \"102 3/7\", \"corner\": \"inside\" },
                                                 ^
    read     \"102 3/7\"
    expected a length: the lower number of a fraction must be 2, 4, 8, 16, 32, 64 or 128
    example  \"wall\": 124.375
nothing is planned: put 1 thing right first
";
    for command in ["check", "plan", "run"] {
        let said = said(folder.path(), &[command, "walk.json"], b"");
        assert_eq!((said.status, said.out.as_str()), (1, ""), "{command}");
        assert_eq!(said.err, expected, "{command}");
    }
    let missing = said(folder.path(), &["plan", "nowhere.json"], b"");
    assert_eq!(
        (missing.status, missing.err.as_str()),
        (1, "nowhere.json: there is no such file\n")
    );
    let empty = said(folder.path(), &["plan", "-"], b"");
    assert_eq!(
        (empty.status, empty.err.as_str()),
        (
            1,
            "standard input: this file is empty; expected was a walk or a cut list\n"
        )
    );
    let flood = vec![b'['; 17 << 20];
    let large = said(folder.path(), &["plan", "-"], &flood);
    assert_eq!(
        (large.status, large.err.as_str()),
        (
            1,
            "standard input: this file is larger than 16 MiB; a walk or a cut list would be far smaller\n"
        )
    );
}

#[test]
fn wrong_usage_is_told_apart() {
    let folder = fresh_folder();
    for arguments in [
        &["plan"][..],
        &["measure", "walk.json"],
        &["plan", "walk.json", "--format", "xml"],
        &["run", "--screen", "640x480"],
        &["run", "--port", "99999"],
        &["schema", "house"],
    ] {
        let said = said(folder.path(), arguments, b"");
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{arguments:?}");
        assert!(!said.err.is_empty());
    }
}

#[test]
fn schemas_are_printed() {
    let folder = fresh_folder();
    for (form, key) in [
        ("walk", "rooms"),
        ("cut-list", "pieces"),
        ("plan", "sticks"),
        ("progress", "rooms"),
    ] {
        let said = said(folder.path(), &["schema", form], b"");
        assert_eq!((said.status, said.err.as_str()), (0, ""));
        let schema: Value = serde_json::from_str(&said.out).expect("JSON");
        assert_eq!(
            schema["$schema"],
            "https://json-schema.org/draft/2020-12/schema"
        );
        assert!(schema["properties"][key].is_object(), "{form}");
        assert!(schema["properties"][key]["description"].is_string());
    }
}

#[test]
fn a_level_is_converted_and_plans_the_same() {
    let folder = fresh_folder();
    let text = said(
        folder.path(),
        &["convert", "-", "--form", "text"],
        BED_2.as_bytes(),
    );
    assert_eq!((text.status, text.err.as_str()), (0, ""));
    let walls = "\nroom Bed 2\n31 1/2\n124 3/8\n102\n124 3/8\n33\nopening 37 1/2\n";
    assert!(text.out.ends_with(walls), "{}", text.out);
    let json = said(
        folder.path(),
        &["convert", "-", "--form", "json"],
        text.out.as_bytes(),
    );
    let table = said(
        folder.path(),
        &["convert", "-", "--form", "csv"],
        json.out.as_bytes(),
    );
    let rows = "\nroom,moulding,kind,length\nBed 2,base,wall,31.5\nBed 2,base,wall,124.375\n";
    assert!(table.out.contains(rows), "{}", table.out);
    let plans = [BED_2, &text.out, &json.out, &table.out].map(plan_of);
    assert!(plans.iter().all(|plan| *plan == plans[0]));
    let bad = said(
        folder.path(),
        &["convert", "-", "--form", "json"],
        b"room Den\n3/7\n",
    );
    assert_eq!((bad.status, bad.out.as_str()), (1, ""));
    let closing = "nothing is converted: put these things right first\n";
    assert!(bad.err.ends_with(closing), "{}", bad.err);
}

/// A set-up file alone: its saw and stock are judged, and what it lacks a level may say.
#[test]
fn a_set_up_file_is_checked_by_itself() {
    let folder = fresh_folder();
    let saw = "saw tall 6 1/2, kerf 1/8\nmoulding base\nhigh 5 1/4, thick 9/16, profile 3/4\n";
    let stock = "stick 192 at 21.50\n";
    let odd = saw.replace("6 1/2", "65").replace("9/16", "12");
    for (text, status, findings, told) in [
        (format!("{saw}{stock}"), 0, 0, "no findings"),
        // its sticks may stand in the level
        (saw.to_owned(), 0, 0, "no findings"),
        ("saw kerf 1/8\n".to_owned(), 0, 0, "no findings"),
        (format!("{odd}{stock}"), 0, 2, "2 warnings"),
        (
            format!("{saw}swin left 5\n"),
            1,
            0,
            "nothing is used: put 1 thing right first",
        ),
        (
            saw.replace("1/8", "1 1/8"),
            1,
            0,
            "at most 1 in: no saw blade is thicker",
        ),
    ] {
        std::fs::write(folder.path().join("my-saw.txt"), &text).expect("a file");
        let check = said(folder.path(), &["check", "my-saw.txt"], b"");
        assert_eq!(check.status, status, "{text}{}", check.err);
        assert_eq!(
            check.out.matches("warning\n").count(),
            findings,
            "{}",
            check.out
        );
        assert!(check.err.contains(told), "{}", check.err);
        let is_told_what_it_is = check.err.starts_with(
            "my-saw.txt has no rooms: it is a set-up file, for every level that has the line: setup my-saw.txt\n",
        );
        assert_eq!(is_told_what_it_is, status == 0, "{}", check.err);
    }
    // nothing can be planned from it
    std::fs::write(folder.path().join("my-saw.txt"), format!("{saw}{stock}")).expect("a file");
    let plan = said(folder.path(), &["plan", "my-saw.txt"], b"");
    assert_eq!(
        (plan.status, plan.out.as_str(), plan.err.as_str()),
        (
            1,
            "",
            "my-saw.txt:1:1: the file\n    read     a set-up file: saw, stock and ways of working, and no room\n    expected a level, which names this file in the line setup\n    example  setup my-saw.txt\nnothing is planned: put 1 thing right first\n"
        )
    );
    // one with a level's name is a level without rooms
    let level = format!("level Den\n{saw}{stock}");
    let check = said(folder.path(), &["check", "-"], level.as_bytes());
    assert!(
        check.err.contains("expected at least one room"),
        "{}",
        check.err
    );
}

/// A set-up file serves many levels, so that what a level does not use of it is no matter; what a level has of its own is.
#[test]
fn only_a_levels_own_moulding_is_missed_in_its_rooms() {
    let folder = fresh_folder();
    let shoe = "moulding shoe\nhigh 1, thick 1/2, profile 0\nstick 96\n";
    let saw = format!("{shoe}moulding base\nhigh 5 1/4, thick 9/16, profile 3/4\nstick 192\n");
    std::fs::write(folder.path().join("my-saw.txt"), saw).expect("a file");
    let den = "room Den with base\n31 1/2\ndoor 37 1/2\n75\n10' 4 3/8\n144\n10' 4 3/8\n";
    for (own, missed) in [("", false), ("moulding shoe\noffcut 40\n", true)] {
        let level = format!("level Den\nsetup my-saw.txt\n{own}{den}");
        let of = |arguments: &[&str]| said(folder.path(), arguments, level.as_bytes()).out;
        let check = of(&["check", "-"]);
        assert_eq!(check.contains("No room has shoe"), missed, "{check}");
        let json = of(&["convert", "-", "--form", "json"]);
        assert_eq!(json.contains("\"shoe\""), missed, "{json}");
        let plan = of(&["plan", "-", "--format", "json"]);
        let plan: Value = serde_json::from_str(&plan).expect("a plan");
        assert_eq!(plan["pieces"][0]["moulding"], "base");
    }
}
