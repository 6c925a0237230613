//! Tries every single slip that tape work makes in a room that does not close. How their chances are reckoned stands in
//! `suspects`, which asks for it; which readings a slip of the pen may have come from, in `slips`.

use std::f64::consts::{FRAC_PI_2, PI};

use shared_model::{Angle, Length, Unit};

use super::adjust::{Adjustment, dot};
use super::gauges;
use super::slips;
use super::snoop::chi_squared;
use super::survey::{
    OPENING_SPREAD, OPENINGS, Reading, Side, Survey, USUAL_OPENING, Which, length, measured,
    turn_of,
};
use super::suspects::{Change, Proposal};
use super::uncertainty::Uncertainty;
use crate::walk::{Corner, Turn};

/// How often each slip beside those of a single length is made, on the same footing as `Slip::rate`.
mod rate {
    pub const TURNED: f64 = 1.0;
    pub const GAUGE: f64 = 0.5;
    pub const LEANS: f64 = 0.3;
    pub const TWICE: f64 = 1.0;
    pub const CORNER_FORGOTTEN: f64 = 1.0;
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
/// A wall shorter than this, in mm, is none that was left out: it would be told as about nothing.
const LEAST_WALL: f64 = 25.4 / 4.0;
/// The same where the stretch before it runs straight on: a corner was forgotten, not a wall.
const LEAST_WALL_IN_LINE: f64 = 25.4;
/// Two readings closer than this are one wall read twice.
const SAME_WALL: Length = Length::sixteenths(8);

/// A room that does not close, and what was found that explains it.
pub struct Search<'a> {
    survey: &'a Survey,
    noted: Adjustment,
    opening: &'a [bool],
    uncertainty: &'a Uncertainty,
    limit: f64,
    found: Vec<(f64, Change)>,
}

