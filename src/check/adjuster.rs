//! Owns one adjuster's line: its scale, its step, from where it counts.
//! Where it starts stands in `start`.

use num_traits::Zero;

use crate::language::{ClauseLine, EntryLine, ScaleNode, ValueNode};
use crate::physics::{Kind, Number, Unit};
use crate::plan::{Dial, Scale, Setup, StartRule, Uncounted};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{Clause, End, Knob, Part, Way, unit_word};

use super::backwards::backwards;
use super::bounds;
use super::facts::Facts;
use super::scales::{is_counted, list_scale, names_scale, range_scale, silent_by, unfit_scale};
use super::start::{self, Start, Table};
use super::values::{whole, wrong_amount};

/// What an adjuster's line gives; `None` where it cannot be used, which is told.
pub(super) fn setup(
    (part, knob): (Part, &Knob),
    line: &EntryLine,
    facts: &Facts,
    problems: &mut Vec<Problem>,
    needs: &mut Vec<String>,
) -> Option<Setup> {
    let (node, span) = line.fields.scale()?;
    let end = counted_end(knob, node, line, problems);
    let broken = line.clauses.iter().any(|clause| clause.broken && clause.clause != Clause::Sag);
    let outside = bounds::of_scale(part, knob, node);
    if outside.as_ref().is_some_and(Problem::is_error) {
        problems.extend(outside);
        return None;
    }
    let Some(known) = scale(knob, node, span, end, problems)? else {
        let ScaleNode::Unknown { unit } = node else { return None };
        let found = uncounted(knob, *unit, end, line, facts, problems, needs).filter(|_| !broken)?;
        return Some(Setup::Uncounted(found));
    };
    problems.extend(outside);
    let rising = rising(knob, known.unit());
    let step = line.clause(Clause::Step).and_then(|clause| step_of(clause, knob, &known, problems));
    let start = start::of_known(knob, line, &known, rising, facts, problems, needs);
    if broken {
        return None;
    }
    let dial = Dial::new(known, StartRule::Middle, step, rising);
    Some(match start? {
        Start::At(position) => Setup::Known(dial.starting_at(position)),
        Start::Asked => Setup::Unstarted(dial),
    })
}

/// The scale of a line; `Some(None)` where it is counted later, `None` where it makes none, which is
/// told.
#[allow(clippy::option_option, reason = "counted later is not the same as unusable")]
fn scale(
    knob: &Knob,
    node: &ScaleNode,
    span: Span,
    end: End,
    problems: &mut Vec<Problem>,
) -> Option<Option<Scale>> {
    match node {
        ScaleNode::Unknown { .. } if knob.may_be_counted() => Some(None),
        ScaleNode::Names(names) if knob.may_have_names() => names_scale(names, problems).map(Some),
        ScaleNode::Values(values) if has_list(knob) => list_scale(knob, values, span, problems).map(Some),
        ScaleNode::Range { low: None, high, by: None } if *knob == Knob::Coil => {
            list_scale(knob, &[*high], span, problems).map(Some)
        }
        ScaleNode::Range { low: None, high, .. }
            if high.unit.is_some_and(|unit| unit.kind() == Kind::Pressure) =>
        {
            problems.push(lone_pressure(high, span));
            None
        }
        ScaleNode::Range { low, high, by } if *knob != Knob::Coil && *knob != Knob::Lockout => {
            range_scale(knob, low.as_ref(), high, by.as_ref(), span, end, problems).map(Some)
        }
        _ => {
            problems.push(unfit_scale(knob, node, span));
            None
        }
    }
}

/// The problem of one pressure where a range is wanted: it may be what is in it now, or the limit.
fn lone_pressure(value: &ValueNode, span: Span) -> Problem {
    let unit = value.unit.unwrap_or(Unit::Psi);
    let one = format!("{} {}", unit.figure(value.number), unit_word(unit));
    Problem::new(Code::ScaleUnfit, span, "one pressure alone does not say from where to where it may go").help(format!(
        "write both ends, the upper one as printed on the part; where {one} is what is in it now, add  start {one}"
    ))
}

/// Whether its positions may be a list of values: springs are, and what an owner declares may be.
fn has_list(knob: &Knob) -> bool {
    knob.kinds().contains(&Kind::SpringRate)
}

