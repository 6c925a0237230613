//! Which lengths can be put together from a pool of pieces, as bits of a long word, and of which pieces: the subset-sum
//! problem (Bellman 1957), with a word for each set of wedges that are still claimed (see `grain`; the finer claims are left to the exact test
//! that follows). What is done with the
//! sets is left to `fill`.

use super::grain::{Act, Coarse, Grains, Way};

/// All sets of wedges.
const PLANES: usize = 4;

const BITS: usize = u64::BITS as usize;

/// Every sum that a pool can make, layer by layer.
#[derive(Debug, Default)]
pub(super) struct Sums {
    words: usize,
    /// The pieces in the order in which they were summed, and whether each had to be taken.
    items: Vec<(usize, bool)>,
    /// For each count of items summed and each set of open claims: bit s is set where the sum s can be made.
    layers: Vec<u64>,
    /// For each layer the sets of claims that are looked at, as bits.
    live: Vec<u8>,
    /// Only the given pieces may waste a wedge: all others are taken only where nothing is lost beside them.
    pub thrifty: bool,
}

impl Sums {
    /// Sums up every set of the pool together with all the given pieces, up to a top. Returns the work done.
    pub fn run(&mut self, coarse: &Coarse, top: u32, given: &[usize], pool: &[usize]) -> u64 {
        self.words = top as usize / BITS + 1;
        self.items.clear();
        self.items.extend(given.iter().map(|&piece| (piece, true)));
        self.items.extend(pool.iter().map(|&piece| (piece, false)));
        self.items
            .sort_by_key(|&(piece, _)| coarse.pieces[piece].turn);
        let layer = PLANES * self.words;
        self.layers.clear();
        self.layers.resize((self.items.len() + 1) * layer, 0);
        self.live.clear();
        self.live.push(1);
        self.layers[0] = 1;
        let mut work = 0;
        for at in 0..self.items.len() {
            let (piece, forced) = self.items[at];
            let grains = coarse.pieces[piece];
            self.live[at] &= hopeful(&grains);
            work += self.add(at, &grains, forced);
        }
        if let Some(last) = self.live.last_mut() {
            *last &= 1;
        }
        work
    }

    /// Makes the layer after one more piece.
    fn add(&mut self, at: usize, grains: &Grains, forced: bool) -> u64 {
        let layer = PLANES * self.words;
        let (done, open) = self.layers.split_at_mut((at + 1) * layer);
        let (from, to) = (&done[at * layer..], &mut open[..layer]);
        let (live, mut next, mut work) = (self.live[at], 0, 0);
        for plane in (0..PLANES).filter(|plane| live >> plane & 1 == 1) {
            let source = &from[plane * self.words..(plane + 1) * self.words];
            if !forced {
                or_shifted(&mut to[plane * self.words..][..self.words], source, 0);
                next |= 1 << plane;
                work += self.words as u64;
            }
            let thrifty = self.thrifty && !forced;
            for way in grains.ways().iter().filter(|way| counts(way, thrifty)) {
                if let Some(target) = target(plane, way) {
                    let words = &mut to[target * self.words..][..self.words];
                    or_shifted(words, source, way.takes as usize);
                    next |= 1 << target;
                    work += self.words as u64;
                }
            }
        }
        self.live.push(next);
        work
    }

    /// The largest sum that is no more than `most`, if any.
    pub fn largest_within(&self, most: u32) -> Option<u32> {
        let most = (most as usize).min(self.words * BITS - 1);
        let last = self.items.len();
        if self.live[last] & 1 == 0 {
            return None;
        }
        let plane = &self.layers[last * PLANES * self.words..][..self.words];
        let first = plane[most / BITS] & (u64::MAX >> (BITS - 1 - most % BITS));
        let below = plane[..most / BITS].iter().rev();
        let words = std::iter::once(&first).chain(below);
        let (skipped, word) = words.enumerate().find(|(_, word)| **word != 0)?;
        let bit = BITS - 1 - word.leading_zeros() as usize;
        Some(((most / BITS - skipped) * BITS + bit) as u32)
    }

    /// The pieces that make a sum, the given ones among them.
    pub fn pieces(&self, coarse: &Coarse, sum: u32) -> Vec<usize> {
        let mut pieces = Vec::new();
        let (mut plane, mut sum) = (0, sum as usize);
        for (at, &(piece, forced)) in self.items.iter().enumerate().rev() {
            if !forced && self.has(at, plane, sum) {
                continue;
            }
            pieces.push(piece);
            let grains = &coarse.pieces[piece];
            let before = (0..PLANES).find_map(|source| {
                grains.ways().iter().find_map(|way| {
                    let rest = sum.checked_sub(way.takes as usize)?;
                    let leads =
                        target(source, way) == Some(plane) && counts(way, self.thrifty && !forced);
                    (leads && self.has(at, source, rest)).then_some((source, rest))
                })
            });
            // every bit was set from another
            let Some(before) = before else { break };
            (plane, sum) = before;
        }
        pieces
    }

