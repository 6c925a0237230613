//! What the ends of a stick's pieces waste between them in the best order, without laying them: the wedges where
//! neighbours are not parallel. The order itself, last kerf and holding included, is left to `order`.
//!
//! # The idea
//!
//! Every line across the board has a lean (see `along`); a piece leads from the lean of its near line to that of its far
//! line, and a stick from 0 back to 0, since its own ends are square. Between two neighbours the lean may rise for
//! nothing, and to fall it costs as much as it falls. So a stick is a round trip over the leans, in which the pieces are
//! the legs that must be made: the sequencing of a machine with one state variable (Gilmore and Gomory 1964). Look at one
//! gap between two leans that follow each other: a round trip crosses it upward as often as downward. Where more
//! pieces rise over it than fall, each one too many costs the gap's width on the way back; where more fall, one rises
//! between them for nothing. Either way the trip can stop at both of the gap's leans. Where as many rise as fall, nothing
//! is lost, but the leans hang together only by the pieces: what does not hang together yet is joined by crossing such
//! gaps once each way, the narrowest first, as in a least spanning tree.

use super::along::Laid;

/// The most different leans for which sums are made.
const MOST: usize = 48;

/// The leans of a lot's pieces.
#[derive(Debug, Clone)]
pub(super) struct Leans {
    /// From each lean to the next higher one; empty where there are too many.
    gaps: Vec<i64>,
    /// The place of the lean 0.
    level: usize,
    /// Each piece's near and far lean, as places among the leans.
    legs: Vec<(u8, u8)>,
}

impl Leans {
    /// The leans of these pieces.
    pub fn of(pieces: &[Laid]) -> Leans {
        let ends = pieces.iter().flat_map(|p| [p.near.lean, p.far.lean]);
        let mut leans: Vec<i64> = ends.chain([0]).collect();
        leans.sort_unstable();
        leans.dedup();
        let at = |lean: i64| leans.partition_point(|&l| l < lean) as u8;
        if leans.len() > MOST {
            return Leans {
                gaps: Vec::new(),
                level: 0,
                legs: Vec::new(),
            };
        }
        let legs = pieces.iter().map(|p| (at(p.near.lean), at(p.far.lean)));
        Leans {
            legs: legs.collect(),
            level: usize::from(at(0)),
            gaps: leans.windows(2).map(|two| two[1] - two[0]).collect(),
        }
    }

    /// What these pieces waste in wedges in the order in which they waste least; none where it cannot be said so.
    pub fn wedges(&self, pieces: &[usize]) -> Option<i64> {
        if self.legs.is_empty() && !pieces.is_empty() {
            return None;
        }
        let mut trip = Trip::new(self.level);
        for &piece in pieces {
            let (near, far) = self.legs[piece];
            trip.leg(usize::from(near), usize::from(far));
        }
        Some(trip.cost(&self.gaps))
    }
}

/// A round trip in the making.
struct Trip {
    /// How many more legs rise from a lean to the next than fall, as the change from the gap before.
    change: [i32; MOST],
    /// The leans at which a leg begins or ends.
    stops: [bool; MOST],
    /// Leans that hang together have the same.
    part: [u8; MOST],
    low: usize,
    high: usize,
}

impl Trip {
    fn new(level: usize) -> Trip {
        let mut stops = [false; MOST];
        stops[level] = true;
        Trip {
            change: [0; MOST],
            stops,
            part: std::array::from_fn(|lean| lean as u8),
            low: level,
            high: level,
        }
    }

    fn leg(&mut self, near: usize, far: usize) {
        self.change[near] += 1;
        self.change[far] -= 1;
        self.low = self.low.min(near).min(far);
        self.high = self.high.max(near).max(far);
        (self.stops[near], self.stops[far]) = (true, true);
        self.join(near, far);
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.part[a], self.part[b]);
        if a != b {
            for part in &mut self.part[self.low..=self.high] {
                if *part == b {
                    *part = a;
                }
            }
        }
    }

    fn cost(mut self, gaps: &[i64]) -> i64 {
        let mut even: Vec<(i64, usize, usize)> = Vec::new();
        let (mut cost, mut net, mut width, mut last) = (0, 0, 0, self.low);
        let gaps = gaps.iter().enumerate();
        for (lean, gap) in gaps.take(self.high).skip(self.low) {
            net += self.change[lean];
            width += gap;
            if !self.stops[lean + 1] {
                continue;
            }
            match net {
                0 => even.push((width, last, lean + 1)),
                net => {
                    cost += width * i64::from(net.max(0));
                    self.join(last, lean + 1);
                }
            }
            (width, last) = (0, lean + 1);
        }
        even.sort_unstable();
        for (width, from, to) in even {
            if self.part[from] != self.part[to] {
                cost += width;
                self.join(from, to);
            }
        }
        cost
    }
}

#[cfg(test)]
mod tests {
    use crate::sticks::along::Front;
    use crate::sticks::dice::Dice;
    use crate::sticks::order::{best_order, fits};
    use crate::sticks::stock::Lot;
    use crate::sticks::tests::level::{a_few, lot};

    /// The least wedges of all orders: what each order takes beyond the bare pieces, but for the last kerf.
    fn every_order(lot: &Lot, front: Front, left: &mut Vec<usize>, last_kerf: i64) -> i64 {
        if left.is_empty() {
            return front.farthest() + last_kerf;
        }
        let mut least = i64::MAX;
        for at in 0..left.len() {
            let piece = left.swap_remove(at);
            let laid = &lot.pieces[piece];
            least = least.min(every_order(lot, front.after(laid), left, laid.kerf));
            left.push(piece);
            let end = left.len() - 1;
            left.swap(at, end);
        }
        least
    }

    #[test]
    fn wedges_are_those_of_the_best_of_all_orders() {
        let mut dice = Dice::new(1);
        for number in 0..4 {
            let lot = lot(number);
            for _ in 0..400 {
                let set = a_few(&mut dice);
                let bare: i64 = set.iter().map(|&piece| lot.pieces[piece].bare()).sum();
                let wedges = lot.leans.wedges(&set);
                let least = every_order(&lot, Front::fresh(0), &mut set.clone(), 0);
                assert_eq!(wedges, Some(least - bare), "{set:?}");
            }
        }
    }

    #[test]
    fn a_set_fits_where_an_order_of_it_does() {
        let mut dice = Dice::new(2);
        let lot = lot(3);
        for _ in 0..20_000 {
            let mut set: Vec<usize> = (0..=dice.below(8)).map(|_| dice.below(120)).collect();
            set.sort_unstable();
            set.dedup();
            let bare: i64 = set.iter().map(|&piece| lot.pieces[piece].bare()).sum();
            let length = bare + lot.trim + dice.below(60_000) as i64;
            let laid = best_order(&lot, &set, length).is_some();
            assert_eq!(fits(&lot, &set, length), laid, "{set:?} {length}");
        }
    }
}
