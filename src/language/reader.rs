//! Owns the walk over the pieces of one line: looking, taking, and saying what was expected.
//! It knows nothing of which phrase belongs where.

use std::borrow::Cow;

use crate::physics::{Number, parse_decimal, parse_fraction};
use crate::problem::{Code, Problem, Span, is_harmful, odd_space, unseen};
use crate::vocabulary::{lower, nearest};

use super::token::{Token, TokenKind, plain_text};

/// What a phrase reader gives: the phrase with its place, or why there is none.
pub(super) type Read<T> = Result<(T, Span), Box<Problem>>;

/// The pieces of one line, without comments, and how far they were read.
pub(super) struct Reader<'a> {
    text: &'a str,
    tokens: Vec<Token>,
    at: usize,
    /// The place of the line itself, for what is missing at its end.
    line: Span,
    /// Small things that were noticed and understood all the same.
    pub noticed: Vec<Problem>,
    /// The unit of the latest amount is known elsewhere; so much is one of it here.
    pub converted: Option<Number>,
}

/// A word that is meant by another one; of two letters they may be swapped.
fn like<'a>(word: &str, meant: &'a str) -> Option<&'a str> {
    let swapped = meant.len() == 2 && word.chars().rev().eq(meant.chars());
    nearest(word, std::iter::once(meant)).or(swapped.then_some(meant))
}

impl<'a> Reader<'a> {
    pub fn new(text: &'a str, line: Span, mut tokens: Vec<Token>) -> Self {
        tokens.retain(|token| token.kind != TokenKind::Comment);
        Reader { text, tokens, at: 0, line, noticed: Vec::new(), converted: None }
    }

    pub fn peek(&self) -> Option<Token> {
        self.tokens.get(self.at).copied()
    }

    pub fn peek_second(&self) -> Option<Token> {
        self.ahead(1)
    }

    /// The piece so many pieces on.
    pub fn ahead(&self, pieces: usize) -> Option<Token> {
        self.tokens.get(self.at + pieces).copied()
    }

