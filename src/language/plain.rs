//! Owns a short way through the pieces that nearly every line is made of: what `grammar/tune.pest` says of plain
//! words, numbers, texts in straight quotes, commas and comments, and of nothing else. A test holds it to the
//! grammar.

use super::token::TokenKind;

/// A piece that begins at a byte of a text, or white space there, and where it ends; `None` where only the
/// grammar can tell.
pub(super) fn plain(text: &[u8], begin: usize) -> Option<(Option<TokenKind>, usize)> {
    let at = |place: usize| text.get(place).copied();
    let run = |from: usize, is_part: fn(u8) -> bool| {
        let rest = text.get(from..).unwrap_or(&[]);
        from + rest.iter().take_while(|byte| is_part(**byte)).count()
    };
    let piece = |kind: TokenKind, end: usize| Some((Some(kind), end));
    match at(begin)? {
        b' ' | b'\t' | b'\n' | b'\r' => {
            Some((None, run(begin, |byte| matches!(byte, b' ' | b'\t' | b'\n' | b'\r'))))
        }
        b',' => piece(TokenKind::Comma, begin + 1),
        b':' => piece(TokenKind::Colon, begin + 1),
        b'%' | b'?' => piece(TokenKind::Word, begin + 1),
        b'#' => piece(TokenKind::Comment, run(begin, |byte| !matches!(byte, b'\n' | b'\r'))),
        b'"' => {
            let end = run(begin + 1, |byte| !matches!(byte, b'"' | b'\n' | b'\r'));
            (at(end) == Some(b'"')).then_some((Some(TokenKind::Text), end + 1))
        }
        b'a'..=b'z' | b'A'..=b'Z' | b'_' => {
            let end = run(begin, |byte| byte.is_ascii_alphanumeric() || b"-/_'".contains(&byte));
            // a letter of another alphabet may go on
            at(end).is_none_or(|byte| byte.is_ascii()).then_some((Some(TokenKind::Word), end))
        }
        b'0'..=b'9' => {
            let is_digit = |byte: u8| byte.is_ascii_digit();
            let is_digit_at = |place: usize| at(place).is_some_and(is_digit);
            let mut end = run(begin, is_digit);
            while at(end) == Some(b'.') && is_digit_at(end + 1) {
                end = run(end + 1, is_digit);
            }
            let alone = match at(end) {
                None | Some(b'\n' | b'\r') => true,
                // a decimal comma, or the fraction of `1 1/4`
                Some(b',') => !is_digit_at(end + 1),
                Some(b' ' | b'\t') => !is_digit_at(run(end, |byte| matches!(byte, b' ' | b'\t'))),
                Some(byte) => byte.is_ascii_alphabetic() || matches!(byte, b'%' | b':' | b'"'),
            };
            alone.then_some((Some(TokenKind::Number), end))
        }
        _ => None,
    }
}
