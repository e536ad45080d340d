//! Where the parser and the grammar are known to differ over a line, and why.

use clickwise::problem::Code;

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
}

impl Known {
    pub const ALL: [Known; 3] = [Known::CommentHidesClause, Known::LettersAlike, Known::Kelvin];

    /// The difference over a text that the parser complains of in these words, or that is not recognised.
    pub fn of(text: &str, told: &[Code], recognised: bool) -> Option<Known> {
        match (told, recognised) {
            ([Code::CommentNoSpace], true) if hides(text) => Some(Known::CommentHidesClause),
            ([Code::CharacterLookalike | Code::CharacterInvisible], true) if !text.is_ascii() => {
                Some(Known::LettersAlike)
            }
            ([], false) if text.contains('\u{212A}') => Some(Known::Kelvin),
            _ => None,
        }
    }
}

/// Whether a comment begins with a word right behind its `#`.
fn hides(text: &str) -> bool {
    text.split('#').skip(1).any(|comment| comment.starts_with(char::is_alphabetic))
}
