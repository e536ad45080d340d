//! Owns standard error as the place where people read: its width, its colours, what is put there.

use std::io::{self, IsTerminal, Write};

use crate::session::{Ask, Session, Truth};
use crate::show::{self, Look, wrapped};

use super::keys;

/// The narrowest and widest lines that are written.
const NARROWEST: usize = 20;
const WIDEST: usize = 100;
/// The width where there is no terminal.
const SILENT_WIDTH: usize = 80;

/// With fewer rows than this nothing stops for Enter.
const FEWEST_ROWS: usize = 6;

/// Where messages and questions are written.
#[derive(Debug, Clone, Copy)]
pub(super) struct Screen {
    look: Look,
    /// How many rows the terminal has, where a full screen stops for Enter.
    rows: Option<usize>,
}

/// The cautions, which are shown once, before the first change.
#[derive(Debug, Clone, Copy)]
pub(super) enum Cautions {
    /// In full.
    Due,
    /// In short: the ride goes on from an earlier day.
    DueInShort,
    Shown,
}

impl Cautions {
    /// Shows the cautions where they are due before this question; `true` where it did in full.
    pub fn before(&mut self, ask: &Ask, screen: Screen) -> bool {
        let changes = matches!(
            ask,
            Ask::Fit { .. } | Ask::Ride { .. } | Ask::Baseline(_) | Ask::Lap { .. } | Ask::Pairs { .. }
        );
        if !changes {
            return false;
        }
        match std::mem::replace(self, Cautions::Shown) {
            Cautions::Due => screen.lines(&show::cautions(screen.width())),
            Cautions::DueInShort => {
                screen.lines(&show::cautions_in_short(screen.width()));
                return false;
            }
            Cautions::Shown => return false,
        }
        true
    }
}

impl Screen {
    /// The screen of this process: standard error.
    pub fn of_terminal() -> Self {
        let terminal = io::stderr().is_terminal();
        let columns = terminal_size::terminal_size_of(io::stderr()).map(|size| usize::from(size.0.0));
        let width = columns.filter(|_| terminal).unwrap_or(SILENT_WIDTH).clamp(NARROWEST, WIDEST);
        let no_colour = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let locale = ["LC_ALL", "LC_CTYPE", "LANG"].into_iter().filter_map(std::env::var_os);
        let locale =
            locale.map(|value| value.to_string_lossy().to_lowercase()).find(|value| !value.is_empty());
        let unicode =
            terminal && locale.is_some_and(|value| value.contains("utf-8") || value.contains("utf8"));
        Screen { look: Look { width, colour: terminal && !no_colour, unicode }, rows: None }
    }

    /// The same screen that stops for Enter before something scrolls away, where a person types.
    pub fn stopping(self) -> Self {
        let rows = terminal_size::terminal_size_of(io::stderr()).map(|size| usize::from(size.1.0));
        let is_typed_at = io::stdin().is_terminal() && io::stderr().is_terminal();
        Screen { rows: rows.filter(|rows| is_typed_at && *rows >= FEWEST_ROWS), ..self }
    }

    pub fn look(self) -> Look {
        self.look
    }

    pub fn width(self) -> usize {
        self.look.width
    }

    /// Writes lines as they are, and stops for Enter where they would scroll away what was not read yet. What
    /// belongs together stays together where it can. A reader that has gone away is no reason to stop.
    pub fn lines(self, lines: &[String]) {
        let Some(rows) = self.rows else { return self.write(lines) };
        // the last row is for what is typed
        let room = rows - 1;
        let mut rest = lines;
        while !rest.is_empty() {
            let written = keys::written();
            if written + rest.len() > room && written > 0 {
                self.stop();
                continue;
            }
            let (now, later) = rest.split_at(end_of_page(rest, room));
            self.write(now);
            keys::write(now.len());
            rest = later;
        }
    }

    fn stop(self) {
        self.raw("Press Enter for more.");
        keys::stop();
    }

    fn write(self, lines: &[String]) {
        let mut text = lines.join("\n");
        if !lines.is_empty() {
            text.push('\n');
        }
        self.raw(&text);
    }

    /// Writes a sentence, broken to the width.
    pub fn say(self, text: &str) {
        self.lines(&wrapped(text, self.look.width, "", "  "));
    }

    /// A result as it is printed: broken to the width where a person reads it, as it is for a script.
    pub fn fitted(self, text: &str) -> String {
        if !io::stdout().is_terminal() {
            return text.to_owned();
        }
        let lines = text.lines().flat_map(|line| wrapped(line, self.look.width, "", "  "));
        lines.map(|line| line + "\n").collect()
    }

    /// Writes a text as it is.
    #[allow(clippy::unused_self, reason = "a screen is what is written to")]
    pub fn raw(self, text: &str) {
        let mut out = io::stderr().lock();
        let _ = out.write_all(text.as_bytes());
        let _ = out.flush();
    }

    /// Puts a question.
    pub fn question(self, session: &Session, truth: &Truth, ask: &Ask) {
        self.lines(&show::question(session, truth, ask, self.look));
    }

    /// Says what can be answered, and puts the question again.
    pub fn help(self, session: &Session, truth: &Truth, ask: &Ask) {
        self.lines(&show::help(ask, self.look.width));
        self.question(session, truth, ask);
    }

    /// Tells what has come up since the last answer.
    pub fn news(self, session: &Session) {
        self.lines(&show::news(session, self.look.width));
    }
}

/// How many lines a page of so many rows takes: up to where a sentence ends, if one ends in its last rows.
fn end_of_page(lines: &[String], rows: usize) -> usize {
    const LAST_ROWS: usize = 4;
    if lines.len() <= rows {
        return lines.len();
    }
    let ends = |line: &String| line.trim_end().ends_with(['.', '?', '!', ':']);
    let last = lines.iter().take(rows).rposition(ends).map(|at| at + 1);
    last.filter(|end| end + LAST_ROWS > rows).unwrap_or(rows)
}

/// Prints a result on standard output. A reader that has gone away is a quiet end.
///
/// # Errors
/// Where it cannot be written.
pub(super) fn print(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(error),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_ends_with_a_sentence_where_it_can() {
        let page = |lines: &[&str], rows| {
            end_of_page(&lines.iter().map(|line| (*line).to_owned()).collect::<Vec<_>>(), rows)
        };
        let lines = ["Pairs:", "one.", "Press Enter to begin, or", "type skip.", "q quit"];
        assert_eq!(page(&lines, 5), 5);
        assert_eq!(page(&lines, 4), 4);
        assert_eq!(page(&lines, 3), 2);
        // no sentence ends near the end
        assert_eq!(page(&["It ends.", "a", "b", "c", "d", "e", "f"], 6), 6);
    }
}
