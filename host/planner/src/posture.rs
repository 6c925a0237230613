//! In which posture each end is cut: the asked one where the saw can, else one that can, else a finding. What is then set
//! at the saw is left to the saw view.

use shared_model::{By, End, Posture, Side, Way, saw_cut};

use crate::walk::{MouldingStock, Saw};

/// A posture for one end, and why it is not the asked one or cannot be cut at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Choice {
    /// The posture.
    pub posture: Posture,
    /// What kept the end from the asked posture, if anything did.
    pub instead: Option<Lack>,
    /// No posture can cut it.
    pub impossible: bool,
}

/// What a saw lacks for a cut in a posture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lack {
    /// The board is taller than the saw takes on edge.
    Height,
    /// The board is wider than the saw takes flat.
    Width,
    /// The saw does not go so far this way.
    Range(By, Way),
}

/// What keeps a saw from cutting an end in a posture; nothing where it can.
pub fn lack(
    saw: &Saw,
    moulding: &MouldingStock,
    end: End,
    installed: Side,
    posture: Posture,
) -> Option<Lack> {
    if posture.stands() && moulding.height > saw.standing_height {
        return Some(Lack::Height);
    }
    if !posture.stands() && moulding.height > saw.flat_width {
        return Some(Lack::Width);
    }
    let head = saw.head();
    let cut = saw_cut(end, installed, posture, moulding.plain_part(), &head);
    (cut.scale > head.range(cut.by, cut.way)).then_some(Lack::Range(cut.by, cut.way))
}

/// What else keeps a saw from cutting an end that it cannot cut in the posture `first`: each lack once.
pub fn other_lacks(
    saw: &Saw,
    moulding: &MouldingStock,
    (end, installed): (End, Side),
    first: Posture,
) -> Vec<Lack> {
    let told = lack(saw, moulding, end, installed, first);
    let mut others: Vec<Lack> = Vec::new();
    for posture in Posture::ALL {
        let lack = lack(saw, moulding, end, installed, posture);
        others.extend(lack.filter(|lack| told != Some(*lack) && !others.contains(lack)));
    }
    others
}

/// Where no posture is asked for: the postures in the order in which they are tried for every piece of a moulding, so that
/// the list changes between as few as can be. First the one that cuts most pieces wholly, then the one that cuts most of
/// the rest, and so on; standing upside down where it makes no difference. A posture that is asked for comes first.
pub fn preference(saw: &Saw, moulding: &MouldingStock, pieces: &[(End, End)]) -> [Posture; 4] {
    let mut order = Posture::ALL;
    let mut rest = pieces.to_vec();
    for first in 0..order.len() {
        let cuts = |posture| {
            let wholly = |&&(left, right): &&(End, End)| {
                can(saw, moulding, (left, Side::Left), posture)
                    && can(saw, moulding, (right, Side::Right), posture)
            };
            rest.iter().filter(wholly).count()
        };
        let asked = order
            .iter()
            .position(|&p| saw.posture == Some(p) && first == 0);
        // the last of equals is the greatest, and the earlier is to win
        let most = (first..order.len()).rev().max_by_key(|&at| cuts(order[at]));
        let next = asked.or(most).unwrap_or(first);
        order[first..=next].rotate_right(1);
        let posture = order[first];
        rest.retain(|&(left, right)| {
            !can(saw, moulding, (left, Side::Left), posture)
                || !can(saw, moulding, (right, Side::Right), posture)
        });
    }
    order
}

fn can(saw: &Saw, moulding: &MouldingStock, (end, side): (End, Side), posture: Posture) -> bool {
    lack(saw, moulding, end, side, posture).is_none()
}

/// Postures for the two ends of a piece: each end in the asked posture if the saw can; else with the board turned end for
/// end; else any that can. Where none is asked, the first of `preference` that cuts both ends stands for it.
pub fn choose(
    saw: &Saw,
    moulding: &MouldingStock,
    preference: &[Posture; 4],
    left: End,
    right: End,
) -> (Choice, Choice) {
    let ends = [(left, Side::Left), (right, Side::Right)];
    let asked = saw.posture.or_else(|| {
        let both = |posture: &Posture| ends.iter().all(|&end| can(saw, moulding, end, *posture));
        preference.iter().copied().find(both)
    });
    let first = asked.unwrap_or(preference[0]);
    let choice = |end: (End, Side)| {
        let order = [first, first.turned()].into_iter().chain(*preference);
        let mut order = order.filter(|&posture| can(saw, moulding, end, posture));
        let found = order.next();
        let why = saw
            .posture
            .and_then(|posture| lack(saw, moulding, end.0, end.1, posture));
        Choice {
            posture: found.unwrap_or(first),
            instead: match found {
                Some(_) => why,
                None => lack(saw, moulding, end.0, end.1, first),
            },
            impossible: found.is_none(),
        }
    };
    (choice(ends[0]), choice(ends[1]))
}
