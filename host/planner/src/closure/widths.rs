//! Openings whose width was not taken: what each comes to by the rest of the room, or what those in one line come to
//! together, and what is said where that cannot be, or where the room does not give it away. The reckoning is `adjust`'s.

use super::adjust::Adjustment;
use super::advice::width;
use super::findings::Told;
use super::names::listed;
use super::snoop::FALSE_ALARM;
use super::survey::{OPENING_SPREAD, OPENINGS, Reading, Survey, UNKNOWN, Which, length};
use super::traverse::Vector;
use crate::finding::Finding;

/// Openings whose width was not taken, as far as the room gives it away.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Widths {
    /// Those that it gives away: the side, the width and its standard deviation in mm.
    pub alone: Vec<(usize, f64, f64)>,
    /// Those that it does not.
    pub vague: Vec<usize>,
    /// What those come to together, with the standard deviation, in mm; none where they are not in one straight line.
    pub together: Option<(f64, f64)>,
}

impl Widths {
    /// Of a room's readings, their adjustment and what they were adjusted to.
    pub fn of(noted: &Survey, adjustment: &Adjustment, adjusted: &Survey) -> Widths {
        let mut widths = Widths::default();
        for side in noted.unknown() {
            let which = Which::Length(side);
            let spread = adjustment.deviation_after(which, noted.reading(which).deviation);
            match spread < OPENING_SPREAD {
                true => (widths.alone).push((side, adjusted.reading(which).value, spread)),
                false => widths.vague.push(side),
            }
        }
        widths.together = together(noted, &widths.vague);
        widths
    }

    /// Puts in what is known of the widths, those of one line alike, so that the corners' levers are what they are.
    pub fn put_in(&self, survey: &mut Survey) {
        for &(side, width, _) in &self.alone {
            survey.sides[side].length.value = width;
        }
        if let Some((sum, _)) = self.together {
            for &side in &self.vague {
                survey.sides[side].length.value = sum / self.vague.len() as f64;
            }
        }
    }
}

/// What openings in one straight line come to together: as one that is where the first of them is.
fn together(survey: &Survey, sides: &[usize]) -> Option<(f64, f64)> {
    let (first, others) = sides.split_first()?;
    let in_line = (others.iter()).all(|&other| survey.line(other) == survey.line(*first));
    if others.is_empty() || !in_line || !ends_in_corners(survey) {
        return None;
    }
    let mut one = survey.clone();
    for &other in others {
        one.sides[other].length = Reading {
            value: 0.0,
            deviation: NOTHING,
        };
    }
    let (adjustment, adjusted) = Adjustment::settled(&one)?;
    let which = Which::Length(*first);
    let spread = adjustment.deviation_after(which, UNKNOWN);
    (spread < OPENING_SPREAD).then(|| (adjusted.reading(which).value, spread))
}

/// Whether no length across ends between the openings of a line, where it would tell them apart.
fn ends_in_corners(survey: &Survey) -> bool {
    let ends = survey.ties.iter().flat_map(|tie| [tie.from, tie.to]);
    ends.into_iter().all(|corner| survey.is_corner(corner))
}

/// The standard deviation, in mm, of a length that is not there at all: none is, but what is divided by it must be a number.
const NOTHING: f64 = 1e-3;

