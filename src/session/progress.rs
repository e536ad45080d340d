//! Owns how far a ride is, step by step, and why a second look is held. It is worked out from where the
//! ride is; nothing is kept for it, and nothing that is asked depends on it.

use crate::plan::{AdjusterId, Step};
use crate::search::SecondLook;

use super::Session;
use super::state::{PairStage, Phase, Stage, TuneState};
use super::steps::{self, tune};

/// How far a ride is: which of the steps in which something is ridden or read has just begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Begun {
    /// From 1.
    pub number: usize,
    pub of: usize,
}

/// Whether laps are ridden or sag is read in it.
fn is_work(step: &Step) -> bool {
    match step {
        Step::Ride { .. } | Step::Measure(_) | Step::Tune(_) | Step::Revisit { .. } | Step::Confirm(_) => {
            true
        }
        Step::Say(_) | Step::RecordSettings | Step::Record(_) | Step::Set { .. } => false,
    }
}

impl Session {
    /// The step that has just begun, if laps are ridden or sag is read in it and this is its first question.
    #[must_use]
    pub fn begun(&self) -> Option<Begun> {
        let is_first = match &self.state.phase {
            Phase::Steps => true,
            Phase::Measure(measure) => measure.readings.is_empty(),
            Phase::Tune(tune) => self.is_first_of_tune(tune),
            Phase::Compare(pairs) => pairs.stage == PairStage::Begin,
            Phase::Before(_)
            | Phase::Count(_)
            | Phase::InNow(_)
            | Phase::Fit
            | Phase::Stop(_)
            | Phase::Over => false,
        };
        let steps = self.plan.steps();
        let is_begun =
            is_first && self.state.due.is_empty() && steps.get(self.state.step).is_some_and(is_work);
        is_begun.then(|| Begun {
            number: steps.iter().take(self.state.step + 1).filter(|step| is_work(step)).count(),
            of: steps.iter().filter(|step| is_work(step)).count(),
        })
    }

    fn is_first_of_tune(&self, tune: &TuneState) -> bool {
        let way_was_asked = || steps::job(self).is_some_and(|job| tune::asks_way(self, &job, tune));
        tune.ridden() == 0
            && match &tune.stage {
                Stage::Baseline | Stage::Way => true,
                Stage::Lap { retold, .. } => !retold && !way_was_asked(),
                Stage::Second { .. } | Stage::Offer(_) | Stage::Trial(_) => false,
            }
    }

    /// Whether the running measurement is the first of the plan.
    #[must_use]
    pub fn is_first_measure(&self) -> bool {
        let earlier = self.plan.steps().iter().take(self.state.step);
        self.measuring().is_some() && !earlier.into_iter().any(|step| matches!(step, Step::Measure(_)))
    }

    /// The adjusters that have moved since the running second look's adjuster was tuned, each with where it
    /// was then and where it is to be now; empty outside second looks.
    #[must_use]
    pub fn moved_since(&self) -> Vec<(AdjusterId, u32, u32)> {
        let Some(job) = steps::job(self).filter(|_| self.is_second_look()) else {
            return Vec::new();
        };
        let Some(stood) = &self.state.seldom.stood[job.adjuster] else { return Vec::new() };
        let others = self.ids().filter(|id| *id != job.adjuster);
        let moved = others.map(|id| (id, stood[id], self.state.at[id]));
        moved.filter(|(_, then, now)| SecondLook::has_moved(*then, *now)).collect()
    }
}
