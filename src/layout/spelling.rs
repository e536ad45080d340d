//! Owns the spelling of each piece: lower case, units and adjusters as the vocabulary has them.
//! It knows nothing of where a piece is set.

use num_traits::Signed;

use crate::language::{Fields, Line, LineKind, Node, RecordedNode, Token, TokenKind, WhomNode};
use crate::physics::{Number, parse_decimal, parse_fraction};
use crate::problem::Span;
use crate::vocabulary::{KNOBS, NOT_COUNTED, SPRING, part_named, single_unit_word, unit_named, unit_word};

/// Where words of a line have several spellings, or may be units without a number before them.
#[derive(Debug, Default)]
pub(super) struct Places {
    /// Parts, adjusters and selectors.
    names: Vec<Span>,
    /// What is recorded in a unit.
    recorded: Vec<Span>,
}

impl Places {
    pub fn of(line: &Line) -> Self {
        let mut places = Places::default();
        match &line.kind {
            LineKind::Heading(heading) => places.take(&heading.fields),
            LineKind::Entry(entry) => places.take(&entry.fields),
            LineKind::Blank | LineKind::Unread(_) => {}
        }
        places
    }

    fn take(&mut self, fields: &Fields) {
        for (node, span) in &fields.0 {
            match node {
                Node::PartName(_)
                | Node::Knob(_)
                | Node::Which(_)
                | Node::WhichOrEverything(WhomNode::Which(_)) => self.names.push(*span),
                Node::Recorded(RecordedNode::Own { unit: Some(_), .. }) => self.recorded.push(*span),
                Node::Recorded(RecordedNode::Word(_) | RecordedNode::Own { unit: None, .. })
                | Node::WhichOrEverything(WhomNode::Everything)
                | Node::Text(_)
                | Node::Number(_)
                | Node::Value(_)
                | Node::Scale(_)
                | Node::Start(_)
                | Node::Row(_)
                | Node::End(_)
                | Node::Window(_)
                | Node::WayFirst(_)
                | Node::Method(_)
                | Node::Effort(_)
                | Node::YesNo(_)
                | Node::Settings(())
                | Node::RideLength(_)
                | Node::Target(_)
                | Node::Between(_) => {}
            }
        }
    }
}

fn within(spans: &[Span], token: Token) -> bool {
    spans.iter().any(|span| span.start <= token.span.start && token.span.end <= span.end)
}

/// A piece in its one spelling; `before` is the piece before it.
pub(super) fn spelt(token: Token, before: Option<Token>, text: &str, places: &Places) -> String {
    let raw = |token: Token| text.get(token.span.start..token.span.end).unwrap_or("");
    match token.kind {
        TokenKind::Dash => "to".to_owned(),
        TokenKind::Number => {
            let plain = raw(token).replace('\u{2212}', "-");
            plain.split_whitespace().collect::<Vec<_>>().join(" ")
        }
        TokenKind::Word => {
            let word = raw(token).to_lowercase();
            let known = match before {
                Some(before) if before.kind == TokenKind::Number => {
                    unit_named(&word).map(if is_single(raw(before)) { single_unit_word } else { unit_word })
                }
                Some(before) if raw(before) == NOT_COUNTED => unit_named(&word).map(unit_word),
                _ if within(&places.recorded, token) => {
                    unit_named(&word).map(unit_word).filter(|_| word != "in")
                }
                _ if within(&places.names, token) => {
                    name(&word, &before.map(raw).unwrap_or_default().to_lowercase())
                }
                _ => None,
            };
            known.map_or(word, str::to_owned)
        }
        _ => raw(token).to_owned(),
    }
}

/// Whether a number is one, or a share of one.
fn is_single(raw: &str) -> bool {
    let plain = raw.replace('\u{2212}', "-");
    let number = parse_decimal(&plain).or_else(|| parse_fraction(&plain));
    let (none, one) = (Number::from_integer(0), Number::from_integer(1));
    number.is_some_and(|number| number != none && number.abs() <= one)
}

/// The one spelling of a word in the name of an adjuster or a part.
fn name(word: &str, before: &str) -> Option<&'static str> {
    if let Some(row) = KNOBS.iter().find(|row| row.also.contains(&word)) {
        return Some(row.word);
    }
    if word.strip_suffix('s') == Some(SPRING) {
        return Some(SPRING);
    }
    match part_named(before, Some(word)) {
        Some((part, 2)) => part.word().split(' ').nth(1),
        _ => None,
    }
}
