//! Chance that is the same at every run. What it decides is left to the tests.

/// Numbers that look like chance, the same at every run (a linear congruential generator with Knuth's constants).
pub struct Dice(u64);

impl Dice {
    /// The same row of numbers for the same seed.
    pub fn new(seed: u64) -> Dice {
        Dice(seed)
    }

    /// A number from 0 on that is less than this.
    pub fn below(&mut self, limit: f64) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 40) as f64 / f64::from(1 << 24) * limit
    }
}
