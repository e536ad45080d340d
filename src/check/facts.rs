//! Owns what the plan, the rider and the loop say of themselves.
//! It knows nothing of adjusters or steps.

use num_traits::One;

use crate::language::{EntryView, Placed, ValueNode, WhatNode, WhichNode, laps, part, plan, rider, steps};
use crate::physics::{Kind, Number, Quantity, Unit};
use crate::plan::{Loop, Rider};
use crate::problem::{Code, Findings, Problem, Span, Told};
use crate::vocabulary::{Effort, Knob, Method};

use super::bounds::{amount, measured};
use super::limits::{CHANGE, GOOD_FOR, LAP, LAPS_AT_ONCE, Limits, PLAN_LAPS, PLAN_TIME, WEIGHT};
use super::sections::Sections;
use super::values::{found, whole};

/// The most laps that a plan may be bounded by.
const MOST_LAPS: u32 = 1000;

/// What is said outside bike and steps.
#[derive(Debug)]
pub(super) struct Facts {
    pub author: Option<String>,
    pub rider: Option<Rider>,
    /// The rider's weight; none where nothing says it.
    pub weight: Result<Option<Quantity>, Told>,
    pub loop_: Option<Loop>,
    /// The laps of the warm-up, where the loop says them.
    pub warm_up: Option<Result<u32, Told>>,
    pub laps: Option<u32>,
    pub minutes: Option<Number>,
    /// Where the laps and the minutes are.
    pub laps_at: Option<Span>,
    pub minutes_at: Option<Span>,
    pub change: Number,
    /// How every tune searches that does not say otherwise.
    pub method: Method,
    pub effort: Effort,
    pub effort_at: Option<Span>,
    pub compare_twice: bool,
    pub compare_twice_at: Option<Span>,
    pub needs_settings: bool,
    /// Sag is measured before the first lap, so a start need not be near.
    pub measures_first: bool,
    pub method_at: Option<Span>,
    pub lap: Option<Number>,
    pub good_for: Option<Number>,
}

pub(super) fn gather(sections: &Sections<'_>, findings: &mut Findings) -> Facts {
    let mut facts = Facts {
        author: None,
        rider: None,
        weight: sections.unread.map_or(Ok(None), Err),
        loop_: None,
        warm_up: None,
        laps: None,
        minutes: None,
        laps_at: None,
        minutes_at: None,
        change: Number::one(),
        method: Method::Bracket,
        effort: Effort::Normal,
        effort_at: None,
        compare_twice: true,
        compare_twice_at: None,
        needs_settings: false,
        measures_first: measures_first(sections),
        method_at: None,
        lap: None,
        good_for: None,
    };
    for line in &sections.facts {
        // what cannot be used is told, and is as if it were not there
        let _told = match line.view() {
            EntryView::Plan(entry) => facts.plan(&entry, findings).err(),
            EntryView::Rider(entry) => {
                facts.rider(&entry, findings);
                None
            }
            EntryView::Loop(entry) => facts.on_loop(&entry, findings).err(),
            EntryView::Part(_) | EntryView::Steps(_) => None,
        };
    }
    if let (Method::CrossOut, Some(method), Some(no)) =
        (facts.method, facts.method_at, facts.no_compare_twice_at())
    {
        findings.tell(compare_twice_needed(method, no));
    }
    let title = |section: &Option<super::sections::Section>| {
        section.as_ref().map(|section| section.title.clone().unwrap_or_default())
    };
    let weight = facts.weight.ok().flatten();
    facts.rider = title(&sections.rider).map(|name| Rider { name, weight });
    let good_for = facts.good_for.unwrap_or(Number::from_integer(Loop::GOOD_FOR));
    facts.loop_ = title(&sections.loop_).map(|name| Loop { name, lap: facts.lap, good_for });
    facts
}

impl Facts {
    fn plan(&mut self, entry: &plan::Entry<'_>, findings: &mut Findings) -> Result<(), Told> {
        match entry {
            plan::Entry::Author(plan::Author { line: _, name }) => {
                self.author = Some(found(*name, findings)?.0.clone());
            }
            plan::Entry::Method(plan::Method { line: _, method }) => {
                let (&method, span) = found(*method, findings)?;
                (self.method, self.method_at) = (method, Some(span));
            }
            plan::Entry::Effort(plan::Effort { line: _, effort }) => {
                let (&effort, span) = found(*effort, findings)?;
                (self.effort, self.effort_at) = (effort, Some(span));
            }
            plan::Entry::CompareTwice(plan::CompareTwice { line: _, asked }) => {
                let (&asked, span) = found(*asked, findings)?;
                (self.compare_twice, self.compare_twice_at) = (asked, Some(span));
            }
            plan::Entry::AtMost(plan::AtMost { line: _, most }) => {
                let (most, _) = found(*most, findings)?;
                if most.unit.map(Unit::kind) == Some(Kind::Laps) {
                    self.laps_at = Some(most.span);
                    self.laps = Some(laps(most, &PLAN_LAPS, findings)?);
                } else {
                    self.minutes_at = Some(most.span);
                    self.minutes = Some(amount(most, Unit::Minute, &PLAN_TIME, findings)?);
                }
            }
            plan::Entry::Change(plan::Change { line: _, time }) => {
                self.change = amount(found(*time, findings)?.0, Unit::Minute, &CHANGE, findings)?;
            }
            plan::Entry::Needs(plan::Needs { line: _, settings }) => {
                self.needs_settings = true;
                found(*settings, findings)?;
            }
        }
        Ok(())
    }

