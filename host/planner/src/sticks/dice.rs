//! A fixed sequence of draws (splitmix64, Steele and others 2014), so that what is tried by chance is the same for the
//! same pieces. What is drawn for is left to the searches.

/// The sequence.
#[derive(Debug, Clone)]
pub(super) struct Dice(u64);

impl Dice {
    /// A sequence for each number.
    pub fn new(number: u64) -> Dice {
        Dice(0x9e37_79b9_7f4a_7c15 ^ number.wrapping_mul(0xd134_2543_de82_ef95))
    }

    /// A number below `end`, which is above 0.
    pub fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        ((u128::from(z) * end as u128) >> 64) as usize
    }

    /// Shuffles the items.
    pub fn shuffle(&mut self, items: &mut [usize]) {
        for last in (1..items.len()).rev() {
            items.swap(last, self.below(last + 1));
        }
    }
}
