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

use shared_model::{Angle, Length, Unit};

use super::adjust::Adjustment;
use super::gauges::GaugeSlip;
use super::search::Search;
use super::slips::Slip;
use super::snoop::chi_squared;
use super::survey::{OPENING_SPREAD, Survey, UNKNOWN, Which};
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
        /// The gauge angle that closes the room; to half a degree where no slip leads there.
        meant: Angle,
        /// The slip that leads from it to what is written; none where the corner may be any other.
        slip: Option<GaugeSlip>,
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
    /// A side that was written as running straight on reaches a corner.
    CornerForgotten {
        /// The side.
        side: usize,
        /// The kind of corner, a square one.
        turn: Turn,
    },
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
    /// The room has so many stretches that none was looked for.
    pub too_large: bool,
}

impl Suspects {
    /// Whether an error in this side, its corner or beside it explains the room.
    pub fn name(&self, side: usize) -> bool {
        let by_slip = self.proposals.iter().any(|proposal| match proposal.change {
            Change::Length { which, .. } => which == Which::Length(side),
            Change::Turned(at)
            | Change::Gauge { side: at, .. }
            | Change::CornerForgotten { side: at, .. }
            | Change::Twice(at) => at == side,
            Change::Leans { before, after, .. } => before == side || after == side,
            Change::WallLeftOut { after: at, .. } | Change::OpeningLeftOut { side: at, .. } => {
                at == side
            }
        });
        by_slip || self.lengths.contains(&Which::Length(side))
    }
}

/// In rooms with more stretches no slip is sought: the largest room of the real flats tested has 28, and the search grows with the
/// square of their number.
const MOST_SIDES: usize = 300;

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
    if survey.sides.len() > MOST_SIDES {
        return Suspects {
            too_large: true,
            ..Suspects::default()
        };
    }
    Suspects {
        lengths: able(survey),
        proposals: Search::new(&likely, noted, opening, uncertainty).all(unit),
        too_large: false,
    }
}

/// The lengths any one of which can hold the error: with it unknown, the rest fits.
fn able(survey: &Survey) -> Vec<Which> {
    // a reading that is out by a whole street is still out by itself
    let unknown = UNKNOWN.max(survey.traverse().misclosure().length());
    let lengths = survey.readings().filter(|which| {
        if matches!(which, Which::Turn(_)) {
            return false;
        }
        let mut freed = survey.clone();
        if let Some(reading) = freed.reading_mut(*which) {
            reading.deviation = unknown;
        }
        Adjustment::settled(&freed).is_some_and(|(adjustment, adjusted)| {
            let free = adjustment.conditions().saturating_sub(1).max(1);
            adjustment.badness() <= chi_squared(free) && adjusted.reading(*which).value > 0.0
        })
    });
    lengths.collect()
}
