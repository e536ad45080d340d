//! Owns where an adjuster starts: a place, or rows over the rider's weight.
//! It knows nothing of scales' ends or steps.

use num_rational::Ratio;
use num_traits::{Signed, Zero};

use crate::language::{PlaceNode, RowNode, ValueNode, part};
use crate::physics::{Number, Quantity, Unit};
use crate::plan::{Dial, Off, Scale, StartRule, Uncounted};
use crate::problem::{Code, Findings, Problem, Refuse, Span, Told};
use crate::vocabulary::{End, Family, Knob, PLACES, PlaceWord, Way, nearest, unit_word};

use super::backwards::backwards;
use super::facts::Facts;
use super::table::{Rows, Table, kilograms, table};
use super::values::wrong_unit;

/// Where an adjuster starts.
pub(super) enum Start {
    At(u32),
    /// The ride asks what is in it now.
    Asked,
}

/// Where a damping or own adjuster starts when its line does not say: compression and lockout open,
/// rebound and own adjusters in the middle (common practice, no source).
pub(super) fn silent_rule(knob: &Knob) -> StartRule {
    match knob.family() {
        Family::Compression | Family::Lockout => StartRule::End(End::Open),
        Family::Rebound | Family::Own | Family::Spring | Family::Tyre => StartRule::Middle,
    }
}

/// The value of a table at the rider's weight: straight lines between the rows, the end row beyond
/// them; unless the weight is too far outside.
pub(super) fn at_weight(
    rows: &Rows,
    facts: &Facts,
    knob: &Knob,
    findings: &mut Findings,
) -> Result<Number, Told> {
    let last = &rows.last;
    let first = rows.all().next().unwrap_or(last);
    if facts.rider.is_none() {
        return Err(findings.need(
            "a rider with a weight (some starts depend on it): lines such as `rider \"Mo\"` and `weight 78 \
                kg`",
        ));
    }
    let weight = facts.weight?.and_then(|weight: Quantity| weight.in_unit(Unit::Kilogram));
    let Some(weight) = weight else {
        return Err(findings.told(Code::WeightMissing).unwrap_or_else(|| {
            findings.refuse(
                Problem::pointing(
                    Code::WeightMissing,
                    first.span,
                    "this start depends on the rider's weight, and none is given",
                )
                .help("add a line to the rider, such as `weight 78 kg`"),
            )
        }));
    };
    let (least, most) = (kilograms(&first.weight), kilograms(&last.weight));
    if weight < least || weight > most {
        let end = if weight < least { first } else { last };
        return beyond(end, weight, facts, knob, findings);
    }
    let straight = |(below, above): (&RowNode, &RowNode)| {
        let span = kilograms(&above.weight) - kilograms(&below.weight);
        let share = (weight - kilograms(&below.weight)) / span;
        below.value.number + (above.value.number - below.value.number) * share
    };
    let about = rows.pairs().find(|(_, above)| kilograms(&above.weight) >= weight);
    Ok(about.map_or(last.value.number, straight))
}

/// The value of the end row of a table for a rider beyond it.
fn beyond(
    end: &RowNode,
    weight: Number,
    facts: &Facts,
    knob: &Knob,
    findings: &mut Findings,
) -> Result<Number, Told> {
    let limit = kilograms(&end.weight);
    let far = (weight - limit).abs() > limit / Ratio::from_integer(10);
    let problem = |code| {
        let message = format!("the rider is lighter or heavier than the weights given for `{}`", knob.word());
        Problem::new(code, end.span, message)
    };
    if far && !facts.measures_first && !facts.needs_settings {
        return Err(findings.refuse(problem(Code::WeightFarBeyondStarts).help(
            "add a start for this weight, or measure sag before the first lap: it is more than 10 % beyond \
                the last weight",
        )));
    }
    findings.tell(problem(Code::WeightBeyondStarts).help(if far {
        "the nearest start is used, but it may be far off: this weight is more than 10 % beyond it"
    } else {
        "the nearest start is used; to be sure, add a start for this weight"
    }));
    Ok(end.value.number)
}

/// The start of an adjuster whose positions are known.
pub(super) fn of_known(
    knob: &Knob,
    adjuster: &part::Adjuster<'_>,
    scale: &Scale,
    rising: Way,
    facts: &Facts,
    findings: &mut Findings,
) -> Result<Start, Told> {
    match table(adjuster, findings)? {
        Table::Absent => Ok(silent(knob, scale, rising)),
        Table::Place(place, span) => position(&place, knob, scale, rising, span, findings).map(Start::At),
        Table::Rows(rows) => {
            let rows = rows.map(|row| row_on_scale(row, scale, findings))?;
            findings.extend(backwards(knob, adjuster, &rows, scale.unit(), scale.counted()));
            let value = at_weight(&rows, facts, knob, findings)?;
            Ok(Start::At(scale.nearest(value, rising.opening())))
        }
    }
}

