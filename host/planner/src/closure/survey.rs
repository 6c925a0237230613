//! A room as a surveyor would book it: the length of every stretch, the turn at every corner, and lengths taken across, each
//! with its own uncertainty. What the readings say about each other is left to `adjust`.
//!
//! Lengths are millimetres, turns are radians to the right for one who walks clockwise; a room walked the other way is the
//! same room in a mirror and closes alike. An inside corner of gauge g turns by 180 - g, an outside one by as much to the
//! other hand.

use std::f64::consts::{PI, TAU};

use shared_model::Length;

use super::traverse::{Leg, Traverse, Vector};
use super::uncertainty::Uncertainty;
use crate::walk::{Corner, Item, Room, Stretch, Turn};

/// Openings that board stops at are wider and narrower than this, in mm: a pipe chase and a garage door.
pub const OPENINGS: [f64; 2] = [150.0, 6_000.0];

/// The middle of what openings are wide, from closet doors to cased openings, where one was not measured; in mm.
pub const USUAL_OPENING: f64 = 914.0;
/// The standard deviation of that, in mm.
pub const OPENING_SPREAD: f64 = 400.0;
/// The standard deviation of what is not known at all: as good as none in a house, and small enough to reckon with; in mm.
pub const UNKNOWN: f64 = 10_000.0;

/// A reading: what was read and its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// In millimetres or radians.
    pub value: f64,
    /// The same.
    pub deviation: f64,
}

/// A stretch and the turn at its end; none where the next goes straight on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// Its length.
    pub length: Reading,
    /// The turn at its end.
    pub turn: Option<Reading>,
}

/// A length taken between two corners: a diagonal, or a second reading of what lies between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tie {
    /// The corner from which it is taken, by the side it follows; 0 is where the walk begins.
    pub from: usize,
    /// The corner to which it is taken, after `from`.
    pub to: usize,
    /// How long.
    pub length: Reading,
}

/// Which reading of a survey is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Which {
    /// The length of a side.
    Length(usize),
    /// The turn at a side's end.
    Turn(usize),
    /// A tie.
    Tie(usize),
}

/// A room's readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// Its stretches in walking order.
    pub sides: Vec<Side>,
    /// Lengths across.
    pub ties: Vec<Tie>,
    /// The whole turn of one who comes back to where he began; none in an open run.
    pub round: Option<f64>,
}

impl Survey {
    /// The readings of a room as noted.
    pub fn of(room: &Room, uncertainty: &Uncertainty) -> Survey {
        let round = match room.island {
            true => -TAU,
            false => TAU,
        };
        let sides = room.outline.iter().map(|item| side(item, uncertainty));
        let ties = room.diagonals.iter().map(|diagonal| Tie {
            from: diagonal.from.min(diagonal.to),
            to: diagonal.from.max(diagonal.to),
            length: measured(diagonal.length, uncertainty),
        });
        Survey {
            sides: sides.collect(),
            ties: ties.collect(),
            round: room.closed.then_some(round),
        }
    }

    /// The readings that can be out, in a fixed order.
    pub fn readings(&self) -> impl Iterator<Item = Which> {
        let sides = self.sides.len();
        let turns = (0..sides).filter(|&side| self.turn(side).is_some());
        (0..sides)
            .map(Which::Length)
            .chain(turns.map(Which::Turn))
            .chain((0..self.ties.len()).map(Which::Tie))
    }

    /// A reading.
    pub fn reading(&self, which: Which) -> Reading {
        match which {
            Which::Length(side) => self.sides[side].length,
            Which::Turn(side) => self.turn(side).unwrap_or(Reading {
                value: 0.0,
                deviation: 0.0,
            }),
            Which::Tie(tie) => self.ties[tie].length,
        }
    }

    /// A reading, to be changed; none for the turn where the outline goes straight on.
    pub fn reading_mut(&mut self, which: Which) -> Option<&mut Reading> {
        match which {
            Which::Length(side) => Some(&mut self.sides[side].length),
            Which::Turn(side) => self.sides[side].turn.as_mut(),
            Which::Tie(tie) => Some(&mut self.ties[tie].length),
        }
    }

    /// The turn at a side's end, where another side follows.
    fn turn(&self, side: usize) -> Option<Reading> {
        let followed = self.round.is_some() || side + 1 < self.sides.len();
        self.sides[side].turn.filter(|_| followed)
    }

    /// Whether a side's length was not measured.
    pub fn is_unknown(&self, side: usize) -> bool {
        self.sides[side].length.deviation >= UNKNOWN
    }

