//! Owns all that narrowing searches work out once and use again. Whoever begins searches has one and hands it to
//! them; a search begun with another one goes the very same way, only slower.

use std::sync::Arc;

use super::begun::Beginnings;
use super::rows::{Ranges, Rows};

/// What searches remember of one another's work; nothing that comes of them depends on it.
#[derive(Debug, Default)]
pub struct Memory {
    pub(super) beginnings: Beginnings,
    ranges: Ranges,
}

impl Memory {
    /// The likelihoods of a range of 0 to `top`.
    pub(super) fn rows(&self, top: u32) -> Arc<Rows> {
        self.ranges.rows(top)
    }
}
