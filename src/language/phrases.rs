//! Owns the phrases: how each slot of the vocabulary is read from the pieces of a line.
//! It knows nothing of which bike or plan the phrases belong to.

use crate::physics::{Kind, Unit};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{
    EVERY, EVERYTHING, Effort, End, Entry, FIRST, KNOBS, Knob, Method, OWN, PARTS, Part, Recordable, SPRING,
    Slot, UNITS, Way, nearest, part_named, place_named, unit_named,
};

use super::amounts::{POSITIONS, converted_alike, expect, listed, one_of, value, value_of};
use super::reader::{Read, Reader, misspelt};
use super::scales::{name, scale};
use super::token::{Token, TokenKind};
use super::tree::{
    BetweenNode, Node, PlaceNode, RecordedNode, RideNode, RowNode, StartNode, TargetNode, ValueNode,
    WhatNode, WhichNode, WhomNode, WindowNode,
};

/// Reads what a slot asks for.
pub(super) fn read_slot(reader: &mut Reader<'_>, slot: Slot) -> Read<Node> {
    fn node<T>(read: Read<T>, wrap: impl Fn(T) -> Node) -> Read<Node> {
        read.map(|(value, span)| (wrap(value), span))
    }
    match slot {
        Slot::Text => node(reader.text("text in quotes"), Node::Text),
        Slot::Number => node(reader.number("a number"), |number| Node::Number(Box::new(number))),
        Slot::Value(kinds) => node(value_of(reader, "a number", kinds), |value| Node::Value(Box::new(value))),
        Slot::PartName => node(part(reader), Node::PartName),
        Slot::Knob => node(knob(reader), Node::Knob),
        Slot::Scale => node(scale(reader), |scale| Node::Scale(Box::new(scale))),
        Slot::Start => node(start(reader), |start| Node::Start(Box::new(start))),
        Slot::Row => {
            let read = value(reader, "a start", POSITIONS).and_then(|first| row(reader, first));
            node(read, |row| Node::Row(Box::new(row)))
        }
        Slot::End => node(one_of(reader, &[End::Open, End::Closed].map(|end| (end.word(), end))), Node::End),
        Slot::Window => node(window(reader), |window| Node::Window(Box::new(window))),
        Slot::WayFirst => node(way_first(reader), Node::WayFirst),
        Slot::Which => node(which(reader), Node::Which),
        Slot::WhichOrEverything => match reader.take_word(EVERYTHING) {
            Some(span) => Ok((Node::WhichOrEverything(WhomNode::Everything), span)),
            None => node(which(reader), |which| Node::WhichOrEverything(WhomNode::Which(which))),
        },
        Slot::Method => {
            node(one_of(reader, &Method::ALL.map(|method| (method.word(), method))), Node::Method)
        }
        Slot::Effort => node(effort(reader), Node::Effort),
        Slot::YesNo => node(one_of(reader, &[("yes", true), ("no", false)]), Node::YesNo),
        Slot::Settings => node(one_of(reader, &[(Recordable::Settings.word(), ())]), Node::Settings),
        Slot::RideLength => node(ride(reader), |ride| Node::RideLength(Box::new(ride))),
        Slot::Recorded => node(recorded(reader), Node::Recorded),
        Slot::Target => node(target(reader), |target| Node::Target(Box::new(target))),
        Slot::Between => {
            let (one, begin) = place(reader)?;
            expect(reader, "and")?;
            let (other, end) = place(reader)?;
            Ok((Node::Between(Box::new(BetweenNode { one, other })), begin.to(end)))
        }
    }
}

fn part(reader: &mut Reader<'_>) -> Read<Part> {
    if let Some(found) = take_part(reader) {
        return Ok(found);
    }
    // `front fork`, `rear shock`: the second word says it
    let named = reader.second_word().and_then(|second| part_named(&second, None));
    if let (Some((part, _)), Some(first), true) =
        (named, reader.peek(), reader.word().is_some_and(|word| ["front", "rear"].contains(&&*word)))
    {
        reader.skip();
        let span = first.span.to(reader.peek().map_or(first.span, |token| token.span));
        reader.skip();
        reader.noticed.push(misspelt(reader.raw(span), part.word(), span));
        return Ok((part, span));
    }
    one_of(reader, &PARTS.iter().map(|row| (row.1, row.0)).collect::<Vec<_>>())
}

