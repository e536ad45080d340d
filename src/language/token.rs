//! Owns what a piece of a line is, and its kinds. It knows nothing of which piece may stand where.

use crate::problem::Span;

/// What kind of piece a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TokenKind {
    Word,
    Number,
    /// A number with a comma where the point belongs.
    CommaNumber,
    /// `#` glued to a number.
    Hash,
    Text,
    /// A text in quotes that are not straight.
    BentText,
    /// A text that is not closed on its line.
    OpenText,
    Comma,
    Colon,
    Dash,
    Comment,
    Junk,
}

/// One piece of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Token {
    pub kind: TokenKind,
    pub span: Span,
}

/// What stands between the quotes of a text, whichever quotes they are.
#[must_use]
pub fn plain_text(quoted: &str) -> &str {
    const QUOTES: [char; 7] = ['"', '\u{201C}', '\u{201D}', '\u{201E}', '\u{201F}', '\u{AB}', '\u{BB}'];
    let inner = quoted.strip_prefix(QUOTES).unwrap_or(quoted);
    inner.strip_suffix(QUOTES).unwrap_or(inner)
}
