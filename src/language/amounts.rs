//! Owns the small phrases that others are made of: one of a few words, a number with its unit.
//! It knows nothing of scales or selectors.

use std::borrow::Cow;

use crate::physics::{Kind, Number, Unit, decimal};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{HEADINGS, UNITS, Way, continuers, foreign_unit, nearest, unit_named, unit_word};

use super::reader::{Read, Reader, brief, misspelt};
use super::token::{Token, TokenKind};
use super::tree::ValueNode;

/// The kinds of amounts that positions of an adjuster can be counted or measured in.
pub(super) const POSITIONS: &[Kind] = &[
    Kind::Clicks,
    Kind::Turns,
    Kind::Spacers,
    Kind::Pressure,
    Kind::SpringRate,
    Kind::Length,
    Kind::Positions,
];

/// Stands for inches behind a number.
const INCHES: &str = "\"";

/// `a`, `b` or `c`, for a message.
pub(super) fn listed<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    let words: Vec<String> = words.into_iter().map(|word| format!("`{word}`")).collect();
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => words.concat(),
    }
}

pub(super) fn expect(reader: &mut Reader<'_>, word: &str) -> Result<Span, Box<Problem>> {
    reader.take_or_guess(word)
}

/// One of a few words; a misspelt one is taken for the nearest and told.
pub(super) fn one_of<T: Clone>(reader: &mut Reader<'_>, choices: &[(&'static str, T)]) -> Read<T> {
    for (words, choice) in choices {
        if let Some(span) = reader.take_words(words) {
            return Ok((choice.clone(), span));
        }
    }
    let words = || choices.iter().map(|choice| choice.0);
    let unknown = reader.wants(&listed(words()));
    let (Some(word), Some(token)) = (reader.word(), reader.peek()) else { return Err(unknown) };
    let both = reader.second_word().map(|second| format!("{word} {second}"));
    let of_two = both.and_then(|both| nearest(&both, words().filter(|word| word.contains(' '))));
    let of_one = || nearest(&word, words().filter(|word| !word.contains(' ')));
    let Some(meant) = of_two.or_else(of_one) else { return Err(unknown) };
    let Some((_, choice)) = choices.iter().find(|choice| choice.0 == meant) else { return Err(unknown) };
    let mut span = token.span;
    for _ in meant.split(' ') {
        span = span.to(reader.peek().map_or(span, |token| token.span));
        reader.skip();
    }
    reader.noticed.push(misspelt(reader.raw(span), meant, span));
    Ok((choice.clone(), span))
}

fn unit_words(kinds: &[Kind]) -> Vec<&'static str> {
    UNITS.iter().filter(|row| kinds.contains(&row.unit.kind())).map(|row| row.word).collect()
}

/// What to write where a unit is missing or does not fit: the line to paste where there is one unit
/// only, else the units.
fn unit_help(number: Number, kinds: &[Kind]) -> String {
    match &unit_words(kinds)[..] {
        [only] => format!("write {} {only}", decimal(number)),
        several => format!("use {}", listed(several.iter().copied())),
    }
}

