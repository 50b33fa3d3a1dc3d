//! Seeded randomness: the same numbers for the same seed on every machine.
//!
//! Only sums, products and quotients of whole numbers and `f64` are used, which IEEE 754 fixes to the last bit.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use store::Entropy;

/// One stream of random numbers.
pub(crate) struct Dice(ChaCha8Rng);

impl Dice {
    /// The stream `stream` of `seed`; streams do not depend on each other.
    pub(crate) fn new(seed: u64, stream: u64) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(stream);
        Self(rng)
    }

    /// The stream of one chock or roll at one time: what is told elsewhere does not change it.
    pub(crate) fn of(seed: u64, code: &str, ms: i64) -> Self {
        let number = code.bytes().fold(ms.unsigned_abs(), |sum, byte| {
            sum.wrapping_mul(131).wrapping_add(byte.into())
        });
        Self::new(seed, number | 1 << 63)
    }

    /// Evenly from `low` up to but not including `high`.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        // 53 bits: every value is exact.
        let unit = (self.0.next_u64() >> 11) as f64 / (1_u64 << 53) as f64;
        low + (high - low) * unit
    }

    /// A whole number from `low` up to and including `high`.
    pub(crate) fn whole(&mut self, low: i64, high: i64) -> i64 {
        low + (self.0.next_u64() % (high - low + 1).unsigned_abs()) as i64
    }

    /// About normally distributed round 0: the sum of twelve even values less six has a standard deviation of 1.
    pub(crate) fn normal(&mut self, sd: f64) -> f64 {
        let sum: f64 = (0..12).map(|_| self.between(0.0, 1.0)).sum();
        (sum - 6.0) * sd
    }
}

impl Entropy for Dice {
    fn fill(&mut self, bytes: &mut [u8]) {
        self.0.fill_bytes(bytes);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stream_is_fixed_by_seed_and_number() {
        let first = |seed, stream| Dice::new(seed, stream).whole(0, i64::MAX - 1);
        assert_eq!(first(1, 2), first(1, 2));
        assert_ne!(first(1, 2), first(1, 3));
        assert_ne!(first(1, 2), first(2, 2));
    }

    #[test]
    fn the_normal_values_have_the_spread_asked_for() {
        let mut dice = Dice::new(7, 0);
        let values: Vec<f64> = (0..20_000).map(|_| dice.normal(2.0)).collect();
        let mean = values.iter().sum::<f64>() / 20_000.0;
        let variance = values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / 20_000.0;
        assert!(mean.abs() < 0.06, "{mean}");
        assert!((variance.sqrt() - 2.0).abs() < 0.05, "{variance}");
    }
}
