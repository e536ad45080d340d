//! Owns what comes out of a ride. It knows nothing of the file in which it is written.

use indexmap::IndexMap;

use crate::physics::{Number, Quantity};
use crate::plan::{AdjusterId, Dial};

use super::Stated;

/// How a setting came to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum How {
    /// Put there by the plan; never tuned.
    Set,
    /// A spring, by its sag.
    Measured,
    /// Found by comparing laps, to the end of the search.
    FeltBest,
    /// A tune of it was due, and no lap was spent on it.
    Unchanged,
    /// A tune of it ended before its search did.
    StoppedEarly,
}

/// What was recorded of a condition.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Noted {
    Quantity(Quantity),
    Text(String),
    Unknown,
}

/// One adjuster's setting.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    pub adjuster: AdjusterId,
    /// Its scale and start; absent where the ride stopped before it was counted.
    pub dial: Option<Dial>,
    pub at: u32,
    /// As it was before the first change, where that was asked and known.
    pub before: Option<Stated>,
    pub how: How,
    /// The laps behind it, by number.
    pub laps: Vec<u32>,
    /// The files' start lay beyond the count, so the end was taken.
    pub start_cut: bool,
    /// The sag in mm at this setting, and how far the part can move in mm, where known.
    pub sag: Option<(Number, Option<Number>)>,
    /// The sag is not right, and the rider chose to ride it anyway.
    pub ridden_anyway: bool,
    /// Pairs for this setting against the start, and all pairs ridden, where they were.
    pub confirmed: Option<(u32, u32)>,
}

/// The settings of a whole bike.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// In the bike's order.
    pub adjusters: Vec<Settled>,
    /// In the order in which they were asked.
    pub conditions: IndexMap<String, Noted>,
    /// All laps ridden, of every kind.
    pub laps: u32,
    /// The minutes that they and the changes take, by the plan's own times, where it says them.
    pub minutes: Option<Number>,
    /// Whether the plan has ended.
    pub finished: bool,
}
