//! Owns the one layout of a file: headings at the margin, entries below them, their phrases in
//! columns. It reads the pieces of each line, and knows nothing of what a plan means.

mod columns;
mod pieces;
mod rows;
mod spelling;

use crate::language::Tree;

use columns::{INDENT, columns};
use rows::{Row, rows};

/// Writes a file anew in the one layout. The lines of `tree` are those of `text`. A line that could
/// not be read stays as it is; no comment is lost.
#[must_use]
pub fn format(tree: &Tree, text: &str) -> String {
    let rows = rows(tree, text);
    let columns = columns(&rows);
    let mut lines: Vec<String> = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        match row {
            Row::Blank => lines.push(String::new()),
            Row::Comment(comment) => lines.push(format!("{}{comment}", " ".repeat(indent_at(&rows, at)))),
            Row::Heading(_, written) => lines.extend(written.lines(0, 0, INDENT)),
            Row::Entry(_, written) => {
                let column = columns[at];
                lines.extend(written.lines(INDENT, column.head, column.rest));
            }
            Row::AsItStands(raw) => lines.extend(raw.iter().cloned()),
        }
    }
    let end = if has_carriage_returns(text) { "\r\n" } else { "\n" };
    lines.into_iter().map(|line| line + end).collect()
}

/// Whether most lines end as some systems have it, with a carriage return before the line feed.
fn has_carriage_returns(text: &str) -> bool {
    2 * text.matches("\r\n").count() > text.matches('\n').count()
}

/// Where a comment begins: where what follows it does; where nothing follows at once, where what
/// stands right above it does.
fn indent_at(rows: &[Row], at: usize) -> usize {
    let next = rows[at..].iter().find(|row| !matches!(row, Row::Comment(_)));
    let above = rows[..at].iter().rev().find(|row| !matches!(row, Row::Comment(_)));
    match (next, above) {
        (Some(Row::Entry(..)), _) => INDENT,
        (Some(Row::Heading(..) | Row::AsItStands(_)), _) => 0,
        (_, Some(Row::Entry(..))) => INDENT,
        (_, Some(Row::Heading(heading, _))) if heading.has_entries() => INDENT,
        (_, Some(Row::Heading(..) | Row::AsItStands(_))) => 0,
        _ => {
            let later = rows[at..].iter().find(|row| !matches!(row, Row::Comment(_) | Row::Blank));
            if matches!(later, Some(Row::Entry(..))) { INDENT } else { 0 }
        }
    }
}