fn take_part(reader: &mut Reader<'_>) -> Option<(Part, Span)> {
    let first = reader.word()?;
    let (part, words) = part_named(&first, reader.second_word().as_deref())?;
    let mut span = reader.peek()?.span;
    for _ in 0..words {
        span = span.to(reader.peek()?.span);
        reader.skip();
    }
    Some((part, span))
}

fn knob(reader: &mut Reader<'_>) -> Read<Knob> {
    let is_named = |token: Token| matches!(token.kind, TokenKind::Text | TokenKind::BentText);
    let own = match reader.take_word(OWN) {
        None if reader.peek_second().is_some_and(is_named) => reader.take_or_guess(OWN).ok(),
        own => own,
    };
    if let Some(begin) = own {
        let (name, end) = reader.text("the adjuster's name in quotes")?;
        return Ok((Knob::Own(name), begin.to(end)));
    }
    let first = reader.word().unwrap_or_default();
    for row in KNOBS {
        for words in std::iter::once(&row.word).chain(row.also) {
            if !words.starts_with(&*first) {
                continue;
            }
            if let Some(span) = reader.take_words(words) {
                return Ok((row.knob.clone(), span));
            }
        }
    }
    // `low-speed` alone, or a misspelling
    let unknown = reader.wants("an adjuster's name");
    let Some(word) = reader.word() else { return Err(unknown) };
    let both = reader.second_word().map_or(word.to_string(), |second| format!("{word} {second}"));
    let words = || KNOBS.iter().map(|row| row.word);
    let (meant, count) = match (nearest(&both, words().filter(|w| w.contains(' '))), nearest(&word, words()))
    {
        (Some(meant), _) => (meant, 2),
        (None, Some(meant)) => (meant, 1),
        (None, None) => {
            let names = listed(words().filter(|candidate| candidate.starts_with(word.as_ref())));
            let help = if names.is_empty() { None } else { Some(format!("write {names}").into()) };
            return Err(Box::new(Problem { help, ..*unknown }));
        }
    };
    let mut span = unknown.span;
    for _ in 0..count {
        span = span.to(reader.peek().map_or(span, |token| token.span));
        reader.skip();
    }
    let known = KNOBS.iter().find(|row| row.word == meant).map(|row| row.knob.clone());
    reader.noticed.push(misspelt(reader.raw(span), meant, span));
    known.map(|knob| (knob, span)).ok_or(unknown)
}

fn place(reader: &mut Reader<'_>) -> Read<PlaceNode> {
    let wanted = "a value, `open`, `closed`, `middle` or a position's name";
    match reader.peek().map(|token| token.kind) {
        Some(TokenKind::Number | TokenKind::CommaNumber) => {
            value(reader, wanted, POSITIONS).map(|(value, span)| (PlaceNode::Value(value), span))
        }
        Some(TokenKind::Word) => {
            let (word, span) = name(reader, wanted)?;
            Ok((place_named(&word).map_or(PlaceNode::Name(word), PlaceNode::Word), span))
        }
        _ => reader.text(wanted).map(|(name, span)| (PlaceNode::Name(name), span)),
    }
}

fn start(reader: &mut Reader<'_>) -> Read<StartNode> {
    let (first, span) = place(reader)?;
    match first {
        PlaceNode::Value(value)
            if reader.word().as_deref() == Some("at") || reader.is_misspelt_joint("at") =>
        {
            row(reader, (value, span)).map(|(row, span)| (StartNode::Row(row), span))
        }
        PlaceNode::Word(word) if !word.can_start() => Err(Box::new(
            Problem::new(Code::SettingUnknown, span, "`start` can't be its own start")
                .help("write a value, `open`, `closed` or `middle`"),
        )),
        place => Ok((StartNode::Place(place), span)),
    }
}

fn row(reader: &mut Reader<'_>, (value, begin): (ValueNode, Span)) -> Read<RowNode> {
    expect(reader, "at")?;
    let (weight, end) = value_of(reader, "a weight", &[Kind::Mass])?;
    let span = begin.to(end);
    Ok((RowNode { value, weight, span }, span))
}

