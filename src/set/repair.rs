//! Owns the repairing of a set: in memory, round by round, every repair that is offered and helps; then words that
//! the language had once become those of today. It writes nothing.

use std::collections::BTreeMap;
use std::path::PathBuf;

use crate::language::renewed;
use crate::problem::{Code, Fix, Problem, Repaired, SourceId, repaired};

use super::Set;
use super::files::Files;
use super::overlay::Overlay;
use super::unread::NotGathered;

/// How often a repair may bring another to light.
const MOST_ROUNDS: usize = 20;

/// A set with its repairs made, in memory.
#[derive(Debug, Clone)]
pub struct RepairedSet {
    pub set: Set,
    /// The files that were repaired, in the set's order.
    pub mended: Vec<RepairedFile>,
}

/// A file that was repaired.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RepairedFile {
    pub source: SourceId,
    /// Its text before the first repair.
    pub before: String,
    /// How many repairs were made in it; none where only words of once were made words of today.
    pub repairs: usize,
}

impl Set {
    /// The set with some repairs made in it: several at once, those that touch each other left out.
    ///
    /// # Errors
    /// The files among those named that cannot be read any more.
    ///
    /// ```
    /// use clickwise::set::{InMemory, Set};
    ///
    /// let files = InMemory::of([("bike.tune", "bike \"B\"\npart fork\n  rebuond 0 to 18 clicks\n")]);
    /// let set = Set::gather(&files, &["bike.tune"]).unwrap();
    /// let fixes: Vec<_> = set.problems().iter().filter_map(|problem| problem.fix.as_deref()).collect();
    /// let repaired = set.apply(&files, fixes).unwrap();
    /// assert!(repaired.texts()[0].1.contains("rebound"));
    /// ```
    pub fn apply<'a>(
        &self,
        files: &dyn Files,
        fixes: impl IntoIterator<Item = &'a Fix>,
    ) -> Result<Set, NotGathered> {
        let fixes: Vec<&Fix> = fixes.into_iter().collect();
        let mut overlay = self.overlay.clone();
        for (id, source) in self.sources.iter() {
            let own: Vec<&Fix> = fixes.iter().copied().filter(|fix| fix.span.source == id).collect();
            let repaired = repaired(source.text(), &own);
            if !repaired.made.is_empty() {
                overlay.put(self.canonical(id), repaired.text);
            }
        }
        Set::gather_over(files, &self.roots, overlay)
    }

    /// The set with every repair made that is offered and helps; what a repair brings to light is repaired, too.
    ///
    /// # Errors
    /// The files among those named that cannot be read any more.
    ///
    /// ```
    /// use clickwise::set::{InMemory, Set};
    ///
    /// let files = InMemory::of([("bike.tune", "bike \"B\"\npart fork\n  rebuond 0 to 18 clicks\n")]);
    /// let set = Set::gather(&files, &["bike.tune"]).unwrap();
    /// let repaired = set.repaired(&files).unwrap();
    /// assert_eq!(repaired.mended[0].repairs, 1);
    /// assert!(!repaired.set.has_errors());
    /// ```
    pub fn repaired(self, files: &dyn Files) -> Result<RepairedSet, NotGathered> {
        let mut set = self;
        let mut made = Made::new();
        let mut useless: Vec<Known> = Vec::new();
        let mut seen: Vec<Overlay> = vec![set.overlay.clone()];
        for _ in 0..MOST_ROUNDS {
            let repairs = repairs(&set, &useless);
            if repairs.is_empty() {
                break;
            }
            let mut overlay = set.overlay.clone();
            for repair in &repairs {
                overlay.put(set.canonical(repair.id), repair.text.clone());
            }
            let next = Set::gather_over(files, &set.roots, overlay)?;
            let failed: Vec<Known> = repairs
                .iter()
                .flat_map(|repair| repair.edits.iter().filter(|edit| !helped(edit, repair.id, &set, &next)))
                .map(|edit| known(edit.problem, edit.fix, &set))
                .collect();
            if !failed.is_empty() {
                useless.extend(failed);
                continue;
            }
            if seen.contains(&next.overlay) {
                break;
            }
            for repair in &repairs {
                let as_it_was = || (set.sources.get(repair.id).text().to_owned(), 0);
                made.entry(set.canonical(repair.id).to_owned()).or_insert_with(as_it_was).1 +=
                    repair.edits.len();
            }
            seen.push(next.overlay.clone());
            drop(repairs);
            set = next;
        }
        let set = set.in_words_of_today(files, &mut made)?;
        let mended = set.sources.iter().filter_map(|(source, _)| {
            let (before, repairs) = made.get(set.canonical(source))?.clone();
            Some(RepairedFile { source, before, repairs })
        });
        Ok(RepairedSet { mended: mended.collect(), set })
    }
}

