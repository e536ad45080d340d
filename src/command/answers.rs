//! Owns where answers come from: a file that is read at once, or standard input, line by line.

use std::collections::VecDeque;

use crate::session::{Extent, Heard, NotRead, Session};

use super::keys::read_line;

/// A line of answers could not be read.
pub(super) struct BadLine {
    pub line: usize,
    pub reason: NotRead,
}

/// Answers given beforehand, with the lines on which they stand.
pub(super) struct Answers {
    lines: Lines,
    number: usize,
    /// What is left of the line that is being read.
    line: Option<String>,
    /// What is left of it behind the answer that was given last.
    left: Option<String>,
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
            line: None,
            left: None,
        }
    }

    /// Answers of standard input, read as they come.
    pub fn of_input() -> Self {
        Answers { lines: Lines::Input, number: 0, line: None, left: None }
    }

    /// The next answer, as the question of this session reads it, left where it is; `None` where there
    /// is no more.
    ///
    /// # Errors
    /// Where its line is no answer.
    pub fn peek(&mut self, session: &Session) -> Result<Option<(usize, Heard)>, BadLine> {
        loop {
            if let Some(line) = &self.line {
                let heard = session
                    .hear(line, Extent::List)
                    .map_err(|reason| BadLine { line: self.number, reason })?;
                if let Some(heard) = heard {
                    self.left = Some(heard.left.clone());
                    return Ok(Some((self.number, heard)));
                }
            }
            let line = match &mut self.lines {
                Lines::Text(lines) => lines.pop_front(),
                Lines::Input => read_line(),
            };
            let Some(line) = line else { return Ok(None) };
            self.number += 1;
            self.line = Some(line);
        }
    }

    /// Passes over the next answer.
    pub fn skip(&mut self) {
        self.line = self.left.take();
    }
}
