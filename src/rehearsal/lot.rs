//! Owns the drawing of lots: the same seed draws the same lots on every machine.
//! It knows nothing of what is drawn for.

use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};

/// A stream of lots.
#[derive(Debug, Clone)]
pub(super) struct Lot(ChaCha8Rng);

impl Lot {
    pub fn new(seed: u64) -> Self {
        Lot(ChaCha8Rng::seed_from_u64(seed))
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
