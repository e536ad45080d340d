//! Owns a ride at one moment: what it has, where everything is, what was ridden and how long that takes. It knows
//! nothing of what is asked, nor of what an answer changes.

use std::sync::Arc;

use num_traits::Zero;

use crate::physics::Number;
use crate::plan::{Adjuster, AdjusterId, ByAdjuster, Dial, Goal, Measure, Plan, Step};

use super::history::{History, Worth};
use super::state::{Phase, State};
use super::{Fit, Lap, News, Stated};

/// A ride at one moment. It never changes; an answer gives the next one.
#[derive(Debug, Clone, PartialEq)]
pub struct Session {
    pub(super) plan: Arc<Plan>,
    pub(super) seed: u64,
    pub(super) dials: Arc<ByAdjuster<Option<Arc<Dial>>>>,
    pub(super) state: State,
    pub(super) history: History,
}

/// What a part of a ride took.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Taken {
    pub laps: u32,
    /// How often something was turned before a lap or a reading.
    pub changes: u32,
    /// How often a coil or spacers were changed.
    pub slow_changes: u32,
}

impl Taken {
    /// What was taken since an earlier moment of the same ride.
    #[must_use]
    pub fn since(self, before: Taken) -> Taken {
        Taken {
            laps: self.laps.saturating_sub(before.laps),
            changes: self.changes.saturating_sub(before.changes),
            slow_changes: self.slow_changes.saturating_sub(before.slow_changes),
        }
    }
}

impl Session {
    /// All that the future depends on, besides the plan and the seed: no lap numbers, no history.
    #[must_use]
    pub fn state(&self) -> &State {
        &self.state
    }

    /// The plan that is ridden.
    #[must_use]
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Every adjuster of the bike.
    pub(super) fn ids(&self) -> impl DoubleEndedIterator<Item = AdjusterId> + ExactSizeIterator + use<> {
        self.plan.bike().ids()
    }

    /// The adjuster at a place, counted from 0.
    pub(super) fn id_at(&self, index: usize) -> Option<AdjusterId> {
        self.ids().nth(index)
    }

    /// Every lap ridden so far.
    #[must_use]
    pub fn laps(&self) -> &[Lap] {
        self.history.laps()
    }

    /// What has come up since the last answer.
    #[must_use]
    pub fn news(&self) -> &[News] {
        self.history.news()
    }

    /// The same ride with nothing left to tell.
    #[must_use]
    pub fn quiet(mut self) -> Self {
        self.history.told();
        self
    }

    /// Where an adjuster stands in truth, once that is known.
    #[must_use]
    pub fn fitted_at(&self, id: AdjusterId) -> Option<u32> {
        self.state.fitted[id]
    }

    /// An adjuster of the bike.
    #[must_use]
    pub fn adjuster(&self, id: AdjusterId) -> &Adjuster {
        self.plan.bike().get(id)
    }

    /// An adjuster's dial, once its positions are known.
    #[must_use]
    pub fn dial(&self, id: AdjusterId) -> Option<&Dial> {
        self.dials[id].as_deref()
    }

    /// The number of the latest lap of the running tune at a position.
    #[must_use]
    pub fn lap_at(&self, position: u32) -> Option<u32> {
        self.history.lap_at(position)
    }

    /// How an adjuster was found, where that was asked and known.
    #[must_use]
    pub fn before(&self, id: AdjusterId) -> Option<&Stated> {
        self.state.seldom.before[id].as_ref()
    }

    /// The measurement that runs now, or that has stopped the ride.
    #[must_use]
    pub fn measuring(&self) -> Option<&Measure> {
        match (&self.state.phase, self.plan.steps().get(self.state.step)) {
            (Phase::Measure(_) | Phase::Stop(_), Some(Step::Measure(measure))) => Some(measure),
            _ => None,
        }
    }

    pub(super) fn fit(&self, id: AdjusterId, to: u32) -> Fit {
        Fit { adjuster: id, from: self.state.fitted[id], to }
    }

