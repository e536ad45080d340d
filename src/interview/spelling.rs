//! Owns how a typed line is spelt in the file: its pieces with single spaces, words in lower case,
//! straight quotes. It knows nothing of what the line says.

use crate::language::{TokenKind, plain_text, tokens};
use crate::problem::{Sources, is_harmful};
use crate::vocabulary::UNITS;

/// A line as it will stand in the file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Spelt {
    pub text: String,
    /// What stood behind `#`, with it.
    pub remark: Option<String>,
}

/// One piece of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Piece {
    kind: TokenKind,
    text: String,
}

/// A typed line as it will stand in the file. Numbers and texts stay as they were typed.
pub(super) fn spelt(line: &str) -> Spelt {
    let (remarks, pieces): (Vec<_>, Vec<_>) =
        pieces(line).into_iter().partition(|piece| piece.kind == TokenKind::Comment);
    Spelt { text: joined(&pieces), remark: remarks.into_iter().next().map(|piece| piece.text) }
}

/// Pieces with single spaces between; commas, and a `#` glued to its number, stand close.
fn joined(pieces: &[Piece]) -> String {
    let mut text = String::new();
    for piece in pieces {
        let close = matches!(piece.kind, TokenKind::Comma | TokenKind::Hash);
        if !text.is_empty() && !close {
            text.push(' ');
        }
        text += &piece.text;
    }
    text
}

/// The stretches of a spelt line between its commas, and, where it is a list of names, between its
/// `and`s.
pub(super) fn stretches(line: &str, and_parts: bool) -> Vec<String> {
    let pieces = pieces(line);
    let parts = |piece: &Piece| {
        piece.kind == TokenKind::Comma || (and_parts && piece.kind == TokenKind::Word && piece.text == "and")
    };
    pieces.split(parts).map(joined).filter(|stretch| !stretch.is_empty()).collect()
}

/// The first piece of a line, where it is a word.
pub(super) fn first_word(line: &str) -> Option<String> {
    let first = pieces(line).into_iter().next()?;
    (first.kind == TokenKind::Word).then_some(first.text)
}

/// Whether a line begins with a piece of one of these kinds.
pub(super) fn begins(line: &str, kinds: &[TokenKind]) -> bool {
    pieces(line).first().is_some_and(|piece| kinds.contains(&piece.kind))
}

/// The words of a line.
pub(super) fn words(line: &str) -> Vec<String> {
    let words = pieces(line).into_iter().filter(|piece| piece.kind == TokenKind::Word);
    words.map(|piece| piece.text).collect()
}

fn pieces(line: &str) -> Vec<Piece> {
    let mut sources = Sources::default();
    let id = sources.add("", line);
    let tokens = tokens(id, line, 0);
    let number = |index: usize| {
        tokens
            .get(index)
            .is_some_and(|token| matches!(token.kind, TokenKind::Number | TokenKind::CommaNumber))
    };
    let spaced = |raw: &str| raw.split_whitespace().collect::<Vec<_>>().join(" ");
    let spell = |(index, token): (usize, &crate::language::Token)| {
        let raw = sources.slice(token.span);
        let text = match token.kind {
            TokenKind::Word => word(raw),
            TokenKind::Number | TokenKind::Text => spaced(raw),
            TokenKind::BentText => spaced(&format!("\"{}\"", plain_text(raw))),
            TokenKind::Comment => spaced(&raw.chars().filter(|&c| !is_harmful(c)).collect::<String>()),
            TokenKind::Dash if index > 0 && number(index + 1) => "to".to_owned(),
            _ => raw.to_owned(),
        };
        Piece { kind: token.kind, text }
    };
    tokens.iter().enumerate().map(spell).collect()
}

/// A word in lower case; a unit as units are spelt.
fn word(raw: &str) -> String {
    let lower = raw.to_lowercase();
    let spellings =
        UNITS.iter().flat_map(|row| std::iter::once(&row.word).chain(row.also).chain(&row.single));
    spellings.into_iter().find(|unit| unit.to_lowercase() == lower).map_or(lower, |unit| (*unit).to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spacing_case_and_quotes_are_set_right_and_nothing_else() {
        let seen = |line| spelt(line).text;
        assert_eq!(seen("  18CLICKS ,start   9"), "18 clicks, start 9");
        assert_eq!(seen("44-120 PSI"), "44 to 120 psi");
        assert_eq!(seen("300 KPA by 10kpa"), "300 kPa by 10 kPa");
        assert_eq!(seen("18 to 22%"), "18 to 22 %");
        assert_eq!(seen("1  1/4 turns"), "1 1/4 turns");
        assert_eq!(seen("\u{201C}Bottom Out\u{201D} or \"B  b\""), "\"Bottom Out\" or \"B b\"");
        assert_eq!(seen("450# or 500"), "450# or 500");
        assert_eq!(seen("0,5 x"), "0,5 x");
    }

    #[test]
    fn a_remark_is_set_apart_and_harmless() {
        let spelt = spelt("18 clicks #  counted \u{1b}[2Jtwice ");
        assert_eq!(spelt.text, "18 clicks");
        assert_eq!(spelt.remark.as_deref(), Some("# counted [2Jtwice"));
    }

    #[test]
    fn a_comma_inside_a_text_parts_nothing() {
        assert_eq!(stretches("a, \"b, c\" and d", true), ["a", "\"b, c\"", "d"]);
        assert_eq!(stretches("a and b, 450# or 500", false), ["a and b", "450# or 500"]);
    }
}
