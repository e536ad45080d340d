//! Owns the steps: each checked against the bike and spread out over the adjusters it means.
//! It knows nothing of how a step is ridden.

use num_rational::Ratio;
use num_traits::{ToPrimitive, Zero};

use crate::language::{
    ClauseLine, EntryLine, PlaceNode, RecordedNode, RideNode, TargetNode, ValueNode, WhatNode,
};
use crate::physics::Number;
use crate::plan::{
    Adjuster, AdjusterId, Bike, Condition, Goal, MOST_LAPS_OF_A_TUNE, Setup, StartRule, Step, Tune,
};
use crate::problem::{Code, Problem, Span};
use crate::search::Direction;
use crate::vocabulary::{Clause, Entry, Family, Method, Way};

use super::adjuster::positions;
use super::bike::Sketch;
use super::facts::Facts;
use super::sections::Sections;
use super::values::{whole, wrong_unit};
use super::which::selected;
use super::{not_yet, start};

struct Spreader<'a> {
    sections: &'a Sections<'a>,
    sketch: &'a Sketch,
    facts: &'a Facts,
    /// The bike, for the ids of its adjusters.
    ids: Vec<AdjusterId>,
    problems: &'a mut Vec<Problem>,
    needs: &'a mut Vec<String>,
    steps: Vec<Step>,
    /// Where each adjuster is tuned, as a place in the sketch.
    tuned: Vec<(usize, Span)>,
}

/// All steps of a set, spread out. What is wrong with them is told.
pub(super) fn spread(
    sections: &Sections<'_>,
    sketch: &Sketch,
    facts: &Facts,
    problems: &mut Vec<Problem>,
    needs: &mut Vec<String>,
) -> Vec<Step> {
    let adjusters = sketch.declared.iter().filter_map(|declared| {
        let setup = declared.setup.clone()?;
        Some(Adjuster { part: declared.part, knob: declared.knob.clone(), setup })
    });
    let adjusters: Vec<_> = adjusters.collect();
    let ids: Vec<AdjusterId> = Bike::new(String::new(), adjusters, Vec::new()).ids().collect();
    let mut spreader =
        Spreader { sections, sketch, facts, ids, problems, needs, steps: Vec::new(), tuned: Vec::new() };
    for line in &sections.step_entries {
        spreader.step(line);
    }
    spreader.compression_first();
    if let Some(steps) = &sections.steps
        && sections.step_entries.is_empty()
        && !sections.unread
    {
        let problem = Problem::new(Code::StepsEmpty, steps.span, "no step stands below this");
        spreader.problems.push(problem.help("add one, such as  tune every rebound"));
    }
    spreader.steps
}

