//! Slips that are no matter of one length: corners forgotten, gauges misread, the wrong unit, a slip in each direction; and
//! that what is said of a room does not contradict itself. Lengths misread are left to `closure`.

use planner::closure::check;
use planner::closure::report::RoomReport;
use planner::finding::{Finding, Severity};
use planner::walk::*;
use shared_model::{Length, Mark, Unit};

use crate::small_rooms::*;

fn told(outline: Vec<Item>) -> Vec<Finding> {
    check(&walk(vec![room("Room", outline)])).remove(0)
}

/// The only finding of a room.
fn only(outline: Vec<Item>) -> Finding {
    let findings = told(outline);
    assert_eq!(findings.len(), 1, "{findings:?}");
    findings[0].clone()
}

#[track_caller]
fn says(finding: &Finding, text: &str) {
    assert!(finding.message.contains(text), "{}", finding.message);
}

#[track_caller]
fn never_says(finding: &Finding, text: &str) {
    assert!(!finding.message.contains(text), "{}", finding.message);
}

#[test]
fn an_opening_that_stands_in_the_corner_and_was_written_without_it() {
    let reaches = "Opening 1 reaching an inside corner would close the room; you wrote none at its end (say `corner` on its line).";
    // last in its line
    let last = vec![
        straight("60"),
        opening("30"),
        inside("60", 90),
        inside("90", 90),
        inside("60", 90),
    ];
    // first of the room, and alone in its line
    let first = vec![
        opening("30"),
        inside("90", 90),
        inside("30", 90),
        inside("90", 90),
    ];
    for outline in [last, first] {
        let finding = only(outline.clone());
        assert_eq!(finding.severity, Severity::Error);
        assert!(
            finding.readings[0].place.ends_with("after opening 1"),
            "{finding:?}"
        );
        says(&finding, reaches);
        never_says(&finding, "A wall of about 0");
        never_says(&finding, "No single slip");
        let mut with_corner = outline;
        let place = with_corner
            .iter()
            .position(|item| matches!(item.stretch, Stretch::Opening(_)));
        with_corner[place.unwrap()].corner = inside("1", 90).corner;
        assert_eq!(told(with_corner), []);
    }
}

#[test]
fn a_wall_written_as_going_straight_on_where_a_corner_was_meant() {
    let finding = only(vec![
        straight("120"),
        inside("90", 90),
        inside("120", 90),
        inside("90", 90),
    ]);
    assert_eq!(finding.readings.len(), 1, "{}", finding.message);
    says(
        &finding,
        "An inside corner after wall 1 would close the room; you wrote that it runs straight on (say `corner` on its line). Look at the corner after wall 1 again first.",
    );
    // the same of a column's outside corner
    let mut column = room("Column", vec![outside("14 1/8", 90); 4]);
    column.island = true;
    column.outline[2].corner = None;
    let finding = &check(&walk(vec![column]))[0][0];
    says(
        finding,
        "An outside corner after wall 3 would close the room; you wrote that it runs straight on (say `out` on its line).",
    );
}

fn study() -> Vec<Item> {
    vec![
        inside("27 5/8", 90),
        inside("134 1/2", 90),
        inside("115 3/8", 91),
        inside("134 7/8", 90),
        straight("55 1/8"),
        opening("32 1/2"),
    ]
}

#[test]
fn what_is_explained_is_never_more_than_what_is_out() {
    let finding = only(study());
    says(
        &finding,
        "It ends 3 in from where it began, 1 in 160 of the 41' 8\" round it; tape and corners explain a little less. The corner after wall 3 at 90 degrees would close the room; you wrote 91.",
    );
    let walk = walk(vec![room("Study", study())]);
    let lines = RoomReport::of(&walk, &walk.rooms[0]).lines(&walk, &walk.rooms[0]);
    assert_eq!(lines[0], "Closes to 3 in on 41' 8\" round, 1 in 160.");
}