impl Told<'_> {
    /// How far the way round misses its beginning whatever the widths are that were not taken: what is left of it across
    /// their direction, and nothing where they go two ways.
    pub fn misses(&self) -> Vector {
        let traverse = self.survey.traverse();
        let ways = self.survey.unknown().into_iter();
        let mut ways = ways.map(|side| Vector::along(traverse.legs[side].bearing, 1.0));
        let missed = traverse.misclosure();
        match ways.next() {
            None => missed,
            Some(first) if ways.any(|way| libm::fabs(first.cross(way)) > SAME_WAY) => {
                Vector::default()
            }
            Some(first) => missed.from(first.times(missed.dot(first))),
        }
    }

    /// Such as `whatever the width of opening 1 is, `; nothing where every width was taken.
    pub fn whatever_the_widths(&self) -> String {
        let names: Vec<String> = (self.survey.unknown().into_iter())
            .map(|side| self.names.side(side))
            .collect();
        match names.as_slice() {
            [] => String::new(),
            [name] => format!("whatever the width of {name} is, "),
            names => format!("whatever the widths of {} are, ", listed(names, "and")),
        }
    }

    /// Widths that the room does not give away; what they come to together is said where the room `fits` otherwise.
    pub fn unsolved(&self, widths: &Widths, fits: bool) -> Option<Finding> {
        // nothing is asked of an open run
        if widths.vague.is_empty() || self.survey.round.is_none() {
            return None;
        }
        let names: Vec<String> = (widths.vague.iter())
            .map(|&side| self.names.side(side))
            .collect();
        let all = listed(&names, "and");
        let message = match (names.as_slice(), widths.together.filter(|_| fits)) {
            ([name], _) => format!(
                "the width of {name} was not taken, and this room does not give it away; nor is anything in its direction checked. Measure it."
            ),
            (_, Some((sum, spread))) if !possible(sum, spread, names.len()) => {
                let tape = self.on_tape(sum);
                let what = no_opening(sum + FALSE_ALARM * spread);
                let message = format!(
                    "{all} were not measured and would have to be {tape} wide together for the room to close, {what}: something else in their direction is wrong, or they are."
                );
                return Some(self.with_proposals(message, &self.suspects(&self.survey), true));
            }
            (names, Some((sum, _))) => {
                let tape = self.on_tape(sum);
                let rest = match names.len() {
                    2 => "the other is what is left",
                    _ => "all but one, and that one is what is left",
                };
                let measure = match names.len() {
                    2 => format!("Measure {}, and {rest}; measure both", names[0]),
                    _ => format!("Measure {rest}; measure all"),
                };
                format!(
                    "the widths of {all} were not taken: together they come to {tape}, and this room does not say how they share it. {measure}, and the walls in their line are checked too."
                )
            }
            (_, None) => {
                let first = width(&self.survey, &self.uncertainty).unwrap_or(widths.vague[0]);
                format!(
                    "the widths of {all} were not taken, and this room gives away only one in a direction; nor is any wall in theirs checked. Measure {} first.",
                    self.names.side(first),
                )
            }
        };
        Some(Finding::warning(&self.room().name, &[], message))
    }

    /// Openings that were not measured and come out as no opening can be.
    pub fn absurd_openings(&self, widths: &Widths) -> Vec<Finding> {
        let absurd = widths.alone.iter();
        let absurd = absurd.filter(|&&(_, width, spread)| !possible(width, spread, 1));
        let findings = absurd.map(|&(side, width, spread)| {
            let (name, tape) = (self.names.side(side), self.on_tape(width));
            let what = no_opening(width + FALSE_ALARM * spread);
            let message = format!(
                "{name} was not measured and would have to be {tape} wide for the room to close, {what}: something else in its direction is wrong, or the opening is."
            );
            self.with_proposals(message, &self.suspects(&self.survey), true)
        });
        findings.collect()
    }

    fn on_tape(&self, millimetres: f64) -> String {
        let mark = self.names.setup.mark;
        length(millimetres).on_tape(mark).to_string()
    }
}

/// Two directions closer than this (the sine of 10 degrees) are one.
const SAME_WAY: f64 = 0.17;

/// Whether so many openings can be so wide together, in mm; a width that is too vague can be anything.
fn possible(width: f64, spread: f64, openings: usize) -> bool {
    let spread = FALSE_ALARM * spread;
    let [least, most] = OPENINGS.map(|width| openings as f64 * width);
    spread > OPENING_SPREAD || (least <= width + spread && width - spread <= most)
}

/// What a width is that cannot be, by the most that it can come to in mm.
fn no_opening(most: f64) -> &'static str {
    match most < 0.0 {
        true => "less than nothing",
        false => "what no opening is",
    }
}
