//! Owns the making of scales: ranges and named positions, and what is wrong with them.
//! It knows nothing of starts or steps.

use num_rational::Ratio;
use num_traits::{One, Zero};

use crate::language::{ScaleNode, ValueNode};
use crate::physics::{Kind, Number, Quantity, Unit};
use crate::plan::{NoScale, Scale};
use crate::problem::{Code, Findings, Problem, Refuse, Span, Told};
use crate::vocabulary::{
    AnswerWord, End, Family, Knob, PlaceWord, UNITS, answer_word, place_named, unit_word,
};

/// The scale of named positions.
pub(super) fn names_scale(
    names: &[(String, Span)],
    span: Span,
    findings: &mut Findings,
) -> Result<Scale, Told> {
    let mut told = None;
    for (index, (name, span)) in names.iter().enumerate() {
        let mut before = names.iter().take(index);
        if let Some((_, first)) = before.find(|(known, _)| known.to_lowercase() == name.to_lowercase()) {
            told = Some(
                findings.refuse(
                    Problem::new(Code::NameTwice, *span, format!("two positions are called `{name}`"))
                        .also(*first, "the first is here")
                        .help("give each position a different name"),
                ),
            );
        }
        let place = place_named(name).filter(|place| !matches!(place, PlaceWord::End(_)));
        let taken = place.is_some() || answer_word(name) == Some(AnswerWord::Unknown);
        if taken || name.trim().is_empty() {
            told = Some(
                findings.refuse(
                    Problem::new(Code::NameReserved, *span, format!("you can't call a position `{name}`"))
                        .help("choose another name"),
                ),
            );
        }
    }
    if let Some(problem) = wrong_order(names) {
        told = Some(findings.refuse(problem));
    }
    let few = |span: Span| {
        Problem::new(Code::SettingKindWrong, span, "one position leaves nothing to choose")
            .help("list them all, such as `open or half or firm`, or give a range, such as `0 to 18 clicks`")
    };
    if let [(_, span)] = names {
        told = Some(findings.refuse(few(*span)));
    }
    if let Some(told) = told {
        return Err(told);
    }
    let scale = Scale::names(names.iter().map(|(name, _)| name.clone()).collect());
    scale.map_err(|reason| findings.refuse(not_made(reason, few(span))))
}

/// The problem of a scale that cannot be made, where nothing else was found wrong with it.
fn not_made(reason: NoScale, otherwise: Problem) -> Problem {
    match reason {
        NoScale::TooManyPositions => too_large(otherwise.span),
        NoScale::Inverted | NoScale::OffGrid(..) | NoScale::NoStep | NoScale::NotRising => otherwise,
    }
}

fn too_large(span: Span) -> Problem {
    Problem::pointing(Code::RangeTooLarge, span, "this range has more than a thousand positions")
        .help("make each position bigger with `by`, such as `by 1 psi`")
}

/// The scale of listed values: `last` and those before it.
pub(super) fn list_scale(
    knob: &Knob,
    (rest, last): (&[ValueNode], &ValueNode),
    span: Span,
    findings: &mut Findings,
) -> Result<Scale, Told> {
    let Some(unit) = last.unit else { return Err(findings.refuse(no_unit(knob, last))) };
    let values = || rest.iter().chain([last]);
    if let Some(other) = rest.iter().find(|value| value.unit.is_some_and(|other| other != unit)) {
        let problem =
            Problem::pointing(Code::RangeUnits, other.span.to(last.span), "this list mixes two units");
        return Err(findings.refuse(problem.help("use one unit for all of them")));
    }
    if !knob.kinds().contains(&unit.kind()) {
        return Err(findings.refuse(other_unit(knob, last, unit)));
    }
    let spring = unit.kind() == Kind::SpringRate;
    let too_little = |number: Number| number < Number::zero() || (spring && number.is_zero());
    if let Some(value) = values().find(|value| too_little(value.number)) {
        let problem = |message| Problem::new(Code::ValueImpossible, value.span, message);
        return Err(findings.refuse(if spring {
            problem("a spring rate must be above zero".to_owned()).help("write what is printed on it")
        } else {
            problem(format!("{} can't be below 0 here", unit_word(unit)))
                .help("write the numbers marked on it")
        }));
    }
    Scale::list(unit, values().map(|value| value.number).collect()).map_err(|_| {
        let mut right: Vec<Number> = values().map(|value| value.number).collect();
        right.sort_unstable();
        right.dedup();
        let right: Vec<_> = right.into_iter().map(|number| unit.figure(number)).collect();
        let right = format!("{} {}", right.join(" or "), unit_word(unit));
        let problem =
            Problem::pointing(Code::SpringsNotInOrder, span, "this list is not in order, softest first");
        findings.refuse(problem.help(format!("write {right}")).fix(right))
    })
}

