//! Owns the words that the language had once. A file lives longer than a word: what was ever a word is read for
//! ever, and whatever the program writes has the word of today. It knows nothing of how lines are read.

use crate::search::Effort;

use super::AnswerWord;
use super::openers::first_word;
use super::words::{Clause, Entry, HEADINGS, Heading};

const HEADINGS_ONCE: &[(&str, Heading)] = &[("trail", Heading::Loop)];

const ENTRIES_ONCE: &[(&str, Heading, Entry)] =
    &[("second question", Heading::Plan, Entry::CompareTwice), ("read to", Heading::Part, Entry::MeasuredTo)];

const CLAUSES_ONCE: &[(&str, Heading, Clause)] = &[("begin", Heading::Steps, Clause::Try)];

const EFFORTS_ONCE: &[(&str, Effort)] = &[("usual", Effort::Normal)];

const ANSWERS_ONCE: &[(&str, AnswerWord)] = &[
    ("used", AnswerWord::Rode),
    ("keep", AnswerWord::Finish),
    ("k", AnswerWord::Finish),
    ("proof", AnswerWord::Trial),
    ("p", AnswerWord::Trial),
];

/// What was no answer once: then it could be the name of a setting.
const NO_ANSWERS_ONCE: &[&str] = &["rode", "at", "finish", "f", "trial", "t"];

impl Heading {
    /// The heading that a word in lower case is, or was once.
    #[must_use]
    pub fn named(word: &str) -> Option<Heading> {
        let now = HEADINGS.iter().find(|row| row.word == word).map(|row| row.heading);
        now.or_else(|| HEADINGS_ONCE.iter().find(|row| row.0 == word).map(|row| row.1))
    }

    /// The words that entries under it had once.
    pub(super) fn entries_once(self) -> impl Iterator<Item = &'static str> {
        ENTRIES_ONCE.iter().filter(move |row| row.1 == self).map(|row| row.0)
    }

    /// The words that clauses under it had once.
    pub(super) fn clauses_once(self) -> impl Iterator<Item = &'static str> {
        CLAUSES_ONCE.iter().filter(move |row| row.1 == self).map(|row| row.0)
    }
}

impl Entry {
    /// The words of today.
    #[must_use]
    pub fn words(self) -> &'static str {
        self.row().words
    }

    /// Its words, of today or of once, that begin with this one.
    #[must_use]
    pub fn words_from(self, first: &str) -> &'static str {
        let once = ENTRIES_ONCE.iter().find(|row| row.2 == self && first_word(row.0) == first);
        once.map_or(self.words(), |row| row.0)
    }

    /// The entry under a heading whose words once began with this one.
    #[must_use]
    pub fn once(under: Heading, first: &str) -> Option<Entry> {
        ENTRIES_ONCE.iter().find(|row| row.1 == under && first_word(row.0) == first).map(|row| row.2)
    }
}

impl Clause {
    /// The clause that this word opened once.
    #[must_use]
    pub fn once(word: &str) -> Option<Clause> {
        CLAUSES_ONCE.iter().find(|row| row.0 == word).map(|row| row.2)
    }
}

impl Effort {
    /// The effort that this word was once.
    #[must_use]
    pub fn once(word: &str) -> Option<Effort> {
        EFFORTS_ONCE.iter().find(|row| row.0 == word).map(|row| row.1)
    }
}

impl AnswerWord {
    /// The answer that a word or key in lower case was once.
    pub(super) fn once(word: &str) -> Option<AnswerWord> {
        ANSWERS_ONCE.iter().find(|row| row.0 == word).map(|row| row.1)
    }

    /// Whether a word is an answer today and was none once.
    #[must_use]
    pub fn is_new(word: &str) -> bool {
        NO_ANSWERS_ONCE.iter().any(|new| new.eq_ignore_ascii_case(word))
    }
}

/// Whether a word that can open a line or a clause was one once and is none today.
#[must_use]
pub fn opens_no_more(word: &str) -> bool {
    let headings = HEADINGS_ONCE.iter().map(|row| row.0);
    let entries = ENTRIES_ONCE.iter().map(|row| row.0);
    let clauses = CLAUSES_ONCE.iter().map(|row| row.0);
    headings.chain(entries).chain(clauses).any(|words| first_word(words) == word)
}

/// What was said once and what is said today, in the order of the language: headings, entries, clauses and other words.
pub fn renamed() -> impl Iterator<Item = (&'static str, &'static str)> {
    let headings = HEADINGS_ONCE.iter().map(|row| (row.0, row.1.row().word));
    let entries = ENTRIES_ONCE.iter().map(|row| (row.0, row.2.words()));
    let clauses = CLAUSES_ONCE.iter().map(|row| (row.0, row.2.row().words));
    let efforts = EFFORTS_ONCE.iter().map(|row| (row.0, row.1.word()));
    headings.chain(entries).chain(clauses).chain(efforts)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Word for word, so that a file is renewed word for word.
    #[test]
    fn words_of_once_are_as_many_as_those_of_today_and_no_word_of_today() {
        let today: Vec<_> = renamed().map(|(_, now)| now).collect();
        for (once, now) in renamed() {
            assert_eq!(once.split(' ').count(), now.split(' ').count(), "{once}");
            assert!(!today.contains(&once), "{once}");
        }
    }
}
