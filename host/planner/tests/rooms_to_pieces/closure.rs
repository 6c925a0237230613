//! Rooms that close, and rooms that do not: what is said of them, and which reading would set them right.

use planner::closure::report::RoomReport;
use planner::closure::uncertainty::{Tape, TapeClass, Uncertainty};
use planner::plan::Plan;
use planner::walk::*;
use shared_model::{Angle, Length, Mark};

use crate::small_rooms::*;

/// Of the first finding: what would have to be looked at, and what it would have to read.
fn readings(plan: &Plan) -> Vec<(String, Option<Length>)> {
    let readings = plan.findings[0].readings.iter();
    readings
        .map(|reading| (reading.place.clone(), reading.instead))
        .collect()
}

pub fn said(plan: &Plan) -> String {
    messages(plan).join("\n")
}

/// 12 by 10 ft, a door in the first side.
pub fn den() -> Vec<Item> {
    vec![
        straight("31 1/2"),
        opening("37 1/2"),
        inside("75", 90),
        inside("124 3/8", 90),
        inside("144", 90),
        inside("124 3/8", 90),
    ]
}

/// 12 by 9 ft with a leg, and a closet's return in it.
fn el() -> Vec<Item> {
    vec![
        inside("108 1/4", 90),
        inside("143 1/2", 90),
        inside("60 3/8", 90),
        outside("48 1/8", 90),
        inside("47 7/8", 90),
        inside("95 3/8", 90),
    ]
}

pub fn across(room: &mut Room, from: usize, to: usize, text: &str) {
    room.diagonals.push(Diagonal {
        from,
        to,
        length: length(text),
    });
}

#[test]
fn good_rooms_have_nothing_to_say() {
    for outline in [den(), el(), with_door()] {
        let mut good = walk(vec![room("Good", outline)]);
        assert_eq!(messages(&plan(good.clone())), [""; 0]);
        good.direction = Direction::CounterClockwise;
        good.rooms[0].outline.reverse();
        let corners: Vec<Option<Corner>> = (good.rooms[0].outline.iter())
            .map(|item| item.corner)
            .collect();
        let count = corners.len();
        for (at, item) in good.rooms[0].outline.iter_mut().enumerate() {
            item.corner = corners[(at + 1) % count];
        }
        assert_eq!(messages(&plan(good)), [""; 0]);
    }
}

#[test]
fn swapped_digits_are_named_with_the_right_reading_first() {
    let mut outline = el();
    outline[1] = inside("134 1/2", 90);
    let told = plan(walk(vec![room("El", outline)]));
    assert_eq!(
        readings(&told)[0],
        ("wall 2".to_owned(), Some(length("143 1/2")))
    );
    let said = said(&told);
    assert!(said.starts_with("warning ["), "{said}");
    assert!(
        said.contains("Wall 2: 143 1/2 would close the room; you wrote 134 1/2 (digits swapped)."),
        "{said}"
    );
    assert!(
        said.contains("It ends 9 in from where it began, 1 in "),
        "{said}"
    );
    assert!(said.ends_with("Measure wall 2 again first."), "{said}");
    assert!(!told.has_errors(), "the plan goes on");
    assert_eq!(told.pieces[1].length, length("134 1/2"), "as it was read");
}

#[test]
fn a_side_that_differs_from_the_one_across_is_told_with_both_sums() {
    let mut outline = den();
    outline[2] = inside("57", 90);
    let told = plan(walk(vec![room("Den", outline)]));
    let said = said(&told);
    let sides = "Wall 4 (144) should be as long as wall 1, opening 1 and wall 2 (126 together).";
    assert!(said.contains(sides), "{said}");
    assert_eq!(told.findings[0].walls, [1, 2, 4]);
    assert_eq!(
        readings(&told)[0],
        ("wall 2".to_owned(), Some(length("75")))
    );
}

