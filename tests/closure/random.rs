//! Seeded numbers, the same on every machine: Vigna's SplitMix64 (the algorithm is in the public domain), and what is drawn
//! from it.

pub struct Random(u64);

impl Random {
    pub fn seeded(seed: u64) -> Random {
        Random(seed)
    }

    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to 1.
    pub fn part(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn below(&mut self, count: usize) -> usize {
        ((self.part() * count as f64) as usize).min(count - 1)
    }

    pub fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }

    pub fn either(&mut self) -> i32 {
        self.pick(&[-1, 1])
    }

    /// Anything within a limit to both sides.
    pub fn within(&mut self, limit: f64) -> f64 {
        (2.0 * self.part() - 1.0) * limit
    }

    /// Normal, with standard deviation 1 (Box and Muller).
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * libm::log(1.0 - self.part())).sqrt();
        radius * libm::cos(std::f64::consts::TAU * self.part())
    }
}
