//! Owns the trade's advice on a plan that is sound: what is better done otherwise, each with its
//! reason. All of it is common practice, no source. It stops nobody.

use std::collections::BTreeSet;

use crate::physics::Number;
use crate::plan::{AdjusterId, Goal, Setup, StartRule, Step};
use crate::problem::{Code, Problem, Span, Text};
use crate::search::{Effort, Method};
use crate::vocabulary::{End, Family, Knob, Part, unit_word};

use super::bike::Sketch;
use super::facts::Facts;

/// A plan's steps with the places from which they come.
pub(super) type PlacedSteps = [(Step, Span)];

/// What is said whatever else is wrong: compression tuned before the rebound of the same part.
pub(super) fn compression_first(sketch: &Sketch, steps: &PlacedSteps) -> Vec<Problem> {
    let tuned: Vec<(Part, Family, Span)> = steps
        .iter()
        .filter_map(|(step, span)| {
            let adjuster = sketch.bike.get(step.tune()?.adjuster);
            Some((adjuster.part, adjuster.family(), *span))
        })
        .collect();
    let early = tuned.iter().enumerate().filter(|(index, (part, family, _))| {
        let same = |other: &&(Part, Family, Span)| other.0 == *part && other.1 == Family::Rebound;
        let before = tuned.iter().take(*index).any(|other| same(&other));
        let after = tuned.iter().skip(*index).any(|other| same(&other));
        *family == Family::Compression && after && !before
    });
    let spans: Vec<Span> = early.map(|(_, (_, _, span))| *span).collect();
    told(
        Code::CompressionFirst,
        spans,
        "compression is tuned here before rebound",
        "tune rebound first: if rebound is off, you can't feel what compression does",
    )
}

/// All other advice, for a plan without errors; of a plan that starts from recorded settings nobody
/// expects that it touches everything.
pub(super) fn advice(sketch: &Sketch, steps: &PlacedSteps, facts: &Facts) -> Vec<Problem> {
    let advisor = Advisor { sketch, steps };
    let mut problems = advisor.no_warm_up();
    problems.extend(advisor.sag_against_damping());
    problems.extend(advisor.not_set_back());
    problems.extend(advisor.tyre_late());
    problems.extend(advisor.tuned_twice());
    problems.extend(advisor.spacers_unmeasured());
    problems.extend(advisor.effort_idle(facts));
    problems.extend(advisor.not_tuned());
    if !facts.needs_settings {
        problems.extend(advisor.unused());
    }
    problems
}

/// One problem for each place.
pub(super) fn told(
    code: Code,
    mut spans: Vec<Span>,
    message: impl Into<Text>,
    help: impl Into<Text>,
) -> Vec<Problem> {
    let (message, help) = (message.into(), help.into());
    spans.sort_by_key(|span| (span.source, span.start));
    spans.dedup();
    let problem = |span| Problem::new(code, span, message.clone()).help(help.clone());
    spans.into_iter().map(problem).collect()
}

/// The same problems, whose message only points at their places.
fn pointed(problems: Vec<Problem>) -> Vec<Problem> {
    problems.into_iter().map(|problem| Problem { points: true, ..problem }).collect()
}

struct Advisor<'a> {
    sketch: &'a Sketch,
    steps: &'a PlacedSteps,
}

