//! Owns which words of a file are of once, and the words of today for them, word for word. It knows nothing of what
//! they mean: words of once are read without a complaint.

use crate::problem::{Fix, Span, repaired};
use crate::vocabulary::{Clause, Effort, Entry, FIRST, Heading, lower};

use super::cut::tokens;
use super::token::{Token, TokenKind};
use super::tree::{ClauseLine, EntryLine, Line, LineKind, Node, Tree};

/// A file that was read in the words of today, with the `first` that can be left out; `None` where it has no others.
/// The lines of `tree` are those of `text`.
#[must_use]
pub fn renewed(tree: &Tree, text: &str) -> Option<String> {
    let mut fixes = Fixes { text, fixes: Vec::new() };
    for line in &tree.lines {
        match &line.kind {
            LineKind::Heading(heading) => fixes.heading(heading.heading, heading.word),
            LineKind::Entry(entry) => fixes.entry(line, entry),
            LineKind::Blank | LineKind::Unread(_) => {}
        }
    }
    let fixes: Vec<&Fix> = fixes.fixes.iter().collect();
    (!fixes.is_empty()).then(|| repaired(text, &fixes).text)
}

struct Fixes<'a> {
    text: &'a str,
    fixes: Vec<Fix>,
}

impl Fixes<'_> {
    fn raw(&self, span: Span) -> &str {
        self.text.get(span.start..span.end).unwrap_or("")
    }

    fn put(&mut self, span: Span, text: &str) {
        self.fixes.push(Fix { span, text: text.to_owned() });
    }

    fn heading(&mut self, heading: Heading, word: Span) {
        let today = heading.row().word;
        let raw = lower(self.raw(word));
        if raw != today && Heading::named(&raw) == Some(heading) {
            self.put(word, today);
        }
    }

    fn entry(&mut self, line: &Line, entry: &EntryLine) {
        let first = lower(self.raw(entry.word)).into_owned();
        if Entry::once(entry.under, &first) == Some(entry.entry) {
            self.words(line, entry.word, entry.entry.words_from(&first), entry.entry.words());
        }
        for (node, span) in &entry.fields.0 {
            if let Node::Effort(effort) = node
                && Effort::once(&lower(self.raw(*span))) == Some(*effort)
            {
                self.put(*span, effort.word());
            }
        }
        for clause in &entry.clauses {
            self.clause(clause);
        }
    }

    /// The opening words of an entry, one after the other: comments and line ends may be between them.
    fn words(&mut self, line: &Line, begin: Span, once: &str, today: &str) {
        let stretch = self.text.get(begin.start..line.span.end).unwrap_or("");
        let is_word = |token: &Token| token.kind == TokenKind::Word;
        let words: Vec<Token> =
            tokens(line.span.source, stretch, begin.start).into_iter().filter(is_word).collect();
        for ((token, once), today) in words.into_iter().zip(once.split(' ')).zip(today.split(' ')) {
            if lower(self.raw(token.span)) == once {
                self.put(token.span, today);
            }
        }
    }

    fn clause(&mut self, clause: &ClauseLine) {
        let today = clause.clause.row().words;
        let word = Span { end: clause.span.start + self.first_word(clause.span).len(), ..clause.span };
        if Clause::once(&lower(self.raw(word))) == Some(clause.clause) {
            self.put(word, today);
        }
        for (node, span) in &clause.fields.0 {
            let is_alone = self.raw(*span).split_whitespace().nth(1).is_none();
            if matches!(node, Node::WayFirst(_)) && is_alone {
                self.put(span.after(), &format!(" {FIRST}"));
            }
        }
    }

    fn first_word(&self, span: Span) -> &str {
        let raw = self.raw(span);
        raw.split(|c: char| !c.is_alphanumeric()).next().unwrap_or("")
    }
}
