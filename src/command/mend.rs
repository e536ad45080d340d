//! Owns what becomes of the bad part of a journal that is gone on with: it is set aside whole, and said. It
//! opens no journal.

use std::io;
use std::path::Path;

use crate::disk;
use crate::record::{Damaged, Fork, How, Journal, Rest};

use super::screen::Screen;

/// What is kept of a journal's bytes. All else is in a file beside it, and the screen says which.
///
/// # Errors
/// If that cannot be written; the journal is then as it was.
pub(super) fn mended(path: &Path, journal: &Journal, bytes: Vec<u8>, screen: Screen) -> io::Result<Vec<u8>> {
    let name = path.display();
    let aside = || disk::set_aside(path, "damaged", &bytes[journal.whole.min(bytes.len())..]);
    match &journal.rest {
        Rest::Nothing => return Ok(bytes),
        Rest::Torn => {
            let aside = aside()?;
            screen.say(&format!(
                "{name}: the last record is only half saved. It is now in {}; you have every answer before \
                    it.",
                aside.display()
            ));
        }
        Rest::Damaged(damaged) => {
            let aside = aside()?;
            screen.say(&format!("{name}: {} now in {}.", told(damaged), aside.display()));
        }
        Rest::Forked(fork) => {
            if fork.their_entries.is_empty() {
                screen.say(&format!("{name}: some records are in it twice. Each counts once."));
            } else {
                let aside = disk::set_aside(path, "branch", fork.theirs.as_bytes())?;
                let count = journal.entries.len().saturating_sub(fork.shared);
                screen.say(&format!("{name}: {}", told_of(fork, count, &aside)));
            }
            disk::write_whole(path, fork.ours.as_bytes())?;
        }
    }
    Ok(journal.kept(&bytes).to_owned())
}

/// What is wrong with a damaged journal, and how much of it is out of use.
fn told(damaged: &Damaged) -> String {
    let how = match damaged.how {
        How::Changed => "is damaged or was changed by hand",
        How::Doubled => "is in the file twice",
        How::Missing => "comes after a record that is missing",
        How::Moved => "is in the wrong place",
    };
    let which = match damaged.records {
        1 => "It is".to_owned(),
        2 => "It and the record after it are".to_owned(),
        more => format!("It and the {} records after it are", more - 1),
    };
    format!("record {} (line {}) {how}. {which}", damaged.record, damaged.line)
}

/// What is said of a ride that went on in two branches.
fn told_of(fork: &Fork, ours: usize, aside: &Path) -> String {
    let theirs = fork.their_entries.len();
    let records = |count: usize| if count == 1 { "1 record".to_owned() } else { format!("{count} records") };
    let aside = aside.display();
    format!(
        "a git merge joined two copies of this session. Both have the same {}; then one has {} more, the \
            other {}. You carry on with the first. For the other, add `--journal {aside}`.",
        records(fork.shared),
        records(ours),
        records(theirs)
    )
}