#[test]
fn where_each_figure_is_explained_what_fails_is_told() {
    // the same room, begun at another corner
    let mut outline = study();
    outline.rotate_left(1);
    let finding = only(outline);
    says(
        &finding,
        "It ends 3 1/2 in from where it began, 1 in 145 of the 41' 8\" round it, and its 4 corners add up to 361 degrees, and so many corners of a closed outline come to 360. Tape and corners explain each by itself, but the corner after wall 2 does not fit all the others. ",
    );
}

#[test]
fn a_gauge_reading_is_misread_like_any_other() {
    let with_gauge = |gauge| {
        vec![
            inside("115 3/8", gauge),
            inside("134 1/2", 89),
            inside("115 3/8", 91),
            inside("134 1/2", 89),
        ]
    };
    assert_eq!(told(with_gauge(91)), []);
    let finding = only(with_gauge(19));
    says(
        &finding,
        "The corner after wall 1 at 91 degrees would close the room; you wrote 19 (digits swapped).",
    );
    let finding = only(with_gauge(31));
    says(
        &finding,
        "at 91 degrees would close the room; you wrote 31 (a digit misread).",
    );
    // a bay of two corners of 135, one read on the other side
    let bay = |gauge| {
        vec![
            inside("100", 90),
            inside("80", 135),
            inside("28 1/4", gauge),
            inside("80", 90),
            inside("100", 90),
        ]
    };
    assert_eq!(told(bay(135)), []);
    let finding = only(bay(45));
    says(
        &finding,
        "at 135 degrees would close the room; you wrote 45 (read on the other side of the angle finder).",
    );
}

fn oblong(first: &str) -> Vec<Item> {
    let other = Item {
        stretch: Stretch::Wall(length("55 1/8")),
        ..inside("1", 90)
    };
    vec![
        inside(first, 90),
        inside("134", 90),
        other,
        inside("134", 90),
    ]
}

#[test]
fn millimetres_among_inches_and_inches_among_millimetres() {
    let finding = only(oblong("1400"));
    assert_eq!(finding.readings[0].instead, Some(Length::millimetres(1400)));
    says(
        &finding,
        "Wall 1: 1400 mm, which is 55 1/8, would close the room; you wrote 1400 (mm not said).",
    );
    // that it misses by once the way round says nothing
    never_says(&finding, "1 in 1 ");
    let mut metric = walk(vec![room("Room", oblong("55 1/8"))]);
    metric.setup.unit = Unit::Millimetre;
    metric.setup.mark = Mark::Millimetre;
    for (item, long) in metric.rooms[0]
        .outline
        .iter_mut()
        .zip([55, 3400, 1397, 3400])
    {
        item.stretch = Stretch::Wall(Length::millimetres(long));
    }
    let finding = &check(&metric)[0][0];
    assert_eq!(finding.readings[0].instead, Some(length("55")));
    says(
        finding,
        "Wall 1: 55 in, which is 1397, would close the room; you wrote 55 (inches not said).",
    );
}

#[test]
fn however_far_a_wall_is_out_it_is_the_one_that_can_hold_the_error() {
    let finding = only(oblong("7777"));
    assert_eq!(finding.walls, [1, 3]);
    says(
        &finding,
        "Wall 3 (55 1/8) should be as long as wall 1 (7777).",
    );
    never_says(&finding, "No single slip");
}

#[test]
fn a_slip_in_each_direction_of_a_square_room_is_told_for_each() {
    let findings = told(vec![
        inside("144", 90),
        inside("120", 90),
        inside("132", 90),
        inside("102", 90),
    ]);
    assert_eq!(findings.len(), 2, "{findings:?}");
    says(
        &findings[0],
        "Wall 2 (120) should be as long as wall 4 (102).",
    );
    says(
        &findings[0],
        "Wall 2: 102 would close the room in this direction; you wrote 120",
    );
    assert_eq!(findings[0].walls, [2, 4]);
    says(
        &findings[1],
        "Wall 3 (132) should be as long as wall 1 (144) too.",
    );
    says(
        &findings[1],
        "Wall 1: 132 would close the room in this direction; you wrote 144 (a foot too many). Or wall 3: 144; you wrote 132 (a foot lost).",
    );
    assert_eq!(findings[1].walls, [1, 3]);
    for finding in &findings {
        never_says(finding, "No single slip");
    }
}