fn window(reader: &mut Reader<'_>) -> Read<WindowNode> {
    let kinds = &[Kind::Share, Kind::Length];
    let (mut low, begin) = value(reader, "a sag range such as `18 to 22 %`", kinds)?;
    if low.unit.is_some_and(|unit| kinds.contains(&unit.kind())) && reader.word().is_none() {
        // one value alone; the check asks for a window
        return Ok((WindowNode { low, high: low }, begin));
    }
    expect(reader, "to")?;
    let (high, end) = value_of(reader, "the top of the sag range", kinds)?;
    converted_alike(reader, std::slice::from_mut(&mut low), "to", begin.to(end));
    Ok((WindowNode { low, high }, begin.to(end)))
}

fn way(reader: &mut Reader<'_>) -> Read<Way> {
    one_of(reader, &Way::ALL.map(|way| (way.word(), way)))
}

fn way_first(reader: &mut Reader<'_>) -> Read<Way> {
    let (way, span) = way(reader)?;
    let end = reader.take_or_guess(FIRST).unwrap_or(span);
    Ok((way, span.to(end)))
}

fn effort(reader: &mut Reader<'_>) -> Read<Effort> {
    match reader.word().and_then(|word| Effort::once(&word)).zip(reader.peek()) {
        Some((effort, token)) => {
            reader.skip();
            Ok((effort, token.span))
        }
        None => one_of(reader, &Effort::ALL.map(|effort| (effort.word(), effort))),
    }
}

fn which(reader: &mut Reader<'_>) -> Read<WhichNode> {
    let (part, begin) = match (reader.take_word(EVERY), take_part(reader)) {
        (Some(span), None) => (None, span),
        (None, Some((part, span))) => (Some(part), span),
        _ => {
            let every = std::iter::once((EVERY, None));
            let choices: Vec<_> = every.chain(PARTS.iter().map(|row| (row.1, Some(row.0)))).collect();
            one_of(reader, &choices)?
        }
    };
    let springs = format!("{SPRING}s");
    if let Some(end) = reader.take_word(SPRING).or_else(|| reader.take_word(&springs)) {
        return Ok((WhichNode { part, what: WhatNode::Spring }, begin.to(end)));
    }
    let (knob, end) = if reader.at_text() {
        reader.text("an adjuster's name").map(|(name, span)| (Knob::Own(name), span))?
    } else {
        knob(reader)?
    };
    Ok((WhichNode { part, what: WhatNode::Knob(knob) }, begin.to(end)))
}

fn ride(reader: &mut Reader<'_>) -> Read<RideNode> {
    match reader.take_word(Entry::WarmUp.words()) {
        Some(span) => Ok((RideNode::WarmUp, span)),
        None => value_of(reader, "`warm-up`, or a number of laps,", &[Kind::Laps])
            .map(|(value, span)| (RideNode::Laps(value), span)),
    }
}

fn recorded(reader: &mut Reader<'_>) -> Read<RecordedNode> {
    if !reader.at_text() {
        return one_of(reader, &Recordable::ALL.map(|what| (what.word(), RecordedNode::Word(what))));
    }
    let (name, begin) = reader.text("what to record")?;
    let (mut unit, mut end) = (None, begin);
    if reader.take_word("in").is_some() {
        let units: Vec<(&str, Unit)> = UNITS.iter().map(|row| (row.word, row.unit)).collect();
        let spelt = reader.word().and_then(|word| unit_named(&word)).zip(reader.peek());
        let (found, span) = match spelt {
            Some((unit, token)) => {
                reader.skip();
                (unit, token.span)
            }
            None => one_of(reader, &units)?,
        };
        (unit, end) = (Some(found), span);
    }
    Ok((RecordedNode::Own { name, unit }, begin.to(end)))
}

fn target(reader: &mut Reader<'_>) -> Read<TargetNode> {
    if reader.take_word("to").is_some() {
        return place(reader).map(|(place, span)| (TargetNode::To(place), span));
    }
    let wanted = "`to` and a setting, or a change such as `2 clicks faster`";
    let (amount, begin) = value(reader, wanted, POSITIONS)?;
    let (way, end) = way(reader)?;
    Ok((TargetNode::By(amount, way), begin.to(end)))
}
