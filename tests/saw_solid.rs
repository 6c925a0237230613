//! The saw view judged by a solid board: it is turned into each posture, its ends are cut by the planes that the trade's
//! joints mean on the wall, and side, way and degrees are read off the planes. How a room's corners become joints is left
//! to `rooms`.

mod board;

use shared_model::{
    Angle, Arris, End, Figure, Length, Point, Posture, SawHead, Side, True45, Way, saw_cut,
};

use board::*;

pub use board::seen_at_the_saw;

fn gauges() -> impl Iterator<Item = Angle> {
    (6000..=17_000)
        .step_by(37)
        .chain([8999, 9000, 9001, 13_500, 17_000])
        .map(Angle::hundredths)
}

fn ends() -> Vec<End> {
    let corners = gauges().flat_map(|gauge| {
        [
            End::Butt { gauge },
            End::Cope { gauge },
            End::InsideMiter { gauge },
            End::OutsideMiter { gauge },
        ]
    });
    let bevels = [15, 30, 45].map(Angle::degrees).into_iter();
    let scarfs = bevels.flat_map(|bevel| [End::ScarfOver { bevel }, End::ScarfUnder { bevel }]);
    corners
        .chain(scarfs)
        .chain([End::Square, End::Return])
        .collect()
}

/// A saw that goes so many degrees to the left and to the right, swung or tilted.
fn saw(slides: bool, left: u16, right: u16) -> SawHead {
    let (left, right) = (Angle::degrees(left), Angle::degrees(right));
    SawHead {
        slides,
        swing_left: left,
        swing_right: right,
        tilt_left: left,
        tilt_right: right,
        true_45: True45::EXACT,
    }
}

const SIDES: [Side; 2] = [Side::Left, Side::Right];

#[test]
fn postures_are_rotations_and_never_mirrors() {
    assert_eq!(rotations().len(), 24);
    for rotation in rotations() {
        assert_eq!(determinant(&rotation), 1.0);
    }
    let placed: Vec<Matrix> = Posture::ALL.map(placed).to_vec();
    for (one, matrix) in Posture::ALL.iter().zip(&placed) {
        // turning end for end about the line out of the face gives the other posture of the pair
        let half_turn = |a: Vector| [-a[0], a[1], -a[2]];
        let other = &placed[Posture::ALL
            .iter()
            .position(|p| *p == one.turned())
            .expect("a posture")];
        for axis in [RIGHT, AWAY, UP] {
            assert_eq!(
                turned(matrix, half_turn(axis)),
                turned(other, axis),
                "{one}"
            );
        }
    }
}

#[test]
fn bisectors_swap_the_two_walls_of_a_corner() {
    for gauge in gauges() {
        let angle = f64::from(gauge.in_hundredths()) / 100.0;
        let (sin, cos) = angle.to_radians().sin_cos();
        // from the corner, this wall runs to the left; the other at the gauge angle, before or behind the wall's plane
        let inside = [-cos, -sin, 0.0];
        let outside = [-cos, sin, 0.0];
        for (end, other) in [
            (End::InsideMiter { gauge }, inside),
            (End::OutsideMiter { gauge }, outside),
        ] {
            let out = out_of_the_cut(end, Side::Right);
            let wall = scaled(RIGHT, -1.0);
            let mirrored = scaled(out, -2.0 * dot(out, wall));
            let mirrored: Vec<f64> = (0..3).map(|at| wall[at] + mirrored[at]).collect();
            for at in 0..3 {
                assert!(
                    (mirrored[at] - other[at]).abs() < 1e-9,
                    "{end:?} {mirrored:?} {other:?}"
                );
            }
        }
    }
}

#[test]
fn every_cut_is_what_the_plane_through_the_board_says() {
    let mut cuts = 0;
    for end in ends() {
        for (installed, posture) in SIDES
            .iter()
            .flat_map(|&side| Posture::ALL.map(|posture| (side, posture)))
        {
            let cut = saw_cut(
                end,
                installed,
                posture,
                Length::millimetres(114),
                &saw(true, 80, 80),
            );
            let seen = seen_at_the_saw(end, installed, posture);
            let what = format!(
                "{end:?}, installed {}, {posture}: {seen:?}",
                installed.word()
            );
            assert_eq!(cut.joint, end.joint(), "{what}");
            assert_eq!(cut.posture, posture, "{what}");
            assert_eq!(cut.side, seen.side, "{what}");
            assert_eq!(cut.by, seen.by, "{what}");
            assert_eq!(cut.way, seen.way, "{what}");
            let degrees = f64::from(cut.degrees.in_hundredths()) / 100.0;
            assert!(
                (degrees - seen.degrees).abs() < 0.005 + 1e-9,
                "{what}: {degrees}"
            );
            cuts += 1;
        }
    }
    assert!(cuts > 9000);
}

