//! A test cut in scrap as it lies at the saw: of the same end, in the same posture, as a piece of the list has it. What is
//! set for it comes from the saw view, as for every piece.

use shared_model::{Caution, End, Joint, Moulding, PieceEnd, SawHead, SawList, Side, saw_cut};

use super::picture::{end_view, posture_shown};
use crate::settings::Settings;
use crate::view::BoardView;
use crate::work::sample;

/// The scrap for a joint of the list; none where the list does not have it.
///
/// A cope is one end and a scarf one cut through the scrap. A miter is a pair: both ends of one scrap, which is then cut
/// in two.
pub(super) fn board(list: &impl SawList, joint: Joint, settings: &Settings) -> Option<BoardView> {
    let head = list.head();
    let (index, side) = sample(list, joint)?;
    let mut scrap = list.piece(index)?;
    let moulding = head.mouldings.get(usize::from(scrap.moulding))?;
    let tested = scrap.end(side);
    let other = match joint {
        Joint::OutsideMiter => mate(list, tested, side, moulding, &head.stock.saw),
        _ => PieceEnd {
            end: End::Square,
            posture: tested.posture,
        },
    };
    (scrap.left, scrap.right) = match side {
        Side::Left => (tested, other),
        Side::Right => (other, tested),
    };
    scrap.first = side;
    let posture = posture_shown(&scrap, None);
    let end = |at| end_view(&scrap, moulding, &head.stock.saw, None, posture, at);
    Some(BoardView {
        posture,
        left: end(Side::Left),
        right: end(Side::Right),
        mark: settings.mark(head.mark),
        words: settings.words,
        part_depth: scrap.cautions.has(Caution::PartDepth),
    })
}

/// The other half of a pair: the same end at the other installed side, in the posture in which the list has it, else in
/// that of the first half, or turned end for end where the saw does not go so far that way.
fn mate(
    list: &impl SawList,
    tested: PieceEnd,
    side: Side,
    moulding: &Moulding,
    saw: &SawHead,
) -> PieceEnd {
    let ends = (0..list.head().pieces)
        .filter_map(|index| list.piece(index))
        .map(|piece| piece.end(side.other()));
    if let Some(end) = ends.into_iter().find(|end| end.end == tested.end) {
        return end;
    }
    let cut = saw_cut(
        tested.end,
        side.other(),
        tested.posture,
        moulding.plain_part(),
        saw,
    );
    match cut.degrees <= saw.range(cut.by, cut.way) {
        true => tested,
        false => PieceEnd {
            posture: tested.posture.turned(),
            ..tested
        },
    }
}
