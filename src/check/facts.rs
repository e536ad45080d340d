//! Owns what the plan, the rider and the trail say of themselves.
//! It knows nothing of adjusters or steps.

use num_traits::One;

use crate::language::{EntryLine, ValueNode, WhatNode};
use crate::physics::{Kind, Number, Unit};
use crate::plan::{Rider, Trail};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{Effort, Entry, Method};

use super::bounds::{amount, measured};
use super::limits::{CHANGE, GOOD_FOR, LAP, LAPS_AT_ONCE, Limits, PLAN_LAPS, PLAN_TIME, WEIGHT};
use super::sections::Sections;
use super::values::whole;

/// The most laps that a plan may be bounded by.
const MOST_LAPS: u32 = 1000;

/// What is said outside bike and steps.
#[derive(Debug)]
#[allow(clippy::struct_excessive_bools, reason = "each is a fact of its own, said on a line of its own")]
pub(super) struct Facts {
    pub author: Option<String>,
    pub rider: Option<Rider>,
    /// A rider stands there but the weight could not be read, which is told already.
    pub weight_broken: bool,
    pub trail: Option<Trail>,
    pub warm_up: Option<u32>,
    /// The warm-up stands there but could not be read, which is told already.
    pub warm_up_broken: bool,
    pub laps: Option<u32>,
    pub minutes: Option<Number>,
    /// Where the laps and the minutes stand.
    pub laps_at: Option<Span>,
    pub minutes_at: Option<Span>,
    pub change: Number,
    /// How every tune searches that does not say otherwise.
    pub method: Method,
    pub effort: Effort,
    pub effort_at: Option<Span>,
    pub second_question: bool,
    pub second_question_at: Option<Span>,
    pub needs_settings: bool,
    /// Sag is measured before the first lap, so a start need not be near.
    pub measures_first: bool,
}

pub(super) fn gather(sections: &Sections<'_>, problems: &mut Vec<Problem>) -> Facts {
    let mut facts = Facts {
        author: None,
        rider: None,
        weight_broken: sections.unread,
        trail: None,
        warm_up: None,
        warm_up_broken: false,
        laps: None,
        minutes: None,
        laps_at: None,
        minutes_at: None,
        change: Number::one(),
        method: Method::Bracket,
        effort: Effort::Usual,
        effort_at: None,
        second_question: true,
        second_question_at: None,
        needs_settings: false,
        measures_first: measures_first(sections),
    };
    let mut weight = None;
    let mut lap = None;
    let mut good_for = None;
    let mut method_at = None;
    for line in &sections.facts {
        let value = line.fields.value().map(|(value, _)| value);
        match line.entry {
            Entry::Author => facts.author = line.fields.text().map(|(text, _)| text.clone()),
            Entry::Method => {
                if let Some((&method, span)) = line.fields.method() {
                    (facts.method, method_at) = (method, Some(span));
                }
            }
            Entry::Effort => {
                if let Some((&effort, span)) = line.fields.effort() {
                    (facts.effort, facts.effort_at) = (effort, Some(span));
                }
            }
            Entry::SecondQuestion => {
                if let Some((&yes, span)) = line.fields.yes_no() {
                    (facts.second_question, facts.second_question_at) = (yes, Some(span));
                }
            }
            Entry::Needs => facts.needs_settings = true,
            Entry::AtMost => match value.and_then(|value| value.unit).map(Unit::kind) {
                Some(Kind::Laps) => {
                    facts.laps = value.and_then(|value| laps(value, &PLAN_LAPS, problems));
                    facts.laps_at = value.map(|value| value.span);
                }
                _ => {
                    facts.minutes = value.and_then(|value| amount(value, Unit::Minute, &PLAN_TIME, problems));
                    facts.minutes_at = value.map(|value| value.span);
                }
            },
            Entry::Change => {
                let read = value.and_then(|value| amount(value, Unit::Minute, &CHANGE, problems));
                facts.change = read.unwrap_or(facts.change);
            }
            Entry::Weight => {
                weight = value.and_then(|value| measured(value, &WEIGHT, problems));
                facts.weight_broken = weight.is_none();
            }
            Entry::Lap => lap = value.and_then(|value| amount(value, Unit::Minute, &LAP, problems)),
            Entry::GoodFor => {
                good_for = value.and_then(|value| amount(value, Unit::Minute, &GOOD_FOR, problems));
            }
            Entry::WarmUp => {
                facts.warm_up = value.and_then(|value| laps(value, &LAPS_AT_ONCE, problems));
                facts.warm_up_broken = facts.warm_up.is_none();
            }
            _ => {}
        }
    }
    if let (Method::CrossOut, Some(method), Some(no)) =
        (facts.method, method_at, facts.no_second_question_at())
    {
        problems.push(second_question_needed(method, no));
    }
    let title = |section: &Option<super::sections::Section>| {
        section.as_ref().map(|section| section.title.clone().unwrap_or_default())
    };
    facts.rider = title(&sections.rider).map(|name| Rider { name, weight });
    let good_for = good_for.unwrap_or(Number::from_integer(Trail::GOOD_FOR));
    facts.trail = title(&sections.trail).map(|name| Trail { name, lap, good_for });
    facts
}

impl Facts {
    /// Where the plan says that no lap is compared twice.
    pub fn no_second_question_at(&self) -> Option<Span> {
        self.second_question_at.filter(|_| !self.second_question)
    }
}

/// Crossing out without a second question.
pub(super) fn second_question_needed(method: Span, no: Span) -> Problem {
    Problem::new(Code::SecondQuestionNeeded, method, "cross-out needs a second question on most laps")
        .also(no, "here it is turned off")
        .help("take out  second question no , or choose  method bracket , which asks one question a lap")
}

/// Whether a spring of the bike is measured before the first lap. Where there are no steps yet nobody
/// knows, and it counts as measured.
fn measures_first(sections: &Sections<'_>) -> bool {
    if sections.steps.is_none() {
        return true;
    }
    let springs: Vec<_> = sections
        .part_entries
        .iter()
        .filter_map(|entry| Some((entry.part?, entry.line.fields.knob()?.0)))
        .filter(|(_, knob)| knob.is_spring())
        .collect();
    let rides = |line: &&EntryLine| {
        !matches!(line.entry, Entry::Ride | Entry::Tune | Entry::Revisit | Entry::Confirm)
    };
    let before = sections.step_entries.iter().copied().take_while(rides);
    before.filter(|line| line.entry == Entry::Measure).filter_map(|line| line.fields.which()).any(
        |(which, _)| {
            springs.iter().any(|(part, knob)| {
                let meant = match &which.what {
                    WhatNode::Spring => true,
                    WhatNode::Knob(asked) => knob.answers_to(asked),
                };
                meant && which.part.is_none_or(|asked| asked == *part)
            })
        },
    )
}

/// A whole number of laps; one that is unusual is taken and told.
pub(super) fn laps(value: &ValueNode, limits: &Limits, problems: &mut Vec<Problem>) -> Option<u32> {
    let laps = whole(value, 1, MOST_LAPS, problems)?;
    measured(value, limits, problems).map(|_| laps)
}