    /// The openings whose width was not taken.
    pub fn unknown(&self) -> Vec<usize> {
        let sides = 0..self.sides.len();
        sides.filter(|&side| self.is_unknown(side)).collect()
    }

    /// The number of the straight line in which a side lies; the walk may begin in the middle of one.
    pub fn line(&self, side: usize) -> usize {
        let turns = |sides: &[Side]| sides.iter().filter(|side| side.turn.is_some()).count();
        let before = turns(&self.sides[..side]);
        match self.round {
            Some(_) => before % turns(&self.sides).max(1),
            None => before,
        }
    }

    /// Whether the outline bends or begins or ends here, by the side that the place follows.
    pub fn is_corner(&self, corner: usize) -> bool {
        let last = self.sides.len();
        match (corner.checked_sub(1), self.round) {
            (None, Some(_)) => last > 0 && self.sides[last - 1].turn.is_some(),
            (None, None) => true,
            (Some(side), Some(_)) => self.sides[side].turn.is_some(),
            (Some(side), None) => corner == last || self.sides[side].turn.is_some(),
        }
    }

    /// The sides as legs of a traverse, the first along the first axis.
    pub fn traverse(&self) -> Traverse {
        let mut bearing = 0.0;
        let legs = self.sides.iter().map(|side| {
            let leg = Leg {
                bearing,
                length: side.length.value,
            };
            bearing += side.turn.map_or(0.0, |turn| turn.value);
            leg
        });
        Traverse {
            legs: legs.collect(),
        }
    }

    /// Where each side begins, and last where the walk ends.
    pub fn points(&self) -> Vec<Vector> {
        let mut at = Vector::default();
        let mut points = vec![at];
        for leg in self.traverse().legs {
            at = at.plus(leg.way());
            points.push(at);
        }
        points
    }

    /// By how much the turns come to more than the whole turn, in radians; none in an open run.
    pub fn turned_too_far(&self) -> Option<f64> {
        let turns = self.sides.iter().filter_map(|side| side.turn);
        let sum: f64 = turns.map(|turn| turn.value).sum();
        self.round.map(|round| sum - round)
    }

    /// The same without a side and its corner.
    pub fn without(&self, side: usize) -> Survey {
        let mut survey = self.clone();
        survey.sides.remove(side);
        survey.move_ties(|corner| corner - usize::from(corner > side));
        survey
    }

    /// The same with another side after one.
    pub fn with(&self, after: usize, side: Side) -> Survey {
        let mut survey = self.clone();
        survey.sides.insert(after + 1, side);
        survey.move_ties(|corner| corner + usize::from(corner > after));
        survey
    }

    fn move_ties(&mut self, to: impl Fn(usize) -> usize) {
        let ties = self.ties.iter().map(|tie| Tie {
            from: to(tie.from),
            to: to(tie.to),
            ..*tie
        });
        // a length across whose ends have become one says nothing
        self.ties = ties.filter(|tie| tie.from < tie.to).collect();
    }
}

/// A length in millimetres.
pub fn millimetres(length: Length) -> f64 {
    f64::from(length.units()) / f64::from(Length::UNITS_PER_MILLIMETRE)
}

/// Millimetres as a length, to the nearest unit; what no length can hold is held at the longest.
pub fn length(millimetres: f64) -> Length {
    let units = libm::rint(millimetres * f64::from(Length::UNITS_PER_MILLIMETRE));
    Length::from_units(units as i32)
}

/// A length as it was read.
pub fn measured(length: Length, uncertainty: &Uncertainty) -> Reading {
    let value = millimetres(length);
    Reading {
        value,
        deviation: uncertainty.of_length(value),
    }
}

/// The turn that a corner makes.
pub fn turn_of(corner: Corner, uncertainty: &Uncertainty) -> Reading {
    let value = PI - corner.gauge.radians();
    Reading {
        value: match corner.turn {
            Turn::Inside => value,
            Turn::Outside => -value,
        },
        deviation: uncertainty.of_corner(corner),
    }
}

fn side(item: &Item, uncertainty: &Uncertainty) -> Side {
    let length = match item.stretch {
        Stretch::Wall(length) | Stretch::Existing(length) | Stretch::Opening(Some(length)) => {
            measured(length, uncertainty)
        }
        Stretch::Opening(None) => Reading {
            value: USUAL_OPENING,
            deviation: UNKNOWN,
        },
    };
    Side {
        length,
        turn: item.corner.map(|corner| turn_of(corner, uncertainty)),
    }
}
