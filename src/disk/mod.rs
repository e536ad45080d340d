//! Owns the disk: what a path is, reading with a bound, writing whole or not at all, what is set aside and
//! swept. Of what the files say it knows the line that ends a ride, and no more.
//!
//! Only regular files are read and written. A link to one is followed and stays a link; devices, pipes and
//! sockets are neither waited for nor replaced.

#![allow(clippy::disallowed_methods, reason = "this is the room where files are touched")]

mod appender;
mod sources;
mod words;

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

pub use appender::{Appender, Lock, NotLocked, Standing};
pub use sources::Disk;
pub use words::in_words;

use crate::set::folder_of;

/// The largest file that is read, in bytes.
pub const LARGEST: u64 = 16 * 1024 * 1024;

/// How the names of our temporary files begin and end, and how many letters and digits are between.
const TEMPORARY: (&str, usize, &str) = (".clickwise-", 6, ".tmp");

/// A temporary file that is younger may still be written by another process.
const OLD: Duration = Duration::from_hours(1);

/// How much of a settings file is looked at to see whether its ride is finished, in bytes.
const LOOKED_AT: usize = 64 * 1024;

/// The line of a settings file that says that its ride is finished.
const FINISHED: &[u8] = b"finished = true";

/// What a path is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Thing {
    /// Nothing is there.
    Missing,
    /// A regular file, or a link to one: where the file truly is.
    File(PathBuf),
    Folder,
    /// A link to something that is not there.
    LostLink,
    /// Something that is neither: what it is, in a word.
    Other(&'static str),
}

impl Thing {
    /// Why this cannot be read or written as a file; `None` if it can.
    #[must_use]
    pub fn misfit(&self) -> Option<io::Error> {
        let wrong = |text: String| Some(io::Error::new(io::ErrorKind::InvalidInput, text));
        match self {
            Thing::Missing | Thing::File(_) => None,
            Thing::Folder => Some(io::ErrorKind::IsADirectory.into()),
            Thing::LostLink => wrong("it is a link to a file that is not there".to_owned()),
            Thing::Other(word) => wrong(format!("it is a {word}, not a file")),
        }
    }
}

/// What a path is. Nothing is opened, so nothing is waited for.
///
/// # Errors
/// If the system does not let it be looked up.
pub fn what_is(path: &Path) -> io::Result<Thing> {
    let missing = |error: &io::Error| error.kind() == io::ErrorKind::NotFound;
    let itself = match fs::symlink_metadata(path) {
        Ok(itself) => itself,
        Err(error) if missing(&error) => return Ok(Thing::Missing),
        Err(error) => return Err(error),
    };
    if !itself.is_symlink() {
        return kind(itself.file_type(), || Ok(path.to_owned()));
    }
    match fs::metadata(path) {
        Ok(target) => kind(target.file_type(), || path.canonicalize()),
        Err(error) if missing(&error) => Ok(Thing::LostLink),
        Err(error) => Err(error),
    }
}

fn kind(kind: fs::FileType, place: impl Fn() -> io::Result<PathBuf>) -> io::Result<Thing> {
    Ok(if kind.is_file() {
        Thing::File(place()?)
    } else if kind.is_dir() {
        Thing::Folder
    } else {
        Thing::Other(word_for(kind))
    })
}

#[cfg(unix)]
fn word_for(kind: fs::FileType) -> &'static str {
    use std::os::unix::fs::FileTypeExt;
    if kind.is_fifo() {
        "pipe"
    } else if kind.is_socket() {
        "socket"
    } else {
        "device"
    }
}

#[cfg(not(unix))]
fn word_for(_: fs::FileType) -> &'static str {
    "device"
}

/// Where the file of a path truly is, or is to be; an error if it cannot be one.
fn place_of(path: &Path) -> io::Result<PathBuf> {
    let thing = what_is(path)?;
    match thing.misfit() {
        Some(error) => Err(error),
        None => Ok(if let Thing::File(place) = thing { place } else { path.to_owned() }),
    }
}

/// Opens a file where it truly is. What took its place since it was looked at is not followed, not waited
/// for and not taken for a file.
fn open(place: &Path, options: &mut OpenOptions) -> io::Result<File> {
    unfollowed(options);
    let file = options.open(place)?;
    let kind = file.metadata()?.file_type();
    match self::kind(kind, || Ok(place.to_owned()))?.misfit() {
        Some(error) => Err(error),
        None => Ok(file),
    }
}

#[cfg(unix)]
fn unfollowed(options: &mut OpenOptions) {
    use std::os::unix::fs::OpenOptionsExt;
    options.custom_flags(libc::O_NOFOLLOW | libc::O_NONBLOCK);
}

#[cfg(not(unix))]
fn unfollowed(_: &mut OpenOptions) {}

/// Reads a whole file.
///
/// # Errors
/// If it is no regular file, cannot be read or is larger than 16 mebibytes.
pub fn read(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut file = open(&place_of(path)?, OpenOptions::new().read(true))?.take(LARGEST + 1);
    file.read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LARGEST {
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, "it is bigger than 16 MB"));
    }
    Ok(bytes)
}

/// Reads a file if there is one.
///
/// # Errors
/// If there is one and it cannot be read.
pub fn read_if_there(path: &Path) -> io::Result<Option<Vec<u8>>> {
    match read(path) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

fn sync_folder(folder: &Path) {
    // Not every system lets a folder be flushed; the file itself is flushed already.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}

/// Writes a file whole or not at all: into a temporary file beside it, flushed, then renamed. A link stays
/// a link; what it leads to is written.
///
/// # Errors
/// If it is no regular file, or the folder or the file cannot be written; the old file is then unchanged.
pub fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let place = place_of(path)?;
    let file = beside(&place, bytes)?;
    file.persist(&place).map_err(|error| error.error)?;
    sync_folder(&folder_of(&place));
    Ok(())
}

/// Writes a file that is not there yet, whole or not at all.
///
/// # Errors
/// If anything is there already, which stays as it is, or if it cannot be written.
pub fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let file = beside(path, bytes)?;
    file.persist_noclobber(path).map_err(|error| error.error)?;
    sync_folder(&folder_of(path));
    Ok(())
}

