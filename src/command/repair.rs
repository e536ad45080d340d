//! Owns the applying of repairs: every repair that is offered is written into its file, whole or not at
//! all, as long as that leaves fewer problems.

use std::path::Path;

use crate::problem::{Fix, SourceId};
use crate::record::files;
use crate::vocabulary::several;

use super::Exit;
use super::screen::Screen;
use super::set::Set;

/// How often a repair may bring another to light.
const MOST_ROUNDS: usize = 10;

/// Repairs the files of a set and gives the set as it then is.
///
/// # Errors
/// Where a file cannot be read or written.
pub(super) fn repaired(paths: &[std::path::PathBuf], screen: Screen) -> Result<Set, Exit> {
    let mut set = Set::read(paths, screen)?;
    for _ in 0..MOST_ROUNDS {
        let before = set.checked.problems.len();
        let texts = repair_once(&set);
        if texts.is_empty() {
            return Ok(set);
        }
        for (id, text, _) in &texts {
            write(set.sources.get(*id).name(), text, screen)?;
        }
        let next = Set::read(paths, screen)?;
        if next.checked.problems.len() >= before {
            // a repair that does not help is taken back
            for (id, ..) in &texts {
                write(set.sources.get(*id).name(), set.sources.get(*id).text(), screen)?;
            }
            return Ok(set);
        }
        for (id, _, count) in &texts {
            screen.say(&format!("{}: {} made", set.sources.get(*id).name(), several(*count, "repair")));
        }
        set = next;
    }
    Ok(set)
}

fn write(name: &str, text: &str, screen: Screen) -> Result<(), Exit> {
    files::write_whole(Path::new(name), text.as_bytes()).map_err(|error| {
        screen.say(&format!("{name}: cannot be written: {}", files::in_words(&error)));
        Exit::Disk
    })
}

/// The texts of the files that have repairs, with those applied that do not touch each other, and how
/// many they are.
fn repair_once(set: &Set) -> Vec<(SourceId, String, usize)> {
    let mut repaired = Vec::new();
    for (id, source) in set.sources.iter() {
        let mut fixes: Vec<&Fix> = set
            .checked
            .problems
            .iter()
            .filter_map(|problem| problem.fix.as_deref())
            .filter(|fix| fix.span.source == id && source.text().is_char_boundary(fix.span.start))
            .collect();
        fixes.sort_by_key(|fix| (fix.span.start, fix.span.end));
        let (mut text, mut at, mut count) = (String::new(), 0, 0);
        let mut last: Option<&Fix> = None;
        for fix in fixes {
            let same_place = last.is_some_and(|last| last.span.start == fix.span.start);
            if fix.span.start < at || same_place || fix.span.end > source.text().len() {
                continue;
            }
            text += &source.text()[at..fix.span.start];
            text += &fix.text;
            at = fix.span.end;
            count += 1;
            last = Some(fix);
        }
        text += &source.text()[at..];
        if count > 0 && text != source.text() {
            repaired.push((id, text, count));
        }
    }
    repaired
}