impl Set {
    /// The set with the words of today for those that the language had once.
    fn in_words_of_today(self, files: &dyn Files, made: &mut Made) -> Result<Set, NotGathered> {
        let mut overlay = self.overlay.clone();
        for (id, source) in self.sources.iter() {
            let text = self.tree(id).and_then(|tree| renewed(tree, source.text()));
            let Some(text) = text else { continue };
            overlay.put(self.canonical(id), text);
            let as_it_was = || (source.text().to_owned(), 0);
            made.entry(self.canonical(id).to_owned()).or_insert_with(as_it_was);
        }
        if overlay == self.overlay { Ok(self) } else { Set::gather_over(files, &self.roots, overlay) }
    }
}

/// One repair that is made.
struct Edit<'a> {
    problem: &'a Problem,
    fix: &'a Fix,
    /// Where its text is in the repaired file.
    start: usize,
}

/// A file with its repairs made.
struct OfFile<'a> {
    id: SourceId,
    text: String,
    edits: Vec<Edit<'a>>,
}

/// What a repair is known by though others move it: the file, the kind of problem, its line, what it writes.
type Known = (PathBuf, Code, String, String);

/// A file as it was, and how many repairs were made in it.
type Made = BTreeMap<PathBuf, (String, usize)>;

fn known(problem: &Problem, fix: &Fix, set: &Set) -> Known {
    let text = set.sources.get(fix.span.source).text();
    let from = text[..fix.span.start].rfind('\n').map_or(0, |at| at + 1);
    let line = text[from..].lines().next().unwrap_or("");
    (set.canonical(fix.span.source).to_owned(), problem.code, line.to_owned(), fix.text.clone())
}

/// Whether a repair helped: the same problem is no longer where it was, or there are fewer of its kind.
fn helped(edit: &Edit<'_>, id: SourceId, before: &Set, after: &Set) -> bool {
    let code = edit.problem.code;
    let of = |set: &Set, id: SourceId| {
        let alike = |problem: &&Problem| problem.code == code && problem.span.source == id;
        set.checked.problems.iter().filter(alike).cloned().collect::<Vec<_>>()
    };
    let Some(id_after) = after.id_of(before.canonical(id)) else { return false };
    let left = of(after, id_after);
    let (start, end) = (edit.start, edit.start + edit.fix.text.len());
    let there =
        |problem: &Problem| problem.span.start <= end && problem.span.end.max(problem.span.start + 1) > start;
    !left.iter().any(there) || left.len() < of(before, id).len()
}

/// The files that have repairs, with those made that do not touch each other.
fn repairs<'a>(set: &'a Set, useless: &[Known]) -> Vec<OfFile<'a>> {
    let mut of_files = Vec::new();
    for (id, source) in set.sources.iter() {
        let whole = source.text();
        let offered =
            set.checked.problems.iter().filter_map(|problem| Some((problem, problem.fix.as_deref()?)));
        let (problems, fixes): (Vec<&Problem>, Vec<&Fix>) = offered
            .filter(|(_, fix)| fix.span.source == id && whole.get(fix.span.start..fix.span.end).is_some())
            .filter(|(problem, fix)| !useless.contains(&known(problem, fix, set)))
            .unzip();
        let Repaired { text, made } = repaired(whole, &fixes);
        let edits = made.into_iter().map(|made| Edit {
            problem: problems[made.index],
            fix: fixes[made.index],
            start: made.start,
        });
        let edits: Vec<Edit<'_>> = edits.collect();
        if !edits.is_empty() && text != whole {
            of_files.push(OfFile { id, text, edits });
        }
    }
    of_files
}
