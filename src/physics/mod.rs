//! Owns numbers, units and their conversion.
//! It knows nothing of bikes, of plans or of how a unit is spelt in a file.

mod number;
mod unit;

pub use number::{Number, decimal, mixed, mixed_or_decimal, parse_decimal, parse_fraction};
pub use unit::{Kind, Quantity, Unit};
