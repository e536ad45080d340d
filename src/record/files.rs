//! Owns the disk: reading with a bound, writing whole or not at all, appending and flushing, and
//! the lock of a journal. It knows nothing of what the files say.

#![allow(clippy::disallowed_methods, reason = "this is the room where files are touched")]

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// The largest file that is read, in bytes.
const LARGEST: u64 = 16 * 1024 * 1024;

/// Reads a whole file.
///
/// # Errors
/// Where it cannot be read or is larger than 16 mebibytes.
pub fn read(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut file = File::open(path)?.take(LARGEST + 1);
    file.read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LARGEST {
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, "it is larger than 16 MiB"));
    }
    Ok(bytes)
}

/// Reads a file where there is one.
///
/// # Errors
/// Where there is one and it cannot be read.
pub fn read_if_there(path: &Path) -> io::Result<Option<Vec<u8>>> {
    match read(path) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// The folder of a path; the present one where it names none.
#[must_use]
pub fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

fn sync_folder(folder: &Path) {
    // Not every system lets a folder be flushed; the file itself is flushed already.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}

/// Writes a file whole or not at all: into a temporary file beside it, flushed, then renamed.
///
/// # Errors
/// Where the folder or the file cannot be written; the old file then stands unchanged.
pub fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let file = beside(path, bytes)?;
    file.persist(path).map_err(|error| error.error)?;
    sync_folder(&folder_of(path));
    Ok(())
}

/// Writes a file that is not there yet, whole or not at all.
///
/// # Errors
/// Where there is one already, which stays as it is, or where it cannot be written.
pub fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let file = beside(path, bytes)?;
    file.persist_noclobber(path).map_err(|error| error.error)?;
    sync_folder(&folder_of(path));
    Ok(())
}

/// A flushed temporary file in the folder of a path.
fn beside(path: &Path, bytes: &[u8]) -> io::Result<tempfile::NamedTempFile> {
    let folder = folder_of(path);
    fs::create_dir_all(&folder)?;
    let mut file = tempfile::Builder::new().prefix(".clickwise-").suffix(".tmp").tempfile_in(&folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    let mode = fs::metadata(path).ok().map(|old| old.permissions()).or_else(readable_by_all);
    if let Some(mode) = mode {
        let _ = file.as_file().set_permissions(mode);
    }
    Ok(file)
}

/// What a new file allows; temporary files are made for their owner alone.
#[cfg(unix)]
#[allow(clippy::unnecessary_wraps, reason = "other systems have no such thing")]
fn readable_by_all() -> Option<fs::Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn readable_by_all() -> Option<fs::Permissions> {
    None
}

/// Takes away temporary files that an interrupted run left in a folder.
pub fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if name.starts_with(".clickwise-") && name.ends_with(".tmp") {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// The journals in a folder, by name.
#[must_use]
pub fn journals_in(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let mut paths: Vec<_> = entries
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.file_name().is_some_and(|name| name.to_string_lossy().ends_with(".ride.toml")))
        .collect();
    paths.sort();
    paths
}

/// Sets a file aside under a name of its own, and gives that name.
///
/// # Errors
/// Where that cannot be written.
pub fn set_aside(path: &Path, bytes: &[u8]) -> io::Result<PathBuf> {
    let aside = free(|number| with_ending(path, &format!(".torn-{number}")));
    write_whole(&aside, bytes)?;
    Ok(aside)
}

/// The first path of a row that no file has yet.
#[must_use]
pub fn free(path: impl Fn(u32) -> PathBuf) -> PathBuf {
    let mut number = 1;
    while path(number).exists() && number < u32::MAX {
        number += 1;
    }
    path(number)
}

/// Why something could not be done, in plain words.
#[must_use]
pub fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file or folder".to_owned(),
        io::ErrorKind::PermissionDenied => "that is not allowed here".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        _ => error.to_string(),
    }
}

fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// A journal that is appended to. Nobody else can while this lives.
#[derive(Debug)]
pub struct Appender {
    file: File,
    _lock: Lock,
}

impl Appender {
    /// Opens a journal under its lock, keeping its first `whole` bytes.
    ///
    /// # Errors
    /// Where it cannot be opened or cut.
    pub fn open(path: &Path, lock: Lock, whole: u64) -> io::Result<Self> {
        let file = OpenOptions::new().append(true).open(path)?;
        if file.metadata()?.len() > whole {
            file.set_len(whole)?;
            file.sync_all()?;
        }
        Ok(Appender { file, _lock: lock })
    }

    /// Appends a text and flushes it to the disk.
    ///
    /// # Errors
    /// Where that fails; the text may then stand there in part.
    pub fn append(&mut self, text: &str) -> io::Result<()> {
        self.file.write_all(text.as_bytes())?;
        self.file.sync_data()
    }
}

/// The lock of a journal: a file of its own beside it, gone when the ride is left.
#[derive(Debug)]
pub struct Lock {
    path: PathBuf,
    _file: File,
}

/// Why a lock was not had.
#[derive(Debug)]
pub enum NotLocked {
    /// Another ride holds it; what that ride wrote into it.
    Held(String),
    Failed(io::Error),
}

impl Lock {
    /// Takes the lock of a journal and writes into it who holds it.
    ///
    /// # Errors
    /// Where another ride holds it, or the folder cannot be written.
    pub fn take(journal: &Path, holder: &str) -> Result<Self, NotLocked> {
        let folder = folder_of(journal);
        let name = journal.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        let path = folder.join(format!(".{name}.lock"));
        fs::create_dir_all(&folder).map_err(NotLocked::Failed)?;
        loop {
            let mut file = OpenOptions::new()
                .create(true)
                .read(true)
                .write(true)
                .truncate(false)
                .open(&path)
                .map_err(NotLocked::Failed)?;
            match file.try_lock() {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => {
                    let mut held = String::new();
                    let _ = file.read_to_string(&mut held);
                    return Err(NotLocked::Held(held.trim().to_owned()));
                }
                Err(TryLockError::Error(error)) => return Err(NotLocked::Failed(error)),
            }
            // The one who held it may have taken the file away between our opening and locking it.
            if !same_file(&file, &path) {
                continue;
            }
            file.set_len(0).map_err(NotLocked::Failed)?;
            file.write_all(holder.as_bytes()).map_err(NotLocked::Failed)?;
            return Ok(Lock { path, _file: file });
        }
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.path);
    }
}

#[cfg(unix)]
fn same_file(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (file.metadata(), fs::metadata(path)) {
        (Ok(ours), Ok(theirs)) => ours.dev() == theirs.dev() && ours.ino() == theirs.ino(),
        _ => false,
    }
}

#[cfg(not(unix))]
fn same_file(_file: &File, path: &Path) -> bool {
    path.exists()
}