    /// The word so many pieces on, in lower case.
    pub fn word_ahead(&self, pieces: usize) -> Option<Cow<'a, str>> {
        let token = self.tokens.get(self.at + pieces).filter(|token| token.kind == TokenKind::Word);
        token.map(|token| lower(self.raw(token.span)))
    }

    pub fn skip(&mut self) {
        self.at += 1;
    }

    pub fn at_end(&self) -> bool {
        self.at >= self.tokens.len()
    }

    /// The text of a piece as it stands.
    pub fn raw(&self, span: Span) -> &'a str {
        self.text.get(span.start..span.end).unwrap_or("")
    }

    /// The word that comes next, in lower case.
    pub fn word(&self) -> Option<Cow<'a, str>> {
        self.peek().filter(|token| token.kind == TokenKind::Word).map(|token| lower(self.raw(token.span)))
    }

    pub fn second_word(&self) -> Option<Cow<'a, str>> {
        let second = self.peek_second().filter(|token| token.kind == TokenKind::Word);
        second.map(|token| lower(self.raw(token.span)))
    }

    /// Where the clause or the beginning of the line starts in which a place stands: at the comma before it.
    pub fn segment_of(&self, place: usize) -> usize {
        let before = |token: &&Token| token.kind == TokenKind::Comma && token.span.end <= place;
        let comma = self.tokens.iter().rev().find(before);
        comma.or(self.tokens.first()).map_or(place, |token| token.span.start)
    }

    /// Takes the next piece where it is this word; a dash between numbers counts as `to`.
    pub fn take_word(&mut self, word: &str) -> Option<Span> {
        let token = self.peek()?;
        let dash = word == "to" && token.kind == TokenKind::Dash;
        let same = token.kind == TokenKind::Word && lower(self.raw(token.span)) == word;
        (dash || same).then(|| {
            self.skip();
            token.span
        })
    }

    /// Takes these words, parted by single spaces in `words`, where all of them come next.
    pub fn take_words(&mut self, words: &str) -> Option<Span> {
        let begin = self.at;
        let mut span: Option<Span> = None;
        for word in words.split(' ') {
            match self.take_word(word) {
                Some(here) => span = Some(span.map_or(here, |span| span.to(here))),
                None => {
                    self.at = begin;
                    return None;
                }
            }
        }
        span
    }

    /// Takes these words, as `take_words` does, and a single one that is misspelt too, which is noticed.
    ///
    /// # Errors
    /// Something else stands here.
    pub fn take_or_guess(&mut self, words: &str) -> Result<Span, Box<Problem>> {
        if let Some(span) = self.take_words(words) {
            return Ok(span);
        }
        let wanted = self.wants(&format!("`{words}`"));
        let Some((word, span)) = self.word().zip(self.peek().map(|token| token.span)) else {
            return Err(wanted);
        };
        let meant = like(&word, words).ok_or(wanted)?;
        self.noticed.push(misspelt(&word, meant, span));
        self.skip();
        Ok(span)
    }

    /// Whether the next piece is this word misspelt, and not the last one.
    pub fn is_misspelt(&self, meant: &'static str) -> bool {
        self.peek_second().is_some_and(|token| token.kind != TokenKind::Comma)
            && self.word().is_some_and(|word| word != meant && like(&word, meant).is_some())
    }

    /// Whether it is, between two numbers.
    pub fn is_misspelt_joint(&self, meant: &'static str) -> bool {
        self.peek_second().is_some_and(|token| token.kind == TokenKind::Number) && self.is_misspelt(meant)
    }

    /// Takes the next piece where it is this word between two others; a misspelt one is noticed.
    pub fn take_joint(&mut self, word: &'static str) -> Option<Span> {
        let guess =
            |reader: &mut Self| reader.is_misspelt(word).then(|| reader.take_or_guess(word).ok()).flatten();
        self.take_word(word).or_else(|| guess(self))
    }

    /// The end of what was read so far.
    pub fn here(&self) -> Span {
        match self.at.checked_sub(1).and_then(|last| self.tokens.get(last)) {
            Some(token) => token.span,
            None => Span { end: self.line.start, ..self.line },
        }
    }

    /// A problem that says what is wanted here and what stands here instead.
    pub fn wants(&self, wanted: &str) -> Box<Problem> {
        match self.peek() {
            Some(token) if matches!(self.raw(token.span), ":" | "=") => {
                let mark = self.raw(token.span);
                let message = format!("take out the `{mark}`");
                let problem = Problem::new(Code::WordUnexpected, token.span, message);
                Box::new(if wanted.starts_with("`to`") {
                    problem.help("write `to`").fix("to")
                } else {
                    problem.help("take it out").fix("")
                })
            }
            Some(token) => Box::new(Problem::new(
                code_for(token),
                token.span,
                format!("write {wanted} here, not {}", self.describe(token)),
            )),
            None => {
                let last = self.here();
                Box::new(Problem::new(
                    Code::LineUnfinished,
                    last,
                    format!("write {wanted} after `{}`; the line stops too soon", brief(self.raw(last))),
                ))
            }
        }
    }

    /// Whether some text of this line is not closed, so that what follows cannot be read.
    pub fn has_open_quote(&self) -> bool {
        self.tokens.iter().any(|token| token.kind == TokenKind::OpenText)
    }

    /// A piece, named for a person.
    pub fn describe(&self, token: Token) -> String {
        let raw = self.raw(token.span);
        match token.kind {
            TokenKind::Comma => "a comma".to_owned(),
            TokenKind::Text => format!("the text {}", brief(raw)),
            TokenKind::Junk => match raw.chars().next() {
                Some(c) if raw.chars().count() == 1 => {
                    format!("the character {} (U+{:04X})", c.escape_debug(), u32::from(c))
                }
                _ => format!("`{}`", brief(raw).escape_debug()),
            },
            _ => format!("`{}`", brief(raw)),
        }
    }

    /// The quote with which a text begins.
    pub fn mark_of(&self, text: Token) -> Span {
        text.span.first(self.text)
    }

    /// Whether a text comes next, however it is quoted.
    pub fn at_text(&self) -> bool {
        let text = |kind| matches!(kind, TokenKind::Text | TokenKind::BentText | TokenKind::OpenText);
        self.peek().is_some_and(|token| text(token.kind))
    }

    /// A text in quotes.
    pub fn text(&mut self, wanted: &str) -> Read<String> {
        let Some(token) = self.peek() else { return Err(self.wants(wanted)) };
        let content = plain_text(self.raw(token.span));
        if token.kind == TokenKind::Text && content.bytes().all(|byte| (b' '..=b'~').contains(&byte)) {
            self.skip();
            return Ok((content.to_owned(), token.span));
        }
        let hidden = content.chars().find(|&c| is_harmful(c));
        // a space that only looks like one is one, so that names which look alike are alike
        let spaced: String = content.chars().map(|c| if odd_space(c).is_some() { ' ' } else { c }).collect();
        let plain: String = spaced.chars().filter(|&c| !is_harmful(c)).collect();
        let fixed = format!("\"{plain}\"");
        match token.kind {
            TokenKind::Text => {}
            TokenKind::BentText if hidden.is_none() => self.noticed.push(
                Problem::new(Code::QuotesCurly, token.span, "these are curly quotes")
                    .help(format!("write {fixed}"))
                    .fix(fixed.clone()),
            ),
            TokenKind::BentText => {}
            TokenKind::OpenText => {
                let open = self.mark_of(token);
                self.noticed.push(
                    Problem::new(Code::QuoteMissing, open, "the closing quote is missing")
                        .help("put \" at the end of the text"),
                );
            }
            _ => return Err(self.wants(wanted)),
        }
        self.skip();
        if let Some(c) = hidden {
            let name = unseen(c).unwrap_or("control character");
            let problem = Problem::pointing(
                Code::TextInvisible,
                token.span,
                format!("this text has an invisible character in it: {name} (U+{:04X})", u32::from(c)),
            );
            self.noticed.push(match token.kind {
                TokenKind::OpenText => problem.help("type the text again by hand"),
                _ => problem.help(format!("write {fixed}")).fix(fixed),
            });
        }
        Ok((spaced, token.span))
    }

    /// A bare number.
    pub fn number(&mut self, wanted: &str) -> Read<Number> {
        let Some(token) = self.peek() else { return Err(self.wants(wanted)) };
        let raw = self.raw(token.span);
        if token.kind == TokenKind::CommaNumber {
            let pointed = raw.replace(',', ".");
            return Err(Box::new(
                Problem::new(
                    Code::DecimalComma,
                    token.span,
                    format!("`{raw}` has a comma instead of a point"),
                )
                .help(format!("write {pointed}; if these are two numbers, put a space after the comma"))
                .fix(pointed),
            ));
        }
        if token.kind != TokenKind::Number {
            return Err(self.wants(wanted));
        }
        let plain = raw.replace('\u{2212}', "-");
        if let Some((whole, "000")) = plain.split_once('.') {
            return Err(Box::new(
                Problem::new(
                    Code::NumberUnclear,
                    token.span,
                    format!("`{raw}` could be a decimal or a number in the thousands"),
                )
                .help(format!("write {whole} or {whole}000")),
            ));
        }
        match parse_decimal(&plain).or_else(|| parse_fraction(&plain)) {
            Some(number) => {
                self.skip();
                Ok((number, token.span))
            }
            None => Err(Box::new(
                Problem::new(
                    Code::NumberUnclear,
                    token.span,
                    format!("`{raw}` is not a number clickwise can use"),
                )
                .help("write a number such as 4.5 or 1/4 (up to a million, six decimals)"),
            )),
        }
    }
}

fn code_for(token: Token) -> Code {
    match token.kind {
        TokenKind::Junk => Code::CharacterUnknown,
        TokenKind::Comma => Code::LineUnfinished,
        _ => Code::WordUnexpected,
    }
}

/// A piece in a message: its first forty characters.
pub(super) fn brief(raw: &str) -> String {
    match raw.char_indices().nth(40) {
        Some((end, _)) => format!("{}...", &raw[..end]),
        None => raw.to_owned(),
    }
}

/// The problem of a word that is nearly one of the language.
pub(super) fn misspelt(word: &str, meant: &str, span: Span) -> Problem {
    Problem::new(Code::WordMisspelt, span, format!("`{}` is not a word you can use here", brief(word)))
        .help(format!("did you mean `{meant}`?"))
        .fix(meant)
}

/// The problem of a comma that parts nothing.
pub(super) fn comma_extra(span: Span) -> Problem {
    Problem::new(Code::CommaExtra, span, "take out this extra comma").fix("")
}
