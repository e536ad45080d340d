//! Owns what each kind of step needs of where the bike is and was, one function a kind: what is needed after the
//! step becomes what is needed before it. It knows nothing of a running ride, nor of what is done with the needs.

use crate::plan::{AdjusterId, Confirm, Goal, Measure, Plan, Setup, Step, Tune, Uncounted};
use crate::search::{Method, SecondLook};

use super::{Needs, Reach};

/// Goes back over a step. A new kind of step, or a new thing that a step asks of the bike, has its place here.
pub(super) fn needs(plan: &Plan, step: &Step, after: &mut Needs) {
    match step {
        Step::Say(_) | Step::RecordSettings | Step::Record(_) => said(after),
        Step::Set { adjuster, goal } => set(*adjuster, *goal, after),
        Step::Ride { laps, warm_up: _ } => ride(*laps, after),
        Step::Measure(step) => measure(step, after),
        Step::Tune(step) => tune(plan, step, after),
        Step::Revisit { adjuster, method: _ } => revisit(plan, *adjuster, after),
        Step::Confirm(step) => confirm(step, after),
    }
}

/// Before something is said or asked, a tune's setting is fitted.
fn said(after: &mut Needs) {
    after.says |= after.fits;
}

fn set(adjuster: AdjusterId, goal: Goal, after: &mut Needs) {
    // what comes after the last lap and the last reading takes nothing
    if !after.fits {
        return;
    }
    match goal {
        Goal::By(count, _) => {
            after.turned(adjuster, Reach::Within(count));
            after.of_adjuster(adjuster).moves_unfitted = true;
        }
        Goal::Start | Goal::Before | Goal::End(_) | Goal::Middle | Goal::At(_) | Goal::Value(_) => {
            after.put(adjuster, goal);
        }
    }
}

fn ride(laps: u32, after: &mut Needs) {
    after.fits = true;
    // its laps are the last ones for all that follows
    after.last_lap &= laps == 0;
}

/// Readings follow from the spring and the preload; where they lead is walked as it comes.
fn measure(
    Measure { adjuster, low: _, high: _, silent: _, travel: _, measured_to: _, preload: _ }: &Measure,
    after: &mut Needs,
) {
    after.fits = true;
    after.anywhere(*adjuster);
}

fn tune(plan: &Plan, tune: &Tune, after: &mut Needs) {
    after.compares_laps();
    after.turned(tune.adjuster, reach(plan, tune));
    after.of_adjuster(tune.adjuster).step |= tune.within.is_none();
}

fn revisit(plan: &Plan, adjuster: AdjusterId, after: &mut Needs) {
    after.compares_laps();
    after.turned(adjuster, Reach::Within(SecondLook::WIDE.reach));
    after.of_adjuster(adjuster).few = true;
    after.looked_back_at(plan.bike(), adjuster);
}

fn confirm(Confirm { adjusters, between, blind: _, pairs: _ }: &Confirm, after: &mut Needs) {
    after.fits = true;
    for (index, id) in adjusters.iter().enumerate() {
        // where the plan names no two places, start is compared with where it is
        let (one, other) = between.get(index).copied().unwrap_or((Goal::Start, Goal::Start));
        after.compared(*id, one);
        after.compared(*id, other);
    }
}

/// How far a tune may lead from where it begins. Those that weigh the whole range lead anywhere.
fn reach(plan: &Plan, tune: &Tune) -> Reach {
    match (tune.within, tune.method) {
        (Some(reach), _) => Reach::Within(reach),
        (None, Method::Bracket) => {
            let step = widest_step(plan, tune.adjuster);
            step.and_then(|step| tune.at_most.checked_mul(step)).map_or(Reach::Anywhere, Reach::Within)
        }
        (None, Method::CrossOut | Method::Narrow) => Reach::Anywhere,
    }
}

/// How far one change of an adjuster goes, at most where it is not counted yet.
fn widest_step(plan: &Plan, id: AdjusterId) -> Option<u32> {
    match &plan.bike().get(id).setup {
        Setup::Known(dial) | Setup::Unstarted(dial) => Some(dial.step()),
        Setup::Uncounted(uncounted) => uncounted.dial(Uncounted::MOST).map(|(dial, _)| dial.step()),
    }
}
