//! Owns the drawing of lots: the same seed draws the same lots on every machine.
//! It knows nothing of what is drawn for.

use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};

/// A stream of lots, the same from the same seed.
#[derive(Debug, Clone)]
pub struct Lot(ChaCha8Rng);

impl Lot {
    /// The lots of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Lot(ChaCha8Rng::seed_from_u64(seed))
    }

    /// One of many streams of a seed, each by its number, independent of the others.
    #[must_use]
    pub fn stream(seed: u64, number: u64) -> Self {
        let mut lots = ChaCha8Rng::seed_from_u64(seed);
        lots.set_stream(number);
        Lot(lots)
    }

    /// One of the whole numbers below `count`; nought where there is none.
    pub fn below(&mut self, count: u32) -> u32 {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of the count")]
        let drawn = libm::floor(self.share() * f64::from(count)) as u32;
        drawn.min(count.saturating_sub(1))
    }

    /// So many lots of two kinds in a drawn order, as many of either; of an odd number one more of a
    /// kind that is drawn too.
    pub fn balanced(&mut self, count: u32) -> Vec<bool> {
        let first = count / 2 + u32::from(count % 2 == 1 && self.share() < 0.5);
        let mut order: Vec<bool> = (0..count).map(|index| index < first).collect();
        for last in (1..order.len()).rev() {
            let among = u32::try_from(last + 1).unwrap_or(u32::MAX);
            order.swap(last, self.below(among) as usize);
        }
        order
    }

    /// Evenly from 0 to 1, 1 left out.
    pub fn share(&mut self) -> f64 {
        // 53 bits are what a double holds
        #[allow(clippy::cast_precision_loss, reason = "53 bits fit a double")]
        let bits = (self.0.next_u64() >> 11) as f64;
        bits / 9_007_199_254_740_992.0
    }

    /// Evenly between two numbers.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// From the normal distribution of mean 0 and deviation 1 (Box and Muller's transform).
    pub fn normal(&mut self) -> f64 {
        let radius = libm::sqrt(-2.0 * libm::log(1.0 - self.share()));
        radius * libm::cos(2.0 * std::f64::consts::PI * self.share())
    }

    /// From Student's t distribution with three degrees of freedom.
    pub fn student_three(&mut self) -> f64 {
        let squares: f64 = (0..3).map(|_| self.normal()).map(|z| z * z).sum();
        self.normal() / libm::sqrt((squares / 3.0).max(1e-12))
    }
}
