//! Owns the sag that a spring's line aims at: its window in mm, and what is wrong with it.
//! It knows nothing of how sag is measured.

use num_traits::Zero;

use crate::language::{EntryLine, Node, ValueNode};
use crate::physics::{Number, Quantity, Unit};
use crate::plan::PartFacts;
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{Clause, Entry, Knob, Part, unit_word};

use super::bounds::Written;
use super::limits::{FORK_SAG, SHOCK_SAG};

/// The sag that an adjuster's line aims at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sag {
    /// Its line does not say.
    Silent,
    /// Between these, in mm.
    Window(Number, Number),
    /// Its line says something that cannot be used, which is told.
    Broken,
}

/// The sag that a spring is measured to where its line is silent, in percent: fork 15 to 25, shock
/// 25 to 35. Common practice, no source.
pub(super) fn silent(part: Part) -> (Number, Number) {
    let (low, high) = if part == Part::Fork { (15, 25) } else { (25, 35) };
    (Number::from_integer(low), Number::from_integer(high))
}

/// The line to add where a part does not say how far it can move.
pub(super) fn travel_line(part: Part) -> String {
    let (entry, example) = if part == Part::Fork { (Entry::Travel, 150) } else { (Entry::Stroke, 55) };
    format!("add a line to `part {part}`, such as  {} {example} mm", entry.words())
}

/// What the line of an adjuster says of sag; `spoken_of` where the set may say how far the part moves,
/// so that it is not missed here.
pub(super) fn declared(
    knob: &Knob,
    line: &EntryLine,
    facts: Option<&PartFacts>,
    spoken_of: bool,
    problems: &mut Vec<Problem>,
) -> Sag {
    let Some(clause) = line.clause(Clause::Sag) else {
        return if line.lost_clause { Sag::Broken } else { Sag::Silent };
    };
    if !knob.is_spring() {
        problems.push(
            Problem::new(Code::ClauseUnfit, clause.span, format!("`{}` has no sag", knob.word()))
                .help(format!("sag belongs to `{}` and `{}`", Knob::Air.word(), Knob::Coil.word())),
        );
        return Sag::Broken;
    }
    let Some((Node::Window(ends), span)) = clause.fields.0.first() else { return Sag::Broken };
    let (low, high) = ends.as_ref();
    let outside = facts.and_then(|facts| unusual(low, high, facts));
    if outside.as_ref().is_some_and(Problem::is_error) {
        problems.extend(outside);
        return Sag::Broken;
    }
    match window(low, high, *span, facts) {
        Ok(window) => {
            problems.extend(outside);
            problems.extend(facts.and_then(|facts| narrow(window.0, window.1, facts, *span)));
            Sag::Window(window.0, window.1)
        }
        Err(problem) => {
            problems
                .extend(Some(*problem).filter(|problem| problem.code != Code::TravelMissing || !spoken_of));
            Sag::Broken
        }
    }
}

/// A window in mm.
fn window(
    low: &ValueNode,
    high: &ValueNode,
    span: Span,
    facts: Option<&PartFacts>,
) -> Result<(Number, Number), Box<Problem>> {
    let unit = high.unit.unwrap_or(Unit::Percent);
    let word = unit_word(unit);
    if low.unit.is_some_and(|other| other != unit) {
        let problem = Problem::new(Code::RangeUnits, span, "this window has two units");
        return Err(Box::new(problem.help("write both ends in the same unit")));
    }
    if low.number > high.number {
        let right = format!("{} to {} {word}", unit.figure(high.number), unit.figure(low.number));
        let problem =
            Problem::new(Code::RangeInverted, span, "this window runs from its upper end to its lower");
        return Err(Box::new(problem.help(format!("write {right}")).fix(right)));
    }
    let travel = facts.and_then(|facts| facts.travel);
    let most = if unit == Unit::Percent { Some(Number::from_integer(100)) } else { travel };
    if low.number <= Number::zero() || most.is_some_and(|most| high.number >= most) {
        let problem = Problem::new(Code::SagUnusable, span, "no spring can be ridden with this sag");
        return Err(Box::new(problem.help(format!(
            "write more than nothing and less than the whole travel, such as  18 to 22 {}",
            unit_word(Unit::Percent)
        ))));
    }
    if low.number == high.number {
        return Err(Box::new(single(low.number, unit, span)));
    }
    if unit == Unit::Millimetre {
        return Ok((low.number, high.number));
    }
    match (travel, facts) {
        (Some(travel), _) => {
            let share = |number: Number| travel * number / Number::from_integer(100);
            Ok((share(low.number), share(high.number)))
        }
        (None, facts) => {
            let problem = Problem::new(
                Code::TravelMissing,
                span,
                "a share of what? The file does not say how far this part can move",
            );
            let part = facts.map_or(Part::Fork, |facts| facts.part);
            Err(Box::new(problem.help(travel_line(part))))
        }
    }
}

/// The problem of a single value where a window is wanted.
fn single(number: Number, unit: Unit, span: Span) -> Problem {
    let two = Number::from_integer(2);
    let (below, above) = ((number - two).max(Number::from_integer(1)), number + two);
    Problem::new(Code::SagUnusable, span, "no spring is hit to the point, so sag is aimed at with a window")
        .help(format!(
            "write both ends, such as  {} to {} {}",
            unit.figure(below),
            unit.figure(above),
            unit_word(unit)
        ))
}

/// What is said of a window that nobody rides with or few do; nothing where it is wrong in another way.
/// Numbers that are written in mm may have been meant in percent.
fn unusual(low: &ValueNode, high: &ValueNode, facts: &PartFacts) -> Option<Problem> {
    let limits = if facts.part == Part::Fork { &FORK_SAG } else { &SHOCK_SAG };
    let written = Written::range(low, high)?;
    if high.unit == Some(Unit::Percent) {
        return written.problem(limits, Code::SagUnusable);
    }
    let travel = facts.travel?;
    let share = |end: &ValueNode| end.number * Number::from_integer(100) / travel;
    let usual =
        |end: &ValueNode| limits.outside(Quantity { number: end.number, unit: Unit::Percent }).is_none();
    let meant = (usual(low) && usual(high)).then(|| written.said_in(Unit::Percent));
    let shares = written.with_numbers([share(low), share(high)], Unit::Percent);
    shares.problem_or(limits, Code::SagUnusable, meant)
}

/// Warns where a window is narrower than three times what the ruler can tell (a rule of this
/// project's own model, no source).
fn narrow(low: Number, high: Number, facts: &PartFacts, span: Span) -> Option<Problem> {
    let (width, error) = (high - low, facts.reading_error());
    if width >= error * Number::from_integer(3) {
        return None;
    }
    let figure = |number| format!("{} {}", Unit::Millimetre.figure(number), unit_word(Unit::Millimetre));
    let message = format!("this window is {} wide, and sag is read to {}", figure(width), figure(error));
    Some(Problem::new(Code::SagNarrow, span, message).help(
        "a reading can miss so narrow a window by chance; widen it, or read finer and say so with `read to`",
    ))
}
