//! Blunders by the thousand in real rooms, and how many the planner catches, names and puts right; the counts and their
//! table. What is asked of them is left to the test and the bench that run them.

use std::collections::BTreeMap;
use std::fmt;

use planner::closure::adjust::Adjustment;
use planner::closure::advice::{Further, further};
use planner::closure::snoop::{contradict, test};
use planner::closure::survey::{Survey, Which};
use planner::closure::suspects::suspects;
use planner::closure::uncertainty::Uncertainty;
use planner::walk::{Room, Stretch};
use shared_model::Unit;

use crate::rooms::data::{Corners, levels};

use super::blunder::{Blunder, Kind};
use super::noise::{Built, worth};
use super::random::Random;

/// How often something was so, of how many.
#[derive(Debug, Clone, Copy, Default)]
pub struct Share {
    pub so: usize,
    pub of: usize,
}

impl Share {
    fn count(&mut self, so: bool) {
        self.so += usize::from(so);
        self.of += 1;
    }

    pub fn percent(self) -> f64 {
        100.0 * self.so as f64 / self.of.max(1) as f64
    }
}

impl fmt::Display for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.of {
            0 => write!(f, "{:>6}", "-"),
            _ => write!(f, "{:>5.1}%", self.percent()),
        }
    }
}

/// What came of the trials.
#[derive(Debug, Clone, Default)]
pub struct Outcome {
    /// Rooms without a blunder that are told not to close.
    pub accused: Share,
    /// Blunders that are caught.
    pub caught: Share,
    /// The same of lengths that are wrong by more than would have been seen.
    pub over_seen: Share,
    /// Of those caught: the wall among those that can hold the error.
    pub named: Share,
    /// Of those caught: what was meant is the first proposal, or among the first five.
    pub first: Share,
    pub five: Share,
    /// How many lengths can hold the error, on the average.
    pub suspects: Share,
    /// Caught, by size in inches up to so many sixteenths, and by kind with first and five.
    pub by_size: BTreeMap<u32, Share>,
    pub by_kind: BTreeMap<Kind, [Share; 3]>,
}

/// Sizes of wrong lengths are counted up to these, in inches.
pub const SIZES: [f64; 9] = [0.125, 0.25, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 1e9];

/// How a set of trials is run.
#[derive(Debug, Clone, Copy)]
pub struct Trials {
    /// How many.
    pub count: usize,
    /// The standard deviation of the rooms' corners, in degrees.
    pub corners: f64,
    /// What the planner takes it for.
    pub taken_for: f64,
    /// How many lengths across are taken in every room.
    pub across: usize,
    /// What the numbers begin with.
    pub seed: u64,
}

impl Trials {
    pub fn run(&self) -> Outcome {
        let rooms: Vec<Corners> = levels().into_iter().flat_map(|level| level.rooms).collect();
        let worth = worth(self.taken_for);
        let mut random = Random::seeded(self.seed);
        let lines: Vec<Vec<(usize, usize)>> = (rooms.iter())
            .map(|room| self.lines(room, &worth, &mut random))
            .collect();
        let mut outcome = Outcome::default();
        for _ in 0..self.count {
            let at = random.below(rooms.len());
            let built = Built::of(&rooms[at], self.corners, &mut random);
            let noted = built.measured(Some(self.corners), &lines[at], &mut random);
            outcome.accused.count(out(&noted, &worth));
            let mut wrong = noted.clone();
            let blunder = Blunder::make(&mut wrong, &mut random);
            outcome.judge(&noted, &wrong, &blunder, &worth);
        }
        outcome
    }

    /// The lengths across that the planner asks for.
    fn lines(
        &self,
        room: &Corners,
        worth: &Uncertainty,
        random: &mut Random,
    ) -> Vec<(usize, usize)> {
        let noted = Built::planned(room).measured(None, &[], random);
        let readings = further(&Survey::of(&noted, worth), worth, self.across);
        let lines = readings.into_iter().filter_map(|reading| match reading {
            Further::Across { from, to } => Some((from, to)),
            Further::Width(_) => None,
        });
        lines.collect()
    }
}

fn out(room: &Room, worth: &Uncertainty) -> bool {
    let survey = Survey::of(room, worth);
    Adjustment::of(&survey).is_some_and(|adjustment| contradict(&survey, &adjustment))
}

impl Outcome {
    fn judge(&mut self, noted: &Room, wrong: &Room, blunder: &Blunder, worth: &Uncertainty) {
        let caught = out(wrong, worth);
        self.caught.count(caught);
        if let Some(size) = blunder.size {
            let inches = size / 25.4;
            let class = SIZES.iter().position(|limit| inches <= *limit).unwrap_or(0);
            self.by_size.entry(class as u32).or_default().count(caught);
            let survey = Survey::of(noted, worth);
            let seen = Adjustment::of(&survey)
                .and_then(|adjustment| test(&adjustment, Which::Length(blunder.side)).seen);
            if seen.is_some_and(|seen| size > seen) {
                self.over_seen.count(caught);
            }
        }
        let kind = self.by_kind.entry(blunder.kind).or_default();
        kind[0].count(caught);
        if !caught {
            return;
        }
        let survey = Survey::of(wrong, worth);
        let opening: Vec<bool> = (wrong.outline.iter())
            .map(|item| matches!(item.stretch, Stretch::Opening(_)))
            .collect();
        let suspects = suspects(&survey, &opening, worth, Unit::Inch);
        let rank = suspects
            .proposals
            .iter()
            .position(|proposal| blunder.is(proposal, wrong));
        kind[1].count(rank == Some(0));
        kind[2].count(rank.is_some_and(|rank| rank < 5));
        self.named.count(suspects.name(blunder.side));
        self.first.count(rank == Some(0));
        self.five.count(rank.is_some_and(|rank| rank < 5));
        self.suspects.so += suspects.lengths.len();
        self.suspects.of += 1;
    }

    pub fn mean_suspects(&self) -> f64 {
        self.suspects.so as f64 / self.suspects.of.max(1) as f64
    }
}