impl Spreader<'_> {
    fn step(&mut self, line: &EntryLine) {
        match line.entry {
            Entry::Say => {
                if let Some((text, _)) = line.fields.text() {
                    self.steps.push(Step::Say(text.clone()));
                }
            }
            Entry::Record => self.record(line),
            Entry::Ride => self.ride(line),
            Entry::Set => self.set(line),
            Entry::Tune => self.tune(line),
            Entry::Measure => self.problems.push(not_yet(line.word, "`measure`")),
            Entry::Revisit => self.problems.push(not_yet(line.word, "`revisit`")),
            Entry::Confirm => self.problems.push(not_yet(line.word, "`confirm`")),
            _ => {}
        }
    }

    fn record(&mut self, line: &EntryLine) {
        let Some((recorded, _)) = line.fields.recorded() else { return };
        self.steps.push(match recorded {
            RecordedNode::Settings => Step::RecordSettings,
            RecordedNode::Temperature => Step::Record(Condition::Temperature),
            RecordedNode::Altitude => Step::Record(Condition::Altitude),
            RecordedNode::Own { name, unit } => {
                Step::Record(Condition::Own { name: name.clone(), unit: *unit })
            }
        });
    }

    fn ride(&mut self, line: &EntryLine) {
        let Some((ride, span)) = line.fields.ride() else { return };
        let (laps, warm_up) = match ride {
            RideNode::Laps(value) => (whole(value, 1, 1000, self.problems), false),
            RideNode::WarmUp => (self.facts.warm_up, true),
        };
        match laps {
            Some(laps) => self.steps.push(Step::Ride { laps, warm_up }),
            None if !warm_up || self.facts.warm_up_broken || self.sections.unread => {}
            None if self.sections.trail.is_none() => self.needs.push(
                "a trail that says how long the warm-up is: lines such as  trail \"Mill loop\"  and  warm-up 2 laps".to_owned(),
            ),
            None => self.problems.push(
                Problem::new(Code::WarmUpUnknown, span, "the trail does not say how many laps the warm-up is")
                    .help("add a line to the trail, such as  warm-up 2 laps"),
            ),
        }
    }

    /// The adjusters that a line means. Without a bike nothing can be said of them.
    fn chosen(&mut self, line: &EntryLine) -> Vec<usize> {
        let Some((which, span)) = line.fields.which() else { return Vec::new() };
        if self.sections.bike.is_none() && self.sketch.declared.is_empty() {
            if which.what == WhatNode::Spring {
                self.problems.push(not_yet(span, "choosing springs"));
            }
            return Vec::new();
        }
        let if_fitted = line.clause(Clause::IfFitted).is_some() || line.lost_clause;
        selected(which, span, if_fitted, self.sketch, self.problems)
    }

    /// The id and setup of a declared adjuster; none where its own line is at fault, so that
    /// nothing follows from that.
    fn known(&self, index: usize) -> Option<(AdjusterId, &Setup)> {
        let setup = self.sketch.declared[index].setup.as_ref()?;
        let id = self.sketch.declared[..index].iter().filter(|declared| declared.setup.is_some()).count();
        Some((*self.ids.get(id)?, setup))
    }

    fn name(&self, index: usize) -> String {
        let declared = &self.sketch.declared[index];
        format!("{} {}", declared.part, declared.knob.word())
    }

    fn rising(&self, index: usize, setup: &Setup) -> Way {
        let counted = match setup {
            Setup::Known(dial) => dial.scale().unit().is_some(),
            Setup::Uncounted(_) => true,
        };
        super::adjuster::rising(&self.sketch.declared[index].knob, counted)
    }

    fn set(&mut self, line: &EntryLine) {
        let chosen = self.chosen(line);
        let Some((target, span)) = line.fields.target() else { return };
        for index in chosen {
            let Some((adjuster, setup)) = self.known(index) else { continue };
            let setup = setup.clone();
            let goal = match target {
                TargetNode::To(place) => self.place(index, place, &setup, span),
                TargetNode::By(value, way) => {
                    let count = self.count(value, &setup).filter(|&count| count > 0);
                    let direction = self.direction(index, &setup, *way, span);
                    count.zip(direction).map(|(count, direction)| Goal::By(count, direction))
                }
            };
            let Some(goal) = goal else { return };
            self.steps.push(Step::Set { adjuster, goal });
        }
    }

    fn place(&mut self, index: usize, place: &PlaceNode, setup: &Setup, span: Span) -> Option<Goal> {
        let rising = self.rising(index, setup);
        match (place, setup) {
            (PlaceNode::Start, _) => Some(Goal::Start),
            (place, Setup::Known(dial)) => {
                start::position(place, dial.scale(), rising, span, self.problems).map(Goal::At)
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

    /// How many positions an amount is on an adjuster; at least one.
    fn count(&mut self, value: &ValueNode, setup: &Setup) -> Option<u32> {
        let count = match setup {
            Setup::Known(dial) => positions(value, dial.scale(), self.problems)?,
            Setup::Uncounted(uncounted) if value.unit == Some(uncounted.unit()) => {
                let count = value.number / uncounted.by();
                if count < Number::zero() || count > Ratio::from_integer(1000) || !count.is_integer() {
                    0
                } else {
                    count.to_integer().to_u32()?
                }
            }
            Setup::Uncounted(uncounted) => {
                self.problems.push(wrong_unit(value, Some(uncounted.unit())));
                return None;
            }
        };
        if count == 0 {
            let problem = Problem::new(
                Code::ValueUnusable,
                value.span,
                "this is no whole number of positions above nothing",
            );
            self.problems.push(problem.help("write at least one position"));
            return None;
        }
        Some(count)
    }

    fn direction(&mut self, index: usize, setup: &Setup, way: Way, span: Span) -> Option<Direction> {
        let rising = self.rising(index, setup);
        if way == rising {
            return Some(Direction::Up);
        }
        if way == rising.opposite() {
            return Some(Direction::Down);
        }
        let name = self.name(index);
        self.problems.push(
            Problem::new(Code::WayUnfit, span, format!("{name} does not go {}", way.word())).help(format!(
                "it goes {} or {}",
                rising.word(),
                rising.opposite().word()
            )),
        );
        None
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
        if let Some((&method, span)) = line.clause(Clause::Method).and_then(|clause| clause.fields.method())
            && method != Method::Bracket
        {
            self.problems.push(not_yet(span, &format!("the method `{}`", method.word())));
        }
        let feel =
            line.clause(Clause::Feel).and_then(|clause| clause.fields.text()).map(|(text, _)| text.clone());
        for index in chosen {
            self.tuned.push((index, line.word));
            let Some((adjuster, setup)) = self.known(index) else { continue };
            let setup = setup.clone();
            let mut tune = Tune {
                adjuster,
                begin: None,
                within: None,
                at_most: MOST_LAPS_OF_A_TUNE,
                feel: feel.clone(),
            };
            if let Some((&way, span)) = line.clause(Clause::Begin).and_then(|clause| clause.fields.way()) {
                let Some(direction) = self.direction(index, &setup, way, span) else { return };
                tune.begin = Some(direction);
            }
            if let Some(value) = value(line.clause(Clause::Within)) {
                let Some(count) = self.count(&value, &setup) else { return };
                tune.within = Some(count);
            }
            let Some(at_most) = at_most else { return };
            tune.at_most = at_most;
            self.steps.push(Step::Tune(tune));
        }
    }

    /// Warns where compression is tuned before the rebound of the same part.
    fn compression_first(&mut self) {
        let family = |index: usize| self.sketch.declared[index].knob.family();
        let part = |index: usize| self.sketch.declared[index].part;
        let mut told: Vec<Span> = Vec::new();
        for (at, &(index, span)) in self.tuned.iter().enumerate() {
            let rebound_before = self.tuned[..at]
                .iter()
                .any(|&(other, _)| family(other) == Family::Rebound && part(other) == part(index));
            let rebound_after = self.tuned[at..]
                .iter()
                .any(|&(other, _)| family(other) == Family::Rebound && part(other) == part(index));
            if family(index) == Family::Compression
                && !rebound_before
                && rebound_after
                && !told.contains(&span)
            {
                told.push(span);
            }
        }
        for span in told {
            self.problems.push(
                Problem::new(Code::CompressionFirst, span, "compression is tuned here before rebound").help(
                    "tune rebound first: a suspension that returns wrongly hides what compression does",
                ),
            );
        }
    }
}
