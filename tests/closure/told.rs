//! What `check` says of rooms with a slip in them, as a whole program, and that the README shows just that.

use std::fs;

use serde_json::{Value, json};

use crate::program::{fresh_folder, readme_sheet, said};

/// The demo level with two slips planted: both walls and both right readings come first.
#[test]
fn two_slips_in_the_demo_level_are_named_with_their_right_readings_first() {
    let folder = fresh_folder();
    let level = include_str!("../data/two-slips.txt");
    let demo = include_str!("../../host/demo/upper-floor.txt");
    // after the remark, the two lines are all that differs
    let lines = level.lines().skip(1).zip(demo.lines().skip(1));
    let planted: Vec<_> = lines.filter(|(one, other)| one != other).collect();
    assert_eq!(planted, [("171 7/16", "117 7/16"), ("111 3/4", "133 3/4")]);
    assert_eq!(level.lines().count(), demo.lines().count());
    let check = said(folder.path(), &["check", "-"], level.as_bytes());
    assert_eq!(check.status, 0, "the plan goes on: {}", check.out);
    let words = check.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let paragraphs: Vec<&str> = words.split("warning: ").skip(1).collect();
    for (paragraph, room, proposal) in [
        (
            paragraphs[0],
            "Main bedroom, walls 1, ",
            "Wall 1: 117 7/16 would close the room; you wrote 171 7/16 (digits swapped).",
        ),
        (
            paragraphs[1],
            "Bed 4, walls 2 ",
            "Wall 2: 133 3/4 would close the room; you wrote 111 3/4 (feet and inches mixed up).",
        ),
    ] {
        assert!(paragraph.starts_with(room), "{paragraph}");
        assert_eq!(
            paragraph.find(" would close the room"),
            paragraph
                .find(proposal)
                .map(|at| at + proposal.find(" would").expect("a proposal")),
            "{paragraph}"
        );
    }
    assert!(check.out.lines().all(|line| line.chars().count() <= 80));

    let plan = said(
        folder.path(),
        &["plan", "-", "--format", "json"],
        level.as_bytes(),
    );
    let plan: Value = serde_json::from_str(&plan.out).expect("a plan");
    for (at, room, wall, read, instead) in [
        (0, "Main bedroom", 1, 171.4375, 117.4375),
        (1, "Bed 4", 2, 111.75, 133.75),
    ] {
        let finding = &plan["findings"][at];
        assert_eq!(
            (&finding["severity"], &finding["room"]),
            (&json!("warning"), &json!(room))
        );
        let first = &finding["readings"][0];
        assert_eq!(
            (&first["wall"], &first["read"], &first["instead"]),
            (&json!(wall), &json!(read), &json!(instead))
        );
        let walls = finding["walls"].as_array().expect("walls");
        assert!(walls.contains(&json!(wall)));
    }
}

#[test]
fn the_readme_shows_what_is_said() {
    let folder = fresh_folder();
    let readme = include_str!("../../README.md");
    let shown = |text: &str| -> String {
        let lines = text.trim_end().lines();
        lines
            .map(|line| format!("    {line}").trim_end().to_owned() + "\n")
            .collect()
    };
    let sheet = readme_sheet();
    let slip = sheet.replace("door 37 1/2\n75", "door 37 1/2\n57");
    assert_ne!(sheet, slip);
    fs::write(folder.path().join("den.txt"), slip).expect("a file");
    let check = said(folder.path(), &["check", "den.txt"], b"").out;
    assert!(readme.contains(&shown(&check)), "{}", shown(&check));
    fs::write(folder.path().join("den.txt"), &sheet).expect("a file");
    let detail = said(folder.path(), &["check", "den.txt", "--detail"], b"").out;
    assert!(readme.contains(&shown(&detail)), "{}", shown(&detail));
}

#[test]
fn a_cut_list_has_no_rooms_to_tell_of() {
    let list = "level Closets\ncut list\nmoulding base\nhigh 5 1/4 thick 9/16 profile 3/4\nstick 192\nroom Closet\n30 3/8\n";
    let folder = fresh_folder();
    let check = said(folder.path(), &["check", "-", "--detail"], list.as_bytes());
    assert_eq!((check.status, check.out.as_str()), (0, ""), "{}", check.err);
}
