//! Owns what the files named for a check are: one set, or many sets and parts, each by itself. A folder means the
//! files of the language in it and below.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::disk;
use crate::set::Overlay;
use crate::vocabulary::Heading;

use super::Exit;
use super::screen::Screen;

/// How the files of the language end.
const ENDING: &str = "tune";

/// The most files of a folder.
const MOST_FILES: usize = 10_000;

/// The deepest folder in a folder that is looked into.
const DEEPEST: usize = 16;

/// Stands for standard input.
pub(super) const STANDARD_INPUT: &str = "-";

/// The files of a check.
pub(super) struct Named {
    pub files: Vec<PathBuf>,
    /// Each is checked by itself, for this reason; `None` if they are one set.
    pub apart: Option<String>,
    /// The text of standard input, where it is one of them.
    pub overlay: Overlay,
}

impl Named {
    /// The files that a command line names.
    ///
    /// # Errors
    /// If a folder has none, or standard input cannot be read.
    pub fn of(paths: &[PathBuf], screen: Screen) -> Result<Self, Exit> {
        let mut overlay = Overlay::default();
        let mut found = Vec::new();
        let mut folders = 0;
        for path in paths {
            if path == Path::new(STANDARD_INPUT) {
                // it can be read once
                if found.contains(path) {
                    continue;
                }
                let bytes = bytes_of_input(screen)?;
                overlay.put(&path.canonicalize().unwrap_or_else(|_| path.clone()), bytes);
                found.push(path.clone());
            } else if path.is_dir() {
                folders += 1;
                let before = found.len();
                below(path, 0, &mut found);
                if found.len() == before {
                    screen
                        .say(&format!("{}: this folder has no file that ends in .{ENDING}", path.display()));
                    return Err(Exit::Disk);
                }
            } else {
                found.push(path.clone());
            }
        }
        let apart = if folders > 0 {
            Some("Each file is checked on its own, with any files it uses.".to_owned())
        } else {
            repeated(&found).map(|(count, what)| {
                format!(
                    "{count} of the files have a {what}, so each file is checked on its own, with any \
                        files it uses."
                )
            })
        };
        Ok(Named { files: found, apart, overlay })
    }
}

/// All of standard input.
///
/// # Errors
/// If it cannot be read, or is too long.
pub(super) fn bytes_of_input(screen: Screen) -> Result<Vec<u8>, Exit> {
    super::keys::read_all().map_err(|error| {
        screen.say(&format!("Can't read standard input: {}", disk::in_words(&error)));
        Exit::Disk
    })
}

/// The files of the language in a folder and below, by name. Hidden folders are left out.
fn below(folder: &Path, depth: usize, found: &mut Vec<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    paths.sort();
    for path in paths {
        let is_hidden = path.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'));
        if is_hidden || found.len() >= MOST_FILES {
            continue;
        }
        // a link to a folder may lead back
        let is_link = path.is_symlink();
        if path.is_dir() && !is_link && depth < DEEPEST {
            below(&path, depth + 1, found);
        } else if path.is_file() && path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case(ENDING))
        {
            found.push(path);
        }
    }
}

/// What stands in more than one file and may stand once in a set, and in how many files it does.
fn repeated(paths: &[PathBuf]) -> Option<(usize, &'static str)> {
    if paths.len() < 2 {
        return None;
    }
    let mut seen = BTreeSet::new();
    let headings: Vec<Vec<Heading>> = paths
        .iter()
        .filter(|path| seen.insert(path.canonicalize().unwrap_or_else(|_| (*path).clone())))
        .map(|path| disk::read(path).map_or_else(|_| Vec::new(), |bytes| headings(&bytes)))
        .collect();
    let once = [Heading::Bike, Heading::Plan, Heading::Steps, Heading::Rider];
    once.into_iter().find_map(|heading| {
        let count = headings.iter().filter(|of_file| of_file.contains(&heading)).count();
        (count > 1).then(|| (count, heading.row().word))
    })
}

/// The headings of a text, by the first words of its lines; a file is read for this besides its check, so that is
/// all that is looked at.
fn headings(bytes: &[u8]) -> Vec<Heading> {
    let text = String::from_utf8_lossy(bytes);
    let heading = |line: &str| {
        let word = line.trim_start_matches(|c: char| c.is_whitespace() || c == '\u{FEFF}');
        let word = word.split(|c: char| !c.is_alphabetic()).next()?;
        Heading::named(&word.to_lowercase())
    };
    text.lines().filter_map(heading).collect()
}
