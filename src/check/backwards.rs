//! Owns the judgement on a table of starts that gives the heavier rider less: a softer spring, faster
//! rebound, softer compression. Common practice, no source. It knows nothing of which row is used.

use std::cmp::Ordering;

use crate::language::{RowNode, part};
use crate::physics::{Number, Unit};
use crate::problem::{Code, Problem};
use crate::vocabulary::{Clause, End, Knob, unit_word};

use super::table::Rows;

/// What a heavier rider gets in a table that is backwards, and what is needed.
fn words(knob: &Knob) -> Option<(&'static str, &'static str)> {
    Some(match knob {
        Knob::Air | Knob::Coil => ("a softer spring", "a firmer spring"),
        Knob::Pressure => ("a softer tyre", "a firmer tyre"),
        Knob::Preload => ("less preload", "more preload"),
        Knob::Spacers => ("fewer spacers", "at least as many spacers"),
        Knob::Rebound | Knob::LowRebound | Knob::HighRebound => ("faster rebound", "slower rebound"),
        Knob::Compression | Knob::LowCompression | Knob::HighCompression => {
            ("softer compression", "the same compression or firmer")
        }
        Knob::Lockout | Knob::Own(_) => return None,
    })
}

/// The warning of rows that give a heavier rider less; the values are in one unit, the weights rise.
/// `counted` is the end from which the numbers count, where that is a question.
pub(super) fn backwards(
    knob: &Knob,
    adjuster: &part::Adjuster<'_>,
    rows: &Rows,
    unit: Option<Unit>,
    counted: Option<End>,
) -> Option<Problem> {
    let (gets, needs) = words(knob)?;
    // from closed, a higher number is faster or softer
    let firmer = if counted == Some(End::Closed) { Ordering::Less } else { Ordering::Greater };
    let falls = |(lighter, heavier): &(&RowNode, &RowNode)| {
        heavier.value.number.cmp(&lighter.value.number) == firmer.reverse()
    };
    let (lighter, heavier) = rows.pairs().find(falls)?;
    let mut values: Vec<Number> = rows.all().map(|row| row.value.number).collect();
    values.sort_unstable();
    if firmer == Ordering::Less {
        values.reverse();
    }
    let row = |(number, row): (Number, &RowNode)| {
        let word = |unit: Unit| unit_word(unit);
        let (value_unit, weight_unit) =
            (unit.unwrap_or(Unit::Clicks), row.weight.unit.unwrap_or(Unit::Kilogram));
        let (value, weight) = (value_unit.figure(number), weight_unit.figure(row.weight.number));
        format!("{value} {} at {weight} {}", word(value_unit), word(weight_unit))
    };
    let right: Vec<String> = values.into_iter().zip(rows.all()).map(row).collect();
    let right = format!("{} {}", Clause::Start.row().words, right.join(", "));
    let other_end = match (counted, &adjuster.counted) {
        (Some(end), None) => format!(
            "if the numbers count from {}, write `{} {}`; ",
            if end == End::Closed { End::Open.word() } else { End::Closed.word() },
            Clause::Counted.row().words,
            if end == End::Closed { End::Open.word() } else { End::Closed.word() }
        ),
        _ => String::new(),
    };
    let problem =
        Problem::new(Code::WeightBackwards, heavier.span, format!("a heavier rider gets {gets} here"));
    Some(
        problem
            .also(lighter.span, format!("than this lighter rider, but a heavier one usually needs {needs}"))
            .help(format!("check the numbers: {other_end}if two are swapped, write `{right}`")),
    )
}