#[test]
fn the_face_goes_beyond_the_back_as_far_as_the_plane_leaves_it() {
    let thickness = Length::from_units((THICKNESS * 640.0) as i32);
    for end in ends() {
        for installed in SIDES {
            let out = out_of_the_cut(end, installed);
            // the plane meets the back line where it is told to; follow it through the board to the face
            let sideways = THICKNESS * out[1] / out[0];
            let beyond = match installed {
                Side::Right => sideways,
                Side::Left => -sideways,
            };
            if !matches!(end, End::Butt { .. }) {
                assert_eq!(end.reach(thickness), end.slope(thickness), "{end:?}");
            }
            let slope = f64::from(end.slope(thickness).units()) / 640.0;
            assert!(
                (slope - beyond).abs() < 0.004,
                "{end:?} {}: {slope} {beyond}",
                installed.word()
            );
        }
    }
}

#[test]
fn a_figure_runs_between_two_corners_of_the_solid() {
    let thickness = Length::from_units((THICKNESS * 640.0) as i32);
    let length = Length::from_units((LENGTH * 640.0) as i32);
    // a butt's back is relieved beyond its figure, which is the face's
    let ends: Vec<End> = ends()
        .into_iter()
        .filter(|end| !matches!(end, End::Butt { .. }))
        .step_by(7)
        .collect();
    for &left in &ends {
        for &right in &ends {
            let figure = Figure::of(length, left, right, thickness);
            let beyond = |end: End, side: Side| {
                let out = out_of_the_cut(end, side);
                THICKNESS * out[1] / out[0]
            };
            let back = [0.0, LENGTH];
            let face = [
                beyond(left, Side::Left),
                LENGTH + beyond(right, Side::Right),
            ];
            let what = format!("{left:?} {right:?} {figure:?}");
            let reads = |read: Length, due: f64| {
                assert!(
                    (f64::from(read.units()) / 640.0 - due).abs() < 0.01,
                    "{what}: {due}"
                );
            };
            reads(figure.overall, back[1].max(face[1]) - back[0].min(face[0]));
            // it can be hooked on both its points, or is the length that the tape read along the wall
            let (along, other) = match figure.arris {
                Arris::Back => (back, face),
                Arris::Face => (face, back),
            };
            reads(figure.length, along[1] - along[0]);
            let tips_on_face = face[0] < back[0] - 1e-9 && face[1] > back[1] + 1e-9;
            assert_eq!(figure.arris == Arris::Face, tips_on_face, "{what}");
            for (point, gain) in [
                (figure.left, other[0] - along[0]),
                (figure.right, along[1] - other[1]),
            ] {
                let due = match gain {
                    gain if gain.abs() < 1e-9 => Point::Square,
                    gain if gain > 0.0 => Point::Long,
                    _ => Point::Short,
                };
                assert_eq!(point, due, "{what}");
            }
        }
    }
}

#[test]
fn the_two_boards_of_a_joint_are_cut_on_one_plane() {
    for bevel in [15, 30, 45].map(Angle::degrees) {
        let over = out_of_the_cut(End::ScarfOver { bevel }, Side::Right);
        let under = out_of_the_cut(End::ScarfUnder { bevel }, Side::Left);
        for at in 0..3 {
            assert!((over[at] + under[at]).abs() < 1e-12);
        }
    }
}

/// The part of the board that a blade meets first that comes from `from`: the plain part alone, or anything of the
/// profile; and how far it goes from there to where the profile begins.
fn plain_first(posture: Posture, from: Vector) -> Option<f64> {
    let placed = placed(posture);
    let corners = |low: f64, high: f64| {
        [0.0, LENGTH].into_iter().flat_map(move |x| {
            [0.0, -THICKNESS]
                .into_iter()
                .flat_map(move |y| [low, high].map(|z| [x, y, z]))
        })
    };
    let met = |low: f64, high: f64| {
        let heights = corners(low, high).map(|corner| dot(turned(&placed, corner), from));
        heights.fold(f64::NEG_INFINITY, f64::max)
    };
    let (plain, profile) = (met(0.0, PLAIN), met(PLAIN, HEIGHT));
    (plain > profile + 1e-9).then_some(plain - profile)
}

