//! Owns the one layout of a file: headings at the margin, entries below them, their phrases in
//! columns. It reads the pieces of each line, and knows nothing of what a plan means.

mod columns;
mod pieces;
mod rows;
mod spelling;

use crate::language::{Tree, parse, renewed};

use columns::{INDENT, columns};
use rows::{Row, rows};

/// Writes a file anew in the one layout, and in the words of today. The lines of `tree` are those of `text`. A line
/// that could not be read stays as it is; no comment is lost.
#[must_use]
pub fn format(tree: &Tree, text: &str) -> String {
    let Some(text) = renewed(tree, text) else { return laid_out(tree, text) };
    let (tree, _) = parse(tree.source, &text);
    laid_out(&tree, &text)
}

fn laid_out(tree: &Tree, text: &str) -> String {
    let rows = rows(tree, text);
    let columns = columns(&rows);
    let indents = indents(&rows);
    let mut lines: Vec<String> = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        match row {
            Row::Blank => lines.push(String::new()),
            Row::Comment(comment) => lines.push(format!("{}{comment}", " ".repeat(indents[at]))),
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

/// Where each row begins if it is a comment: where what follows it does; where nothing follows at once,
/// where what stands right above it does; else where what comes later does.
fn indents(rows: &[Row]) -> Vec<usize> {
    let (mut next, mut later) = (None, 0);
    let below: Vec<(Option<usize>, usize)> = rows
        .iter()
        .rev()
        .map(|row| {
            match row {
                Row::Comment(_) => {}
                Row::Blank => next = None,
                Row::Entry(..) => (next, later) = (Some(INDENT), INDENT),
                Row::Heading(..) | Row::AsItStands(_) => (next, later) = (Some(0), 0),
            }
            (next, later)
        })
        .collect();
    let mut above = None;
    let each = rows.iter().zip(below.into_iter().rev());
    each.map(|(row, (next, later))| {
        match row {
            Row::Comment(_) => {}
            Row::Blank => above = None,
            Row::Entry(..) => above = Some(INDENT),
            Row::Heading(heading, _) => above = Some(if heading.has_entries() { INDENT } else { 0 }),
            Row::AsItStands(_) => above = Some(0),
        }
        next.or(above).unwrap_or(later)
    })
    .collect()
}
