//! Owns whom a plan is for, where it is ridden, and its steps, with every selector spread out. It knows nothing of how
//! the steps are ridden.

use super::{AdjusterId, Goal};
use crate::physics::{Number, Quantity, Unit};
use crate::search::{Direction, Method};
use crate::vocabulary::Recordable;

/// The most laps of any kind in one tune.
pub const MOST_LAPS_OF_A_TUNE: u32 = 24;

/// Who rides.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rider {
    pub name: String,
    pub weight: Option<Quantity>,
}

/// The loop that is ridden.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loop {
    pub name: String,
    /// Minutes for one lap.
    pub lap: Option<Number>,
    /// Minutes for which laps can be compared where the ride pauses.
    pub good_for: Number,
}

impl Loop {
    /// The minutes for which laps can be compared, where the file does not say; common practice, no source.
    pub const GOOD_FOR: i128 = 120;
}

/// Something that is asked once and kept with the settings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Condition {
    Temperature,
    Altitude,
    Own { name: String, unit: Option<Unit> },
}

impl Condition {
    /// Its name.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Condition::Temperature => Recordable::Temperature.word(),
            Condition::Altitude => Recordable::Altitude.word(),
            Condition::Own { name, .. } => name,
        }
    }

    /// The units in which it may be answered; none where it is a text.
    #[must_use]
    pub fn units(&self) -> Vec<Unit> {
        match self {
            Condition::Temperature => vec![Unit::Celsius, Unit::Fahrenheit],
            Condition::Altitude => vec![Unit::Metre, Unit::Foot],
            Condition::Own { unit: Some(unit), .. } => vec![*unit],
            Condition::Own { unit: None, .. } => Vec::new(),
        }
    }
}

/// One adjuster's search for its best setting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tune {
    pub adjuster: AdjusterId,
    pub method: Method,
    /// Which way comes first; asked where the plan does not say.
    pub first_way: Option<Direction>,
    /// How many positions either side of where it is, one at a time (a change is one position, whatever
    /// `step` says); the whole range where the plan does not say. A search has it as its `search::Window`.
    pub within: Option<u32>,
    /// The most laps of it, 1 to 24.
    pub at_most: u32,
    pub feel: Option<String>,
}

/// One spring's search for the sag that is aimed at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measure {
    /// The air or coil spring.
    pub adjuster: AdjusterId,
    /// The least and the most sag that is right, in mm, to the nearest billionth.
    pub low: Number,
    pub high: Number,
    /// The file names no window, so this is common practice.
    pub silent: bool,
    /// How far the part can move, in mm, where the file says it.
    pub travel: Option<Number>,
    /// How finely sag is read, in mm.
    pub measured_to: Number,
    /// The preload of the same part, where it has one in mm.
    pub preload: Option<AdjusterId>,
}

impl Measure {
    /// The most readings of one measurement; common practice is fewer.
    pub const MOST_READINGS: usize = 6;

    /// The sag that is aimed at, in mm: the middle of the window.
    #[must_use]
    pub fn aim(&self) -> Number {
        (self.low + self.high) / Number::from_integer(2)
    }
}

/// Pairs of laps, one setting against another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Confirm {
    /// What is compared, all of it together.
    pub adjusters: Vec<AdjusterId>,
    /// The two places, for each adjuster; none where start and found are compared.
    pub between: Vec<(Goal, Goal)>,
    /// A second person turns the knobs, and the rider does not know which setting is fitted.
    pub blind: bool,
    /// How many pairs, 1 to [`Confirm::MOST_PAIRS`].
    pub pairs: u32,
}

impl Confirm {
    /// The most pairs of one comparison.
    pub const MOST_PAIRS: u32 = 64;
}

/// One step of a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    Say(String),
    RecordSettings,
    Record(Condition),
    Set {
        adjuster: AdjusterId,
        goal: Goal,
    },
    /// Laps without a verdict.
    Ride {
        laps: u32,
        warm_up: bool,
    },
    Measure(Measure),
    Tune(Tune),
    /// A second, short look at what was tuned, where something else has moved since.
    Revisit {
        adjuster: AdjusterId,
        method: Method,
    },
    Confirm(Confirm),
}

impl Step {
    /// Whether laps are ridden in it.
    #[must_use]
    pub fn rides(&self) -> bool {
        match self {
            Step::Ride { .. } | Step::Tune(_) | Step::Revisit { .. } | Step::Confirm(_) => true,
            Step::Say(_) | Step::RecordSettings | Step::Record(_) | Step::Set { .. } | Step::Measure(_) => {
                false
            }
        }
    }

    /// What it asks and keeps, if that is what it does.
    #[must_use]
    pub fn condition(&self) -> Option<&Condition> {
        if let Step::Record(condition) = self { Some(condition) } else { None }
    }

    /// The laps of the warm-up that it is, if it is one.
    #[must_use]
    pub fn warm_up(&self) -> Option<u32> {
        if let Step::Ride { laps, warm_up: true } = self { Some(*laps) } else { None }
    }

    /// The value to which it sets an adjuster whose range is not known yet.
    #[must_use]
    pub fn value_set(&self, id: AdjusterId) -> Option<Number> {
        match self {
            Step::Set { adjuster, goal: Goal::Value(value) } if *adjuster == id => Some(*value),
            Step::Set { .. }
            | Step::Say(_)
            | Step::RecordSettings
            | Step::Record(_)
            | Step::Ride { .. }
            | Step::Measure(_)
            | Step::Tune(_)
            | Step::Revisit { .. }
            | Step::Confirm(_) => None,
        }
    }

    /// The tune that it is, if it is one.
    #[must_use]
    pub fn tune(&self) -> Option<&Tune> {
        if let Step::Tune(tune) = self { Some(tune) } else { None }
    }

    /// The measurement that it is, if it is one.
    #[must_use]
    pub fn measurement(&self) -> Option<&Measure> {
        if let Step::Measure(measure) = self { Some(measure) } else { None }
    }

    /// The adjuster that it changes, by an order, by a search or by sag; pairs leave nothing changed.
    #[must_use]
    pub fn changes(&self) -> Option<AdjusterId> {
        match self {
            Step::Set { adjuster, .. } | Step::Revisit { adjuster, .. } => Some(*adjuster),
            Step::Tune(tune) => Some(tune.adjuster),
            Step::Measure(measure) => Some(measure.adjuster),
            Step::Confirm(_) | Step::Say(_) | Step::RecordSettings | Step::Record(_) | Step::Ride { .. } => {
                None
            }
        }
    }

    /// Whether it goes back to how an adjuster was found.
    #[must_use]
    pub fn goes_back(&self) -> bool {
        match self {
            Step::Set { goal, .. } => *goal == Goal::Before,
            Step::Confirm(confirm) => {
                confirm.between.iter().any(|(one, other)| [one, other].contains(&&Goal::Before))
            }
            Step::Say(_)
            | Step::RecordSettings
            | Step::Record(_)
            | Step::Ride { .. }
            | Step::Measure(_)
            | Step::Tune(_)
            | Step::Revisit { .. } => false,
        }
    }

    /// Whether the bike must stand as it should before it: laps are ridden in it, or sag is read.
    #[must_use]
    pub fn needs_fitting(&self) -> bool {
        self.rides() || matches!(self, Step::Measure(_))
    }
}
