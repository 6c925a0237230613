//! What `check` tells is what `plan` tells: the same findings in the same words and order, but for what is about the cost,
//! though no cheapest plan is looked for. How they are found is tested where they are.

use planner::finding::Finding;
use planner::plan::Plan;
use planner::sticks::{Effort, Wishes};
use planner::walk::Sheet;

use crate::program::{fresh_folder, said};
use crate::rooms::data::levels;
use crate::rooms::outline::Outline;
use crate::rooms::ways::{USUAL, walk, ways};

/// The findings that are about the cost, which `check` does not speak of.
fn is_of_cost(finding: &Finding) -> bool {
    finding.message.ends_with("so it is not in the cost.")
}

fn planned(sheet: &Sheet, effort: u32) -> Plan {
    let mut go_on = |_| true;
    planner::plan_with(sheet, &Wishes::USUAL, &mut Effort::new(effort, &mut go_on))
}

/// Checks and plans a sheet, and gives back what both tell.
fn told_by_both(sheet: &Sheet, efforts: &[u32]) -> Vec<Finding> {
    let checked = planner::check(sheet);
    for &effort in efforts {
        let mut planned = planned(sheet, effort).findings;
        planned.retain(|finding| !is_of_cost(finding));
        assert_eq!(checked, planned, "effort {effort}");
    }
    checked
}

fn sheet(text: &str) -> Sheet {
    form::read_text("a test", text, &[]).expect("a sheet")
}

#[test]
fn the_demo_level_and_its_slips() {
    let demo = include_str!("../host/demo/upper-floor.txt");
    assert_eq!(told_by_both(&sheet(demo), &[0, 3000]), []);
    let slips = include_str!("data/two-slips.txt");
    assert_eq!(told_by_both(&sheet(slips), &[0, 3000]).len(), 2);
}

#[test]
fn real_rooms_from_long_sticks_and_from_short_ones() {
    let mut errors = 0;
    for level in levels() {
        let outlines: Vec<Outline> = (level.rooms.iter())
            .map(|corners| corners.outline())
            .collect();
        for way in ways(&USUAL) {
            for (stick, count) in [(192, None), (192, Some(9)), (40, None), (16, Some(40))] {
                let mut walk = walk(&outlines, way, &[stick]);
                walk.setup.mouldings[0].sticks[0].count = count;
                let found = told_by_both(&Sheet::Walk(walk), &[0]);
                errors += usize::from(planner::finding::any_error(&found));
            }
        }
    }
    assert!(errors > 50, "{errors}");
}

/// Stock of every kind of trouble, each with what is to be told of it.
const STOCK: [(&str, &str); 7] = [
    (
        "stick 120",
        "overall, and the longest stick of base is 10' 0",
    ),
    ("stick 192 have 1", "finds no place in the sticks"),
    ("stick 192 have 3", "finds no place in the sticks"),
    ("offcut 192, 150", "finds no place in the sticks"),
    ("stick 30\nstick 192", "is only 30 in long"),
    (
        "stick 145 have 1\nstick 125 have 2\nstick 107 1/2 have 1\noffcut 16",
        "less than 1' 0\" is left to hold",
    ),
    ("stick 192 have 5", ""),
];

#[test]
fn stock_that_does_not_suffice() {
    for (stock, word) in STOCK {
        let text = format!(
            "level Den\ncut list\nmoulding base\nhigh 5 1/4, thick 9/16, profile 3/4\n{stock}\nmoulding plinth\nhigh 4, thick 12, profile 0\nstick 192\nroom Den\n31 1/2\n75 right cope\n10' 4 3/8\n144 left cope right cope\n10' 4 3/8\n6 1/2\n5 7/8\nroom Hall with plinth\n100\n"
        );
        let told = told_by_both(&sheet(&text), &[0, 1, 3000]);
        let words: Vec<&str> = told.iter().map(|f| f.message.as_str()).collect();
        for word in [word, "Plinth is 12 in thick"] {
            let told = words
                .iter()
                .any(|told| told.to_lowercase().contains(&word.to_lowercase()));
            assert!(told, "{stock}: {word}: {words:#?}");
        }
    }
}

#[test]
fn a_list_that_no_station_takes() {
    let name = "n".repeat(60);
    let rooms: String = (0..130)
        .map(|number| format!("room {number}\nopen\n30\n"))
        .collect();
    for (text, word) in [
        (
            format!(
                "level {name}\nmoulding base\nhigh 5, thick 1/2, profile 0\nstick 192\nroom A\nopen\n30\n"
            ),
            "is too long",
        ),
        (
            format!("level A\nmoulding base\nhigh 5, thick 1/2, profile 0\nstick 192\n{rooms}"),
            "rooms",
        ),
    ] {
        let told = told_by_both(&sheet(&text), &[0]);
        assert_eq!(told.len(), 1, "{told:#?}");
        assert!(
            told[0]
                .message
                .starts_with("A station cannot take this list"),
            "{told:#?}"
        );
        assert!(told[0].message.contains(word), "{told:#?}");
    }
}

/// As whole programs: the same status, and nothing of cost from `check`.
#[test]
fn both_commands_end_alike() {
    let folder = fresh_folder();
    for (stick, status) in [("stick 192 at 20", 0), ("stick 100 at 20", 1)] {
        let text = format!(
            "level Den\ncut list\nmoulding base\nhigh 5 1/4, thick 9/16, profile 3/4\n{stick}\nmoulding shoe\nhigh 1, thick 1/2, profile 0\nstick 96\nroom Den\n144\nroom Closet with shoe\n50\n"
        );
        for command in ["check", "plan"] {
            let said = said(folder.path(), &[command, "-"], text.as_bytes());
            assert_eq!(said.status, status, "{command}: {}{}", said.out, said.err);
            let of_cost = said.out.contains("not in the cost");
            assert_eq!(of_cost, command == "plan", "{command}: {}", said.out);
        }
    }
}
