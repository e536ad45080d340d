//! Owns the reading of a set: the files named on the command line, taken in and checked together.

use std::path::{Path, PathBuf};

use crate::check::{Checked, check_part};
use crate::problem::{Severity, SourceId, Sources, Told};
use crate::show;

use super::Exit;
use super::includes::{Gathered, Overlay, gather};
use super::screen::Screen;

/// A set as it was read.
#[derive(Clone)]
pub(super) struct Set {
    pub sources: Sources,
    pub checked: Checked,
    /// The folder of the bike's file.
    pub folder: PathBuf,
    /// The files' paths below the folder that they have in common.
    names: Vec<String>,
    /// The files as the user names them, those that are used among them.
    pub paths: Vec<PathBuf>,
    canonical: Vec<PathBuf>,
    /// How many files were named; those that they use come after them.
    named: usize,
}

impl Set {
    /// Reads and checks the files and tells every problem.
    ///
    /// # Errors
    /// Where a file cannot be read.
    pub fn read(paths: &[PathBuf], screen: Screen) -> Result<Self, Exit> {
        Set::read_over(paths, &Overlay::default(), screen)
    }

    /// The same with texts that lie over the files.
    ///
    /// # Errors
    /// Where a file cannot be read.
    pub fn read_over(paths: &[PathBuf], overlay: &Overlay, screen: Screen) -> Result<Self, Exit> {
        let Gathered { sources, taken, undecoded, unused, named } = gather(paths, overlay, screen)?;
        // Of a file that is no text, its bytes are the one problem worth telling.
        let garbled: Vec<_> = undecoded
            .iter()
            .filter(|problem| problem.is_error())
            .map(|problem| problem.span.source)
            .collect();
        // what it may say is not missed
        let mut checked = check_part(&sources, Told::among(&unused).or(Told::among(&undecoded)));
        checked.problems.retain(|problem| !garbled.contains(&problem.span.source));
        checked.problems.splice(0..0, undecoded.into_iter().chain(unused));
        checked
            .problems
            .sort_unstable_by_key(|problem| (problem.span.source, problem.span.start, problem.code));
        // a plan is ridden only where nothing at all is wrong, its bytes and its `use` among it
        if checked.has_errors() {
            checked.plan = None;
        }
        let bike = checked.bike_source.and_then(|id| sources.iter().position(|(known, _)| known == id));
        let folder = bike.and_then(|bike| taken[bike].path.parent()).unwrap_or(Path::new("")).to_owned();
        let canonical = taken.iter().map(|taken| taken.canonical.clone()).collect();
        let (names, paths) = taken.into_iter().map(|taken| (taken.plain, taken.path)).unzip();
        Ok(Set { sources, checked, folder, names, paths, canonical, named })
    }

    /// The canonical path of a file of the set.
    pub fn canonical(&self, id: SourceId) -> &Path {
        self.canonical.get(id.index()).map_or(Path::new(""), PathBuf::as_path)
    }

    /// The canonical paths of the files that others use.
    pub fn used(&self) -> impl Iterator<Item = &Path> {
        self.canonical.iter().skip(self.named).map(PathBuf::as_path)
    }

    /// The file of the set with this canonical path.
    pub fn id_of(&self, canonical: &Path) -> Option<SourceId> {
        self.sources.iter().map(|(id, _)| id).find(|id| self.canonical(*id) == canonical)
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

    /// The files' paths below the folder that they have in common, and their texts, by path.
    pub fn texts(&self) -> Vec<(String, String)> {
        let texts = self.sources.iter().map(|(_, source)| source.text().to_owned());
        let mut texts: Vec<_> = self.names.iter().cloned().zip(texts).collect();
        texts.sort();
        texts
    }
}
