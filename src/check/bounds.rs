//! Owns what is said of a number that cannot be or is unusual: the limit in its own unit, the reason, and
//! the unit that was likely meant. The limits stand in `limits`. It knows nothing of starts or steps of a
//! plan.

use num_rational::Ratio;
use num_traits::Zero;

use crate::language::{
    ClauseLine, EntryLine, LineKind, PlaceNode, RowNode, ScaleNode, StartNode, Tree, ValueNode,
};
use crate::physics::{Kind, Number, Quantity, Unit};
use crate::problem::{Code, Findings, Problem, Refuse, Sources, Span, Told};
use crate::vocabulary::{Knob, Part, UNITS, foreign_unit, unit_named, unit_word, unit_word_behind};

use super::limits::{Limits, Outside, of_knob, of_step};
use super::values::wrong_unit;

/// Numbers that are written with one unit.
#[derive(Debug, Clone)]
pub(super) struct Written {
    numbers: Vec<Number>,
    unit: Unit,
    /// What stands between two of them.
    between: &'static str,
    span: Span,
    /// The place of each, where each may be shown alone.
    places: Vec<Span>,
    /// Nothing else on the line is written in the unit, so another one can be written in its place.
    alone: bool,
}

impl Written {
    fn one(value: &ValueNode) -> Option<Self> {
        let quantity = value.quantity()?;
        Some(Written {
            numbers: vec![quantity.number],
            unit: quantity.unit,
            between: "",
            span: value.span,
            places: vec![value.span],
            alone: true,
        })
    }

    /// A window or a range; `None` where its ends have two units, or it does not run upward.
    pub fn range(low: &ValueNode, high: &ValueNode) -> Option<Self> {
        let unit = high.unit?;
        let same = low.unit.is_none_or(|other| other == unit);
        (same && low.number <= high.number).then(|| Written {
            numbers: vec![low.number, high.number],
            unit,
            between: "to",
            span: low.span.to(high.span),
            places: vec![low.span, high.span],
            alone: true,
        })
    }

    fn list(values: &[ValueNode]) -> Option<Self> {
        let (first, last) = (values.first()?, values.last()?);
        let unit = last.unit?;
        let same = values.iter().all(|value| value.unit.is_none_or(|other| other == unit));
        let rising = values.iter().zip(values.iter().skip(1)).all(|(one, next)| one.number < next.number);
        (same && rising).then(|| Written {
            numbers: values.iter().map(|value| value.number).collect(),
            unit,
            between: "or",
            span: first.span.to(last.span),
            places: values.iter().map(|value| value.span).collect(),
            alone: true,
        })
    }

    /// The numbers of a scale; `None` where it has none, or is wrong in another way.
    fn scale(node: &ScaleNode) -> Option<Self> {
        match node {
            ScaleNode::Range { low: Some(low), high, by } => {
                Written::range(low, high).map(|range| Written { alone: by.is_none(), ..range })
            }
            ScaleNode::Range { low: None, high, by } => {
                Written::one(high).map(|one| Written { alone: by.is_none(), ..one })
            }
            ScaleNode::Values { values, last } => {
                Written::list(&values.iter().chain([last]).copied().collect::<Vec<_>>())
            }
            ScaleNode::Names(_) | ScaleNode::Unknown { .. } => None,
        }
    }

    /// The same places with other numbers: what the written ones are in another unit.
    pub fn with_numbers<const N: usize>(self, numbers: [Number; N], unit: Unit) -> Self {
        Written { numbers: numbers.to_vec(), unit, ..self }
    }

    /// The same numbers with another unit, as they would be written.
    pub fn said_in(&self, unit: Unit) -> String {
        self.said(&self.numbers, unit)
    }

    /// Numbers with a unit, as they would be written.
    fn said(&self, numbers: &[Number], unit: Unit) -> String {
        let figures: Vec<String> = numbers.iter().map(|number| unit.figure(*number)).collect();
        format!("{} {}", figures.join(&format!(" {} ", self.between)), unit_word(unit))
    }

    /// How they lie outside, what cannot be before what is unusual, and where.
    fn outside(&self, limits: &Limits) -> Option<(Outside, Span)> {
        let mut found: Vec<(Outside, Span)> = Vec::new();
        for (&number, &span) in self.numbers.iter().zip(&self.places) {
            let outside = limits.outside(Quantity { number, unit: self.unit });
            found.extend(outside.map(|outside| (outside, span)));
        }
        let never = found.iter().any(|(outside, _)| outside.never);
        found.retain(|(outside, _)| outside.never == never);
        let (last, span) = *found.last()?;
        Some((last, if found.len() == 1 { span } else { self.span }))
    }

