//! Owns one adjuster's line: its scale, its step, from where it counts.
//! Where it starts stands in `start`.

use num_traits::Zero;

use crate::language::{ClauseLine, EntryLine, ScaleNode, ValueNode};
use crate::physics::{Number, Unit};
use crate::plan::{Dial, Scale, Setup, StartRule, Uncounted};
use crate::problem::{Code, Problem};
use crate::vocabulary::{Clause, End, Family, Knob, Way};

use super::facts::Facts;
use super::not_yet;
use super::scales::{listed_values, names_scale, range_scale, silent_by};
use super::start::{self, Table};
use super::values::wrong_unit;

/// What an adjuster's line gives; `None` where it cannot be used yet, which is told.
pub(super) fn setup(
    knob: &Knob,
    line: &EntryLine,
    facts: &Facts,
    problems: &mut Vec<Problem>,
    needs: &mut Vec<String>,
) -> Option<Setup> {
    if matches!(knob.family(), Family::Spring | Family::Tyre) {
        problems.push(not_yet(line.word, &format!("`{}`", knob.word())));
        return None;
    }
    if let Some(sag) = line.clause(Clause::Sag) {
        problems.push(
            Problem::new(Code::ClauseUnfit, sag.span, format!("`{}` has no sag", knob.word()))
                .help("sag belongs to `air` and `coil`"),
        );
    }
    let (node, span) = line.fields.scale()?;
    let counted = line.clause(Clause::Counted);
    let end = counted.and_then(|clause| clause.fields.end()).map_or(End::Closed, |(&end, _)| end);
    if let (Some(clause), ScaleNode::Names(_)) = (counted, node) {
        problems.push(
            Problem::new(Code::ClauseUnfit, clause.span, "positions that have names are not counted")
                .help("leave `counted from` out"),
        );
    }
    if knob.family() == Family::Lockout && !matches!(node, ScaleNode::Names(_)) {
        problems.push(
            Problem::new(Code::ScaleUnfit, span, "a lockout has positions with names")
                .help("write them from open to closed, such as  open or half or closed"),
        );
        return None;
    }
    let broken = line.clauses.iter().any(|clause| clause.broken);
    let known = match node {
        ScaleNode::Unknown { unit } => {
            let found = uncounted(knob, *unit, end, line, facts, problems, needs).filter(|_| !broken)?;
            return Some(Setup::Uncounted(found));
        }
        ScaleNode::Names(names) => names_scale(names, problems)?,
        ScaleNode::Values(values) => {
            problems.push(listed_values(values, span));
            return None;
        }
        ScaleNode::Range { low, high, by } => {
            range_scale(low.as_ref(), high, by.as_ref(), span, end, problems)?
        }
    };
    let rising = rising(knob, known.unit().is_some());
    let step = line.clause(Clause::Step).and_then(|clause| step_of(clause, &known, problems));
    let start = start::of_known(knob, line, &known, rising, facts, problems, needs);
    if broken {
        return None;
    }
    Some(Setup::Known(Dial::new(known, StartRule::Middle, step, rising).starting_at(start?)))
}

/// What going up is called: on clicks and turns, counted from closed, it opens; names run from the
/// softest or fastest, so there it closes.
pub(super) fn rising(knob: &Knob, counted: bool) -> Way {
    let opening = knob.family().opening();
    if counted { opening } else { opening.opposite() }
}

/// The positions of a `step` clause.
fn step_of(clause: &ClauseLine, scale: &Scale, problems: &mut Vec<Problem>) -> Option<u32> {
    let (value, _) = clause.fields.value()?;
    positions(value, scale, problems).and_then(|count| {
        if (1..=scale.top()).contains(&count) || (scale.top() == 0 && count > 0) {
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
    if value.unit != scale.unit() {
        problems.push(wrong_unit(value, scale.unit()));
        return None;
    }
    let count = if value.number < Number::zero() { Some(0) } else { scale.positions_in(value.number) };
    if count.is_none() {
        problems.push(
            Problem::new(Code::OffGrid, value.span, "this is no whole number of positions")
                .help(format!("one position is {}", scale.amount(1))),
        );
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
    let rising = rising(knob, true);
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
            StartRule::Value(start::at_weight(&rows, facts, knob, problems, needs)?)
        }
    };
    Some(Uncounted::new(unit, by, end, rule, step, rising))
}

/// A step of an adjuster that is not counted yet, in positions.
fn uncounted_step(value: &ValueNode, unit: Unit, by: Number, problems: &mut Vec<Problem>) -> Option<u32> {
    if value.unit != Some(unit) {
        problems.push(wrong_unit(value, Some(unit)));
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
