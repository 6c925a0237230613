//! What a room's readings can show, whether or not they are out: how well it closes, how small an error would have been
//! seen in each wall, what an unmeasured opening comes to, and which further readings would show more. What is wrong is
//! left to `findings`.

use super::adjust::Adjustment;
use super::advice::{Further, further, seen, seen_twice};
use super::names::{Names, capital, listed};
use super::survey::{Survey, length};
use super::traverse::Traverse;
use super::uncertainty::Uncertainty;
use super::widths::Widths;
use crate::walk::{Room, Walk};

/// More further readings than this are not proposed.
const MOST_READINGS: usize = 2;
/// A further reading has to bring what is seen down to this part of it.
const WORTH_IT: f64 = 0.75;

/// What a room's readings can show.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomReport {
    /// The room's name.
    pub room: String,
    /// The way round, in mm, which may miss its beginning; none in an open run or where a width is not known.
    pub closes: Option<Traverse>,
    /// For every stretch its place in the outline and the smallest error that would have been seen 99 times of 100, in
    /// mm; none where nothing checks it.
    pub seen: Vec<Option<f64>>,
    /// What the openings that were not measured come to.
    pub widths: Widths,
    /// The readings that would help most, in the order of their help.
    pub further: Vec<Further>,
    /// What would be seen with them.
    pub seen_then: Vec<Option<f64>>,
    /// What would be seen in each stretch if that one were read a second time.
    pub seen_twice: Vec<Option<f64>>,
}

impl RoomReport {
    /// Reckons it for a room.
    pub fn of(walk: &Walk, room: &Room) -> RoomReport {
        let uncertainty = Uncertainty::of(walk);
        let noted = Survey::of(room, &uncertainty);
        let settled = Adjustment::settled(&noted);
        let widths =
            settled.map(|(adjustment, adjusted)| Widths::of(&noted, &adjustment, &adjusted));
        let widths = widths.unwrap_or_default();
        // the corners' levers hang on widths that are only solved for
        let mut survey = noted.clone();
        widths.put_in(&mut survey);
        let readings = further(&survey, &uncertainty, MOST_READINGS);
        let mut then = survey.clone();
        for reading in &readings {
            reading.take(&mut then, &uncertainty);
        }
        let closes = (room.closed && noted.unknown().is_empty()).then(|| noted.traverse());
        RoomReport {
            room: room.name.clone(),
            closes,
            seen: seen(&survey),
            widths,
            further: readings,
            seen_then: seen(&then),
            seen_twice: seen_twice(&survey, &uncertainty),
        }
    }

    /// The same in sentences, one a line.
    pub fn lines(&self, walk: &Walk, room: &Room) -> Vec<String> {
        let names = Names {
            room,
            setup: &walk.setup,
        };
        let mut lines = Vec::new();
        if let Some(traverse) = &self.closes {
            let ratio = names.one_in(traverse);
            let ratio = ratio.map_or(String::new(), |ratio| format!(", {ratio}"));
            lines.push(format!(
                "Closes to {} on {} round{ratio}.",
                names.about(traverse.misclosure().length()),
                names.round(traverse.perimeter())
            ));
        }
        let mut come_to = |what: String, width: f64, spread: f64| {
            let tape = length(width).on_tape(walk.setup.mark);
            let spread = names.at_least(spread);
            lines.push(format!("{} {tape}, give or take {spread}.", capital(&what)));
        };
        for &(side, width, spread) in &self.widths.alone {
            come_to(format!("{} comes to", names.side(side)), width, spread);
        }
        if let Some((width, spread)) = self.widths.together {
            let all = names.sides(&self.widths.vague);
            come_to(format!("{all} together come to"), width, spread);
        }
        let groups = self.groups(&names);
        let shown = groups.iter().filter_map(|(size, sides)| {
            let size = size.as_ref()?;
            Some(format!("{size} on {}", names.sides(sides)))
        });
        let shown: Vec<String> = shown.collect();
        if !shown.is_empty() {
            let shown = listed(&shown, "and from");
            lines.push(format!("An error is sure to show from {shown}."));
        }
        if let Some((None, sides)) = groups.first() {
            lines.push(format!("Nothing checks {}.", names.sides(sides)));
        }
        lines.extend(self.advice(&names));
        lines.extend(self.advice_to_read_twice(&names));
        lines
    }

    /// Sides by the smallest error that would have been seen, as it is said: none first, then smallest first.
    fn groups(&self, names: &Names) -> Vec<(Option<String>, Vec<usize>)> {
        let mut order: Vec<usize> = (0..self.seen.len()).collect();
        let size = |side: &usize| self.seen[*side].unwrap_or(0.0);
        order.sort_by(|a, b| size(a).total_cmp(&size(b)));
        let mut groups: Vec<(Option<String>, Vec<usize>)> = Vec::new();
        for side in order {
            let said = self.seen[side].map(|size| names.at_least(size));
            match groups.last_mut() {
                Some((last, sides)) if *last == said => sides.push(side),
                _ => groups.push((said, vec![side])),
            }
        }
        for (_, sides) in &mut groups {
            sides.sort_unstable();
        }
        groups
    }

    /// What a second reading of a single stretch shows, where it is worth one.
    fn advice_to_read_twice(&self, names: &Names) -> Option<String> {
        let (now, twice) = (worst(&self.seen), worst(&self.seen_twice));
        (twice < WORTH_IT * now).then(|| {
            let from = names.at_least(twice);
            format!("On a wall that is read a second time it is sure to show from {from}.")
        })
    }

    /// What would help, where it is worth a reading.
    fn advice(&self, names: &Names) -> Option<String> {
        let (now, then) = (worst(&self.seen), worst(&self.seen_then));
        if self.further.is_empty() || then > WORTH_IT * now || !then.is_finite() {
            return None;
        }
        let mut widths = Vec::new();
        let mut across = Vec::new();
        for reading in &self.further {
            match *reading {
                Further::Across { from, to } => across.push(format!("{from} to {to}")),
                Further::Width(side) => widths.push(format!("the width of {}", names.side(side))),
            }
        }
        let lengths = match across.len() {
            1 => "the length across from",
            _ => "the lengths across from",
        };
        let across: Vec<String> = match across.is_empty() {
            true => Vec::new(),
            false => vec![format!("{lengths} {}", listed(&across, "and"))],
        };
        let readings: Vec<String> = widths.into_iter().chain(across).collect();
        Some(format!(
            "With {} it would be sure to show everywhere from {}.",
            listed(&readings, "and"),
            names.at_least(then)
        ))
    }
}

fn worst(seen: &[Option<f64>]) -> f64 {
    let seen = seen.iter().map(|seen| seen.unwrap_or(f64::INFINITY));
    seen.fold(0.0, f64::max)
}
