//! Which stretches of a room that does not close can hold the error, and which single slips would explain it, likeliest
//! first. How that is said is left to `findings`; nothing is ever changed by itself.
//!
//! Geometry alone cannot tell walls apart that lie in one direction. So every slip h that tape work makes is tried in turn:
//! the room is booked anew with it undone, and its chance is
//!
//! prior(h) x exp(-T/2) / sqrt(det M),
//!
//! the prior how often such a slip is made and goes just this way (see `slips`), the rest the density with which the
//! room's conditions would be met as they are if h were the whole story (T and M as in `adjust`; Bayes' rule, and all
//! readings meant equally likely beforehand). Those stay whose T is within what chi-squared passes 999 times of 1000.
//! What is not one of a few readings but may be anything (a forgotten opening's width, how much a wall leans) enters M with
//! the spread that such things have in houses.

use std::f64::consts::FRAC_PI_2;

use shared_model::{Angle, Length, Unit};

use super::adjust::Adjustment;
use super::slips::{self, Slip};
use super::snoop::chi_squared;
use super::survey::{
    OPENING_SPREAD, Reading, Side, Survey, Tie, UNKNOWN, USUAL_OPENING, Which, length, measured,
};
use super::uncertainty::Uncertainty;
use crate::walk::Turn;

/// A single slip that explains why a room does not close, and what undoes it. Sides are counted from 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// A length, as it would have to read.
    Length {
        /// The side or length across.
        which: Which,
        /// The reading that closes the room.
        meant: Length,
        /// The slip that leads from it to what is written.
        slip: Slip,
    },
    /// The corner at a side's end is of the other kind.
    Turned(usize),
    /// The corner at a side's end has another angle.
    Gauge {
        /// The side.
        side: usize,
        /// The gauge angle that closes the room, to half a degree.
        meant: Angle,
    },
    /// A wall's line leans: the corner before it is wider by so much, the one after it as much narrower.
    Leans {
        /// The side whose end is the corner before it.
        before: usize,
        /// The side whose end is the corner after it.
        after: usize,
        /// By how much, in hundredths of a degree; negative the other way.
        by: i32,
    },
    /// A side is the one after it entered a second time.
    Twice(usize),
    /// A wall was left out after a side.
    WallLeftOut {
        /// The side.
        after: usize,
        /// How long the wall would be.
        length: Length,
        /// The corner at its end.
        turn: Turn,
    },
    /// An opening in a side's line was left out.
    OpeningLeftOut {
        /// The side.
        side: usize,
        /// How wide it would be.
        width: Length,
    },
}

/// A slip and its chance among all that were found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Proposal {
    /// What undoes it.
    pub change: Change,
    /// From 0 to 1; those of all proposals come to 1.
    pub chance: f64,
}

/// What may be wrong in a room that does not close.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Suspects {
    /// The lengths any one of which can hold the error by itself.
    pub lengths: Vec<Which>,
    /// Slips that explain it, likeliest first.
    pub proposals: Vec<Proposal>,
}

impl Suspects {
    /// Whether an error in this side, its corner or beside it explains the room.
    pub fn name(&self, side: usize) -> bool {
        let by_slip = self.proposals.iter().any(|proposal| match proposal.change {
            Change::Length { which, .. } => which == Which::Length(side),
            Change::Turned(at) | Change::Gauge { side: at, .. } | Change::Twice(at) => at == side,
            Change::Leans { before, after, .. } => before == side || after == side,
            Change::WallLeftOut { after: at, .. } | Change::OpeningLeftOut { side: at, .. } => {
                at == side
            }
        });
        by_slip || self.lengths.contains(&Which::Length(side))
    }
}

/// How often each slip beside those of a single length is made, on the same footing as [`Slip::rate`].
mod rate {
    pub const TURNED: f64 = 1.0;
    pub const OTHER_SIDE_OF_GAUGE: f64 = 0.5;
    pub const GAUGE: f64 = 0.5;
    pub const LEANS: f64 = 0.3;
    pub const TWICE: f64 = 1.0;
    pub const WALL_LEFT_OUT: f64 = 1.0;
    pub const OPENING_LEFT_OUT: f64 = 1.0;
    /// Two walls in one line with nothing between them are seldom meant.
    pub const BETWEEN_TWO_WALLS: f64 = 20.0;
    /// Beside an opening there is seldom another.
    pub const BESIDE_AN_OPENING: f64 = 0.1;
}

