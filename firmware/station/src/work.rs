//! What is to be seen before a list is begun: who decides, what to protect, a test cut of each joint in it, and what to
//! measure on those. The words are left to the screen, the figures to the saw view.

use shared_model::{
    Angle, Caution, End, Joint, Length, Mark, Piece, PieceEnd, SawHead, SawList, Side, saw_cut,
};

/// One of the cards that are leafed through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Card {
    /// The house is old: lead in its paint.
    OldHouse,
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

const CARDS: [Card; 9] = [
    Card::OldHouse,
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
    /// The miters are tested by a pair that closes on a square.
    pair: bool,
    old_house: bool,
}

impl Work {
    /// The work of this list.
    pub fn of(list: &impl SawList) -> Work {
        Work {
            mark: list.head().mark,
            found: TESTED.map(|joint| tested(list, joint).is_some()),
            old_house: (0..list.head().pieces)
                .filter_map(|index| list.piece(index))
                .any(|piece| piece.cautions.has(Caution::LeadPaint)),
            pair: tested(list, Joint::OutsideMiter).is_some_and(|tested| tested.end.end == PAIR),
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
            Card::MiterLook | Card::MiterFigure => self.pair,
            Card::OldHouse => self.old_house,
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

/// An end of the list by which a joint is tested in scrap.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Tested {
    /// The piece that has it.
    pub(crate) piece: Piece,
    /// At which installed side.
    pub(crate) side: Side,
    /// What is cut in scrap, in the piece's own posture.
    pub(crate) end: PieceEnd,
}

/// How a joint is tested: as the first piece has it that stands in a corner of 90, else as the first one. A miter is
/// tested at 45 where the saw goes so far in that posture, whatever its corner reads, since its pair is held on a square.
pub(crate) fn tested(list: &impl SawList, joint: Joint) -> Option<Tested> {
    let ends = || {
        (0..list.head().pieces)
            .filter_map(|index| list.piece(index))
            .flat_map(|piece| [Side::Left, Side::Right].map(|side| (piece, side, piece.end(side))))
            .filter(|(.., end)| end.end.joint() == joint)
    };
    let square = ends().find(|(.., end)| end.end.gauge() == Some(Angle::RIGHT));
    let (piece, side, own) = square.or_else(|| ends().next())?;
    let at_45 = PieceEnd { end: PAIR, ..own };
    let saw = &list.head().stock.saw;
    let end = match joint {
        Joint::OutsideMiter if can(at_45, side, saw) => at_45,
        _ => own,
    };
    Some(Tested { piece, side, end })
}

/// Half of a pair that closes on a square.
const PAIR: End = End::OutsideMiter {
    gauge: Angle::RIGHT,
};

/// Whether the saw goes as far as this end's full-depth cut asks.
pub(crate) fn can(end: PieceEnd, side: Side, saw: &SawHead) -> bool {
    let cut = saw_cut(end.end, side, end.posture, Length::ZERO, saw);
    cut.degrees <= saw.range(cut.by, cut.way)
}
