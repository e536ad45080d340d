//! Owns files that are held in memory, for tests and for programs that have no disk. There are no links among them.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Component, Path, PathBuf};

use super::files::{Files, Unreadable};

/// The present folder: paths that do not begin at the top begin here.
const PRESENT: &str = "/set";

/// Files held in memory, by their paths. Folders are there as far as files are in them.
///
/// ```
/// use clickwise::set::{InMemory, Set};
///
/// let files = InMemory::of([
///     ("plan.tune", "use \"bikes/trail.tune\"\nsteps\n  ride 1 lap\n  tune every rebound\n"),
///     ("bikes/trail.tune", "bike \"Trail\"\npart fork\n  rebound 0 to 18 clicks, start 9\n"),
/// ]);
/// let set = Set::gather(&files, &["plan.tune"]).unwrap();
/// assert!(set.problems().is_empty() && set.plan().is_some());
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct InMemory {
    files: BTreeMap<PathBuf, Vec<u8>>,
}

impl InMemory {
    /// Files by their paths, such as `bikes/trail.tune`.
    #[must_use]
    pub fn of<P: AsRef<Path>, B: Into<Vec<u8>>>(files: impl IntoIterator<Item = (P, B)>) -> Self {
        let mut all = InMemory::default();
        for (path, bytes) in files {
            all.put(path, bytes);
        }
        all
    }

    /// Puts a file at a path; what was there is gone.
    pub fn put(&mut self, path: impl AsRef<Path>, bytes: impl Into<Vec<u8>>) {
        self.files.insert(plain(path.as_ref()), bytes.into());
    }
}

/// A path from the top, without steps that lead back.
fn plain(path: &Path) -> PathBuf {
    let mut plain = PathBuf::from("/");
    for component in Path::new(PRESENT).join(path).components() {
        match component {
            Component::Normal(name) => plain.push(name),
            Component::ParentDir => {
                plain.pop();
            }
            Component::CurDir | Component::RootDir | Component::Prefix(_) => {}
        }
    }
    plain
}

impl Files for InMemory {
    fn read(&self, path: &Path) -> Result<Vec<u8>, Unreadable> {
        self.files.get(&plain(path)).cloned().ok_or(Unreadable::Missing)
    }

    fn canonical(&self, path: &Path) -> Result<PathBuf, Unreadable> {
        let plain = plain(path);
        let there = plain == Path::new(PRESENT) || self.files.keys().any(|file| file.starts_with(&plain));
        if there { Ok(plain) } else { Err(Unreadable::Missing) }
    }

    fn is_file(&self, path: &Path) -> bool {
        self.files.contains_key(&plain(path))
    }

    fn link(&self, _: &Path) -> Option<PathBuf> {
        None
    }

    fn names(&self, folder: &Path) -> Vec<String> {
        let folder = plain(folder);
        let below = self.files.keys().filter_map(|file| file.strip_prefix(&folder).ok()?.components().next());
        let names: BTreeSet<String> =
            below.map(|name| name.as_os_str().to_string_lossy().into_owned()).collect();
        names.into_iter().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_lead_to_files_and_folders() {
        let files = InMemory::of([("a.tune", "a"), ("bikes/b.tune", "b"), ("/else/c.tune", "c")]);
        assert_eq!(files.read(Path::new("bikes/../a.tune")), Ok(b"a".to_vec()));
        assert_eq!(files.read(Path::new("../else/./c.tune")), Ok(b"c".to_vec()));
        assert_eq!(files.read(Path::new("bikes")), Err(Unreadable::Missing));
        assert_eq!(files.canonical(Path::new("bikes")), Ok(PathBuf::from("/set/bikes")));
        assert_eq!(files.canonical(Path::new(".")), Ok(PathBuf::from("/set")));
        assert_eq!(files.canonical(Path::new("a")), Err(Unreadable::Missing));
        assert_eq!(InMemory::default().canonical(Path::new("")), Ok(PathBuf::from("/set")));
        assert_eq!(files.names(Path::new("")), ["a.tune", "bikes"]);
        assert_eq!(files.names(Path::new("/")), ["else", "set"]);
        assert_eq!((files.names(Path::new("a.tune")), files.is_file(Path::new("bikes"))), (vec![], false));
    }
}
