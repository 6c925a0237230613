//! What comes out: pieces with both ends decided, the sticks they come from with every cut in order, what to buy, the
//! order of installing, and the findings. Writing it down is left to the host.

use shared_model::{
    Cautions, Figure, Length, Mark, PieceEnd, PieceId, Posture, SawCut, Side, SmallPiece, Unit,
    saw_cut,
};

use crate::finding::{Finding, any_error};
use crate::sticks::SticksPlan;
use crate::walk::{MouldingStock, Price, Saw};

/// A whole plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The level's name.
    pub level: String,
    /// The unit in which lengths are to be written.
    pub unit: Unit,
    /// The finest mark of the tape on which lengths are shown to people.
    pub mark: Mark,
    /// The saw it is planned for.
    pub saw: Saw,
    /// The mouldings, by the numbers that pieces and sticks use.
    pub mouldings: Vec<MouldingStock>,
    /// Every piece, in the order of rooms and walls.
    pub pieces: Vec<PlannedPiece>,
    /// Every stick, in the order in which they are cut.
    pub sticks: Vec<Stick>,
    /// What it costs and the least that it can cost.
    pub cost: Cost,
    /// No other sticks can give the pieces for less: the bound says so for every moulding.
    pub optimal: bool,
    /// The effort that it took, in whole steps: the same effort gives the same plan.
    pub effort: u32,
    /// So many things had been said at the saw when it was planned; 0: nothing was cut.
    pub after: usize,
    /// How often the saw is set anew.
    pub settings: Settings,
    /// Room by room, the pieces in the order in which they go on the wall.
    pub install: Vec<RoomOrder>,
    /// What was found, errors first.
    pub findings: Vec<Finding>,
}

impl Plan {
    /// Whether there is an error among the findings.
    pub fn has_errors(&self) -> bool {
        any_error(&self.findings)
    }

    /// The pieces that were cut before, and stay cut.
    pub fn finished(&self) -> impl Iterator<Item = &PlannedPiece> {
        self.pieces.iter().filter(|piece| piece.finished)
    }

    /// The pieces that are to be cut and have no stick.
    pub fn left_out(&self) -> impl Iterator<Item = &PlannedPiece> {
        let pieces = self.pieces.iter();
        pieces.filter(|piece| piece.cut.is_none() && !piece.finished)
    }

    /// What to buy: moulding, length and count, in the order of mouldings and longest first.
    pub fn buy(&self) -> Vec<Purchase> {
        let mut list: Vec<Purchase> = Vec::new();
        for stick in self.sticks.iter().filter(|stick| !stick.from_offcut) {
            let same = |p: &&mut Purchase| (p.moulding, p.length) == (stick.moulding, stick.length);
            match list.iter_mut().find(same) {
                Some(purchase) => purchase.count += 1,
                None => list.push(Purchase {
                    moulding: stick.moulding,
                    length: stick.length,
                    count: 1,
                }),
            }
        }
        list.sort_by_key(|p| (p.moulding, -i64::from(p.length.units())));
        list
    }
}

/// A piece with both ends decided.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedPiece {
    /// Its number for life.
    pub id: PieceId,
    /// The room's name.
    pub room: String,
    /// The wall's number in its room, from 1, where there is one.
    pub wall: Option<u32>,
    /// Which part of the wall, from 1 at its installed left end; 0 for a small piece at the wall's end.
    pub part: u32,
    /// How many parts the wall has; 0 for a small piece at its end.
    pub parts: u32,
    /// The moulding, as a place in [`Plan::mouldings`].
    pub moulding: usize,
    /// Along the back.
    pub length: Length,
    /// The installed left end.
    pub left: PieceEnd,
    /// The installed right end.
    pub right: PieceEnd,
    /// What to mind while cutting it.
    pub cautions: Cautions,
    /// Where it is cut; none where no stick can give it, or where it is finished.
    pub cut: Option<CutPlace>,
    /// It was cut by an earlier plan, and stays cut.
    pub finished: bool,
}