    fn has(&self, layer: usize, plane: usize, sum: usize) -> bool {
        let word = self.layers[(layer * PLANES + plane) * self.words + sum / BITS];
        self.live[layer] >> plane & 1 == 1 && word >> (sum % BITS) & 1 == 1
    }
}

/// Whether a way is summed: that a kerf runs off the end is reckoned with in what the stick holds.
fn counts(way: &Way, thrifty: bool) -> bool {
    !(way.last || thrifty && way.acts.contains(&Act::Pay))
}

/// The wedges that are claimed after a piece; none where it would claim what is claimed already.
fn target(plane: usize, way: &Way) -> Option<usize> {
    let mut claimed = plane;
    for (side, act) in way.acts.iter().enumerate() {
        match act {
            Act::Claim if plane >> side & 1 == 1 => return None,
            Act::Claim => claimed |= 1 << side,
            Act::Fall => claimed &= !(1 << side),
            Act::None | Act::Pay | Act::Want | Act::Swap => {}
        }
    }
    Some(claimed)
}

/// The sets of wedges with which there is hope as a piece's turn comes, as bits.
fn hopeful(grains: &Grains) -> u8 {
    match grains.turn {
        0..=2 => 0b1111,
        3 => 0b0011,
        _ => 0b0001,
    }
}

/// Adds the bits of `from`, moved up by `by`.
fn or_shifted(to: &mut [u64], from: &[u64], by: usize) {
    let (words, bits) = (by / BITS, by % BITS);
    if words >= to.len() {
        return;
    }
    let to = &mut to[words..];
    if bits == 0 {
        for (to, from) in to.iter_mut().zip(from) {
            *to |= from;
        }
        return;
    }
    let mut carried = 0;
    for (to, from) in to.iter_mut().zip(from) {
        *to |= from << bits | carried;
        carried = from >> (BITS - bits);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn way(upper: Act, takes: u32) -> Way {
        Way {
            acts: [upper, Act::None],
            takes,
            ..Way::default()
        }
    }

    #[test]
    fn sums_and_their_pieces_are_those_of_trying_every_set() {
        let plain = |takes| Grains::new(4, &[way(Act::None, takes)]);
        let mut pieces: Vec<Grains> = [3, 64, 65, 7, 130, 3, 200, 1].map(plain).to_vec();
        // two that rise, of which one can be taken up by the one that falls
        pieces[3] = Grains::new(1, &[way(Act::Pay, 17), way(Act::Claim, 7)]);
        pieces[4] = Grains::new(1, &[way(Act::Pay, 141), way(Act::Claim, 130)]);
        pieces[2] = Grains::new(3, &[way(Act::Fall, 65)]);
        let coarse = Coarse {
            pieces,
            rooms: Vec::new(),
            grain: 1,
            brims: Vec::new(),
            wide: false,
        };
        // what a set takes at least, laid as best it can be
        let total = |set: usize| -> u32 {
            let taken = (0..8).filter(|at| set >> at & 1 == 1);
            let full: u32 = taken.map(|at| coarse.pieces[at].ways()[0].takes).sum();
            let risen = [3, 4].into_iter().filter(|at| set >> at & 1 == 1);
            let gain = risen.map(|at| coarse.pieces[at].ways()[0].takes - coarse.pieces[at].least);
            full - gain.max().filter(|_| set >> 2 & 1 == 1).unwrap_or(0)
        };
        let (mut sums, pool) = (Sums::default(), [1, 2, 3, 4, 5, 6, 7]);
        for top in [1, 63, 64, 130, 300, 473] {
            sums.run(&coarse, top, &[], &[0, 1, 2, 3, 4, 5, 6, 7]);
            for most in 0..=top {
                let sets = (0..1 << 8).map(total).filter(|&sum| sum <= most);
                let found = sums.largest_within(most).expect("nothing at least");
                assert!(found >= sets.max().expect("nothing at least"), "{most}");
                let set = sums.pieces(&coarse, found);
                let bits = set.iter().fold(0, |bits, piece| bits | 1 << piece);
                assert!(total(bits) <= found && set.len() == (bits as u32).count_ones() as usize);
            }
        }
        sums.run(&coarse, 473, &[0], &pool);
        let set = sums.pieces(&coarse, sums.largest_within(70).expect("the given one"));
        assert!(set.contains(&0));
    }
}
