//! `clickwise new`: asks for a bike in plain lines and writes its file. What is asked and what may be
//! answered stands in `interview`; here are the terminal and the file.

use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use crate::disk;
use crate::interview::{Interview, Line};
use crate::problem::is_harmful;
use crate::record::bike_stem;
use crate::show::{clean, wrapped};
use crate::vocabulary::{AnswerWord, answer_word};

use super::Exit;
use super::args::NewOptions;
use super::keys::read_line;
use super::screen::{Screen, print};

/// What the name of a file that this program reads ends in.
const ENDING: &str = "tune";

/// The interview at a terminal, or through a pipe.
struct Asking<'a> {
    screen: Screen,
    /// Whether what is typed must be shown, since no terminal shows it.
    echo: bool,
    output: Option<&'a Path>,
    interview: Interview,
}

/// A typed line.
enum Heard {
    Line(String),
    Undo,
    Help,
    /// The wish to stop, or no more input.
    Stop,
}

/// What comes of a typed name of a file.
enum Written {
    Done,
    /// It cannot be written to; another name is asked for.
    Taken(String),
    Failed,
}

pub(super) fn run(options: &NewOptions, screen: Screen) -> Exit {
    let echo = !io::stdin().is_terminal();
    let mut asking =
        Asking { screen, echo, output: options.output.as_deref(), interview: Interview::begin() };
    asking.open();
    loop {
        if asking.ask_all().is_none() {
            return asking.stop();
        }
        if let Some(exit) = asking.keep() {
            return exit;
        }
    }
}

