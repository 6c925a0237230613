//! A test cut in scrap as it lies at the saw: in the same posture as a piece of the list has such an end. What is set for it
//! comes from the saw view, as for every piece.

use shared_model::{Caution, End, Joint, PieceEnd, SawList, Side};

use super::picture::{end_view, posture_shown};
use crate::settings::Settings;
use crate::view::BoardView;
use crate::work::{Tested, can, tested};

/// The scrap for a joint of the list; none where the list does not have it.
///
/// A cope is one end and a scarf one cut through the scrap. A miter is a pair: both ends of one scrap, which is then cut
/// in two.
pub(super) fn board(list: &impl SawList, joint: Joint, settings: &Settings) -> Option<BoardView> {
    let head = list.head();
    let tested = tested(list, joint)?;
    let other = match joint {
        Joint::OutsideMiter => mate(list, &tested),
        _ => PieceEnd {
            end: End::Square,
            ..tested.end
        },
    };
    let mut scrap = tested.piece;
    (scrap.left, scrap.right) = match tested.side {
        Side::Left => (tested.end, other),
        Side::Right => (other, tested.end),
    };
    scrap.first = tested.side;
    let moulding = head.mouldings.get(usize::from(scrap.moulding))?;
    let posture = posture_shown(&scrap, None);
    let end = |at| end_view(&scrap, moulding, &head.stock.saw, None, posture, at);
    Some(BoardView {
        posture,
        left: end(Side::Left),
        right: end(Side::Right),
        mark: settings.mark(head.mark),
        words: settings.words,
        part_depth: scrap.cautions.has(Caution::PartDepth),
        wedge: false,
    })
}

/// The other half of a pair, at the other installed side: in the posture in which the list has such an end there, else in
/// that of the first half, else turned end for end; the first in which the saw goes so far.
fn mate(list: &impl SawList, tested: &Tested) -> PieceEnd {
    let (saw, side) = (&list.head().stock.saw, tested.side.other());
    let joint = tested.end.end.joint();
    let listed = (0..list.head().pieces)
        .filter_map(|index| list.piece(index))
        .map(|piece| piece.end(side))
        .find(|end| end.end.joint() == joint)
        .map(|end| end.posture);
    let own = tested.end.posture;
    let postures = [listed.unwrap_or(own), own, own.turned()];
    let ends = postures.map(|posture| PieceEnd {
        posture,
        ..tested.end
    });
    let able = ends.into_iter().find(|end| can(*end, side, saw));
    able.unwrap_or(tested.end)
}