/// How far a corner is from what was noted where it was not what it was called, in degrees (1 in 30 corners of real flats
/// is more than 2 off square).
const CORNER_SPREAD: f64 = 4.0;
/// How long walls are that get left out, and their spread, in mm.
const WALL_LEFT_OUT: Reading = Reading {
    value: 2000.0,
    deviation: 1500.0,
};
/// Two readings closer than this are one wall read twice.
const SAME_WALL: Length = Length::sixteenths(8);

/// Looks for what may be wrong. `opening` says which sides are openings.
pub fn suspects(
    survey: &Survey,
    opening: &[bool],
    uncertainty: &Uncertainty,
    unit: Unit,
) -> Suspects {
    let mut likely = survey.clone();
    for side in likely.sides.iter_mut() {
        side.length.deviation = side.length.deviation.min(OPENING_SPREAD);
    }
    let Some(noted) = Adjustment::of(&likely) else {
        return Suspects::default();
    };
    let limit = chi_squared(noted.conditions());
    let mut search = Search {
        survey: &likely,
        noted,
        opening,
        uncertainty,
        limit,
        found: Vec::new(),
    };
    search.lengths(unit);
    search.corners();
    search.leaning_walls();
    search.walls();
    search.openings();
    Suspects {
        lengths: able(survey),
        proposals: search.ranked(),
    }
}

/// The lengths any one of which can hold the error: with it unknown, the rest fits.
fn able(survey: &Survey) -> Vec<Which> {
    let lengths = survey.readings().filter(|which| {
        if matches!(which, Which::Turn(_)) {
            return false;
        }
        let mut freed = survey.clone();
        if let Some(reading) = freed.reading_mut(*which) {
            reading.deviation = UNKNOWN;
        }
        Adjustment::settled(&freed).is_some_and(|(adjustment, adjusted)| {
            let free = adjustment.conditions().saturating_sub(1).max(1);
            adjustment.badness() <= chi_squared(free) && adjusted.reading(*which).value > 0.0
        })
    });
    lengths.collect()
}

struct Search<'a> {
    survey: &'a Survey,
    noted: Adjustment,
    opening: &'a [bool],
    uncertainty: &'a Uncertainty,
    limit: f64,
    found: Vec<(f64, Change)>,
}

