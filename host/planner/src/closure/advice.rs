//! Which further reading would let the smallest errors be seen: a length across from corner to corner, a wall read a second
//! time, the width of an opening. Whether anything is wrong is left to `snoop`.

use super::adjust::Adjustment;
use super::snoop::{BLIND, test};
use super::survey::{Reading, Survey, Tie, Which};
use super::traverse::Vector;
use super::uncertainty::Uncertainty;

/// In a room with more stretches than this nobody walks about looking for the best diagonal.
const MOST_SIDES: usize = 100;

/// A reading that has not been taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Further {
    /// Across from one corner to another.
    Across {
        /// The side that the one corner follows; 0 is where the walk begins.
        from: usize,
        /// The side that the other follows.
        to: usize,
    },
    /// The width of an opening that was not measured.
    Width(usize),
}

/// The smallest error that would have been seen in every side, in mm; none where none would.
pub fn seen(survey: &Survey) -> Vec<Option<f64>> {
    let sides = 0..survey.sides.len();
    match Adjustment::of(survey) {
        Some(adjustment) => sides
            .map(|side| test(&adjustment, Which::Length(side)).seen)
            .collect(),
        None => sides.map(|_| None).collect(),
    }
}

/// The smallest error that would be seen in every side if that side, and no other, were read a second time, in mm.
pub fn seen_twice(survey: &Survey, uncertainty: &Uncertainty) -> Vec<Option<f64>> {
    let mut again = survey.clone();
    let sides = 0..survey.sides.len();
    sides
        .map(|side| {
            let value = survey.sides[side].length.value;
            again.ties.push(Tie {
                from: side,
                to: side + 1,
                length: Reading {
                    value,
                    deviation: uncertainty.of_length(value),
                },
            });
            let adjustment = Adjustment::of(&again);
            again.ties.pop();
            test(&adjustment?, Which::Length(side)).seen
        })
        .collect()
}

/// Of the widths that were not taken the one that would let most be seen.
pub fn width(survey: &Survey, uncertainty: &Uncertainty) -> Option<usize> {
    let tried = survey.unknown().into_iter().map(|side| {
        let mut with = survey.clone();
        Further::Width(side).take(&mut with, uncertainty);
        (unseen(&with), side)
    });
    tried.min_by_key(|tried| tried.0).map(|best| best.1)
}

/// The readings, at most so many, each of which after the ones before it brings down most what would not be seen; widths
/// that were not taken before any length across.
pub fn further(survey: &Survey, uncertainty: &Uncertainty, most: usize) -> Vec<Further> {
    let mut survey = survey.clone();
    let mut readings = Vec::new();
    while readings.len() < most {
        let now = unseen(&survey);
        let tried = candidates(&survey).into_iter().map(|reading| {
            let mut with = survey.clone();
            reading.take(&mut with, uncertainty);
            (unseen(&with), reading)
        });
        let best = tried.min_by_key(|tried| tried.0);
        // of two widths in one line neither helps without the other
        let helps =
            |&(left, reading): &(i64, Further)| left < now || matches!(reading, Further::Width(_));
        let Some((_, reading)) = best.filter(helps) else {
            break;
        };
        reading.take(&mut survey, uncertainty);
        readings.push(reading);
    }
    readings
}

impl Further {
    /// Books the reading as it would come out if all others are right.
    pub fn take(self, survey: &mut Survey, uncertainty: &Uncertainty) {
        match self {
            Further::Across { from, to } => {
                let points = survey.points();
                let value = points[to].from(points[from]).length();
                survey.ties.push(Tie {
                    from,
                    to,
                    length: Reading {
                        value,
                        deviation: uncertainty.of_length(value),
                    },
                });
            }
            Further::Width(side) => {
                let reading = &mut survey.sides[side].length;
                reading.deviation = uncertainty.of_length(reading.value);
            }
        }
    }
}

/// What would not be seen, over all sides: the sum of the smallest errors that would, in whole mm, so that of readings that
/// help alike the first is taken.
fn unseen(survey: &Survey) -> i64 {
    let seen = seen(survey).into_iter();
    let sum: f64 = seen.map(|seen| seen.unwrap_or(BLIND)).sum();
    libm::rint(sum) as i64
}

fn candidates(survey: &Survey) -> Vec<Further> {
    let sides = survey.sides.len();
    let widths: Vec<Further> = survey.unknown().into_iter().map(Further::Width).collect();
    if !widths.is_empty() || sides == 0 || sides > MOST_SIDES {
        return widths;
    }
    let mut list = Vec::new();
    // round a room the last corner is the first
    let last = sides + usize::from(survey.round.is_none());
    let corners: Vec<usize> = (0..last)
        .filter(|&corner| survey.is_corner(corner))
        .collect();
    let points = survey.points();
    for (at, &from) in corners.iter().enumerate() {
        for &to in corners.iter().skip(at + 2) {
            let taken = survey
                .ties
                .iter()
                .any(|tie| (tie.from, tie.to) == (from, to));
            let ends_meet = survey.round.is_some() && at == 0 && Some(&to) == corners.last();
            if !taken && !ends_meet && in_sight(survey, &points, from, to) {
                list.push(Further::Across { from, to });
            }
        }
    }
    list
}

/// Whether no wall stands between two corners.
fn in_sight(survey: &Survey, points: &[Vector], from: usize, to: usize) -> bool {
    let (begin, end) = (points[from], points[to]);
    let line = end.from(begin);
    let count = survey.sides.len();
    let ends_here = |side: &usize| {
        let ends = [*side, (side + 1) % count];
        ends.contains(&(from % count)) || ends.contains(&(to % count))
    };
    let mut others = (0..count).filter(|side| !ends_here(side));
    let crosses = |side: usize| {
        let (a, b) = (points[side], points[side + 1]);
        let wall = b.from(a);
        let apart = |point: Vector| line.cross(point.from(begin));
        let along = |point: Vector| wall.cross(point.from(a));
        apart(a) * apart(b) < 0.0 && along(begin) * along(end) < 0.0
    };
    let middle = begin.plus(line.times(0.5));
    survey.round.is_none() || (!others.any(crosses) && inside(points, middle))
}

/// Whether a point lies within a closed outline, by the crossings of a ray.
fn inside(points: &[Vector], point: Vector) -> bool {
    let pairs = points.windows(2);
    let crossings = pairs.filter(|pair| {
        let (a, b) = (pair[0], pair[1]);
        if (a.east > point.east) == (b.east > point.east) {
            return false;
        }
        let at = (point.east - a.east) / (b.east - a.east);
        a.north + at * (b.north - a.north) > point.north
    });
    crossings.count() % 2 == 1
}