impl Asking<'_> {
    fn open(&self) {
        self.screen.say(
            "A few questions about your bike; then its file is saved. Type each answer and press Enter.",
        );
        if let Some(path) = self.output.filter(|path| path.exists() && !is_standard_output(path)) {
            self.screen.say(&format!(
                "{} already exists and won't be changed. You can choose another name at the end.",
                path.display()
            ));
        }
    }

    /// Asks until nothing more is to be asked; `None` where it is stopped before.
    fn ask_all(&mut self) -> Option<()> {
        while let Some(question) = self.interview.question() {
            self.put(&question.title, &question.lines, &question.enter);
            match self.hear() {
                Heard::Stop => return None,
                Heard::Undo => self.take_back(),
                Heard::Help => self.help(&self.interview.help()),
                Heard::Line(line) => match self.interview.answer(&line) {
                    Ok(next) => {
                        self.interview = next;
                        for news in self.interview.news() {
                            self.screen.say(news);
                        }
                    }
                    Err(refusal) => self.screen.say(&format!("That doesn't work. {refusal}")),
                },
            }
        }
        Some(())
    }

    /// Shows the file and writes it; `None` where the last answer is taken back instead.
    fn keep(&mut self) -> Option<Exit> {
        if self.output.is_some_and(is_standard_output) {
            return Some(self.print_out(Exit::Done));
        }
        self.screen.lines(&self.shown());
        if !self.interview.has_adjusters() {
            self.screen.say("This bike has no adjusters yet. You need at least one to ride a plan.");
        }
        loop {
            let silent = self.silent_path();
            self.put(
                "Where should the file go?",
                &[Line::text("Type another name if you like.")],
                &silent.display().to_string(),
            );
            match self.hear() {
                Heard::Stop => return Some(self.stop()),
                Heard::Undo => {
                    self.take_back();
                    return None;
                }
                Heard::Help => self.help(&file_help()),
                Heard::Line(line) => match self.write(&line, silent) {
                    Written::Done => return Some(Exit::Done),
                    Written::Failed => return Some(self.print_out(Exit::Disk)),
                    Written::Taken(reason) => self.screen.say(&reason),
                },
            }
        }
    }

    /// Puts a question: its title, what to type, what Enter alone does, the keys.
    fn put(&self, title: &str, lines: &[Line], enter: &str) {
        let width = self.screen.width();
        let mut page = vec![String::new()];
        page.extend(wrapped(title, width, "", "  "));
        for Line { text, example } in lines {
            let beside = format!("{text}  {example}");
            if example.is_empty() {
                page.extend(wrapped(text, width, "  ", "  "));
            } else if beside.chars().count() + 2 <= width {
                page.extend(wrapped(&beside, width, "  ", "  "));
            } else {
                page.extend(wrapped(text, width, "  ", "  "));
                page.extend(wrapped(example, width, "    ", ""));
            }
        }
        page.extend(wrapped(&format!("Press Enter for: {enter}"), width, "  ", "  "));
        let keys = [AnswerWord::Undo, AnswerWord::Quit, AnswerWord::Help];
        let keys = keys.map(|word| format!("{} {}", word.key(), word.label()));
        page.extend(wrapped(&keys.join("  "), width, "  ", ""));
        self.screen.lines(&page);
    }

    fn hear(&self) -> Heard {
        self.screen.raw("> ");
        let Some(line) = read_line() else {
            self.screen.raw("\n");
            return Heard::Stop;
        };
        let line = line.trim_start_matches('\u{FEFF}').to_owned();
        if self.echo {
            self.screen.raw(&format!("{}\n", clean(&line)));
        }
        match answer_word(line.trim()) {
            Some(AnswerWord::Undo) => Heard::Undo,
            Some(AnswerWord::Quit) => Heard::Stop,
            Some(AnswerWord::Help) => Heard::Help,
            _ => Heard::Line(line),
        }
    }

    fn take_back(&mut self) {
        match self.interview.undo() {
            None => self.screen.say("There is nothing to undo."),
            Some((before, line)) => {
                self.interview = before;
                let line = line.trim();
                let line = if line.is_empty() { "Enter" } else { line };
                self.screen.say(&format!("Undone: {line}"));
            }
        }
    }

    fn help(&self, lines: &[String]) {
        self.screen.raw("\n");
        for line in lines {
            self.screen.say(line);
        }
    }

    /// The file, no line wider than the screen.
    fn shown(&self) -> Vec<String> {
        let mut lines = vec![String::new(), "Here is the bike's file:".to_owned(), String::new()];
        for line in self.interview.text().lines() {
            let indent: String = line.chars().take_while(|c| *c == ' ').collect();
            // a line that goes on is indented far, which a narrow screen has no room for
            let indent = if indent.len() > self.screen.width() / 2 { "    " } else { &indent };
            lines.extend(wrapped(line.trim_start(), self.screen.width(), indent, "  "));
        }
        lines
    }

    /// The path that Enter alone means: as the command line says or as the bike is called, with a
    /// number where there is such a file already.
    fn silent_path(&self) -> PathBuf {
        let named = self.output.map_or_else(
            || PathBuf::from(format!("{}.{ENDING}", bike_stem(self.interview.name()))),
            Path::to_owned,
        );
        disk::free(|number| if number == 1 { named.clone() } else { numbered(&named, number) })
    }

    fn write(&self, line: &str, silent: PathBuf) -> Written {
        let path = match line.trim() {
            "" => silent,
            typed if typed.chars().any(is_harmful) => {
                return Written::Taken(
                    "A name can't contain invisible characters. Type it again.".to_owned(),
                );
            }
            typed => with_ending(typed),
        };
        let name = path.display();
        match disk::write_new(&path, self.interview.text().as_bytes()) {
            Ok(()) => {
                self.screen.say(&format!("Saved: {name}"));
                let quoted = in_a_command(&path);
                self.screen.say(&format!("Check it: `clickwise check {quoted}`"));
                self.screen.say(&format!(
                    "Ride it with a plan from plans/: `clickwise ride plans/first-setup.{ENDING} {quoted}`"
                ));
                Written::Done
            }
            Err(_) if path.symlink_metadata().is_ok() => {
                Written::Taken(format!("{name} already exists and was not changed. Type another name."))
            }
            Err(error) => {
                self.screen.say(&format!("Can't save {name}: {}.", disk::in_words(&error)));
                Written::Failed
            }
        }
    }

    fn stop(&self) -> Exit {
        self.screen.say("Stopped. No file was saved; here is what you have so far.");
        self.print_out(Exit::Stopped)
    }

    /// Prints the text, so that nothing is lost.
    fn print_out(&self, exit: Exit) -> Exit {
        match print(&self.interview.text()) {
            Ok(()) => exit,
            Err(error) => {
                self.screen.say(&format!("Can't print it: {}", disk::in_words(&error)));
                Exit::Disk
            }
        }
    }
}

fn is_standard_output(path: &Path) -> bool {
    path == Path::new("-")
}

fn file_help() -> Vec<String> {
    vec![
        "Existing files are never overwritten.".to_owned(),
        format!(".{ENDING} is added if you leave it off"),
        "You can put a folder in front: `bikes/mine`".to_owned(),
    ]
}

/// A typed name with the ending that such files have.
fn with_ending(typed: &str) -> PathBuf {
    let path = PathBuf::from(typed);
    let has_ending = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case(ENDING));
    if has_ending { path } else { PathBuf::from(format!("{typed}.{ENDING}")) }
}

/// The same path with a number behind its name.
fn numbered(path: &Path, number: u32) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let ending = path.extension().map_or(String::new(), |ending| format!(".{}", ending.to_string_lossy()));
    path.with_file_name(format!("{stem}-{number}{ending}"))
}

/// A path as it is typed in a command.
fn in_a_command(path: &Path) -> String {
    let text = path.display().to_string();
    if text.chars().all(|c| c.is_alphanumeric() || "-_./".contains(c)) { text } else { format!("'{text}'") }
}