impl Advisor<'_> {
    fn family(&self, id: AdjusterId) -> Family {
        self.sketch.bike.get(id).family()
    }

    fn part(&self, id: AdjusterId) -> Part {
        self.sketch.bike.get(id).part
    }

    /// Whether a lockout or compression is fully open before the first step; what is not known is not.
    fn starts_open(&self, id: AdjusterId) -> bool {
        match &self.sketch.bike.get(id).setup {
            Setup::Known(dial) => dial.start() == dial.end(End::Open),
            Setup::Unstarted(_) => false,
            Setup::Uncounted(uncounted) => uncounted.start_rule() == StartRule::End(End::Open),
        }
    }

    /// Whether a goal is its fully open end.
    fn opens(&self, id: AdjusterId, goal: Goal) -> bool {
        match (goal, &self.sketch.bike.get(id).setup) {
            (Goal::Start, _) => self.starts_open(id),
            (Goal::End(End::Open), _) => true,
            (Goal::At(position), Setup::Known(dial)) => position == dial.end(End::Open),
            (
                Goal::At(_)
                | Goal::End(End::Closed)
                | Goal::Middle
                | Goal::Value(_)
                | Goal::Before
                | Goal::By(..),
                _,
            ) => false,
        }
    }

    /// Whether it is fully open before a step.
    fn open_before(&self, id: AdjusterId, step: usize) -> bool {
        self.steps.iter().take(step).fold(self.starts_open(id), |open, (step, _)| match step {
            Step::Set { adjuster, goal } if *adjuster == id => self.opens(id, *goal),
            Step::Tune(tune) if tune.adjuster == id => false,
            Step::Say(_)
            | Step::RecordSettings
            | Step::Record(_)
            | Step::Set { .. }
            | Step::Ride { .. }
            | Step::Measure(_)
            | Step::Tune(_)
            | Step::Revisit { .. }
            | Step::Confirm(_) => open,
        })
    }

    /// What holds a part's suspension up while sag is read.
    fn holds_up(&self, part: Part) -> Vec<AdjusterId> {
        let damps = |id: &AdjusterId| matches!(self.family(*id), Family::Compression | Family::Lockout);
        self.sketch.bike.ids().filter(|id| self.part(*id) == part).filter(damps).collect()
    }

    fn sag_against_damping(&self) -> Vec<Problem> {
        let measures = self.steps.iter().enumerate();
        let measures =
            measures.filter_map(|(index, (step, span))| Some((index, step.measurement()?.adjuster, *span)));
        let shut: Vec<Span> = measures
            .filter(|(index, id, _)| {
                self.holds_up(self.part(*id)).iter().any(|damper| !self.open_before(*damper, *index))
            })
            .map(|(_, _, span)| span)
            .collect();
        told(
            Code::DampingNotOpen,
            shut,
            "compression or lockout is not fully open when you measure sag here",
            "add `set every compression to open` and `set every lockout to open` before this line: closed \
                damping makes the spring seem too firm",
        )
    }

    fn not_set_back(&self) -> Vec<Problem> {
        let left = self.steps.iter().enumerate().filter_map(|(index, (step, span))| {
            let Step::Set { adjuster, goal } = step else { return None };
            let rest = || self.steps.iter().skip(index + 1);
            let measured = rest().position(|(step, _)| {
                matches!(step, Step::Measure(measure) if self.part(measure.adjuster) == self.part(*adjuster))
            })?;
            let touched = rest().any(|(step, _)| match step {
                Step::Set { adjuster: other, .. } => other == adjuster,
                Step::Tune(tune) => tune.adjuster == *adjuster,
                Step::Say(_)
                | Step::RecordSettings
                | Step::Record(_)
                | Step::Ride { .. }
                | Step::Measure(_)
                | Step::Revisit { .. }
                | Step::Confirm(_) => false,
            });
            let ridden = rest().skip(measured).any(|(step, _)| step.rides());
            let opened = self.family(*adjuster) == Family::Compression
                && self.opens(*adjuster, *goal)
                && !self.open_before(*adjuster, index);
            (opened && !touched && ridden).then_some(*span)
        });
        pointed(told(
            Code::NotSetBack,
            left.collect(),
            "this is opened to measure sag and not set back",
            "add `set every compression to start` after measuring; otherwise you ride every lap with it \
                fully open",
        ))
    }

    fn tyre_late(&self) -> Vec<Problem> {
        let tunes = |families: &[Family], step: &Step| matches!(step, Step::Tune(tune) if families.contains(&self.family(tune.adjuster)));
        let damping = [Family::Rebound, Family::Compression];
        let first = self.steps.iter().position(|(step, _)| tunes(&damping, step));
        let after = self.steps.iter().skip(first.unwrap_or(self.steps.len()));
        let late = after.filter(|(step, _)| tunes(&[Family::Tyre], step)).map(|(_, span)| *span);
        told(
            Code::TyreAfterDamping,
            late.collect(),
            "a tyre is tuned here after damping",
            "move this line above the first rebound or compression line: tyres come first, because a new tyre \
                pressure changes how the damping feels",
        )
    }

    fn tuned_twice(&self) -> Vec<Problem> {
        let mut seen = BTreeSet::new();
        let again = self.steps.iter().filter_map(|(step, span)| {
            let tune = step.tune()?;
            let again = !seen.insert(tune.adjuster) && tune.within.is_none();
            again.then(|| (*span, self.close(tune.adjuster)))
        });
        // a step may mean several adjusters; the first of them stands for all
        let mut again: Vec<(Span, Option<String>)> = again.collect();
        again.dedup_by_key(|(span, _)| *span);
        let problem = |(span, close): (Span, Option<String>)| {
            let close = close.map_or(String::new(), |close| format!("; or add `within {close}`"));
            pointed(told(
                Code::TunedTwice,
                vec![span],
                "this was tuned above, and this line searches its whole range again",
                format!(
                    "write `revisit` instead of `tune`: it checks nearby only, and only if something else \
                        has changed{close}"
                ),
            ))
        };
        again.into_iter().flat_map(problem).collect()
    }

    /// How far counts as close on an adjuster, as it is written: two positions or one step, of names
    /// one. `None` on listed values that lie unevenly, which no amount fits.
    fn close(&self, id: AdjusterId) -> Option<String> {
        match &self.sketch.bike.get(id).setup {
            Setup::Known(dial) | Setup::Unstarted(dial) if dial.scale().unit().is_some() => {
                let scale = dial.scale();
                let far = dial.step().max(2).min(scale.top());
                let even = (1..=scale.top()).all(|at| scale.distance(at - 1, at) == scale.distance(0, 1));
                even.then(|| scale.distance(0, far))
            }
            Setup::Known(_) | Setup::Unstarted(_) => Some("1".to_owned()),
            Setup::Uncounted(uncounted) => {
                let two = uncounted.by() * Number::from_integer(2);
                Some(format!("{} {}", uncounted.unit().figure(two), unit_word(uncounted.unit())))
            }
        }
    }

    /// What only a narrowing search heeds, where none narrows.
    fn effort_idle(&self, facts: &Facts) -> Vec<Problem> {
        let narrows =
            |(step, _): &(Step, Span)| matches!(step, Step::Tune(tune) if tune.method == Method::Narrow);
        let tunes = self.steps.iter().any(|(step, _)| matches!(step, Step::Tune(_)));
        if !tunes || self.steps.iter().any(narrows) {
            return Vec::new();
        }
        let idle = facts.effort_at.filter(|_| facts.effort != Effort::Normal);
        pointed(told(
            Code::EffortUnused,
            idle.into_iter().chain(facts.no_compare_twice_at()).collect(),
            "this only works with `method narrow`, and no step uses it",
            "add `method narrow` to the plan, or take out this line",
        ))
    }

    /// Second looks and pairs for which nothing was changed before.
    fn not_tuned(&self) -> Vec<Problem> {
        let moved = |before: &PlacedSteps, id: AdjusterId| {
            before.iter().any(|(step, _)| match step {
                Step::Tune(tune) => tune.adjuster == id,
                Step::Measure(measure) => measure.adjuster == id,
                Step::Set { adjuster, goal } => *adjuster == id && *goal != Goal::Start,
                Step::Say(_)
                | Step::RecordSettings
                | Step::Record(_)
                | Step::Ride { .. }
                | Step::Revisit { .. }
                | Step::Confirm(_) => false,
            })
        };
        let tuned = |before: &PlacedSteps, id: AdjusterId| {
            before.iter().any(|(step, _)| step.tune().is_some_and(|tune| tune.adjuster == id))
        };
        let (mut looks, mut pairs) = (Vec::new(), Vec::new());
        for (index, (step, span)) in self.steps.iter().enumerate() {
            let before = self.steps.get(..index).unwrap_or_default();
            match step {
                // a step may mean several adjusters; one that is tuned is enough
                Step::Revisit { .. } => {
                    let same = self.steps.iter().filter(|(_, other)| other == span);
                    let looks_at = |step: &Step| matches!(step, Step::Revisit { adjuster, .. } if tuned(before, *adjuster));
                    if !same.into_iter().any(|(step, _)| looks_at(step)) {
                        looks.push(*span);
                    }
                }
                Step::Confirm(confirm)
                    if confirm.between.is_empty()
                        && !confirm.adjusters.iter().any(|id| moved(before, *id)) =>
                {
                    pairs.push(*span);
                }
                Step::Say(_)
                | Step::RecordSettings
                | Step::Record(_)
                | Step::Set { .. }
                | Step::Ride { .. }
                | Step::Measure(_)
                | Step::Tune(_)
                | Step::Confirm(_) => {}
            }
        }
        let mut problems = told(
            Code::NotTuned,
            looks,
            "nothing above this line has tuned this yet",
            "add a `tune` line above it, or take out this line",
        );
        problems.extend(told(
            Code::NotTuned,
            pairs,
            "nothing above this line changes this adjuster, so there is nothing to compare",
            "tune it first, or compare two settings: `between 4 clicks and 8 clicks`",
        ));
        problems
    }

    fn no_warm_up(&self) -> Vec<Problem> {
        let first = self.steps.iter().find(|(step, _)| step.rides());
        let cold = first.filter(|(step, _)| matches!(step, Step::Tune(_))).map(|(_, span)| *span);
        told(
            Code::NoWarmUp,
            cold.into_iter().collect(),
            "there is no warm-up before the first lap that counts",
            "add `ride 2 laps` before this line: oil, tyres and rider all change as they warm up",
        )
    }

    fn spacers_unmeasured(&self) -> Vec<Problem> {
        let moved = self.steps.iter().enumerate().filter_map(|(index, (step, span))| {
            let (Step::Set { adjuster, .. } | Step::Tune(crate::plan::Tune { adjuster, .. })) = step else {
                return None;
            };
            let spacers = self.sketch.bike.get(*adjuster).knob == Knob::Spacers;
            let measured = self.steps.iter().skip(index + 1).any(|(step, _)| {
                matches!(step, Step::Measure(measure) if self.part(measure.adjuster) == self.part(*adjuster))
            });
            let can_be =
                self.sketch.bike.ids().any(|id| {
                    self.part(id) == self.part(*adjuster) && self.sketch.bike.get(id).knob.is_spring()
                });
            (spacers && can_be && !measured).then_some(*span)
        });
        told(
            Code::SagAfterSpacers,
            moved.collect(),
            "spacers change here, and sag is not measured afterwards",
            "add `measure every spring` after this line: with other spacers the same pressure gives a \
                different sag",
        )
    }

    fn unused(&self) -> Vec<Problem> {
        let used = |id: AdjusterId| {
            let asked = matches!(self.sketch.bike.get(id).setup, Setup::Unstarted(_));
            asked
                || self.steps.iter().any(|(step, _)| match step {
                    Step::Set { adjuster, .. } => *adjuster == id,
                    Step::Measure(measure) => measure.adjuster == id || measure.preload == Some(id),
                    Step::Tune(tune) => tune.adjuster == id,
                    Step::Confirm(confirm) => confirm.adjusters.contains(&id),
                    Step::Say(_)
                    | Step::RecordSettings
                    | Step::Record(_)
                    | Step::Ride { .. }
                    | Step::Revisit { .. } => false,
                })
        };
        let idle: Vec<_> =
            self.sketch.declared.iter().filter(|declared| declared.id.is_ok_and(|id| !used(id))).collect();
        let names: Vec<String> =
            idle.iter().map(|declared| format!("{} {}", declared.part, declared.knob.word())).collect();
        let message = format!("the plan never uses {}", names.join(", "));
        let example = idle.first().map_or(String::new(), |declared| {
            let own = matches!(declared.knob, Knob::Own(_));
            let mark = if own { "\"" } else { "" };
            format!("{} {mark}{}{mark}", declared.part, declared.knob.word())
        });
        let first = idle.first().map(|declared| declared.span);
        told(
            Code::AdjusterUnused,
            first.into_iter().collect(),
            message,
            format!("nothing changes there; if you want to tune it, add a step such as `tune {example}`"),
        )
    }
}