/// From which end an adjuster counts. Only clicks and turns of damping and own adjusters are counted.
fn counted_end(knob: &Knob, node: &ScaleNode, line: &EntryLine, problems: &mut Vec<Problem>) -> End {
    let Some(clause) = line.clause(Clause::Counted) else { return End::Closed };
    let unit = match node {
        ScaleNode::Range { high, .. } => high.unit,
        ScaleNode::Unknown { unit } => Some(*unit),
        _ => None,
    };
    let message = match (node, unit) {
        (ScaleNode::Names(_), _) => "positions that have names are not counted",
        (_, Some(unit)) if !is_counted(knob, unit) => {
            "only clicks and turns of damping are counted from an end"
        }
        _ => return clause.fields.end().map_or(End::Closed, |(&end, _)| end),
    };
    problems.push(Problem::new(Code::ClauseUnfit, clause.span, message).help("leave `counted from` out"));
    End::Closed
}

/// What going up is called: on clicks and turns, counted from closed, it opens. Names run from the
/// softest or fastest, so there it closes, and more of any other unit is firmer.
pub(super) fn rising(knob: &Knob, unit: Option<Unit>) -> Way {
    let opening = knob.family().opening();
    if unit.is_some_and(|unit| is_counted(knob, unit)) { opening } else { opening.opposite() }
}

/// The positions of a `step` clause.
fn step_of(clause: &ClauseLine, knob: &Knob, scale: &Scale, problems: &mut Vec<Problem>) -> Option<u32> {
    let (value, _) = clause.fields.value()?;
    // a step of nothing is no step, whatever its unit
    let count = if value.number.is_zero() { Some(0) } else { positions(value, scale, problems) };
    count.and_then(|count| {
        if (1..=scale.top()).contains(&count) || (scale.top() == 0 && count > 0) {
            problems.extend(bounds::of_step_clause(knob, value, count, scale.top()));
            return Some(count);
        }
        let problem = Problem::new(
            Code::StepUnusable,
            clause.span,
            "a step of this size cannot be taken on this range",
        );
        problems.push(problem.help(format!(
            "the smallest is {}, the largest {}",
            scale.amount(1),
            scale.amount(scale.top().max(1))
        )));
        None
    })
}

/// How many positions a value is; a problem is told where it is none or has the wrong unit.
pub(super) fn positions(value: &ValueNode, scale: &Scale, problems: &mut Vec<Problem>) -> Option<u32> {
    if value.unit == Some(Unit::Positions) {
        return whole(value, 0, 1000, problems);
    }
    if value.unit != scale.unit() {
        problems.push(wrong_amount(value, scale.unit()));
        return None;
    }
    let count = if value.number < Number::zero() { Some(0) } else { scale.positions_in(value.number) };
    if count.is_none() {
        let problem = Problem::new(Code::OffGrid, value.span, "this is no whole number of positions");
        problems.push(if scale.is_list() {
            problem.help("the listed values do not lie evenly apart by this")
        } else {
            problem.help(format!("one position is {}", scale.amount(1)))
        });
    }
    count
}

fn uncounted(
    knob: &Knob,
    unit: Unit,
    end: End,
    line: &EntryLine,
    facts: &Facts,
    problems: &mut Vec<Problem>,
    needs: &mut Vec<String>,
) -> Option<Uncounted> {
    let by = silent_by(unit);
    let rising = rising(knob, Some(unit));
    let step = match line.clause(Clause::Step).and_then(|clause| clause.fields.value()) {
        Some((value, _)) => Some(uncounted_step(value, unit, by, problems)?),
        None => None,
    };
    let rule = match start::table(line, problems)? {
        Table::Absent => start::silent_rule(knob),
        Table::Place(place, span) => start::uncounted_place(&place, unit, by, span, problems)?,
        Table::Rows(rows) => {
            for row in &rows {
                start::uncounted_value(&row.value, unit, by, problems)?;
            }
            problems.extend(backwards(knob, line, &rows, Some(unit), Some(end)));
            StartRule::Value(start::at_weight(&rows, facts, knob, problems, needs)?)
        }
    };
    Some(Uncounted::new(unit, by, end, rule, step, rising))
}

/// A step of an adjuster that is not counted yet, in positions.
fn uncounted_step(value: &ValueNode, unit: Unit, by: Number, problems: &mut Vec<Problem>) -> Option<u32> {
    if !matches!(value.unit, Some(Unit::Positions)) && value.unit != Some(unit) {
        problems.push(wrong_amount(value, Some(unit)));
        return None;
    }
    let most = by * Number::from_integer(Uncounted::MOST.into());
    let scale = Scale::grid(unit, Number::zero(), most, by, None).ok()?;
    let count = positions(value, &scale, problems)?;
    if (1..=Uncounted::MOST).contains(&count) {
        return Some(count);
    }
    let problem = Problem::new(Code::StepUnusable, value.span, "a step of this size cannot be taken");
    problems.push(problem.help(format!("the smallest is {}", scale.amount(1))));
    None
}
