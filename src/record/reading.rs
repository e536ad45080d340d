//! Owns the reading of a journal: as far as each record follows from the one before, and what comes after
//! that. It knows nothing of the disk.

use super::entry::{read_entry, read_head};
use super::forked::{self, Fork, Forked};
use super::journal::{Entry, FORMAT, Head};
use super::pieces::{Piece, cut, remarks};

/// A journal as it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Journal {
    pub head: Head,
    /// The records that follow from the head, each from the one before.
    pub entries: Vec<Entry>,
    /// The last checksum; the next record's builds on it.
    pub seal: String,
    /// How many bytes of the file are good: the head, the records, and a person's lines after them.
    pub whole: usize,
    /// What comes after that.
    pub rest: Rest,
}

impl Journal {
    /// What of its bytes is kept where its ride goes on: those of the first of two branches, else all that are good.
    #[must_use]
    pub fn kept<'a>(&'a self, bytes: &'a [u8]) -> &'a [u8] {
        match &self.rest {
            Rest::Nothing => bytes,
            Rest::Torn | Rest::Damaged(_) => bytes.get(..self.whole).unwrap_or(bytes),
            Rest::Forked(fork) => fork.ours.as_bytes(),
        }
    }
}

/// What comes after the last good record of a journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Rest {
    Nothing,
    /// A record that was saved in part; it was never acknowledged.
    Torn,
    /// A record that does not follow, and all after it.
    Damaged(Damaged),
    /// Two branches went on with the same ride, and both their records were kept.
    Forked(Box<Fork>),
}

/// Records that cannot be trusted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Damaged {
    /// The line on which the first of them begins, from 1.
    pub line: usize,
    /// Which record of the file that is, from 1.
    pub record: usize,
    /// How many there are, with the damaged one.
    pub records: usize,
    pub how: How,
    /// What they say, if every one of them can be read, whether it can be trusted or not.
    pub said: Option<Vec<Entry>>,
}

/// How a record does not follow.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// It was changed by hand or is damaged.
    Changed,
    /// It is in the file already.
    Doubled,
    /// What comes before it is not in the file.
    Missing,
    /// What comes before it comes later in the file.
    Moved,
}

/// Why a journal cannot be gone on with at all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Damage {
    /// There is nothing in it but a part of a beginning.
    NoHead,
    /// It has none of the marks of a journal.
    NoJournal,
    /// The beginning does not match its checksum.
    Head {
        /// How many records come after it.
        records: usize,
    },
    /// It is of a later format.
    Later(u64),
    /// A piece matches its checksum, and still cannot be read.
    Unreadable { line: usize },
    /// It has the marks of an unfinished merge.
    Merge { line: usize },
}

/// The line of the first mark of an unfinished merge, from 1.
fn merge_mark(bytes: &[u8]) -> Option<usize> {
    let is_mark = |line: &[u8]| {
        let begins = |mark: &[u8]| {
            line.strip_prefix(mark).is_some_and(|rest| matches!(rest.first(), None | Some(b' ' | b'\r')))
        };
        begins(b"<<<<<<<") || begins(b">>>>>>>")
    };
    bytes.split(|byte| *byte == b'\n').position(is_mark).map(|index| index + 1)
}

/// The format that a journal names on its first line that says something.
fn named_format(bytes: &[u8]) -> Option<u64> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let line = bytes[remarks(bytes).0..].split(|byte| *byte == b'\n').next()?;
    let number = str::from_utf8(line).ok()?.trim_end().strip_prefix("format = ")?;
    number.parse().ok()
}

/// Why a head cannot be read, if its first piece does not follow.
fn head_damage(bytes: &[u8], pieces: &[Piece]) -> Damage {
    let first = format!("format = {FORMAT}\n");
    let later = named_format(bytes).filter(|format| *format > u64::from(FORMAT));
    if pieces.is_empty() {
        let text = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
        let text = &text[remarks(text).0..];
        return match later {
            Some(later) => Damage::Later(later),
            None if first.as_bytes().starts_with(text) || text.starts_with(first.trim_end().as_bytes()) => {
                Damage::NoHead
            }
            None => Damage::NoJournal,
        };
    }
    later.map_or(Damage::Head { records: pieces.len() - 1 }, Damage::Later)
}

