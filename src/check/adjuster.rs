//! Owns one adjuster's line: its scale, its step, from where it counts.
//! Where it starts stands in `start`.

use num_traits::Zero;

use crate::language::{ScaleNode, ValueNode, clause, part};
use crate::physics::{Kind, Number, Unit};
use crate::plan::{Dial, Scale, Setup, StartRule, Uncounted};
use crate::problem::{Code, Findings, Problem, Refuse, Span, Told};
use crate::vocabulary::{Clause, End, Knob, Part, Way, unit_word};

use super::backwards::backwards;
use super::bounds;
use super::facts::Facts;
use super::scales::{is_counted, list_scale, names_scale, range_scale, silent_by, unfit_scale};
use super::start::{self, Start};
use super::table::{Table, table};
use super::values::{found, whole, wrong_amount};

/// What an adjuster's line gives. What it says of sag is not judged here.
pub(super) fn setup(
    (part, knob): (Part, &Knob),
    line: &part::Adjuster<'_>,
    facts: &Facts,
    findings: &mut Findings,
) -> Result<Setup, Told> {
    let part::Adjuster { line: _, knob: _, scale: node, step, start: _, rows: _, counted, sag: _ } = line;
    let (node, span) = found(*node, findings)?;
    // what is wrong with `counted from` or `step` is told; the rest of the line is judged as if it were not there
    let end = counted.map_or(Ok(End::Closed), |counted| counted_end(knob, node, counted, findings));
    let end = end.unwrap_or(End::Closed);
    let outside = bounds::of_scale(part, knob, node);
    if let Some(problem) = outside.as_ref().filter(|problem| problem.is_error()) {
        return Err(findings.refuse(problem.clone()));
    }
    let Some(known) = scale(knob, node, span, end, findings)? else {
        let setup = uncounted(knob, node, end, line, facts, findings)?;
        return unread(line).map_or(Ok(Setup::Uncounted(setup)), Err);
    };
    findings.extend(outside);
    let rising = rising(knob, known.unit());
    let step = step.and_then(|step| step_of(step, knob, &known, findings).ok());
    let start = start::of_known(knob, line, &known, rising, facts, findings);
    if let Some(told) = unread(line) {
        return Err(told);
    }
    let dial = Dial::new(known, StartRule::Middle, step, rising);
    Ok(match start? {
        Start::At(position) => Setup::Known(dial.starting_at(position)),
        Start::Asked => Setup::Unstarted(dial),
    })
}

/// Whether a clause of an adjuster's line could not be read, but for its sag.
fn unread(line: &part::Adjuster<'_>) -> Option<Told> {
    line.line.clauses.iter().filter(|clause| clause.clause != Clause::Sag).find_map(|clause| clause.broken)
}

/// The scale of a line; `None` where it is counted later.
fn scale(
    knob: &Knob,
    node: &ScaleNode,
    span: Span,
    end: End,
    findings: &mut Findings,
) -> Result<Option<Scale>, Told> {
    match node {
        ScaleNode::Unknown { .. } if knob.may_be_counted() => Ok(None),
        ScaleNode::Names(names) if knob.may_have_names() => names_scale(names, span, findings).map(Some),
        ScaleNode::Values { values, last } if has_list(knob) => {
            list_scale(knob, (values, last), span, findings).map(Some)
        }
        ScaleNode::Range { low: None, high, by: None } if *knob == Knob::Coil => {
            list_scale(knob, (&[], high), span, findings).map(Some)
        }
        ScaleNode::Range { low: None, high, .. }
            if high.unit.is_some_and(|unit| unit.kind() == Kind::Pressure) =>
        {
            Err(findings.refuse(lone_pressure(high, span)))
        }
        ScaleNode::Range { low, high, by } if *knob != Knob::Coil && *knob != Knob::Lockout => {
            range_scale(knob, (low.as_ref(), high, by.as_ref()), span, end, findings).map(Some)
        }
        ScaleNode::Unknown { .. }
        | ScaleNode::Names(_)
        | ScaleNode::Values { .. }
        | ScaleNode::Range { .. } => Err(findings.refuse(unfit_scale(knob, node, span))),
    }
}

/// The problem of one pressure where a range is wanted: it may be what is in it now, or the limit.
fn lone_pressure(value: &ValueNode, span: Span) -> Problem {
    let unit = value.unit.unwrap_or(Unit::Psi);
    let one = format!("{} {}", unit.figure(value.number), unit_word(unit));
    Problem::pointing(Code::SettingKindWrong, span, "this is one pressure, not a range").help(format!(
        "write the lowest and highest pressure (the highest is printed on the part); if it is at {one} \
            now, add `start {one}`"
    ))
}

/// Whether its positions may be a list of values: springs are, and what an owner declares may be.
fn has_list(knob: &Knob) -> bool {
    knob.kinds().contains(&Kind::SpringRate)
}

