//! `clickwise check`: everything that is wrong with a set, in one run.

use std::io::{self, Write};

use super::Exit;
use super::args::CheckOptions;
use super::screen::Screen;
use super::set::Set;

pub(super) fn run(options: &CheckOptions, screen: &Screen) -> Exit {
    let set = match Set::read(&options.files, *screen) {
        Ok(set) => set,
        Err(exit) => return exit,
    };
    set.tell(*screen);
    let mut out = io::stdout().lock();
    let count = |severity: &str| {
        set.checked.problems.iter().filter(|problem| problem.severity.word() == severity).count()
    };
    let (errors, warnings) = (count("error"), count("warning"));
    if errors > 0 {
        let _ = writeln!(out, "{}", counted(errors, warnings));
        return Exit::Errors;
    }
    if !set.checked.holds.is_empty() {
        let _ = writeln!(out, "{}", set.checked.holds.join(", "));
    }
    let _ =
        writeln!(out, "{}", if warnings > 0 { counted(0, warnings) } else { "No problem found.".to_owned() });
    for need in &set.checked.needs {
        let _ = writeln!(out, "To ride it, add {need}");
    }
    if set.checked.plan.is_some() {
        let _ = writeln!(out, "Ready to ride.");
    }
    Exit::Done
}

/// How many errors and warnings there are, in words.
fn counted(errors: usize, warnings: usize) -> String {
    let some = |count: usize, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
    match (errors, warnings) {
        (0, warnings) => some(warnings, "warning"),
        (errors, 0) => some(errors, "error"),
        (errors, warnings) => format!("{}, {}", some(errors, "error"), some(warnings, "warning")),
    }
}