/// Where an adjuster whose positions are known starts when its line does not say. Nobody can guess
/// what is in a spring or a tyre; preload and spacers start at the least.
fn silent(knob: &Knob, scale: &Scale, rising: Way) -> Start {
    match knob {
        Knob::Coil if scale.top() == 0 => Start::At(0),
        Knob::Air | Knob::Coil | Knob::Pressure => Start::Asked,
        Knob::Preload | Knob::Spacers => Start::At(0),
        Knob::Rebound
        | Knob::LowRebound
        | Knob::HighRebound
        | Knob::Compression
        | Knob::LowCompression
        | Knob::HighCompression
        | Knob::Lockout
        | Knob::Own(_) => Start::At(Dial::new(scale.clone(), silent_rule(knob), None, rising).start()),
    }
}

/// A row with its value in the unit of the scale. One that stands in that unit must be a position;
/// one in another unit of its kind must lie within the range, and is rounded later.
fn row_on_scale(row: RowNode, scale: &Scale, findings: &mut Findings) -> Result<RowNode, Told> {
    let here = scale.unit().filter(|here| row.value.unit.is_some_and(|unit| unit != *here));
    let converted = here.and_then(|here| Some((here, row.value.quantity()?.in_unit(here)?)));
    let Some((unit, number)) = converted else {
        return on_scale(&row.value, scale, findings).map(|_| row);
    };
    if let Err(Off::Outside(near)) = scale.position(number) {
        let message = format!("this is outside the range, {}", scale.said_range());
        let thousand = Ratio::from_integer(1000);
        let said = unit.figure((number * thousand).round() / thousand);
        let help = format!("it is {said} {}; the nearest is {}", unit_word(unit), scale.said(near));
        return Err(findings.refuse(Problem::pointing(Code::OutOfRange, row.value.span, message).help(help)));
    }
    Ok(RowNode { value: ValueNode { number, unit: Some(unit), span: row.value.span }, ..row })
}

/// The position of a place on a scale. `start` and `before` are no places of a scale: whoever takes them has
/// seen to them.
pub(super) fn position(
    place: &PlaceNode,
    knob: &Knob,
    scale: &Scale,
    rising: Way,
    span: Span,
    findings: &mut Findings,
) -> Result<u32, Told> {
    if let (PlaceNode::Word(PlaceWord::End(end)), Family::Spring | Family::Tyre) = (place, knob.family()) {
        let message = format!("`{}` can't be `{}`", knob.word(), end.word());
        let help = format!("write a value from {}", scale.said_range());
        return Err(findings.refuse(Problem::new(Code::SettingUnknown, span, message).help(help)));
    }
    let dial = |rule| Dial::new(scale.clone(), rule, None, rising).start();
    match place {
        PlaceNode::Value(value) => on_scale(value, scale, findings),
        PlaceNode::Word(PlaceWord::End(end)) => Ok(dial(StartRule::End(*end))),
        PlaceNode::Word(PlaceWord::Middle) => Ok(dial(StartRule::Middle)),
        PlaceNode::Word(PlaceWord::Start | PlaceWord::Before) => Err(findings.refuse(no_start(span))),
        PlaceNode::Name(name) => {
            scale.named(name).ok_or_else(|| findings.refuse(no_such_place(name, scale.all_names(), span)))
        }
    }
}

/// The problem of a word that names no place by itself.
fn no_start(span: Span) -> Problem {
    Problem::new(Code::SettingUnknown, span, "`start` can't be its own start")
        .help("write a value, `open`, `closed` or `middle`")
}

fn no_such_place(name: &str, names: &[String], span: Span) -> Problem {
    let words = PLACES.iter().filter(|row| row.0.can_start()).map(|row| row.1);
    let known = || names.iter().map(String::as_str).chain(words.clone());
    let problem =
        Problem::pointing(Code::SettingUnknown, span, format!("this adjuster has no position `{name}`"));
    match nearest(name, known()) {
        Some(meant) => problem.help(format!("did you mean `{meant}`?")).fix(meant),
        None if names.is_empty() => problem.help("write a number, `open`, `closed` or `middle`"),
        None => problem.help(format!("its positions are {}", names.join(", "))),
    }
}

