//! What is to be seen before a list is begun: who decides, what to protect, a test cut of each joint in it, and what to
//! measure on those. The words are left to the screen, the figures to the saw view.

use shared_model::{Angle, Joint, Mark, SawList, Side};

/// One of the cards that are leafed through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Card {
    /// Who decides, and what to protect.
    Decide,
    /// Where hands never go.
    Hands,
    /// A test cut in scrap of this joint.
    TestCut(Joint),
    /// Which side of 45 the saw is, by a pair of miters on a square.
    MiterLook,
    /// How far from 45 it is.
    MiterFigure,
    /// How wide the kerf is.
    Kerf,
}

/// The joints that are tested in scrap, in the order of their cards.
const TESTED: [Joint; 3] = [Joint::Cope, Joint::OutsideMiter, Joint::Scarf];

const CARDS: [Card; 8] = [
    Card::Decide,
    Card::Hands,
    Card::TestCut(TESTED[0]),
    Card::TestCut(TESTED[1]),
    Card::TestCut(TESTED[2]),
    Card::MiterLook,
    Card::MiterFigure,
    Card::Kerf,
];

/// What a list asks of its cards: its tape, and the joints in it as far as they are tested.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Work {
    mark: Mark,
    found: [bool; TESTED.len()],
}

impl Work {
    /// The work of this list.
    pub fn of(list: &impl SawList) -> Work {
        Work {
            mark: list.head().mark,
            found: TESTED.map(|joint| sample(list, joint).is_some()),
        }
    }

    /// The list's own tape.
    pub fn mark(self) -> Mark {
        self.mark
    }

    /// Its cards, in order: those of joints that do not occur are left out.
    pub fn cards(self) -> impl Iterator<Item = Card> {
        CARDS.into_iter().filter(move |card| match card {
            Card::TestCut(joint) => self.has(*joint),
            Card::MiterLook | Card::MiterFigure => self.has(Joint::OutsideMiter),
            Card::Decide | Card::Hands | Card::Kerf => true,
        })
    }

    /// Its test cuts, in order.
    pub fn test_cuts(self) -> impl Iterator<Item = Joint> {
        TESTED.into_iter().filter(move |joint| self.has(*joint))
    }

    fn has(self, joint: Joint) -> bool {
        let found = TESTED.into_iter().zip(self.found);
        found
            .into_iter()
            .any(|(tested, found)| tested == joint && found)
    }
}

/// The piece and the installed end by which a joint is tested: the first one in a corner of 90, else the first.
pub(crate) fn sample(list: &impl SawList, joint: Joint) -> Option<(u16, Side)> {
    let ends = || {
        (0..list.head().pieces)
            .filter_map(|index| Some((index, list.piece(index)?)))
            .flat_map(|(index, piece)| {
                [Side::Left, Side::Right].map(|side| (index, side, piece.end(side).end))
            })
            .filter(|(.., end)| end.joint() == joint)
    };
    let square = ends().find(|(.., end)| end.gauge() == Some(Angle::RIGHT));
    square
        .or_else(|| ends().next())
        .map(|(index, side, _)| (index, side))
}
