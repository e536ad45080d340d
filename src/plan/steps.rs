//! Owns the plan as a whole: whom it is for, what it may cost, and its steps, with every selector
//! spread out. It knows nothing of how the steps are ridden.

use std::sync::Arc;

use super::{AdjusterId, Bike, Goal, Setup};
use crate::physics::{Number, Quantity, Unit};
use crate::search::{Direction, Effort, Memory, Method};
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
pub struct Trail {
    pub name: String,
    /// Minutes for one lap.
    pub lap: Option<Number>,
    /// Minutes for which laps can be compared where the ride pauses.
    pub good_for: Number,
}

impl Trail {
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
    pub begin: Option<Direction>,
    /// How many positions about where it stands; the whole range where the plan does not say.
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
    pub read_to: Number,
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

/// All that a plan is made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    pub title: Option<String>,
    pub author: Option<String>,
    pub rider: Option<Rider>,
    pub bike: Bike,
    pub trail: Option<Trail>,
    /// The most laps of the whole ride.
    pub laps: Option<u32>,
    /// The most minutes that are thought of; shown, never enforced.
    pub minutes: Option<Number>,
    /// Minutes that one change of settings takes.
    pub change: Number,
    pub effort: Effort,
    pub second_question: bool,
    /// The ride must start from recorded settings.
    pub needs_settings: bool,
    pub steps: Vec<Step>,
}

/// A plan that can be ridden to its end.
#[derive(Debug, Clone)]
pub struct Plan {
    draft: Draft,
    /// What the searches of its rides work out; plans that were made of it share it.
    memory: Arc<Memory>,
}

impl PartialEq for Plan {
    fn eq(&self, other: &Self) -> bool {
        let Plan { draft, memory: _ } = self;
        *draft == other.draft
    }
}

impl Eq for Plan {}

impl Plan {
    /// Minutes that it takes to change a coil or spacers (common practice, no source).
    pub const SLOW_CHANGE: i128 = 15;

    /// Minutes that one change of an adjuster takes.
    #[must_use]
    pub fn change_of(&self, id: AdjusterId) -> Number {
        if self.bike().get(id).is_slow() {
            Number::from_integer(Plan::SLOW_CHANGE)
        } else {
            self.draft.change
        }
    }

    /// A plan from its parts; `None` where there is nothing to do, nothing to turn, or a step names
    /// an adjuster that the bike does not have.
    #[must_use]
    pub fn new(mut draft: Draft) -> Option<Self> {
        let known = |id: AdjusterId| id.index() < draft.bike.len();
        let sound = draft.steps.iter().all(|step| match step {
            Step::Set { adjuster, .. } | Step::Revisit { adjuster, .. } => known(*adjuster),
            Step::Confirm(confirm) => confirm.adjusters.iter().all(|id| known(*id)),
            Step::Tune(tune) => known(tune.adjuster),
            Step::Measure(measure) => known(measure.adjuster) && measure.preload.is_none_or(known),
            Step::Say(_) | Step::RecordSettings | Step::Record(_) | Step::Ride { .. } => true,
        });
        for step in &mut draft.steps {
            match step {
                Step::Tune(tune) => tune.at_most = tune.at_most.clamp(1, MOST_LAPS_OF_A_TUNE),
                Step::Confirm(confirm) => confirm.pairs = confirm.pairs.clamp(1, Confirm::MOST_PAIRS),
                Step::Say(_)
                | Step::RecordSettings
                | Step::Record(_)
                | Step::Set { .. }
                | Step::Ride { .. }
                | Step::Measure(_)
                | Step::Revisit { .. } => {}
            }
        }
        (sound && !draft.steps.is_empty() && !draft.bike.is_empty())
            .then(|| Plan { draft, memory: Arc::default() })
    }

    /// The same plan with another setup of one adjuster.
    #[must_use]
    pub(super) fn with_setup(mut self, id: AdjusterId, setup: Setup) -> Self {
        self.draft.bike = self.draft.bike.with(id, setup);
        self
    }

    /// The same plan where a change of one adjuster goes so many positions.
    #[must_use]
    pub fn with_step(self, id: AdjusterId, step: u32) -> Self {
        let setup = self.bike().get(id).setup.clone().with_step(step);
        self.with_setup(id, setup)
    }

    /// The same plan without an `at most` of its own; the clauses of its tunes stay.
    #[must_use]
    pub fn without_budget(mut self) -> Self {
        self.draft.laps = None;
        self.draft.minutes = None;
        self
    }

    /// The same plan where no tune takes more laps than this; at least one.
    #[must_use]
    pub fn with_share(mut self, laps: u32) -> Self {
        for step in &mut self.draft.steps {
            if let Step::Tune(tune) = step {
                tune.at_most = tune.at_most.min(laps.max(1));
            }
        }
        self
    }

    /// The same plan, ending after a step; `None` where it has no such step.
    #[must_use]
    pub fn until(&self, step: usize) -> Option<Self> {
        let steps = self.draft.steps.get(..=step)?.to_vec();
        Some(Plan { draft: Draft { steps, ..self.draft.clone() }, memory: Arc::clone(&self.memory) })
    }

    /// The same plan with every goal of a `set` put through `change`.
    #[must_use]
    pub(super) fn with_goals(mut self, change: impl Fn(AdjusterId, Goal) -> Goal) -> Self {
        for step in &mut self.draft.steps {
            if let Step::Set { adjuster, goal } = step {
                *goal = change(*adjuster, *goal);
            }
        }
        self
    }

    /// Its title; `plan` where it has none.
    #[must_use]
    pub fn title(&self) -> &str {
        self.draft.title.as_deref().unwrap_or("plan")
    }

    /// The rider's name, where the set has a rider.
    #[must_use]
    pub fn rider_name(&self) -> Option<&str> {
        self.draft.rider.as_ref().map(|rider| rider.name.as_str())
    }

    /// Everything in it.
    #[must_use]
    pub fn parts(&self) -> &Draft {
        &self.draft
    }

    /// What the searches of its rides work out once; nothing that comes of them depends on it.
    #[must_use]
    pub fn memory(&self) -> &Arc<Memory> {
        &self.memory
    }

    /// The bike.
    #[must_use]
    pub fn bike(&self) -> &Bike {
        &self.draft.bike
    }

    /// The steps, in order.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.draft.steps
    }

    /// Whether how the bike was found is asked at the beginning: it is where that step stands
    /// before the first lap.
    #[must_use]
    pub fn asks_found_first(&self) -> bool {
        let before = self.steps().iter().take_while(|step| !step.rides());
        before.into_iter().any(|step| *step == Step::RecordSettings)
    }
}