/// A number and, where one stands there, its unit, which should be of these kinds.
pub(super) fn value(reader: &mut Reader<'_>, wanted: &str, kinds: &[Kind]) -> Read<ValueNode> {
    reader.converted = None;
    let (number, begin) = reader.number(wanted)?;
    let Some(token) = reader.peek() else {
        return Ok((ValueNode { number, unit: None, span: begin }, begin));
    };
    match token.kind {
        TokenKind::Hash => {
            return Err(Box::new(
                Problem::new(
                    Code::UnitUnknown,
                    token.span,
                    "`#` starts a comment, so this spring has no unit",
                )
                .help("write lb/in")
                .fix(" lb/in"),
            ));
        }
        TokenKind::Number => return Err(two_numbers(reader, begin.to(token.span), token.span)),
        // a quote right behind a length is its inches
        TokenKind::OpenText if kinds.contains(&Kind::Length) && begin.end == token.span.start => {
            let mark = reader.mark_of(token);
            return Err(Box::new(unknown_unit(INCHES, (begin, mark), number, kinds).0));
        }
        _ => {}
    }
    let Some(word) = reader.word() else { return Ok((ValueNode { number, unit: None, span: begin }, begin)) };
    let mut span = begin.to(token.span);
    if let Some(unit) = unit_named(&word) {
        reader.skip();
        return Ok((ValueNode { number, unit: Some(unit), span }, span));
    }
    if is_connecting(&word) && !(word == "in" && kinds.contains(&Kind::Length)) {
        return Ok((ValueNode { number, unit: None, span: begin }, begin));
    }
    // `0 too 12 clicks`: a word between two numbers
    let is_joint = ["to", "or", "at"].into_iter().any(|joint| reader.is_misspelt_joint(joint));
    if is_joint && foreign_unit(&word).is_none() && nearest(&word, unit_words(kinds)).is_none() {
        return Ok((ValueNode { number, unit: None, span: begin }, begin));
    }
    let (mut problem, meant) = unknown_unit(&word, (begin, token.span), number, kinds);
    let Some((mut number, unit)) = meant else { return Err(Box::new(problem)) };
    // what is meant is clear, and so is the rest of the line
    reader.skip();
    if let Some((more, end)) = pounds_more(reader, &word, unit) {
        (number, span) = (number + more, span.to(end));
        problem = in_another_unit(&word, span, number, unit);
    }
    reader.converted = foreign_unit(&word).filter(|(_, known)| *known == unit).map(|(one, _)| one);
    if reader.converted.is_some() && unit == Unit::Pound && has_more_pounds(reader) {
        // how much that is in all cannot be told
        problem.fix = None;
        return Err(Box::new(
            problem.help("write the whole weight as one number in lb or kg; a stone is 14 lb"),
        ));
    }
    reader.noticed.push(problem);
    Ok((ValueNode { number, unit: Some(unit), span }, span))
}

/// The pounds of `12 st 4`, `12 st 4 lb`: two numbers of one weight.
fn pounds_more(reader: &mut Reader<'_>, word: &str, unit: Unit) -> Option<(Number, Span)> {
    foreign_unit(word).filter(|_| unit == Unit::Pound)?;
    reader.peek().filter(|token| token.kind == TokenKind::Number)?;
    let (more, mut end) = reader.number("").ok()?;
    if let Some(token) =
        reader.peek().filter(|_| reader.word().is_some_and(|word| unit_named(&word) == Some(unit)))
    {
        end = token.span;
        reader.skip();
    }
    Some((more, end))
}

/// Whether something goes on behind stones that may be pounds: `12 st and 4 lb`, `12 st, 4 lb`.
fn has_more_pounds(reader: &Reader<'_>) -> bool {
    let is = |token: Option<Token>, kind: TokenKind| token.is_some_and(|token| token.kind == kind);
    let mass = |word: Option<Cow<'_, str>>| {
        word.and_then(|word| unit_named(&word)).is_some_and(|unit| unit.kind() == Kind::Mass)
    };
    let next = reader.peek();
    let listed = is(next, TokenKind::Comma) && is(reader.peek_second(), TokenKind::Number);
    is(next, TokenKind::Number) || is(next, TokenKind::Word) || listed && mass(reader.word_ahead(2))
}

/// Where the last of several amounts was converted, the ones before it without a unit are of the same: `0.5 to 1
/// cm`. All are repaired together.
pub(super) fn converted_alike(reader: &mut Reader<'_>, before: &mut [ValueNode], joint: &str, span: Span) {
    let Some(one) = reader.converted else { return };
    if before.iter().any(|value| value.unit.is_some()) {
        return;
    }
    for value in before.iter_mut() {
        value.number *= one;
    }
    let Some(problem) = reader.noticed.last_mut() else { return };
    let Some(last) = problem.fix.as_ref().map(|fix| fix.text.clone()) else { return };
    let numbers = before.iter().map(|value| decimal(value.number)).chain([last]);
    let right = numbers.collect::<Vec<_>>().join(&format!(" {joint} "));
    let message = problem.message.clone();
    *problem = Problem::new(Code::UnitUnknown, span, message).help(format!("write {right}")).fix(right);
}

