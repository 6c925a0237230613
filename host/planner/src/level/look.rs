//! What is told of a level without looking for the cheapest sticks: no stick plan is made, only what cannot be cut from the
//! sticks that there are, or held, is found. The sentences are those of `told`.

use super::{Level, told};
use crate::finding::Finding;
use crate::plan::PlannedPiece;
use crate::saw_list::list_head;
use crate::sticks::{Task, lacking};
use crate::walk::Setup;

impl Level<'_> {
    /// The findings, the gravest first.
    pub(super) fn look(mut self) -> Vec<Finding> {
        let stocks = std::mem::take(&mut self.stocks);
        let (mut unplaced, mut short_holds) = (Vec::new(), Vec::new());
        for (number, blanks) in self.wanted(&stocks) {
            let moulding = &stocks[number];
            let lacking = lacking(&Task {
                number,
                moulding,
                saw: &self.saw_for(number),
                blanks: &blanks,
                rooms: &[],
                wishes: self.wishes,
            });
            self.tell_unplaced(&lacking.unplaced, moulding);
            unplaced.extend(lacking.unplaced);
            short_holds.extend(lacking.short_holds);
        }
        self.tell_short_holds(&short_holds);
        self.tell_old_house();
        self.findings.sort_by_key(Finding::rank);
        let pieces = self.pieces.iter().enumerate();
        let placed = pieces.filter(|(at, _)| !unplaced.contains(at));
        let placed: Vec<&PlannedPiece> = placed.map(|(_, piece)| piece).collect();
        let Setup {
            level, mark, saw, ..
        } = self.setup;
        if let Err(error) = list_head(level, *mark, saw, &stocks, &placed) {
            self.findings.push(told::too_large(&error));
        }
        self.findings
    }
}
