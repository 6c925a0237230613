//! From the list and the place to what the picture shows. Drawing it is left to the screen, the saw view to the shared
//! model.

use shared_model::{
    Joint, Length, Moulding, Piece, PieceState, Place, Posture, SawCut, SawHead, SawList, Side,
    saw_cut,
};

use crate::settings::{BoardWords, Settings};
use crate::view::{Body, EndView, NextView, PieceView, StickView};

/// What fills the screen: the piece looked at, else the one at the place.
pub(super) fn body(
    list: &impl SawList,
    place: &Place,
    looking: Option<(u16, u8)>,
    settings: &Settings,
) -> Body {
    let at_place = place.current().map(|current| (current, 0));
    let Some((index, leaf)) = looking.or(at_place) else {
        return Body::Finished {
            level: list.head().level.clone(),
            digest: list.head().digest,
            progress: place.progress(),
        };
    };
    let looking = place.current() != Some(index);
    let head = list.head();
    let view = list
        .piece(index)
        .and_then(|piece| piece_view(list, place, index, &piece, looking));
    view.map_or(Body::NoList, |view| {
        Body::Piece(PieceView {
            leaf,
            mark: settings.mark(head.mark),
            words: settings.words,
            ..view
        })
    })
}

fn piece_view(
    list: &impl SawList,
    place: &Place,
    index: u16,
    piece: &Piece,
    looking: bool,
) -> Option<PieceView> {
    let head = list.head();
    let moulding = head.mouldings.get(usize::from(piece.moulding))?;
    let before = index.checked_sub(1).and_then(|before| list.piece(before));
    let state = place.state(index)?;
    let already = place.already_cut(index).then_some(piece.first);
    let posture = posture_shown(piece, already);
    let end = |at: Side| end_view(piece, moulding, &head.stock.saw, already, posture, at);
    Some(PieceView {
        room: head.rooms.get(usize::from(piece.room))?.clone(),
        wall: piece.wall,
        part: piece.part,
        parts: piece.parts,
        small: piece.small(),
        number: index + 1,
        progress: place.progress(),
        state,
        looking,
        leaf: 0,
        figure: piece.figure(moulding),
        mark: head.mark,
        posture,
        words: BoardWords::default(),
        installed_left: posture.swaps(Side::Left),
        left: end(Side::Left),
        right: end(Side::Right),
        moulding: moulding.name.clone(),
        new_moulding: before.is_some_and(|before| before.moulding != piece.moulding),
        stick: stick_view(place, piece, state),
        cautions: piece.cautions,
        next: next_view(list, place, index, piece, state, looking),
    })
}

/// How the board lies while the first of its cuts is made that is still to be made: that of the end at the stick's fresh
/// end, or of the other where that one is cut already.
pub(super) fn posture_shown(piece: &Piece, already: Option<Side>) -> Posture {
    piece.end(already.map_or(piece.first, Side::other)).posture
}

/// The end at a side of the saw, for a board that lies in `posture`.
pub(super) fn end_view(
    piece: &Piece,
    moulding: &Moulding,
    saw: &SawHead,
    already: Option<Side>,
    posture: Posture,
    at: Side,
) -> EndView {
    // where an end lies at the saw is its own inverse
    let installed = posture.swaps(at);
    if already == Some(installed) {
        // nothing is cut here, so nothing is turned: the end is shown as it lies
        let end = piece.end(installed).end;
        let cut = saw_cut(end, installed, posture, moulding.plain_part(), saw);
        return EndView {
            cut,
            already: true,
            turned: false,
            by_hand: by_hand(&cut, moulding),
        };
    }
    let cut: SawCut = piece.saw_cut(installed, moulding, saw);
    EndView {
        cut,
        already: false,
        turned: cut.posture != posture,
        by_hand: by_hand(&cut, moulding),
    }
}

fn by_hand(cut: &SawCut, moulding: &Moulding) -> bool {
    cut.joint == Joint::Cope && cut.plain.is_none() && moulding.plain_part() > Length::ZERO
}

/// A stick is fresh until a piece has been cut from it by this list.
fn stick_view(place: &Place, piece: &Piece, state: PieceState) -> StickView {
    let number = piece.stick;
    match state {
        PieceState::Again(_) => StickView::Unplanned,
        _ if place.stick_begun(number) => StickView::Same { number },
        _ => StickView::Fresh {
            number,
            length: piece.stick_length,
            offcut: piece.from_offcut,
        },
    }
}

/// What comes after: in the order of the work, or of the list where a piece is only looked at.
fn next_view(
    list: &impl SawList,
    place: &Place,
    index: u16,
    piece: &Piece,
    state: PieceState,
    looking: bool,
) -> Option<NextView> {
    let next = match looking {
        true => index + 1,
        false => place.next()?,
    };
    let next_state = place.state(next)?;
    let next = list.piece(next)?;
    let head = list.head();
    let moulding = head.mouldings.get(usize::from(next.moulding))?;
    // the piece shown will have begun its stick by then, unless it comes from elsewhere
    let begun = next.stick == piece.stick && !matches!(state, PieceState::Again(_));
    Some(NextView {
        length: next.figure(moulding).length,
        room: head.rooms.get(usize::from(next.room))?.clone(),
        wall: next.wall,
        fresh_stick: !begun
            && !matches!(next_state, PieceState::Again(_))
            && !place.stick_begun(next.stick),
    })
}
