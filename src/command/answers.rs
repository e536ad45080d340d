//! Owns where answers come from: a file that is read at once, or standard input, line by line.

use std::collections::VecDeque;
use std::io::{self, BufRead, Read};

use crate::session::{NotRead, Typed, read_answers};

/// The longest line that is read at once, in bytes.
const LONGEST_LINE: u64 = 64 * 1024;

/// A line of answers could not be read.
pub(super) struct BadLine {
    pub line: usize,
    pub reason: NotRead,
}

/// Answers given beforehand, with the lines on which they stand.
pub(super) struct Answers {
    lines: Lines,
    number: usize,
    ready: VecDeque<(usize, Typed)>,
}

enum Lines {
    Text(VecDeque<String>),
    Input,
}

impl Answers {
    /// Answers of a file's text.
    pub fn of_text(text: &str) -> Self {
        let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
        Answers {
            lines: Lines::Text(text.lines().map(str::to_owned).collect()),
            number: 0,
            ready: VecDeque::new(),
        }
    }

    /// Answers of standard input, read as they come.
    pub fn of_input() -> Self {
        Answers { lines: Lines::Input, number: 0, ready: VecDeque::new() }
    }

    /// The next answer, left where it is; `None` where there is no more.
    ///
    /// # Errors
    /// Where its line is no answer.
    pub fn peek(&mut self) -> Result<Option<(usize, Typed)>, BadLine> {
        while self.ready.is_empty() {
            let line = match &mut self.lines {
                Lines::Text(lines) => lines.pop_front(),
                Lines::Input => read_line(),
            };
            let Some(line) = line else { return Ok(None) };
            self.number += 1;
            let number = self.number;
            let typed = read_answers(&line).map_err(|reason| BadLine { line: number, reason })?;
            self.ready.extend(typed.into_iter().map(|typed| (number, typed)));
        }
        Ok(self.ready.front().cloned())
    }

    /// Passes over the next answer.
    pub fn skip(&mut self) {
        self.ready.pop_front();
    }
}

/// One line of standard input, decoded leniently; `None` at its end.
pub(super) fn read_line() -> Option<String> {
    let mut bytes = Vec::new();
    match io::stdin().lock().take(LONGEST_LINE).read_until(b'\n', &mut bytes) {
        Ok(0) | Err(_) => None,
        Ok(_) => Some(String::from_utf8_lossy(&bytes).trim_end_matches(['\n', '\r']).to_owned()),
    }
}

/// Whether a line says yes.
pub(super) fn is_yes(line: &str) -> bool {
    matches!(line.trim().to_lowercase().as_str(), "y" | "yes")
}