impl PlannedPiece {
    /// The end at an installed side.
    pub const fn end(&self, installed: Side) -> PieceEnd {
        match installed {
            Side::Left => self.left,
            Side::Right => self.right,
        }
    }

    /// What is set at the saw for the end at an installed side.
    pub fn saw_cut(&self, installed: Side, moulding: &MouldingStock, saw: &Saw) -> SawCut {
        let end = self.end(installed);
        saw_cut(
            end.end,
            installed,
            end.posture,
            moulding.plain_part(),
            &saw.head(),
        )
    }

    /// The small piece that it is, if it is no part of a wall's board.
    pub fn small(&self) -> Option<SmallPiece> {
        SmallPiece::of(u8::from(self.part > 0), self.left.end, self.right.end)
    }

    /// The figure to mark on the board.
    pub fn figure(&self, moulding: &MouldingStock) -> Figure {
        Figure::of(
            self.length,
            self.left.end,
            self.right.end,
            moulding.thickness,
        )
    }
}

/// Where in the plan a piece is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CutPlace {
    /// The stick's number, from 1.
    pub stick: u32,
    /// Its place in the whole list, from 1.
    pub order: u32,
    /// The installed end that is cut first: the one at the stick's fresh end.
    pub first: Side,
    /// That end is made by the cut which takes off the piece before it on the stick.
    pub shared: bool,
}

/// A stick and what is cut from it.
#[derive(Debug, Clone, PartialEq)]
pub struct Stick {
    /// Its number: from 1 in the order in which sticks are cut; in a plan of what is left, the one that it has for life.
    pub number: u32,
    /// The moulding, as a place in [`Plan::mouldings`].
    pub moulding: usize,
    /// How long it is.
    pub length: Length,
    /// It is an offcut in hand.
    pub from_offcut: bool,
    /// Its pieces, as places in [`Plan::pieces`], in the order in which they are cut.
    pub pieces: Vec<usize>,
    /// Every full-depth cut in order.
    pub cuts: Vec<StickCut>,
    /// What is left after the last cut, at its shorter arris.
    pub leftover: Length,
}

/// One full-depth cut through a stick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StickCut {
    /// How the board rides.
    pub posture: Posture,
    /// The ends that it makes: two where one cut serves both neighbours.
    pub ends: Vec<CutEnd>,
}

/// An end of a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CutEnd {
    /// The piece, as a place in [`Plan::pieces`].
    pub piece: usize,
    /// Which of its ends, as installed.
    pub installed: Side,
}

/// How often the saw is set anew on the way through the whole list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Settings {
    /// In the plan's order.
    pub changes: u32,
    /// In the order that was found to set it most seldom: less where pieces were asked for room by room.
    pub steady: u32,
    /// For the same sticks, with the pieces of each as the list has them.
    pub as_listed: u32,
}

impl Settings {
    /// Adds a moulding's.
    pub(crate) fn add(&mut self, planned: &SticksPlan) {
        self.changes += planned.changes;
        self.steady += planned.other_changes.steady;
        self.as_listed += planned.other_changes.as_listed;
    }
}

/// What a plan costs: in money where a moulding has prices (one without adds nothing), else by length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cost {
    /// In ten-thousandths of the money's unit.
    Priced {
        /// What the sticks cost.
        cost: Price,
        /// What any plan must cost at least.
        bound: Price,
    },
    /// By length bought.
    ByLength {
        /// The length of all sticks bought, in units of [`Length`].
        cost: i64,
        /// What any plan must buy at least, in units of [`Length`].
        bound: i64,
    },
}

/// One line of the buy list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Purchase {
    /// The moulding, as a place in [`Plan::mouldings`].
    pub moulding: usize,
    /// How long.
    pub length: Length,
    /// How many.
    pub count: u32,
}

/// The order of installing in one room.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RoomOrder {
    /// The room's name.
    pub room: String,
    /// Its pieces, as places in [`Plan::pieces`], first on the wall first.
    pub order: Vec<usize>,
}
