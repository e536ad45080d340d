//! Owns one adjuster's line: its scale, its step, from where it counts.
//! Where it starts stands in `start`.

use num_rational::Ratio;
use num_traits::{One, Zero};

use crate::language::{ClauseLine, EntryLine, ScaleNode, ValueNode};
use crate::physics::{Kind, Number, Unit};
use crate::plan::{Dial, NoScale, Rider, Scale, Setup, StartRule, Uncounted};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{Clause, End, Family, Knob, Way, unit_word};

use super::not_yet;
use super::start::{self, Table};
use super::values::{self, wrong_unit};

/// What an adjuster's line gives; `None` where it cannot be used yet, which is told.
pub(super) fn setup(
    knob: &Knob,
    line: &EntryLine,
    rider: Option<&Rider>,
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
                .help("take this clause out"),
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
            let found = uncounted(knob, *unit, end, line, rider, problems, needs).filter(|_| !broken)?;
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
    let rule = start::of_known(knob, line, &known, rising, rider, problems, needs);
    (!broken)
        .then(|| Some(Setup::Known(Dial::new(known, StartRule::Middle, step, rising).starting_at(rule?))))?
}

/// What going up is called: on clicks and turns, counted from closed, it opens; names run from the
/// softest or fastest, so there it closes.
pub(super) fn rising(knob: &Knob, counted: bool) -> Way {
    let opening = knob.family().opening();
    if counted { opening } else { opening.opposite() }
}

fn names_scale(names: &[(String, Span)], problems: &mut Vec<Problem>) -> Option<Scale> {
    let before = problems.len();
    for (index, (name, span)) in names.iter().enumerate() {
        if let Some((_, first)) =
            names[..index].iter().find(|(known, _)| known.to_lowercase() == name.to_lowercase())
        {
            problems.push(
                Problem::new(Code::NameTwice, *span, format!("two positions are called `{name}`"))
                    .also(*first, "the first stands here")
                    .help("give each position a name of its own"),
            );
        }
        if matches!(name.to_lowercase().as_str(), "start" | "middle" | "unknown") || name.trim().is_empty() {
            problems.push(
                Problem::new(Code::NameReserved, *span, format!("`{name}` cannot be the name of a position"))
                    .help("choose another name"),
            );
        }
    }
    if let [(_, span)] = names {
        problems.push(
            Problem::new(Code::ScaleUnfit, *span, "one position alone leaves nothing to choose").help(
                "write all of them, such as  open or half or closed; or a range such as  0 to 18 clicks",
            ),
        );
    }
    if problems.len() > before {
        return None;
    }
    Scale::names(names.iter().map(|(name, _)| name.clone()).collect()).ok()
}

fn listed_values(values: &[ValueNode], span: Span) -> Problem {
    let unit = values.last().and_then(|value| value.unit);
    let problem = Problem::new(Code::ScaleUnfit, span, "this adjuster has no list of values");
    match unit {
        Some(unit) => problem.help(format!("write a range, such as  0 to 18 {}", unit_word(unit, false))),
        None => problem.help("names of positions that are numbers stand in quotes: \"1\" or \"2\""),
    }
}

fn range_scale(
    low: Option<&ValueNode>,
    high: &ValueNode,
    by: Option<&ValueNode>,
    span: Span,
    end: End,
    problems: &mut Vec<Problem>,
) -> Option<Scale> {
    let unit = range_unit(low, high, span, problems)?;
    let lower = low.map_or(Number::zero(), |low| low.number);
    let single = by_of(by, unit, problems)?;
    if lower < Number::zero() || high.number < Number::zero() {
        problems.push(
            Problem::new(
                Code::ValueUnusable,
                span,
                format!("{} are counted from an end, so no number is below 0", unit_word(unit, false)),
            )
            .help("count from fully closed, gently"),
        );
        return None;
    }
    let figure = |number| unit.figure(number);
    let word = unit_word(unit, false);
    match Scale::grid(unit, lower, high.number, single, Some(end)) {
        Ok(scale) => {
            if scale.top() == 0 {
                problems.push(
                    Problem::new(
                        Code::RangeSingle,
                        span,
                        "this range has one position only, so nothing can be tuned",
                    )
                    .help(format!("write both ends, such as  0 to 18 {word}")),
                );
            }
            Some(scale)
        }
        Err(NoScale::Inverted) => {
            let right = format!("{} to {} {word}", figure(high.number), figure(lower));
            problems.push(
                Problem::new(Code::RangeInverted, span, "this range runs from its upper end to its lower")
                    .help(format!("write {right}; and  counted from open  where the numbers count that way"))
                    .fix(right),
            );
            None
        }
        Err(NoScale::OffGrid(below, above)) => {
            problems.push(
                Problem::new(
                    Code::OffGrid,
                    high.span,
                    format!("this end is no whole number of positions of {} {word}", figure(single)),
                )
                .help(format!(
                    "the nearest are {} and {} {word}",
                    figure(below),
                    figure(above)
                )),
            );
            None
        }
        Err(NoScale::TooManyPositions) => {
            problems.push(
                Problem::new(Code::RangeTooLarge, span, "this range has more than a thousand positions")
                    .help("write what one position is, with `by`"),
            );
            None
        }
        Err(NoScale::NoStep) => None,
    }
}