    pub(super) fn unfitted(&self) -> bool {
        self.state.at.iter().zip(self.state.fitted.iter()).any(|(at, fitted)| Some(*at) != *fitted)
    }

    pub(super) fn must_fit_first(&mut self) -> bool {
        let unfitted = self.unfitted();
        if unfitted {
            self.state.phase = Phase::Fit;
        }
        unfitted
    }

    /// The position that a goal means, from a position; and whether it had to stop at the end of the range.
    pub(super) fn reach(&self, id: AdjusterId, goal: Goal, from: u32) -> (u32, bool) {
        let found = (goal == Goal::Before).then(|| self.before_at(id)).flatten();
        match (found, self.dial(id)) {
            (Some(found), _) => (found, false),
            (None, Some(dial)) => dial.reach(goal, from),
            (None, None) => (from, false),
        }
    }

    pub(super) fn laps_that_fit(&self, laps: u32) -> u32 {
        self.state.laps_left.map_or(laps, |left| laps.min(left))
    }

    /// The minutes that the laps and changes so far take, by the plan's own times; `None` where the
    /// loop does not say how long a lap is.
    #[must_use]
    pub fn minutes(&self) -> Option<Number> {
        let history = &self.history;
        self.time_of(history.ridden(), history.changes, history.slow_changes)
    }

    /// What was ridden and changed so far.
    #[must_use]
    pub fn taken(&self) -> Taken {
        let History { changes, slow_changes, .. } = self.history;
        Taken { laps: self.history.ridden(), changes, slow_changes }
    }

    fn time_of(&self, laps: u32, changes: u32, slow_changes: u32) -> Option<Number> {
        let lap = self.plan.parts().loop_.as_ref()?.lap?;
        let times = |each: Number, count: u32| match count {
            0 => Number::zero(),
            1 => each,
            count => each * Number::from_integer(count.into()),
        };
        let slow = times(Number::from_integer(Plan::SLOW_CHANGE), slow_changes);
        Some(times(lap, laps) + times(self.plan.parts().change, changes) + slow)
    }

    pub(super) fn is_in_time(&self) -> bool {
        let Some(most) = self.plan.parts().minutes else { return true };
        self.minutes().is_none_or(|minutes| minutes <= most)
    }

    pub(super) fn fitted(&mut self) {
        if self.plan.steps().iter().skip(self.state.step).any(Step::needs_fitting) {
            let slow = self.ids().any(|id| {
                let (fitted, at) = (self.state.fitted[id], self.state.at[id]);
                self.is_slow(id) && fitted.is_some_and(|fitted| fitted != at)
            });
            self.history.changes += u32::from(!slow);
            self.history.slow_changes += u32::from(slow);
        }
        self.state.fitted = self.state.at.map(Some);
        self.state.settle_due = false;
        self.state.phase = Phase::Steps;
    }

    /// Whether a setting that was found is to be fitted before anything is asked.
    pub(super) fn must_settle_first(&mut self) -> bool {
        self.state.settle_due && self.must_fit_first()
    }

    /// Whether changing it takes a workshop's time: another coil, another number of spacers.
    fn is_slow(&self, id: AdjusterId) -> bool {
        self.adjuster(id).is_slow()
    }

    /// Counts one change of one adjuster before a lap or a reading.
    pub(super) fn change(&mut self, id: AdjusterId) {
        if self.is_slow(id) {
            self.history.slow_changes += 1;
        } else {
            self.history.changes += 1;
        }
    }

    /// Writes laps down that nobody judges.
    pub(super) fn ride(&mut self, laps: u32) {
        for _ in 0..laps {
            self.history.lap(None, None, Worth::Counts);
        }
        self.spend(laps);
    }

    pub(super) fn spend(&mut self, laps: u32) {
        if let Some(left) = &mut self.state.laps_left {
            *left = left.saturating_sub(laps);
        }
    }
}
