//! Openings whose width was not taken: what the room gives away of them, and what is said of the rest. Rooms in which all
//! was measured are left to `closure`.

use planner::closure::report::RoomReport;
use planner::walk::*;

use crate::closure::{across, den, said};
use crate::small_rooms::*;

fn unknown() -> Item {
    Item {
        stretch: Stretch::Opening(None),
        ..opening("1")
    }
}

#[test]
fn an_opening_that_was_not_measured_is_solved_for_and_judged() {
    let mut outline = den();
    outline[1] = unknown();
    let den = walk(vec![room("Den", outline.clone())]);
    assert_eq!(messages(&plan(den.clone())), [""; 0]);
    let report = RoomReport::of(&den, &den.rooms[0]);
    let (side, width, spread) = report.widths.alone[0];
    assert_eq!(side, 1);
    assert!((width / 25.4 - 37.5).abs() < 0.01, "{width}");
    // a quarter of a degree at four corners over 10 ft
    assert!((5.0..25.0).contains(&spread), "{spread}");
    // nothing checks the sides along it
    let bare: Vec<bool> = report.seen.iter().map(Option::is_none).collect();
    assert_eq!(bare, [true, true, true, false, true, false]);

    outline[4] = inside("102", 90);
    let told = plan(walk(vec![room("Den", outline)]));
    let text = said(&told);
    assert!(
        text.starts_with("error [")
            && text.contains("Opening 1 was not measured and would have to be -4 1/2 wide"),
        "{text}"
    );
}

#[test]
fn two_unknown_openings_are_solved_in_two_directions_and_not_in_one() {
    let mut outline = den();
    outline[1] = unknown();
    outline.splice(3..4, [straight("50"), unknown(), inside("40", 90)]);
    let two = walk(vec![room("Two", outline.clone())]);
    assert_eq!(messages(&plan(two.clone())), [""; 0]);
    let report = RoomReport::of(&two, &two.rooms[0]);
    let widths: Vec<f64> = report
        .widths
        .alone
        .iter()
        .map(|solved| solved.1 / 25.4)
        .collect();
    assert!((widths[0] - 37.5).abs() < 0.01 && (widths[1] - 34.375).abs() < 0.01);

    let mut outline = den();
    outline[1] = unknown();
    outline.splice(4..5, [straight("50"), unknown(), inside("60", 90)]);
    let told = plan(walk(vec![room("Two", outline)]));
    assert_eq!(
        messages(&told),
        [
            "warning [] The widths of opening 1 and opening 2 were not taken, and this room gives away only one in a direction; nor is any wall in theirs checked. Measure opening 1 first."
        ]
    );
}

/// The den with two unmeasured openings beside each other in its first side, and so much wall after them.
fn two_beside(rest: &str) -> Vec<Item> {
    let mut outline = den();
    outline[1] = unknown();
    outline[2] = inside(rest, 90);
    outline.insert(2, unknown());
    outline
}

#[test]
fn unknown_openings_of_one_line_are_told_together_and_what_to_measure() {
    // 144 less 31 1/2 and 20: computed
    let two = walk(vec![room("Two", two_beside("20"))]);
    assert_eq!(
        messages(&plan(two.clone())),
        [
            "warning [] The widths of opening 1 and opening 2 were not taken: together they come to 92 1/2, and this room does not say how they share it. Measure opening 1, and the other is what is left; measure both, and the walls in their line are checked too."
        ]
    );
    let report = RoomReport::of(&two, &two.rooms[0]);
    let lines = report.lines(&two, &two.rooms[0]).join("\n");
    assert!(
        lines.starts_with("Openings 1 and 2 together come to 92 1/2, give or take "),
        "{lines}"
    );
    let both = "With the width of opening 1 and the width of opening 2 it would be sure to show everywhere";
    assert!(lines.contains(both), "{lines}");

    // also where the walk begins between them
    let mut outline = two_beside("20");
    outline.rotate_left(2);
    let told = said(&plan(walk(vec![room("Two", outline)])));
    assert!(told.contains("together they come to 92 1/2, "), "{told}");

    // three of them
    let mut outline = two_beside("20");
    outline.insert(3, unknown());
    let told = said(&plan(walk(vec![room("Three", outline)])));
    let rest = "Measure all but one, and that one is what is left; measure all, and";
    assert!(told.contains(rest), "{told}");

    // a length across that ends between them tells them apart: 31 1/2 and 40 from the walk's beginning
    let mut apart = room("Two", two_beside("20"));
    across(&mut apart, 0, 2, "71 1/2");
    let told = walk(vec![apart]);
    assert_eq!(messages(&plan(told.clone())), [""; 0]);
    let alone = RoomReport::of(&told, &told.rooms[0]).widths.alone;
    let widths: Vec<f64> = alone.iter().map(|alone| alone.1 / 25.4).collect();
    assert!((widths[0] - 40.0).abs() < 0.1 && (widths[1] - 52.5).abs() < 0.1);
}

#[test]
fn unknown_openings_that_have_no_room_together_are_an_error() {
    // walls of 31 1/2 and 123 where there are 144
    let told = plan(walk(vec![room("Two", two_beside("123"))]));
    assert!(told.has_errors());
    let text = said(&told);
    assert!(
        text.contains("Opening 1 and opening 2 were not measured and would have to be -10 1/2 wide together for the room to close, less than nothing: something else in their direction is wrong, or they are."),
        "{text}"
    );
}

#[test]
fn how_far_a_room_is_out_does_not_hang_on_widths_that_were_not_taken() {
    let mut one = den();
    one[1] = unknown();
    for (mut outline, widths) in [
        (one, "width of opening 1 is"),
        (two_beside("20"), "widths of opening 1 and opening 2 are"),
    ] {
        // a foot lost in the last wall, across the direction of the openings
        let last = outline.len() - 1;
        outline[last] = inside("112 3/8", 90);
        let told = said(&plan(walk(vec![room("Den", outline)])));
        let whatever = format!(
            "Whatever the {widths}, it ends 12 in from where it began; tape and corners explain "
        );
        assert!(told.contains(&whatever), "{told}");
        assert!(
            told.contains("124 3/8; you wrote 112 3/8 (a foot lost)"),
            "{told}"
        );
    }
}
