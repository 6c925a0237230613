//! How pieces lie along a stick: where each end's line falls, what the blade takes, how close two neighbours can lie.
//! Which piece follows which is left to `order`.
//!
//! x runs along the stick from its fresh end, in units of [`Length`]; every line across the board has a place on the
//! back arris and one on the face arris. All of a moulding's pieces lie the same way round: the installed side at the
//! fresh end is one for all of them, and an end that is cut in a turned posture only means that the whole stick is
//! turned for that cut.

use shared_model::{Angle, Figure, Length, PieceEnd, Posture, Side};

use super::Blank;

/// The line that an end's cut leaves across the board. Two lines that are equal are made by one cut where they are
/// neighbours: same slope, same setting of the saw, same posture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Line {
    /// How much farther from the fresh end it lies on the face than on the back.
    pub lean: i64,
    setting: Angle,
    posture: Posture,
}

/// A piece as it lies along a stick. The near end is the one toward the fresh end: it is made first, and the far end's
/// cut takes the piece off the stick.
#[derive(Debug, Clone, Copy)]
pub(super) struct Laid {
    /// The line of the near end.
    pub near: Line,
    /// The line of the far end.
    pub far: Line,
    /// From line to line along the back.
    pub back: i64,
    /// What the far end's blade takes along the stick, beyond the far line.
    pub kerf: i64,
    /// It must not come off while too little of the stick remains in the hand.
    pub short: bool,
}

impl Laid {
    /// How a blank lies when its installed `fresh` side is toward the fresh end; shorter than `short`, tip to tip, it must
    /// be held.
    pub fn of(blank: &Blank, thickness: Length, kerf: Length, short: Length, fresh: Side) -> Laid {
        let (near, far) = match fresh {
            Side::Left => (blank.left, blank.right),
            Side::Right => (blank.right, blank.left),
        };
        let slope = |end: PieceEnd| i64::from(end.end.slope(thickness).units());
        // a butt's figure is the face's: its back ends before the blank's length does
        let relief = |end: PieceEnd| slope(end) - i64::from(end.end.reach(thickness).units());
        let line = |end: PieceEnd, lean| Line {
            lean,
            setting: end.end.setting(),
            posture: end.posture,
        };
        let overall = Figure::of(blank.length, near.end, far.end, thickness).overall;
        Laid {
            near: line(near, -slope(near)),
            far: line(far, slope(far)),
            back: i64::from(blank.length.units()) - relief(near) - relief(far),
            kerf: kerf_along(kerf, far.end.setting()),
            short: overall < short,
        }
    }

    /// A stretch with square ends, and the kerf beyond it.
    pub fn plain(back: i64, kerf: i64) -> Laid {
        let square = Line {
            lean: 0,
            setting: Angle::ZERO,
            posture: Posture::ALL[0],
        };
        Laid {
            near: square,
            far: square,
            back,
            kerf,
            short: false,
        }
    }

    /// From line to line along the face.
    pub fn face(&self) -> i64 {
        self.back + self.far.lean - self.near.lean
    }

    /// Whether there is such a piece: its two lines do not cross within the board.
    pub fn exists(&self) -> bool {
        let (back, face) = (self.back, self.face());
        back.min(face) >= 0 && back.max(face) > 0
    }

    /// What it takes of a stick at least, kerf included: no wedge before or after it.
    pub const fn bare(&self) -> i64 {
        self.back + self.kerf
    }

    /// What it takes of a stick at most, kerf included, whatever lies before and after it: see [`Front::after`], and
    /// max(0, a - b) <= max(0, a) + max(0, -b).
    pub fn safe(&self) -> i64 {
        self.back + self.kerf + self.far.lean.max(0) + (-self.near.lean).max(0)
    }

    /// The shortest stick from which it can be cut alone.
    pub fn alone(&self, trim: i64) -> i64 {
        Front::fresh(trim).after(self).farthest()
    }
}

/// What a blade `kerf` thick takes along the board at a setting from square: kerf / cos(setting), rounded up.
pub(super) fn kerf_along(kerf: Length, setting: Angle) -> i64 {
    let along = f64::from(kerf.units()) / libm::cos(setting.radians());
    match along >= 0.0 && along < f64::from(i32::MAX) {
        // whole and in range, so nothing is lost
        true => libm::ceil(along) as i64,
        false => i64::from(i32::MAX),
    }
}

/// How far a stick is used up: the last line that was cut and what the blade took beyond it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Front {
    /// Where the line lies on the back.
    pub back: i64,
    lean: i64,
    kerf: i64,
}

impl Front {
    /// A whole stick: nothing before the trim is used on either arris, and the cut that trims makes the first end.
    pub const fn fresh(trim: i64) -> Front {
        Front {
            back: 0,
            lean: 0,
            kerf: trim,
        }
    }

    /// The front whose last cut is the far end of `piece`, at `back`.
    pub const fn at(back: i64, piece: &Laid) -> Front {
        Front {
            back,
            lean: piece.far.lean,
            kerf: piece.kerf,
        }
    }

    /// The front after one more piece, laid as close as it goes.
    ///
    /// Its near line lies wholly beyond the kerf of the cut before, on the back and on the face. Where the two lines
    /// are parallel one kerf parts them. Where they are not, the kerf parts them at the tight arris and a wedge of
    /// waste is left at the other; the second blade is assumed to run in that wedge and to need no room of its own.
    pub fn after(&self, piece: &Laid) -> Front {
        let wedge = (self.lean - piece.near.lean).max(0);
        Front::at(self.back + self.kerf + wedge + piece.back, piece)
    }

    /// The line's place on the arris where it lies farther. The far end of a stick is good to its very end, so a piece
    /// fits where this is no more than the stick's length.
    pub const fn farthest(&self) -> i64 {
        match self.lean > 0 {
            true => self.back + self.lean,
            false => self.back,
        }
    }

    /// What remains of a stick beyond the kerf, at the shorter arris; below zero where the last cut takes its very end.
    pub const fn rest(&self, length: i64) -> i64 {
        length - self.farthest() - self.kerf
    }
}
