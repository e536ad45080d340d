//! Owns how a scale is read: a range, a list of values, names, or a count to come.
//! It knows nothing of which adjuster may have which scale.

use crate::physics::Unit;

use super::amounts::{one_of, value};
use super::reader::{Read, Reader};
use super::token::TokenKind;
use super::tree::ScaleNode;

pub(super) fn scale(reader: &mut Reader<'_>) -> Read<ScaleNode> {
    let wanted = "a range such as `0 to 18 clicks`, positions such as `open or closed`, or `? clicks`";
    let Some(token) = reader.peek() else { return Err(reader.wants(wanted)) };
    if let Some(begin) = reader.take_word("?") {
        let counts = [
            ("clicks", Unit::Clicks),
            ("click", Unit::Clicks),
            ("turns", Unit::Turns),
            ("turn", Unit::Turns),
        ];
        let (unit, end) = one_of(reader, &counts)?;
        return Ok((ScaleNode::Unknown { unit }, begin.to(end)));
    }
    match token.kind {
        TokenKind::Number | TokenKind::CommaNumber => measured_scale(reader),
        TokenKind::Word | TokenKind::Text | TokenKind::BentText | TokenKind::OpenText => named_scale(reader),
        _ => Err(reader.wants(wanted)),
    }
}

fn measured_scale(reader: &mut Reader<'_>) -> Read<ScaleNode> {
    let (first, begin) = value(reader, "a number")?;
    if reader.take_word("to").is_some() {
        let (high, mut end) = value(reader, "the upper end of the range")?;
        let mut by = None;
        if reader.take_word("by").is_some() {
            let (size, by_end) = value(reader, "how much one position is")?;
            (by, end) = (Some(size), by_end);
        }
        return Ok((ScaleNode::Range { low: Some(first), high, by }, begin.to(end)));
    }
    if reader.word().as_deref() != Some("or") {
        return Ok((ScaleNode::Range { low: None, high: first, by: None }, begin));
    }
    let (mut values, mut end) = (vec![first], begin);
    while reader.take_word("or").is_some() {
        let (next, span) = value(reader, "one more value")?;
        values.push(next);
        end = span;
    }
    Ok((ScaleNode::Values(values), begin.to(end)))
}

fn named_scale(reader: &mut Reader<'_>) -> Read<ScaleNode> {
    let (first, begin) = name(reader, "the name of a position")?;
    let (mut names, mut end) = (vec![(first, begin)], begin);
    while reader.take_word("or").is_some() {
        let (next, span) = name(reader, "the name of one more position")?;
        names.push((next, span));
        end = span;
    }
    Ok((ScaleNode::Names(names), begin.to(end)))
}

pub(super) fn name(reader: &mut Reader<'_>, wanted: &str) -> Read<String> {
    match (reader.peek(), reader.word()) {
        (Some(token), Some(word)) if word != "or" && word != "?" => {
            reader.skip();
            Ok((word, token.span))
        }
        _ => reader.text(wanted),
    }
}
