//! Owns the small phrases that others are made of: one of a few words, a number with its unit.
//! It knows nothing of scales or selectors.

use crate::physics::Kind;
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{HEADINGS, UNITS, Way, continuers, nearest, unit_named};

use super::reader::{Read, Reader};
use super::token::TokenKind;
use super::tree::ValueNode;

/// `a`, `b` or `c`, for a message.
pub(super) fn listed<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    let words: Vec<String> = words.into_iter().map(|word| format!("`{word}`")).collect();
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => words.concat(),
    }
}

pub(super) fn expect(reader: &mut Reader<'_>, word: &str) -> Result<Span, Box<Problem>> {
    reader.take_word(word).ok_or_else(|| reader.wants(&format!("`{word}`")))
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
    let Some(word) = reader.word() else { return Err(unknown) };
    let Some(meant) = nearest(&word, words()) else { return Err(unknown) };
    let span = reader.peek().map_or(unknown.span, |token| token.span);
    reader.noticed.push(misspelt(&word, meant, span));
    reader.skip();
    let choice = choices.iter().find(|choice| choice.0 == meant).map(|choice| choice.1.clone());
    choice.map(|choice| (choice, span)).ok_or(unknown)
}

/// The problem of a word that is nearly one of the language.
pub(super) fn misspelt(word: &str, meant: &str, span: Span) -> Problem {
    Problem::new(Code::WordMisspelt, span, format!("`{word}` is no word that may stand here"))
        .help(format!("did you mean `{meant}`?"))
        .fix(meant)
}

fn units_of(kinds: &[Kind]) -> String {
    listed(UNITS.iter().filter(|row| kinds.contains(&row.unit.kind())).map(|row| row.word))
}

/// A number and, where one stands there, its unit.
pub(super) fn value(reader: &mut Reader<'_>, wanted: &str) -> Read<ValueNode> {
    let (number, begin) = reader.number(wanted)?;
    let mut span = begin;
    let mut unit = None;
    if let Some(token) = reader.peek() {
        if token.kind == TokenKind::Hash {
            return Err(Box::new(
                Problem::new(
                    Code::UnitUnknown,
                    token.span,
                    "`#` begins a comment, so this spring has no unit",
                )
                .help("write lb/in")
                .fix(" lb/in"),
            ));
        }
        if let Some(word) = reader.word() {
            if let Some(named) = unit_named(&word) {
                (unit, span) = (Some(named), begin.to(token.span));
                reader.skip();
            } else if !is_connecting(&word) {
                return Err(Box::new(unknown_unit(&word, token.span)));
            }
        }
    }
    Ok((ValueNode { number, unit, span }, span))
}

/// Whether a word behind a number belongs to the language and so is no misspelt unit.
fn is_connecting(word: &str) -> bool {
    Way::ALL.iter().any(|way| way.word() == word)
        || HEADINGS.iter().any(|row| continuers(row.heading).contains(&word))
}

pub(super) fn unknown_unit(word: &str, span: Span) -> Problem {
    let problem = Problem::new(Code::UnitUnknown, span, format!("`{word}` is no unit that is known here"));
    match nearest(word, UNITS.iter().map(|row| row.word)) {
        Some(meant) => problem.help(format!("did you mean `{meant}`?")).fix(meant),
        None => problem.help(format!("units are {}", listed(UNITS.iter().map(|row| row.word)))),
    }
}

/// A value whose unit must be of certain kinds. Where positions of an adjuster are meant, the unit
/// may be left out (positions that have names have no unit).
pub(super) fn value_of(reader: &mut Reader<'_>, kinds: &[Kind]) -> Read<ValueNode> {
    let (value, span) = value(reader, "a number")?;
    match value.unit {
        Some(unit) if !kinds.contains(&unit.kind()) => Err(Box::new(
            Problem::new(
                Code::UnitUnfit,
                span,
                format!("`{}` has a unit that does not fit here", reader.raw(span)),
            )
            .help(format!("the units here are {}", units_of(kinds))),
        )),
        None if !kinds.contains(&Kind::Clicks) => Err(Box::new(unit_missing(reader, span, kinds))),
        _ => Ok((value, span)),
    }
}

fn unit_missing(reader: &Reader<'_>, span: Span, kinds: &[Kind]) -> Problem {
    let problem = Problem::new(Code::UnitMissing, span, format!("`{}` has no unit", reader.raw(span)))
        .help(format!("the units here are {}", units_of(kinds)));
    let mut fitting = UNITS.iter().filter(|row| kinds.contains(&row.unit.kind()));
    match (fitting.next(), fitting.next()) {
        (Some(only), None) => problem.fix_at(span.after(), format!(" {}", only.word)),
        _ => problem,
    }
}
