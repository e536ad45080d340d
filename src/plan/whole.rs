//! Owns a plan as a whole: its parts, and what makes a plan of them that cannot be wrong. It knows nothing of how a
//! ride goes.

use std::sync::Arc;

use super::{AdjusterId, Bike, Confirm, Goal, Loop, MOST_LAPS_OF_A_TUNE, Rider, Setup, Step, Tune};
use crate::physics::Number;
use crate::search::{Effort, Memory};

/// All that a plan is made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Parts {
    pub title: Option<String>,
    pub author: Option<String>,
    pub rider: Option<Rider>,
    pub bike: Bike,
    pub loop_: Option<Loop>,
    /// The most laps of the whole ride.
    pub laps: Option<u32>,
    /// The most minutes that are thought of; shown, never enforced.
    pub minutes: Option<Number>,
    /// Minutes that one change of settings takes.
    pub change: Number,
    pub effort: Effort,
    pub compare_twice: bool,
    /// The ride must start from recorded settings.
    pub needs_settings: bool,
    pub steps: Vec<Step>,
}

/// A plan that can be ridden to its end.
#[derive(Debug, Clone)]
pub struct Plan {
    parts: Parts,
    /// What the searches of its rides work out; plans that were made of it share it.
    memory: Arc<Memory>,
}

impl PartialEq for Plan {
    fn eq(&self, other: &Self) -> bool {
        let Plan { parts, memory: _ } = self;
        *parts == other.parts
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
            self.parts.change
        }
    }

    /// A plan from its parts; `None` where there is nothing to do, nothing to turn, or a step names
    /// an adjuster that the bike does not have.
    #[must_use]
    pub fn new(mut parts: Parts) -> Option<Self> {
        let known = |id: AdjusterId| id.index() < parts.bike.len();
        let sound = parts.steps.iter().all(|step| match step {
            Step::Set { adjuster, .. } | Step::Revisit { adjuster, .. } => known(*adjuster),
            Step::Confirm(confirm) => confirm.adjusters.iter().all(|id| known(*id)),
            Step::Tune(tune) => known(tune.adjuster),
            Step::Measure(measure) => known(measure.adjuster) && measure.preload.is_none_or(known),
            Step::Say(_) | Step::RecordSettings | Step::Record(_) | Step::Ride { .. } => true,
        });
        for step in &mut parts.steps {
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
        (sound && !parts.steps.is_empty() && !parts.bike.is_empty())
            .then(|| Plan { parts, memory: Arc::default() })
    }

    /// The same plan with another setup of one adjuster.
    #[must_use]
    pub(super) fn with_setup(mut self, id: AdjusterId, setup: Setup) -> Self {
        self.parts.bike = self.parts.bike.with(id, setup);
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
        self.parts.laps = None;
        self.parts.minutes = None;
        self
    }

    /// The same plan where no tune takes more laps than this; at least one.
    #[must_use]
    pub fn with_share(mut self, laps: u32) -> Self {
        for step in &mut self.parts.steps {
            if let Step::Tune(tune) = step {
                tune.at_most = tune.at_most.min(laps.max(1));
            }
        }
        self
    }

    /// The same plan, ending after a step; `None` where it has no such step.
    #[must_use]
    pub fn until(&self, step: usize) -> Option<Self> {
        let steps = self.parts.steps.get(..=step)?.to_vec();
        Some(Plan { parts: Parts { steps, ..self.parts.clone() }, memory: Arc::clone(&self.memory) })
    }

    /// The same plan with every goal of a `set` put through `change`.
    #[must_use]
    pub(super) fn with_goals(mut self, change: impl Fn(AdjusterId, Goal) -> Goal) -> Self {
        for step in &mut self.parts.steps {
            if let Step::Set { adjuster, goal } = step {
                *goal = change(*adjuster, *goal);
            }
        }
        self
    }

    /// Its title; `plan` where it has none.
    #[must_use]
    pub fn title(&self) -> &str {
        self.parts.title.as_deref().unwrap_or("plan")
    }

    /// The rider's name, where the set has a rider.
    #[must_use]
    pub fn rider_name(&self) -> Option<&str> {
        self.parts.rider.as_ref().map(|rider| rider.name.as_str())
    }

    /// Everything in it.
    #[must_use]
    pub fn parts(&self) -> &Parts {
        &self.parts
    }

    /// What the searches of its rides work out once; nothing that comes of them depends on it.
    #[must_use]
    pub fn memory(&self) -> &Arc<Memory> {
        &self.memory
    }

    /// The bike.
    #[must_use]
    pub fn bike(&self) -> &Bike {
        &self.parts.bike
    }

    /// The steps, in order.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.parts.steps
    }

    /// The tunes among the steps, in order.
    pub fn tunes(&self) -> impl DoubleEndedIterator<Item = &Tune> {
        self.steps().iter().filter_map(Step::tune)
    }

    /// The adjusters that it tunes, each once, in the order of their first tunes.
    #[must_use]
    pub fn tuned(&self) -> Vec<AdjusterId> {
        let mut tuned = Vec::new();
        for tune in self.tunes() {
            if !tuned.contains(&tune.adjuster) {
                tuned.push(tune.adjuster);
            }
        }
        tuned
    }

    /// Whether how the bike was found is asked at the beginning: it is where that step stands
    /// before the first lap.
    #[must_use]
    pub fn asks_found_first(&self) -> bool {
        let before = self.steps().iter().take_while(|step| !step.rides());
        before.into_iter().any(|step| *step == Step::RecordSettings)
    }
}