/// The problem of a scale that an adjuster does not have.
pub(super) fn unfit_scale(knob: &Knob, node: &ScaleNode, span: Span) -> Problem {
    let (word, example) = (knob.word(), knob.example());
    let message = match node {
        ScaleNode::Unknown { .. } => format!("`?` is only for adjusters you count, not for `{word}`"),
        ScaleNode::Names(names) if let [(only, _)] = &names[..] => {
            format!("write the range of `{word}` here, not `{only}`")
        }
        ScaleNode::Names(_) => format!("`{word}` needs numbers, not names"),
        ScaleNode::Values { .. } => format!("`{word}` needs a range, not a list"),
        ScaleNode::Range { .. } if *knob == Knob::Lockout => {
            format!("`{word}` needs named positions, not numbers")
        }
        ScaleNode::Range { .. } => format!("`{word}` needs a list of springs, not a range"),
    };
    let problem = Problem::new(Code::SettingKindWrong, span, message);
    if let ScaleNode::Values { values, last } = node
        && values.iter().chain([last]).all(|value| value.unit.is_none())
    {
        problem.help("if a name is a number, put it in quotes: \"1\" or \"2\"")
    } else if *knob == Knob::Lockout {
        problem.help(format!("list them from open to closed, such as `{example}`"))
    } else {
        problem.help(format!("for example: `{example}`"))
    }
}

/// The scale of a range.
pub(super) fn range_scale(
    knob: &Knob,
    (low, high, by): (Option<&ValueNode>, &ValueNode, Option<&ValueNode>),
    span: Span,
    end: End,
    findings: &mut Findings,
) -> Result<Scale, Told> {
    let unit = range_unit(knob, low, high, span, findings)?;
    let lower = low.map_or(Number::zero(), |low| low.number);
    let single = by_of(by, unit, findings)?;
    if lower < Number::zero() || high.number < Number::zero() {
        let message = format!("{} can't be below 0 here", unit_word(unit));
        let problem = Problem::new(Code::ValueImpossible, span, message);
        return Err(findings.refuse(if is_counted(knob, unit) {
            problem.help("turn it gently to fully closed and count from there")
        } else {
            problem.help(format!("for example: `{}`", knob.example()))
        }));
    }
    let end = is_counted(knob, unit).then_some(end);
    let scale = Scale::grid(unit, lower, high.number, single, end);
    let scale = scale.map_err(|reason| {
        findings.refuse(no_scale(reason, (lower, high), single, (unit, end.is_some()), span))
    })?;
    if scale.top() == 0 {
        findings.tell(
            Problem::pointing(
                Code::RangeSingle,
                span,
                "this range has only one position, so there is nothing to tune",
            )
            .help(format!("write both ends, such as `{}`", knob.example())),
        );
    }
    Ok(scale)
}

fn no_scale(
    reason: NoScale,
    (low, high): (Number, &ValueNode),
    single: Number,
    (unit, counted): (Unit, bool),
    span: Span,
) -> Problem {
    let (figure, word) = (|number| unit.figure(number), unit_word(unit));
    match reason {
        NoScale::Inverted => {
            let right = format!("{} to {} {word}", figure(high.number), figure(low));
            let count = if counted { "; if you count from open, add `counted from open`" } else { "" };
            let problem = Problem::pointing(Code::RangeBackwards, span, "this range is the wrong way round");
            // `80 to 1.250` may be a thousand
            if low.is_integer() && !high.number.is_integer() {
                let thousand = figure(high.number * Number::from_integer(1000));
                return problem.help(format!(
                    "did you mean {thousand}? If so, write it without a point; if not, write {right}"
                ));
            }
            problem.help(format!("write {right}{count}")).fix(right)
        }
        NoScale::OffGrid(below, above) => {
            let one = if single.is_integer() || unit != Unit::Turns {
                format!("{} {word}", figure(single))
            } else {
                format!("{} of a turn", figure(single))
            };
            let message = format!("this range doesn't end on a whole step: each step is {one}");
            Problem::pointing(Code::BetweenSettings, high.span, message).help(format!(
                "the nearest are {} and {} {word}",
                figure(below),
                figure(above)
            ))
        }
        NoScale::TooManyPositions | NoScale::NoStep | NoScale::NotRising => too_large(span),
    }
}

fn range_unit(
    knob: &Knob,
    low: Option<&ValueNode>,
    high: &ValueNode,
    span: Span,
    findings: &mut Findings,
) -> Result<Unit, Told> {
    let Some(unit) = high.unit else { return Err(findings.refuse(no_unit(knob, high))) };
    if let Some((low, other)) =
        low.and_then(|low| Some((low.quantity()?, low.unit?))).filter(|low| low.1 != unit)
    {
        let message = format!("this range mixes {} and {}", unit_word(other), unit_word(unit));
        let problem = Problem::pointing(Code::RangeUnits, span, message);
        return Err(findings.refuse(problem.help(in_each_unit(low, high, other, unit))));
    }
    if knob.kinds().contains(&unit.kind()) {
        return Ok(unit);
    }
    Err(findings.refuse(other_unit(knob, high, unit)))
}

