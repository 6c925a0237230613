//! How a room's stretches, corners and lengths are called in a sentence. Which sentence it is, is left to `findings` and
//! `report`.

use shared_model::{Length, Mark, Unit};

use super::adjust::Adjustment;
use super::survey::{Which, length, millimetres};
use super::traverse::Traverse;
use crate::walk::{Room, Setup, Stretch};

/// The names of a room's parts and the way in which its lengths are written.
#[derive(Debug, Clone, Copy)]
pub struct Names<'a> {
    /// The room.
    pub room: &'a Room,
    /// Unit and mark.
    pub setup: &'a Setup,
}

impl Names<'_> {
    /// The number of a side that is a wall to be cut.
    pub fn wall(&self, side: usize) -> Option<u32> {
        let is_wall = |at: &usize| matches!(self.room.outline[*at].stretch, Stretch::Wall(_));
        let count = (0..=side).filter(is_wall).count() as u32;
        is_wall(&side).then_some(count)
    }

    /// Such as `wall 3`, `opening 2` (counted among the openings, as for the way in), `the hung wall after wall 3`.
    pub fn side(&self, side: usize) -> String {
        match (self.room.outline[side].stretch, self.wall(side)) {
            (_, Some(wall)) => format!("wall {wall}"),
            (Stretch::Opening(_), None) => {
                let openings = (self.room.outline[..=side].iter())
                    .filter(|item| matches!(item.stretch, Stretch::Opening(_)));
                format!("opening {}", openings.count())
            }
            (_, None) => {
                let before = (0..side).rev().find_map(|at| self.wall(at));
                match before {
                    Some(wall) => format!("the hung wall after wall {wall}"),
                    None => "the hung wall before wall 1".to_owned(),
                }
            }
        }
    }

    /// Such as `walls 1, 3 and 4, opening 2`.
    pub fn sides(&self, sides: &[usize]) -> String {
        let mut walls = Vec::new();
        let mut openings = Vec::new();
        let mut hung = Vec::new();
        for &side in sides {
            let name = self.side(side);
            match (name.strip_prefix("wall "), name.strip_prefix("opening ")) {
                (Some(number), _) => walls.push(number.to_owned()),
                (_, Some(number)) => openings.push(number.to_owned()),
                _ => hung.push(name),
            }
        }
        let group = |noun: &str, numbers: &[String]| match numbers {
            [] => None,
            [number] => Some(format!("{noun} {number}")),
            numbers => Some(format!("{noun}s {}", listed(numbers, "and"))),
        };
        let groups = [group("wall", &walls), group("opening", &openings)];
        let groups: Vec<String> = groups.into_iter().flatten().chain(hung).collect();
        groups.join(", ")
    }

    /// Such as `the corner after wall 3`.
    pub fn corner(&self, side: usize) -> String {
        format!("the corner after {}", self.side(side))
    }

    /// A length as it was taken: `wall 3`, or `the length across from 0 to 2`.
    pub fn reading(&self, which: Which) -> String {
        match which {
            Which::Length(side) => self.side(side),
            Which::Turn(side) => self.corner(side),
            Which::Tie(tie) => {
                let diagonal = self.room.diagonals[tie];
                format!(
                    "the length across from {} to {}",
                    diagonal.from, diagonal.to
                )
            }
        }
    }

    /// A reading as a tape shows it, to the file's mark or finer where it was read finer.
    pub fn tape(&self, length: Length) -> String {
        let mark = match self.setup.unit {
            Unit::Inch => [self.setup.mark, Mark::Sixteenth, Mark::ThirtySecond]
                .into_iter()
                .find(|mark| length.units() % mark.step().units() == 0)
                .unwrap_or(Mark::SixtyFourth),
            _ => Mark::HalfMillimetre,
        };
        length.on_tape(mark).to_string()
    }

    /// A reading in the unit that the file is not in, with what it comes to there: `1400 mm, which is 55 1/8,`.
    pub fn in_other_unit(&self, length: Length) -> String {
        let other = match self.setup.unit {
            Unit::Inch => format!("{} mm", length.on_tape(Mark::Millimetre)),
            _ => format!("{} in", length.on_tape(Mark::SixtyFourth)),
        };
        format!("{other}, which is {},", length.on_tape(self.setup.mark))
    }

    /// A length that was reckoned, not read: to a quarter of an inch or 5 mm.
    pub fn tape_roughly(&self, reckoned: Length) -> String {
        let step = match self.setup.unit {
            Unit::Inch => 25.4 / 4.0,
            _ => 5.0,
        };
        self.tape(length(libm::rint(millimetres(reckoned) / step) * step))
    }

    /// A size in mm that only has to be roughly right, never too small: `3/8 in`, `2 1/4 in`, `14 in`, `25 mm`.
    pub fn at_least(&self, millimetres: f64) -> String {
        self.rounded(millimetres, libm::ceil)
    }

    /// A size in mm that only has to be roughly right, the nearest; `less than 1/8 in` where that would be nothing.
    pub fn about(&self, millimetres: f64) -> String {
        let least = match self.setup.unit {
            Unit::Inch => 25.4 / 8.0,
            _ => 1.0,
        };
        match millimetres < least / 2.0 {
            true => format!("less than {}", self.at_least(least)),
            false => self.rounded(millimetres, libm::rint),
        }
    }

    /// How far a way that misses its beginning leads, as in `1 in 29`, where that says something: not of one that hardly
    /// comes back at all, nor of one that misses by nothing.
    pub fn one_in(&self, traverse: &Traverse) -> Option<String> {
        let ratio = traverse.ratio()?;
        (10.0..100_000.0)
            .contains(&ratio)
            .then(|| format!("1 in {ratio:.0}"))
    }

    fn rounded(&self, millimetres: f64, round: fn(f64) -> f64) -> String {
        let to = |step: f64| length(round(millimetres / step) * step);
        match self.setup.unit {
            Unit::Inch => {
                let step = match millimetres / 25.4 {
                    ..1.0 => 25.4 / 8.0,
                    1.0..12.0 => 25.4 / 4.0,
                    _ => 25.4,
                };
                format!("{} in", to(step).on_tape(Mark::Eighth))
            }
            _ => {
                let step = if millimetres < 100.0 { 1.0 } else { 10.0 };
                format!("{} mm", to(step).on_tape(Mark::Millimetre))
            }
        }
    }

    /// How far it is round the room, in mm, as a person says it.
    pub fn round(&self, millimetres: f64) -> String {
        match self.setup.unit {
            Unit::Inch => length(millimetres).feet_inches(Mark::Eighth).to_string(),
            _ => format!("{} mm", length(millimetres).on_tape(Mark::Millimetre)),
        }
    }
}

/// A sentence's beginning.
pub fn capital(text: &str) -> String {
    let mut text = text.to_owned();
    if let Some(first) = text.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    text
}

/// Words in a row: `a`, `a and b`, `a, b and c`.
pub fn listed(words: &[String], last: &str) -> String {
    match words {
        [] => String::new(),
        [word] => word.clone(),
        [words @ .., end] => format!("{} {last} {end}", words.join(", ")),
    }
}

/// How far tape and corners alone may leave the end of a walk from its beginning, along a way of this direction, in mm: the
/// test's limit times the standard deviation. None where the walk does not come back.
pub fn explained(adjustment: &Adjustment, misclosure: super::traverse::Vector) -> f64 {
    let long = misclosure.length();
    let (north, east) = match long > 0.0 {
        true => (misclosure.north / long, misclosure.east / long),
        false => (1.0, 0.0),
    };
    let variance = north * north * adjustment.covariance(0, 0)
        + 2.0 * north * east * adjustment.covariance(1, 0)
        + east * east * adjustment.covariance(1, 1);
    super::snoop::FALSE_ALARM * variance.sqrt()
}
