//! Owns the journal as a ride writes it: every record is flushed before it counts, and if the file is lost
//! while the rider rides, everything is written again. It knows nothing of questions.

use std::io;
use std::path::{Path, PathBuf};

use crate::disk::{self, Appender, Lock, NotLocked, Standing};
use crate::record::{Addition, Book};

use super::screen::Screen;

/// The journal's file as it is written to.
pub(super) struct Pen {
    path: PathBuf,
    appender: Appender,
    /// Who writes, as its lock says it.
    holder: String,
    screen: Screen,
}

impl Pen {
    /// A pen at the end of a journal's file, of which so many bytes are kept: the first of its book. What the file has
    /// beyond them is cut off; what the book has beyond them is added.
    ///
    /// # Errors
    /// If the file cannot be opened, cut or written.
    pub fn open(
        path: PathBuf,
        lock: Lock,
        kept: usize,
        book: &Book,
        holder: &str,
        screen: Screen,
    ) -> io::Result<Self> {
        let mut appender = Appender::open(&path, lock, kept as u64)?;
        let more = book.bytes().get(kept..).and_then(|more| str::from_utf8(more).ok()).unwrap_or("");
        if !more.is_empty() {
            appender.append(more)?;
        }
        Ok(Pen { path, appender, holder: holder.to_owned(), screen })
    }

    /// Where the journal is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes down what is added to a book.
    ///
    /// # Errors
    /// If that fails; the journal is then as it was.
    pub fn append(&mut self, book: &Book, addition: &Addition) -> io::Result<()> {
        self.keep_all(book)?;
        self.appender.append(addition.text())
    }

    /// Makes sure that the journal is still where it was, and whole; if it is not, writes all of it again
    /// and says so.
    ///
    /// # Errors
    /// If it cannot be written again.
    pub fn keep_all(&mut self, book: &Book) -> io::Result<()> {
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
        let in_place = standing == Standing::Gone && self.write_in_place(book)?;
        if !in_place {
            self.write_beside(book)?;
        }
        self.screen.say(&format!(
            "{} {what} while you were riding. Everything is saved again in {}.",
            old.display(),
            self.path.display()
        ));
        Ok(())
    }

    /// Writes everything at the journal's own path; `false` if another file came there meanwhile.
    fn write_in_place(&mut self, book: &Book) -> io::Result<bool> {
        if !self.appender.holds_its_lock() {
            return Ok(false);
        }
        match disk::write_new(&self.path, book.bytes()) {
            Ok(()) => self.appender.reopen().map(|()| true),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(false),
            Err(error) => Err(error),
        }
    }

    /// Writes everything beside the journal, under the next free number and a lock of its own.
    fn write_beside(&mut self, book: &Book) -> io::Result<()> {
        let (path, lock) = begin_file(&self.path, 2, book.bytes(), &self.holder)?;
        self.appender = Appender::open(&path, lock, book.bytes().len() as u64)?;
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
        let path = disk::numbered(journal, number);
        if disk::what_is(&path)? != disk::Thing::Missing {
            continue;
        }
        let lock = match Lock::take(&path, holder) {
            Ok(lock) => lock,
            Err(NotLocked::Held(_)) => continue,
            Err(NotLocked::Failed(error)) => return Err(error),
        };
        match disk::write_new(&path, text) {
            Ok(()) => return Ok((path, lock)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    Err(io::ErrorKind::AlreadyExists.into())
}