/// Two numbers side by side: a thousands mark, or a word left out between them.
fn two_numbers(reader: &Reader<'_>, both: Span, second: Span) -> Box<Problem> {
    let digits = reader.raw(second);
    let problem =
        Problem::new(Code::NumberUnclear, both, format!("`{}` is two numbers in a row", reader.raw(both)));
    Box::new(if digits.len() == 3 && digits.bytes().all(|byte| byte.is_ascii_digit()) {
        problem
            .help("if it is one number, take out the space; for a range put `to` in between, for a list `or`")
    } else {
        problem.help("put `to`, `or` or a comma between them, or take one out")
    })
}

/// Whether a word behind a number belongs to the language and so is no misspelt unit.
fn is_connecting(word: &str) -> bool {
    Way::ALL.iter().any(|way| way.word() == word)
        || HEADINGS.iter().any(|row| continuers(row.heading).contains(&word))
}

/// The problem of a word that is no unit, and what is meant, where that is clear; a unit that is known
/// elsewhere is converted.
pub(super) fn unknown_unit(
    word: &str,
    (figure, span): (Span, Span),
    number: Number,
    kinds: &[Kind],
) -> (Problem, Option<(Number, Unit)>) {
    let foreign = foreign_unit(word).filter(|(_, unit)| kinds.contains(&unit.kind()));
    if let Some((one, unit)) = foreign {
        let number = number * one;
        return (in_another_unit(word, figure.to(span), number, unit), Some((number, unit)));
    }
    let problem =
        Problem::new(Code::UnitUnknown, span, format!("`{}` is not a unit you can use here", brief(word)));
    match nearest(word, unit_words(kinds)) {
        Some(meant) => (
            problem.help(format!("did you mean `{meant}`?")).fix(meant),
            unit_named(meant).map(|unit| (number, unit)),
        ),
        None => {
            let units = listed(unit_words(kinds).iter().copied());
            (problem.help(format!("the units here are {units}")), None)
        }
    }
}

/// The problem of an amount in a unit that is known elsewhere; as so many of this unit it is right.
fn in_another_unit(word: &str, span: Span, number: Number, unit: Unit) -> Problem {
    let right = format!("{} {}", decimal(number), unit_word(unit));
    let message = format!("`{}` is not a unit clickwise uses", brief(word));
    Problem::new(Code::UnitUnknown, span, message).help(format!("write {right}")).fix(right)
}

/// A value whose unit must be of certain kinds. Where positions of an adjuster are meant, the unit
/// may be left out (positions that have names have no unit).
pub(super) fn value_of(reader: &mut Reader<'_>, wanted: &str, kinds: &[Kind]) -> Read<ValueNode> {
    let (value, span) = value(reader, wanted, kinds)?;
    match value.unit {
        Some(unit) if !kinds.contains(&unit.kind()) => Err(Box::new(
            Problem::new(Code::UnitWrong, span, format!("`{}` has the wrong kind of unit", reader.raw(span)))
                .help(unit_help(value.number, kinds)),
        )),
        None if !kinds.contains(&Kind::Clicks) => {
            let problem =
                Problem::new(Code::UnitMissing, span, format!("`{}` has no unit", reader.raw(span)))
                    .help(unit_help(value.number, kinds));
            Err(Box::new(match &unit_words(kinds)[..] {
                [only] => problem.fix_at(span.after(), format!(" {only}")),
                _ => problem,
            }))
        }
        _ => Ok((value, span)),
    }
}
