//! The Mersenne twister MT19937 (Matsumoto and Nishimura 1998) with its array seeding and 53-bit fractions, so that the
//! levels are the same ones wherever that generator is at hand. What is drawn is left to the classes.

const SIZE: usize = 624;
const SHIFT: usize = 397;

/// The generator.
pub struct Mersenne {
    state: [u32; SIZE],
    at: usize,
}

impl Mersenne {
    /// Seeded with a whole number by the published `init_by_array`, low word first.
    pub fn new(seed: u64) -> Mersenne {
        let mut key = vec![seed as u32];
        if seed >> 32 > 0 {
            key.push((seed >> 32) as u32);
        }
        let mut state = [0u32; SIZE];
        state[0] = 19_650_218;
        for i in 1..SIZE {
            let before = state[i - 1] ^ (state[i - 1] >> 30);
            state[i] = before.wrapping_mul(1_812_433_253).wrapping_add(i as u32);
        }
        let (mut i, mut j) = (1, 0);
        for _ in 0..SIZE.max(key.len()) {
            let before = state[i - 1] ^ (state[i - 1] >> 30);
            state[i] = (state[i] ^ before.wrapping_mul(1_664_525))
                .wrapping_add(key[j])
                .wrapping_add(j as u32);
            i += 1;
            j += 1;
            if i == SIZE {
                state[0] = state[SIZE - 1];
                i = 1;
            }
            if j == key.len() {
                j = 0;
            }
        }
        for _ in 0..SIZE - 1 {
            let before = state[i - 1] ^ (state[i - 1] >> 30);
            state[i] = (state[i] ^ before.wrapping_mul(1_566_083_941)).wrapping_sub(i as u32);
            i += 1;
            if i == SIZE {
                state[0] = state[SIZE - 1];
                i = 1;
            }
        }
        state[0] = 0x8000_0000;
        Mersenne { state, at: SIZE }
    }

    fn word(&mut self) -> u32 {
        if self.at == SIZE {
            for i in 0..SIZE {
                let bits =
                    (self.state[i] & 0x8000_0000) | (self.state[(i + 1) % SIZE] & 0x7fff_ffff);
                let odd = if bits & 1 == 1 { 0x9908_b0df } else { 0 };
                self.state[i] = self.state[(i + SHIFT) % SIZE] ^ (bits >> 1) ^ odd;
            }
            self.at = 0;
        }
        let mut y = self.state[self.at];
        self.at += 1;
        y ^= y >> 11;
        y ^= (y << 7) & 0x9d2c_5680;
        y ^= (y << 15) & 0xefc6_0000;
        y ^ (y >> 18)
    }

    /// A fraction below 1 with 53 bits.
    pub fn fraction(&mut self) -> f64 {
        let (high, low) = (self.word() >> 5, self.word() >> 6);
        (f64::from(high) * 67_108_864.0 + f64::from(low)) / 9_007_199_254_740_992.0
    }

    /// Between two numbers.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.fraction()
    }

    /// Whole and below `end`, by taking as many bits as it has until they are below.
    pub fn below(&mut self, end: usize) -> usize {
        let bits = usize::BITS - end.leading_zeros();
        loop {
            let drawn = (self.word() >> (32 - bits)) as usize;
            if drawn < end {
                return drawn;
            }
        }
    }

    /// One of several.
    pub fn choice<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }

    /// Puts items in another order.
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            items.swap(last, self.below(last + 1));
        }
    }
}
