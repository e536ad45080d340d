//! Owns the reading of a set: the files named on the command line, taken in and checked together.

use std::path::{Path, PathBuf};

use crate::check::{Checked, check};
use crate::language::take_in;
use crate::problem::Sources;
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
            if taken.contains(&path) {
                continue;
            }
            match files::read(path) {
                Ok(bytes) => {
                    let (_, mut problems) = take_in(&mut sources, &path.to_string_lossy(), &bytes);
                    undecoded.append(&mut problems);
                    taken.push(path);
                }
                Err(error) => {
                    screen.say(&format!("{}: cannot be read: {error}", path.display()));
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
        let source = checked.bike_source.map_or("", |id| sources.get(id).name());
        let folder = files::folder_of(Path::new(source));
        Ok(Set { sources, checked, folder })
    }

    /// Tells every problem.
    pub fn tell(&self, screen: Screen) {
        screen.raw(&show::problems(&self.sources, &self.checked.problems, screen.look()));
    }

    /// The files' plain names and texts.
    pub fn texts(&self) -> Vec<(String, String)> {
        let name = |name: &str| {
            Path::new(name).file_name().map_or(name.to_owned(), |name| name.to_string_lossy().into_owned())
        };
        self.sources.iter().map(|(_, source)| (name(source.name()), source.text().to_owned())).collect()
    }
}
