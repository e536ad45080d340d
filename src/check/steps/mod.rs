//! Owns the steps: each checked against the bike and spread out over the adjusters it means, in a file of its own.
//! It knows nothing of how a step is ridden.

mod confirm;
mod measure;
mod record;
mod revisit;
mod ride;
mod say;
mod set;
mod tune;

use std::collections::BTreeMap;

use num_rational::Ratio;
use num_traits::{One, ToPrimitive, Zero};

use crate::language::{EntryLine, EntryView, PlaceNode, ValueNode, WhichNode, clause, steps};
use crate::physics::{Number, Unit};
use crate::plan::{AdjusterId, Goal, Setup, StartRule, Step};
use crate::problem::{Code, Findings, Problem, Refuse, Span, Told};
use crate::search::Direction;
use crate::vocabulary::{PlaceWord, Way};

use super::adjuster::positions;
use super::bike::{Declared, Sketch};
use super::facts::Facts;
use super::sections::Sections;
use super::selector::selected;
use super::start;
use super::values::wrong_amount;

/// The most steps that a plan may have once every selector is spread out.
const MOST_STEPS: usize = 2000;

pub(super) struct Spreader<'a> {
    sections: &'a Sections<'a>,
    sketch: &'a Sketch,
    facts: &'a Facts,
    findings: &'a mut Findings,
    /// Every step with the place from which it comes.
    steps: Vec<(Step, Span)>,
    /// What is recorded, and where.
    recorded: BTreeMap<String, Span>,
}

/// The problem of steps that come to nothing.
pub(super) fn nothing_on_this_bike(span: Span) -> Problem {
    Problem::new(Code::StepsEmpty, span, "none of these steps applies to this bike")
}

/// All steps of a set, spread out. What is wrong with them is told.
pub(super) fn spread(
    sections: &Sections<'_>,
    sketch: &Sketch,
    facts: &Facts,
    findings: &mut Findings,
) -> Vec<(Step, Span)> {
    let mut spreader =
        Spreader { sections, sketch, facts, findings, steps: Vec::new(), recorded: BTreeMap::new() };
    for line in &sections.step_entries {
        let EntryView::Steps(step) = line.view() else { continue };
        // a step that cannot be used is told, and left out
        let _ = spreader.step(&step);
        if spreader.steps.len() > MOST_STEPS {
            let problem = Problem::new(Code::PlanTooLong, line.word, "the plan is too long from here on");
            spreader.findings.tell(problem.help("split it into several plans"));
            break;
        }
    }
    spreader.nothing_to_do();
    spreader.steps
}

impl<'a> Spreader<'a> {
    fn step(&mut self, step: &steps::Entry<'_>) -> Result<(), Told> {
        match step {
            steps::Entry::Say(say) => self.say(say),
            steps::Entry::Ride(ride) => self.ride(ride),
            steps::Entry::Record(record) => self.record(record),
            steps::Entry::Set(set) => self.set(set),
            steps::Entry::Measure(measure) => self.measure(measure),
            steps::Entry::Tune(tune) => self.tune(tune),
            steps::Entry::Revisit(revisit) => self.revisit(revisit),
            steps::Entry::Confirm(confirm) => self.confirm(confirm),
        }
    }

    fn put(&mut self, step: Step, span: Span) {
        self.steps.push((step, span));
    }