#[test]
fn no_opening_is_said_to_be_what_no_opening_is() {
    // 30 that would have to be nothing: in millimetres it is 1 3/16
    let findings = told(vec![
        inside("148 1/2", 90),
        straight("104"),
        opening("30"),
        inside("30", 90),
        inside("148 1/2", 90),
        inside("134", 90),
    ]);
    for finding in &findings {
        never_says(finding, "Opening 1: 30 mm");
    }
    assert!(!findings.is_empty());
}

#[test]
fn an_opening_left_out_is_found_in_the_line_of_two_walls() {
    // the room of `closure` without its door of 37 1/2
    let finding = only(vec![
        straight("31 1/2"),
        inside("75", 90),
        inside("124 3/8", 90),
        inside("144", 90),
        inside("124 3/8", 90),
    ]);
    says(
        &finding,
        "An opening of about 37 1/2 left out in the line of wall 1 would close the room.",
    );
}

#[test]
fn corners_that_no_single_slip_explains_are_to_be_gone_through() {
    // a hall whose two ends were both written as running straight on
    let finding = only(vec![
        opening("36"),
        inside("171", 90),
        outside("42", 90),
        straight("66"),
        opening("32"),
        inside("20 3/8", 90),
        inside("237", 90),
        straight("106 3/8"),
    ]);
    assert_eq!(finding.severity, Severity::Error);
    says(&finding, "It has 3 inside and 1 outside corner, and");
    says(
        &finding,
        "No single slip explains it: go through its corners again, those at openings too (one that reaches a corner is written so: door 30 corner).",
    );
}

#[test]
fn what_can_hold_an_error_is_said_shortly() {
    // a length across that nothing explains, of a room that closes
    let mut square = room("Square", four(90));
    square.diagonals.push(Diagonal {
        from: 0,
        to: 2,
        length: length("331"),
    });
    let findings = check(&walk(vec![square])).remove(0);
    assert_eq!(
        findings[0].message,
        "What was read round the room closes by itself, but the length across from 0 to 2 is 331, and by the others it would be about 187 1/2. Only the length across from 0 to 2 can hold the error: measure it again."
    );
    // nine pilasters along a wall of a gallery, and a foot too many between two of them
    let mut gallery: Vec<Item> = (0..9)
        .flat_map(|_| {
            let pilaster = [outside("6", 90), outside("12", 90), inside("6", 90)];
            std::iter::once(inside("20", 90)).chain(pilaster)
        })
        .collect();
    gallery[16] = inside("32", 90);
    gallery.extend(["20", "150", "308", "150"].map(|long| inside(long, 90)));
    let finding = only(gallery);
    says(
        &finding,
        "By itself any one of walls 1, 3, 5, 7, 9, 11, 13, 15, 17, 19, 21, 23, 25, 27, 29, 31, 33, 35, 37 and 39 can hold the error.",
    );
}

#[test]
fn a_room_in_which_nothing_is_cut_is_told() {
    let corner = inside("1", 90).corner;
    let door = |width| Item {
        corner,
        ..opening(width)
    };
    let nothing =
        "No wall of it gets board, so nothing is cut for it: leave it out, or write its walls.";
    for outline in [
        vec![door("40"), door("60"), door("40"), door("60")],
        vec![
            existing("40"),
            existing("60"),
            existing("40"),
            existing("60"),
        ],
    ] {
        assert_eq!(only(outline).message, nothing);
    }
}