#[test]
fn the_plain_cut_is_made_where_the_blade_meets_the_plain_part_first() {
    let ranges = [(80, 80), (80, 0), (0, 80), (4, 4)];
    for gauge in gauges() {
        for (installed, posture) in SIDES
            .iter()
            .flat_map(|&side| Posture::ALL.map(|posture| (side, posture)))
        {
            for slides in [false, true] {
                for range in ranges {
                    plain_cut_of(gauge, installed, posture, slides, range);
                }
            }
        }
    }
}

fn plain_cut_of(
    gauge: Angle,
    installed: Side,
    posture: Posture,
    slides: bool,
    (to_left, to_right): (u16, u16),
) {
    let plain_part = Length::from_units((PLAIN * 640.0) as i32);
    let saw = saw(slides, to_left, to_right);
    let cut = saw_cut(End::Cope { gauge }, installed, posture, plain_part, &saw);
    let what = format!("{gauge} {} {posture} {saw:?}: {cut:?}", installed.word());
    // its plane is that of the neighbour's face, so that the back does not strike before the face closes
    let out = out_of_the_line(neighbours_face(gauge), installed);
    let seen = seen(turned(&placed(posture), out));
    let most = match seen.way {
        Way::Left => f64::from(to_left),
        Way::Right => f64::from(to_right),
        Way::None => 0.0,
    };
    let in_range = seen.degrees < most + 1e-6;
    let from_above = plain_first(posture, UP);
    let drawn = plain_first(posture, scaled(AWAY, -1.0)).filter(|_| slides);
    let due = from_above.or(drawn).filter(|_| in_range);
    assert_eq!(cut.plain.is_some(), due.is_some(), "{what}");
    let (Some(plain), Some(depth)) = (cut.plain, due) else {
        return;
    };
    let (told, degrees) = (plain.depth.units(), plain.degrees.in_hundredths());
    assert!((f64::from(told) / 640.0 - depth).abs() < 0.01, "{what}");
    assert_eq!((plain.way, cut.side), (seen.way, seen.side), "{what}");
    assert!(
        (f64::from(degrees) / 100.0 - seen.degrees).abs() < 1e-6,
        "{what}"
    );
    // the back cut leans the other way than the angled cut
    assert!(plain.way == Way::None || plain.way != cut.way, "{what}");
}

#[test]
fn other_ends_have_no_plain_cut() {
    for end in ends()
        .into_iter()
        .filter(|end| !matches!(end, End::Cope { .. }))
    {
        for posture in Posture::ALL {
            let cut = saw_cut(
                end,
                Side::Left,
                posture,
                Length::millimetres(114),
                &saw(true, 80, 80),
            );
            assert_eq!(cut.plain, None);
        }
    }
}

#[test]
fn a_wedge_turned_round_a_finished_end_lies_on_the_boards_cut() {
    // the wedge hangs with its face out at the end of the run: a quarter turn from the wall's own frame
    for (board, wedge) in [(Side::Right, Side::Left), (Side::Left, Side::Right)] {
        let sideways = if board == Side::Right { 1.0 } else { -1.0 };
        let hung = |a: Vector| [-sideways * a[1], sideways * a[0], a[2]];
        let cut = out_of_the_cut(End::Return, board);
        let mate = hung(out_of_the_cut(End::Return, wedge));
        for at in 0..3 {
            assert!(
                (cut[at] + mate[at]).abs() < 1e-12,
                "{board:?}: {cut:?} {mate:?}"
            );
        }
        // its square end lies against the wall, and its face at the end of the run
        let square = hung(out_of_the_cut(End::Square, board));
        assert_eq!(square, AWAY, "{board:?}");
        assert_eq!(hung(scaled(AWAY, -1.0)), scaled(RIGHT, sideways));
    }
}

#[test]
fn a_filler_lies_on_the_cuts_of_both_its_boards() {
    // an outside corner turned in two halves: each is cut on the plane halfway between the filler and its board
    for gauge in gauges() {
        let half = Angle::hundredths(9000 + gauge.in_hundredths() / 2);
        let turn = (180.0 - f64::from(half.in_hundredths()) / 100.0).to_radians();
        let end = End::OutsideMiter { gauge: half };
        // seen from above, who goes to the right along the board turns to the left round an outside corner
        let (sin, cos) = turn.sin_cos();
        let hung = |a: Vector| [cos * a[0] - sin * a[1], sin * a[0] + cos * a[1], a[2]];
        let board = out_of_the_cut(end, Side::Right);
        let filler = hung(out_of_the_cut(end, Side::Left));
        for at in 0..3 {
            assert!(
                (board[at] + filler[at]).abs() < 1e-9,
                "{gauge}: {board:?} {filler:?}"
            );
        }
    }
}
