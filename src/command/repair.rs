//! Owns the writing of repairs: a set is repaired in memory; each file is then written once, whole or not at all.
//! What no repair mends stays for the person.

use std::path::{Path, PathBuf};

use crate::disk::{self, Disk};
use crate::set::{RepairedSet, Set};
use crate::vocabulary::{grouped, several};

use super::Exit;
use super::screen::Screen;
use super::set::read;

/// Repairs the files of a set and gives the set as it then is.
///
/// # Errors
/// Where a file cannot be read or written.
pub(super) fn repaired(paths: &[PathBuf], screen: Screen) -> Result<Set, Exit> {
    let repaired =
        read(paths, screen)?.repaired(&Disk).map_err(|unread| super::set::tell(&unread, screen))?;
    write(&repaired, screen)?;
    Ok(repaired.set)
}

/// Writes the files that were repaired. One that somebody has changed since it was read is left alone.
fn write(repaired: &RepairedSet, screen: Screen) -> Result<(), Exit> {
    let RepairedSet { set, mended } = repaired;
    for file in mended {
        let source = set.sources().get(file.source);
        let name = source.name();
        let failed = |reason: &str| {
            screen.say(&format!("Can't save {name}: {reason}"));
            Exit::Disk
        };
        let path = Path::new(name);
        let before = disk::read(path).map_err(|error| failed(&disk::in_words(&error)))?;
        if before != file.before.as_bytes() {
            return Err(failed("it has changed in the meantime; run the same command again"));
        }
        disk::write_whole(path, source.text().as_bytes()).map_err(|error| failed(&disk::in_words(&error)))?;
        let left = set.found().iter().filter(|problem| problem.span.source == file.source).count();
        let left = if left == 0 { String::new() } else { format!(", {} left", several(left, "problem")) };
        let made = match file.repairs {
            0 => "old words updated".to_owned(),
            1 => "1 fix made".to_owned(),
            fixes => format!("{} fixes made", grouped(fixes)),
        };
        screen.say(&format!("{name}: {made}{left}"));
    }
    Ok(())
}
