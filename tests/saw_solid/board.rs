//! A solid board on the wall and at the saw: the rotation that each posture's words mean, the plane in which each joint is
//! cut on the wall, and what somebody at the saw sees of such a plane. Nothing here comes from the saw view; comparing the
//! two is left to the tests.
//!
//! Both frames have x to the right, y away from the person and z up: on the wall for one who faces it, the wall's plane
//! being y = 0 and the room y < 0; at the saw for one who faces its fence.

use shared_model::{Angle, By, End, Posture, Side, Way};

pub type Vector = [f64; 3];
pub type Matrix = [[f64; 3]; 3];

pub const RIGHT: Vector = [1.0, 0.0, 0.0];
pub const AWAY: Vector = [0.0, 1.0, 0.0];
pub const UP: Vector = [0.0, 0.0, 1.0];

/// The board on the wall: bottom left back at the origin. Millimetres, of no particular moulding.
pub const LENGTH: f64 = 700.0;
pub const THICKNESS: f64 = 14.3;
pub const HEIGHT: f64 = 133.0;
/// The height of the part below the profile.
pub const PLAIN: f64 = 114.0;

pub fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub fn cross(a: Vector, b: Vector) -> Vector {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub fn scaled(a: Vector, by: f64) -> Vector {
    a.map(|part| part * by)
}

pub fn turned(by: &Matrix, a: Vector) -> Vector {
    [dot(by[0], a), dot(by[1], a), dot(by[2], a)]
}

/// Every way of turning a box into itself: three directions at right angles that make a right-handed frame.
pub fn rotations() -> Vec<Matrix> {
    let signed = [RIGHT, AWAY, UP]
        .into_iter()
        .flat_map(|axis| [axis, scaled(axis, -1.0)]);
    let signed: Vec<Vector> = signed.collect();
    let mut all = Vec::new();
    for &first in &signed {
        for &second in &signed {
            if dot(first, second) == 0.0 {
                all.push([first, second, cross(first, second)]);
            }
        }
    }
    all
}

pub fn determinant(matrix: &Matrix) -> f64 {
    dot(matrix[0], cross(matrix[1], matrix[2]))
}

/// The one rotation from the wall to the saw that lays the board as the posture's words say.
pub fn placed(posture: Posture) -> Matrix {
    let (back, face, top, bottom) = (AWAY, scaled(AWAY, -1.0), UP, scaled(UP, -1.0));
    let (fence, down) = (AWAY, scaled(UP, -1.0));
    let words = match posture {
        Posture::StandingUpright => [(back, fence), (bottom, down)],
        Posture::StandingUpsideDown => [(back, fence), (top, down)],
        Posture::FlatTopToFence => [(face, UP), (top, fence)],
        Posture::FlatBottomToFence => [(face, UP), (bottom, fence)],
    };
    let fits = |by: &Matrix| words.iter().all(|&(side, goes)| turned(by, side) == goes);
    let mut found = rotations().into_iter().filter(fits);
    let placed = found.next().expect("the words can be followed");
    assert!(found.next().is_none(), "the words leave no choice");
    placed
}

/// The way out of the board, square to the plane in which an end is cut on the wall.
pub fn out_of_the_cut(end: End, installed: Side) -> Vector {
    let radians =
        |angle: Angle| f64::from(angle.in_hundredths()) / 100.0 * std::f64::consts::PI / 180.0;
    // lines of the cut seen from above, from the wall into the room, for an end on the right
    let towards_the_room = |sideways: f64, out: f64| [sideways, -out, 0.0];
    let line = match end {
        End::Square => towards_the_room(0.0, 1.0),
        // the bisector lies halfway between the two walls, inside the room
        End::Cope { gauge } | End::InsideMiter { gauge } => {
            let half = radians(gauge) / 2.0;
            towards_the_room(-half.cos(), half.sin())
        }
        // and here halfway between them inside the wall; carried on, it comes out into the room
        End::OutsideMiter { gauge } => {
            let half = radians(gauge) / 2.0;
            towards_the_room(half.cos(), half.sin())
        }
        End::Butt { gauge } => neighbours_face(gauge),
        End::ScarfOver { bevel } => towards_the_room(radians(bevel).tan(), 1.0),
        End::ScarfUnder { bevel } => towards_the_room(-radians(bevel).tan(), 1.0),
        End::Return => towards_the_room(1.0, 1.0),
    };
    out_of_the_line(line, installed)
}

/// The line of the neighbour's face in an inside corner over 90: parallel to the neighbour's wall. Under 90 nothing
/// strikes and the cut is square.
pub fn neighbours_face(gauge: Angle) -> Vector {
    let gauge = f64::from(gauge.in_hundredths().max(9000)) / 100.0;
    let gauge = gauge.to_radians();
    [-gauge.cos(), -gauge.sin(), 0.0]
}

/// A cut line of a right end (mirrored for a left one), as the way out of the board.
pub fn out_of_the_line(line: Vector, installed: Side) -> Vector {
    let out = cross(line, UP);
    let out = scaled(out, 1.0 / dot(out, out).sqrt() * out[0].signum());
    match installed {
        Side::Right => out,
        Side::Left => [-out[0], out[1], out[2]],
    }
}

/// What somebody at the saw sees of a cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    pub side: Side,
    pub by: By,
    pub way: Way,
    pub degrees: f64,
}

/// Reads a cut off its plane at the saw.
pub fn seen(out: Vector) -> Seen {
    let side = if out[0] > 0.0 {
        Side::Right
    } else {
        Side::Left
    };
    let level = out[2].abs() < 1e-9;
    let along_the_fence = out[1].abs() < 1e-9;
    assert!(level || along_the_fence, "one setting makes the cut");
    // the blade's line: on the table toward the person, where the handle is; tilted, up to the blade's top
    let (by, line) = match level {
        true => (By::Swing, cross(out, UP)),
        false => (By::Tilt, cross(out, AWAY)),
    };
    let toward = match by {
        By::Swing => scaled(AWAY, -1.0),
        By::Tilt => UP,
    };
    let line = scaled(line, dot(line, toward).signum());
    let degrees = line[0].abs().atan2(dot(line, toward)).to_degrees();
    let way = match line[0] {
        _ if degrees < 1e-9 => Way::None,
        sideways if sideways > 0.0 => Way::Right,
        _ => Way::Left,
    };
    Seen {
        side,
        by,
        way,
        degrees,
    }
}

/// What is seen at the saw of an end on the wall, cut in a posture.
pub fn seen_at_the_saw(end: End, installed: Side, posture: Posture) -> Seen {
    let mut seen = seen(turned(&placed(posture), out_of_the_cut(end, installed)));
    // a square cut shows no difference between swing and tilt
    if seen.way == Way::None && !posture.stands() {
        seen.by = By::Tilt;
    }
    seen
}
