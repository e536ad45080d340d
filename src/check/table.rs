//! Owns the starts of an adjuster's line as they are written: a place for everybody, or rows over the rider's
//! weight, which rise. It knows nothing of scales, nor of which row is used.

use num_traits::Zero;

use crate::language::{PlaceNode, RowNode, StartNode, ValueNode, clause, part};
use crate::physics::{Number, Unit, decimal};
use crate::problem::{Code, Findings, Problem, Refuse, Span, Told};
use crate::vocabulary::unit_word;

use super::values::found;

/// What the `start` of a line says.
pub(super) enum Table {
    Absent,
    Place(PlaceNode, Span),
    Rows(Rows),
}

/// Two or more rows of a table, their weights rising.
pub(super) struct Rows {
    /// All but the last.
    pub lower: Vec<RowNode>,
    pub last: RowNode,
}

impl Rows {
    /// All of them.
    pub fn all(&self) -> impl DoubleEndedIterator<Item = &RowNode> + Clone {
        self.lower.iter().chain([&self.last])
    }

    /// Each row with the one before it.
    pub fn pairs(&self) -> impl Iterator<Item = (&RowNode, &RowNode)> {
        self.all().zip(self.all().skip(1))
    }

    /// The same rows, each changed.
    pub fn map<E>(self, mut of: impl FnMut(RowNode) -> Result<RowNode, E>) -> Result<Rows, E> {
        let lower: Result<_, E> = self.lower.into_iter().map(&mut of).collect();
        Ok(Rows { lower: lower?, last: of(self.last)? })
    }
}

/// The place or rows of an adjuster's line.
pub(super) fn table(adjuster: &part::Adjuster<'_>, findings: &mut Findings) -> Result<Table, Told> {
    let (mut place, mut rows) = (None, Vec::new());
    if let Some(clause::Start { place: _, start }) = adjuster.start {
        match found(start, findings)? {
            (StartNode::Place(here), span) => place = Some((here.clone(), span)),
            (StartNode::Row(row), _) => rows.push(*row),
        }
    }
    for clause::Row { place: _, row } in &adjuster.rows {
        rows.push(*found(*row, findings)?.0);
    }
    let lost = adjuster.line.lost_clause;
    let unexpected = |row: &RowNode, message| Problem::new(Code::WordUnexpected, row.span, message);
    if let ([first, ..], None) = (rows.as_slice(), adjuster.start) {
        // a clause that could not be read may have been the start
        return Err(lost.unwrap_or_else(|| {
            let message = "this weight has no `start` before it";
            let problem = Problem::pointing(Code::WordUnexpected, first.span, message);
            findings.refuse(problem.help("write `start` before the first value"))
        }));
    }
    match (place, rows.as_slice()) {
        (None, []) => Ok(Table::Absent),
        (Some((place, span)), []) => Ok(Table::Place(place, span)),
        (Some((_, span)), [first, ..]) => Err(findings.refuse(
            unexpected(first, "this line mixes a start for one weight with a start for everyone")
                .also(span, "that one is here")
                .help("give every start a weight, or keep one start with no weight"),
        )),
        // another row may be the clause that could not be read
        (None, [only]) => Err(lost.unwrap_or_else(|| {
            findings.refuse(
                Problem::new(
                    Code::OneWeightOnly,
                    only.span,
                    "one weight is not enough: other riders would have no start",
                )
                .help(second_row(only)),
            )
        })),
        (None, [lower @ .., last]) => {
            let rows = Rows { lower: lower.to_vec(), last: *last };
            lost.map_or(Ok(()), Err)?;
            not_rising(&rows).map_or(Ok(Table::Rows(rows)), |problem| Err(findings.refuse(problem)))
        }
    }
}

/// What a start for one weight alone lacks: a row for a rider who is clearly lighter or heavier.
fn second_row(only: &RowNode) -> String {
    let unit = only.value.unit.map_or(String::new(), |unit| format!(" {}", unit_word(unit)));
    let (value, weight) = (decimal(only.value.number), kilograms(&only.weight));
    let other = if weight < Number::from_integer(75) { 90 } else { 60 };
    format!(
        "add a comma and a second weight with the right value, such as `{value}{unit} at {other} kg`; or \
            take out the weight"
    )
}

/// A weight in kg.
pub(super) fn kilograms(weight: &ValueNode) -> Number {
    weight.quantity().and_then(|quantity| quantity.in_unit(Unit::Kilogram)).unwrap_or_else(Number::zero)
}

/// The problem of rows whose weights do not rise.
fn not_rising(rows: &Rows) -> Option<Problem> {
    let falls = |(one, next): &(&RowNode, &RowNode)| kilograms(&next.weight) <= kilograms(&one.weight);
    let (one, next) = rows.pairs().find(falls)?;
    let message = "this weight is not heavier than the one before";
    Some(
        Problem::pointing(Code::WeightsNotInOrder, next.weight.span, message)
            .also(one.weight.span, "that one is here")
            .help("list each weight once, lightest rider first"),
    )
}
