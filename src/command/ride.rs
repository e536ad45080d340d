//! `clickwise ride`: walks through a plan, asks, keeps the journal, writes the settings.

use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::record::{NotOurs, Sheet, files, settings_stem, write_settings};
use crate::session::{Ask, Session};
use crate::show;

use super::Exit;
use super::answers::Answers;
use super::args::RideOptions;
use super::clock::Clock;
use super::desk::Desk;
use super::journal::{self, Opened};
use super::screen::Screen;
use super::set::Set;
use super::{given, spoken};

/// How the answers of this ride come.
enum Source {
    Terminal,
    Input,
    /// The whole ride from its first question.
    Text(String),
}

pub(super) fn run(options: &RideOptions, screen: &Screen) -> Exit {
    match ride(options, *screen) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn ride(options: &RideOptions, screen: Screen) -> Result<Exit, Exit> {
    let set = Set::read(&options.files, screen)?;
    set.tell(screen);
    let Some(plan) = set.checked.plan.clone() else {
        for need in &set.checked.needs {
            screen.say(&format!("To ride it, add {need}"));
        }
        screen.say("No ride was begun.");
        return Err(Exit::Errors);
    };
    let source = source_of(options, screen)?;
    let clock = Clock::of(options.as_of.as_ref());
    let opened =
        journal::open(options, &set, Arc::new(plan), &clock, matches!(source, Source::Terminal), screen)?;
    let Opened { mut desk, path, recorded } = opened;
    let exit = match source {
        Source::Terminal => {
            go_on(&mut desk, recorded, screen)?;
            spoken::ride(&mut desk, screen)
        }
        Source::Input => {
            go_on(&mut desk, recorded, screen)?;
            given::ride(&mut desk, &mut Answers::of_input(), screen)
        }
        Source::Text(text) => {
            desk.expect(recorded);
            given::ride(&mut desk, &mut Answers::of_text(&text), screen)
        }
    };
    if matches!(exit, Exit::Done | Exit::Stopped) {
        finish(options, &set, &desk, &path, screen)?;
    }
    if exit == Exit::Stopped {
        screen.say("Stopped before the end; everything is kept. The same command goes on from here.");
    }
    Ok(exit)
}

fn source_of(options: &RideOptions, screen: Screen) -> Result<Source, Exit> {
    if let Some(path) = &options.answers {
        let bytes = files::read(path).map_err(|error| {
            screen.say(&format!("{}: cannot be read: {error}", path.display()));
            Exit::Disk
        })?;
        return Ok(Source::Text(String::from_utf8_lossy(&bytes).into_owned()));
    }
    Ok(if io::stdin().is_terminal() { Source::Terminal } else { Source::Input })
}

fn go_on(desk: &mut Desk, recorded: journal::Recorded, screen: Screen) -> Result<(), Exit> {
    desk.go_on(recorded).map_err(|mismatch| {
        screen.say(&format!("The journal does not follow this plan: {mismatch}"));
        Exit::Errors
    })
}

/// Puts a question, with the cautions before the first change.
pub(super) fn put(session: &Session, ask: &Ask, screen: Screen, warned: &mut bool) {
    let first_change =
        matches!(ask, Ask::Fit { .. } | Ask::Ride { .. } | Ask::Reference(_) | Ask::Lap { .. });
    if first_change && !*warned {
        screen.lines(&show::cautions(screen.width()));
        *warned = true;
    }
    screen.lines(&show::question(session, ask, screen.width()));
}

/// Writes the settings and says where they are.
fn finish(options: &RideOptions, set: &Set, desk: &Desk, journal: &Path, screen: Screen) -> Result<(), Exit> {
    let outcome = desk.session.so_far();
    let plan = desk.session.plan();
    screen.lines(&show::settings(plan, &outcome, screen.width()));
    let began = Clock::of(options.as_of.as_ref()).now().to_string();
    let settled = desk.last_time.clone().unwrap_or(began);
    if options.settings.as_deref() == Some(Path::new("-")) {
        let journal = journal.to_string_lossy();
        let sheet = Sheet { plan, outcome: &outcome, settled: &settled, journal: Some(&journal) };
        let text = write_settings(None, &sheet).unwrap_or_default();
        return print(&text);
    }
    let stem =
        settings_stem(plan.bike().name(), plan.parts().rider.as_ref().map(|rider| rider.name.as_str()));
    for number in 1..1000 {
        let path = settings_path(options, set, &stem, number);
        let existing = read_existing(&path, screen)?;
        let relative = relative(journal, &files::folder_of(&path));
        let sheet = Sheet { plan, outcome: &outcome, settled: &settled, journal: Some(&relative) };
        match write_settings(existing.as_deref(), &sheet) {
            Ok(text) => {
                return match files::write_whole(&path, text.as_bytes()) {
                    Ok(()) => {
                        screen.say(&format!("Settings: {}", path.display()));
                        Ok(())
                    }
                    Err(error) => {
                        screen.say(&format!(
                            "{}: cannot be written: {error}. The journal keeps every answer.",
                            path.display()
                        ));
                        Err(Exit::Disk)
                    }
                };
            }
            Err(reason) => {
                screen.say(&format!("{}: left as it is, {reason}.", path.display()));
                if options.settings.is_some() || (reason == NotOurs::NotToml && number > 100) {
                    return Err(Exit::Disk);
                }
            }
        }
    }
    Err(Exit::Disk)
}

fn settings_path(options: &RideOptions, set: &Set, stem: &str, number: u32) -> PathBuf {
    let ending = if number == 1 { String::new() } else { format!("-{number}") };
    options.settings.clone().unwrap_or_else(|| set.folder.join(format!("{stem}{ending}.settings.toml")))
}

fn read_existing(path: &Path, screen: Screen) -> Result<Option<String>, Exit> {
    let bytes = files::read_if_there(path).map_err(|error| {
        screen.say(&format!("{}: cannot be read: {error}", path.display()));
        Exit::Disk
    })?;
    Ok(bytes.map(|bytes| String::from_utf8_lossy(&bytes).into_owned()))
}

/// Prints a result on standard output. A reader that has gone away is a quiet end.
pub(super) fn print(text: &str) -> Result<(), Exit> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(Exit::Disk),
        _ => Ok(()),
    }
}

/// A path as seen from a folder, where it lies below it; with `/` on every system.
fn relative(path: &Path, folder: &Path) -> String {
    let short = path.strip_prefix(folder).unwrap_or(path);
    let short = short.strip_prefix(".").unwrap_or(short);
    short
        .components()
        .map(|part| part.as_os_str().to_string_lossy().into_owned())
        .collect::<Vec<_>>()
        .join("/")
}