#[test]
fn a_fraction_shows_only_where_both_diagonals_are_taken() {
    let wrong = |diagonals: &[(usize, usize, &str)]| {
        let mut square = room(
            "Square",
            vec![
                inside("59 1/8", 90),
                inside("83 1/2", 90),
                inside("60 1/8", 90),
                inside("83 1/2", 90),
            ],
        );
        for &(from, to, length) in diagonals {
            across(&mut square, from, to, length);
        }
        plan(walk(vec![square]))
    };
    // an inch in wall 3, and the diagonals of 59 1/8 by 83 1/2
    let both = [(0, 2, "102 5/16"), (1, 3, "102 5/16")];
    assert_eq!(messages(&wrong(&[])), [""; 0]);
    let told = wrong(&both);
    assert!(
        readings(&told).contains(&("wall 3".to_owned(), Some(length("59 1/8")))),
        "{:?}",
        readings(&told)
    );
}

#[test]
fn a_length_across_that_does_not_fit_is_told_itself() {
    let mut good = room("Den", den());
    across(&mut good, 3, 5, "190 1/4");
    across(&mut good, 4, 6, "190 1/4");
    assert_eq!(messages(&plan(walk(vec![good.clone()]))), [""; 0]);
    good.diagonals[1].length = length("109 1/4");
    let told = plan(walk(vec![good]));
    let said = said(&told);
    assert!(
        said.contains("but the length across from 4 to 6 is 109 1/4, and by the others it would be about 190 1/4. The length across from 4 to 6: 190 1/4 would"),
        "{said}"
    );
    assert_eq!(
        readings(&told)[0],
        (
            "the length across from 4 to 6".to_owned(),
            Some(length("190 1/4"))
        )
    );
}

#[test]
fn corners_that_cannot_close_are_an_error() {
    let mut outline = el();
    outline[2] = outside("60 3/8", 90);
    let told = plan(walk(vec![room("El", outline)]));
    let text = said(&told);
    assert!(
        text.starts_with("error [3] It has 4 inside and 2 outside corners, and square corners only close with four more inside than outside. The corner after wall 3 as an inside one would close the room; you wrote outside."),
        "{text}"
    );
    // by a gauge reading that was not put down
    let mut outline = el();
    outline[5] = inside("95 3/8", 95);
    let told = plan(walk(vec![room("El", outline)]));
    assert_eq!(
        messages(&told),
        [
            "warning [6] Its 6 corners add up to 725 degrees, and so many corners of a closed outline come to 720. The corner after wall 6 at 90 degrees would close the room; you wrote 95. Look at the corner after wall 6 again first."
        ]
    );
    // all of them the wrong way round
    let mut outline = el();
    for item in &mut outline {
        if let Some(corner) = &mut item.corner {
            corner.turn = match corner.turn {
                Turn::Inside => Turn::Outside,
                Turn::Outside => Turn::Inside,
            };
        }
    }
    let told = plan(walk(vec![room("El", outline)]));
    assert!(said(&told).starts_with("error [] It turns the wrong way round"));
    // a column closes with outside corners
    let mut column = room("Column", vec![outside("14 1/8", 90); 4]);
    column.island = true;
    assert_eq!(messages(&plan(walk(vec![column]))), [""; 0]);
}

#[test]
fn walls_entered_twice_or_left_out_are_found() {
    let mut outline = el();
    outline.insert(1, outline[1]);
    let told = plan(walk(vec![room("El", outline)]));
    let text = said(&told);
    assert!(
        text.contains("Wall 2 and wall 3 as one, entered twice, would close the room"),
        "{text}"
    );
    let mut outline = el();
    outline.remove(4);
    let told = plan(walk(vec![room("El", outline)]));
    let text = said(&told);
    let left_out = "A wall of about 48 left out after wall 4, with an inside corner at its end";
    assert!(text.contains(left_out), "{text}");
    // nothing closes an open run, but two lines alike are asked about
    let mut run = room(
        "Run",
        vec![inside("40 3/8", 90), inside("40 3/8", 90), inside("50", 90)],
    );
    run.closed = false;
    let told = plan(walk(vec![run]));
    assert_eq!(
        messages(&told),
        [
            "warning [1, 2] Wall 1 and wall 2 read alike to the mark: is one of them the other, written twice?"
        ]
    );
}