/// The position of a value on a scale.
pub(super) fn on_scale(value: &ValueNode, scale: &Scale, findings: &mut Findings) -> Result<u32, Told> {
    if value.unit.is_some() && value.unit != scale.unit() || scale.unit().is_none() {
        return Err(findings.refuse(wrong_unit(value, scale.unit())));
    }
    scale.position(value.number).map_err(|off| {
        findings.refuse(match off {
            Off::Outside(near) => {
                let message = format!("this is outside the range, {}", scale.said_range());
                let near = scale.said(near);
                Problem::pointing(Code::OutOfRange, value.span, message)
                    .help(format!("the nearest is {near}"))
                    .fix(near)
            }
            Off::Between(below, above) => {
                Problem::pointing(Code::BetweenSettings, value.span, "this is between two positions")
                    .help(format!("the nearest are {} and {}", scale.said(below), scale.said(above)))
            }
        })
    })
}

/// A place on an adjuster that is not counted yet. `start` and `before` are none, as in [`position`].
pub(super) fn uncounted_place(
    place: &PlaceNode,
    unit: Unit,
    by: Number,
    span: Span,
    findings: &mut Findings,
) -> Result<StartRule, Told> {
    match place {
        PlaceNode::Value(value) => uncounted_value(value, unit, by, findings).map(StartRule::Value),
        PlaceNode::Word(PlaceWord::Start | PlaceWord::Before) => Err(findings.refuse(no_start(span))),
        PlaceNode::Word(PlaceWord::End(end)) => Ok(StartRule::End(*end)),
        PlaceNode::Word(PlaceWord::Middle) => Ok(StartRule::Middle),
        PlaceNode::Name(name) => Err(findings.refuse(no_such_place(name, &[], span))),
    }
}

/// A number on an adjuster that is not counted yet: not below 0, not beyond any count, on the grid.
pub(super) fn uncounted_value(
    value: &ValueNode,
    unit: Unit,
    by: Number,
    findings: &mut Findings,
) -> Result<Number, Told> {
    if value.unit.is_some_and(|other| other != unit) {
        return Err(findings.refuse(wrong_unit(value, Some(unit))));
    }
    on_scale(value, &uncounted_scale(unit, by, value, findings)?, findings).map(|_| value.number)
}

/// The longest scale that a count may give.
pub(super) fn uncounted_scale(
    unit: Unit,
    by: Number,
    value: &ValueNode,
    findings: &mut Findings,
) -> Result<Scale, Told> {
    let most = by * Ratio::from_integer(i128::from(Uncounted::MOST));
    let scale = Scale::grid(unit, Number::zero(), most, by, None);
    scale.map_err(|_| findings.refuse(wrong_unit(value, Some(unit))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::facts::gather;
    use crate::check::sections::Sections;
    use crate::physics::decimal;
    use crate::plan::Rider;

    fn value(number: i128, unit: Unit) -> ValueNode {
        let mut sources = crate::problem::Sources::default();
        let span = Span { source: sources.add("set.tune", ""), start: 0, end: 0 };
        ValueNode { number: Ratio::from_integer(number), unit: Some(unit), span }
    }

    /// The start of a table in psi for a rider of so many kg, and the codes of what is told.
    fn start(kilograms: &str) -> (String, Vec<Code>) {
        let row = |(kilograms, psi)| {
            let (weight, value) = (value(kilograms, Unit::Kilogram), value(psi, Unit::Psi));
            RowNode { value, weight, span: value.span }
        };
        let lower = [(60, 58), (70, 68), (80, 79)].map(row).to_vec();
        let rows = Rows { lower, last: row((90, 90)) };
        let number = crate::physics::parse_decimal(kilograms).unwrap();
        let rider = Rider { name: String::new(), weight: Some(Quantity { number, unit: Unit::Kilogram }) };
        let mut findings = Findings::default();
        let nothing = gather(&Sections::default(), &mut findings);
        let facts = Facts { weight: Ok(rider.weight), rider: Some(rider), ..nothing };
        let found = at_weight(&rows, &facts, &Knob::Air, &mut findings).unwrap();
        (decimal(found), findings.problems.iter().map(|problem| problem.code).collect())
    }

    // Source: straight lines worked by hand: 68 + 11 x 3 / 10, and 79 + 11 x 7.5 / 10.
    #[test]
    fn a_table_is_read_in_straight_lines_and_ends_where_it_ends() {
        for (kilograms, psi) in
            [("60", "58"), ("65", "63"), ("70", "68"), ("73", "71.3"), ("87.5", "87.25"), ("90", "90")]
        {
            assert_eq!(start(kilograms), (psi.to_owned(), Vec::new()), "{kilograms} kg");
        }
        assert_eq!(start("55"), ("58".to_owned(), vec![Code::WeightBeyondStarts]));
        assert_eq!(start("95"), ("90".to_owned(), vec![Code::WeightBeyondStarts]));
    }
}
