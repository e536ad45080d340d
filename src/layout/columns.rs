//! Owns the columns: where the first phrase of each entry begins, and where a line that goes on does.

use crate::vocabulary::{Heading, KNOBS, entry_words};

use super::rows::Row;

/// How far entries are indented.
pub(super) const INDENT: usize = 2;
/// The longest entry words that share one column.
const SHORT: usize = 11;
/// Words up to this length make a column even where they do not stand in it.
const USUAL: usize = 7;
/// The farthest column in which a line may go on.
const FARTHEST: usize = 44;

/// The columns of one entry.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Column {
    /// The width of its entry word.
    pub head: usize,
    /// Where its further lines begin.
    pub rest: usize,
}

/// The columns of each row; of rows that are no entry, nothing. Entries with no blank row and no
/// heading between share them: all short entry words, and long ones that stand below each other.
pub(super) fn columns(rows: &[Row]) -> Vec<Column> {
    let mut columns = vec![Column::default(); rows.len()];
    let mut at = 0;
    while at < rows.len() {
        let end = rows[at..].iter().position(|row| matches!(row, Row::Blank | Row::Heading(..)));
        let end = end.map_or(rows.len(), |end| at + end);
        group(rows, at..end, &mut columns);
        at = end + 1;
    }
    columns
}

fn group(rows: &[Row], range: std::ops::Range<usize>, columns: &mut [Column]) {
    let entries: Vec<(usize, Heading, &str)> = range
        .filter_map(|at| match &rows[at] {
            Row::Entry(heading, written) => Some((at, *heading, written.head())),
            _ => None,
        })
        .collect();
    let width = |head: &str| head.chars().count();
    let short = entries.iter().map(|(.., head)| width(head)).filter(|&width| width <= SHORT).max();
    let is_long = |head: &str| width(head) > SHORT && KNOBS.iter().any(|row| row.word == head);
    for (index, &(at, heading, head)) in entries.iter().enumerate() {
        let usual = usual(heading);
        let wide = if width(head) <= SHORT {
            short.unwrap_or(0).max(usual)
        } else if is_long(head) {
            let long = |(.., head): &&(usize, Heading, &str)| is_long(head);
            let before = entries[..index].iter().rev().take_while(long);
            let after = entries[index..].iter().take_while(long);
            before.chain(after).map(|(.., head)| width(head)).max().unwrap_or(0)
        } else {
            width(head)
        };
        let rest = INDENT + wide + 1;
        let rest = if rest > FARTHEST { INDENT + usual + 1 } else { rest };
        columns[at] = Column { head: wide, rest };
    }
}

/// The longest usual entry word under a heading.
fn usual(heading: Heading) -> usize {
    let widths = entry_words(heading).into_iter().map(str::len);
    widths.filter(|&width| width <= USUAL).max().unwrap_or(0)
}
