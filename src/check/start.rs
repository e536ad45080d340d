//! Owns where an adjuster starts: a place, or rows over the rider's weight.
//! It knows nothing of scales' ends or steps.

use num_rational::Ratio;
use num_traits::{Signed, Zero};

use crate::language::{EntryLine, Node, PlaceNode, RowNode, ValueNode};
use crate::physics::{Number, Quantity, Unit, decimal};
use crate::plan::{Dial, Off, Scale, StartRule, Uncounted};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{Clause, End, Family, Knob, PLACES, PlaceWord, Way, nearest, unit_word};

use super::backwards::backwards;
use super::facts::Facts;
use super::values::wrong_unit;

/// Where an adjuster starts.
pub(super) enum Start {
    At(u32),
    /// The ride asks what is in it now.
    Asked,
}

/// What the `start` of a line says.
pub(super) enum Table {
    Absent,
    Place(PlaceNode, Span),
    /// At least two rows, weights rising.
    Rows(Vec<RowNode>),
}

/// Where a damping or own adjuster starts when its line does not say: compression and lockout open,
/// rebound and own adjusters in the middle (common practice, no source).
pub(super) fn silent_rule(knob: &Knob) -> StartRule {
    match knob.family() {
        Family::Compression | Family::Lockout => StartRule::End(End::Open),
        _ => StartRule::Middle,
    }
}

/// The place or rows of a line; `None` where they cannot be used, which is told.
pub(super) fn table(line: &EntryLine, problems: &mut Vec<Problem>) -> Option<Table> {
    let mut rows = Vec::new();
    let mut place = None;
    for clause in line.clauses.iter().filter(|clause| matches!(clause.clause, Clause::Start | Clause::Row)) {
        match clause.fields.0.first() {
            Some((Node::Place(found), span)) => place = Some((PlaceNode::clone(found), *span)),
            Some((Node::Row(row), _)) => rows.push(**row),
            _ => return None,
        }
    }
    if let ([first, ..], None) = (rows.as_slice(), line.clause(Clause::Start)) {
        // a clause that could not be read may have been the start
        if !line.lost_clause {
            problems.push(
                Problem::new(
                    Code::PhraseUnexpected,
                    first.span,
                    "this row goes on from a `start` that does not stand here",
                )
                .help("write `start` before the first row"),
            );
        }
        return None;
    }
    match (place, rows.as_slice()) {
        (None, []) => Some(Table::Absent),
        (Some((place, span)), []) => Some(Table::Place(place, span)),
        (Some((_, span)), [first, ..]) => {
            problems.push(
                Problem::new(
                    Code::PhraseUnexpected,
                    first.span,
                    "a start for a weight stands beside a start for every weight",
                )
                .also(span, "which stands here")
                .help("give each start a weight, or keep one start alone"),
            );
            None
        }
        // another row may be the clause that could not be read
        (None, [_, ..]) if line.lost_clause => None,
        (None, [only]) => {
            problems.push(
                Problem::new(
                    Code::TableOneRow,
                    only.span,
                    "one row alone does not say what other weights start at",
                )
                .help(second_row(only)),
            );
            None
        }
        (None, _) => rising_weights(rows, problems),
    }
}

/// What a start for one weight alone lacks: a row for a rider who is clearly lighter or heavier.
fn second_row(only: &RowNode) -> String {
    let unit = only.value.unit.map_or(String::new(), |unit| format!(" {}", unit_word(unit)));
    let (value, weight) = (decimal(only.value.number), kilograms(&only.weight));
    let other = if weight < Number::from_integer(75) { 90 } else { 60 };
    format!(
        "add a row behind a comma for another weight, with the value that is right there, such as  \
         {value}{unit} at {other} kg; or leave the weight out"
    )
}

fn kilograms(weight: &ValueNode) -> Number {
    weight.quantity().and_then(|quantity| quantity.in_unit(Unit::Kilogram)).unwrap_or_else(Number::zero)
}

fn rising_weights(rows: Vec<RowNode>, problems: &mut Vec<Problem>) -> Option<Table> {
    for pair in rows.windows(2) {
        if kilograms(&pair[1].weight) <= kilograms(&pair[0].weight) {
            problems.push(
                Problem::new(
                    Code::TableNotRising,
                    pair[1].weight.span,
                    "this weight is not above the one before it",
                )
                .also(pair[0].weight.span, "which stands here")
                .help("put the rows in order, the lightest rider first, each weight once"),
            );
            return None;
        }
    }
    Some(Table::Rows(rows))
}

