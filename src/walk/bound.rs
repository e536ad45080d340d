//! Owns what a plan takes at most, where it has too many rides to be walked: every step at its worst,
//! wherever it begins. It rides nothing.

use crate::plan::{AdjusterId, Dial, Measure, Plan, Setup, Step};
use crate::search::{Method, SecondLook};

use super::Count;
use super::cost::{Cost, Pace, Time};

/// No ride of the plan takes more.
pub(super) fn bound(plan: &Plan, pace: &Pace) -> Cost {
    let change = plan.bike().ids().map(|id| pace.change_of(plan, id)).max().unwrap_or(Time::NONE);
    let (mut total, mut leaves_unfitted) = (Cost::NOTHING, false);
    for step in plan.steps() {
        let mut cost = most(plan, pace, step);
        // what a step leaves to be fitted is fitted before something is said or asked
        if step.needs_fitting() || leaves_unfitted && is_told(step) {
            cost.time = cost.time.plus(change);
        }
        leaves_unfitted = step.needs_fitting() || leaves_unfitted && !is_told(step);
        total = total.then(cost);
    }
    total
}

/// Whether no ride of the plan takes more than its own `at most` of laps and of time.
pub(super) fn fits(plan: &Plan) -> bool {
    let pace = Pace::of(plan);
    let cost = bound(plan, &pace);
    let (parts, minutes) = (plan.parts(), pace.minutes(cost.time));
    parts.laps.is_none_or(|most| cost.laps <= most) && parts.minutes.is_none_or(|most| minutes <= most)
}

/// Whether something is said or asked in it, and nothing ridden.
fn is_told(step: &Step) -> bool {
    matches!(step, Step::Say(_) | Step::RecordSettings | Step::Record(_))
}

/// The time of all readings that a spring may take.
pub(super) fn readings(plan: &Plan, pace: &Pace, id: AdjusterId) -> Time {
    pace.change_of(plan, id).times(u32::try_from(Measure::MOST_READINGS).unwrap_or(0))
}

/// What one step takes at most, without what is fitted before and after it.
fn most(plan: &Plan, pace: &Pace, step: &Step) -> Cost {
    match step {
        Step::Say(_) | Step::RecordSettings | Step::Record(_) | Step::Set { .. } => Cost::NOTHING,
        Step::Ride { laps, warm_up: _ } => {
            Cost { laps: *laps, time: pace.lap().times(*laps), ..Cost::NOTHING }
        }
        Step::Measure(measure) => Cost { time: readings(plan, pace, measure.adjuster), ..Cost::NOTHING },
        Step::Tune(tune) => {
            let size = |dial: &Dial| if tune.within.is_some() { 1 } else { dial.step() };
            let width = |top: u32| tune.within.map_or(top, |reach| reach.saturating_mul(2).min(top));
            worst(plan, pace, tune.adjuster, tune.at_most, tune.method, (size, width))
        }
        Step::Revisit { adjuster, method } => {
            let SecondLook { reach, at_most } = SecondLook::WIDE;
            let size = |_: &Dial| SecondLook::CLOSE.reach;
            worst(plan, pace, *adjuster, at_most, *method, (size, |top: u32| top.min(2 * reach)))
        }
        Step::Confirm(confirm) => {
            let each = confirm.adjusters.iter().map(|id| pace.change_of(plan, *id)).max();
            let laps = confirm.pairs * 2;
            let time = pace.lap().plus(each.unwrap_or(Time::NONE)).times(laps);
            let two = Count::ONE.plus(Count::ONE);
            let sequences = (0..confirm.pairs).fold(Count::ONE, |product, _| product.times(two));
            Cost { laps, time, sequences }
        }
    }
}

/// A bound of what a tune takes from anywhere: a reference lap, every step to both ends, one of them
/// cut short on either side, each lap with three verdicts, or nine where it is asked about twice, and
/// two ways first.
fn worst(
    plan: &Plan,
    pace: &Pace,
    id: AdjusterId,
    at_most: u32,
    method: Method,
    (size, width): (impl Fn(&Dial) -> u32, impl Fn(u32) -> u32),
) -> Cost {
    let steps = match &plan.bike().get(id).setup {
        Setup::Known(dial) | Setup::Unstarted(dial) => width(dial.scale().top()).div_ceil(size(dial)),
        Setup::Uncounted(_) => at_most,
    };
    let laps = match method {
        Method::Bracket => at_most.min(steps.saturating_add(2)),
        Method::CrossOut | Method::Narrow => at_most,
    };
    let two = Count::ONE.plus(Count::ONE);
    let three = two.plus(Count::ONE);
    let each = if method == Method::Bracket { three } else { three.times(three) };
    Cost {
        laps,
        time: pace.lap().plus(pace.change_of(plan, id)).times(laps),
        sequences: (0..laps).fold(two, |product, _| product.times(each)),
    }
}