/// A range of two units in each of them, where they can be converted.
fn in_each_unit(low: Quantity, high: &ValueNode, first: Unit, second: Unit) -> String {
    let converted = low.in_unit(second).zip(Quantity { number: high.number, unit: second }.in_unit(first));
    let Some((low_then, high_then)) = converted else { return "use one unit for both ends".to_owned() };
    let short = |unit: Unit, number: Number| {
        let hundred = Number::from_integer(100);
        unit.figure((number * hundred).round() / hundred)
    };
    format!(
        "write both ends in the same unit: {} to {} {}, or {} to {} {}",
        short(first, low.number),
        short(first, high_then),
        unit_word(first),
        short(second, low_then),
        short(second, high.number),
        unit_word(second)
    )
}

/// The words of the units that an adjuster can have.
fn units_of(knob: &Knob) -> Vec<&'static str> {
    UNITS.iter().filter(|row| knob.kinds().contains(&row.unit.kind())).map(|row| row.word).collect()
}

/// The problem of a scale without a unit; the repair where only one unit fits.
fn no_unit(knob: &Knob, value: &ValueNode) -> Problem {
    let units = units_of(knob);
    let listed = units.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ");
    let problem = Problem::pointing(Code::UnitMissing, value.span, "this range has no unit");
    match &units[..] {
        [only] => problem.help(format!("add {only}")).fix_at(value.span.after(), format!(" {only}")),
        _ => problem.help(format!("add one of these: {listed}")),
    }
}

/// The problem of a unit that an adjuster does not have.
fn other_unit(knob: &Knob, value: &ValueNode, unit: Unit) -> Problem {
    let message = format!("`{}` can't be in {}", knob.word(), unit_word(unit));
    Problem::new(Code::UnitWrong, value.span, message).help(format!("for example: `{}`", knob.example()))
}

/// How much one position is: what stands after `by`, else one click or a quarter turn.
fn by_of(by: Option<&ValueNode>, unit: Unit, findings: &mut Findings) -> Result<Number, Told> {
    let Some(by) = by else { return Ok(silent_by(unit)) };
    let whole_clicks = !matches!(unit, Unit::Clicks | Unit::Spacers) || by.number.is_integer();
    if by.unit.is_some_and(|other| other != unit) || by.number <= Number::zero() || !whole_clicks {
        return Err(findings.refuse(
            Problem::new(Code::ValueImpossible, by.span, "a position can't be this size")
                .help(format!("write more than 0 {}", unit_word(unit))),
        ));
    }
    Ok(by.number)
}

/// How much one position is where the line does not say: one click or spacer, a quarter turn, 1 psi,
/// 0.05 bar, 5 kPa, 0.5 mm.
pub(super) fn silent_by(unit: Unit) -> Number {
    match unit {
        Unit::Turns => Ratio::new(1, 4),
        Unit::Bar => Ratio::new(1, 20),
        Unit::Kilopascal => Ratio::from_integer(5),
        Unit::Millimetre => Ratio::new(1, 2),
        Unit::Clicks
        | Unit::Spacers
        | Unit::Psi
        | Unit::PoundPerInch
        | Unit::NewtonPerMillimetre
        | Unit::Percent
        | Unit::Kilogram
        | Unit::Pound
        | Unit::Celsius
        | Unit::Fahrenheit
        | Unit::Metre
        | Unit::Foot
        | Unit::Second
        | Unit::Minute
        | Unit::Hour
        | Unit::Laps
        | Unit::Pairs
        | Unit::Positions => Number::one(),
    }
}

/// Whether an adjuster is counted from an end: clicks and turns are, but for springs.
pub(super) fn is_counted(knob: &Knob, unit: Unit) -> bool {
    matches!(unit, Unit::Clicks | Unit::Turns) && knob.family() != Family::Spring
}

/// Names run from open to closed; `open` in the last place or `closed` in the first is the wrong way
/// round.
fn wrong_order(names: &[(String, Span)]) -> Option<Problem> {
    let wrong = misplaced(names);
    let (first, last) = (names.first()?, names.last()?);
    let span = first.1.to(last.1);
    wrong.then(|| {
        let quoted = |name: &str| {
            let plain = name.chars().all(char::is_alphabetic);
            if plain { name.to_owned() } else { format!("\"{name}\"") }
        };
        let right: Vec<_> = names.iter().rev().map(|(name, _)| quoted(name)).collect();
        let right = right.join(" or ");
        let problem = Problem::new(
            Code::NamesOrder,
            span,
            "list named positions from open to closed, softest or fastest first",
        )
        .help(format!("probably: `{right}`"));
        // the other way about is the one repair where it puts both ends in their places
        let reversed: Vec<(String, Span)> = names.iter().rev().cloned().collect();
        if misplaced(&reversed) { problem } else { problem.fix(right) }
    })
}

/// Whether `open` or `closed` stands where it cannot.
fn misplaced(names: &[(String, Span)]) -> bool {
    let place = |end: End| names.iter().position(|(name, _)| name.eq_ignore_ascii_case(end.word()));
    place(End::Open).is_some_and(|place| place != 0)
        || place(End::Closed).is_some_and(|place| place + 1 != names.len())
}
