//! Owns the steps: each checked against the bike and spread out over the adjusters it means.
//! It knows nothing of how a step is ridden.

use std::collections::BTreeMap;

use num_rational::Ratio;
use num_traits::{One, ToPrimitive, Zero};

use crate::language::{ClauseLine, EntryLine, PlaceNode, RecordedNode, RideNode, TargetNode, ValueNode};
use crate::physics::{Number, Unit};
use crate::plan::{AdjusterId, Condition, Goal, MOST_LAPS_OF_A_TUNE, Setup, StartRule, Step, Tune};
use crate::problem::{Code, Problem, Span};
use crate::search::Direction;
use crate::vocabulary::{Clause, Entry, Method, PlaceWord, Recordable, Way};

use super::adjuster::positions;
use super::bike::{Declared, Sketch};
use super::facts::{Facts, laps, second_question_needed};
use super::limits::LAPS_AT_ONCE;
use super::sections::{Sections, told_twice};
use super::selector::selected;
use super::start;
use super::values::{whole, wrong_amount};

/// The most steps that a plan may have once every selector is spread out.
const MOST_STEPS: usize = 2000;

pub(super) struct Spreader<'a> {
    pub sections: &'a Sections<'a>,
    pub sketch: &'a Sketch,
    pub facts: &'a Facts,
    pub problems: &'a mut Vec<Problem>,
    needs: &'a mut Vec<String>,
    /// Every step with the place from which it comes.
    pub steps: Vec<(Step, Span)>,
    /// What is recorded, and where.
    recorded: BTreeMap<String, Span>,
}

/// All steps of a set, spread out. What is wrong with them is told.
pub(super) fn spread(
    sections: &Sections<'_>,
    sketch: &Sketch,
    facts: &Facts,
    problems: &mut Vec<Problem>,
    needs: &mut Vec<String>,
) -> Vec<(Step, Span)> {
    let mut spreader =
        Spreader { sections, sketch, facts, problems, needs, steps: Vec::new(), recorded: BTreeMap::new() };
    for line in &sections.step_entries {
        spreader.step(line);
        if spreader.steps.len() > MOST_STEPS {
            let problem =
                Problem::new(Code::PlanTooLong, line.word, "from here on the plan is too long to be ridden");
            spreader.problems.push(problem.help("break it into several plans"));
            break;
        }
    }
    spreader.nothing_to_do();
    spreader.steps
}

impl<'a> Spreader<'a> {
    fn step(&mut self, line: &EntryLine) {
        match line.entry {
            Entry::Say => {
                if let Some((text, span)) = line.fields.text() {
                    self.put(Step::Say(text.clone()), span);
                }
            }
            Entry::Measure => self.measure(line),
            Entry::Record => self.record(line),
            Entry::Ride => self.ride(line),
            Entry::Set => self.set(line),
            Entry::Tune => self.tune(line),
            Entry::Revisit => self.revisit(line),
            Entry::Confirm => self.confirm(line),
            _ => {}
        }
    }

    pub fn put(&mut self, step: Step, span: Span) {
        self.steps.push((step, span));
    }

    fn record(&mut self, line: &EntryLine) {
        let Some((recorded, span)) = line.fields.recorded() else { return };
        let step = match recorded {
            RecordedNode::Word(Recordable::Settings) => Step::RecordSettings,
            RecordedNode::Word(Recordable::Temperature) => Step::Record(Condition::Temperature),
            RecordedNode::Word(Recordable::Altitude) => Step::Record(Condition::Altitude),
            RecordedNode::Own { name, unit } => {
                Step::Record(Condition::Own { name: name.clone(), unit: *unit })
            }
        };
        if let RecordedNode::Own { name, .. } = recorded
            && (Recordable::ALL.iter().any(|word| word.word().eq_ignore_ascii_case(name))
                || name.trim().is_empty())
        {
            let problem = Problem::new(
                Code::NameReserved,
                span,
                format!("`{name}` cannot be the name of what is recorded"),
            );
            self.problems
                .push(problem.help(format!("write  record {name}  without quotes, or choose another name")));
            return;
        }
        if let Step::Record(condition) = &step {
            if let Some(first) = self.recorded.get(condition.name()) {
                self.problems.push(told_twice(condition.name(), span, *first));
                return;
            }
            self.recorded.insert(condition.name().to_owned(), span);
        }
        self.put(step, span);
    }