#[test]
fn the_smallest_error_that_shows_is_what_shows() {
    let good = walk(vec![room("El", el())]);
    let report = RoomReport::of(&good, &good.rooms[0]);
    for wall in 0..6 {
        let seen = report.seen[wall].expect("a closed room is checked");
        let mut wrong = good.clone();
        let Stretch::Wall(read) = wrong.rooms[0].outline[wall].stretch else {
            panic!("a wall");
        };
        let off = Length::from_units((seen * f64::from(Length::UNITS_PER_MILLIMETRE)) as i32);
        wrong.rooms[0].outline[wall].stretch = Stretch::Wall(read + off);
        assert!(!plan(wrong.clone()).findings.is_empty(), "wall {wall}");
        // the test is 5.62 there, and 3.29 is its limit: half of it does not show
        let half = Length::from_units(off.units() / 2);
        wrong.rooms[0].outline[wall].stretch = Stretch::Wall(read + half);
        assert_eq!(messages(&plan(wrong)), [""; 0], "wall {wall}");
    }
    let then: Vec<f64> = report.seen_then.iter().flatten().copied().collect();
    let now: Vec<f64> = report.seen.iter().flatten().copied().collect();
    assert!(!report.further.is_empty());
    // 5.62 times a reading's deviation of about 1.3 mm, and the same again for the second: under 1/2 in
    let twice = report.seen_twice.iter().flatten();
    assert!(twice.copied().fold(0.0, f64::max) < 12.7);
    assert!(then.iter().zip(&now).all(|(then, now)| then < now));
}

#[test]
fn a_length_that_no_other_comes_near_is_asked_about_where_nothing_closes() {
    let mut run = room(
        "Hall",
        vec![inside("143", 90), inside("1 1/2", 90), inside("1440", 90)],
    );
    run.closed = false;
    let told = plan(walk(vec![run, room("Den", den())]));
    let text = said(&told);
    assert!(
        text.contains("warning [3] Wall 3 is 1440 long, and the next longest wall of the level 144: measure it again."),
        "{text}"
    );
}

#[test]
fn a_wall_out_of_square_is_one_of_the_explanations() {
    // a wall that leans by 4 degrees, with both its corners called square
    let lean = 144.0 * 4f64.to_radians().tan();
    let far = Length::inches(120) + Length::inches(1).times(lean);
    let mut outline = vec![
        inside("144", 90),
        inside("120", 90),
        inside("144 3/8", 90),
        inside("120", 90),
    ];
    outline[3].stretch = Stretch::Wall(far);
    let told = plan(walk(vec![room("Leaning", outline)]));
    let text = said(&told);
    assert!(
        text.contains("degrees wider than noted, and the corner after"),
        "{text}"
    );
}

#[test]
fn how_good_tape_corners_and_gauge_are_is_the_walks_to_say() {
    let mut outline = den();
    outline[2] = inside("78", 90);
    let mut walk = walk(vec![room("Den", outline)]);
    assert_eq!(messages(&plan(walk.clone())).len(), 1);
    let inch = Uncertainty::of(&walk);
    assert_eq!(
        (inch.tape, inch.square, inch.gauge),
        (Tape::Handbook44, 0.25, 0.5)
    );
    // three inches too many are what corners off by half a degree can make of a room of 10 by 12 ft
    walk.accuracy = Accuracy {
        with: Some(Measure::Laser),
        corners: Angle::hundredths(50),
        gauge: Angle::degrees(1),
    };
    assert_eq!(messages(&plan(walk.clone())), [""; 0]);
    let said = Uncertainty::of(&walk);
    assert_eq!(
        (said.tape, said.square, said.gauge),
        (Tape::Laser(25.4 / 16.0), 0.5, 1.0)
    );
    walk.accuracy.with = None;
    walk.setup.mark = Mark::Millimetre;
    let metric = Uncertainty::of(&walk);
    assert_eq!(
        (metric.tape, metric.mark),
        (Tape::Class(TapeClass::II), Length::millimetres(1))
    );
}
