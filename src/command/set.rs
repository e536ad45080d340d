//! Owns the reading of a set: the files named on the command line, taken in and checked together.

use std::path::{Path, PathBuf};

use crate::check::{Checked, check};
use crate::language::take_in;
use crate::problem::{Severity, Sources};
use crate::record::files;
use crate::show;

use super::Exit;
use super::screen::Screen;

/// A set as it was read.
pub(super) struct Set {
    pub sources: Sources,
    pub checked: Checked,
    /// The folder of the bike's file.
    pub folder: PathBuf,
}

impl Set {
    /// Reads and checks the files and tells every problem.
    ///
    /// # Errors
    /// Where a file cannot be read.
    pub fn read(paths: &[PathBuf], screen: Screen) -> Result<Self, Exit> {
        let mut sources = Sources::default();
        let mut undecoded = Vec::new();
        let mut unread = false;
        let mut taken: Vec<&PathBuf> = Vec::new();
        for path in paths {
            let known = |taken: &&PathBuf| same_file(taken, path);
            if taken.iter().any(known) {
                continue;
            }
            match files::read(path) {
                Ok(bytes) => {
                    let (_, mut problems) = take_in(&mut sources, &path.to_string_lossy(), &bytes);
                    undecoded.append(&mut problems);
                    taken.push(path);
                }
                Err(error) => {
                    let reason = files::in_words(&error);
                    screen.say(&format!("{}: cannot be read: {reason}", path.display()));
                    unread = true;
                }
            }
        }
        if unread {
            return Err(Exit::Disk);
        }
        let mut checked = check(&sources);
        // Of a file that is no text, its bytes are the one problem worth telling.
        let garbled: Vec<_> = undecoded
            .iter()
            .filter(|problem| problem.is_error())
            .map(|problem| problem.span.source)
            .collect();
        checked.problems.retain(|problem| !garbled.contains(&problem.span.source));
        checked.problems.splice(0..0, undecoded);
        checked.problems.sort_by_key(|problem| (problem.span.source, problem.span.start));
        let bike = checked.bike_source.and_then(|id| sources.iter().position(|(known, _)| known == id));
        let folder = bike.and_then(|bike| taken[bike].parent()).unwrap_or(Path::new("")).to_owned();
        Ok(Set { sources, checked, folder })
    }

    /// Tells every problem.
    pub fn tell(&self, screen: Screen) {
        screen.raw(&show::problems(&self.sources, &self.checked.problems, screen.look()));
    }

    /// Tells what is wrong in full, or else what is doubtful in a line or two each; notes are for
    /// `check`.
    pub fn tell_what_matters(&self, screen: Screen) {
        let of = |severity| self.checked.problems.iter().filter(move |problem| problem.severity == severity);
        let errors: Vec<_> = of(Severity::Error).cloned().collect();
        if errors.is_empty() {
            let warnings: Vec<_> = of(Severity::Warning).cloned().collect();
            screen.lines(&show::in_short(&self.sources, &warnings, screen.width()));
        } else {
            screen.raw(&show::problems(&self.sources, &errors, screen.look()));
        }
    }

    /// The files' plain names and texts, by name.
    pub fn texts(&self) -> Vec<(String, String)> {
        let plain = |name: &str| match Path::new(name).file_name() {
            Some(plain) => plain.to_string_lossy().into_owned(),
            None => name.to_owned(),
        };
        let mut texts: Vec<_> =
            self.sources.iter().map(|(_, source)| (plain(source.name()), source.text().to_owned())).collect();
        texts.sort();
        texts
    }
}

/// Whether two paths lead to one file.
fn same_file(first: &Path, second: &Path) -> bool {
    first == second
        || matches!((first.canonicalize(), second.canonicalize()), (Ok(first), Ok(second)) if first == second)
}
