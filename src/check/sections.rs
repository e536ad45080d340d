//! Owns the sorting of a set's lines into its sections, each of which may stand once.
//! It knows nothing of what the entries say.

use indexmap::IndexMap;

use crate::language::{EntryLine, Field, HeadingLine, HeadingView, LineKind, Tree, ValueNode, heading};
use crate::physics::{Kind, Number, Unit};
use crate::problem::{Code, Findings, Problem, Refuse, Span, Told};
use crate::vocabulary::{Entry, Heading, Part};

use super::values::found;

/// A heading that stands once in a set.
#[derive(Debug, Clone)]
pub(super) struct Section {
    pub span: Span,
    /// The text after the heading; `steps` has none.
    pub title: Result<String, Told>,
    /// Nothing behind its word could be read, so it may not be a heading at all.
    pub doubtful: bool,
}

/// An entry of a part; the part is absent where its heading is missing or could not be read.
#[derive(Debug, Clone, Copy)]
pub(super) struct PartEntry<'a> {
    pub part: Option<Part>,
    pub line: &'a EntryLine,
    /// A line above it could not be read; it may have been the heading of another part.
    pub uncertain: bool,
}

/// A set, sorted.
#[derive(Debug, Default)]
pub(super) struct Sections<'a> {
    pub plan: Option<Section>,
    pub bike: Option<Section>,
    pub rider: Option<Section>,
    pub loop_: Option<Section>,
    pub steps: Option<Section>,
    pub parts: Vec<(Part, Span)>,
    /// Entries of plan, rider and loop; each stands once.
    pub facts: Vec<&'a EntryLine>,
    pub part_entries: Vec<PartEntry<'a>>,
    pub step_entries: Vec<&'a EntryLine>,
    /// A line or a file could not be read at all, so what seems absent may stand there.
    pub unread: Option<Told>,
    /// A section stands twice, so what its second half says is left out.
    pub doubled: Option<Told>,
    /// The places of misspelt words, in order.
    guessed: Vec<Span>,
}

/// Where the lines that come next belong.
#[derive(Default)]
struct Here {
    part: Option<Part>,
    /// Under a section that stands a second time; nothing is said of its entries.
    ignored: Option<Told>,
    /// The bike itself stands a second time, and so do its parts.
    second_bike: Option<Told>,
    uncertain: bool,
}

impl<'a> Sections<'a> {
    pub fn gather(trees: &'a [Tree], lacks_files: Option<Told>, findings: &mut Findings) -> Self {
        let mut sections = Sections { unread: lacks_files, ..Sections::default() };
        let guessed = findings.problems.iter().filter(|problem| problem.code == Code::WordMisspelt);
        sections.guessed = guessed.map(|problem| problem.span).collect();
        sections.guessed.sort_unstable_by_key(|span| (span.source, span.start));
        for tree in trees {
            let mut here = Here::default();
            for line in &tree.lines {
                match &line.kind {
                    LineKind::Heading(heading) => sections.heading(heading, &mut here, findings),
                    LineKind::Entry(entry) if here.ignored.is_none() => sections.entry(entry, &here),
                    LineKind::Unread(told) => {
                        sections.unread = Some(*told);
                        here.uncertain = true;
                    }
                    LineKind::Entry(_) | LineKind::Blank => {}
                }
                // a heading may stand where it cannot be read
                here.uncertain |= line.doubtful_from.is_some();
            }
        }
        sections.twice(findings);
        sections
    }

    /// Whether how far a part moves is said or may be said: on a line that has its own problem if it
    /// says nothing usable, or on one that could not be read.
    pub fn may_say_travel(&self, part: Part) -> bool {
        let says = |entry: &PartEntry| matches!(entry.line.entry, Entry::Travel | Entry::Stroke);
        self.unread.is_some() || self.part_entries.iter().any(|entry| entry.part == Some(part) && says(entry))
    }

    fn heading(&mut self, line: &HeadingLine, here: &mut Here, findings: &mut Findings) {
        here.part = line.fields.first::<Part>().map(|(&part, _)| part);
        here.ignored = here.second_bike.filter(|_| line.heading == Heading::Part);
        here.uncertain = false;
        if here.ignored.is_some() {
            return;
        }
        here.second_bike = None;
        match line.view() {
            HeadingView::Plan(heading::Plan { line, title }) => {
                self.section(|all| &mut all.plan, line, title, here, findings);
            }
            HeadingView::Bike(heading::Bike { line, name }) => {
                self.section(|all| &mut all.bike, line, name, here, findings);
            }
            HeadingView::Rider(heading::Rider { line, name }) => {
                self.section(|all| &mut all.rider, line, name, here, findings);
            }
            HeadingView::Loop(heading::Loop { line, name }) => {
                self.section(|all| &mut all.loop_, line, name, here, findings);
            }
            HeadingView::Steps(heading::Steps { line }) => {
                let no_title = String::new();
                self.section(|all| &mut all.steps, line, Ok((&no_title, line.word)), here, findings);
            }
            HeadingView::Part(heading::Part { line, part }) => self.part(line, part, here, findings),
            // what it names is in the set already
            HeadingView::Use(heading::Use { line: _, file: _ }) => {}
            HeadingView::Language(heading::Language { line: _, edition }) => {
                let later = found(edition, findings).ok();
                let later = later.filter(|(edition, _)| **edition != Number::from_integer(1));
                findings.extend(later.map(|(_, span)| language_later(span)));
            }
        }
    }

