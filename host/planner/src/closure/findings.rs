//! What a room's readings say against each other, in sentences: how far it is out, and which openings cannot be. The
//! reckoning is `adjust`'s and `snoop`'s; what may be wrong, and what the tape may have read, is left to `proposals`.
//!
//! Almost all of it is warnings: the plan goes on, and the carpenter decides. An error is only what cannot be: corners that
//! do not come to a whole turn by far, or an opening that would have to be narrower than nothing.

use std::f64::consts::PI;

use shared_model::Angle;

use super::adjust::Adjustment;
use super::advice::width;
use super::names::{Names, capital, explained, listed};
use super::snoop::{FALSE_ALARM, contradict};
use super::survey::{OPENING_SPREAD, Survey, Which, length};
use super::suspects::{Suspects, suspects};
use super::uncertainty::Uncertainty;
use crate::finding::Finding;
use crate::walk::{Room, Stretch, Turn, Walk};

/// Corners that are out by more than this together, in degrees, are no matter of reading a gauge.
const IMPOSSIBLE_CORNERS: f64 = 20.0;
/// Openings that board stops at are wider and narrower than this, in mm: a pipe chase and a garage door.
const OPENINGS: [f64; 2] = [150.0, 6_000.0];

/// What there is to say about a room.
pub fn room_findings(walk: &Walk, room: &Room) -> Vec<Finding> {
    let uncertainty = Uncertainty::of(walk);
    let survey = Survey::of(room, &uncertainty);
    let told = Told {
        names: Names {
            room,
            setup: &walk.setup,
        },
        survey,
        uncertainty,
    };
    let mut findings = Vec::new();
    if let Some(finding) = told.wrong_way() {
        return vec![finding];
    }
    let Some((adjustment, adjusted)) = Adjustment::settled(&told.survey) else {
        return findings;
    };
    findings.extend(told.unsolved(&adjustment));
    // where a length is unknown the levers of the corners hang on it
    let adjustment = match told.unknown().is_empty() {
        true => Adjustment::of(&told.survey).unwrap_or(adjustment),
        false => adjustment,
    };
    if contradict(&told.survey, &adjustment) {
        findings.push(told.out(&adjustment));
    } else {
        findings.extend(told.absurd_openings(&adjustment, &adjusted));
    }
    findings
}

/// A room and its readings, of which something is told.
pub struct Told<'a> {
    /// What its parts are called.
    pub names: Names<'a>,
    /// Its readings.
    pub survey: Survey,
    uncertainty: Uncertainty,
}

