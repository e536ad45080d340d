//! Owns the making of scales: ranges and named positions, and what is wrong with them.
//! It knows nothing of starts or steps.

use num_rational::Ratio;
use num_traits::{One, Zero};

use crate::language::ValueNode;
use crate::physics::{Kind, Number, Unit};
use crate::plan::{NoScale, Scale};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{AnswerWord, End, PlaceWord, answer_word, place_named, unit_word};

/// The scale of named positions; `None` where the names make none, which is told.
pub(super) fn names_scale(names: &[(String, Span)], problems: &mut Vec<Problem>) -> Option<Scale> {
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
        let place = place_named(name).filter(|place| !matches!(place, PlaceWord::End(_)));
        let taken = place.is_some() || answer_word(name) == Some(AnswerWord::Unknown);
        if taken || name.trim().is_empty() {
            problems.push(
                Problem::new(Code::NameReserved, *span, format!("`{name}` cannot be the name of a position"))
                    .help("choose another name"),
            );
        }
    }
    problems.extend(wrong_order(names));
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

/// The problem of a list of values where an adjuster has none.
pub(super) fn listed_values(values: &[ValueNode], span: Span) -> Problem {
    let unit = values.last().and_then(|value| value.unit);
    let problem = Problem::new(Code::ScaleUnfit, span, "this adjuster has no list of values");
    match unit {
        Some(unit) => problem.help(format!("write a range, such as  0 to 18 {}", unit_word(unit, false))),
        None => problem.help("names of positions that are numbers stand in quotes: \"1\" or \"2\""),
    }
}

/// The scale of a range; `None` where its ends make none, which is told.
pub(super) fn range_scale(
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
        let message = format!("{} are counted from an end, so no number is below 0", unit_word(unit, false));
        problems
            .push(Problem::new(Code::ValueUnusable, span, message).help("count from fully closed, gently"));
        return None;
    }
    let scale = Scale::grid(unit, lower, high.number, single, Some(end));
    let told = match &scale {
        Ok(scale) if scale.top() == 0 => Some(
            Problem::new(
                Code::RangeSingle,
                span,
                "this range has one position only, so nothing can be tuned",
            )
            .help(format!("write both ends, such as  0 to 18 {}", unit_word(unit, false))),
        ),
        Ok(_) => None,
        Err(reason) => Some(no_scale(*reason, (lower, high), single, unit, span)),
    };
    problems.extend(told);
    scale.ok()
}

fn no_scale(
    reason: NoScale,
    (low, high): (Number, &ValueNode),
    single: Number,
    unit: Unit,
    span: Span,
) -> Problem {
    let (figure, word) = (|number| unit.figure(number), unit_word(unit, false));
    match reason {
        NoScale::Inverted => {
            let right = format!("{} to {} {word}", figure(high.number), figure(low));
            Problem::new(Code::RangeInverted, span, "this range runs from its upper end to its lower")
                .help(format!("write {right}; and  counted from open  where the numbers count that way"))
                .fix(right)
        }
        NoScale::OffGrid(below, above) => {
            let message = format!("this end is no whole number of positions of {} {word}", figure(single));
            Problem::new(Code::OffGrid, high.span, message).help(format!(
                "the nearest are {} and {} {word}",
                figure(below),
                figure(above)
            ))
        }
        NoScale::TooManyPositions | NoScale::NoStep => {
            Problem::new(Code::RangeTooLarge, span, "this range has more than a thousand positions")
                .help("write what one position is, with `by`")
        }
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
            Problem::new(Code::ValueUnusable, by.span, "one position cannot be this size")
                .help(format!("write an amount above nothing in {}", unit_word(unit, false))),
        );
        return None;
    }
    Some(by.number)
}

/// How much one position is where the line does not say: a click or a quarter turn.
pub(super) fn silent_by(unit: Unit) -> Number {
    if unit == Unit::Turns { Ratio::new(1, 4) } else { Number::one() }
}

/// Names run from open to closed; `open` in the last place or `closed` in the first is the wrong way
/// round.
fn wrong_order(names: &[(String, Span)]) -> Option<Problem> {
    let place = |end: End| names.iter().position(|(name, _)| name.eq_ignore_ascii_case(end.word()));
    let wrong = place(End::Open).is_some_and(|place| place != 0)
        || place(End::Closed).is_some_and(|place| place + 1 != names.len());
    let (first, last) = (names.first()?, names.last()?);
    let span = first.1.to(last.1);
    wrong.then(|| {
        let right: Vec<_> = names.iter().rev().map(|(name, _)| name.as_str()).collect();
        Problem::new(
            Code::NamesOrder,
            span,
            "positions with names run from open to closed, the softest or fastest first",
        )
        .help(format!("write them in that order, perhaps  {}", right.join(" or ")))
    })
}
