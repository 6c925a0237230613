//! Which walls can hold a room's error and what the tape may have read, in sentences. Finding them is left to `suspects`.

use shared_model::Angle;

use super::findings::Told;
use super::names::{capital, listed};
use super::slips::Slip;
use super::survey::{Which, length};
use super::suspects::{Change, Proposal, Suspects};
use crate::finding::{Candidate, Finding};
use crate::walk::{Stretch, Turn};

/// So many proposals are told at most.
const MOST_PROPOSALS: usize = 5;
/// A proposal less likely than this is not worth a walk back.
const LEAST_CHANCE: f64 = 0.01;
/// So many lengths are named one by one at most.
const MOST_NAMED: usize = 6;

impl Told<'_> {
    /// Adds what may be wrong, likeliest first, and what to measure again.
    pub fn with_proposals(&self, mut message: String, suspects: &Suspects, error: bool) -> Finding {
        let likely = suspects.proposals.iter().take(MOST_PROPOSALS);
        let likely: Vec<&Proposal> = likely
            .filter(|proposal| proposal.chance >= LEAST_CHANCE)
            .collect();
        let candidates: Vec<Candidate> = likely
            .iter()
            .map(|proposal| self.candidate(&proposal.change))
            .collect();
        for (at, candidate) in candidates.iter().enumerate() {
            match at {
                0 => message.push_str(&format!(" {}.", capital(&candidate.message))),
                _ => {
                    let again = candidate.message.replace(", would close the room", "");
                    let again = again.replace(" would close the room", "");
                    message.push_str(&format!(" Or {again}."));
                }
            }
        }
        // beside a width that was not taken any length could hold anything
        let able = suspects
            .lengths
            .iter()
            .filter(|_| self.survey.unknown().is_empty());
        let able: Vec<Which> = able.copied().collect();
        match (candidates.first(), able.as_slice()) {
            (None, []) if suspects.too_large => {
                message.push_str(
                    " It has too many stretches for the slip to be looked for: measure it in parts.",
                );
            }
            (None, []) if self.corners_cannot_be() => {
                message.push_str(
                    " No single slip explains it: go through its corners again, those at openings too (one that reaches a corner is written so: door 30 corner).",
                );
            }
            (None, []) => {
                message.push_str(
                    " No single slip explains it, so more than one reading may be wrong: measure the room again.",
                );
            }
            (None, [one]) => {
                let one = self.names.reading(*one);
                message.push_str(&format!(
                    " Only {one} can hold the error: measure it again."
                ));
            }
            (None, able) => {
                let able = self.any_of(able);
                message.push_str(&format!(" By itself {able} can hold the error."));
            }
            (Some(first), able) => {
                if able.len() > 1 {
                    let able = self.any_of(able);
                    message.push_str(&format!(" By itself {able} can hold the error."));
                }
                let again = match first.instead {
                    Some(_) => "Measure",
                    None => "Look at",
                };
                message.push_str(&format!(" {again} {} again first.", first.place));
            }
        }
        let by_length = suspects.lengths.iter().filter_map(|which| match which {
            Which::Length(side) if self.survey.unknown().is_empty() => self.names.wall(*side),
            _ => None,
        });
        let by_slip = candidates.iter().filter_map(|candidate| candidate.wall);
        let mut walls: Vec<u32> = by_length.chain(by_slip).collect();
        walls.sort_unstable();
        walls.dedup();
        let name = &self.room().name;
        let finding = match error {
            true => Finding::error(name, &walls, message),
            false => Finding::warning(name, &walls, message),
        };
        Finding {
            readings: candidates,
            ..finding
        }
    }

    /// Such as `wall 1, opening 1 or wall 2`; of many only their numbers.
    fn any_of(&self, able: &[Which]) -> String {
        if able.len() <= MOST_NAMED {
            let names: Vec<String> = able
                .iter()
                .map(|&which| self.names.reading(which))
                .collect();
            return listed(&names, "or");
        }
        let side = |which: &Which| match which {
            Which::Length(side) => Some(*side),
            _ => None,
        };
        let sides: Vec<usize> = able.iter().filter_map(side).collect();
        let others = able.iter().filter(|which| side(which).is_none());
        let others = others.map(|&which| self.names.reading(which));
        let all: Vec<String> = std::iter::once(self.names.sides(&sides))
            .chain(others)
            .collect();
        format!("any one of {}", listed(&all, "or"))
    }

    fn candidate(&self, change: &Change) -> Candidate {
        let names = &self.names;
        let plain = |side: usize, place: String, message: String| Candidate {
            wall: names.wall(side),
            place,
            read: None,
            instead: None,
            message,
        };
        match *change {
            Change::Length { which, meant, slip } => {
                let read = length(self.survey.reading(which).value);
                let place = names.reading(which);
                let reading = match slip {
                    Slip::OtherUnit => names.in_other_unit(meant),
                    _ => names.tape(meant),
                };
                let message = format!(
                    "{}: {reading} would close the room; you wrote {} ({})",
                    place,
                    names.tape(read),
                    slip.words(read, meant),
                );
                Candidate {
                    wall: match which {
                        Which::Length(side) => names.wall(side),
                        _ => None,
                    },
                    place,
                    read: Some(read),
                    instead: Some(meant),
                    message,
                }
            }
            Change::Turned(side) => {
                let place = names.corner(side);
                let turn = self.room().outline[side].corner.map(|corner| corner.turn);
                let (instead, wrote) = match turn {
                    Some(Turn::Outside) => ("inside", "outside"),
                    _ => ("outside", "inside"),
                };
                let message = format!(
                    "{} as an {instead} one would close the room; you wrote {wrote}",
                    place
                );
                plain(side, place, message)
            }
            Change::Gauge { side, meant, slip } => {
                let place = names.corner(side);
                let wrote = self.room().outline[side].corner.map(|corner| corner.gauge);
                let what = slip.map_or(String::new(), |slip| format!(" ({})", slip.words()));
                let message = format!(
                    "{} at {meant} degrees would close the room; you wrote {}{what}",
                    place,
                    wrote.unwrap_or(Angle::RIGHT),
                );
                plain(side, place, message)
            }
            Change::Leans { before, after, by } => {
                let place = names.corner(before);
                let (wider, narrower) = match by > 0 {
                    true => (before, after),
                    false => (after, before),
                };
                let message = format!(
                    "{} {:.1} degrees wider than noted, and {} as much narrower, would close the room",
                    names.corner(wider),
                    f64::from(by.abs()) / 100.0,
                    names.corner(narrower),
                );
                plain(before, place, message)
            }
            Change::Twice(side) => {
                let next = (side + 1) % self.survey.sides.len();
                let place = names.side(side);
                let message = format!(
                    "{} and {} as one, entered twice, would close the room",
                    place,
                    names.side(next),
                );
                plain(side, place, message)
            }
            Change::CornerForgotten { side, turn } => {
                let place = names.corner(side);
                let side_name = names.side(side);
                let (an, add) = match turn {
                    Turn::Inside => ("an inside", "corner"),
                    Turn::Outside => ("an outside", "out"),
                };
                let message = match self.room().outline[side].stretch {
                    Stretch::Opening(_) => format!(
                        "{side_name} reaching {an} corner would close the room; you wrote none at its end (say `{add}` on its line)"
                    ),
                    _ => format!(
                        "{an} corner after {side_name} would close the room; you wrote that it runs straight on (say `{add}` on its line)"
                    ),
                };
                plain(side, place, message)
            }
            Change::WallLeftOut {
                after,
                length,
                turn,
            } => {
                let place = format!("what follows {}", names.side(after));
                let message = format!(
                    "a wall of about {} left out after {}, with an {} corner at its end, would close the room",
                    names.tape_roughly(length),
                    names.side(after),
                    match turn {
                        Turn::Inside => "inside",
                        Turn::Outside => "outside",
                    },
                );
                plain(after, place, message)
            }
            Change::OpeningLeftOut { side, width } => {
                let place = names.side(side);
                let message = format!(
                    "an opening of about {} left out in the line of {place} would close the room",
                    names.tape_roughly(width),
                );
                plain(side, place, message)
            }
        }
    }
}