    /// The same numbers with the one other unit in which all of them are usual, and whether the language
    /// has it; `None` where there is none or more than one.
    fn meant(&self, limits: &Limits) -> Option<(String, bool)> {
        let usual = |numbers: &[Number], unit: Unit| {
            let mut all = numbers.iter().map(|&number| Quantity { number, unit });
            limits.row(unit).is_some() && all.all(|quantity| limits.outside(quantity).is_none())
        };
        let kind = self.unit.kind();
        let others =
            UNITS.iter().map(|row| row.unit).filter(|unit| *unit != self.unit && unit.kind() == kind);
        let mut meant: Vec<(String, bool)> = others
            .filter(|unit| usual(&self.numbers, *unit))
            .map(|unit| (self.said(&self.numbers, unit), true))
            .collect();
        for (one, unit) in foreign_of(kind) {
            let hundred = Ratio::from_integer(100);
            let numbers: Vec<Number> =
                self.numbers.iter().map(|number| (number * one * hundred).round() / hundred).collect();
            if usual(&numbers, unit) {
                meant.push((self.said(&numbers, unit), false));
            }
        }
        match &meant[..] {
            [only] => Some(only.clone()),
            _ => None,
        }
    }

    /// The problem of what lies outside; `None` where all is usual. What cannot be is an error with this
    /// code.
    pub fn problem(&self, limits: &Limits, code: Code) -> Option<Problem> {
        self.problem_or(limits, code, None)
    }

    /// The same, where the numbers may have been meant otherwise than with another unit of their kind.
    pub fn problem_or(&self, limits: &Limits, code: Code, otherwise: Option<String>) -> Option<Problem> {
        let (outside, span) = self.outside(limits)?;
        Some(told(
            limits,
            code,
            &outside,
            span,
            self,
            self.meant(limits).or(otherwise.map(|meant| (meant, true))),
        ))
    }
}

/// What one of the units is that people write and the language does not have, by the kind of thing.
fn foreign_of(kind: Kind) -> impl Iterator<Item = (Number, Unit)> {
    let words: &[&str] = match kind {
        Kind::Length => &["cm", "inch"],
        Kind::Mass => &["stone"],
        Kind::Clicks
        | Kind::Turns
        | Kind::Spacers
        | Kind::Pressure
        | Kind::SpringRate
        | Kind::Share
        | Kind::Temperature
        | Kind::Altitude
        | Kind::Time
        | Kind::Laps
        | Kind::Pairs
        | Kind::Positions => &[],
    };
    words.iter().filter_map(|word| foreign_unit(word))
}

fn told(
    limits: &Limits,
    code: Code,
    outside: &Outside,
    span: Span,
    written: &Written,
    meant: Option<(String, bool)>,
) -> Problem {
    let figure = outside.usual.unit.figure(outside.usual.number);
    let usual = format!("{figure} {}", unit_word_behind(outside.usual.number, outside.usual.unit));
    let reason = if outside.above { limits.above } else { limits.below }.replace("{}", &usual);
    let help = format!("{}: {reason}", limits.look);
    if !outside.never {
        let way = if outside.above { "more" } else { "less" };
        let message = format!("this is {way} than usual for {}", limits.what);
        let meant = meant.map_or(String::new(), |(meant, _)| format!("; did you mean `{meant}`?"));
        return Problem::pointing(Code::ValueUnusual, span, message).help(help + &meant);
    }
    let problem = Problem::pointing(code, span, format!("this can't be {}", limits.what));
    match (meant, limits.row(written.unit)) {
        (Some((meant, known)), _) => {
            let problem = problem.help(format!("{help}; did you mean `{meant}`?"));
            if known && written.alone { problem.fix_at(written.span, meant) } else { problem }
        }
        (None, Some((_, _, example))) => problem.help(format!("{help}; write, for example, `{example}`")),
        (None, None) => problem.help(help),
    }
}

/// A quantity within its limits, as it is written; otherwise a problem is told, and only what is unusual
/// is taken.
pub(super) fn measured(
    value: &ValueNode,
    limits: &Limits,
    findings: &mut Findings,
) -> Result<Quantity, Told> {
    let Some((written, quantity)) = Written::one(value).zip(value.quantity()) else {
        return Err(findings.refuse(wrong_unit(value, limits.figures.first().map(|row| row.0))));
    };
    match written.problem(limits, Code::ValueImpossible) {
        Some(problem) if problem.is_error() => return Err(findings.refuse(problem)),
        problem => findings.extend(problem),
    }
    Ok(quantity)
}

