//! Owns the texts that take the place of what files have: of an editor that has not saved them, of standard input,
//! of repairs that are not written yet.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::files::{Files, Unreadable};

/// What takes the place of what the files have, by their canonical paths.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Overlay(BTreeMap<PathBuf, Vec<u8>>);

impl Overlay {
    /// Puts a text over a file, or bytes that may be none.
    pub fn put(&mut self, canonical: &Path, text: impl Into<Vec<u8>>) {
        self.0.insert(canonical.to_owned(), text.into());
    }

    /// Whether nothing lies over any file.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(super) fn read(
        &self,
        files: &dyn Files,
        canonical: &Path,
        path: &Path,
    ) -> Result<Vec<u8>, Unreadable> {
        self.0.get(canonical).map_or_else(|| files.read(path), |text| Ok(text.clone()))
    }
}