    fn ride(&mut self, line: &EntryLine) {
        let Some((ride, span)) = line.fields.ride() else { return };
        let (laps, warm_up) = match ride {
            RideNode::Laps(value) => (laps(value, &LAPS_AT_ONCE, self.problems), false),
            RideNode::WarmUp => (self.facts.warm_up, true),
        };
        let silent = self.facts.warm_up_broken || self.sections.unread || self.sections.doubled;
        match laps {
            Some(laps) => self.put(Step::Ride { laps, warm_up }, span),
            None if !warm_up || silent => {}
            None if self.sections.trail.is_none() => self.needs.push(
                "a trail that says how long the warm-up is: lines such as  trail \"Mill loop\"  and  warm-up 2 laps"
                    .to_owned(),
            ),
            None => self.problems.push(
                Problem::new(Code::WarmUpUnknown, span, "the trail does not say how many laps the warm-up is")
                    .help("add a line to the trail, such as  warm-up 2 laps"),
            ),
        }
    }

    /// The adjusters that a line means. Without a bike nothing can be said of them.
    pub fn chosen(&mut self, line: &EntryLine) -> Vec<&'a Declared> {
        let Some((which, span)) = line.fields.which() else { return Vec::new() };
        if self.sections.bike.is_none() && self.sketch.declared.is_empty() {
            return Vec::new();
        }
        let lost = line.broken || line.lost_clause || line.clauses.iter().any(|clause| clause.broken);
        let unsure = lost || self.sections.doubled;
        let if_fitted = line.clause(Clause::IfFitted).is_some() || unsure;
        selected(which, span, if_fitted, self.sketch, self.problems)
    }

    fn setup(&self, id: AdjusterId) -> Setup {
        self.sketch.bike.get(id).setup.clone()
    }

    fn set(&mut self, line: &EntryLine) {
        let chosen = self.chosen(line);
        let Some((target, span)) = line.fields.target() else { return };
        for adjuster in chosen.into_iter().filter_map(|chosen| chosen.id) {
            let goal = match target {
                TargetNode::To(place) => self.place(adjuster, place, span),
                TargetNode::By(value, way) => {
                    let count = self.count(value, adjuster);
                    let direction = self.direction(adjuster, *way, span);
                    count.zip(direction).map(|(count, direction)| Goal::By(count, direction))
                }
            };
            let Some(goal) = goal else { return };
            self.put(Step::Set { adjuster, goal }, line.word);
        }
    }

    pub(super) fn place(&mut self, id: AdjusterId, place: &PlaceNode, span: Span) -> Option<Goal> {
        let adjuster = self.sketch.bike.get(id);
        match (place, &adjuster.setup) {
            (PlaceNode::Word(PlaceWord::Start), _) => Some(Goal::Start),
            (PlaceNode::Word(PlaceWord::Before), _) => Some(Goal::Before),
            (place, Setup::Known(dial) | Setup::Unstarted(dial)) => {
                let (knob, rising) = (&adjuster.knob, adjuster.rising());
                start::position(place, knob, dial.scale(), rising, span, self.problems).map(Goal::At)
            }
            (place, Setup::Uncounted(uncounted)) => {
                let rule =
                    start::uncounted_place(place, uncounted.unit(), uncounted.by(), span, self.problems)?;
                Some(match rule {
                    StartRule::End(end) => Goal::End(end),
                    StartRule::Middle => Goal::Middle,
                    StartRule::Value(value) => Goal::Value(value),
                })
            }
        }
    }

    /// How many positions an amount is on an adjuster; at least one, and no more than it has.
    fn count(&mut self, value: &ValueNode, id: AdjusterId) -> Option<u32> {
        let setup = self.setup(id);
        let (count, most, one) = match &setup {
            Setup::Known(dial) | Setup::Unstarted(dial) => {
                let scale = dial.scale();
                (positions(value, scale, self.problems)?, scale.top().max(1), scale.amount(1))
            }
            Setup::Uncounted(uncounted) if matches!(value.unit, Some(unit) if unit == uncounted.unit() || unit == Unit::Positions) =>
            {
                let one = if value.unit == Some(Unit::Positions) { Number::one() } else { uncounted.by() };
                let count = value.number / one;
                let usable =
                    count.is_integer() && count >= Number::zero() && count <= Ratio::from_integer(60);
                let count = if usable { count.to_integer().to_u32()? } else { 0 };
                (count, 60, uncounted.unit().figure(uncounted.by()))
            }
            Setup::Uncounted(uncounted) => {
                self.problems.push(wrong_amount(value, Some(uncounted.unit())));
                return None;
            }
        };
        if (1..=most).contains(&count) {
            return Some(count);
        }
        let name = self.sketch.bike.get(id).name();
        let problem =
            Problem::new(Code::ValueUnusable, value.span, format!("{name} cannot be changed by this much"));
        self.problems.push(problem.help(format!("the least is {one}, and the most is its whole range")));
        None
    }

    fn direction(&mut self, id: AdjusterId, way: Way, span: Span) -> Option<Direction> {
        let adjuster = self.sketch.bike.get(id);
        let direction = adjuster.direction(way);
        if direction.is_none() {
            let (name, rising) = (adjuster.name(), adjuster.rising());
            self.problems.push(
                Problem::new(Code::WayUnfit, span, format!("{name} does not go {}", way.word()))
                    .help(format!("it goes {} or {}", rising.word(), rising.opposite().word())),
            );
        }
        direction
    }

    fn tune(&mut self, line: &EntryLine) {
        let chosen = self.chosen(line);
        let value = |clause: Option<&ClauseLine>| {
            clause.and_then(|clause| clause.fields.value()).map(|(value, _)| *value)
        };
        let at_most = match value(line.clause(Clause::AtMost)) {
            Some(value) => whole(&value, 1, MOST_LAPS_OF_A_TUNE, self.problems),
            None => Some(MOST_LAPS_OF_A_TUNE),
        };
        let method = line.clause(Clause::Method).and_then(|clause| clause.fields.method());
        if let Some((&Method::CrossOut, span)) = method
            && let Some(no) = self.facts.no_second_question_at()
        {
            self.problems.push(second_question_needed(span, no));
        }
        let method = method.map_or(self.facts.method, |(&method, _)| method);
        let feel =
            line.clause(Clause::Feel).and_then(|clause| clause.fields.text()).map(|(text, _)| text.clone());
        for adjuster in chosen.into_iter().filter_map(|chosen| chosen.id) {
            let begin = line.clause(Clause::Begin).and_then(|clause| clause.fields.way());
            let begin = begin.map(|(&way, span)| self.direction(adjuster, way, span));
            let within = value(line.clause(Clause::Within)).map(|value| self.count(&value, adjuster));
            let (Some(at_most), false) = (at_most, begin == Some(None) || within == Some(None)) else {
                return;
            };
            let (begin, within) = (begin.flatten(), within.flatten());
            let tune = Tune { adjuster, method, begin, within, at_most, feel: feel.clone() };
            self.put(Step::Tune(tune), line.word);
        }
    }

    /// Tells of steps that come to nothing: none at all, or none that this bike has use for.
    fn nothing_to_do(&mut self) {
        let Some(steps) = &self.sections.steps else { return };
        if self.sections.unread || !self.steps.is_empty() {
            return;
        }
        let problem = if self.sections.step_entries.is_empty() {
            Problem::new(Code::StepsEmpty, steps.span, "no step stands below this")
        } else if self.sections.bike.is_some()
            && !self.problems.iter().any(Problem::is_error)
            && self.needs.is_empty()
        {
            Problem::new(Code::StepsEmpty, steps.span, "none of these steps has anything to do on this bike")
        } else {
            return;
        };
        self.problems.push(problem.help("add one, such as  tune every rebound"));
    }
}