    fn rider(&mut self, entry: &rider::Entry<'_>, findings: &mut Findings) {
        let rider::Entry::Weight(rider::Weight { line: _, weight }) = entry;
        let weight = found(*weight, findings).and_then(|(weight, _)| measured(weight, &WEIGHT, findings));
        self.weight = weight.map(Some);
    }

    fn on_loop(&mut self, entry: &laps::Entry<'_>, findings: &mut Findings) -> Result<(), Told> {
        match entry {
            laps::Entry::Lap(laps::Lap { line: _, time }) => {
                self.lap = Some(amount(found(*time, findings)?.0, Unit::Minute, &LAP, findings)?);
            }
            laps::Entry::WarmUp(laps::WarmUp { line: _, laps: said }) => {
                let said = found(*said, findings);
                self.warm_up = Some(said.and_then(|(said, _)| laps(said, &LAPS_AT_ONCE, findings)));
            }
            laps::Entry::GoodFor(laps::GoodFor { line: _, time }) => {
                self.good_for = Some(amount(found(*time, findings)?.0, Unit::Minute, &GOOD_FOR, findings)?);
            }
        }
        Ok(())
    }

    /// Where the plan says that no lap is compared twice.
    pub fn no_compare_twice_at(&self) -> Option<Span> {
        self.compare_twice_at.filter(|_| !self.compare_twice)
    }
}

/// Crossing out without second comparisons.
pub(super) fn compare_twice_needed(method: Span, no: Span) -> Problem {
    Problem::new(Code::CompareTwiceNeeded, method, "cross-out needs to compare laps twice")
        .also(no, "it is turned off here")
        .help("take out `compare twice no`, or use `method bracket`, which asks one question per lap")
}

/// Whether a spring of the bike is measured before the first lap. Where there are no steps yet nobody
/// knows, and it counts as measured.
fn measures_first(sections: &Sections<'_>) -> bool {
    if sections.steps.is_none() {
        return true;
    }
    let adjuster = |view| match view {
        EntryView::Part(part::Entry::Adjuster(adjuster)) => adjuster.knob.ok(),
        EntryView::Part(part::Entry::Travel(_) | part::Entry::Stroke(_) | part::Entry::MeasuredTo(_))
        | EntryView::Plan(_)
        | EntryView::Rider(_)
        | EntryView::Loop(_)
        | EntryView::Steps(_) => None,
    };
    let springs: Vec<_> = sections
        .part_entries
        .iter()
        .filter_map(|entry| Some((entry.part?, adjuster(entry.line.view())?.0)))
        .filter(|(_, knob)| knob.is_spring())
        .collect();
    let means_a_spring = |(which, _): Placed<'_, WhichNode>| {
        springs.iter().any(|(part, knob)| {
            let meant = match &which.what {
                WhatNode::Spring => true,
                WhatNode::Knob(asked) => Knob::answers_to(knob, asked),
            };
            meant && which.part.is_none_or(|asked| asked == *part)
        })
    };
    for line in &sections.step_entries {
        let EntryView::Steps(step) = line.view() else { continue };
        match step {
            steps::Entry::Measure(measure) if measure.which.is_ok_and(means_a_spring) => return true,
            steps::Entry::Ride(_)
            | steps::Entry::Tune(_)
            | steps::Entry::Revisit(_)
            | steps::Entry::Confirm(_) => return false,
            steps::Entry::Measure(_)
            | steps::Entry::Say(_)
            | steps::Entry::Record(_)
            | steps::Entry::Set(_) => {}
        }
    }
    false
}

/// A whole number of laps; one that is unusual is taken and told.
pub(super) fn laps(value: &ValueNode, limits: &Limits, findings: &mut Findings) -> Result<u32, Told> {
    let laps = whole(value, 1, MOST_LAPS, findings)?;
    measured(value, limits, findings).map(|_| laps)
}
