//! Owns what is compared by pairs of laps. It knows nothing of how they are ridden.

use crate::chance::Sides;
use crate::plan::AdjusterId;

/// What is compared.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Compared {
    /// Each adjuster with its two places: start or the first, found or the second.
    pub places: Vec<(AdjusterId, u32, u32)>,
    /// Start and found are compared; otherwise two places that the plan names.
    pub found: bool,
}

impl Compared {
    /// Whether one outcome is expected, the found setting's, or either could be.
    #[must_use]
    pub fn sides(&self) -> Sides {
        if self.found { Sides::One } else { Sides::Two }
    }
}
