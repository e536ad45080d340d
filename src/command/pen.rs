//! Owns the journal as a ride writes it: every record is flushed before it counts, and if the file is lost
//! while the rider rides, everything is written again. It knows nothing of questions.

use std::io;
use std::path::{Path, PathBuf};

use crate::record::files::{self, Appender, Lock, NotLocked, Standing};
use crate::record::{Change, Record, write_change, write_record};

use super::screen::Screen;

/// The journal as it is written to.
pub(super) struct Pen {
    path: PathBuf,
    appender: Appender,
    /// The last checksum.
    check: String,
    /// Everything that is in the journal.
    text: Vec<u8>,
    /// Who writes, as its lock says it.
    holder: String,
    screen: Screen,
}

impl Pen {
    /// A pen at the end of a journal that has this text and this last checksum. What the file has beyond
    /// the text is cut off.
    ///
    /// # Errors
    /// If the file cannot be opened or cut.
    pub fn open(
        path: PathBuf,
        lock: Lock,
        mut text: Vec<u8>,
        check: String,
        holder: &str,
        screen: Screen,
    ) -> io::Result<Self> {
        let mut appender = Appender::open(&path, lock, text.len() as u64)?;
        if !text.ends_with(b"\n") {
            appender.append("\n")?;
            text.push(b'\n');
        }
        Ok(Pen { path, appender, check, text, holder: holder.to_owned(), screen })
    }

    /// Where the journal is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes an answer down.
    ///
    /// # Errors
    /// If that fails; the journal is then as it was.
    pub fn record(&mut self, record: &Record) -> io::Result<()> {
        let (text, check) = write_record(record, &self.check);
        self.append(&text, check)
    }

    /// Writes down that the files have changed.
    ///
    /// # Errors
    /// If that fails; the journal is then as it was.
    pub fn change(&mut self, change: &Change) -> io::Result<()> {
        let (text, check) = write_change(change, &self.check);
        self.append(&text, check)
    }

    fn append(&mut self, text: &str, check: String) -> io::Result<()> {
        self.keep_all()?;
        // a record begins with an empty line, which may be there already
        let text = if self.text.ends_with(b"\n\n") { text.trim_start_matches('\n') } else { text };
        self.appender.append(text)?;
        self.text.extend_from_slice(text.as_bytes());
        self.check = check;
        Ok(())
    }

    /// Makes sure that the journal is still where it was, and whole; if it is not, writes all of it again
    /// and says so.
    ///
    /// # Errors
    /// If it cannot be written again.
    pub fn keep_all(&mut self) -> io::Result<()> {
        let standing = self.appender.standing();
        let what = match standing {
            Standing::Whole => return Ok(()),
            Standing::NoFolder => return Err(io::Error::other("its folder is gone")),
            Standing::Gone => "is gone",
            Standing::Replaced => "was replaced by another file",
            Standing::Cut => "was changed",
        };
        let old = self.path.clone();
        // where nothing is, it can be written again; what took its place is not touched
        let in_place = standing == Standing::Gone && self.write_in_place()?;
        if !in_place {
            self.write_beside()?;
        }
        self.screen.say(&format!(
            "{} {what} while you ride. Everything is saved again in {}.",
            old.display(),
            self.path.display()
        ));
        Ok(())
    }

    /// Writes everything at the journal's own path; `false` if another file came there meanwhile.
    fn write_in_place(&mut self) -> io::Result<bool> {
        if !self.appender.holds_its_lock() {
            return Ok(false);
        }
        match files::write_new(&self.path, &self.text) {
            Ok(()) => self.appender.reopen().map(|()| true),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(false),
            Err(error) => Err(error),
        }
    }

    /// Writes everything beside the journal, under the next free number and a lock of its own.
    fn write_beside(&mut self) -> io::Result<()> {
        let (path, lock) = begin_file(&self.path, 2, &self.text, &self.holder)?;
        self.appender = Appender::open(&path, lock, self.text.len() as u64)?;
        self.path = path;
        Ok(())
    }
}

/// Writes a journal that is not there yet, under the first free number of its name from `first` on, and
/// gives its path and its lock. Two processes never get the same.
///
/// # Errors
/// If it cannot be written.
pub(super) fn begin_file(
    journal: &Path,
    first: u32,
    text: &[u8],
    holder: &str,
) -> io::Result<(PathBuf, Lock)> {
    for number in first..u32::MAX {
        let path = files::numbered(journal, number);
        if files::what_is(&path)? != files::Thing::Missing {
            continue;
        }
        let lock = match Lock::take(&path, holder) {
            Ok(lock) => lock,
            Err(NotLocked::Held(_)) => continue,
            Err(NotLocked::Failed(error)) => return Err(error),
        };
        match files::write_new(&path, text) {
            Ok(()) => return Ok((path, lock)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    Err(io::ErrorKind::AlreadyExists.into())
}
