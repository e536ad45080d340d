//! Owns what a screen can show.

/// What the place that is written to can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Characters a line.
    pub width: usize,
    pub colour: bool,
    /// Whether characters beyond ASCII can be shown.
    pub unicode: bool,
}
