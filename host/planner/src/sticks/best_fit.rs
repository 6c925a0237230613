//! Best-fit decreasing: the longest piece first, each into the stick where least is left after it, and a stick of a
//! given kind opened where none can give it (Johnson 1973). Improving on it is left to `search`.

use super::draft::{Draft, Taken, longest_first};
use super::stock::Lot;

/// A plan for all pieces that opens sticks of the kind `opener` while there are any; offcuts lie ready from the start.
pub(super) fn best_fit(lot: &Lot, pieces: &[usize], opener: usize) -> Draft {
    let mut draft = Draft::new(lot);
    for kind in (0..lot.kinds.len()).filter(|&kind| lot.kinds[kind].offcut) {
        for _ in 0..draft.left[kind] {
            draft.take(kind, Vec::new());
        }
    }
    let mut order = pieces.to_vec();
    longest_first(lot, &mut order);
    for piece in order {
        let placed = add_where_tightest(lot, &mut draft, piece)
            || open(lot, &mut draft, piece, Some(opener));
        if !placed {
            draft.unplaced.push(piece);
        }
    }
    while let Some(unused) = draft.sticks.iter().position(|s| s.pieces.is_empty()) {
        draft.give_back(unused);
    }
    draft.shrink(lot);
    draft
}

/// Adds a piece to the stick in use where least is left after it.
pub(super) fn add_where_tightest(lot: &Lot, draft: &mut Draft, piece: usize) -> bool {
    let mut spares: Vec<(i64, usize)> = (draft.sticks.iter().enumerate())
        .map(|(index, stick)| (stick.spare(lot), index))
        .collect();
    spares.sort_unstable();
    let mut tightest_first = spares.into_iter();
    tightest_first.any(|(_, index)| draft.sticks[index].add(lot, piece))
}

/// Opens a stick for a piece: of the preferred kind if it will do, else the cheapest that will.
pub(super) fn open(lot: &Lot, draft: &mut Draft, piece: usize, preferred: Option<usize>) -> bool {
    let mut kinds: Vec<usize> = (0..lot.kinds.len()).collect();
    kinds.sort_by_key(|&kind| (Some(kind) != preferred, lot.kinds[kind].cost, kind));
    for kind in kinds.into_iter().filter(|&kind| draft.left[kind] > 0) {
        let mut stick = Taken {
            kind,
            pieces: Vec::new(),
        };
        if stick.add(lot, piece) {
            draft.take(kind, stick.pieces);
            return true;
        }
    }
    false
}
