//! Owns the way from a path written in a file to that file, without ever leaving one folder. Nothing outside that
//! folder is opened, and nothing about it is told, not even whether it is there.

use std::path::{Component, Path, PathBuf};

use crate::problem::is_harmful;
use crate::vocabulary::nearest;

use super::files::{Files, Unreadable};

/// Why a path leads to no file that may be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Refusal {
    /// It names nothing.
    Empty,
    /// It begins at the top of a disk or of a net, not at its own file.
    Absolute,
    /// It leaves the folder, directly or through a link.
    Outside,
    /// Its folders are parted by `\`; the same path as it should be written.
    Backslash(String),
    /// There is no such file.
    Missing,
    /// It is a folder or something else that is no ordinary file.
    NoFile,
    /// It may not be looked up: why, in words.
    Barred(String),
}

/// The file that `written` names, seen from `folder`, both folders in their canonical form. A file that is
/// `known`, as it was named on the command line, may stand anywhere.
///
/// # Errors
/// Where it names none that may be read.
pub(super) fn find(
    files: &dyn Files,
    root: &Path,
    folder: &Path,
    written: &str,
    known: impl Fn(&Path) -> bool,
) -> Result<PathBuf, Refusal> {
    if written.trim().is_empty() || written.chars().any(is_harmful) {
        return Err(Refusal::Empty);
    }
    let drive = written.as_bytes().get(1) == Some(&b':') && written.as_bytes()[0].is_ascii_alphabetic();
    if drive || written.starts_with(['/', '~']) || written.starts_with("\\\\") {
        return Err(Refusal::Absolute);
    }
    if written.contains('\\') {
        let right = written.replace('\\', "/");
        return Err(match find(files, root, folder, &right, known) {
            Ok(_) => Refusal::Backslash(right),
            Err(why) => why,
        });
    }
    // files that have only the top of a disk in common have no folder that could confine them
    if root.parent().is_none() {
        return Err(Refusal::Outside);
    }
    let path = within(root, folder, written).ok_or(Refusal::Outside)?;
    match files.canonical(&path) {
        Ok(found) if known(&found) => Ok(found),
        Ok(found) if !found.starts_with(root) => Err(Refusal::Outside),
        Ok(found) if files.is_file(&found) => Ok(found),
        Ok(_) => Err(Refusal::NoFile),
        Err(_) if leaves_by_a_link(files, root, &path, MOST_LINKS) => Err(Refusal::Outside),
        Err(Unreadable::Barred(why)) => Err(Refusal::Barred(why)),
        Err(Unreadable::Missing) => Err(Refusal::Missing),
    }
}

/// The path joined by its words alone; `None` as soon as it leaves the root. Nothing is looked up.
fn within(root: &Path, folder: &Path, written: &str) -> Option<PathBuf> {
    let mut path = folder.to_owned();
    for component in Path::new(written).components() {
        match component {
            Component::Normal(name) => path.push(name),
            Component::CurDir => {}
            Component::ParentDir => {
                path.pop();
            }
            Component::RootDir | Component::Prefix(_) => return None,
        }
        if !path.starts_with(root) {
            return None;
        }
    }
    Some(path)
}

/// How many links a path may pass, one behind the other.
const MOST_LINKS: u32 = 16;

/// Whether a path that leads nowhere leaves the root by a link: what is behind is then not told.
fn leaves_by_a_link(files: &dyn Files, root: &Path, path: &Path, left: u32) -> bool {
    let Ok(below) = path.strip_prefix(root) else { return true };
    let mut at = root.to_owned();
    let mut components = below.components();
    while let Some(component) = components.next() {
        let folder = at.clone();
        at.push(component);
        let Some(target) = files.link(&at) else { continue };
        let on = |there: PathBuf| leaves_by_a_link(files, root, &there.join(components.as_path()), left - 1);
        return left == 0 || target.is_absolute() || {
            within(root, &folder, &target.to_string_lossy()).is_none_or(on)
        };
    }
    false
}

/// Whether some part of a path below the root is a link.
fn passes_a_link(files: &dyn Files, root: &Path, path: &Path) -> bool {
    let Ok(below) = path.strip_prefix(root) else { return true };
    let mut at = root.to_owned();
    below.components().any(|component| {
        at.push(component);
        files.link(&at).is_some()
    })
}

/// A path that is there and differs from `written` in the case of letters, or a little in the last name.
pub(super) fn near(files: &dyn Files, root: &Path, folder: &Path, written: &str) -> Option<String> {
    let mut at = folder.to_owned();
    let mut names = Vec::new();
    let components: Vec<_> = Path::new(written).components().collect();
    for (index, component) in components.iter().enumerate() {
        let Component::Normal(name) = component else {
            at = within(root, &at, &component.as_os_str().to_string_lossy())?;
            names.push(component.as_os_str().to_string_lossy().into_owned());
            continue;
        };
        let name = name.to_string_lossy();
        let there = files.names(&at);
        let same = || there.iter().find(|other| **other == *name);
        let cased = || there.iter().find(|other| other.to_lowercase() == name.to_lowercase());
        let alike = || {
            let last = index + 1 == components.len();
            let tunes = there.iter().filter(|other| is_tune(other)).map(String::as_str);
            let meant = nearest(&name, tunes).filter(|_| last)?;
            there.iter().find(|other| *other == meant)
        };
        let found = same().or_else(cased).or_else(alike)?.clone();
        at.push(&found);
        names.push(found);
    }
    let found = files.canonical(&at).ok()?;
    let inside = found.starts_with(root) && files.is_file(&found) && !passes_a_link(files, root, &at);
    inside.then(|| names.join("/"))
}

/// The nearest folder common to all these, in their canonical form.
pub(super) fn common(folders: &[PathBuf]) -> PathBuf {
    let Some((first, rest)) = folders.split_first() else { return PathBuf::new() };
    let mut common = first.clone();
    while !rest.iter().all(|folder| folder.starts_with(&common)) && common.pop() {}
    common
}

fn is_tune(name: &str) -> bool {
    Path::new(name).extension().is_some_and(|ending| ending.eq_ignore_ascii_case("tune"))
}

#[cfg(test)]
mod tests {
    use super::super::memory::InMemory;
    use super::*;

    #[test]
    fn the_top_of_a_disk_confines_nothing() {
        let folders = ["/one/plans", "/two/bikes"].map(PathBuf::from);
        let root = common(&folders);
        assert_eq!(root, Path::new("/"));
        assert_eq!(
            find(&InMemory::default(), &root, &folders[0], "../../etc/hostname", |_| false),
            Err(Refusal::Outside)
        );
        assert_eq!(common(&["/one/plans", "/one/bikes"].map(PathBuf::from)), Path::new("/one"));
    }
}
