//! Owns the steps of a plan as they are ridden: a file for each has how it begins, what it asks and what it makes of an
//! answer; those of a tune's laps are in `laps`. Here the present step is led to its own, and asked where it is one
//! question; what asks several has a phase, which `fold` leads on.

pub(super) mod confirm;
pub(super) mod laps;
pub(super) mod measure;
pub(super) mod record;
mod revisit;
pub(super) mod ride;
mod say;
mod set;
pub(super) mod tune;

use std::sync::Arc;

use crate::plan::{AdjusterId, Step};
use crate::search::{Direction, Method, SecondLook};

use super::state::Phase;
use super::{Ask, Session};

/// What is tuned just now, whichever step asks for it.
#[derive(Debug, Clone)]
pub(super) struct Job {
    pub adjuster: AdjusterId,
    pub method: Method,
    pub first_way: Option<Direction>,
    pub within: Option<u32>,
    pub at_most: u32,
    /// It is a second look; none for a first one.
    pub again: Option<SecondLook>,
}

/// Enters the present step; `true` where something is asked now.
pub(super) fn enter(session: &mut Session) -> bool {
    let plan = Arc::clone(&session.plan);
    let Some(step) = plan.steps().get(session.state.step) else {
        if !session.must_fit_first() {
            session.state.phase = Phase::Over;
        }
        return true;
    };
    match step {
        Step::Say(_) => say::enter(session),
        Step::RecordSettings => record::enter_settings(session),
        Step::Record(_) => record::enter(session),
        Step::Set { adjuster, goal } => {
            set::enter(session, *adjuster, *goal);
            false
        }
        Step::Ride { laps, .. } => ride::enter(session, *laps),
        Step::Measure(_) => measure::enter(session),
        Step::Tune(tune) => tune::enter(session, &tune::job(tune)),
        Step::Revisit { adjuster, method } => revisit::enter(session, *adjuster, *method),
        Step::Confirm(confirm) => confirm::enter(session, confirm),
    }
}

/// What the present step asks by itself, in one question; `None` where it asks nothing, or has a phase of its own.
pub(super) fn ask(session: &Session) -> Option<Ask> {
    match session.plan.steps().get(session.state.step)? {
        Step::Say(text) => Some(say::ask(text)),
        Step::Record(condition) => Some(record::ask(condition)),
        Step::Ride { laps, warm_up } => Some(ride::ask(session, *laps, *warm_up)),
        Step::RecordSettings
        | Step::Set { .. }
        | Step::Measure(_)
        | Step::Tune(_)
        | Step::Revisit { .. }
        | Step::Confirm(_) => None,
    }
}

/// What the present step tunes; `None` where it tunes nothing.
pub(super) fn job(session: &Session) -> Option<Job> {
    job_of(session, session.plan.steps().get(session.state.step)?)
}

fn job_of(session: &Session, step: &Step) -> Option<Job> {
    match step {
        Step::Tune(tune) => Some(tune::job(tune)),
        Step::Revisit { adjuster, method } => Some(revisit::job(session, *adjuster, *method)),
        Step::Say(_)
        | Step::RecordSettings
        | Step::Record(_)
        | Step::Set { .. }
        | Step::Ride { .. }
        | Step::Measure(_)
        | Step::Confirm(_) => None,
    }
}

/// The most laps that a later step may take, or somewhat more.
fn most_laps(session: &Session, step: &Step) -> u32 {
    match step {
        Step::Ride { laps, .. } => *laps,
        Step::Confirm(confirm) => confirm.pairs * 2,
        Step::Tune(_) | Step::Revisit { .. } => {
            job_of(session, step).map_or(0, |job| tune::most_laps(session, &job))
        }
        Step::Say(_) | Step::RecordSettings | Step::Record(_) | Step::Set { .. } | Step::Measure(_) => 0,
    }
}
