//! Owns what can be asked about a bike. It knows nothing of how a question is worded or answered.

use crate::vocabulary::{Knob, Part};

/// One question about a bike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Topic {
    /// What the bike is called.
    Name,
    /// Whether the bike has this part, and how far it can move.
    Travel(Part),
    /// What kind of spring a part has, and its range.
    Spring(Part),
    /// Which other adjusters a part has.
    Adjusters(Part),
    /// From which end the owner counts, of all adjusters.
    Counted,
    /// What can be set on an adjuster.
    Range(Part, Knob),
    /// Which sag a spring is to have.
    Sag(Part, Knob),
    /// Where an adjuster starts.
    Start(Part, Knob),
}
