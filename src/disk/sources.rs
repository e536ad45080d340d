//! Owns the disk as the place where the files of a set are. It knows nothing of what they say, nor of which of them
//! may be read.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::set::{Files, Unreadable};

use super::in_words;

/// The most names of a folder that are looked at.
const MOST_NAMES: usize = 10_000;

/// The disk.
#[derive(Debug, Clone, Copy)]
pub struct Disk;

impl Files for Disk {
    fn read(&self, path: &Path) -> Result<Vec<u8>, Unreadable> {
        super::read(path).map_err(|error| match error.kind() {
            io::ErrorKind::NotFound => Unreadable::Missing,
            _ => Unreadable::Barred(in_words(&error)),
        })
    }

    fn canonical(&self, path: &Path) -> Result<PathBuf, Unreadable> {
        path.canonicalize().map_err(|error| match error.kind() {
            io::ErrorKind::PermissionDenied => Unreadable::Barred(in_words(&error)),
            _ => Unreadable::Missing,
        })
    }

    fn is_file(&self, path: &Path) -> bool {
        path.is_file()
    }

    fn link(&self, path: &Path) -> Option<PathBuf> {
        fs::read_link(path).ok()
    }

    fn names(&self, folder: &Path) -> Vec<String> {
        let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
        let names = entries.flatten().filter_map(|entry| entry.file_name().into_string().ok());
        let mut names: Vec<String> = names.take(MOST_NAMES).collect();
        names.sort();
        names
    }
}
