//! Owns the applying of repairs: every repair that is offered and helps is made, in memory first; each file is
//! then written once, whole or not at all. What a repair brings to light stays for the next round, or for
//! the person.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::problem::{Code, Fix, Problem, SourceId};
use crate::record::files;
use crate::vocabulary::several;

use super::Exit;
use super::includes::Overlay;
use super::screen::Screen;
use super::set::Set;

/// How often a repair may bring another to light.
const MOST_ROUNDS: usize = 20;

/// One repair that is made.
struct Edit<'a> {
    problem: &'a Problem,
    fix: &'a Fix,
    /// Where its text is in the repaired file.
    start: usize,
}

/// A file with its repairs made.
struct Repaired<'a> {
    id: SourceId,
    text: String,
    edits: Vec<Edit<'a>>,
}

/// What a repair is known by though others move it: the file, the kind of problem, its line, what it writes.
type Known = (PathBuf, Code, String, String);

/// A file as it was, and how many repairs were made in it.
type Made = BTreeMap<PathBuf, (String, usize)>;

/// Repairs the files of a set and gives the set as it then is.
///
/// # Errors
/// Where a file cannot be read or written.
pub(super) fn repaired(paths: &[PathBuf], screen: Screen) -> Result<Set, Exit> {
    let mut set = Set::read(paths, screen)?;
    let mut overlay = Overlay::default();
    let mut made = Made::new();
    let mut useless: Vec<Known> = Vec::new();
    let mut seen: Vec<Overlay> = vec![overlay.clone()];
    for _ in 0..MOST_ROUNDS {
        let repairs = repairs(&set, &useless);
        if repairs.is_empty() {
            break;
        }
        let mut next_overlay = overlay.clone();
        for repair in &repairs {
            next_overlay.put(set.canonical(repair.id), repair.text.clone());
        }
        let next = Set::read_over(paths, &next_overlay, screen)?;
        let failed: Vec<Known> = repairs
            .iter()
            .flat_map(|repair| repair.edits.iter().filter(|edit| !helped(edit, repair.id, &set, &next)))
            .map(|edit| known(edit.problem, edit.fix, &set))
            .collect();
        if !failed.is_empty() {
            useless.extend(failed);
            continue;
        }
        if seen.contains(&next_overlay) {
            break;
        }
        for repair in &repairs {
            let as_it_was = || (set.sources.get(repair.id).text().to_owned(), 0);
            made.entry(set.canonical(repair.id).to_owned()).or_insert_with(as_it_was).1 += repair.edits.len();
        }
        seen.push(next_overlay.clone());
        drop(repairs);
        (set, overlay) = (next, next_overlay);
    }
    write(&set, &made, screen)?;
    Ok(set)
}

/// Writes the files that were repaired. One that somebody has changed since it was read is left alone.
fn write(set: &Set, made: &Made, screen: Screen) -> Result<(), Exit> {
    for (id, source) in set.sources.iter() {
        let Some((as_it_was, count)) = made.get(set.canonical(id)) else { continue };
        let name = source.name();
        let failed = |reason: &str| {
            screen.say(&format!("{name}: cannot be written: {reason}"));
            Exit::Disk
        };
        let path = Path::new(name);
        let before = files::read(path).map_err(|error| failed(&files::in_words(&error)))?;
        if before != as_it_was.as_bytes() {
            return Err(failed("it has changed in the meantime; run the same command again"));
        }
        files::write_whole(path, source.text().as_bytes())
            .map_err(|error| failed(&files::in_words(&error)))?;
        let left = set.checked.problems.iter().filter(|problem| problem.span.source == id).count();
        let left = if left == 0 { String::new() } else { format!(", {} left", several(left, "problem")) };
        screen.say(&format!("{name}: {} made{left}", several(*count, "repair")));
    }
    Ok(())
}

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
fn repairs<'a>(set: &'a Set, useless: &[Known]) -> Vec<Repaired<'a>> {
    let mut repaired = Vec::new();
    for (id, source) in set.sources.iter() {
        let whole = source.text();
        let offered =
            set.checked.problems.iter().filter_map(|problem| Some((problem, problem.fix.as_deref()?)));
        let mut fixes: Vec<(&Problem, &Fix)> = offered
            .filter(|(_, fix)| fix.span.source == id && whole.get(fix.span.start..fix.span.end).is_some())
            .filter(|(problem, fix)| !useless.contains(&known(problem, fix, set)))
            .collect();
        fixes.sort_by_key(|(_, fix)| (fix.span.start, fix.span.end));
        let (mut text, mut at) = (String::new(), 0);
        let mut edits: Vec<Edit<'_>> = Vec::new();
        for (problem, fix) in fixes {
            let same_place = edits.last().is_some_and(|last| last.fix.span.start == fix.span.start);
            if fix.span.start < at || same_place {
                continue;
            }
            text += &whole[at..fix.span.start];
            edits.push(Edit { problem, fix, start: text.len() });
            text += &fix.text;
            at = fix.span.end;
        }
        text += &whole[at..];
        if !edits.is_empty() && text != whole {
            repaired.push(Repaired { id, text, edits });
        }
    }
    repaired
}
