//! Owns how a scale is read: a range, a list of values, names, or a count to come.
//! It knows nothing of which adjuster may have which scale.

use crate::physics::Kind;
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{CLAUSES, NOT_COUNTED, UNITS, unit_named};

use super::amounts::{POSITIONS, converted_alike, one_of, value};
use super::reader::{Read, Reader};
use super::token::TokenKind;
use super::tree::{ScaleNode, ValueNode};

/// A scale of an adjuster.
pub(super) fn scale(reader: &mut Reader<'_>) -> Read<ScaleNode> {
    let wanted = "a range such as `0 to 18 clicks`, positions such as `open or closed`, or `? clicks`";
    if let Some(begin) = reader.take_word(NOT_COUNTED) {
        let counted = UNITS.iter().filter(|row| matches!(row.unit.kind(), Kind::Clicks | Kind::Turns));
        let words =
            counted.flat_map(|row| std::iter::once(row.word).chain(row.single).map(|word| (word, row.unit)));
        let (unit, end) = one_of(reader, &words.collect::<Vec<_>>())?;
        return Ok((ScaleNode::Unknown { unit }, begin.to(end)));
    }
    match reader.peek().map(|token| token.kind) {
        Some(TokenKind::Number | TokenKind::CommaNumber) => measured(reader),
        Some(TokenKind::Word | TokenKind::Text | TokenKind::BentText | TokenKind::OpenText)
            if reader.word().as_deref() != Some("to") =>
        {
            named(reader)
        }
        _ => Err(reader.wants(wanted)),
    }
}

fn measured(reader: &mut Reader<'_>) -> Read<ScaleNode> {
    let (mut first, begin) = value(reader, "a number", POSITIONS)?;
    if reader.take_joint("to").is_some() {
        let (high, mut end) = value(reader, "the upper end of the range", POSITIONS)?;
        converted_alike(reader, std::slice::from_mut(&mut first), "to", begin.to(end));
        let mut by = None;
        if reader.take_word("by").is_some() {
            let (size, by_end) = value(reader, "the size of one position", POSITIONS)?;
            (by, end) = (Some(size), by_end);
        }
        return Ok((ScaleNode::Range { low: Some(first), high, by }, begin.to(end)));
    }
    if let Some(problem) = values_parted_wrongly(reader, &first, begin) {
        return Err(problem);
    }
    if reader.take_joint("or").is_none() {
        return Ok((ScaleNode::Range { low: None, high: first, by: None }, begin));
    }
    let mut values = vec![first];
    loop {
        let (last, end) = value(reader, "another value", POSITIONS)?;
        converted_alike(reader, &mut values, "or", begin.to(end));
        if reader.take_joint("or").is_none() {
            return Ok((ScaleNode::Values { values, last }, begin.to(end)));
        }
        values.push(last);
    }
}

/// The problem of values that are parted by commas instead of `or`: `400, 450, 500 lb/in`.
fn values_parted_wrongly(reader: &mut Reader<'_>, first: &ValueNode, begin: Span) -> Option<Box<Problem>> {
    let is_listed = |reader: &Reader<'_>| {
        let [comma, number] =
            [reader.peek(), reader.peek_second()].map(|token| token.map(|token| token.kind));
        (comma, number) == (Some(TokenKind::Comma), Some(TokenKind::Number))
    };
    if first.unit.is_some() || !is_listed(reader) {
        return None;
    }
    let (mut values, mut end) = (vec![reader.raw(begin).to_owned()], begin);
    let noticed = reader.noticed.len();
    while is_listed(reader) {
        reader.skip();
        let (_, span) = value(reader, "another value", POSITIONS).ok()?;
        values.push(reader.raw(span).to_owned());
        end = span;
    }
    // a unit that is misspelt, too, comes next
    reader.noticed.truncate(noticed);
    let right = values.join(" or ");
    let problem = Problem::new(Code::WordUnexpected, begin.to(end), "these values need `or` between them");
    Some(Box::new(problem.help(format!("write {right}")).fix(right)))
}

fn named(reader: &mut Reader<'_>) -> Read<ScaleNode> {
    let (first, begin) = name(reader, "the name of a position")?;
    let (mut names, mut end) = (vec![(first, begin)], begin);
    while reader.take_joint("or").is_some() {
        let (next, span) = name(reader, "the name of another position")?;
        names.push((next, span));
        end = span;
    }
    match reader.word() {
        Some(word) if unit_named(&word).is_some() => {
            let span = begin.to(reader.peek().map_or(end, |token| token.span));
            let problem = Problem::pointing(Code::NumberUnclear, span, "this number is written in words");
            Err(Box::new(problem.help(format!("write it in figures, such as `12 {word}`"))))
        }
        Some(word) if !opens_a_clause(&word) => Err(or_missing(reader)),
        _ => match parted_wrongly(reader, &names, begin.to(end)) {
            Some(problem) => Err(problem),
            None => Ok((ScaleNode::Names(names), begin.to(end))),
        },
    }
}

/// The problem of names that are parted by commas or slashes instead of `or`.
fn parted_wrongly(reader: &mut Reader<'_>, names: &[(String, Span)], span: Span) -> Option<Box<Problem>> {
    let [(only, _)] = names else { return None };
    let mut all: Vec<String> = only.split('/').map(str::to_owned).collect();
    let (mut pieces, mut end) = (0, span);
    while reader.ahead(pieces).is_some_and(|token| token.kind == TokenKind::Comma) {
        let next = reader.word_ahead(pieces + 1).filter(|word| !opens_a_clause(word));
        let Some((next, token)) = next.zip(reader.ahead(pieces + 1)) else { break };
        all.push(next.into_owned());
        (pieces, end) = (pieces + 2, token.span);
    }
    let is_name = |name: &String| name.starts_with(char::is_alphabetic);
    if all.len() < 2 || !all.iter().all(is_name) {
        return None;
    }
    (0..pieces).for_each(|_| reader.skip());
    let right = all.join(" or ");
    let problem = Problem::new(Code::WordUnexpected, span.to(end), "put `or` between the names of positions");
    Some(Box::new(problem.help(format!("write {right}")).fix(right)))
}

fn opens_a_clause(word: &str) -> bool {
    CLAUSES.iter().any(|row| row.words.split(' ').next() == Some(word))
}

fn or_missing(reader: &Reader<'_>) -> Box<Problem> {
    Box::new(reader.wants("`or` between the names of positions").help("for example: `open or half or firm`"))
}

/// The name of a position: a word, or a text in quotes.
pub(super) fn name(reader: &mut Reader<'_>, wanted: &str) -> Read<String> {
    match (reader.peek(), reader.word()) {
        (Some(token), Some(word)) if word != "or" && word != NOT_COUNTED => {
            reader.skip();
            Ok((word.into_owned(), token.span))
        }
        _ => reader.text(wanted),
    }
}
