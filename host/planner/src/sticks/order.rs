//! The order of the pieces within one stick: neighbours with parallel ends together, short pieces while there is still
//! stick to hold. Which pieces share a stick is left to `fill`, `best_fit` and `search`.
//!
//! Pieces whose end lines are equal are interchangeable but for their lengths, and of those the shorter are cut first:
//! that leaves every line of the stick as near to the fresh end as it can be. So an order is a sequence of *groups*,
//! and the best one is found exactly by dynamic programming over how many of each group are cut and which group was cut
//! last: the sequencing of a machine with one state variable (Gilmore and Gomory 1964), small enough here to be done
//! state by state with the rule for short pieces in it. Sticks with too many different pieces for that are laid
//! greedily.

use super::LEAST_HOLD;
use super::along::{Front, Laid};
use super::stock::Lot;

/// The most states that are looked at for one stick: nine pieces of which no two are alike, or more where
/// some are.
const MOST_STATES: usize = 512;

/// Whether a stick of this length can give these pieces in some order that is safe.
pub(super) fn fits(lot: &Lot, pieces: &[usize], length: i64) -> bool {
    let (mut back, mut face, mut safe, mut safe_short) = (0, 0, 0, 0);
    for piece in pieces.iter().map(|&piece| &lot.pieces[piece]) {
        back += piece.back + lot.kerf;
        face += piece.face() + lot.kerf;
        safe += piece.safe();
        safe_short += if piece.short { piece.safe() } else { 0 };
    }
    // the last kerf may run off the stick's end; none is thinner than a square cut's
    let room = length - lot.trim + lot.kerf;
    if back.max(face) > room {
        return false;
    }
    let short_ones_first =
        safe_short == 0 || lot.trim + safe_short + i64::from(LEAST_HOLD.units()) <= length;
    (safe <= room && short_ones_first) || best_order(lot, pieces, length).is_some()
}

/// Whether the piece may come off with the front at its far line.
pub(super) fn is_safe(front: &Front, piece: &Laid, length: i64) -> bool {
    !piece.short || front.rest(length) >= i64::from(LEAST_HOLD.units())
}

/// The order that leaves most of a stick of this length, with the fewest cuts among those; none where no order that is
/// safe fits.
pub(super) fn best_order(lot: &Lot, pieces: &[usize], length: i64) -> Option<Vec<usize>> {
    let groups = group(lot, pieces);
    let last = groups.last()?;
    let states = last.stride.saturating_mul(last.pieces.len() + 1);
    let pieces = match states <= MOST_STATES {
        true => Search::new(&groups, states, lot.trim, length).best()?,
        false => greedy(lot, &groups),
    };
    let mut front = Front::fresh(lot.trim);
    for piece in pieces.iter().map(|&piece| &lot.pieces[piece]) {
        front = front.after(piece);
        if front.farthest() > length || !is_safe(&front, piece, length) {
            return None;
        }
    }
    Some(pieces)
}

/// Pieces that are alike in all but length.
struct Group {
    /// Shortest first.
    pieces: Vec<usize>,
    /// How far each reaches along the back.
    backs: Vec<i64>,
    alike: Laid,
    /// What one more of this group adds to a state's number.
    stride: usize,
}

fn group(lot: &Lot, pieces: &[usize]) -> Vec<Group> {
    let mut sorted = pieces.to_vec();
    sorted.sort_unstable_by_key(|&piece| (lot.pieces[piece].back, piece));
    let mut groups: Vec<Group> = Vec::new();
    for piece in sorted {
        let laid = lot.pieces[piece];
        let same = |group: &&mut Group| {
            let alike = &group.alike;
            (alike.near, alike.far, alike.short) == (laid.near, laid.far, laid.short)
        };
        match groups.iter_mut().find(same) {
            Some(group) => {
                group.pieces.push(piece);
                group.backs.push(laid.back);
            }
            None => groups.push(Group {
                pieces: vec![piece],
                backs: vec![laid.back],
                alike: laid,
                stride: 0,
            }),
        }
    }
    let mut stride: usize = 1;
    for group in &mut groups {
        group.stride = stride;
        stride = stride.saturating_mul(group.pieces.len() + 1);
    }
    groups
}

/// The best way known to a state with a certain group last.
#[derive(Clone, Copy)]
struct Reached {
    /// Where the last far line lies on the back: the nearer the better for all that may follow.
    back: i64,
    /// How many cuts were made.
    cuts: u32,
    /// The group cut before the last.
    before: usize,
}

