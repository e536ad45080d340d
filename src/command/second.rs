//! Owns what only the second person of a blind comparison sees: a sheet with the order of all pairs, or a
//! screen of its own that is gone when it is handed back.

use std::io::{self, IsTerminal};
use std::path::PathBuf;

use crate::disk;
use crate::session::{Ask, Session};
use crate::show;

use super::Exit;
use super::keys::read_line;
use super::screen::Screen;

/// Shows the other screen of the terminal, and goes back to the first one, on which nothing of it is left.
const OTHER_SCREEN: &str = "\x1b[?1049h\x1b[2J\x1b[H";
const FIRST_SCREEN: &str = "\x1b[?1049l";

/// How the second person learns what to set.
pub(super) struct SecondPerson {
    sheet: Option<PathBuf>,
    /// The step whose order stands on the sheet.
    written: Option<usize>,
}

impl SecondPerson {
    pub fn new(sheet: Option<PathBuf>) -> Self {
        SecondPerson { sheet, written: None }
    }

    /// Writes the sheet where one is wanted and pairs are about to be ridden.
    ///
    /// # Errors
    /// Where it cannot be written: then no pair is begun.
    pub fn write_sheet(&mut self, session: &Session, ask: &Ask, screen: Screen) -> Result<(), Exit> {
        let blind = match ask {
            Ask::Pairs { blind, .. } | Ask::Swap { blind, .. } => *blind,
            Ask::FirstOfPair { .. } | Ask::Which { .. } => true,
            _ => false,
        };
        let Some(path) = self.sheet.as_ref().filter(|_| blind && self.written != Some(session.step())) else {
            return Ok(());
        };
        let text = show::sheet(session).join("\n") + "\n";
        if let Err(error) = disk::write_whole(path, text.as_bytes()) {
            let reason = disk::in_words(&error);
            screen.say(&format!("Can't save {}: {reason}. Your answers so far are saved.", path.display()));
            return Err(Exit::Disk);
        }
        screen.say(&format!("For your helper only: {}", path.display()));
        self.written = Some(session.step());
        Ok(())
    }

    /// Shows the second person what to set, where no sheet does; at a terminal on a screen of its own,
    /// until Enter. `false` where the input has ended.
    pub fn tell(&self, session: &Session, ask: &Ask, at_terminal: bool, screen: Screen) -> bool {
        let lines = show::for_the_second_person(session, ask, screen.width());
        if lines.is_empty() || self.sheet.is_some() {
            return true;
        }
        if !at_terminal {
            screen.lines(&lines);
            return true;
        }
        let (hide, back) = if hides() {
            (OTHER_SCREEN.to_owned(), FIRST_SCREEN.to_owned())
        } else {
            (String::new(), "\n".repeat(100))
        };
        screen.raw(&hide);
        screen.lines(&lines);
        screen.say("Press Enter when the bike is set, then call the rider back.");
        screen.raw("> ");
        let read = read_line();
        screen.raw(&back);
        read.is_some()
    }
}

/// Whether the terminal has another screen to go to.
fn hides() -> bool {
    io::stderr().is_terminal()
        && std::env::var_os("TERM").is_some_and(|term| term != "dumb" && !term.is_empty())
}