/// How a piece does not follow from those before it.
fn how(pieces: &[Piece], at: usize) -> How {
    let piece = &pieces[at];
    let number = |piece: &Piece| {
        let number = piece.body.as_ref()?.lines().find_map(|line| line.strip_prefix("number = "))?;
        number.parse::<u32>().ok()
    };
    if pieces[..at].iter().any(|other| other.carried == piece.carried && other.body == piece.body) {
        return How::Doubled;
    }
    // it follows from a piece that is not the one before
    if pieces[at + 1..].iter().any(|other| piece.follows(other.carried)) {
        return How::Moved;
    }
    let before = pieces[..at].iter().rev().find_map(number).unwrap_or(0);
    let after = pieces[at + 1..].iter().find_map(number);
    match number(piece) {
        // a number that was damaged does not go with the next one
        Some(number) if number > before + 1 && after.is_none_or(|after| after == number + 1) => How::Missing,
        _ => How::Changed,
    }
}

fn damaged(pieces: &[Piece], at: usize) -> Damaged {
    let said = |piece: &Piece| piece.body.as_deref().and_then(read_entry);
    Damaged {
        line: pieces[at].line,
        record: at,
        records: pieces.len() - at,
        how: how(pieces, at),
        said: pieces[at..].iter().map(said).collect(),
    }
}

/// Reads a journal as far as each record follows from the one before. Line ends, a byte order mark, blank
/// lines and comments between records do not count.
///
/// # Errors
/// If it has no good beginning, is of a later format or of an unfinished merge.
pub fn read_journal(bytes: &[u8]) -> Result<Journal, Damage> {
    if let Some(line) = merge_mark(bytes) {
        return Err(Damage::Merge { line });
    }
    let cut = cut(bytes);
    let pieces = &cut.pieces;
    let first = pieces.first().filter(|piece| piece.follows(""));
    let Some(first) = first else { return Err(head_damage(bytes, pieces)) };
    if let Some(later) = named_format(bytes).filter(|format| *format > u64::from(FORMAT)) {
        return Err(Damage::Later(later));
    }
    let head = first.body.as_deref().and_then(read_head);
    let head = head.ok_or(Damage::Unreadable { line: first.line })?;
    let mut entries = Vec::new();
    let mut before = first.carried;
    for piece in &pieces[1..] {
        if !piece.follows(before) {
            break;
        }
        let entry = piece.body.as_deref().and_then(read_entry);
        entries.push(entry.ok_or(Damage::Unreadable { line: piece.line })?);
        before = piece.carried;
    }
    let good = entries.len() + 1;
    let begin = pieces.get(good).map_or(cut.rest, |piece| piece.place.start);
    let (skipped, _) = remarks(&bytes[begin..]);
    let journal = |seal: &str, whole, rest| Journal { head, entries, seal: seal.to_owned(), whole, rest };
    if good < pieces.len() {
        if let Some(forked) = forked::read(bytes, &cut, good) {
            let Forked { seal, our_entries, fork } = forked;
            let mut journal = journal(&seal, bytes.len(), Rest::Forked(Box::new(fork)));
            journal.entries.extend(our_entries);
            return Ok(journal);
        }
        let damaged = damaged(pieces, good);
        return Ok(journal(before, begin + kept_remarks(&bytes[begin..]), Rest::Damaged(damaged)));
    }
    if begin + skipped == bytes.len() {
        return Ok(journal(before, bytes.len(), Rest::Nothing));
    }
    Ok(journal(before, begin + kept_remarks(&bytes[begin..]), Rest::Torn))
}

/// How much of what comes before a bad record is a person's: up to the last comment.
fn kept_remarks(bytes: &[u8]) -> usize {
    let remarks = &bytes[..remarks(bytes).0];
    let mut kept = 0;
    let mut at = 0;
    for line in remarks.split_inclusive(|byte| *byte == b'\n') {
        at += line.len();
        if !line.trim_ascii().is_empty() {
            kept = at;
        }
    }
    kept
}