    /// The adjusters that a line means. Without a bike nothing can be said of them.
    fn chosen(
        &mut self,
        line: &EntryLine,
        (which, span): (&WhichNode, Span),
        if_fitted: Option<clause::IfFitted<'_>>,
    ) -> Vec<&'a Declared> {
        if self.sections.bike.is_none() && self.sketch.declared.is_empty() {
            return Vec::new();
        }
        let unsure = line.may_lack_a_clause() || self.sections.doubled.is_some();
        let passes_over = match if_fitted {
            Some(clause::IfFitted { place: _ }) => true,
            None => unsure,
        };
        selected(which, span, passes_over, self.sketch, self.findings)
    }

    /// The places on the bike of those that a line means and that can be used.
    fn usable(
        &mut self,
        line: &EntryLine,
        which: (&WhichNode, Span),
        if_fitted: Option<clause::IfFitted<'_>>,
    ) -> Vec<AdjusterId> {
        self.chosen(line, which, if_fitted).into_iter().filter_map(|chosen| chosen.id.ok()).collect()
    }

    fn setup(&self, id: AdjusterId) -> Setup {
        self.sketch.bike.get(id).setup.clone()
    }

    fn place(&mut self, id: AdjusterId, place: &PlaceNode, span: Span) -> Result<Goal, Told> {
        let adjuster = self.sketch.bike.get(id);
        match (place, &adjuster.setup) {
            (PlaceNode::Word(PlaceWord::Start), _) => Ok(Goal::Start),
            (PlaceNode::Word(PlaceWord::Before), _) => Ok(Goal::Before),
            (place, Setup::Known(dial) | Setup::Unstarted(dial)) => {
                let (knob, rising) = (&adjuster.knob, adjuster.rising());
                start::position(place, knob, dial.scale(), rising, span, self.findings).map(Goal::At)
            }
            (place, Setup::Uncounted(uncounted)) => {
                let rule =
                    start::uncounted_place(place, uncounted.unit(), uncounted.by(), span, self.findings)?;
                Ok(match rule {
                    StartRule::End(end) => Goal::End(end),
                    StartRule::Middle => Goal::Middle,
                    StartRule::Value(value) => Goal::Value(value),
                })
            }
        }
    }

    /// How many positions an amount is on an adjuster; at least one, and no more than it has.
    fn count(&mut self, value: &ValueNode, id: AdjusterId) -> Result<u32, Told> {
        let setup = self.setup(id);
        let (count, most, one) = match &setup {
            Setup::Known(dial) | Setup::Unstarted(dial) => {
                let scale = dial.scale();
                (positions(value, scale, self.findings)?, scale.top().max(1), scale.amount(1))
            }
            Setup::Uncounted(uncounted) if matches!(value.unit, Some(unit) if unit == uncounted.unit() || unit == Unit::Positions) =>
            {
                let one = if value.unit == Some(Unit::Positions) { Number::one() } else { uncounted.by() };
                let count = value.number / one;
                let usable =
                    count.is_integer() && count >= Number::zero() && count <= Ratio::from_integer(60);
                let count = if usable { count.to_integer().to_u32().unwrap_or(0) } else { 0 };
                (count, 60, uncounted.unit().figure(uncounted.by()))
            }
            Setup::Uncounted(uncounted) => {
                return Err(self.findings.refuse(wrong_amount(value, Some(uncounted.unit()))));
            }
        };
        if (1..=most).contains(&count) {
            return Ok(count);
        }
        let name = self.sketch.bike.get(id).name();
        let problem =
            Problem::new(Code::ValueImpossible, value.span, format!("you can't change {name} by this much"));
        let help = format!("use at least {one} and no more than its range");
        Err(self.findings.refuse(problem.help(help)))
    }

    fn direction(&mut self, id: AdjusterId, way: Way, span: Span) -> Result<Direction, Told> {
        let adjuster = self.sketch.bike.get(id);
        adjuster.direction(way).ok_or_else(|| {
            let (name, rising) = (adjuster.name(), adjuster.rising());
            self.findings.refuse(
                Problem::new(Code::DirectionWrong, span, format!("{name} does not go {}", way.word()))
                    .help(format!("use {} or {}", rising.word(), rising.opposite().word())),
            )
        })
    }

    /// Tells of steps that come to nothing: none at all, or none that this bike has use for.
    fn nothing_to_do(&mut self) {
        let Some(steps) = &self.sections.steps else { return };
        if self.sections.unread.is_some() || !self.steps.is_empty() {
            return;
        }
        let problem = if self.sections.step_entries.is_empty() {
            Problem::new(Code::StepsEmpty, steps.span, "there are no steps below this")
        } else if self.sections.bike.is_some()
            && !self.findings.problems.iter().any(Problem::is_error)
            && self.findings.needs.is_empty()
        {
            nothing_on_this_bike(steps.span)
        } else {
            return;
        };
        self.findings.tell(problem.help("add one, such as `tune every rebound`"));
    }
}
