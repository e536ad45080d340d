//! Owns a journal's text as it grows: all of its bytes and its last checksum. It knows nothing of the disk.

use super::journal::{Change, Head, Record, write_change, write_head, write_record};

/// A journal's text, from its head on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Book {
    text: Vec<u8>,
    /// The last checksum.
    seal: String,
}

/// What one more record adds to a book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Addition {
    text: String,
    seal: String,
}

impl Addition {
    /// The text that comes behind the book's.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl Book {
    /// The book of a ride that begins.
    #[must_use]
    pub fn begin(head: &Head) -> Self {
        let (text, seal) = write_head(head);
        Book { text: text.into_bytes(), seal }
    }

    /// The book of a ride that goes on: what is kept of its journal, and the last checksum in it. A last line
    /// without an end gets one.
    #[must_use]
    pub fn go_on(mut kept: Vec<u8>, seal: &str) -> Self {
        if !kept.ends_with(b"\n") {
            kept.push(b'\n');
        }
        Book { text: kept, seal: seal.to_owned() }
    }

    /// Everything that is in it.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.text
    }

    /// What an answer adds.
    #[must_use]
    pub fn record(&self, record: &Record) -> Addition {
        self.addition(write_record(record, &self.seal))
    }

    /// What a changed set adds.
    #[must_use]
    pub fn change(&self, change: &Change) -> Addition {
        self.addition(write_change(change, &self.seal))
    }

    /// A record begins with an empty line, which may be there already.
    fn addition(&self, (text, seal): (String, String)) -> Addition {
        let is_there = self.text.ends_with(b"\n\n");
        let text = if is_there { text.trim_start_matches('\n').to_owned() } else { text };
        Addition { text, seal }
    }

    /// Adds what this book said that a record adds.
    pub fn add(&mut self, addition: Addition) {
        self.text.extend_from_slice(addition.text.as_bytes());
        self.seal = addition.seal;
    }
}