    fn part(&mut self, line: &HeadingLine, part: Field<'_, Part>, here: &mut Here, findings: &mut Findings) {
        self.unread = line.broken.or(self.unread);
        let Ok((&part, _)) = found(part, findings) else { return };
        let span = whole(line);
        match self.parts.iter().find(|known| known.0 == part) {
            // which part is meant is only guessed, and told; its lines are read as those of one part
            Some(&(_, first)) if self.is_guessed(first) || self.is_guessed(span) => {}
            Some(&(_, first)) => {
                here.ignored = Some(findings.refuse(told_twice(&format!("part {part}"), span, first)));
            }
            None => self.parts.push((part, span)),
        }
    }

    /// Takes a heading that may be there once.
    fn section(
        &mut self,
        slot: impl Fn(&mut Self) -> &mut Option<Section>,
        line: &HeadingLine,
        title: Field<'_, String>,
        here: &mut Here,
        findings: &mut Findings,
    ) {
        let title = found(title, findings).map(|(title, _)| title.clone());
        let span = whole(line);
        let doubtful = line.broken.filter(|_| line.fields.0.is_empty());
        if doubtful.is_none() {
            self.unread = line.broken.or(self.unread);
        }
        let slot = slot(self);
        match slot {
            Some(first) if doubtful.is_some() || first.doubtful => {
                here.ignored = doubtful;
                if doubtful.is_none() {
                    *slot = Some(Section { span, title, doubtful: false });
                }
            }
            Some(first) => {
                let told = findings.refuse(told_twice(line.heading.row().word, span, first.span));
                here.ignored = Some(told);
                here.second_bike = Some(told).filter(|_| line.heading == Heading::Bike);
            }
            None => *slot = Some(Section { span, title, doubtful: doubtful.is_some() }),
        }
        self.doubled = here.ignored.or(self.doubled);
    }

    /// Whether a word of a heading is misspelt.
    fn is_guessed(&self, heading: Span) -> bool {
        let next =
            self.guessed.partition_point(|word| (word.source, word.start) < (heading.source, heading.start));
        self.guessed.get(next).is_some_and(|word| word.source == heading.source && word.start < heading.end)
    }

    fn entry(&mut self, line: &'a EntryLine, here: &Here) {
        match line.under {
            Heading::Steps => self.step_entries.push(line),
            Heading::Part => {
                self.part_entries.push(PartEntry { part: here.part, line, uncertain: here.uncertain });
            }
            Heading::Plan | Heading::Rider | Heading::Loop => self.facts.push(line),
            // no entry is under these
            Heading::Bike | Heading::Use | Heading::Language => {}
        }
    }

    /// Tells of entries that may stand once and stand twice, and keeps the first. Adjusters are the
    /// bike's business.
    fn twice(&mut self, findings: &mut Findings) {
        type Key = (Option<Part>, Entry, Option<Kind>);
        let mut seen: IndexMap<Key, Span> = IndexMap::new();
        let mut first = |key: Key, line: &EntryLine, silent: bool| {
            let Some(&first) = seen.get(&key) else {
                seen.insert(key, line.word);
                return true;
            };
            if !silent {
                findings.tell(told_twice(line.entry.words(), line.word, first));
            }
            false
        };
        self.facts.retain(|line| {
            // a plan may bound both its laps and its hours
            let kind = line.fields.first::<ValueNode>().and_then(|(value, _)| value.unit).map(Unit::kind);
            let kind = kind.filter(|_| line.entry == Entry::AtMost);
            first((None, line.entry, kind), line, false)
        });
        self.part_entries.retain(|entry| {
            let once = entry.line.entry != Entry::Adjuster && entry.part.is_some();
            !once || first((entry.part, entry.line.entry, None), entry.line, entry.uncertain)
        });
    }
}

/// A heading with what follows its word.
fn whole(line: &HeadingLine) -> Span {
    line.fields.0.last().map_or(line.word, |(_, span)| line.word.to(*span))
}

fn language_later(span: Span) -> Problem {
    Problem::pointing(Code::VersionNewer, span, "this file needs a newer version of clickwise")
        .help("update clickwise: this version knows language 1")
}

/// The problem of what may stand once and stands twice.
pub(super) fn told_twice(what: &str, second: Span, first: Span) -> Problem {
    Problem::new(Code::Duplicate, second, format!("`{what}` is here a second time"))
        .also(first, "the first is here")
        .help("keep one of them")
}