/// From which end an adjuster counts. Only clicks and turns of damping and own adjusters are counted.
fn counted_end(
    knob: &Knob,
    node: &ScaleNode,
    clause::Counted { place, end }: clause::Counted<'_>,
    findings: &mut Findings,
) -> Result<End, Told> {
    let unit = match node {
        ScaleNode::Range { high, .. } => high.unit,
        ScaleNode::Unknown { unit } => Some(*unit),
        ScaleNode::Names(_) | ScaleNode::Values { .. } => None,
    };
    let message = match (node, unit) {
        (ScaleNode::Names(_), _) => "`counted from` doesn't work with named positions",
        (_, Some(unit)) if !is_counted(knob, unit) => {
            "`counted from` only works for damping in clicks or turns"
        }
        _ => return found(end, findings).map(|(&end, _)| end),
    };
    Err(findings.refuse(Problem::new(Code::OptionWrong, *place, message).help("take out `counted from`")))
}

/// What going up is called: on clicks and turns, counted from closed, it opens. Names run from the
/// softest or fastest, so there it closes, and more of any other unit is firmer.
pub(super) fn rising(knob: &Knob, unit: Option<Unit>) -> Way {
    let opening = knob.family().opening();
    if unit.is_some_and(|unit| is_counted(knob, unit)) { opening } else { opening.opposite() }
}

/// The positions of a `step` clause.
fn step_of(step: clause::Step<'_>, knob: &Knob, scale: &Scale, findings: &mut Findings) -> Result<u32, Told> {
    let clause::Step { place, size } = step;
    let (size, _) = found(size, findings)?;
    // a step of nothing is no step, whatever its unit
    let count = if size.number.is_zero() { 0 } else { positions(size, scale, findings)? };
    if (1..=scale.top()).contains(&count) || (scale.top() == 0 && count > 0) {
        findings.extend(bounds::of_step_clause(knob, size, count, scale.top()));
        return Ok(count);
    }
    let problem = Problem::pointing(Code::StepSizeWrong, *place, "this step size doesn't fit the range");
    Err(findings.refuse(problem.help(format!(
        "use {} to {}",
        scale.amount(1),
        scale.amount(scale.top().max(1))
    ))))
}

/// How many positions a value is.
pub(super) fn positions(value: &ValueNode, scale: &Scale, findings: &mut Findings) -> Result<u32, Told> {
    if value.unit == Some(Unit::Positions) {
        return whole(value, 0, 1000, findings);
    }
    if value.unit != scale.unit() {
        return Err(findings.refuse(wrong_amount(value, scale.unit())));
    }
    let count = if value.number < Number::zero() { Some(0) } else { scale.positions_in(value.number) };
    count.ok_or_else(|| {
        let problem =
            Problem::pointing(Code::BetweenSettings, value.span, "this is not a whole number of positions");
        findings.refuse(if scale.is_list() {
            problem.help("the listed values are not this far apart; write `1 position`")
        } else {
            problem.help(format!("one position is {}", scale.amount(1)))
        })
    })
}

/// What the line of an adjuster gives that is counted during the ride.
fn uncounted(
    knob: &Knob,
    node: &ScaleNode,
    end: End,
    line: &part::Adjuster<'_>,
    facts: &Facts,
    findings: &mut Findings,
) -> Result<Uncounted, Told> {
    let ScaleNode::Unknown { unit } = *node else {
        return Err(findings.refuse(unfit_scale(knob, node, line.line.word)));
    };
    let by = silent_by(unit);
    let rising = rising(knob, Some(unit));
    let size = line.step.and_then(|clause::Step { place: _, size }| found(size, findings).ok());
    let step = size.map(|(size, _)| uncounted_step(size, unit, by, findings)).transpose()?;
    let rule = match table(line, findings)? {
        Table::Absent => start::silent_rule(knob),
        Table::Place(place, span) => start::uncounted_place(&place, unit, by, span, findings)?,
        Table::Rows(rows) => {
            for row in rows.all() {
                start::uncounted_value(&row.value, unit, by, findings)?;
            }
            findings.extend(backwards(knob, line, &rows, Some(unit), Some(end)));
            StartRule::Value(start::at_weight(&rows, facts, knob, findings)?)
        }
    };
    Ok(Uncounted::new(unit, by, end, rule, step, rising))
}

/// A step of an adjuster that is not counted yet, in positions.
fn uncounted_step(size: &ValueNode, unit: Unit, by: Number, findings: &mut Findings) -> Result<u32, Told> {
    if !matches!(size.unit, Some(Unit::Positions)) && size.unit != Some(unit) {
        return Err(findings.refuse(wrong_amount(size, Some(unit))));
    }
    let scale = start::uncounted_scale(unit, by, size, findings)?;
    let count = positions(size, &scale, findings)?;
    if (1..=Uncounted::MOST).contains(&count) {
        return Ok(count);
    }
    let problem = Problem::new(Code::StepSizeWrong, size.span, "this step size is too small or too large");
    Err(findings.refuse(problem.help(format!("the smallest is {}", scale.amount(1)))))
}
