//! What a room's readings say against each other, in sentences: how far it is out. The reckoning is `adjust`'s and
//! `snoop`'s; widths that were not taken are left to `widths`, what may be wrong, and what the tape may have read, to
//! `proposals`.
//!
//! Almost all of it is warnings: the plan goes on, and the carpenter decides. An error is only what cannot be: corners that
//! do not come to a whole turn by far, or an opening that would have to be narrower than nothing.

use std::f64::consts::PI;

use super::adjust::Adjustment;
use super::names::{Names, explained};
use super::snoop::{FALSE_ALARM, contradict, snoop};
use super::survey::{Survey, Which, length};
use super::suspects::{Suspects, suspects};
use super::uncertainty::Uncertainty;
use super::widths::Widths;
use crate::finding::Finding;
use crate::walk::{Room, Stretch, Turn, Walk};

/// Corners that are out by more than this together, in degrees, are no matter of reading a gauge.
const IMPOSSIBLE_CORNERS: f64 = 20.0;
/// Corners that are out by less than this together, in degrees, are shown as a whole turn.
const LEAST_SAID: f64 = 0.05;

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
    let widths = Widths::of(&told.survey, &adjustment, &adjusted);
    // where a length is unknown the levers of the corners hang on it
    let adjustment = match told.survey.unknown().is_empty() {
        true => Adjustment::of(&told.survey).unwrap_or(adjustment),
        false => adjustment,
    };
    let fits = !contradict(&told.survey, &adjustment);
    findings.extend(told.unsolved(&widths, fits));
    match fits {
        true => findings.extend(told.absurd_openings(&widths)),
        false => findings.extend(told.out(&adjustment)),
    }
    findings
}

/// A room and its readings, of which something is told.
pub struct Told<'a> {
    /// What its parts are called.
    pub names: Names<'a>,
    /// Its readings.
    pub survey: Survey,
    /// How far they may be out.
    pub uncertainty: Uncertainty,
}

impl Told<'_> {
    /// The room.
    pub fn room(&self) -> &Room {
        self.names.room
    }

    /// What may be wrong in the room, booked as it is here.
    pub fn suspects(&self, survey: &Survey) -> Suspects {
        let is_opening = |stretch| matches!(stretch, Stretch::Opening(_));
        let opening = self
            .room()
            .outline
            .iter()
            .map(|item| is_opening(item.stretch));
        let opening: Vec<bool> = opening.collect();
        let unit = self.names.setup.unit;
        suspects(survey, &opening, &self.uncertainty, unit)
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

    /// The room contradicts itself.
    fn out(&self, adjustment: &Adjustment) -> Vec<Finding> {
        let too_far = self.survey.turned_too_far().unwrap_or(0.0).to_degrees();
        let impossible = self.corners_cannot_be();
        let message = self.what_is_out(adjustment, too_far);
        let suspects = self.suspects(&self.survey);
        let nothing = suspects.proposals.is_empty() && suspects.lengths.is_empty();
        let two = match nothing && !impossible {
            true => self.one_in_each_direction(&message),
            false => None,
        };
        match two {
            Some(findings) => findings.to_vec(),
            None => vec![self.with_proposals(message, &suspects, impossible)],
        }
    }

    /// Its corners come nowhere near a whole turn.
    pub fn corners_cannot_be(&self) -> bool {
        let too_far = self.survey.turned_too_far().unwrap_or(0.0);
        libm::fabs(too_far.to_degrees()) > IMPOSSIBLE_CORNERS
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
                super::snoop::test(adjustment, which)
            });
            let worst = worst.max_by(|a, b| libm::fabs(a.test).total_cmp(&libm::fabs(b.test)));
            let across = worst.map_or(String::new(), |worst| {
                let read = self.survey.reading(worst.which).value;
                let due = self.names.tape_roughly(length(read - worst.error));
                let read = self.names.tape(length(read));
                let name = self.names.reading(worst.which);
                format!("{name} is {read}, and by the others it would be about {due}")
            });
            let rest = match self.survey.round {
                Some(_) => "what was read round the room closes by itself, but",
                None => "what was read does not fit together:",
            };
            return format!("{rest} {across}.");
        }
        let traverse = self.survey.traverse();
        let (whatever, misclosure) = (self.whatever_the_widths(), self.misses());
        // corners that do not come to a whole turn bring the way out with them
        let turn = FALSE_ALARM * adjustment.covariance(2, 2).sqrt().to_degrees();
        if libm::fabs(too_far) > turn {
            return self.corners_are_out(too_far);
        }
        let ends = self.names.about(misclosure.length());
        let ratio = self.names.one_in(&traverse).filter(|_| whatever.is_empty());
        let ratio = ratio.map_or(String::new(), |ratio| {
            let round = self.names.round(traverse.perimeter());
            format!(", {ratio} of the {round} round it")
        });
        let way = explained(adjustment, misclosure);
        if misclosure.length() <= way {
            let rest = self.fails_together(adjustment, too_far);
            return format!("{whatever}it ends {ends} from where it began{ratio}{rest}");
        }
        let way = self.names.about(way);
        let way = match way == ends {
            true => "a little less".to_owned(),
            false => way,
        };
        let mut message = format!(
            "{whatever}it ends {ends} from where it began{ratio}; tape and corners explain {way}."
        );
        if let Some(opposite) = self.opposite_sides() {
            message.push_str(&format!(" {opposite}"));
        }
        message
    }

    /// What fails where neither the way's end nor the sum of the corners does by itself.
    fn fails_together(&self, adjustment: &Adjustment, too_far: f64) -> String {
        let sum = match libm::fabs(too_far) < LEAST_SAID {
            true => String::new(),
            false => format!(", and {}", self.corner_sum(too_far)),
        };
        let tests = snoop(&self.survey, adjustment).into_iter();
        let worst = tests.max_by(|a, b| libm::fabs(a.test).total_cmp(&libm::fabs(b.test)));
        let worst = worst.filter(|worst| libm::fabs(worst.test) > FALSE_ALARM);
        let fails = match (worst, sum.is_empty()) {
            (Some(worst), _) => {
                let place = self.names.reading(worst.which);
                format!("{place} does not fit all the others")
            }
            (None, false) => "not the two together".to_owned(),
            (None, true) => "not that way".to_owned(),
        };
        let explain = match sum.is_empty() {
            true => "Tape and corners explain so much",
            false => "Tape and corners explain each by itself",
        };
        format!("{sum}. {explain}, but {fails}.")
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
            let corners = if outside == 1 { "corner" } else { "corners" };
            return format!(
                "it has {inside} inside and {outside} outside {corners}, and square corners only close with {due}."
            );
        }
        format!("{}.", self.corner_sum(too_far))
    }

    fn corner_sum(&self, too_far: f64) -> String {
        let corners = self.room().outline.iter().filter_map(|item| item.corner);
        let count = corners.count();
        let whole = match self.room().island {
            true => count + 2,
            false => count.saturating_sub(2),
        } * 180;
        let sum = libm::rint((whole as f64 - too_far) * 10.0) / 10.0;
        format!(
            "its {count} corners add up to {sum} degrees, and so many corners of a closed outline come to {whole}"
        )
    }
}
