//! Inputs by chance, the same in every run.

/// The generator `splitmix64` (Steele, Lea and Flood, OOPSLA 2014).
pub(crate) struct Random(u64);

impl Random {
    /// A generator of its own for each check, named so that one's draws never
    /// change another's.
    pub(crate) fn new(check: &str) -> Random {
        Random(check.bytes().fold(0x5eed, |seed: u64, byte| seed.wrapping_mul(257) + u64::from(byte)))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number from `low` to `high`, evenly.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A number from `low` to `high`, each power of ten as often as the other.
    pub(crate) fn scaled(&mut self, low: f64, high: f64) -> f64 {
        self.between(low.ln(), high.ln()).exp()
    }

    /// A whole number from `low` to `high`, both included.
    pub(crate) fn whole(&mut self, low: i64, high: i64) -> i64 {
        low + (self.next() % (high - low + 1) as u64) as i64
    }

    /// One of several.
    pub(crate) fn one_of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[self.whole(0, choices.len() as i64 - 1) as usize]
    }
}
