//! The order of the sticks, and of the pieces in each, so that the saw is set anew as seldom as may be: from each stick the
//! next is the one that can be cut with the fewest changes from where the saw stands (nearest neighbour). Where pieces
//! are to come room by room, the sticks go by the rooms of their pieces instead. Which pieces share a stick is settled
//! before; the stick with the longest leftover keeps the order that leaves most.

use super::along::Line;
use super::draft::{Draft, Taken};
use super::order::{best_order, changes, steadiest_order};
use super::stock::{Kind, Lot};

/// A stick and its pieces in the order in which they are cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Ordered {
    pub kind: Kind,
    pub places: Vec<usize>,
}

/// A list of sticks and how often the saw is set anew on the way through it.
pub(super) struct Sequence {
    pub sticks: Vec<Ordered>,
    pub changes: u32,
}

/// The sticks of a plan one after another, offcuts first. Every piece of `rooms` has its room's number where pieces are
/// to come room by room; else it is empty.
pub(super) fn sequence(lot: &Lot, draft: &Draft, rooms: &[usize]) -> Sequence {
    let longest = (0..draft.sticks.len()).max_by_key(|&at| draft.sticks[at].spare(lot));
    let mut waiting: Vec<Waiting> = (draft.sticks.iter().enumerate())
        .filter_map(|(at, stick)| {
            Some(Waiting {
                stick,
                best: best_order(lot, &stick.pieces, lot.kinds[stick.kind].length)?,
                keeps: Some(at) == longest,
            })
        })
        .collect();
    waiting.sort_by_key(|w| {
        (
            !lot.kinds[w.stick.kind].offcut,
            w.stick.pieces.iter().min().copied(),
        )
    });
    if !rooms.is_empty() {
        waiting.sort_by_key(|w| {
            let mut of: Vec<usize> = w.stick.pieces.iter().map(|&p| rooms[p]).collect();
            of.sort_unstable();
            of[of.len() / 2]
        });
    }
    let mut done = Sequence {
        sticks: Vec::new(),
        changes: 0,
    };
    let mut line: Option<Line> = None;
    while !waiting.is_empty() {
        let offcut = lot.kinds[waiting[0].stick.kind].offcut;
        let first = |w: &&Waiting| lot.kinds[w.stick.kind].offcut == offcut;
        // room by room the next is given
        let most = if rooms.is_empty() { waiting.len() } else { 1 };
        let choices = waiting.iter().take(most).filter(first).enumerate();
        let orders = choices.map(|(at, w)| {
            let order = w.order(lot, line);
            (changes(lot, &order, line), at, order)
        });
        let Some((count, at, places)) = orders.min_by_key(|(count, at, _)| (*count, *at)) else {
            break;
        };
        line = places.last().map(|&piece| lot.pieces[piece].far);
        done.changes += count;
        done.sticks.push(Ordered {
            kind: lot.kinds[waiting.remove(at).stick.kind],
            places,
        });
    }
    done
}

/// A stick that is not in the list yet.
struct Waiting<'a> {
    stick: &'a Taken,
    /// Its pieces in the order that leaves most.
    best: Vec<usize>,
    /// It keeps that order.
    keeps: bool,
}

impl Waiting<'_> {
    /// Its pieces in the order in which they are cut after a cut along a line.
    fn order(&self, lot: &Lot, line: Option<Line>) -> Vec<usize> {
        let length = lot.kinds[self.stick.kind].length;
        let steady = match self.keeps {
            true => None,
            false => steadiest_order(lot, &self.stick.pieces, length, line),
        };
        match steady {
            Some(order) if changes(lot, &order, line) < changes(lot, &self.best, line) => order,
            _ => self.best.clone(),
        }
    }
}

/// How often the saw is set anew if the sticks are cut in this order and the pieces of each as the list has them, whether
/// or not they fit so: what the order is worth is measured against it.
pub(super) fn changes_as_listed(lot: &Lot, sequence: &Sequence) -> u32 {
    let (mut line, mut count) = (None, 0);
    for stick in &sequence.sticks {
        let mut places = stick.places.clone();
        places.sort_unstable();
        count += changes(lot, &places, line);
        line = places.last().map(|&piece| lot.pieces[piece].far);
    }
    count
}
