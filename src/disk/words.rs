//! Owns why the disk does not do something, in plain words. It knows nothing of what was to be done.

use std::io;

/// Why something could not be done, in plain words.
#[must_use]
pub fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file or folder".to_owned(),
        io::ErrorKind::PermissionDenied => "you don't have permission".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk is read-only".to_owned(),
        io::ErrorKind::NotADirectory => "a part of its path is a file, not a folder".to_owned(),
        io::ErrorKind::InvalidFilename => {
            "its name is too long, or has a character file names can't have".to_owned()
        }
        io::ErrorKind::ResourceBusy | io::ErrorKind::ExecutableFileBusy => {
            "another program is using it".to_owned()
        }
        io::ErrorKind::QuotaExceeded => "you have used up your space on this disk".to_owned(),
        io::ErrorKind::FileTooLarge if error.raw_os_error().is_some() => {
            "it is larger than this disk allows".to_owned()
        }
        // these the standard library names by number alone
        _ => match error.raw_os_error() {
            Some(LINKS_IN_A_CIRCLE) => "its links go round in a circle".to_owned(),
            Some(_) => {
                let said = error.to_string();
                let said = said.split(" (os error").next().unwrap_or(&said).to_lowercase();
                format!("the system says: {said}")
            }
            None => error.to_string(),
        },
    }
}

#[cfg(unix)]
const LINKS_IN_A_CIRCLE: i32 = libc::ELOOP;
#[cfg(not(unix))]
const LINKS_IN_A_CIRCLE: i32 = i32::MIN;
