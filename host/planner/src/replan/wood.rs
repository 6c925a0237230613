//! The sticks themselves through all lists of a level: which stick of which list each of them is, what came off it and what
//! is left. What was said of pieces is left to `said`, what is planned from it to the parent.

use std::collections::BTreeMap;

use shared_model::{Length, Piece, Side, What};

use super::said::Said;
use super::{Heard, History};
use crate::saw_list::SawSheet;
use crate::sticks::{Blank, left_after};
use crate::walk::{MouldingStock, Saw};

/// What is in hand of a moulding: one stick or offcut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct InHand {
    pub length: Length,
    /// Its number, unless no list has named it yet.
    pub number: Option<u16>,
}

/// Every stick that the lists of a level name.
#[derive(Debug, Clone)]
pub(super) struct Wood {
    sticks: Vec<OneStick>,
    /// By a list's digest and its number there.
    which: BTreeMap<(u32, u16), usize>,
}

/// One stick of wood. Once something was said at the saw it keeps its number in every list that is made after that.
#[derive(Debug, Clone)]
struct OneStick {
    number: u16,
    moulding: String,
    thickness: Length,
    length: Length,
    /// It was an offcut in the file; else it was bought.
    from_file: bool,
    /// What came off it, each with the digest of its list.
    cut: Vec<(u32, Piece)>,
    bad: bool,
    /// The list that named it gave way before anything was said at the saw: it counts as bought only if it was begun.
    given_up: bool,
}

impl OneStick {
    /// It is or was there.
    fn counts(&self) -> bool {
        !self.given_up || !self.cut.is_empty()
    }

    /// What is left of it once these came off too; none where they are longer than it.
    fn left(&self, saw: &Saw, more: &[(u32, Piece)]) -> Option<Length> {
        let cut: Vec<(u32, Piece)> = self.cut.iter().chain(more).copied().collect();
        let mut length = self.length;
        // each list trims what it has in hand anew
        for by_one_list in cut.chunk_by(|a, b| a.0 == b.0) {
            let laid = by_one_list.iter().map(|(_, piece)| blank(piece));
            let left = left_after(length, self.thickness, saw, laid)?;
            length = Length::from_units(i32::try_from(left.max(0)).unwrap_or(i32::MAX));
        }
        Some(length)
    }

    fn left_now(&self, saw: &Saw) -> Length {
        self.left(saw, &[]).unwrap_or(Length::ZERO)
    }
}

impl Wood {
    /// Follows the sticks through the lists and the events between them.
    pub fn of(history: &History) -> Wood {
        let mut wood = Wood {
            sticks: Vec::new(),
            which: BTreeMap::new(),
        };
        for (number, list) in history.lists.iter().enumerate() {
            let known: Vec<Heard> = history.known_to(number).collect();
            wood.hear(&history.lists, &known);
            if known.is_empty() {
                wood.sticks
                    .iter_mut()
                    .for_each(|stick| stick.given_up = true);
            }
            wood.take_list(list, !known.is_empty());
        }
        wood.hear(&history.lists, &history.events);
        wood
    }

    /// Says anew what came off every stick, and which are bad.
    fn hear(&mut self, lists: &[SawSheet], events: &[Heard]) {
        for stick in &mut self.sticks {
            stick.cut.clear();
            stick.bad = false;
        }
        for cut in Said::of(events.iter()).cuts() {
            let list = lists.iter().find(|list| list.head.digest == cut.list);
            let piece = list.and_then(|list| list.pieces.iter().find(|p| p.id == cut.piece));
            if let Some(piece) = piece
                && let Some(stick) = self.stick_mut(cut.list, piece.stick)
            {
                stick.cut.push((cut.list, *piece));
            }
        }
        for heard in events {
            let (list, stick, bad) = match heard.event.what {
                What::BadStick { list, stick } => (list, stick, true),
                What::StickKept { list, stick } => (list, stick, false),
                _ => continue,
            };
            if let Some(stick) = self.stick_mut(list, stick) {
                stick.bad = bad;
            }
        }
    }

    /// Finds every stick of a list: one in hand that was there already has its number; the others are new.
    fn take_list(&mut self, list: &SawSheet, begun: bool) {
        let digest = list.head.digest;
        for piece in &list.pieces {
            let Some(moulding) = list.head.mouldings.get(usize::from(piece.moulding)) else {
                continue;
            };
            if self.which.contains_key(&(digest, piece.stick)) {
                continue;
            }
            let there = self.sticks.iter().position(|stick| {
                begun
                    && piece.from_offcut
                    && stick.number == piece.stick
                    && stick.moulding == moulding.name.as_str()
                    && stick.counts()
            });
            let at = there.unwrap_or_else(|| {
                self.sticks.push(OneStick {
                    number: piece.stick,
                    moulding: moulding.name.to_string(),
                    thickness: moulding.thickness,
                    length: piece.stick_length,
                    from_file: piece.from_offcut,
                    cut: Vec::new(),
                    bad: false,
                    given_up: false,
                });
                self.sticks.len() - 1
            });
            self.which.insert((digest, piece.stick), at);
        }
    }

    /// What is in hand of a moulding: offcuts of the file that no list has taken, sticks not begun, and what is left of
    /// those that are.
    pub fn in_hand(&self, stock: &MouldingStock, saw: &Saw) -> Vec<InHand> {
        let mut offcuts = stock.offcuts.clone();
        for stick in self.of_moulding(stock).filter(|stick| stick.from_file) {
            if let Some(at) = offcuts.iter().position(|&length| length == stick.length) {
                offcuts.remove(at);
            }
        }
        let good = self.of_moulding(stock).filter(|stick| !stick.bad);
        let left = good.map(|stick| InHand {
            length: stick.left_now(saw),
            number: Some(stick.number),
        });
        let offcuts = offcuts.into_iter().map(|length| InHand {
            length,
            number: None,
        });
        let all = offcuts.chain(left);
        all.filter(|in_hand| in_hand.length > Length::ZERO)
            .collect()
    }

    /// A number that no stick has yet, nor any after it.
    pub fn next_number(&self) -> u32 {
        let numbers = self.sticks.iter().map(|stick| u32::from(stick.number));
        numbers.max().unwrap_or(0) + 1
    }

    /// The lengths of the sticks that were bought.
    pub fn bought(&self, stock: &MouldingStock) -> Vec<Length> {
        let bought = self.of_moulding(stock).filter(|stick| !stick.from_file);
        bought.map(|stick| stick.length).collect()
    }

    /// Whether a stick of a list is good and still gives these pieces, in this order.
    pub fn gives(&self, list: u32, stick: u16, pieces: &[Piece], saw: &Saw) -> bool {
        let more: Vec<(u32, Piece)> = pieces.iter().map(|piece| (list, *piece)).collect();
        let stick = self.which.get(&(list, stick)).map(|&at| &self.sticks[at]);
        stick.is_some_and(|stick| !stick.bad && stick.left(saw, &more).is_some())
    }

    fn of_moulding(&self, stock: &MouldingStock) -> impl Iterator<Item = &OneStick> {
        let there = self.sticks.iter().filter(|stick| stick.counts());
        there.filter(|stick| stick.moulding == stock.name)
    }

    fn stick_mut(&mut self, list: u32, stick: u16) -> Option<&mut OneStick> {
        let at = self.which.get(&(list, stick))?;
        self.sticks.get_mut(*at)
    }
}

fn blank(piece: &Piece) -> (Blank, Side) {
    let blank = Blank {
        piece: 0,
        length: piece.length,
        left: piece.left,
        right: piece.right,
    };
    (blank, piece.first)
}
