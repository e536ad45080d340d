//! Owns how problems look in a sentence or two each, without the lines of the file.

use crate::problem::{Problem, Sources};

use super::wrap::{clean, wrapped};

/// Problems without the lines of the file: place, reason and repair, a sentence each; the first ten.
#[must_use]
pub fn in_short(sources: &Sources, problems: &[Problem], width: usize) -> Vec<String> {
    const MOST: usize = 10;
    let mut lines = Vec::new();
    for problem in problems.iter().take(MOST) {
        let source = sources.get(problem.span.source);
        let (name, line) = (clean(source.name()).replace('\n', "?"), source.place(problem.span.start).line);
        let help = problem.help.as_ref().map_or(String::new(), |help| format!("; {help}"));
        let text = format!("{name}:{line}: {}: {}{help}.", problem.severity.word(), problem.message);
        lines.extend(wrapped(&text, width, "", "  "));
    }
    if problems.len() > MOST {
        lines.push(format!("and {} more: run `clickwise check` to see them", problems.len() - MOST));
    }
    lines
}