fn range_unit(
    low: Option<&ValueNode>,
    high: &ValueNode,
    span: Span,
    problems: &mut Vec<Problem>,
) -> Option<Unit> {
    let Some(unit) = high.unit else {
        problems.push(
            Problem::new(Code::UnitMissing, high.span, "this range has no unit")
                .help("write `clicks` or `turns` behind it")
                .fix_at(high.span.after(), " clicks"),
        );
        return None;
    };
    if let Some(other) = low.and_then(|low| low.unit).filter(|other| *other != unit) {
        problems.push(
            Problem::new(
                Code::RangeUnits,
                span,
                format!(
                    "this range has two units, {} and {}",
                    unit_word(other, false),
                    unit_word(unit, false)
                ),
            )
            .help("write both ends in the same unit"),
        );
        return None;
    }
    match unit.kind() {
        Kind::Clicks | Kind::Turns => Some(unit),
        _ => {
            problems.push(
                Problem::new(
                    Code::UnitUnfit,
                    high.span,
                    format!("`{}` does not fit this adjuster", unit_word(unit, false)),
                )
                .help("damping and own adjusters have `clicks`, `turns`, or positions with names"),
            );
            None
        }
    }
}

/// How much one position is: what stands after `by`, else one click or a quarter turn.
fn by_of(by: Option<&ValueNode>, unit: Unit, problems: &mut Vec<Problem>) -> Option<Number> {
    let Some(by) = by else { return Some(silent_by(unit)) };
    let whole_clicks = unit != Unit::Clicks || by.number.is_integer();
    if by.unit.is_some_and(|other| other != unit) || by.number <= Number::zero() || !whole_clicks {
        problems.push(
            Problem::new(Code::ValueUnusable, by.span, "one position cannot be this much")
                .help(format!("write an amount above nothing in {}", unit_word(unit, false))),
        );
        return None;
    }
    Some(by.number)
}

fn silent_by(unit: Unit) -> Number {
    if unit == Unit::Turns { Ratio::new(1, 4) } else { Number::one() }
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
    rider: Option<&Rider>,
    problems: &mut Vec<Problem>,
    needs: &mut Vec<String>,
) -> Option<Uncounted> {
    let by = silent_by(unit);
    let rising = rising(knob, true);
    let mut step = None;
    if let Some((value, _)) = line.clause(Clause::Step).and_then(|clause| clause.fields.value()) {
        if value.unit == Some(unit) {
            step = values::whole(
                &ValueNode { number: value.number / by, ..*value },
                1,
                Uncounted::MOST,
                problems,
            );
            step?;
        } else {
            problems.push(wrong_unit(value, Some(unit)));
            return None;
        }
    }
    let rule = match start::table(line, problems)? {
        Table::Absent => start::silent_rule(knob),
        Table::Place(place, span) => start::uncounted_place(&place, unit, by, span, problems)?,
        Table::Rows(rows) => {
            for row in &rows {
                start::uncounted_value(&row.value, unit, by, problems)?;
            }
            StartRule::Value(start::at_weight(&rows, rider, knob, problems, needs)?)
        }
    };
    Some(Uncounted::new(unit, by, end, rule, step, rising))
}
