//! Owns the sorting of a set's lines into its sections, each of which may stand once.
//! It knows nothing of what the entries say.

use std::collections::BTreeMap;

use crate::language::{EntryLine, HeadingLine, LineKind, Tree};
use crate::physics::{Number, Unit};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{Entry, Heading, Part};

/// A heading that stands once in a set.
#[derive(Debug, Clone)]
pub(super) struct Section {
    pub span: Span,
    /// The text after the heading, where it has one and it could be read.
    pub title: Option<String>,
}

/// An entry of a part; the part is absent where its heading is missing or could not be read.
#[derive(Debug, Clone, Copy)]
pub(super) struct PartEntry<'a> {
    pub part: Option<Part>,
    pub line: &'a EntryLine,
}

/// A set, sorted.
#[derive(Debug, Default)]
pub(super) struct Sections<'a> {
    pub plan: Option<Section>,
    pub bike: Option<Section>,
    pub rider: Option<Section>,
    pub trail: Option<Section>,
    pub steps: Option<Section>,
    pub parts: Vec<(Part, Span)>,
    /// Entries of plan, rider and trail; each stands once.
    pub facts: Vec<&'a EntryLine>,
    pub part_entries: Vec<PartEntry<'a>>,
    pub step_entries: Vec<&'a EntryLine>,
    /// A line could not be read at all, so what seems absent may stand there.
    pub unread: bool,
}

impl<'a> Sections<'a> {
    pub fn gather(trees: &'a [Tree], problems: &mut Vec<Problem>) -> Self {
        let mut sections = Sections::default();
        for tree in trees {
            let mut part = None;
            for line in &tree.lines {
                match &line.kind {
                    LineKind::Heading(heading) => {
                        part = heading.fields.part().map(|(&part, _)| part);
                        sections.heading(heading, problems);
                    }
                    LineKind::Entry(entry) => sections.entry(entry, part, problems),
                    LineKind::Unread => sections.unread = true,
                    LineKind::Blank => {}
                }
            }
        }
        sections.twice(problems);
        sections
    }

    fn heading(&mut self, line: &HeadingLine, problems: &mut Vec<Problem>) {
        let span = line.fields.0.last().map_or(line.word, |(_, span)| line.word.to(*span));
        let title = line.fields.text().map(|(text, _)| text.clone());
        let word = line.heading.row().word;
        let slot = match line.heading {
            Heading::Plan => &mut self.plan,
            Heading::Bike => &mut self.bike,
            Heading::Rider => &mut self.rider,
            Heading::Trail => &mut self.trail,
            Heading::Steps => &mut self.steps,
            Heading::Part => {
                if let Some((&part, _)) = line.fields.part() {
                    match self.parts.iter().find(|known| known.0 == part) {
                        Some(&(_, first)) => problems.push(told_twice(&format!("part {part}"), span, first)),
                        None => self.parts.push((part, span)),
                    }
                }
                return;
            }
            Heading::Use => {
                problems.push(
                    super::not_yet(span, "taking in other files with `use`")
                        .help("name all files on the command line instead"),
                );
                return;
            }
            Heading::Language => {
                let edition =
                    line.fields.number().filter(|(edition, _)| **edition != Number::from_integer(1));
                if let Some((_, span)) = edition {
                    problems.push(
                        Problem::new(
                            Code::LanguageLater,
                            span,
                            "this file is of an edition of the language that is not known here",
                        )
                        .help("this program knows edition 1; a newer program may know more"),
                    );
                }
                return;
            }
        };
        match slot {
            Some(first) => problems.push(told_twice(word, span, first.span)),
            None => *slot = Some(Section { span, title }),
        }
    }

    fn entry(&mut self, line: &'a EntryLine, part: Option<Part>, problems: &mut Vec<Problem>) {
        match line.under {
            Heading::Steps => self.step_entries.push(line),
            Heading::Part if line.entry == Entry::Adjuster => {
                self.part_entries.push(PartEntry { part, line });
            }
            Heading::Part => {
                let first = self
                    .part_entries
                    .iter()
                    .find(|known| known.part == part && part.is_some() && known.line.entry == line.entry);
                match first {
                    Some(first) => problems.push(told_twice("this", line.word, first.line.word)),
                    None => self.part_entries.push(PartEntry { part, line }),
                }
            }
            _ => self.facts.push(line),
        }
    }

    /// Tells of entries of plan, rider and trail that stand twice, and keeps the first.
    fn twice(&mut self, problems: &mut Vec<Problem>) {
        let mut seen: BTreeMap<(String, &str), Span> = BTreeMap::new();
        self.facts.retain(|line| {
            // a plan may bound both its laps and its hours
            let unit = line.fields.value().and_then(|(value, _)| value.unit).map(Unit::kind);
            let key = if line.entry == Entry::AtMost { format!("{unit:?}") } else { String::new() };
            let word = crate::vocabulary::ENTRIES
                .iter()
                .find(|row| row.entry == line.entry && row.under == line.under)
                .map_or("", |row| row.words);
            match seen.get(&(key.clone(), word)) {
                Some(&first) => {
                    problems.push(told_twice(word, line.word, first));
                    false
                }
                None => {
                    seen.insert((key, word), line.word);
                    true
                }
            }
        });
    }
}

/// The problem of what may stand once and stands twice.
pub(super) fn told_twice(what: &str, second: Span, first: Span) -> Problem {
    Problem::new(Code::Twice, second, format!("`{what}` stands here a second time"))
        .also(first, "the first stands here")
        .help("keep one of them")
}
