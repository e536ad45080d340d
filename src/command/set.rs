//! Owns the reading of a set from the disk, and the telling of its problems on the screen.

use std::path::Path;

use crate::disk::Disk;
use crate::problem::Severity;
use crate::set::{NotGathered, Overlay, Set};
use crate::show;

use super::Exit;
use super::screen::Screen;

/// Reads and checks the files and those that they use.
///
/// # Errors
/// Where a file cannot be read, which is told.
pub(super) fn read<P: AsRef<Path>>(paths: &[P], screen: Screen) -> Result<Set, Exit> {
    read_over(paths, &Overlay::default(), screen)
}

/// The same with texts that lie over the files.
///
/// # Errors
/// Where a file cannot be read, which is told.
pub(super) fn read_over<P: AsRef<Path>>(paths: &[P], overlay: &Overlay, screen: Screen) -> Result<Set, Exit> {
    Set::gather_over(&Disk, paths, overlay.clone()).map_err(|unread| tell(&unread, screen))
}

/// Tells which files cannot be read, and gives how the run ends for it.
pub(super) fn tell(unread: &NotGathered, screen: Screen) -> Exit {
    for file in &unread.0 {
        screen.say(&file.to_string());
    }
    Exit::Disk
}

/// Tells what is wrong in full, or else what is doubtful in a line or two each; notes are for `check`.
pub(super) fn tell_what_matters(set: &Set, screen: Screen) {
    let of = |severity| set.found().iter().filter(move |problem| problem.severity == severity);
    let errors: Vec<_> = of(Severity::Error).cloned().collect();
    if errors.is_empty() {
        let warnings: Vec<_> = of(Severity::Warning).cloned().collect();
        screen.lines(&show::in_short(set.sources(), &warnings, screen.width()));
    } else {
        screen.raw(&show::problems(set.sources(), &errors, screen.look()));
    }
}
