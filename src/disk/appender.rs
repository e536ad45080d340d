//! Owns a journal's file while a ride is under way: its lock, what is appended and flushed, and whether the
//! file is still where it was. It knows nothing of what a journal says.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use crate::set::folder_of;

use super::{open, place_of, what_is};

/// How the text of a lock begins.
const HOLDER: &str = "process ";

/// A journal that is appended to. Nobody else can while this lives.
#[derive(Debug)]
pub struct Appender {
    file: File,
    /// Where the file truly is.
    place: PathBuf,
    /// How long it is, in bytes.
    length: u64,
    lock: Lock,
}

/// Whether a journal's file is still as it was left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    Whole,
    /// Nothing is at its path any more.
    Gone,
    /// Not even its folder is there.
    NoFolder,
    /// Another file is at its path.
    Replaced,
    /// It is longer or shorter than it was.
    Cut,
}

impl Appender {
    /// Opens a journal under its lock, keeping its first `whole` bytes.
    ///
    /// # Errors
    /// If it cannot be opened or cut.
    pub fn open(path: &Path, lock: Lock, whole: u64) -> io::Result<Self> {
        let place = place_of(path)?;
        let file = open(&place, OpenOptions::new().append(true))?;
        let mut length = file.metadata()?.len();
        if length > whole {
            file.set_len(whole)?;
            file.sync_all()?;
            length = whole;
        }
        Ok(Appender { file, place, length, lock })
    }

    /// Appends a text and flushes it to the disk.
    ///
    /// # Errors
    /// If that fails; the file is then as long as before, if that can be done.
    pub fn append(&mut self, text: &str) -> io::Result<()> {
        let done = self.file.write_all(text.as_bytes()).and_then(|()| self.file.sync_data());
        match done {
            Ok(()) => self.length += text.len() as u64,
            Err(_) => drop(self.file.set_len(self.length)),
        }
        done
    }

    /// Whether the file is still where it was, and as long.
    #[must_use]
    pub fn standing(&self) -> Standing {
        match fs::symlink_metadata(&self.place) {
            Err(_) if !folder_of(&self.place).is_dir() => Standing::NoFolder,
            Err(_) => Standing::Gone,
            Ok(there) if !same_file(&self.file, &there) => Standing::Replaced,
            Ok(there) if there.len() != self.length => Standing::Cut,
            Ok(_) => Standing::Whole,
        }
    }

    /// Whether the lock is still the one at its path.
    #[must_use]
    pub fn holds_its_lock(&self) -> bool {
        self.lock.holds()
    }

    /// Goes on in a file that was just written at the same path.
    ///
    /// # Errors
    /// If it cannot be opened.
    pub fn reopen(&mut self) -> io::Result<()> {
        self.file = open(&self.place, OpenOptions::new().append(true))?;
        self.length = self.file.metadata()?.len();
        Ok(())
    }
}

/// The lock of a journal: a file of its own beside it, gone when the ride is left.
#[derive(Debug)]
pub struct Lock {
    path: PathBuf,
    file: File,
}

/// Why a lock was not had.
#[derive(Debug)]
pub enum NotLocked {
    /// Another ride holds it; what that ride wrote into it.
    Held(String),
    Failed(io::Error),
}

impl Lock {
    /// Takes the lock of a journal and writes into it who holds it: `process`, and more. A lock that is a
    /// link, or that says something else, is left alone.
    ///
    /// # Errors
    /// If another ride holds it, the journal or the lock is no regular file, or the folder cannot be written.
    pub fn take(journal: &Path, holder: &str) -> Result<Self, NotLocked> {
        let place = place_of(journal).map_err(NotLocked::Failed)?;
        let folder = folder_of(&place);
        let name = place.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        let path = folder.join(format!(".{name}.lock"));
        fs::create_dir_all(&folder).map_err(NotLocked::Failed)?;
        loop {
            let mut file = open_lock(&path).map_err(NotLocked::Failed)?;
            match file.try_lock() {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => {
                    return Err(NotLocked::Held(said(&mut file).trim().to_owned()));
                }
                Err(TryLockError::Error(error)) => return Err(NotLocked::Failed(error)),
            }
            // The one who held it may have taken the file away between our opening and locking it.
            if !fs::symlink_metadata(&path).is_ok_and(|there| same_file(&file, &there)) {
                continue;
            }
            let before = said(&mut file);
            if !before.starts_with(HOLDER) && !HOLDER.starts_with(&before) {
                return Err(NotLocked::Failed(foreign(&path, "is not a lock file")));
            }
            file.set_len(0).map_err(NotLocked::Failed)?;
            file.write_all(holder.as_bytes()).map_err(NotLocked::Failed)?;
            return Ok(Lock { path, file });
        }
    }

    fn holds(&self) -> bool {
        fs::symlink_metadata(&self.path).is_ok_and(|there| same_file(&self.file, &there))
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        if self.holds() {
            let _ = fs::remove_file(&self.path);
        }
    }
}

/// What a lock says.
fn said(file: &mut File) -> String {
    let mut bytes = Vec::new();
    let _ = file.take(1024).read_to_end(&mut bytes);
    String::from_utf8_lossy(&bytes).into_owned()
}

fn foreign(path: &Path, what: &str) -> io::Error {
    let text = format!("its lock file, {}, {what}: delete it first", path.display());
    io::Error::new(io::ErrorKind::InvalidInput, text)
}

fn open_lock(path: &Path) -> io::Result<File> {
    let is_link = fs::symlink_metadata(path).is_ok_and(|there| there.is_symlink());
    if is_link {
        return Err(foreign(path, "is a link"));
    }
    if let Some(error) = what_is(path)?.misfit() {
        return Err(foreign(path, &format!("cannot be used, {}", super::in_words(&error))));
    }
    // appending, so that a text of a person's could not be written over
    let file = open(path, OpenOptions::new().create(true).read(true).append(true))?;
    if links(&file) > 1 {
        return Err(foreign(path, "is also linked under another name"));
    }
    Ok(file)
}

#[cfg(unix)]
fn same_file(file: &File, there: &fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    file.metadata().is_ok_and(|ours| ours.dev() == there.dev() && ours.ino() == there.ino())
}

/// Other systems tell no file from another; its length has to do.
#[cfg(not(unix))]
fn same_file(_: &File, _: &fs::Metadata) -> bool {
    true
}

/// How many names a file has.
#[cfg(unix)]
fn links(file: &File) -> u64 {
    use std::os::unix::fs::MetadataExt;
    file.metadata().map_or(1, |metadata| metadata.nlink())
}

#[cfg(not(unix))]
fn links(_: &File) -> u64 {
    1
}
