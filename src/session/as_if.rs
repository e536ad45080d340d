//! Owns rides as they would be: as if a step had gone in some way, without riding it; so that somebody who follows
//! every way need not ride each. It knows nothing of who that is.

use std::sync::Arc;

use super::state::{Phase, TuneState};
use super::steps::{self, confirm, measure, tune};
use super::{How, Session, fold};

impl Session {
    /// The same ride without what lies behind it, on which nothing that is asked later depends; what comes is
    /// not written down either.
    #[must_use]
    pub fn forgetting(mut self) -> Session {
        self.history.forget();
        self
    }

    /// The same ride with its lots drawn so that the running comparison ends on the other one of its two
    /// settings; `None` where no pairs run.
    #[must_use]
    pub fn drawn_otherwise(&self) -> Option<Session> {
        let last = confirm::order(self).last().copied()?;
        let others = (0..64).map(|seed| Session { seed, ..self.clone() });
        others.into_iter().find(|other| other.order().last() != Some(&last))
    }

    /// The ride as if its running measurement had ended with the spring at a position.
    #[must_use]
    pub fn measured_at(&self, at: u32) -> Option<Session> {
        let measure = self.measuring()?.clone();
        let mut next = self.clone();
        next.state.fitted[measure.adjuster] = Some(at);
        measure::settle(&mut next, &measure, &[], at, How::Measured);
        fold::advance(&mut next);
        Some(next)
    }

    /// The ride as if its running tune, which has not judged a lap yet, had settled at a position with
    /// its last lap at another.
    #[must_use]
    pub fn settling(&self, at: u32, last: u32) -> Option<Session> {
        let Phase::Tune(tune) = &self.state.phase else { return None };
        let job = steps::job(self)?;
        let mut next = self.clone();
        let id = job.adjuster;
        next.state.at[id] = last;
        next.state.fitted[id] = Some(last);
        next.state.last_lap = Some(next.state.at.clone());
        tune::settle(
            &mut next,
            &job,
            &TuneState { laps: tune.laps.max(1), ..tune.clone() },
            at,
            How::FeltBest,
        );
        fold::advance(&mut next);
        Some(next)
    }

    /// The same ride of a plan that ends after the present step.
    #[must_use]
    pub fn until_here(&self) -> Option<Session> {
        let mut next = self.clone();
        next.plan = Arc::new(self.plan.until(self.state.step)?);
        Some(next)
    }
}
