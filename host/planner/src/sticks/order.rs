//! The order of the pieces within one stick: neighbours with parallel ends together, short pieces while there is still
//! stick to hold. Which pieces share a stick is left to `fill`, `best_fit` and `search`.
//!
//! Pieces whose end lines are equal are interchangeable but for their lengths, and of those the shorter are cut first:
//! that leaves every line of the stick as near to the fresh end as it can be. So an order is a sequence of *groups*,
//! and the best one is found exactly by dynamic programming over how many of each group are cut and which group was cut
//! last: the sequencing of a machine with one state variable (Gilmore and Gomory 1964), small enough here to be done
//! state by state with the rule for short pieces in it. Sticks with too many different pieces for that are laid
//! greedily.

use super::along::{Front, Laid, Line};
use super::draft::takes;
use super::stock::Lot;

/// The most states that are looked at for one stick: twelve pieces of which no two are alike, or more where
/// some are.
const MOST_STATES: usize = 4096;

/// Whether a stick of this length can give these pieces in some order that is safe. Most sets are decided by what they
/// take together (see `wedges`); only those that fit or not by the last kerf or the hold are laid in order.
pub(super) fn fits(lot: &Lot, pieces: &[usize], length: i64) -> bool {
    let (mut bare, mut bare_short, mut safe_short, mut widest) = (0, 0, 0, lot.kerf);
    for piece in pieces.iter().map(|&piece| &lot.pieces[piece]) {
        bare += piece.bare();
        widest = widest.max(piece.kerf);
        if piece.short {
            bare_short += piece.bare();
            safe_short += piece.safe();
        }
    }
    let room = length - lot.trim;
    // the last of the short pieces comes off with all the others of them gone
    let held = bare_short == 0 || bare_short + lot.hold <= room;
    if bare - widest > room || !held {
        return false;
    }
    let Some(wedges) = lot.leans.wedges(pieces) else {
        return best_order(lot, pieces, length).is_some();
    };
    let taken = bare + wedges;
    if taken - widest > room {
        return false;
    }
    let few = || states(lot, pieces) <= MOST_STATES;
    // a short piece may ask for another order than the best
    let sure = match safe_short {
        0 => taken - lot.kerf <= room && few(),
        safe_short if lot.trim + safe_short + lot.hold > length => false,
        safe_short => {
            let safe: i64 = pieces.iter().map(|&piece| lot.pieces[piece].safe()).sum();
            // the short ones first, each with room for whatever lies beside it, then the others in their best order
            let others = || safe_short + takes_without_short(lot, pieces);
            safe - lot.kerf <= room || (others() - lot.kerf <= room && few())
        }
    };
    sure || best_order(lot, pieces, length).is_some()
}

/// What the pieces that are not short take in the order that wastes least.
fn takes_without_short(lot: &Lot, pieces: &[usize]) -> i64 {
    let others = pieces.iter().copied().filter(|&p| !lot.pieces[p].short);
    takes(lot, &others.collect::<Vec<_>>())
}

/// How many states the search for the best order has.
fn states(lot: &Lot, pieces: &[usize]) -> usize {
    // as many as there are sets of pieces at most
    match pieces.len() < MOST_STATES.ilog2() as usize {
        true => 1,
        false => group(lot, pieces).last().map_or(1, Group::states),
    }
}

/// Whether the piece may come off with the front at its far line.
pub(super) fn is_safe(front: &Front, piece: &Laid, length: i64, hold: i64) -> bool {
    !piece.short || front.rest(length) >= hold
}

/// The order that leaves most of a stick of this length, with the fewest cuts among those; none where no order that is
/// safe fits.
pub(super) fn best_order(lot: &Lot, pieces: &[usize], length: i64) -> Option<Vec<usize>> {
    let groups = group(lot, pieces);
    let states = groups.last()?.states();
    let pieces = match states <= MOST_STATES {
        true => Search::new(&groups, states, lot, length, Goal::Room).best()?,
        false => greedy(lot, &groups),
    };
    lies_safely(lot, &pieces, length).then_some(pieces)
}

/// An order in which the saw is set anew as seldom as can be and no more often than `most`, coming from a cut along
/// `from`; none where none was found that fits and is safe.
pub(super) fn steadiest_order(
    lot: &Lot,
    pieces: &[usize],
    length: i64,
    from: Option<Line>,
    most: u32,
) -> Option<Vec<usize>> {
    let groups = group(lot, pieces);
    let states = groups.last()?.states();
    let goal = Goal::Steady { from, most };
    let search = (states <= MOST_STATES).then(|| Search::new(&groups, states, lot, length, goal));
    let pieces = search?.best()?;
    lies_safely(lot, &pieces, length).then_some(pieces)
}

/// How often the saw is set anew for these pieces in this order, coming from a cut along `from`.
pub(super) fn changes(lot: &Lot, pieces: &[usize], from: Option<Line>) -> u32 {
    let (mut last, mut count) = (from, 0);
    for laid in pieces.iter().map(|&piece| &lot.pieces[piece]) {
        count += changes_for(laid, last);
        last = Some(laid.far);
    }
    count
}

fn changes_for(laid: &Laid, from: Option<Line>) -> u32 {
    u32::from(from.is_some_and(|line| line != laid.near)) + turn(laid)
}

