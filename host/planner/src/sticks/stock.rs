//! The sticks that there are, and the pieces to be cut from them: what every part of the stick planner works on. How
//! they are used is left to the others.

use shared_model::{Angle, Length};

use super::along::{Laid, kerf_along};
use super::order::fits;
use super::wedges::Leans;
use crate::walk::{MouldingStock, Saw};

/// Sticks of one length that cost the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Kind {
    /// How long, in units of [`Length`].
    pub length: i64,
    /// What one costs; 0 for an offcut.
    pub cost: i64,
    /// How many there are; never more than there are pieces.
    pub count: u32,
    /// They are offcuts in hand.
    pub offcut: bool,
}

/// The pieces of one moulding and the sticks for them.
#[derive(Debug, Clone)]
pub(super) struct Lot {
    /// The pieces.
    pub pieces: Vec<Laid>,
    /// The sticks: offcuts first, shortest first, then those to be bought, longest first.
    pub kinds: Vec<Kind>,
    /// What is lost at a fresh end.
    pub trim: i64,
    /// What a square cut takes.
    pub kerf: i64,
    /// What the widest cut takes.
    pub widest_kerf: i64,
    /// What must remain of a stick as a short piece comes off.
    pub hold: i64,
    /// How the ends lean, for the wedges between them.
    pub leans: Leans,
}

impl Lot {
    /// The lot of one moulding. Cost goes by price where every kind of stick has one, else by length; a
    /// price below nothing counts as nothing.
    pub fn of(moulding: &MouldingStock, saw: &Saw, pieces: Vec<Laid>) -> Lot {
        let most = u32::try_from(pieces.len()).unwrap_or(u32::MAX);
        let priced = moulding.sticks.iter().all(|kind| kind.price.is_some());
        let mut kinds: Vec<Kind> = Vec::new();
        for &offcut in &moulding.offcuts {
            let length = i64::from(offcut.units());
            match kinds.iter_mut().find(|kind| kind.length == length) {
                Some(kind) => kind.count = most.min(kind.count + 1),
                None => kinds.push(Kind {
                    length,
                    cost: 0,
                    count: most.min(1),
                    offcut: true,
                }),
            }
        }
        kinds.sort_by_key(|kind| kind.length);
        let offcuts = kinds.len();
        kinds.extend(moulding.sticks.iter().map(|kind| {
            let length = i64::from(kind.length.units());
            Kind {
                length,
                cost: match kind.price {
                    Some(price) if priced => price.0.max(0),
                    _ => length,
                },
                count: kind.count.map_or(most, |count| count.min(most)),
                offcut: false,
            }
        }));
        kinds[offcuts..].sort_by_key(|kind| (-kind.length, kind.cost));
        let kerf = kerf_along(saw.kerf.max(Length::ZERO), Angle::ZERO);
        Lot {
            leans: Leans::of(&pieces),
            widest_kerf: pieces.iter().map(|piece| piece.kerf).fold(kerf, i64::max),
            pieces,
            kinds,
            trim: i64::from(saw.end_trim.units().max(0)),
            kerf,
            hold: i64::from(saw.hold.least_hold.units()),
        }
    }

    /// Whether a stick of this kind can give the piece if nothing else is cut from it.
    pub fn holds_alone(&self, kind: &Kind, piece: usize) -> bool {
        self.pieces[piece].alone(self.trim) <= kind.length
    }

    /// Whether there are so many sticks of a kind, each of which can give the piece alone, that none of the others can take
    /// the last one.
    pub fn has_plenty(&self, piece: usize) -> bool {
        let as_many = |kind: &&Kind| kind.count as usize >= self.pieces.len();
        let mut kinds = self.kinds.iter().filter(as_many);
        self.pieces[piece].exists() && kinds.any(|kind| fits(self, &[piece], kind.length))
    }

    /// What the pieces of a stick may take together with their kerfs if the last kerf is a square cut's: it may run off
    /// the stick's end.
    pub fn room(&self, kind: usize) -> i64 {
        self.kinds[kind].length - self.trim + self.kerf
    }

    /// Whether any stick can give the piece.
    pub fn can_give(&self, piece: usize) -> bool {
        let mut kinds = self.kinds.iter().filter(|kind| kind.count > 0);
        self.pieces[piece].exists() && kinds.any(|kind| self.holds_alone(kind, piece))
    }
}
