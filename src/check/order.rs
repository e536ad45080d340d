//! Owns the trade's advice on the order of steps: springs before rebound, lockouts open for laps, tyres
//! that nothing checks. All of it is common practice, no source. It stops nobody.

use crate::plan::{AdjusterId, Goal, Setup, Step};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{End, Family, Knob, Part};

use super::advice::{PlacedSteps, told};
use super::bike::Sketch;

/// All advice on the order of steps, for a plan without errors.
pub(super) fn order(sketch: &Sketch, steps: &PlacedSteps, needs_settings: bool) -> Vec<Problem> {
    let order = Order { sketch, steps };
    let mut problems = order.spring_late();
    problems.extend(order.lockout_closed());
    if !needs_settings {
        problems.extend(order.tyre_unchecked());
    }
    problems
}

/// Steps that go back to how the bike was found, where the plan does not ask for it by then.
pub(super) fn before_unknown(steps: &PlacedSteps) -> Vec<Problem> {
    let asks = |(step, _): &(Step, Span)| *step == Step::RecordSettings;
    let asked_first = steps.iter().take_while(|(step, _)| !step.rides()).any(asks);
    let unknown = steps.iter().enumerate().filter(|(index, (step, _))| {
        step.goes_back() && !asked_first && !steps.iter().take(*index).any(asks)
    });
    told(
        Code::BeforeUnknown,
        unknown.map(|(_, (_, span))| *span).collect(),
        "the plan uses `before` but doesn't ask how the bike is set now",
        "add this line before the first lap:\n  record settings",
    )
}

struct Order<'a> {
    sketch: &'a Sketch,
    steps: &'a PlacedSteps,
}

impl Order<'_> {
    fn part(&self, id: AdjusterId) -> Part {
        self.sketch.bike.get(id).part
    }

    fn family(&self, id: AdjusterId) -> Family {
        self.sketch.bike.get(id).family()
    }

    /// Whether a step searches the rebound of a part.
    fn searches_rebound(&self, step: &Step, part: Part) -> bool {
        let id = match step {
            Step::Tune(tune) => tune.adjuster,
            Step::Revisit { adjuster, .. } => *adjuster,
            Step::Say(_)
            | Step::RecordSettings
            | Step::Record(_)
            | Step::Set { .. }
            | Step::Ride { .. }
            | Step::Measure(_)
            | Step::Confirm(_) => return false,
        };
        self.family(id) == Family::Rebound && self.part(id) == part
    }

    /// Springs that are changed after rebound was tuned, where rebound is not looked at again.
    fn spring_late(&self) -> Vec<Problem> {
        let late = self.steps.iter().enumerate().filter_map(|(index, (step, span))| {
            let id = step.changes().filter(|id| self.family(*id) == Family::Spring)?;
            let searched = |(step, _): &(Step, Span)| self.searches_rebound(step, self.part(id));
            let (before, after) = (self.steps.iter().take(index), self.steps.iter().skip(index + 1));
            (before.into_iter().any(searched) && !after.into_iter().any(searched)).then_some(*span)
        });
        told(
            Code::SpringLate,
            late.collect(),
            "the spring is changed here after rebound was tuned",
            "move this line above the rebound line, or add `revisit every rebound` after it: a new spring \
                needs a new rebound setting",
        )
    }

    /// Laps that are ridden while a lockout is fully closed. Where sag is read so before, that is told
    /// there.
    fn lockout_closed(&self) -> Vec<Problem> {
        let lockouts = self.sketch.bike.ids().filter(|id| self.family(*id) == Family::Lockout);
        let shut = lockouts.filter_map(|id| self.first_closed_ride(id));
        told(
            Code::LockoutClosed,
            shut.collect(),
            "these laps are ridden with a lockout closed",
            "write `set every lockout to open` above this line: a closed lockout hides what every other \
                adjuster does",
        )
    }

    fn first_closed_ride(&self, id: AdjusterId) -> Option<Span> {
        let Setup::Known(dial) = &self.sketch.bike.get(id).setup else { return None };
        let mut at = dial.start();
        for (step, span) in self.steps {
            match step {
                Step::Set { adjuster, goal: Goal::Before } if *adjuster == id => return None,
                Step::Set { adjuster, goal } if *adjuster == id => at = dial.reach(*goal, at).0,
                // where it is found is not known, and a rider who tunes it means it
                Step::Tune(tune) if tune.adjuster == id => return None,
                Step::Measure(measure)
                    if at == dial.end(End::Closed) && self.part(measure.adjuster) == self.part(id) =>
                {
                    return None;
                }
                step if step.rides() && at == dial.end(End::Closed) => return Some(*span),
                Step::Say(_)
                | Step::RecordSettings
                | Step::Record(_)
                | Step::Set { .. }
                | Step::Ride { .. }
                | Step::Measure(_)
                | Step::Tune(_)
                | Step::Revisit { .. }
                | Step::Confirm(_) => {}
            }
        }
        None
    }

    /// Tyres whose pressure the ride asks for, and no step looks at.
    fn tyre_unchecked(&self) -> Vec<Problem> {
        let touched = |id: AdjusterId| {
            let confirmed =
                |step: &Step| matches!(step, Step::Confirm(confirm) if confirm.adjusters.contains(&id));
            self.steps.iter().any(|(step, _)| step.changes() == Some(id) || confirmed(step))
        };
        let ridden = self.steps.iter().any(|(step, _)| step.rides());
        let unchecked: Vec<_> = self
            .sketch
            .declared
            .iter()
            .filter(|declared| declared.knob == Knob::Pressure)
            .filter(|declared| {
                declared.id.is_ok_and(|id| {
                    ridden && !touched(id) && matches!(self.sketch.bike.get(id).setup, Setup::Unstarted(_))
                })
            })
            .collect();
        let parts: Vec<String> = unchecked.iter().map(|declared| format!("the {}", declared.part)).collect();
        let first = unchecked.first().map(|declared| declared.span);
        told(
            Code::TyreUnchecked,
            first.into_iter().collect(),
            format!("you will be asked for the pressure of {}, but no step checks it", parts.join(" and ")),
            "add `tune every pressure` above the rebound line: tyre pressure changes how everything else \
                feels",
        )
    }
}
