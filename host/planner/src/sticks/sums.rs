//! Which lengths can be put together from a set of pieces, as bits of a long word, and of which pieces: the subset-sum
//! problem. What is done with them is left to `fill`.

/// Every sum that the items added so far can make, up to a top.
#[derive(Debug, Default)]
pub(super) struct Sums {
    /// Bit s: the sum s can be made.
    made: Vec<u64>,
    /// The item that first made each sum, with its size. Meaningless where the bit is not set.
    by: Vec<(u32, u32)>,
    top: usize,
    /// The largest sum made.
    largest: usize,
}

const BITS: usize = u64::BITS as usize;

impl Sums {
    /// Starts over: only nothing can be made, and sums over `top` are not wanted.
    pub fn restart(&mut self, top: usize) {
        self.made.clear();
        self.made.resize(top / BITS + 1, 0);
        self.made[0] = 1;
        if self.by.len() <= top {
            self.by.resize(top + 1, (0, 0));
        }
        (self.top, self.largest) = (top, 0);
    }

    /// Adds an item of a size above 0.
    pub fn add(&mut self, item: usize, size: usize) {
        if size > self.top {
            return;
        }
        let (words, bits) = (size / BITS, size % BITS);
        let last = (self.largest + size).min(self.top) / BITS;
        for at in (words..=last).rev() {
            let mut shifted = self.made[at - words] << bits;
            if bits > 0 && at > words {
                shifted |= self.made[at - words - 1] >> (BITS - bits);
            }
            let mut new = shifted & !self.made[at];
            self.made[at] |= new;
            while new != 0 {
                let sum = at * BITS + new.trailing_zeros() as usize;
                if sum <= self.top {
                    self.by[sum] = (item as u32, size as u32);
                    self.largest = self.largest.max(sum);
                }
                new &= new - 1;
            }
        }
    }

    /// The largest sum made that is no more than `most`.
    pub fn largest_within(&self, most: usize) -> usize {
        let most = most.min(self.largest);
        let first = self.made[most / BITS] & (u64::MAX >> (BITS - 1 - most % BITS));
        let mut at = most / BITS;
        let mut word = first;
        while word == 0 {
            at -= 1;
            word = self.made[at];
        }
        at * BITS + (BITS - 1 - word.leading_zeros() as usize)
    }

    /// The items that make a sum, the last added first.
    pub fn items(&self, sum: usize) -> Vec<usize> {
        // a sum's item was added when the sum without it could be made already, by items before it
        let mut items = Vec::new();
        let mut rest = sum;
        while rest > 0 {
            let (item, size) = self.by[rest];
            items.push(item as usize);
            rest -= size as usize;
        }
        items
    }
}

#[cfg(test)]
mod tests {
    use super::Sums;

    #[test]
    fn sums_and_their_items_are_those_of_trying_every_subset() {
        let sizes = [3usize, 64, 65, 7, 130, 3, 200, 1];
        for top in [1, 63, 64, 130, 300, 473] {
            let mut sums = Sums::default();
            sums.restart(top);
            for (item, &size) in sizes.iter().enumerate() {
                sums.add(item, size);
            }
            let total = |set: usize| -> usize {
                (0..sizes.len())
                    .filter(|i| set >> i & 1 == 1)
                    .map(|i| sizes[i])
                    .sum()
            };
            for most in 0..=top {
                let best = (0..1 << sizes.len()).map(total).filter(|&sum| sum <= most);
                let found = sums.largest_within(most);
                assert_eq!(Some(found), best.max());
                let mut items = sums.items(found);
                assert_eq!(items.iter().map(|&i| sizes[i]).sum::<usize>(), found);
                items.sort_unstable();
                items.dedup();
                assert_eq!(items.iter().map(|&i| sizes[i]).sum::<usize>(), found);
            }
        }
    }
}
