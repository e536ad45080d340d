//! Owns the pressure of the air around. It knows nothing of what is filled with it.

/// The pressure of the standard atmosphere at the level of the sea in kPa, exact by definition (tenth
/// general conference on weights and measures, 1954).
pub const STANDARD_ATMOSPHERE: f64 = 101.325;
