//! Owns which characters nobody can see, or only as a plain space, and what they are called: their names in the
//! Unicode standard, in lower case.

/// Characters that have no width or turn the direction of writing, with their names; a range that has many names
/// has one of them all.
const UNSEEN: &[(char, char, &str)] = &[
    ('\u{AD}', '\u{AD}', "soft hyphen"),
    ('\u{34F}', '\u{34F}', "combining grapheme joiner"),
    ('\u{61C}', '\u{61C}', "Arabic letter mark"),
    ('\u{115F}', '\u{1160}', "Hangul filler"),
    ('\u{17B4}', '\u{17B5}', "Khmer inherent vowel"),
    ('\u{180B}', '\u{180E}', "Mongolian separator"),
    ('\u{200B}', '\u{200B}', "zero width space"),
    ('\u{200C}', '\u{200C}', "zero width non-joiner"),
    ('\u{200D}', '\u{200D}', "zero width joiner"),
    ('\u{200E}', '\u{200E}', "left-to-right mark"),
    ('\u{200F}', '\u{200F}', "right-to-left mark"),
    ('\u{2028}', '\u{2028}', "line separator"),
    ('\u{2029}', '\u{2029}', "paragraph separator"),
    ('\u{202A}', '\u{202E}', "direction mark"),
    ('\u{2060}', '\u{2060}', "word joiner"),
    ('\u{2061}', '\u{2065}', "invisible operator"),
    ('\u{2066}', '\u{206F}', "direction mark"),
    ('\u{3164}', '\u{3164}', "Hangul filler"),
    ('\u{FEFF}', '\u{FEFF}', "zero width no-break space"),
    ('\u{FFA0}', '\u{FFA0}', "Hangul filler"),
    ('\u{FFF0}', '\u{FFFB}', "annotation mark"),
    ('\u{1D173}', '\u{1D17A}', "musical mark"),
    ('\u{E0000}', '\u{E0FFF}', "tag"),
];

/// What a character is called that nobody can see; `None` where it can be seen, or is a control character.
#[must_use]
pub fn unseen(c: char) -> Option<&'static str> {
    if c.is_ascii() {
        return None;
    }
    UNSEEN.iter().find(|(first, last, _)| (*first..=*last).contains(&c)).map(|row| row.2)
}

/// What a space is called that looks like the plain one and is another character.
#[must_use]
pub fn odd_space(c: char) -> Option<&'static str> {
    match c {
        '\u{A0}' => Some("no-break space"),
        '\u{1680}' | '\u{2000}'..='\u{200A}' | '\u{205F}' | '\u{2800}' => Some("space of another width"),
        '\u{202F}' => Some("narrow no-break space"),
        '\u{3000}' => Some("ideographic space"),
        _ => None,
    }
}

/// Whether a character could do harm on a terminal or hide from a reader: control characters but
/// tab, and characters that have no width or turn the direction of writing.
#[must_use]
pub fn is_harmful(c: char) -> bool {
    unseen(c).is_some() || (c.is_control() && c != '\t')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_are_seen_and_marks_are_not() {
        for seen in ['a', 'ö', 'ż', '中', '한', '🚵', '\u{301}', ' ', '\t', '?', '\u{FFFD}'] {
            assert_eq!((unseen(seen), is_harmful(seen)), (None, false), "{seen:?}");
        }
        assert_eq!(unseen('\u{200B}'), Some("zero width space"));
        assert!(['\u{0}', '\u{1B}', '\u{7F}', '\u{9B}', '\u{202E}', '\u{E0041}'].into_iter().all(is_harmful));
        assert_eq!(odd_space('\u{A0}'), Some("no-break space"));
        assert!(UNSEEN.is_sorted_by_key(|row| row.0));
    }
}
