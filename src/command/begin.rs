//! Owns what the command line says that a ride begins from: the reading of a settings file.

use std::path::Path;

use crate::disk;
use crate::engine::BeginFrom;

use super::Exit;
use super::args::RideOptions;
use super::screen::Screen;

/// What the command line says.
///
/// # Errors
/// Where the settings file cannot be read.
pub(super) fn from(options: &RideOptions, screen: Screen) -> Result<BeginFrom, Exit> {
    let settings = match &options.from {
        None => None,
        Some(path) => {
            let bytes = disk::read(path).map_err(|error| {
                screen.say(&format!("Can't read {}: {}", path.display(), disk::in_words(&error)));
                Exit::Disk
            })?;
            let text = String::from_utf8(bytes).map_err(|_| {
                screen.say(&format!("{} is not plain text. Save it again as UTF-8 text", path.display()));
                Exit::Errors
            })?;
            Some((plain_name(path), text))
        }
    };
    Ok(BeginFrom { settings, recount: options.recount })
}

/// The name of a file without its folder.
fn plain_name(path: &Path) -> String {
    path.file_name()
        .map_or_else(|| path.to_string_lossy().into_owned(), |name| name.to_string_lossy().into_owned())
}
