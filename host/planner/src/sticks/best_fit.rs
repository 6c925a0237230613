//! Best-fit and first-fit decreasing: the longest piece first, each into the stick where least is left after it or into
//! the first that can give it, and a stick of a given kind opened where none can (Johnson 1973). Improving on it is left
//! to `refill`.

use std::collections::BTreeSet;

use super::draft::{Draft, Taken, longest_first};
use super::stock::Lot;

/// How many sticks are tried for a piece where it depends on the ends whether it fits, the tightest first, and again
/// where there is room for it whatever the ends.
const TRIES: usize = 12;

/// The sticks of a draft by what is left of them.
struct BySpare(BTreeSet<(i64, usize)>);

impl BySpare {
    fn of(lot: &Lot, draft: &Draft) -> BySpare {
        let sticks = draft.sticks.iter().enumerate();
        BySpare(sticks.map(|(at, stick)| (stick.spare(lot), at)).collect())
    }

    /// Adds a piece to the stick where least is left after it.
    fn add(&mut self, lot: &Lot, draft: &mut Draft, piece: usize) -> bool {
        let safe = lot.pieces[piece].safe();
        let least = lot.pieces[piece].bare() + lot.kerf - lot.widest_kerf;
        let tight = self.0.range((least, 0)..(safe.max(least), 0)).take(TRIES);
        let roomy = self.0.range((safe.max(least), 0)..).take(TRIES);
        // a short piece may need more of the stick to be held by
        let roomiest = self.0.range((safe.max(least), 0)..).rev().take(TRIES);
        let tried: Vec<(i64, usize)> = tight.chain(roomy).chain(roomiest).copied().collect();
        let mut tried = tried.into_iter();
        let found = tried.find(|&(_, at)| draft.sticks[at].add(lot, piece));
        if let Some((spare, at)) = found {
            self.0.remove(&(spare, at));
            self.0.insert((draft.sticks[at].spare(lot), at));
        }
        found.is_some()
    }
}

/// The offcuts, which lie ready from the start.
fn ready(lot: &Lot) -> Draft {
    let mut draft = Draft::new(lot);
    for kind in (0..lot.kinds.len()).filter(|&kind| lot.kinds[kind].offcut) {
        for _ in 0..draft.left[kind] {
            draft.take(kind, Vec::new());
        }
    }
    draft
}

/// A plan for all pieces by first fit that opens sticks of the kind `opener` while there are any. Every piece is given
/// room for whatever lies beside it, so that the plan is the textbook's but for the rule for short pieces.
pub(super) fn first_fit(lot: &Lot, pieces: &[usize], opener: usize) -> Draft {
    let mut draft = ready(lot);
    let mut order = pieces.to_vec();
    longest_first(lot, &mut order);
    let mut spares: Vec<i64> = (draft.sticks.iter())
        .map(|stick| lot.room(stick.kind))
        .collect();
    for piece in order {
        let safe = lot.pieces[piece].safe();
        let mut roomy = (0..spares.len()).filter(|&at| spares[at] >= safe);
        match roomy.find(|&at| draft.sticks[at].add(lot, piece)) {
            Some(at) => spares[at] -= safe,
            None if open(lot, &mut draft, piece, Some(opener)) => {
                spares.extend(draft.sticks.last().map(|stick| stick.spare(lot)));
            }
            None => draft.unplaced.push(piece),
        }
    }
    draft.drop_unused();
    draft.shrink(lot);
    draft
}

/// A plan for all pieces by best fit that opens sticks of the kind `opener` while there are any.
pub(super) fn best_fit(lot: &Lot, pieces: &[usize], opener: usize) -> Draft {
    let mut draft = ready(lot);
    let mut order = pieces.to_vec();
    longest_first(lot, &mut order);
    let mut by_spare = BySpare::of(lot, &draft);
    for piece in order {
        if by_spare.add(lot, &mut draft, piece) {
            continue;
        }
        match open(lot, &mut draft, piece, Some(opener)) {
            true => {
                let at = draft.sticks.len() - 1;
                by_spare.0.insert((draft.sticks[at].spare(lot), at));
            }
            false => draft.unplaced.push(piece),
        }
    }
    draft.drop_unused();
    draft.shrink(lot);
    draft
}

/// Adds a piece to the stick in use where least is left after it, whichever that is.
pub(super) fn add_where_tightest(lot: &Lot, draft: &mut Draft, piece: usize) -> bool {
    let mut spares: Vec<(i64, usize)> = (draft.sticks.iter().enumerate())
        .map(|(at, stick)| (stick.spare(lot), at))
        .collect();
    spares.sort_unstable();
    let mut tightest_first = spares.into_iter();
    tightest_first.any(|(_, at)| draft.sticks[at].add(lot, piece))
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