const UNREACHED: Reached = Reached {
    back: i64::MAX,
    cuts: u32::MAX,
    before: usize::MAX,
};

/// The dynamic programme. A state's number is the sum of its counts times the groups' strides.
struct Search<'a> {
    groups: &'a [Group],
    states: usize,
    trim: i64,
    length: i64,
    reached: Vec<Reached>,
}

impl<'a> Search<'a> {
    fn new(groups: &'a [Group], states: usize, trim: i64, length: i64) -> Search<'a> {
        Search {
            groups,
            states,
            trim,
            length,
            reached: vec![UNREACHED; states * groups.len()],
        }
    }

    fn best(mut self) -> Option<Vec<usize>> {
        for next in 0..self.groups.len() {
            self.extend(0, next, usize::MAX, Front::fresh(self.trim), 0, false);
        }
        for state in 1..self.states {
            for last in 0..self.groups.len() {
                let way = self.reached[state * self.groups.len() + last];
                if way.back == i64::MAX {
                    continue;
                }
                let laid = &self.groups[last].alike;
                let front = Front::at(way.back, laid);
                for next in 0..self.groups.len() {
                    let shared = laid.far == self.groups[next].alike.near;
                    self.extend(state, next, last, front, way.cuts, shared);
                }
            }
        }
        let full = self.states - 1;
        let last = (0..self.groups.len())
            .filter_map(|last| {
                let way = self.reached[full * self.groups.len() + last];
                let front = (way.back < i64::MAX).then(|| self.front(way.back, last))?;
                let rest = front.rest(self.length).max(0);
                (front.farthest() <= self.length).then_some((-rest, way.cuts, last))
            })
            .min()?
            .2;
        Some(self.trace(full, last))
    }

    fn front(&self, back: i64, last: usize) -> Front {
        Front::at(back, &self.groups[last].alike)
    }

    /// How many of a group are cut in a state.
    fn count(&self, state: usize, group: usize) -> usize {
        let group = &self.groups[group];
        state / group.stride % (group.pieces.len() + 1)
    }

    /// Cuts one of the group `next` after a state, if there is one left and it may come off there.
    fn extend(
        &mut self,
        state: usize,
        next: usize,
        last: usize,
        front: Front,
        cuts: u32,
        shared: bool,
    ) {
        let count = self.count(state, next);
        let group = &self.groups[next];
        let Some(&back) = group.backs.get(count) else {
            return;
        };
        let piece = Laid {
            back,
            ..group.alike
        };
        let after = front.after(&piece);
        if after.farthest() > self.length || !is_safe(&after, &piece, self.length) {
            return;
        }
        let cuts = cuts + if shared { 1 } else { 2 };
        let known = &mut self.reached[(state + group.stride) * self.groups.len() + next];
        if (after.back, cuts, last) < (known.back, known.cuts, known.before) {
            *known = Reached {
                back: after.back,
                cuts,
                before: last,
            };
        }
    }

    /// The way to a state, read backwards.
    fn trace(&self, mut state: usize, mut last: usize) -> Vec<usize> {
        let mut pieces = Vec::new();
        while state > 0 {
            let group = &self.groups[last];
            pieces.push(group.pieces[self.count(state, last) - 1]);
            let before = self.reached[state * self.groups.len() + last].before;
            state -= group.stride;
            last = before;
        }
        pieces.reverse();
        pieces
    }
}

/// Short pieces first, each time a piece whose near line lies closest to the line before it.
fn greedy(lot: &Lot, groups: &[Group]) -> Vec<usize> {
    let mut pieces = Vec::new();
    let mut cut = vec![0; groups.len()];
    let (mut line, mut lean) = (None, 0);
    loop {
        let open = (0..groups.len()).filter(|&g| cut[g] < groups[g].pieces.len());
        let next = open.min_by_key(|&g| {
            let near = groups[g].alike.near;
            let apart = (near.lean - lean).abs();
            (!groups[g].alike.short, apart, Some(near) != line, g)
        });
        let Some(next) = next else { break };
        let piece = groups[next].pieces[cut[next]];
        cut[next] += 1;
        let far = lot.pieces[piece].far;
        (line, lean) = (Some(far), far.lean);
        pieces.push(piece);
    }
    pieces
}
