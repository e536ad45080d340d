//! Owns numbers, units and their conversion, and the formulas of air and springs.
//! It knows nothing of bikes, of plans or of how a unit is spelt in a file.

mod atmosphere;
mod gas;
mod number;
mod sag;
mod springs;
mod unit;

pub use atmosphere::{LARGEST_HEIGHT, LOWEST_HEIGHT, STANDARD_ATMOSPHERE, pascals_at};
pub use gas::{ABSOLUTE_ZERO, Compressed, Surroundings, compressed, untouched_gauge, warmed};
pub use number::{
    Number, decimal, float, mixed, mixed_or_decimal, nearest, parse_decimal, parse_fraction, percent,
    to_billionths,
};
pub use sag::{
    LARGEST_RATIO, SagReading, Secant, coil_rate_for, coil_sag, next_gauge_pressure, secant, step_down,
    step_up,
};
pub use springs::{Helix, wheel_rate};
pub use unit::{Kind, Quantity, Unit};