impl Search<'_> {
    fn ranked(mut self) -> Vec<Proposal> {
        // a stable order first, so that equal chances always come out alike
        self.found.sort_by(|a, b| b.0.total_cmp(&a.0));
        let best = self.found.first().map_or(0.0, |found| found.0);
        let chances = self.found.iter().map(|found| libm::exp(found.0 - best));
        let sum: f64 = chances.clone().sum();
        let proposals = self.found.iter().zip(chances);
        proposals
            .map(|((_, change), chance)| Proposal {
                change: *change,
                chance: chance / sum,
            })
            .collect()
    }

    /// The logarithm of a slip's chance, where the room closes without it.
    fn judged(&self, survey: &Survey, rate: f64) -> Option<f64> {
        let adjustment = Adjustment::of(survey)?;
        self.weighed(&adjustment, rate)
    }

    fn weighed(&self, adjustment: &Adjustment, rate: f64) -> Option<f64> {
        let badness = adjustment.badness();
        let density = -(badness + adjustment.log_determinant()) / 2.0;
        (badness <= self.limit).then(|| libm::log(rate) + density)
    }

    /// A generous look beforehand, by the conditions as they stand: whether moving a reading by so much, or by as much as
    /// this spread, can help at all.
    fn may_help(&self, pull: &[f64], moved: f64, spread: f64) -> bool {
        if !self.survey.ties.is_empty() {
            // a length across bends with a large change: no short way of judging it
            return true;
        }
        let misfit = self.noted.misfit().iter().zip(pull);
        let misfit: Vec<f64> = misfit.map(|(part, pull)| part + pull * moved).collect();
        let weight = super::adjust::dot(pull, pull);
        let along = super::adjust::dot(pull, &misfit);
        let helped = along * along * spread * spread / (1.0 + weight * spread * spread);
        super::adjust::dot(&misfit, &misfit) - helped <= 3.0 * self.limit + 20.0
    }

    fn lengths(&mut self, unit: Unit) {
        let lengths = self.survey.readings();
        for which in lengths.filter(|which| !matches!(which, Which::Turn(_))) {
            let reading = self.survey.reading(which);
            if reading.deviation >= OPENING_SPREAD {
                continue;
            }
            let pull = self.noted.pull(which);
            for meant in slips::meant(length(reading.value), unit) {
                let anew = measured(meant.length, self.uncertainty);
                if !self.may_help(&pull, self.moved(which, anew), 0.0) {
                    continue;
                }
                let mut survey = self.survey.clone();
                if let Some(reading) = survey.reading_mut(which) {
                    *reading = anew;
                }
                if let Some(chance) = self.judged(&survey, meant.weight) {
                    let change = Change::Length {
                        which,
                        meant: meant.length,
                        slip: meant.slip,
                    };
                    self.found.push((chance, change));
                }
            }
        }
    }

    fn moved(&self, which: Which, anew: Reading) -> f64 {
        anew.value - self.survey.reading(which).value
    }

    fn corners(&mut self) {
        let square = Angle::RIGHT.radians();
        for which in self.survey.readings() {
            let Which::Turn(side) = which else { continue };
            let turn = self.survey.reading(which);
            let mut survey = self.survey.clone();
            set(&mut survey, which, -turn.value, turn.deviation);
            if let Some(chance) = self.judged(&survey, rate::TURNED) {
                self.found.push((chance, Change::Turned(side)));
            }
            let gauge = std::f64::consts::PI - libm::fabs(turn.value);
            let sign = if turn.value < 0.0 { -1.0 } else { 1.0 };
            if libm::fabs(gauge - square) > 1e-6 {
                let other = sign * gauge;
                set(&mut survey, which, other, turn.deviation);
                if let Some(chance) = self.judged(&survey, rate::OTHER_SIDE_OF_GAUGE) {
                    let meant = hundredths(2.0 * square - gauge);
                    self.found.push((chance, Change::Gauge { side, meant }));
                }
            }
            let spread = CORNER_SPREAD.to_radians();
            if !self.may_help(&self.noted.pull(which), 0.0, spread) {
                continue;
            }
            set(&mut survey, which, turn.value, spread);
            let Some((adjustment, adjusted)) = Adjustment::settled(&survey) else {
                continue;
            };
            if let Some(chance) = self.weighed(&adjustment, rate::GAUGE) {
                let gauge = std::f64::consts::PI - sign * adjusted.reading(which).value;
                let meant = half_degrees(gauge);
                self.found.push((chance, Change::Gauge { side, meant }));
            }
        }
    }

    /// Pairs of neighbouring corners that are out of square by as much, one wider and one narrower.
    fn leaning_walls(&mut self) {
        let corners: Vec<usize> = (self.survey.readings())
            .filter_map(|which| match which {
                Which::Turn(side) => Some(side),
                _ => None,
            })
            .collect();
        let spread = CORNER_SPREAD.to_radians();
        for (at, &before) in corners.iter().enumerate() {
            let next = match (corners.get(at + 1), self.survey.round) {
                (Some(&next), _) => next,
                (None, Some(_)) => corners[0],
                (None, None) => continue,
            };
            let (first, second) = (Which::Turn(before), Which::Turn(next));
            let pull: Vec<f64> = (self.noted.pull(first).iter())
                .zip(self.noted.pull(second))
                .map(|(first, second)| first - second)
                .collect();
            let weight = super::adjust::dot(&pull, &pull);
            let along = super::adjust::dot(&pull, self.noted.misfit());
            let grown = 1.0 + weight * spread * spread;
            let by = -along * spread * spread / grown;
            let badness = self.noted.badness() - along * along * spread * spread / grown;
            if badness > self.limit {
                continue;
            }
            let determinant = self.noted.log_determinant() + libm::log(grown);
            let chance = libm::log(rate::LEANS) - (badness + determinant) / 2.0;
            // a turn that grows is a corner that narrows
            let by = -libm::rint(by.to_degrees() * 100.0) as i32;
            let change = Change::Leans {
                before,
                after: next,
                by,
            };
            self.found.push((chance, change));
        }
    }

    /// Walls entered twice or left out.
    fn walls(&mut self) {
        let Some(too_far) = self.survey.turned_too_far() else {
            return;
        };
        let count = self.survey.sides.len();
        for side in 0..count {
            let [own, next] = [side, (side + 1) % count].map(|at| self.survey.sides[at].length);
            let apart = libm::fabs(own.value - next.value);
            if count > 3 && length(apart) <= SAME_WALL {
                let survey = self.survey.without(side);
                if let Some(chance) = self.judged(&survey, rate::TWICE) {
                    self.found.push((chance, Change::Twice(side)));
                }
            }
        }
        for turn in [Turn::Inside, Turn::Outside] {
            let value = match turn {
                Turn::Inside => FRAC_PI_2,
                Turn::Outside => -FRAC_PI_2,
            };
            // the corner that was left out with the wall has to make up what the turns lack
            if libm::fabs(too_far + value) > FRAC_PI_2 / 4.0 {
                continue;
            }
            let side = Side {
                length: WALL_LEFT_OUT,
                turn: Some(Reading {
                    value,
                    deviation: self.uncertainty.square.to_radians(),
                }),
            };
            for after in 0..count {
                let survey = self.survey.with(after, side);
                let Some((adjustment, adjusted)) = Adjustment::settled(&survey) else {
                    continue;
                };
                let long = adjusted.sides[after + 1].length.value;
                if let Some(chance) = self.weighed(&adjustment, rate::WALL_LEFT_OUT)
                    && long > 0.0
                {
                    let change = Change::WallLeftOut {
                        after,
                        length: length(long),
                        turn,
                    };
                    self.found.push((chance, change));
                }
            }
        }
    }

    /// Openings left out, each in the line of a side.
    fn openings(&mut self) {
        let count = self.survey.sides.len();
        for side in 0..count {
            let which = Which::Length(side);
            let pull = self.noted.pull(which);
            if !self.may_help(&pull, USUAL_OPENING, OPENING_SPREAD) {
                continue;
            }
            let mut survey = self.survey.clone();
            let straight = survey.sides[side].turn.take();
            let opening = Side {
                length: Reading {
                    value: USUAL_OPENING,
                    deviation: OPENING_SPREAD,
                },
                turn: straight,
            };
            let survey = survey.with(side, opening);
            let Some((adjustment, adjusted)) = Adjustment::settled(&survey) else {
                continue;
            };
            let next = (side + 1) % count;
            let beside = self.opening[side] || (straight.is_none() && self.opening[next]);
            let rate = match (beside, straight.is_none()) {
                (true, _) => rate::OPENING_LEFT_OUT * rate::BESIDE_AN_OPENING,
                (false, true) => rate::OPENING_LEFT_OUT * rate::BETWEEN_TWO_WALLS,
                (false, false) => rate::OPENING_LEFT_OUT,
            };
            let wide = adjusted.sides[side + 1].length.value;
            if let Some(chance) = self.weighed(&adjustment, rate)
                && wide > 0.0
            {
                let width = length(wide);
                self.found
                    .push((chance, Change::OpeningLeftOut { side, width }));
            }
        }
    }
}

impl Survey {
    /// The same without a side and its corner.
    fn without(&self, side: usize) -> Survey {
        let mut survey = self.clone();
        survey.sides.remove(side);
        survey.move_ties(|corner| corner - usize::from(corner > side));
        survey
    }

    /// The same with another side after one.
    fn with(&self, after: usize, side: Side) -> Survey {
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

fn set(survey: &mut Survey, which: Which, value: f64, deviation: f64) {
    if let Some(reading) = survey.reading_mut(which) {
        *reading = Reading { value, deviation };
    }
}

fn hundredths(radians: f64) -> Angle {
    let hundredths = libm::rint(radians.to_degrees() * 100.0);
    Angle::hundredths(hundredths.clamp(1.0, 17_999.0) as u16)
}

fn half_degrees(radians: f64) -> Angle {
    let halves = libm::rint(radians.to_degrees() * 2.0);
    Angle::hundredths((halves * 50.0).clamp(50.0, 17_950.0) as u16)
}
