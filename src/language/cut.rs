//! Owns how a text is cut into its pieces, as `grammar/tune.pest` says.
//! It knows nothing of which piece may stand where.

use pest::Parser;
use pest::iterators::Pair;
use pest_derive::Parser;

use crate::problem::{SourceId, Span};

use super::plain::plain;
use super::token::{Token, TokenKind};

#[derive(Parser)]
#[grammar = "../grammar/tune.pest"]
struct Pieces;

/// Cuts `text`, which stands at byte `offset` of a source, into its pieces, comments among them.
/// White space and line ends are left out; nothing else is.
#[must_use]
pub fn tokens(source: SourceId, text: &str, offset: usize) -> Vec<Token> {
    let mut tokens: Vec<Token> = Vec::new();
    let mut at = 0;
    while at < text.len() {
        if let Some((kind, end)) = plain(text.as_bytes(), at) {
            let span = Span { source, start: offset + at, end: offset + end };
            tokens.extend(kind.map(|kind| Token { kind, span }));
            at = end;
            continue;
        }
        // no piece reaches from one line into the next
        let rest = text.get(at..).unwrap_or("");
        let end = rest.find(['\n', '\r']).map_or(text.len(), |line| at + line);
        tokens.append(&mut by_grammar(source, text.get(at..end).unwrap_or(""), offset + at));
        at = end;
    }
    tokens
}

/// The same by the grammar alone.
fn by_grammar(source: SourceId, text: &str, offset: usize) -> Vec<Token> {
    let Ok(mut pairs) = Pieces::parse(Rule::pieces, text) else {
        // The grammar ends in a catch-all, so this is not reached; were it, the whole line is junk.
        let span = Span { source, start: offset, end: offset + text.len() };
        return vec![Token { kind: TokenKind::Junk, span }];
    };
    let mut tokens: Vec<Token> = Vec::new();
    for pair in pairs.next().into_iter().flat_map(Pair::into_inner) {
        let Some(token) = token(source, &pair, offset) else { continue };
        match tokens.last_mut() {
            Some(last)
                if token.kind == TokenKind::Junk
                    && last.kind == token.kind
                    && last.span.end == token.span.start =>
            {
                last.span.end = token.span.end;
            }
            _ => tokens.push(token),
        }
    }
    tokens
}

/// The kind and the text of the first piece of a line that begins with no white space.
pub(super) fn first_of(line: &str) -> Option<(TokenKind, &str)> {
    if line.is_empty() {
        return None;
    }
    if let Some((Some(kind), end)) = plain(line.as_bytes(), 0) {
        return line.get(..end).map(|piece| (kind, piece));
    }
    let pair = Pieces::parse(Rule::first, line).ok()?.next()?.into_inner().next()?;
    kind(&pair).map(|kind| (kind, pair.as_str()))
}

/// The first piece of a text, as [`tokens`] gives it.
pub(super) fn first_piece(source: SourceId, text: &str, offset: usize) -> Option<Token> {
    let mut pieces = Pieces::parse(Rule::first, text).ok()?.next()?.into_inner();
    let first = token(source, &pieces.next()?, offset)?;
    let last = pieces.last().filter(|_| first.kind == TokenKind::Junk);
    let end = last.map_or(first.span.end, |last| offset + last.as_span().end());
    Some(Token { span: Span { end, ..first.span }, ..first })
}

fn token(source: SourceId, pair: &Pair<'_, Rule>, offset: usize) -> Option<Token> {
    let kind = kind(pair)?;
    let span = pair.as_span();
    Some(Token { kind, span: Span { source, start: offset + span.start(), end: offset + span.end() } })
}

fn kind(pair: &Pair<'_, Rule>) -> Option<TokenKind> {
    Some(match pair.as_rule() {
        Rule::word => TokenKind::Word,
        Rule::number => TokenKind::Number,
        Rule::comma_number => TokenKind::CommaNumber,
        Rule::hash => TokenKind::Hash,
        Rule::text => TokenKind::Text,
        Rule::bent_text => TokenKind::BentText,
        Rule::open_text => TokenKind::OpenText,
        Rule::comma => TokenKind::Comma,
        Rule::colon => TokenKind::Colon,
        Rule::dash => TokenKind::Dash,
        Rule::comment => TokenKind::Comment,
        Rule::junk => TokenKind::Junk,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::problem::Sources;

    fn kinds(text: &str) -> Vec<(TokenKind, String)> {
        let mut sources = Sources::default();
        let id = sources.add("x", text);
        let tokens = tokens(id, text, 0);
        tokens.iter().map(|token| (token.kind, sources.slice(token.span).to_owned())).collect()
    }

    #[test]
    fn numbers_units_and_dashes() {
        use TokenKind::{CommaNumber, Dash, Hash, Number, Word};
        let seen = |text| kinds(text).into_iter().map(|(kind, _)| kind).collect::<Vec<_>>();
        assert_eq!(seen("75psi 1 1/4 lb/in"), [Number, Word, Number, Word]);
        assert_eq!(seen("0-18"), [Number, Dash, Number]);
        assert_eq!(seen("-3 0,5 450#"), [Number, CommaNumber, Number, Hash]);
        assert_eq!(kinds("low-speed ? %").len(), 3);
    }

    #[test]
    fn a_text_ends_at_its_line() {
        let seen = kinds("say \"open\nride \"shut\" # \"x");
        let kinds: Vec<_> = seen.iter().map(|(kind, _)| *kind).collect();
        let expected =
            [TokenKind::Word, TokenKind::OpenText, TokenKind::Word, TokenKind::Text, TokenKind::Comment];
        assert_eq!(kinds, expected);
    }

    /// Pieces that go wrong where they meet, and letters beside them.
    fn text() -> impl Strategy<Value = String> {
        const PIECES: &str = "rebound|low-speed|lb/in|a|Z|_|1|18|0|1.5|.|..|,|, |/|1/4| |  |\t|\n|\r|\r\n|#|\"|-|\u{2212}|\u{2013}|\
             \u{b0}|é|e\u{301}|\u{201c}|\u{201d}|\u{a0}|٣|%|?|:|;|'|(|=|½";
        let pieces: Vec<&str> = PIECES.split('|').collect();
        prop::collection::vec(prop::sample::select(pieces), 0..24).prop_map(|pieces| pieces.concat())
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 20_000, failure_persistence: None, ..ProptestConfig::default() })]
        #[test]
        fn the_short_way_cuts_as_the_grammar_does(text in text()) {
            let mut sources = Sources::default();
            let id = sources.add("x", text.as_str());
            prop_assert_eq!(tokens(id, &text, 0), by_grammar(id, &text, 0));
        }
    }
}