impl<'a> Search<'a> {
    /// Of a room's readings, with unmeasured openings as wide as openings are, and their adjustment.
    pub fn new(
        survey: &'a Survey,
        noted: Adjustment,
        opening: &'a [bool],
        uncertainty: &'a Uncertainty,
    ) -> Search<'a> {
        Search {
            survey,
            limit: chi_squared(noted.conditions()),
            noted,
            opening,
            uncertainty,
            found: Vec::new(),
        }
    }

    /// Every slip that explains the room, likeliest first.
    pub fn all(mut self, unit: Unit) -> Vec<Proposal> {
        self.lengths(unit);
        self.corners();
        self.leaning_walls();
        self.forgotten_corners();
        self.walls();
        self.openings();
        self.ranked()
    }

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
        let weight = dot(pull, pull);
        let along = dot(pull, &misfit);
        let helped = along * along * spread * spread / (1.0 + weight * spread * spread);
        dot(&misfit, &misfit) - helped <= 3.0 * self.limit + 20.0
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
                if !self.can_be(which, anew) || !self.may_help(&pull, self.moved(which, anew), 0.0)
                {
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

    /// Whether a reading can be what was meant: no opening is wider or narrower than openings are.
    fn can_be(&self, which: Which, meant: Reading) -> bool {
        let is_opening = matches!(which, Which::Length(side) if self.opening[side]);
        !is_opening || (OPENINGS[0]..=OPENINGS[1]).contains(&meant.value)
    }

    fn moved(&self, which: Which, anew: Reading) -> f64 {
        anew.value - self.survey.reading(which).value
    }

    fn corners(&mut self) {
        for which in self.survey.readings() {
            let Which::Turn(side) = which else { continue };
            let turn = self.survey.reading(which);
            let mut survey = self.survey.clone();
            set(&mut survey, which, -turn.value, turn.deviation);
            if let Some(chance) = self.judged(&survey, rate::TURNED) {
                self.found.push((chance, Change::Turned(side)));
            }
            let gauge = PI - libm::fabs(turn.value);
            let sign = if turn.value < 0.0 { -1.0 } else { 1.0 };
            let kind = match turn.value < 0.0 {
                true => Turn::Outside,
                false => Turn::Inside,
            };
            let misread = self.misread_gauges(side, kind, hundredths(gauge));
            self.found.extend(&misread);
            let spread = CORNER_SPREAD.to_radians();
            if !self.may_help(&self.noted.pull(which), 0.0, spread) {
                continue;
            }
            set(&mut survey, which, turn.value, spread);
            let Some((adjustment, adjusted)) = Adjustment::settled(&survey) else {
                continue;
            };
            if let Some(chance) = self.weighed(&adjustment, rate::GAUGE) {
                let gauge = PI - sign * adjusted.reading(which).value;
                let meant = half_degrees(gauge);
                let told = |change: &Change| match change {
                    Change::Gauge { meant: told, .. } => {
                        told.in_hundredths().abs_diff(meant.in_hundredths()) <= 50
                    }
                    _ => false,
                };
                // the same angle once, with the slip that leads to it
                if !misread.iter().any(|(_, change)| told(change)) {
                    let slip = None;
                    self.found
                        .push((chance, Change::Gauge { side, meant, slip }));
                }
            }
        }
    }

    /// What the gauge of a corner may have read where something else was written.
    fn misread_gauges(&self, side: usize, turn: Turn, written: Angle) -> Vec<(f64, Change)> {
        let which = Which::Turn(side);
        let pull = self.noted.pull(which);
        let slips = gauges::meant(written).into_iter().filter_map(|meant| {
            let gauge = meant.gauge;
            let anew = turn_of(Corner { turn, gauge }, self.uncertainty);
            // a large turn bends the way: no short look helps
            let small = libm::fabs(self.moved(which, anew)) < CORNER_SPREAD.to_radians();
            if small && !self.may_help(&pull, self.moved(which, anew), 0.0) {
                return None;
            }
            let mut survey = self.survey.clone();
            set(&mut survey, which, anew.value, anew.deviation);
            let chance = self.judged(&survey, meant.weight)?;
            let (meant, slip) = (gauge, Some(meant.slip));
            Some((chance, Change::Gauge { side, meant, slip }))
        });
        slips.collect()
    }

    /// Stretches that were written as running straight on and reach a corner.
    fn forgotten_corners(&mut self) {
        if let Some(turn) = self.missing_corners() {
            let gauge = Angle::RIGHT;
            let corner = turn_of(Corner { turn, gauge }, self.uncertainty);
            for side in 0..self.survey.sides.len() {
                if self.survey.sides[side].turn.is_some() {
                    continue;
                }
                let mut survey = self.survey.clone();
                survey.sides[side].turn = Some(corner);
                if let Some(chance) = self.judged(&survey, rate::CORNER_FORGOTTEN) {
                    let change = Change::CornerForgotten { side, turn };
                    self.found.push((chance, change));
                }
            }
        }
    }

    /// The square corner that would make up what the turns lack, if one would.
    fn missing_corners(&self) -> Option<Turn> {
        let too_far = self.survey.turned_too_far()?;
        [(Turn::Inside, FRAC_PI_2), (Turn::Outside, -FRAC_PI_2)]
            .into_iter()
            .find(|(_, turn)| libm::fabs(too_far + turn) <= FRAC_PI_2 / 4.0)
            .map(|(turn, _)| turn)
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
            let weight = dot(&pull, &pull);
            let along = dot(&pull, self.noted.misfit());
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
        if self.survey.round.is_none() {
            return;
        }
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
        if let Some(turn) = self.missing_corners() {
            let gauge = Angle::RIGHT;
            let side = Side {
                length: WALL_LEFT_OUT,
                turn: Some(turn_of(Corner { turn, gauge }, self.uncertainty)),
            };
            for after in 0..count {
                let least = match self.survey.sides[after].turn {
                    Some(_) => LEAST_WALL,
                    None => LEAST_WALL_IN_LINE,
                };
                let survey = self.survey.with(after, side);
                let Some((adjustment, adjusted)) = Adjustment::settled(&survey) else {
                    continue;
                };
                let long = adjusted.sides[after + 1].length.value;
                if let Some(chance) = self.weighed(&adjustment, rate::WALL_LEFT_OUT)
                    && long >= least
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
