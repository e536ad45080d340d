//! Owns the selectors: which adjusters of the bike a step means, in the order of work.
//! It knows nothing of what the step does with them.

use crate::language::{WhatNode, WhichNode};
use crate::problem::{Code, Findings, Problem, Span};
use crate::vocabulary::{Knob, SPRING, lower, nearest};

use super::bike::{Declared, Sketch};

/// The adjusters that a selector means: fork, shock, front tyre, rear tyre, and low-speed before
/// high-speed. A selector that means none is told, unless `passes_over`: the step says
/// `if fitted`, or may say it.
pub(super) fn selected<'a>(
    which: &WhichNode,
    span: Span,
    passes_over: bool,
    sketch: &'a Sketch,
    findings: &mut Findings,
) -> Vec<&'a Declared> {
    let named = |knob: &Knob| match (&which.what, knob) {
        (WhatNode::Spring, knob) => knob.is_spring(),
        (WhatNode::Knob(Knob::Own(asked)), Knob::Own(name)) => lower(asked) == lower(name),
        (WhatNode::Knob(asked), knob) => knob.answers_to(asked),
    };
    let meant =
        |declared: &&Declared| which.part.is_none_or(|part| part == declared.part) && named(&declared.knob);
    let mut found: Vec<&Declared> = sketch.declared.iter().filter(meant).collect();
    found.sort_by_key(|declared| (declared.part, &declared.knob));
    if found.is_empty() && !passes_over && sketch.unread.is_none() {
        findings.tell(none_found(which, span, sketch));
    }
    found
}

fn none_found(which: &WhichNode, span: Span, sketch: &Sketch) -> Problem {
    let asked = match &which.what {
        WhatNode::Spring => SPRING,
        WhatNode::Knob(asked) => asked.word(),
    };
    let fitted: Vec<String> = sketch
        .declared
        .iter()
        .take(12)
        .map(|declared| format!("{} {}", declared.part, declared.knob.word()))
        .collect();
    let list = if fitted.is_empty() { "no adjuster yet".to_owned() } else { fitted.join(", ") };
    let Some(part) = which.part else {
        let message = format!("this bike has no {asked}, so this step does nothing");
        return Problem::pointing(Code::NothingToDo, span, message).help(format!("this bike has {list}"));
    };
    let problem =
        Problem::pointing(Code::AdjusterNotOnBike, span, format!("this bike has no {part} {asked}"));
    let on_part: Vec<&str> = sketch
        .declared
        .iter()
        .filter(|declared| declared.part == part)
        .map(|declared| declared.knob.word())
        .collect();
    let declare = match &which.what {
        WhatNode::Spring => format!("{} {}", Knob::Air.word(), Knob::Air.example()),
        WhatNode::Knob(Knob::Own(name)) => format!("adjuster \"{name}\" 0 to 10 clicks"),
        WhatNode::Knob(known) if known.may_be_counted() => format!("{} ? clicks", known.word()),
        WhatNode::Knob(known) => format!("{} {}", known.word(), known.example()),
    };
    match nearest(asked, on_part) {
        Some(meant) => problem.help(format!("did you mean `{part} {meant}`?")),
        None => problem.help(format!(
            "add it under `part {part}`, such as `{declare}`, or add `, if fitted` to the step. This bike \
                has {list}"
        )),
    }
}