/// The same in one unit of its kind.
pub(super) fn amount(
    value: &ValueNode,
    unit: Unit,
    limits: &Limits,
    findings: &mut Findings,
) -> Result<Number, Told> {
    let quantity = measured(value, limits, findings)?;
    quantity.in_unit(unit).ok_or_else(|| findings.refuse(wrong_unit(value, Some(unit))))
}

/// The problem of an adjuster's scale whose numbers cannot be or are unusual. Nothing is said of one that
/// is wrong in another way: that comes first.
pub(super) fn of_scale(part: Part, knob: &Knob, node: &ScaleNode) -> Option<Problem> {
    let written = Written::scale(node)?;
    let fits = knob.kinds().contains(&written.unit.kind()) && knob.belongs_to(part);
    let below = written.numbers.iter().any(|number| *number < Number::zero());
    let limits = of_knob(part, knob, written.unit.kind()).filter(|_| fits && !below)?;
    written.problem(limits, Code::SettingImpossible)
}

/// Lets the repair of a scale's unit repair the starts and steps of its line that have the unit too.
pub(super) fn repair_whole_lines(sources: &Sources, trees: &[Tree], problems: &mut [Problem]) {
    if problems.iter().all(|problem| problem.code != Code::SettingImpossible) {
        return;
    }
    let lines = trees.iter().flat_map(|tree| &tree.lines);
    let entries: Vec<&EntryLine> = lines
        .filter_map(|line| match &line.kind {
            LineKind::Entry(entry) => Some(entry),
            LineKind::Blank | LineKind::Heading(_) | LineKind::Unread(_) => None,
        })
        .collect();
    for problem in problems.iter_mut().filter(|problem| problem.code == Code::SettingImpossible) {
        let Some(fix) = &mut problem.fix else { continue };
        let of_line = |entry: &&&EntryLine| {
            entry.fields.first::<ScaleNode>().is_some_and(|(_, span)| {
                span.source == fix.span.source && (span.start..=span.end).contains(&fix.span.start)
            })
        };
        let (Some(entry), Some(unit)) = (entries.iter().find(of_line), unit_at_end(&fix.text)) else {
            continue;
        };
        let old = unit_at_end(sources.slice(fix.span));
        for clause in &entry.clauses {
            let Some(value) = value_of(clause) else { continue };
            if value.unit.is_some() && value.unit == old && value.span.start >= fix.span.end {
                let between = Span { start: fix.span.end, end: value.span.start, ..fix.span };
                fix.text += sources.slice(between);
                fix.text += &format!("{} {}", unit.figure(value.number), unit_word(unit));
                fix.span.end = value.span.end;
            }
        }
    }
}

/// The first value of a clause, where it has one.
fn value_of(clause: &ClauseLine) -> Option<ValueNode> {
    if let Some((value, _)) = clause.fields.first::<ValueNode>() {
        return Some(*value);
    }
    if let Some((row, _)) = clause.fields.first::<RowNode>() {
        return Some(row.value);
    }
    match clause.fields.first::<StartNode>()?.0 {
        StartNode::Row(row) => Some(row.value),
        StartNode::Place(PlaceNode::Value(value)) => Some(*value),
        StartNode::Place(PlaceNode::Word(_) | PlaceNode::Name(_)) => None,
    }
}

/// The unit with which a text ends.
fn unit_at_end(text: &str) -> Option<Unit> {
    let word = text.trim_end().rsplit(' ').next()?;
    unit_named(word.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.'))
}

/// The problem of a step that is larger than what is changed at once: so many positions of a scale with
/// so many above the first.
pub(super) fn of_step_clause(knob: &Knob, value: &ValueNode, count: u32, top: u32) -> Option<Problem> {
    let quantity = value.quantity();
    let limits = of_step(knob);
    if let Some((limits, written)) = limits.zip(quantity.and_then(|_| Written::one(value)))
        && let Some((outside, span)) = written.outside(limits)
    {
        return Some(told(
            limits,
            Code::ValueUnusual,
            &Outside { never: false, ..outside },
            span,
            &written,
            None,
        ));
    }
    (count > 1 && count.saturating_mul(2) > top).then(|| {
        Problem::pointing(Code::ValueUnusual, value.span, "this step is more than half of the range")
            .help("use a smaller step size: one change would jump past most settings")
    })
}
