//! Owns what chance does: the normal distribution, what pairs of laps can show, the drawing of lots.
//! It knows nothing of rides.

mod lot;
mod normal;
mod pairs;

pub use lot::Lot;
pub use normal::normal_share;
pub use pairs::{Sides, by_chance, fewest_agreeing, in_hundred, power};
