//! Owns what a set needs of the place where its files are: the disk, or texts in memory. It knows nothing of what
//! the files say, nor of which of them may be read.

use std::path::{Path, PathBuf};

/// Why a file cannot be read, or a path not be looked up.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unreadable {
    #[error("there is no such file or folder")]
    Missing,
    /// Something is in the way: what, in words.
    #[error("{0}")]
    Barred(String),
}

/// Where files are. Only what is asked of it is looked at.
pub trait Files {
    /// The bytes of a file.
    ///
    /// # Errors
    /// Why it cannot be read.
    fn read(&self, path: &Path) -> Result<Vec<u8>, Unreadable>;

    /// The one path that a file or folder has among all that lead to it, from the top and through every link.
    ///
    /// # Errors
    /// [`Unreadable::Barred`] if it may not be looked up, [`Unreadable::Missing`] if it leads nowhere.
    fn canonical(&self, path: &Path) -> Result<PathBuf, Unreadable>;

    /// Whether a regular file is at a path, or behind a link there.
    fn is_file(&self, path: &Path) -> bool;

    /// Where the link at a path leads, as it is written; `None` if no link is there.
    fn link(&self, path: &Path) -> Option<PathBuf>;

    /// The names in a folder, sorted; it may be some of them if there are very many. None if it is no folder.
    fn names(&self, folder: &Path) -> Vec<String>;
}

/// The folder of a path; the present one if it names none.
#[must_use]
pub fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}