impl Told<'_> {
    /// The room.
    pub fn room(&self) -> &Room {
        self.names.room
    }

    /// The openings whose width was not taken.
    pub fn unknown(&self) -> Vec<usize> {
        let sides = 0..self.survey.sides.len();
        sides.filter(|&side| self.survey.is_unknown(side)).collect()
    }

    fn suspects(&self) -> Suspects {
        let is_opening = |stretch| matches!(stretch, Stretch::Opening(_));
        let opening = self
            .room()
            .outline
            .iter()
            .map(|item| is_opening(item.stretch));
        let opening: Vec<bool> = opening.collect();
        let unit = self.names.setup.unit;
        suspects(&self.survey, &opening, &self.uncertainty, unit)
    }

    /// Every corner of the other kind than it would have to be.
    fn wrong_way(&self) -> Option<Finding> {
        let (too_far, round) = (self.survey.turned_too_far()?, self.survey.round?);
        let mirrored = libm::fabs(too_far + 2.0 * round) < IMPOSSIBLE_CORNERS.to_radians();
        let what = match self.room().island {
            true => {
                "it is noted as a column, whose corners are outside ones, and turns like a room: leave out the word island, or turn its corners round"
            }
            false => {
                "it turns the wrong way round: its inside and outside corners are swapped, or it is a column or island and was not called one"
            }
        };
        let message = format!("{what}. Every joint hangs on this.");
        mirrored.then(|| Finding::error(&self.room().name, &[], message))
    }

    /// More unmeasured openings than the room gives away.
    fn unsolved(&self, adjustment: &Adjustment) -> Option<Finding> {
        let vague = |adjustment: &Adjustment, side: usize| {
            let which = Which::Length(side);
            let before = self.survey.reading(which).deviation;
            adjustment.deviation_after(which, before) > OPENING_SPREAD
        };
        let unknown = self.unknown();
        let vague: Vec<usize> = (unknown.into_iter())
            .filter(|&side| vague(adjustment, side))
            .collect();
        // nothing is asked of an open run
        if vague.is_empty() || self.survey.round.is_none() {
            return None;
        }
        let names: Vec<String> = vague.iter().map(|&side| self.names.side(side)).collect();
        let first = width(&self.survey, &self.uncertainty).unwrap_or(vague[0]);
        let first = self.names.side(first);
        let message = match names.as_slice() {
            [name] => format!(
                "the width of {name} was not taken, and this room does not give it away; nor is anything in its direction checked. Measure it."
            ),
            _ => format!(
                "the widths of {} were not taken, and this room gives away only one in a direction; nor is any wall in theirs checked. Measure {first} first.",
                listed(&names, "and"),
            ),
        };
        Some(Finding::warning(&self.room().name, &[], message))
    }

    /// Openings that were not measured and come out as no opening can be.
    fn absurd_openings(&self, adjustment: &Adjustment, adjusted: &Survey) -> Vec<Finding> {
        let unknown = self.unknown().into_iter();
        let findings = unknown.filter_map(|side| {
            let which = Which::Length(side);
            let before = self.survey.reading(which).deviation;
            let spread = FALSE_ALARM * adjustment.deviation_after(which, before);
            let width = adjusted.reading(which).value;
            if spread > OPENING_SPREAD
                || (OPENINGS[0] <= width + spread && width - spread <= OPENINGS[1])
            {
                return None;
            }
            let name = self.names.side(side);
            let tape = length(width).on_tape(self.names.setup.mark);
            let what = match width + spread < 0.0 {
                true => "less than nothing",
                false => "what no opening is",
            };
            let message = format!(
                "{name} was not measured and would have to be {tape} wide for the room to close, {what}: something else in its direction is wrong, or the opening is."
            );
            Some(self.with_proposals(message, &self.suspects(), true))
        });
        findings.collect()
    }

    /// The room contradicts itself.
    fn out(&self, adjustment: &Adjustment) -> Finding {
        let too_far = self.survey.turned_too_far().unwrap_or(0.0).to_degrees();
        let impossible = libm::fabs(too_far) > IMPOSSIBLE_CORNERS;
        let message = self.what_is_out(adjustment, too_far);
        self.with_proposals(message, &self.suspects(), impossible)
    }

    fn what_is_out(&self, adjustment: &Adjustment, too_far: f64) -> String {
        let without_ties = Survey {
            ties: Vec::new(),
            ..self.survey.clone()
        };
        let closing = Adjustment::of(&without_ties);
        let closes = closing.is_none_or(|alone| !contradict(&without_ties, &alone));
        if closes {
            let worst = self.survey.ties.iter().enumerate().map(|(tie, _)| {
                let which = Which::Tie(tie);
                let tested = super::snoop::test(adjustment, which);
                (libm::fabs(tested.test), which)
            });
            let worst = worst.max_by(|a, b| a.0.total_cmp(&b.0));
            let across = worst.map_or(String::new(), |worst| self.names.reading(worst.1));
            let rest = match self.survey.round {
                Some(_) => "what was read round the room closes by itself, but",
                None => "what was read does not fit together:",
            };
            return format!("{rest} {across} does not fit it.");
        }
        let traverse = self.survey.traverse();
        let misclosure = traverse.misclosure();
        // corners that do not come to a whole turn bring the way out with them
        let turn = FALSE_ALARM * adjustment.covariance(2, 2).sqrt().to_degrees();
        let turned = libm::fabs(too_far) / turn;
        let way = explained(adjustment, misclosure);
        if turned > 1.0 || turned > misclosure.length() / way {
            return self.corners_are_out(too_far);
        }
        let ratio = traverse.ratio().unwrap_or(0.0);
        let mut message = format!(
            "it ends {} from where it began, 1 in {ratio:.0} of the {} round it; tape and corners explain {}.",
            self.names.about(misclosure.length()),
            self.names.round(traverse.perimeter()),
            self.names.at_least(way),
        );
        if let Some(opposite) = self.opposite_sides() {
            message.push_str(&opposite);
        }
        message
    }

    /// Of a room with four square corners: the two sides across from each other that differ most.
    fn opposite_sides(&self) -> Option<String> {
        let items = &self.room().outline;
        let corners = items.iter().filter_map(|item| item.corner);
        let square = |turn, gauge| turn == Turn::Inside && gauge == Angle::RIGHT;
        let unknown = !self.unknown().is_empty();
        if unknown
            || corners.clone().count() != 4
            || !corners
                .clone()
                .all(|corner| square(corner.turn, corner.gauge))
        {
            return None;
        }
        let first = items.iter().position(|item| item.corner.is_some())? + 1;
        let mut lines: Vec<(f64, Vec<String>)> = vec![(0.0, Vec::new())];
        for step in 0..items.len() {
            let side = (first + step) % items.len();
            let line = lines.last_mut()?;
            line.0 += self.survey.sides[side].length.value;
            line.1.push(self.names.side(side));
            if items[side].corner.is_some() {
                lines.push((0.0, Vec::new()));
            }
        }
        let apart = |at: usize| libm::fabs(lines[at].0 - lines[at + 2].0);
        let at = usize::from(apart(1) > apart(0));
        let line = |at: usize| {
            let (long, names) = &lines[at];
            let together = if names.len() > 1 { " together" } else { "" };
            format!(
                "{} ({}{together})",
                listed(names, "and"),
                self.names.tape(length(*long))
            )
        };
        Some(format!(
            " {} should be as long as {}.",
            capital(&line(at)),
            line(at + 2)
        ))
    }

    fn corners_are_out(&self, too_far: f64) -> String {
        let corners = self.room().outline.iter().filter_map(|item| item.corner);
        let inside = corners.clone().filter(|corner| corner.turn == Turn::Inside);
        let (count, inside) = (corners.clone().count(), inside.count());
        let outside = count - inside;
        let near_square = |corner: crate::walk::Corner| {
            libm::fabs(corner.gauge.radians() - PI / 2.0) < (10f64).to_radians()
        };
        if libm::fabs(too_far) > IMPOSSIBLE_CORNERS && corners.clone().all(near_square) {
            let due = match self.room().island {
                true => "four more outside than inside",
                false => "four more inside than outside",
            };
            return format!(
                "it has {inside} inside and {outside} outside corners, and square corners only close with {due}."
            );
        }
        let whole = match self.room().island {
            true => count + 2,
            false => count.saturating_sub(2),
        } * 180;
        let sum = libm::rint((whole as f64 - too_far) * 10.0) / 10.0;
        format!(
            "its {count} corners add up to {sum} degrees, and so many corners of a closed outline come to {whole}."
        )
    }
}
