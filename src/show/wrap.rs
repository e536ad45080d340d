//! Owns the breaking of lines to a width, and the cleaning of texts that come from a stranger.

use std::borrow::Cow;

use textwrap::{Options, WordSplitter};

use crate::problem::is_harmful;

/// Breaks a text to a width; further lines are indented like the first, and by `hang` more.
#[must_use]
pub fn wrapped(text: &str, width: usize, indent: &str, hang: &str) -> Vec<String> {
    let text = clean(text);
    let further = format!("{indent}{hang}");
    let options = Options::new(width.max(20))
        .initial_indent(indent)
        .subsequent_indent(&further)
        .word_splitter(WordSplitter::NoHyphenation);
    textwrap::wrap(&text, options).into_iter().map(|line| line.trim_end().to_owned()).collect()
}

/// A text without control and direction characters, which could do harm on a terminal. Each is
/// replaced by a character of the same length in bytes, so that places stay where they are.
#[must_use]
pub fn clean(text: &str) -> String {
    cleaned(text).into_owned()
}

/// The same without a copy where there is none of them.
#[must_use]
pub fn cleaned(text: &str) -> Cow<'_, str> {
    let plain = |byte: u8| matches!(byte, b' '..=b'~' | b'\n' | b'\t');
    if text.bytes().all(plain) || !text.chars().any(|c| c != '\n' && is_harmful(c)) {
        return Cow::Borrowed(text);
    }
    let harmless = |c: char| match c.len_utf8() {
        _ if c == '\n' || !is_harmful(c) => c,
        1 => '?',
        2 => '\u{BF}',
        3 => '\u{FFFD}',
        _ => '\u{1FBC4}',
    };
    Cow::Owned(text.chars().map(harmless).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_harmful_is_left_and_no_byte_moves() {
        let text = "a\u{1b}[31m\u{202e}b\u{9b}\r";
        let cleaned = clean(text);
        assert_eq!(cleaned.len(), text.len());
        assert!(cleaned.chars().all(|c| !c.is_control() && c != '\u{202e}'));
    }

    #[test]
    fn no_line_is_wider_than_asked() {
        for width in [20, 38, 80] {
            let text = "Set it to 12 clicks from closed, unbelievablylongwordsthatneverendatallreally";
            assert!(wrapped(text, width, "  ", "  ").iter().all(|line| line.chars().count() <= width));
        }
    }
}
