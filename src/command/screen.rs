//! Owns standard error as the place where people read: its width, its colours, its writing.

use std::io::{self, IsTerminal, Write};

use crate::show::{Look, wrapped};

/// The narrowest and widest lines that are written.
const NARROWEST: usize = 20;
const WIDEST: usize = 100;
/// The width where there is no terminal.
const SILENT_WIDTH: usize = 80;

/// Where messages and questions are written.
#[derive(Debug, Clone, Copy)]
pub(super) struct Screen {
    look: Look,
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
        Screen { look: Look { width, colour: terminal && !no_colour, unicode } }
    }

    pub fn look(self) -> Look {
        self.look
    }

    pub fn width(self) -> usize {
        self.look.width
    }

    /// Writes lines as they are. A reader that has gone away is no reason to stop.
    #[allow(clippy::unused_self, reason = "a screen is what is written to")]
    pub fn lines(self, lines: &[String]) {
        let mut out = io::stderr().lock();
        for line in lines {
            let _ = writeln!(out, "{line}");
        }
        let _ = out.flush();
    }

    /// Writes a sentence, broken to the width.
    pub fn say(self, text: &str) {
        self.lines(&wrapped(text, self.look.width, "", "  "));
    }

    /// Writes a text as it is.
    #[allow(clippy::unused_self, reason = "a screen is what is written to")]
    pub fn raw(self, text: &str) {
        let mut out = io::stderr().lock();
        let _ = out.write_all(text.as_bytes());
        let _ = out.flush();
    }
}
