//! Where the parser and the grammar are known to differ over a line, and why.

use clickwise::language::{EntryLine, LineKind, Node, ScaleNode, TokenKind, parse, tokens};
use clickwise::problem::{Code, Sources};
use clickwise::vocabulary::CLAUSES;

/// A difference that stays.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Known {
    /// `tune every rebound #t most 6 laps`: a comment, as it should be, but one that seems to have cost a clause its
    /// first letter. The parser is careful; the grammar has no opinion of what a comment says.
    CommentHidesClause,
    /// A letter of another script that looks like a Latin one, or one that nobody can see, within a word. Which
    /// letters look alike is no matter of grammar.
    LettersAlike,
    /// The sign of the kelvin, a letter that is `k` in lower case: the parser reads `for\u{212A}`.
    Kelvin,
    /// `lockout open, half-open, closed`: the parser reads on over names behind commas to tell of them, and where one
    /// of them has a sign in it says nothing, so all but the first are lost. The parser is wrong.
    NamesBehindCommas,
}

impl Known {
    pub const ALL: [Known; 4] =
        [Known::CommentHidesClause, Known::LettersAlike, Known::Kelvin, Known::NamesBehindCommas];

    /// The difference over a text that the parser complains of in these words, or that is not recognised.
    pub fn of(text: &str, told: &[Code], recognised: bool) -> Option<Known> {
        match (told, recognised) {
            ([Code::CommentGlued], true) if hides(text) => Some(Known::CommentHidesClause),
            ([Code::CharacterAlike | Code::CharacterHidden], true) if !text.is_ascii() => {
                Some(Known::LettersAlike)
            }
            ([], false) if text.contains('\u{212A}') => Some(Known::Kelvin),
            ([], false) if has_names_behind_commas(text) => Some(Known::NamesBehindCommas),
            _ => None,
        }
    }
}

/// Whether a comment begins with a word right behind its `#`.
fn hides(text: &str) -> bool {
    text.split('#').skip(1).any(|comment| comment.starts_with(char::is_alphabetic))
}

/// Whether a comma and a word that opens no clause are behind the only name of a scale.
fn has_names_behind_commas(text: &str) -> bool {
    let mut sources = Sources::default();
    let id = sources.add("x.tune", text);
    let (tree, _) = parse(id, text);
    let entries = tree.lines.iter().filter_map(|line| match &line.kind {
        LineKind::Entry(entry) => Some((entry, line.span.end)),
        _ => None,
    });
    let scale = |entry: &EntryLine| {
        entry.fields.0.iter().find_map(|(node, span)| match node {
            Node::Scale(scale) => {
                matches!(&**scale, ScaleNode::Names(names) if names.len() == 1).then_some(*span)
            }
            _ => None,
        })
    };
    let opens = |word: &str| CLAUSES.iter().any(|row| row.words.split(' ').next() == Some(word));
    entries.filter_map(|(entry, end)| scale(entry).map(|span| (span.end, end))).any(|(start, end)| {
        let behind = &text[start..end];
        let pieces = tokens(id, behind, 0);
        let [comma, word, ..] = &pieces[..] else { return false };
        let raw = &behind[word.span.start..word.span.end];
        (comma.kind, word.kind) == (TokenKind::Comma, TokenKind::Word) && !opens(&raw.to_lowercase())
    })
}
