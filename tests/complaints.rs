//! Files with the wanted complaint above its line: `# error: CODE` or `# error: CODE: words of the message`, and so
//! `# warning:` and `# note:`. Every complaint is wanted, and every wanted one comes, at that line.
//!
//! A new case is one file in `tests/complaints/`.

use clickwise::check::check;
use clickwise::problem::{Problem, Severity, Sources};

use crate::support::project;

/// A complaint that a file says will come.
#[derive(Debug)]
struct Wanted {
    line: usize,
    severity: Severity,
    code: String,
    words: String,
}

const SEVERITIES: [Severity; 3] = [Severity::Error, Severity::Warning, Severity::Note];

/// What a line announces.
fn announced(line: &str) -> Option<(Severity, &str, &str)> {
    let text = line.trim().strip_prefix("# ")?;
    let (severity, rest) = text.split_once(": ")?;
    let severity = SEVERITIES.into_iter().find(|known| known.word() == severity)?;
    let (code, words) = rest.split_once(": ").unwrap_or((rest, ""));
    Some((severity, code, words))
}

fn wanted(text: &str) -> Vec<Wanted> {
    let (mut wanted, mut open) = (Vec::new(), Vec::new());
    for (index, line) in text.lines().enumerate() {
        match announced(line) {
            Some(complaint) => open.push(complaint),
            None => wanted.extend(open.drain(..).map(|(severity, code, words)| Wanted {
                line: index + 1,
                severity,
                code: code.to_owned(),
                words: words.to_owned(),
            })),
        }
    }
    assert!(open.is_empty(), "a complaint is announced behind the last line: {open:?}");
    wanted
}

/// What differs between the complaints of a text and those that it announces.
fn differences(text: &str) -> Vec<String> {
    let mut sources = Sources::default();
    let id = sources.add("x.tune", text);
    let mut left = wanted(text);
    let mut found = Vec::new();
    for problem in check(&sources).problems {
        let line = sources.get(id).place(problem.span.start).line;
        let meets = |one: &Wanted| {
            let Problem { code, severity, message, .. } = &problem;
            (one.line, one.severity, one.code.as_str()) == (line, *severity, code.name())
                && message.contains(&one.words)
        };
        match left.iter().position(meets) {
            Some(index) => drop(left.remove(index)),
            None => found.push(format!(
                "line {line}: not announced: {} {}: {}",
                problem.severity.word(),
                problem.code.name(),
                problem.message
            )),
        }
    }
    found.extend(left.iter().map(|one| format!("line {}: announced, and does not come: {one:?}", one.line)));
    found
}

#[test]
fn every_complaint_is_announced_and_every_announced_one_comes() {
    let mut files = 0;
    for entry in std::fs::read_dir(project().join("tests/complaints")).unwrap() {
        let path = entry.unwrap().path();
        let found = differences(&std::fs::read_to_string(&path).unwrap());
        assert!(found.is_empty(), "{}:\n{}", path.display(), found.join("\n"));
        files += 1;
    }
    assert!(files > 0);
}

#[test]
fn what_is_not_announced_or_does_not_come_is_seen() {
    assert_eq!(differences("bike \"B\"\n# error: duplicate\nbike \"C\"\n"), Vec::<String>::new());
    assert_eq!(differences("bike \"B\"\nbike \"C\"\n").len(), 1);
    assert_eq!(differences("bike \"B\"\n# error: duplicate: other words\nbike \"C\"\n").len(), 2);
    assert_eq!(differences("# error: duplicate\nbike \"B\"\n").len(), 1);
}
