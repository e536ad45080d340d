//! Owns the characters that look like others or cannot be seen: which they are, and the text without
//! them. Texts in quotes and comments are left alone here. It knows nothing of lines or words' meaning.

use crate::problem::{Code, Problem, SourceId, Span, unseen};
use crate::vocabulary::{HEADINGS, Heading, openers};

use super::cut::tokens;
use super::token::{Token, TokenKind};

/// Letters of other scripts that look like Latin ones.
const ALIKE: [(&str, &str); 3] = [
    ("абвеіјкмнорсѕтухАВЕІЈКМНОРЅСТУХ", "abbeijkmhopcstyxABEIJKMHOPSCTYX"),
    ("αενικορτυχΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "aevikoptuxABEZHIKMNOPTYX"),
    ("ıɑ", "ia"),
];

/// What is strange about one character, and what it should be.
enum Strange {
    Hidden,
    /// A byte order mark, which belongs to the beginning of a file.
    Glued,
    Wide(char),
    Alike(char),
}

/// The first problem of a stretch of lines with such characters, with the whole repair; `None` where
/// there are none. `offset` is where `text` stands in its source.
pub(super) fn strange(source: SourceId, text: &str, offset: usize) -> Option<Problem> {
    let left_alone = |token: &Token| {
        matches!(token.kind, TokenKind::Text | TokenKind::BentText | TokenKind::OpenText | TokenKind::Comment)
    };
    let mut apart = tokens(source, text, 0).into_iter().filter(left_alone).peekable();
    let mut found: Option<(usize, usize, Strange, char)> = None;
    let mut cleaned = String::new();
    let mut word = None;
    for (at, c) in text.char_indices() {
        while apart.peek().is_some_and(|token| token.span.end <= at) {
            apart.next();
        }
        if apart.peek().is_some_and(|token| token.span.start <= at) {
            cleaned.push(c);
            continue;
        }
        let strange = of(c, text, at, &mut word);
        match &strange {
            None => cleaned.push(c),
            Some(Strange::Wide(plain) | Strange::Alike(plain)) => cleaned.push(*plain),
            Some(Strange::Hidden | Strange::Glued) => {}
        }
        if let Some(strange) = strange {
            let end = at + c.len_utf8();
            found = Some(match found {
                None => (at, end, strange, c),
                Some((first, _, kind, one)) => (first, end, kind, one),
            });
        }
    }
    let (first, end, kind, c) = found?;
    // what stands before the first and behind the last of them is the same in both
    let behind = text.len() - end;
    let repair = cleaned.get(first..cleaned.len() - behind).unwrap_or("").to_owned();
    let span = Span { source, start: offset + first, end: offset + end };
    Some(told(&kind, c, span, word_at(&cleaned, first)).fix(repair))
}

/// The word of a cleaned text about a place.
fn word_at(text: &str, at: usize) -> &str {
    let at = text.floor_char_boundary(at.min(text.len()));
    let begin = text[..at].rfind(char::is_whitespace).map_or(0, |space| space + 1);
    let end = text[at..].find(char::is_whitespace).map_or(text.len(), |space| at + space);
    text.get(begin..end).unwrap_or("")
}

fn told(kind: &Strange, c: char, span: Span, word: &str) -> Problem {
    let point = format!("U+{:04X}", u32::from(c));
    match kind {
        Strange::Glued => Problem::new(
            Code::FilesJoined,
            span,
            format!("two files seem to be joined here: there is an invisible start-of-file mark ({point})"),
        )
        .help("take it out, and check that the two files belong together"),
        Strange::Hidden => Problem::new(
            Code::CharacterInvisible,
            span,
            format!("there is a {} here ({point}), which nobody can see", unseen(c).unwrap_or("character")),
        )
        .help(format!("take it out: {word}")),
        Strange::Wide(_) => Problem::new(
            Code::CharacterLookalike,
            span,
            format!("`{c}` is a wide character ({point}), not a normal one"),
        )
        .help(format!("write {word}")),
        Strange::Alike(plain) => Problem::new(
            Code::CharacterLookalike,
            span,
            format!("`{c}` looks like `{plain}` but comes from another alphabet ({point})"),
        )
        .help(format!("write {word}")),
    }
}

/// Where the word about the present place ends, and whether it is meant in Latin letters.
type Word = Option<(usize, bool)>;

fn of(c: char, text: &str, at: usize, word: &mut Word) -> Option<Strange> {
    match c {
        '\u{FEFF}' if at == 0 || text[..at].ends_with(['\n', '\r']) => Some(Strange::Glued),
        _ if c.is_ascii() => None,
        _ if unseen(c).is_some() => Some(Strange::Hidden),
        '\u{FF01}'..='\u{FF5E}' => char::from_u32(u32::from(c) - 0xFEE0).map(Strange::Wide),
        _ => alike(c).filter(|_| is_meant_latin(text, at, word)).map(Strange::Alike),
    }
}

fn alike(c: char) -> Option<char> {
    ALIKE.iter().find_map(|(others, latin)| {
        others.chars().position(|other| other == c).and_then(|place| latin.chars().nth(place))
    })
}

/// Whether the word about a place is meant in Latin letters: it has some, or it is a word of the
/// language once its letters are plain.
fn is_meant_latin(text: &str, at: usize, known: &mut Word) -> bool {
    if let Some((_, meant)) = known.filter(|(end, _)| at < *end) {
        return meant;
    }
    let letter = |c: char| c.is_alphanumeric() || c == '-';
    let begin = text[..at].rfind(|c| !letter(c)).map_or(0, |end| text.ceil_char_boundary(end + 1));
    let end = text[at..].find(|c| !letter(c)).map_or(text.len(), |end| at + end);
    let meant = is_latin(text.get(begin..end).unwrap_or(""));
    *known = Some((end, meant));
    meant
}

fn is_latin(word: &str) -> bool {
    if word.chars().any(|c| c.is_ascii_alphabetic()) {
        return true;
    }
    let plain: String = word.chars().map(|c| alike(c).unwrap_or(c)).flat_map(char::to_lowercase).collect();
    Heading::named(&plain).is_some()
        || HEADINGS.iter().any(|row| openers(row.heading).contains(&plain.as_str()))
}