/// The value of a table at the rider's weight: straight lines between the rows, the end row beyond
/// them. `None` where there is no weight or it lies too far outside.
pub(super) fn at_weight(
    rows: &[RowNode],
    facts: &Facts,
    knob: &Knob,
    problems: &mut Vec<Problem>,
    needs: &mut Vec<String>,
) -> Option<Number> {
    let (first, last) = (rows.first()?, rows.last()?);
    let Some(rider) = &facts.rider else {
        needs.push("a rider with a weight, for the starts that depend on it: lines such as  rider \"Mo\"  and  weight 78 kg".to_owned());
        return None;
    };
    let Some(weight) = rider.weight.and_then(|weight: Quantity| weight.in_unit(Unit::Kilogram)) else {
        let told = problems.iter().any(|problem| problem.code == Code::WeightMissing);
        if facts.weight_broken || told {
            return None;
        }
        problems.push(
            Problem::new(
                Code::WeightMissing,
                first.span,
                "this start depends on the rider's weight, which the set does not say",
            )
            .help("add a line to the rider, such as  weight 78 kg"),
        );
        return None;
    };
    let (least, most) = (kilograms(&first.weight), kilograms(&last.weight));
    if weight < least || weight > most {
        let end = if weight < least { first } else { last };
        let limit = kilograms(&end.weight);
        let far = (weight - limit).abs() > limit / Ratio::from_integer(10);
        let stops = far && !facts.measures_first && !facts.needs_settings;
        let code = if stops { Code::WeightFarOutside } else { Code::WeightOutside };
        let message = format!("the rider's weight lies outside this table of `{}`", knob.word());
        problems.push(Problem::new(code, end.span, message).help(match (stops, far) {
            (true, _) => {
                "it is more than a tenth beyond the end row, too far to start from unmeasured; add a row for this weight, or measure the springs before the first lap"
            }
            (false, true) => {
                "the end row is used, though the weight is more than a tenth beyond it: what is not measured may start far off"
            }
            (false, false) => "the end row is used; a row for this weight would be surer",
        }));
        return (!stops).then_some(end.value.number);
    }
    let upper = rows.iter().position(|row| kilograms(&row.weight) >= weight).unwrap_or(rows.len() - 1);
    let (below, above) = (rows[upper.saturating_sub(1)], rows[upper]);
    let span = kilograms(&above.weight) - kilograms(&below.weight);
    if span.is_zero() {
        return Some(above.value.number);
    }
    let share = (weight - kilograms(&below.weight)) / span;
    Some(below.value.number + (above.value.number - below.value.number) * share)
}

