//! Owns one logical line as it is written: its entry word, its phrases and the comments between, and
//! how it is broken into lines. It knows nothing of its neighbours.

use crate::language::{EntryLine, Line, LineKind, Node, Token, TokenKind, tokens};
use crate::vocabulary::Clause;

use super::spelling::{Places, spelt};

/// The longest line, in characters.
const WIDEST: usize = 100;
/// What stands before a comment at a line's end.
const BEFORE_COMMENT: &str = "   ";

/// One logical line.
#[derive(Debug, Default)]
pub(super) struct Written {
    head: String,
    phrases: Vec<Phrase>,
}

/// What stands between two commas, or between a comma and a comment.
#[derive(Debug, Default)]
struct Phrase {
    text: String,
    comma: bool,
    /// A row of a table that was begun before.
    row: bool,
    /// A new line follows.
    broken: bool,
    /// At the end of its line.
    comment: Option<String>,
    /// On lines of their own below it.
    comments: Vec<String>,
}

impl Phrase {
    /// The text with its comma.
    fn whole(&self) -> String {
        let comma = if self.comma { "," } else { "" };
        format!("{}{comma}", self.text)
    }

    fn width(&self) -> usize {
        self.text.chars().count() + usize::from(self.comma)
    }

    fn has_comments(&self) -> bool {
        self.comment.is_some() || !self.comments.is_empty()
    }
}

/// A logical line that could be read, piece by piece.
pub(super) fn written(line: &Line, text: &str) -> Written {
    let places = Places::of(line);
    let stretch = text.get(line.span.start..line.span.end).unwrap_or("");
    let pieces = tokens(line.span.source, stretch, line.span.start);
    let mut head_end = head_end(line, &pieces);
    let mut written = Written::default();
    let mut phrase = Phrase::default();
    let mut before: Option<Token> = None;
    // where the last piece but a comma ended, and whether a new line began since
    let (mut end, mut new_line) = (line.span.start, false);
    for token in pieces {
        new_line |= text.get(end..token.span.start).unwrap_or("").contains('\n');
        end = token.span.end;
        let raw = text.get(token.span.start..token.span.end).unwrap_or("");
        match token.kind {
            TokenKind::Comma => {}
            TokenKind::Comment => {
                let comment = raw.trim_end().to_owned();
                if new_line || phrase.has_comments() {
                    phrase.comments.push(comment);
                } else {
                    phrase.comment = Some(comment);
                }
                head_end = None;
            }
            _ => {
                let clause = clause_at(line, token);
                if clause.is_some() || phrase.has_comments() {
                    phrase.comma = clause.is_some();
                    phrase.broken = phrase.has_comments() || (clause.is_some() && new_line);
                    let row = if clause.is_some() { clause == Some(Clause::Row) } else { phrase.row };
                    written.phrases.push(std::mem::take(&mut phrase));
                    phrase.row = row;
                }
                let part_of_head = head_end.is_some_and(|end| token.span.end <= end);
                let into = if part_of_head { &mut written.head } else { &mut phrase.text };
                if !into.is_empty() {
                    into.push(' ');
                }
                into.push_str(&spelt(token, before, text, &places));
                before = Some(token);
                new_line = false;
            }
        }
    }
    written.phrases.push(phrase);
    written
}

/// Where the entry word of a line ends.
fn head_end(line: &Line, pieces: &[Token]) -> Option<usize> {
    let LineKind::Entry(entry) = &line.kind else { return None };
    let words = entry.entry.words();
    if words.is_empty() {
        let knob = entry.fields.0.iter().find(|(node, _)| matches!(node, Node::Knob(_)));
        return knob.map(|(_, span)| span.end);
    }
    let pieces = pieces.iter().filter(|token| token.kind != TokenKind::Comment);
    pieces.take(words.split(' ').count()).last().map(|token| token.span.end)
}

/// The clause that begins at a piece.
fn clause_at(line: &Line, token: Token) -> Option<Clause> {
    let LineKind::Entry(EntryLine { clauses, .. }) = &line.kind else { return None };
    let clause = clauses.binary_search_by_key(&token.span.start, |clause| clause.span.start).ok()?;
    Some(clauses[clause].clause)
}

impl Written {
    /// The entry word.
    pub fn head(&self) -> &str {
        &self.head
    }

    /// Takes away the comments below its last phrase, which only a comma that parts nothing joined to it.
    pub fn take_comments_below(&mut self) -> Vec<String> {
        self.phrases.last_mut().map_or(Vec::new(), |last| std::mem::take(&mut last.comments))
    }

    /// The most bytes that it could take, however it is broken.
    pub fn most_bytes(&self) -> usize {
        let comments = self.phrases.iter().flat_map(|phrase| phrase.comment.iter().chain(&phrase.comments));
        let texts = self.phrases.iter().map(|phrase| &phrase.text).chain(comments);
        self.head.len() + texts.map(|text| text.len() + WIDEST / 2).sum::<usize>()
    }

    /// Its lines. The entry word stands at `indent` and is filled up to `width`; what does not find
    /// room goes on at `rest`.
    pub fn lines(&self, indent: usize, width: usize, rest: usize) -> Vec<String> {
        let mut lines = Lines { done: Vec::new(), line: " ".repeat(indent), filled: false, rest };
        if !self.head.is_empty() {
            let filled = if self.phrases.first().is_some_and(|first| first.text.is_empty()) {
                self.head.clone()
            } else {
                format!("{:width$} ", self.head)
            };
            lines.line.push_str(&filled);
        }
        for run in self.phrases.split_inclusive(|phrase| phrase.broken) {
            lines.run(run);
        }
        lines.done
    }
}

/// Lines that are being filled.
struct Lines {
    done: Vec<String>,
    line: String,
    /// Whether a phrase stands in the present line.
    filled: bool,
    rest: usize,
}

impl Lines {
    /// Phrases that stand on one line where there is room; a table is kept together before others.
    fn run(&mut self, run: &[Phrase]) {
        if self.has_room(run) {
            self.place(run);
        } else {
            let mut begin = 0;
            while begin < run.len() {
                let more = run[begin + 1..].iter().position(|phrase| !phrase.row);
                let end = more.map_or(run.len(), |more| begin + 1 + more);
                self.table(&run[begin..end]);
                begin = end;
            }
        }
        let last = run.last();
        if let Some(comment) = last.and_then(|last| last.comment.as_ref()) {
            self.line.push_str(BEFORE_COMMENT);
            self.line.push_str(comment);
        }
        self.end();
        for comment in last.into_iter().flat_map(|last| &last.comments) {
            self.line.push_str(comment);
            self.end();
        }
    }

    fn table(&mut self, phrases: &[Phrase]) {
        if self.filled && !self.has_room(phrases) {
            self.end();
        }
        for phrase in phrases.chunks(1) {
            if self.filled && !self.has_room(phrase) {
                self.end();
            }
            self.place(phrase);
        }
    }

    fn has_room(&self, phrases: &[Phrase]) -> bool {
        let width: usize = phrases.iter().map(|phrase| phrase.width() + 1).sum();
        self.line.chars().count() + usize::from(self.filled) + width <= WIDEST + 1
    }

    fn place(&mut self, phrases: &[Phrase]) {
        for phrase in phrases {
            if self.filled {
                self.line.push(' ');
            }
            self.line.push_str(&phrase.whole());
            self.filled = true;
        }
    }

    /// Ends the present line and begins the next.
    fn end(&mut self) {
        let line = std::mem::replace(&mut self.line, " ".repeat(self.rest));
        self.done.push(line.trim_end().to_owned());
        self.filled = false;
    }
}
