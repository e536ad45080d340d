//! Owns which word opens a line under a heading, and which goes on from the line above: it follows from the
//! tables. It knows nothing of how phrases are read.

use std::sync::LazyLock;

use super::words::{CLAUSES, Clause, ClauseRow, ENTRIES, Entry, EntryRow, HEADINGS, Heading, HeadingRow};
use super::{KNOBS, OWN, PARTS};

impl Heading {
    /// Its row in the vocabulary.
    #[must_use]
    pub fn row(self) -> &'static HeadingRow {
        HEADINGS.iter().find(|row| row.heading == self).unwrap_or(&HEADINGS[0])
    }

    /// Whether entries may follow it.
    #[must_use]
    pub fn has_entries(self) -> bool {
        ENTRIES.iter().any(|row| row.under == self)
    }
}

impl Entry {
    /// Its row in the vocabulary.
    #[must_use]
    pub fn row(self) -> &'static EntryRow {
        ENTRIES.iter().find(|row| row.entry == self).unwrap_or(&ENTRIES[0])
    }
}

impl Clause {
    /// Its row in the vocabulary.
    #[must_use]
    pub fn row(self) -> &'static ClauseRow {
        CLAUSES.iter().find(|row| row.clause == self).unwrap_or(&CLAUSES[0])
    }
}

/// The words inside phrases that never open a line of their own.
const CONNECTING: &[&str] = &["to", "or", "by", "at", "and", "in", "from"];

/// Whether a word joins the parts of a phrase and opens no line of its own, but for `at most`.
#[must_use]
pub fn joins(word: &str) -> bool {
    CONNECTING.contains(&word)
}

pub(super) fn first_word(words: &str) -> &str {
    words.split(' ').next().unwrap_or("")
}

/// First words that open a line under a heading, and those that go on from one.
type FirstWords = (Vec<&'static str>, Vec<&'static str>);

/// For each heading, in the order of [`HEADINGS`]. They are looked at for every line of a file.
static FIRST_WORDS: LazyLock<Vec<FirstWords>> =
    LazyLock::new(|| HEADINGS.iter().map(|row| (opening(row.heading), going_on(row.heading))).collect());

fn first_words(heading: Heading) -> Option<&'static FirstWords> {
    FIRST_WORDS.get(HEADINGS.iter().position(|row| row.heading == heading)?)
}

/// The first words that open an entry under a heading, those of once among them.
#[must_use]
pub fn openers(heading: Heading) -> &'static [&'static str] {
    first_words(heading).map_or(&[], |words| &words.0)
}

/// The first words with which a line under a heading goes on from the line above, those of once among them.
#[must_use]
pub fn continuers(heading: Heading) -> &'static [&'static str] {
    first_words(heading).map_or(&[], |words| &words.1)
}

fn opening(heading: Heading) -> Vec<&'static str> {
    let mut words = Vec::new();
    for row in ENTRIES.iter().filter(|row| row.under == heading) {
        if row.words.is_empty() {
            words.push(OWN);
            for knob in KNOBS {
                words.extend(std::iter::once(knob.word).chain(knob.also.iter().copied()));
            }
        } else {
            words.push(row.words);
        }
    }
    words.extend(heading.entries_once());
    let mut firsts: Vec<_> = words.into_iter().map(first_word).collect();
    firsts.sort_unstable();
    firsts.dedup();
    firsts
}

/// The entries under a heading by their whole words, for a message.
#[must_use]
pub fn entry_words(heading: Heading) -> Vec<&'static str> {
    let rows = ENTRIES.iter().filter(|row| row.under == heading);
    let mut words: Vec<_> = rows.map(|row| row.words).filter(|words| !words.is_empty()).collect();
    if heading == Heading::Part {
        words.extend(KNOBS.iter().map(|knob| knob.word));
        words.push("adjuster \"...\"");
    }
    words
}

fn going_on(heading: Heading) -> Vec<&'static str> {
    let openers = opening(heading);
    let clauses = ENTRIES
        .iter()
        .filter(|row| row.under == heading)
        .flat_map(|row| row.clauses)
        .map(|clause| first_word(clause.row().words))
        .chain(heading.clauses_once().map(first_word))
        .filter(|word| !word.is_empty());
    let connecting = CONNECTING.iter().copied().filter(|word| !openers.contains(word));
    let mut words: Vec<_> = clauses.chain(connecting).collect();
    words.sort_unstable();
    words.dedup();
    words
}

/// The part that opens with these two words (the second only where it is needed).
#[must_use]
pub fn part_named(first: &str, second: Option<&str>) -> Option<(super::Part, usize)> {
    let both = second.map(|second| format!("{first} {second}"));
    PARTS.iter().find_map(|&(part, word, also, _)| {
        let spellings = std::iter::once(word).chain(also.iter().copied());
        spellings.into_iter().find_map(|spelling| {
            if spelling == first {
                Some((part, 1))
            } else {
                (Some(spelling) == both.as_deref()).then_some((part, 2))
            }
        })
    })
}
