//! Which of two boards in an inside corner runs through, where it is not the usual one: beside walls too short to cope, and
//! where a ring of copes has to be broken. What a corner usually asks for is left to the module above.

use shared_model::{Angle, End, Side};

use super::{Junction, Outline};
use crate::finding::Finding;
use crate::walk::Stretch;

impl Outline<'_> {
    /// A wall too short to cope runs square and its neighbours are coped over it, unless they hang already, are too short
    /// themselves or have their ends forced. A ring that this should turn the other way round is broken after it.
    pub(super) fn spare_short_walls(&mut self) {
        for junction in self.junctions.clone() {
            let Junction { before, after, .. } = junction;
            let forced = self.item(before).right.is_some() || self.item(after).left.is_some();
            if forced || !self.is_wall(before) || !self.is_wall(after) {
                continue;
            }
            let ends = (self.right[before], self.left[after]);
            let turned = match ends {
                (Some(End::Square), Some(over)) if is_over(over) => {
                    self.is_short(after) && !self.is_short(before)
                }
                (Some(over), Some(End::Square)) if is_over(over) => {
                    self.is_short(before) && !self.is_short(after)
                }
                _ => false,
            };
            if turned {
                (self.right[before], self.left[after]) = (ends.1, ends.0);
            }
        }
    }

    fn is_short(&self, index: usize) -> bool {
        match self.item(index).stretch {
            Stretch::Wall(length) => length < self.walk.cope_least,
            Stretch::Opening(_) | Stretch::Existing(_) => false,
        }
    }

    /// A closed room whose every junction is coped the same way round is a ring in which every board waits for another:
    /// the first-walked piece is made square at both ends, and the one that meets it there is coped at both.
    pub(super) fn break_ring(&mut self) {
        let over = |end: Option<End>| end.is_some_and(is_over);
        let straight =
            |end: Option<End>| matches!(end, Some(End::ScarfOver { .. } | End::ScarfUnder { .. }));
        if !self.room.closed || !(0..self.room.outline.len()).all(|index| self.is_wall(index)) {
            return;
        }
        for coped in [Side::Left, Side::Right] {
            let end_here = |outline: &Self, junction: &Junction, side| match side {
                Side::Left => outline.left[junction.after],
                Side::Right => outline.right[junction.before],
            };
            let ring = self.junctions.iter().all(|junction| {
                over(end_here(self, junction, coped)) || straight(self.left[junction.after])
            });
            // walked order, beginning with the junction at the first piece's coped end
            let ahead = self.walk.direction.ahead();
            let count = self.junctions.len();
            let order = (0..count).map(|step| match coped == ahead {
                true => step,
                false => (step + count - 1) % count,
            });
            if !ring {
                continue;
            }
            let free = order.map(|at| self.junctions[at]).find(|junction| {
                over(end_here(self, junction, coped))
                    && self.item(junction.before).right.is_none()
                    && self.item(junction.after).left.is_none()
            });
            let Some(Junction {
                before,
                after,
                corner,
                ..
            }) = free
            else {
                self.findings.push(Finding::error(
                    &self.room.name,
                    &[],
                    "every corner is told to be coped the same way round, so that every board waits for another: let one corner go the other way.".to_owned(),
                ));
                return;
            };
            let gauge = corner.map_or(Angle::RIGHT, |corner| corner.gauge);
            let (right, left) = match coped {
                Side::Left => (self.over_profile(gauge), End::Square),
                Side::Right => (End::Square, self.over_profile(gauge)),
            };
            self.right[before] = Some(right);
            self.left[after] = Some(left);
            return;
        }
    }
}

/// Whether an end goes over a board that is on the wall already.
fn is_over(end: End) -> bool {
    matches!(end, End::Cope { .. } | End::Butt { .. })
}
