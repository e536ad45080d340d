//! Owns the small judgements on single values: whole numbers, sensible sizes.
//! It knows nothing of what the values are for.

use num_traits::ToPrimitive;

use crate::language::{Field, Gap, Placed, ValueNode};
use crate::physics::Unit;
use crate::problem::{Code, Findings, Problem, Refuse, Told};
use crate::vocabulary::unit_word;

/// A phrase of a line; where it is missing and nobody said so, that is told here.
pub(super) fn found<'a, T>(field: Field<'a, T>, findings: &mut Findings) -> Result<Placed<'a, T>, Told> {
    field.map_err(|gap| match gap {
        Gap::Told(told) => told,
        Gap::Untold(line) => findings.refuse(
            Problem::pointing(Code::LineUnfinished, line, "part of this line is missing")
                .help("write the whole line again"),
        ),
    })
}

/// A whole number from `low` to `high`.
pub(super) fn whole(value: &ValueNode, low: u32, high: u32, findings: &mut Findings) -> Result<u32, Told> {
    let number = if value.number.is_integer() { value.number.to_integer().to_u32() } else { None };
    number.filter(|number| (low..=high).contains(number)).ok_or_else(|| {
        let unit = value.unit.map_or("", unit_word);
        findings.refuse(
            Problem::pointing(Code::ValueImpossible, value.span, "this number doesn't work here")
                .help(format!("write a whole number from {low} to {high} {unit}").trim_end().to_owned()),
        )
    })
}

/// The problem of a unit that is missing or another one.
pub(super) fn wrong_unit(value: &ValueNode, unit: Option<Unit>) -> Problem {
    match (value.unit, unit) {
        (None, Some(unit)) => Problem::pointing(Code::UnitMissing, value.span, "this has no unit")
            .help(format!("add `{}`", unit_word(unit)))
            .fix_at(value.span.after(), format!(" {}", unit_word(unit))),
        (_, Some(unit)) => {
            Problem::pointing(Code::UnitWrong, value.span, "this is the wrong unit for this adjuster")
                .help(format!("use {}", unit_word(unit)))
        }
        (_, None) => Problem::pointing(
            Code::UnitWrong,
            value.span,
            "this adjuster has named positions, so no unit works",
        )
        .help("write how many positions, without a unit"),
    }
}

/// The same for an amount: a plan for any bike can leave the unit open.
pub(super) fn wrong_amount(value: &ValueNode, unit: Option<Unit>) -> Problem {
    let problem = wrong_unit(value, unit);
    match (value.unit, unit) {
        (Some(_), Some(unit)) => problem.help(format!(
            "use {}; in a plan for any bike, use `{}`",
            unit_word(unit),
            unit_word(Unit::Positions)
        )),
        _ => problem,
    }
}
