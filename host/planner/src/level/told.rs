//! What is told of a planned level: what the saw lacks, corners too wide for a back cut, pieces without a stick, prices that
//! are missing, old paint. Finding it is left to the steps that plan.

use shared_model::{Caution, End, Length};

use super::{Level, Part};
use crate::closure::names::listed;
use crate::finding::Finding;
use crate::pieces::Draft;
use crate::posture::Lack;
use crate::saw_list::ListTooLarge;
use crate::stock_doubts::{doubts, saw_doubts};
use crate::walk::{MouldingStock, Setup};

impl Level<'_> {
    /// Corners that want a wider back cut than the saw's settings allow.
    pub(super) fn tell_wide_corners(&mut self, room: &str, drafts: &[Draft]) {
        let most = self.setup.saw.back_cut_up_to;
        let mut told: Vec<(End, Vec<u32>)> = Vec::new();
        for draft in drafts {
            for end in [draft.left, draft.right] {
                if end.back_cut() <= most {
                    continue;
                }
                match told.iter_mut().find(|(known, _)| *known == end) {
                    Some((_, walls)) => walls.extend(draft.wall),
                    None => told.push((end, draft.wall.into_iter().collect())),
                }
            }
        }
        for (end, mut walls) in told {
            walls.dedup();
            let message = format!(
                "a {} in a corner of {} wants a back cut of {} degrees, and the saw's settings go up to {most}: miter this corner, relieve the back by hand until the face closes, or allow more (back cut up to {}).",
                end.joint(),
                end.gauge().unwrap_or_default(),
                end.back_cut(),
                end.back_cut(),
            );
            self.findings.push(Finding::warning(room, &walls, message));
        }
    }

    /// A moulding of which there is nothing.
    pub(super) fn tell_unused(&mut self, moulding: usize) {
        if self.pieces.is_empty() || self.pieces.iter().any(|piece| piece.moulding == moulding) {
            return;
        }
        let name = &self.setup.mouldings[moulding].name;
        self.findings.push(Finding::of_level(format!(
            "no room has {name}, though the file says what it is: if one should, write under its name: with {name}; if none should, leave {name} out."
        )));
    }

    /// A saw that is hardly meant.
    pub(super) fn tell_saw_doubts(&mut self) {
        let doubts = saw_doubts(&self.setup.saw, self.setup.mark).into_iter();
        self.findings.extend(doubts.map(Finding::of_level));
    }

    /// Stock that is hardly meant.
    pub(super) fn tell_doubts(&mut self, moulding: &MouldingStock) {
        let doubts = doubts(moulding, self.setup.mark).into_iter();
        self.findings.extend(doubts.map(Finding::of_level));
    }

    pub(super) fn tell_unplaced(&mut self, unplaced: &[usize], moulding: &MouldingStock) {
        let mark = self.setup.mark;
        let name = &moulding.name;
        let lengths = moulding.sticks.iter().map(|kind| kind.length);
        let longest = lengths.chain(moulding.offcuts.iter().copied()).max();
        for &at in unplaced {
            let piece = &self.pieces[at];
            let walls: Vec<u32> = piece.wall.into_iter().collect();
            let figure = piece.figure(moulding);
            let overall = figure.overall.feet_inches(mark);
            let usable = longest.map(|longest| longest - self.setup.saw.end_trim);
            let message = match (longest, usable) {
                (Some(_), Some(usable)) if figure.overall <= usable => format!(
                    "this piece, {overall} overall, finds no place in the sticks of {name} that there are: get more of them."
                ),
                (Some(longest), _) => format!(
                    "this piece is {overall} overall, and the longest stick of {name} is {}: get a longer one, or break the wall.",
                    longest.feet_inches(mark)
                ),
                (None, _) => format!("there is no stick of {name} to cut this piece from."),
            };
            self.findings
                .push(Finding::error(&piece.room, &walls, message));
        }
    }

    /// Short pieces that come off with too little to hold, in the order of the pieces.
    pub(super) fn tell_short_holds(&mut self, short_holds: &[usize]) {
        let pieces = self.pieces.iter().enumerate();
        for (_, piece) in pieces.filter(|(at, _)| short_holds.contains(at)) {
            let walls: Vec<u32> = piece.wall.into_iter().collect();
            let figure = piece.figure(&self.setup.mouldings[piece.moulding]);
            let message = format!(
                "this short piece, {} overall, comes off a stick of which less than {} is left to hold: clamp the stick, or cut the piece from a longer one.",
                figure.overall.feet_inches(self.setup.mark),
                self.setup.saw.hold.least_hold.feet_inches(self.setup.mark)
            );
            self.findings
                .push(Finding::warning(&piece.room, &walls, message));
        }
    }

    /// Said in the findings and with the first piece that is cut, from which a station knows it before the list is begun.
    pub(super) fn tell_old_house(&mut self) {
        if !self.setup.old_house {
            return;
        }
        let first = self.pieces.iter_mut().filter(|piece| piece.cut.is_some());
        if let Some(piece) = first.min_by_key(|piece| piece.cut.map(|cut| cut.order)) {
            piece.cautions = piece.cautions.with(Caution::LeadPaint);
        }
        let message = Caution::LeadPaint.sentence().to_owned();
        self.findings.push(Finding::of_level(message));
    }

    pub(super) fn tell_unpriced(&mut self, parts: &[Part]) {
        if parts.iter().all(|part| !part.priced) {
            return;
        }
        for part in parts.iter().filter(|part| !part.priced) {
            let name = &self.setup.mouldings[part.moulding].name;
            let message =
                format!("not every stick of {name} has a price, so it is not in the cost.");
            self.findings.push(Finding::of_level(message));
        }
    }
}

