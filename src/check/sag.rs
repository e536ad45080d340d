//! Owns the sag that a spring's line aims at: its window in mm, and what is wrong with it.
//! It knows nothing of how sag is measured.

use num_traits::Zero;

use crate::language::{ValueNode, WindowNode, clause, part};
use crate::physics::{Number, Quantity, Unit};
use crate::plan::PartFacts;
use crate::problem::{Code, Findings, Problem, Refuse, Span, Told};
use crate::vocabulary::{Entry, Knob, Part, unit_word};

use super::bounds::Written;
use super::limits::{FORK_SAG, SHOCK_SAG};
use super::values::found;

/// The sag that an adjuster's line aims at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sag {
    /// Its line does not say.
    Silent,
    /// Between these, in mm.
    Window(Number, Number),
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
    format!("add a line to `part {part}`, such as `{} {example} mm`", entry.words())
}

/// What the line of an adjuster says of sag; `spoken_of` where the set says something of how far the part
/// moves that cannot be used, so that it is not missed here.
pub(super) fn declared(
    knob: &Knob,
    line: &part::Adjuster<'_>,
    facts: Option<&PartFacts>,
    spoken_of: Option<Told>,
    findings: &mut Findings,
) -> Result<Sag, Told> {
    let Some(clause::Sag { place, window: said }) = line.sag else {
        return line.line.lost_clause.map_or(Ok(Sag::Silent), Err);
    };
    if !knob.is_spring() {
        return Err(findings.refuse(
            Problem::new(Code::OptionWrong, *place, format!("`{}` has no sag", knob.word())).help(format!(
                "only `{}` and `{}` have sag",
                Knob::Air.word(),
                Knob::Coil.word()
            )),
        ));
    }
    let (WindowNode { low, high }, span) = found(said, findings)?;
    let outside = facts.and_then(|facts| unusual(low, high, facts));
    if let Some(problem) = outside.as_ref().filter(|problem| problem.is_error()) {
        return Err(findings.refuse(problem.clone()));
    }
    match window(low, high, span, facts) {
        Ok((low, high)) => {
            findings.extend(outside);
            findings.extend(facts.and_then(|facts| narrow(low, high, facts, span)));
            Ok(Sag::Window(low, high))
        }
        Err(problem) => Err(match spoken_of {
            Some(told) if problem.code == Code::TravelMissing => told,
            _ => findings.refuse(*problem),
        }),
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
        let problem = Problem::pointing(Code::RangeUnits, span, "this sag range has two units");
        return Err(Box::new(problem.help("use one unit for both")));
    }
    if low.number > high.number {
        let right = format!("{} to {} {word}", unit.figure(high.number), unit.figure(low.number));
        let problem = Problem::pointing(Code::RangeBackwards, span, "this sag range is the wrong way round");
        return Err(Box::new(problem.help(format!("write {right}")).fix(right)));
    }
    let travel = facts.and_then(|facts| facts.travel);
    let most = if unit == Unit::Percent { Some(Number::from_integer(100)) } else { travel };
    if low.number <= Number::zero() || most.is_some_and(|most| high.number >= most) {
        let problem = Problem::new(Code::SagNotARange, span, "you can't ride with this sag");
        return Err(Box::new(problem.help(format!(
            "write a range between zero and full travel, such as `18 to 22 {}`",
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
            let problem = Problem::pointing(
                Code::TravelMissing,
                span,
                "this sag is in %, but the file gives no travel",
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
    Problem::new(Code::SagNotARange, span, "write sag as a range: you can't hit one exact figure").help(
        format!(
            "write both ends, such as `{} to {} {}`",
            unit.figure(below),
            unit.figure(above),
            unit_word(unit)
        ),
    )
}

/// What is said of a window that nobody rides with or few do; nothing where it is wrong in another way.
/// Numbers that are written in mm may have been meant in percent.
fn unusual(low: &ValueNode, high: &ValueNode, facts: &PartFacts) -> Option<Problem> {
    let limits = if facts.part == Part::Fork { &FORK_SAG } else { &SHOCK_SAG };
    let written = Written::range(low, high)?;
    if high.unit == Some(Unit::Percent) {
        return written.problem(limits, Code::SagNotARange);
    }
    let travel = facts.travel?;
    let share = |end: &ValueNode| end.number * Number::from_integer(100) / travel;
    let usual =
        |end: &ValueNode| limits.outside(Quantity { number: end.number, unit: Unit::Percent }).is_none();
    let meant = (usual(low) && usual(high)).then(|| written.said_in(Unit::Percent));
    let shares = written.with_numbers([share(low), share(high)], Unit::Percent);
    shares.problem_or(limits, Code::SagNotARange, meant)
}

/// Warns where a window is narrower than three times what the ruler can tell (a rule of this
/// project's own model, no source).
fn narrow(low: Number, high: Number, facts: &PartFacts, span: Span) -> Option<Problem> {
    let (width, error) = (high - low, facts.reading_error());
    if width >= error * Number::from_integer(3) {
        return None;
    }
    let figure = |number| format!("{} {}", Unit::Millimetre.figure(number), unit_word(Unit::Millimetre));
    let message =
        format!("this sag range is only {} wide, and you read sag to {}", figure(width), figure(error));
    Some(Problem::pointing(Code::SagNarrow, span, message).help(
        "make it wider, or measure more finely and say so with `measured to`; otherwise you chase measuring \
            errors",
    ))
}
