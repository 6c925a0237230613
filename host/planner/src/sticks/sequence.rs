//! The order of the sticks, and of the pieces in each, so that the saw is set anew as seldom as may be: from each stick the
//! next is the one that can be cut with the fewest changes from where the saw stands (nearest neighbour). Where pieces
//! are to come room by room, the sticks go by the rooms of their pieces instead. Which pieces share a stick is settled
//! before; the stick with the longest leftover keeps the order that leaves most.

use super::along::Line;
use super::draft::{Draft, Taken};
use super::order::{best_order, changes, steadiest_order};
use super::stock::{Kind, Lot};
use super::trails::least_changes;

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
                known: Vec::new(),
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
        // room by room the next is given
        let most = if rooms.is_empty() { waiting.len() } else { 1 };
        let choices = waiting.iter().take(most);
        // offcuts come first
        let choices = choices.take_while(|w| lot.kinds[w.stick.kind].offcut == offcut);
        let choices = choices.count();
        let Some((count, at)) = nearest(lot, &mut waiting[..choices], line) else {
            break;
        };
        let places = waiting[at].order(lot, line).1.clone();
        line = places.last().map(|&piece| lot.pieces[piece].far);
        done.changes += count;
        done.sticks.push(Ordered {
            kind: lot.kinds[waiting.remove(at).stick.kind],
            places,
        });
    }
    done
}

/// The first of the sticks that can be cut with the fewest changes after a cut along a line, after how many. Orders are
/// looked for only where the least that is possible may be fewer than what is known.
fn nearest(lot: &Lot, waiting: &mut [Waiting], line: Option<Line>) -> Option<(u32, usize)> {
    let mut next: Option<(u32, usize)> = None;
    let mut level = Some(0);
    while let Some(least) = level.filter(|&least| next.is_none_or(|(count, _)| least <= count)) {
        level = None;
        for (at, waiting) in waiting.iter_mut().enumerate() {
            let possible = waiting.after(lot, line).least;
            if possible > least {
                level = Some(level.map_or(possible, |level: u32| level.min(possible)));
            }
            if possible == least && next.is_none_or(|next| (least, at) < next) {
                let way = (waiting.order(lot, line).0, at);
                next = Some(next.map_or(way, |next| next.min(way)));
            }
        }
    }
    next
}

/// A stick that is not in the list yet.
struct Waiting<'a> {
    stick: &'a Taken,
    /// Its pieces in the order that leaves most.
    best: Vec<usize>,
    /// It keeps that order.
    keeps: bool,
    /// What was asked before: there are few lines to come from, and many sticks to come to.
    known: Vec<After>,
}

/// A stick as it can be cut after a cut along a line.
struct After {
    line: Option<Line>,
    /// The fewest changes of the saw's setting that are possible, whether or not the pieces fit so.
    least: u32,
    /// Its order and the changes in it, once they are known.
    order: Option<(u32, Vec<usize>)>,
}

impl Waiting<'_> {
    /// What is known of it after a cut along a line.
    fn after(&mut self, lot: &Lot, line: Option<Line>) -> &mut After {
        let known = self.known.iter().position(|known| known.line == line);
        let at = known.unwrap_or_else(|| {
            self.known.push(After {
                line,
                least: least_changes(lot, &self.stick.pieces, line),
                order: None,
            });
            self.known.len() - 1
        });
        &mut self.known[at]
    }

    /// How often the saw is set anew for its pieces after a cut along a line, and the order in which they are cut then.
    fn order(&mut self, lot: &Lot, line: Option<Line>) -> &(u32, Vec<usize>) {
        let After { least, order, .. } = self.after(lot, line);
        let (least, known) = (*least, order.take());
        let found = known.unwrap_or_else(|| self.find_order(lot, line, least));
        self.after(lot, line).order.insert(found)
    }

    fn find_order(&self, lot: &Lot, line: Option<Line>, least: u32) -> (u32, Vec<usize>) {
        let count = changes(lot, &self.best, line);
        if self.keeps || count == least {
            return (count, self.best.clone());
        }
        let length = lot.kinds[self.stick.kind].length;
        // mostly it can be done with the least that is possible, and that is soon found
        let fewer = [least, count - 1].into_iter().find_map(|most| {
            let order = steadiest_order(lot, &self.stick.pieces, length, line, most)?;
            Some((changes(lot, &order, line), order))
        });
        fewer.unwrap_or_else(|| (count, self.best.clone()))
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