/// A list that no station takes.
pub fn too_large(error: &ListTooLarge) -> Finding {
    Finding::of_level(format!("a station cannot take this list: {error}"))
}

/// What a saw lacks for ends of a room, told once.
pub struct Told {
    pub lacks: String,
    pub impossible: bool,
    pub ends: usize,
    pub walls: Vec<u32>,
}

impl Told {
    /// The sentence.
    pub fn message(&self) -> String {
        let lacks = &self.lacks;
        match (self.impossible, self.ends) {
            (true, 1) => {
                format!("{lacks}: cut this end by other means, or use a saw that can.")
            }
            (true, _) => {
                format!("{lacks}: cut these ends by other means, or use a saw that can.")
            }
            (false, 1) => {
                format!("{lacks}: this end is cut in another posture than the one asked for.")
            }
            (false, _) => {
                format!("{lacks}: these ends are cut in another posture than the one asked for.")
            }
        }
    }
}

/// What a saw lacks for an end.
pub fn lacking(lack: Lack, end: End, moulding: &MouldingStock, setup: &Setup) -> String {
    let saw = &setup.saw;
    let tape = |length: Length| length.feet_inches(setup.mark);
    let board = || format!("{} is {} high", moulding.name, tape(moulding.height));
    match lack {
        Lack::Height => format!(
            "{}, taller than the saw takes on edge ({})",
            board(),
            tape(saw.standing_height)
        ),
        Lack::Width => format!(
            "{}, wider than the saw takes lying flat ({})",
            board(),
            tape(saw.flat_width)
        ),
        Lack::Range(by, way) => format!(
            "{} {} needs {} degrees to the {}, and the saw {}s {} that way",
            end.joint().article(),
            end.joint(),
            saw.head().scale(by, way, end.setting()),
            way.word(),
            by.word(),
            saw.head().range(by, way),
        ),
    }
}

/// That laying the board another way does not help, and why.
pub fn no_other_way(others: &[Lack], setup: &Setup) -> String {
    let saw = &setup.saw;
    let tape = |length: Length| length.feet_inches(setup.mark);
    let why = others.iter().map(|lack| match *lack {
        Lack::Height => format!("takes {} on edge", tape(saw.standing_height)),
        Lack::Width => format!("takes {} lying flat", tape(saw.flat_width)),
        Lack::Range(by, way) => {
            let range = saw.head().range(by, way);
            format!("{}s {range} to the {}", by.word(), way.word())
        }
    });
    let why: Vec<String> = why.collect();
    let no_other = ", and no other way of laying the board helps";
    match why.as_slice() {
        [] => no_other.to_owned(),
        why => format!("{no_other} (the saw {})", listed(why, "and")),
    }
}