/// Whether the pieces fit in this order, each safe as it comes off.
fn lies_safely(lot: &Lot, pieces: &[usize], length: i64) -> bool {
    let mut front = Front::fresh(lot.trim);
    pieces.iter().map(|&piece| &lot.pieces[piece]).all(|piece| {
        front = front.after(piece);
        front.farthest() <= length && is_safe(&front, piece, length, lot.hold)
    })
}

/// What an order is good for.
#[derive(Debug, Clone, Copy)]
enum Goal {
    /// To leave most of the stick, then to need the fewest cuts.
    Room,
    /// To set the saw anew most seldom, coming from a cut along a line, then to leave most of the stick.
    Steady {
        from: Option<Line>,
        /// Orders with more changes are not wanted.
        most: u32,
    },
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

impl Group {
    /// How many states there are where this is the last group.
    fn states(&self) -> usize {
        self.stride.saturating_mul(self.pieces.len() + 1)
    }
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
    /// How many cuts were made, or changes of the saw's setting.
    count: u32,
    /// The group cut before the last.
    before: usize,
}

/// Which pieces are cut.
struct State {
    number: usize,
    /// How many of each group.
    taken: Vec<usize>,
    /// How many of the others turn the saw.
    turns: u32,
}

impl State {
    fn none_cut(groups: &[Group]) -> State {
        let turns = groups
            .iter()
            .map(|g| g.pieces.len() as u32 * turn(&g.alike));
        State {
            number: 0,
            taken: vec![0; groups.len()],
            turns: turns.sum(),
        }
    }

    /// The state with the next number.
    fn advance(&mut self, groups: &[Group]) {
        self.number += 1;
        for (taken, group) in self.taken.iter_mut().zip(groups) {
            if *taken < group.pieces.len() {
                *taken += 1;
                self.turns -= turn(&group.alike);
                return;
            }
            self.turns += *taken as u32 * turn(&group.alike);
            *taken = 0;
        }
    }
}

/// Whether the saw is set anew between a piece's two cuts: one change, or none.
fn turn(piece: &Laid) -> u32 {
    u32::from(piece.near != piece.far)
}

const UNREACHED: Reached = Reached {
    back: i64::MAX,
    count: u32::MAX,
    before: usize::MAX,
};

/// The dynamic programme. A state's number is the sum of its counts times the groups' strides.
struct Search<'a> {
    groups: &'a [Group],
    states: usize,
    trim: i64,
    hold: i64,
    length: i64,
    goal: Goal,
    reached: Vec<Reached>,
}

impl<'a> Search<'a> {
    fn new(groups: &'a [Group], states: usize, lot: &Lot, length: i64, goal: Goal) -> Search<'a> {
        Search {
            groups,
            states,
            trim: lot.trim,
            hold: lot.hold,
            length,
            goal,
            reached: vec![UNREACHED; states * groups.len()],
        }
    }

    fn best(mut self) -> Option<Vec<usize>> {
        let mut state = State::none_cut(self.groups);
        for next in 0..self.groups.len() {
            self.extend(&state, next, usize::MAX, Front::fresh(self.trim), 0);
        }
        for _ in 1..self.states {
            state.advance(self.groups);
            for last in 0..self.groups.len() {
                let way = self.reached[state.number * self.groups.len() + last];
                if way.back == i64::MAX {
                    continue;
                }
                let front = self.front(way.back, last);
                for next in 0..self.groups.len() {
                    self.extend(&state, next, last, front, way.count);
                }
            }
        }
        let full = self.states - 1;
        let last = (0..self.groups.len())
            .filter_map(|last| {
                let way = self.reached[full * self.groups.len() + last];
                let front = (way.back < i64::MAX).then(|| self.front(way.back, last))?;
                let rest = front.rest(self.length).max(0);
                let key = self.key(-rest, way.count);
                (front.farthest() <= self.length).then_some((key, last))
            })
            .min()?
            .1;
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
    fn extend(&mut self, state: &State, next: usize, last: usize, front: Front, count: u32) {
        let (taken, turns) = (state.taken[next], state.turns);
        let group = &self.groups[next];
        let Some(&back) = group.backs.get(taken) else {
            return;
        };
        let piece = Laid {
            back,
            ..group.alike
        };
        let after = front.after(&piece);
        if after.farthest() > self.length || !is_safe(&after, &piece, self.length, self.hold) {
            return;
        }
        let before = self.groups.get(last).map(|group| group.alike.far);
        let count = count
            + match self.goal {
                Goal::Room => 2 - u32::from(before == Some(piece.near)),
                Goal::Steady { from, .. } => changes_for(&piece, before.or(from)),
            };
        // every piece still to be cut whose lines differ is a change
        if matches!(self.goal, Goal::Steady { most, .. } if count + turns - turn(&piece) > most) {
            return;
        }
        let key = self.key(after.back, count);
        let at = (state.number + group.stride) * self.groups.len() + next;
        let known = &self.reached[at];
        if (key, last) < (self.key(known.back, known.count), known.before) {
            self.reached[at] = Reached {
                back: after.back,
                count,
                before: last,
            };
        }
    }

    /// What is compared first, and what next.
    fn key(&self, used: i64, count: u32) -> (i64, i64) {
        match self.goal {
            Goal::Room => (used, i64::from(count)),
            Goal::Steady { .. } => (i64::from(count), used),
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