/// The start of an adjuster whose positions are known.
pub(super) fn of_known(
    knob: &Knob,
    line: &EntryLine,
    scale: &Scale,
    rising: Way,
    facts: &Facts,
    problems: &mut Vec<Problem>,
    needs: &mut Vec<String>,
) -> Option<Start> {
    match table(line, problems)? {
        Table::Absent => Some(silent(knob, scale, rising)),
        Table::Place(place, span) => position(&place, knob, scale, rising, span, problems).map(Start::At),
        Table::Rows(rows) => {
            let rows: Vec<RowNode> =
                rows.into_iter().map(|row| row_on_scale(row, scale, problems)).collect::<Option<_>>()?;
            problems.extend(backwards(knob, line, &rows, scale.unit(), scale.counted()));
            let value = at_weight(&rows, facts, knob, problems, needs)?;
            Some(Start::At(scale.nearest(value, rising.opens())))
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
        _ => Start::At(Dial::new(scale.clone(), silent_rule(knob), None, rising).start()),
    }
}

/// A row with its value in the unit of the scale. One that stands in that unit must be a position;
/// one in another unit of its kind must lie within the range, and is rounded later.
fn row_on_scale(row: RowNode, scale: &Scale, problems: &mut Vec<Problem>) -> Option<RowNode> {
    let here = scale.unit().filter(|here| row.value.unit.is_some_and(|unit| unit != *here));
    let converted = here.and_then(|here| Some((here, row.value.quantity()?.in_unit(here)?)));
    let Some((unit, number)) = converted else {
        return on_scale(&row.value, scale, problems).map(|_| row);
    };
    if let Err(Off::Outside(near)) = scale.position(number) {
        let message = format!("this lies outside the range, {}", scale.said_range());
        let thousand = Ratio::from_integer(1000);
        let said = unit.figure((number * thousand).round() / thousand);
        let help = format!("it is {said} {}; the nearest is {}", unit_word(unit), scale.said(near));
        problems.push(Problem::new(Code::PlaceOutside, row.value.span, message).help(help));
        return None;
    }
    Some(RowNode { value: ValueNode { number, unit: Some(unit), span: row.value.span }, ..row })
}

/// The position of a place on a scale; a problem is told where there is none.
pub(super) fn position(
    place: &PlaceNode,
    knob: &Knob,
    scale: &Scale,
    rising: Way,
    span: Span,
    problems: &mut Vec<Problem>,
) -> Option<u32> {
    if let (PlaceNode::Word(PlaceWord::End(end)), Family::Spring | Family::Tyre) = (place, knob.family()) {
        let message = format!("`{}` is not opened or closed, so it is never `{}`", knob.word(), end.word());
        let help = format!("write a value from {}", scale.said_range());
        problems.push(Problem::new(Code::PlaceUnfit, span, message).help(help));
        return None;
    }
    let dial = |rule| Dial::new(scale.clone(), rule, None, rising).start();
    let found = match place {
        PlaceNode::Value(value) => return on_scale(value, scale, problems),
        PlaceNode::Word(PlaceWord::Start | PlaceWord::Before) => return None,
        PlaceNode::Word(PlaceWord::End(end)) => Ok(dial(StartRule::End(*end))),
        PlaceNode::Word(PlaceWord::Middle) => Ok(dial(StartRule::Middle)),
        PlaceNode::Name(name) => scale.named(name).ok_or(name),
    };
    found.map_err(|name| problems.push(no_such_place(name, scale.all_names(), span))).ok()
}

fn no_such_place(name: &str, names: &[String], span: Span) -> Problem {
    let words = PLACES.iter().filter(|row| row.0.can_start()).map(|row| row.1);
    let known = || names.iter().map(String::as_str).chain(words.clone());
    let problem = Problem::new(Code::PlaceUnfit, span, format!("this adjuster has no position `{name}`"));
    match nearest(name, known()) {
        Some(meant) => problem.help(format!("did you mean `{meant}`?")).fix(meant),
        None if names.is_empty() => problem.help("write a number, `open`, `closed` or `middle`"),
        None => problem.help(format!("its positions are {}", names.join(", "))),
    }
}

/// The position of a value on a scale; a problem is told where there is none.
pub(super) fn on_scale(value: &ValueNode, scale: &Scale, problems: &mut Vec<Problem>) -> Option<u32> {
    if value.unit.is_some() && value.unit != scale.unit() || scale.unit().is_none() {
        problems.push(wrong_unit(value, scale.unit()));
        return None;
    }
    problems.push(match scale.position(value.number) {
        Ok(position) => return Some(position),
        Err(Off::Outside(near)) => {
            let message = format!("this lies outside the range, {}", scale.said_range());
            let near = scale.said(near);
            Problem::new(Code::PlaceOutside, value.span, message)
                .help(format!("the nearest is {near}"))
                .fix(near)
        }
        Err(Off::Between(below, above)) => Problem::new(
            Code::OffGrid,
            value.span,
            "this lies between two positions",
        )
        .help(format!("the nearest are {} and {}", scale.said(below), scale.said(above))),
    });
    None
}

/// A place on an adjuster that is not counted yet.
pub(super) fn uncounted_place(
    place: &PlaceNode,
    unit: Unit,
    by: Number,
    span: Span,
    problems: &mut Vec<Problem>,
) -> Option<StartRule> {
    match place {
        PlaceNode::Value(value) => uncounted_value(value, unit, by, problems).map(StartRule::Value),
        PlaceNode::Word(PlaceWord::Start | PlaceWord::Before) => None,
        PlaceNode::Word(PlaceWord::End(end)) => Some(StartRule::End(*end)),
        PlaceNode::Word(PlaceWord::Middle) => Some(StartRule::Middle),
        PlaceNode::Name(name) => {
            problems.push(no_such_place(name, &[], span));
            None
        }
    }
}

/// A number on an adjuster that is not counted yet: not below 0, not beyond any count, on the grid.
pub(super) fn uncounted_value(
    value: &ValueNode,
    unit: Unit,
    by: Number,
    problems: &mut Vec<Problem>,
) -> Option<Number> {
    if value.unit.is_some_and(|other| other != unit) {
        problems.push(wrong_unit(value, Some(unit)));
        return None;
    }
    let most = by * Ratio::from_integer(i128::from(Uncounted::MOST));
    let scale = Scale::grid(unit, Number::zero(), most, by, None).ok()?;
    on_scale(value, &scale, problems).map(|_| value.number)
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
        let rows = [(60, 58), (70, 68), (80, 79), (90, 90)].map(row);
        let number = crate::physics::parse_decimal(kilograms).unwrap();
        let rider = Rider { name: String::new(), weight: Some(Quantity { number, unit: Unit::Kilogram }) };
        let mut problems = Vec::new();
        let nothing = gather(&Sections::default(), &mut problems);
        let facts = Facts { rider: Some(rider), ..nothing };
        let found = at_weight(&rows, &facts, &Knob::Air, &mut problems, &mut Vec::new()).unwrap();
        (decimal(found), problems.iter().map(|problem| problem.code).collect())
    }

    // Source: straight lines worked by hand: 68 + 11 x 3 / 10, and 79 + 11 x 7.5 / 10.
    #[test]
    fn a_table_is_read_in_straight_lines_and_ends_where_it_ends() {
        for (kilograms, psi) in
            [("60", "58"), ("65", "63"), ("70", "68"), ("73", "71.3"), ("87.5", "87.25"), ("90", "90")]
        {
            assert_eq!(start(kilograms), (psi.to_owned(), Vec::new()), "{kilograms} kg");
        }
        assert_eq!(start("55"), ("58".to_owned(), vec![Code::WeightOutside]));
        assert_eq!(start("95"), ("90".to_owned(), vec![Code::WeightOutside]));
    }
}