/// A flushed temporary file in the folder of a path. Old ones are swept first.
fn beside(path: &Path, bytes: &[u8]) -> io::Result<tempfile::NamedTempFile> {
    let folder = folder_of(path);
    fs::create_dir_all(&folder)?;
    sweep(&folder);
    let (prefix, letters, suffix) = TEMPORARY;
    let mut builder = tempfile::Builder::new();
    let mut file = builder.prefix(prefix).rand_bytes(letters).suffix(suffix).tempfile_in(&folder)?;
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

/// Takes away our temporary files that an interrupted run left in a folder more than an hour ago. Younger
/// ones stay: another process may be writing them.
pub fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten().filter(|entry| is_temporary(&entry.file_name().to_string_lossy())) {
        let age = || entry.metadata().ok().filter(fs::Metadata::is_file)?.modified().ok()?.elapsed().ok();
        if age().is_some_and(|age| age > OLD) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

fn is_temporary(name: &str) -> bool {
    let (prefix, letters, suffix) = TEMPORARY;
    let between = name.strip_prefix(prefix).and_then(|rest| rest.strip_suffix(suffix));
    between.is_some_and(|text| text.len() == letters && text.bytes().all(|byte| byte.is_ascii_alphanumeric()))
}

/// The names of the journals in a folder, sorted. Neither folders nor pipes nor devices are journals.
#[must_use]
pub fn journals_in(folder: &Path) -> Vec<String> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let is_file =
        |entry: &fs::DirEntry| entry.file_type().is_ok_and(|kind| kind.is_file() || kind.is_symlink());
    let names = entries.flatten().filter(is_file).filter_map(|entry| entry.file_name().into_string().ok());
    let mut names: Vec<_> = names.filter(|name| name.ends_with(JOURNAL)).collect();
    names.sort();
    names
}

/// How the name of a journal ends.
pub const JOURNAL: &str = ".ride.toml";

/// Whether the settings file beside a journal has a line that says that the ride is finished.
#[must_use]
pub fn finished_beside(journal: &Path) -> bool {
    let stem = journal.file_name().and_then(|name| name.to_str()?.strip_suffix(JOURNAL));
    let Some(stem) = stem else { return false };
    let mut options = OpenOptions::new();
    unwaited(options.read(true));
    let Ok(mut file) = options.open(journal.with_file_name(format!("{stem}.settings.toml"))) else {
        return false;
    };
    let says = |bytes: &[u8]| bytes.split(|byte| *byte == b'\n').any(|line| line.trim_ascii() == FINISHED);
    let (mut bytes, mut read) = (vec![0; LOOKED_AT], 0);
    // most settings come in one piece; whether more follows is not asked where it is in that one
    while !says(&bytes[..read]) {
        match file.read(&mut bytes[read..]) {
            Ok(0) | Err(_) => return false,
            Ok(more) => read += more,
        }
    }
    true
}

#[cfg(unix)]
fn unwaited(options: &mut OpenOptions) {
    use std::os::unix::fs::OpenOptionsExt;
    options.custom_flags(libc::O_NONBLOCK);
}

#[cfg(not(unix))]
fn unwaited(_: &mut OpenOptions) {}

/// Sets bytes aside in a file beside another, under a name of its own, and gives that name. What is set
/// aside already is not set aside twice.
///
/// # Errors
/// If that cannot be written.
pub fn set_aside(path: &Path, ending: &str, bytes: &[u8]) -> io::Result<PathBuf> {
    for number in 1..u32::MAX {
        let aside = with_ending(path, &format!(".{ending}-{number}"));
        match write_new(&aside, bytes) {
            Ok(()) => return Ok(aside),
            Err(_) if read(&aside).is_ok_and(|there| there == bytes) => return Ok(aside),
            Err(_) if fs::symlink_metadata(&aside).is_ok() => {}
            Err(error) => return Err(error),
        }
    }
    Err(io::ErrorKind::AlreadyExists.into())
}

/// Renames a file so that it is out of the way, and gives its new name.
///
/// # Errors
/// If that cannot be done.
pub fn put_aside(path: &Path, ending: &str) -> io::Result<PathBuf> {
    let aside = free(|number| with_ending(path, &format!(".{ending}-{number}")));
    fs::rename(path, &aside)?;
    sync_folder(&folder_of(path));
    Ok(aside)
}

/// The first path of a row at which nothing is yet.
#[must_use]
pub fn free(path: impl Fn(u32) -> PathBuf) -> PathBuf {
    let mut number = 1;
    while fs::symlink_metadata(path(number)).is_ok() && number < u32::MAX {
        number += 1;
    }
    path(number)
}

/// The path of a journal with a number: `a.ride.toml` for 1, `a-2.ride.toml` for 2.
#[must_use]
pub fn numbered(journal: &Path, number: u32) -> PathBuf {
    if number == 1 {
        return journal.to_owned();
    }
    let name = journal.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let (stem, ending) = match name.strip_suffix(JOURNAL) {
        Some(stem) => (stem, JOURNAL),
        None => name.rfind('.').filter(|at| *at > 0).map_or((name.as_str(), ""), |at| name.split_at(at)),
    };
    journal.with_file_name(format!("{stem}-{number}{ending}"))
}

fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}
