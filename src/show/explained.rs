//! Owns how a code is explained: its meaning, why it matters, a bad and a good example.

use crate::problem::{Code, Explanation};

use super::wrap::wrapped;

/// What a code means, in lines of at most `width` characters; examples stand as they would in a file.
#[must_use]
pub fn explained(code: Code, explanation: &Explanation, width: usize) -> Vec<String> {
    let mut lines = vec![format!("{} ({})", code.name(), code.severity().word()), String::new()];
    lines.extend(wrapped(&explanation.meaning, width, "", ""));
    lines.extend(wrapped(&explanation.why, width, "", ""));
    let mut example = |head: &str, text: &str| {
        lines.extend([String::new(), head.to_owned(), String::new()]);
        // an example may hold what would do harm on a terminal
        let text = super::wrap::clean(text);
        lines.extend(text.trim_end().lines().map(|line| format!("    {line}")));
    };
    if let Some(bad) = &explanation.bad {
        example("Wrong:", bad);
    }
    example("Right:", &explanation.good);
    lines
}
