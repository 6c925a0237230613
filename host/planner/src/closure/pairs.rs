//! Rooms with four square corners, in which two sides across from each other have to be as long: which two differ, and a slip
//! in each direction where one alone explains nothing. What may be wrong in a direction is left to `suspects`.

use shared_model::Angle;

use super::adjust::Adjustment;
use super::findings::Told;
use super::names::{capital, listed};
use super::snoop::contradict;
use super::survey::length;
use super::suspects::Suspects;
use crate::finding::Finding;
use crate::walk::Turn;

/// The stretches along each of a room's four sides, by their places.
type Lines = [Vec<usize>; 4];

impl Told<'_> {
    /// The two sides across from each other that differ most, of a room with four square corners.
    pub fn opposite_sides(&self) -> Option<String> {
        let lines = self.square()?;
        let at = usize::from(self.apart(&lines, 1) > self.apart(&lines, 0));
        Some(self.pair(&lines, at))
    }

    /// A slip in each direction: one finding for each, where neither is explained otherwise.
    pub fn one_in_each_direction(&self, message: &str) -> Option<[Finding; 2]> {
        let lines = self.square()?;
        let first = usize::from(self.apart(&lines, 1) > self.apart(&lines, 0));
        let second = 1 - first;
        let explained = [first, second].map(|at| self.suspects_along(&lines, at));
        let [Some(one), Some(other)] = explained else {
            return None;
        };
        let also = format!("{} too.", self.pair(&lines, second).trim_end_matches('.'));
        let findings = [(message, one), (also.as_str(), other)].map(|(message, suspects)| {
            let mut finding = self.with_proposals(message.to_owned(), &suspects, false);
            let here = |text: &str| {
                let whole = " would close the room";
                text.replace(whole, &format!("{whole} in this direction"))
            };
            finding.message = here(&finding.message);
            for reading in &mut finding.readings {
                reading.message = here(&reading.message);
            }
            finding
        });
        Some(findings)
    }

    /// What explains that two sides differ, with the two in the other direction made alike; none where they do not differ or
    /// nothing explains it.
    fn suspects_along(&self, lines: &Lines, at: usize) -> Option<Suspects> {
        let mut survey = self.survey.clone();
        let (a, b) = (1 - at, 3 - at);
        let more = self.long(&lines[a]) - self.long(&lines[b]);
        let shorter = if more > 0.0 { &lines[b] } else { &lines[a] };
        survey.sides[*shorter.first()?].length.value += libm::fabs(more);
        let adjustment = Adjustment::of(&survey)?;
        if !contradict(&survey, &adjustment) {
            return None;
        }
        let suspects = self.suspects(&survey);
        let some = !suspects.proposals.is_empty() || !suspects.lengths.is_empty();
        some.then_some(suspects)
    }

    fn square(&self) -> Option<Lines> {
        let items = &self.room().outline;
        let corners: Vec<_> = items.iter().filter_map(|item| item.corner).collect();
        let square = |turn, gauge| turn == Turn::Inside && gauge == Angle::RIGHT;
        let all_square = corners
            .iter()
            .all(|corner| square(corner.turn, corner.gauge));
        if !self.survey.unknown().is_empty() || corners.len() != 4 || !all_square {
            return None;
        }
        let first = items.iter().position(|item| item.corner.is_some())? + 1;
        let mut lines = Lines::default();
        let mut line = 0;
        for step in 0..items.len() {
            let side = (first + step) % items.len();
            lines[line.min(3)].push(side);
            line += usize::from(items[side].corner.is_some());
        }
        Some(lines)
    }

    fn long(&self, line: &[usize]) -> f64 {
        let sides = line.iter().map(|&side| &self.survey.sides[side]);
        sides.map(|side| side.length.value).sum()
    }

    fn apart(&self, lines: &Lines, at: usize) -> f64 {
        libm::fabs(self.long(&lines[at]) - self.long(&lines[at + 2]))
    }

    fn pair(&self, lines: &Lines, at: usize) -> String {
        let line = |at: usize| {
            let names: Vec<String> = (lines[at].iter())
                .map(|&side| self.names.side(side))
                .collect();
            let together = if names.len() > 1 { " together" } else { "" };
            let long = self.names.tape(length(self.long(&lines[at])));
            format!("{} ({long}{together})", listed(&names, "and"))
        };
        format!(
            "{} should be as long as {}.",
            capital(&line(at)),
            line(at + 2)
        )
    }
}
