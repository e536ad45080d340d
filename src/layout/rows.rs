//! Owns the rows of a file as they are set: blank ones, comments, headings, entries.
//! It knows nothing of columns.

use crate::language::{Line, LineKind, Tree};
use crate::vocabulary::Heading;

use super::pieces::{Written, written};

/// The longest logical line that is set anew, in bytes of its pieces and what may come between.
const LONGEST: usize = 9_000;

/// One row, or a logical line of several.
pub(super) enum Row {
    Blank,
    Comment(String),
    Heading(Heading, Written),
    Entry(Heading, Written),
    /// A line that could not be read.
    AsItStands(Vec<String>),
}

/// The rows of a file, with single blank ones between and none at either end.
pub(super) fn rows(tree: &Tree, text: &str) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for line in &tree.lines {
        let raw = text.get(line.span.start..line.span.end).unwrap_or("");
        if matches!(line.kind, LineKind::Blank) {
            for physical in raw.lines() {
                let shown = physical.trim_matches(|c: char| c.is_whitespace() || c == '\u{FEFF}');
                if !shown.is_empty() {
                    rows.push(Row::Comment(shown.to_owned()));
                } else if rows.last().is_some_and(|last| !matches!(last, Row::Blank)) {
                    rows.push(Row::Blank);
                }
            }
        } else {
            take(line, text, raw, &mut rows);
        }
    }
    while matches!(rows.last(), Some(Row::Blank)) {
        rows.pop();
    }
    rows
}

/// Takes in a line that is not blank.
fn take(line: &Line, text: &str, raw: &str, rows: &mut Vec<Row>) {
    if is_sound(line) {
        let mut written = written(line, text);
        if written.most_bytes() <= LONGEST {
            let below = written.take_comments_below();
            match &line.kind {
                LineKind::Heading(heading) => rows.push(Row::Heading(heading.heading, written)),
                LineKind::Entry(entry) => rows.push(Row::Entry(entry.under, written)),
                LineKind::Blank | LineKind::Unread(_) => {}
            }
            rows.extend(below.into_iter().map(Row::Comment));
            return;
        }
    }
    rows.push(Row::AsItStands(raw.lines().map(|physical| physical.trim_end().to_owned()).collect()));
}

/// Whether a line was read without a fault, so that its pieces may be set anew.
fn is_sound(line: &Line) -> bool {
    match &line.kind {
        _ if line.doubtful_from.is_some() => false,
        LineKind::Blank => true,
        LineKind::Heading(heading) => heading.broken.is_none(),
        LineKind::Entry(entry) => !entry.may_lack_a_clause(),
        LineKind::Unread(_) => false,
    }
}
