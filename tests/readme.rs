//! What README shows is what the program says: its level as typed, its plan, its slip. How README reads is left to people.

use std::fs;

use crate::program::{fresh_folder, readme_sheet, said};

const README: &str = include_str!("../README.md");

/// The indented block that begins with this.
fn block(beginning: &str) -> Vec<&'static str> {
    let lines = README.lines().map(|line| match line.is_empty() {
        true => Some(line),
        false => line.strip_prefix("    "),
    });
    let from = lines.skip_while(|line| !line.is_some_and(|line| line.starts_with(beginning)));
    let mut block: Vec<&str> = from.map_while(|line| line).collect();
    while block.last().is_some_and(|line| line.is_empty()) {
        block.pop();
    }
    assert!(!block.is_empty(), "README has no block {beginning}");
    block
}

#[test]
fn the_plan_that_it_shows_is_the_plan() {
    let folder = fresh_folder();
    fs::write(folder.path().join("den.txt"), readme_sheet()).expect("a file");
    let check = said(folder.path(), &["check", "den.txt"], b"");
    assert_eq!((check.status, check.err.as_str()), (0, "no findings\n"));
    let plan = said(folder.path(), &["plan", "den.txt"], b"");
    let mut lines = plan.out.lines();
    for shown in block("Stick ").into_iter().filter(|line| !line.is_empty()) {
        assert!(
            lines.any(|line| line == shown),
            "README's plan is not the plan's from here on:\n{shown}\n\n{}",
            plan.out
        );
    }
}

#[test]
fn the_slip_that_it_shows_is_told_so() {
    let folder = fresh_folder();
    let sheet = readme_sheet();
    let mut lines: Vec<&str> = sheet.lines().collect();
    let wall = lines.iter().position(|line| *line == "75");
    lines[wall.expect("a wall of 75")] = "75 3/7";
    fs::write(folder.path().join("den.txt"), lines.join("\n")).expect("a file");
    let plan = said(folder.path(), &["plan", "den.txt"], b"");
    assert_eq!((plan.status, plan.out.as_str()), (1, ""));
    assert_eq!(plan.err.trim_end(), block("den.txt:").join("\n"));
}

#[test]
fn the_table_that_it_shows_is_the_same_room() {
    let folder = fresh_folder();
    let level: Vec<String> = readme_sheet().lines().map(str::to_owned).collect();
    let room = level.iter().position(|line| line.starts_with("room "));
    let (head, _) = level.split_at(room.expect("a room"));
    fs::write(folder.path().join("den.txt"), level.join("\n")).expect("a file");
    fs::write(folder.path().join("my-saw.txt"), head[1..].join("\n")).expect("a file");
    let table = block("level,Garden room").join("\n");
    fs::write(folder.path().join("den.csv"), table).expect("a file");
    let [text, table] =
        ["den.txt", "den.csv"].map(|file| said(folder.path(), &["plan", file], b""));
    assert_eq!((table.status, table.out), (text.status, text.out));
}
