//! `clickwise ride`: walks through a plan, asks, keeps the journal, writes the settings.

use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf, absolute};

use crate::plan::Plan;
use crate::record::{NotOurs, Sheet, files, settings_stem, write_settings};
use crate::session::{Answer, Outcome, Said};
use crate::show;

use super::Exit;
use super::answers::Answers;
use super::args::RideOptions;
use super::begin::BeginFrom;
use super::clock::Clock;
use super::desk::Desk;
use super::follow::Recorded;
use super::given::Given;
use super::journal::{self, Opened};
use super::offer;
use super::screen::{Cautions, Screen, print};
use super::second::SecondPerson;
use super::set::Set;
use super::spoken::Spoken;

/// How the answers of this ride come.
enum Source {
    Terminal,
    Input,
    /// The whole ride from its first question.
    Text(String),
}

pub(super) fn run(options: &RideOptions, screen: Screen) -> Exit {
    match ride(options, screen) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn ride(options: &RideOptions, screen: Screen) -> Result<Exit, Exit> {
    own_files(options, &options.files, screen)?;
    let set = Set::read(&options.files, screen)?;
    own_files(options, &set.paths, screen)?;
    set.tell_what_matters(screen);
    let Some(plan) = set.checked.plan.clone() else {
        for need in &set.checked.needs {
            screen.say(&format!("To ride it, add {need}"));
        }
        screen.say("No ride was begun.");
        return Err(Exit::Errors);
    };
    let source = source_of(options, screen)?;
    let clock = Clock::of(options.as_of.as_ref());
    let at_terminal = matches!(source, Source::Terminal);
    let begin = BeginFrom::of(options, screen)?;
    let opened = journal::open(options, &set, plan, begin, &clock, at_terminal, screen)?;
    let Opened { mut desk, path, recorded } = opened;
    let second = SecondPerson::new(options.sheet.clone());
    let exit = match source {
        Source::Terminal => {
            let cautions = go_on(&mut desk, recorded, screen)?;
            Spoken { desk: &mut desk, screen, cautions, held: None, second }.ride()
        }
        Source::Input => {
            let cautions = go_on(&mut desk, recorded, screen)?;
            Given { desk: &mut desk, answers: Answers::of_input(), screen, cautions, second }.ride()
        }
        Source::Text(text) => {
            desk.expect(recorded);
            let cautions = Cautions::Due;
            Given { desk: &mut desk, answers: Answers::of_text(&text), screen, cautions, second }.ride()
        }
    };
    let path = desk.keep_all(screen)?.unwrap_or(path);
    let over = desk.ask().is_none();
    if over || exit == Exit::Stopped {
        finish(options, &set, &desk, &path, screen)?;
    }
    if over || exit == Exit::Stopped {
        screen.lines(&show::parting(&desk.session, screen.width()));
    }
    if over && at_terminal {
        offer::counts(&set, &desk.session, screen);
    }
    Ok(exit)
}

/// Refuses a command line in which one file has two duties.
fn own_files(options: &RideOptions, set: &[PathBuf], screen: Screen) -> Result<(), Exit> {
    let named =
        |path: &PathBuf| path.canonicalize().or_else(|_| absolute(path)).unwrap_or_else(|_| path.clone());
    let mut duties: Vec<PathBuf> = set.iter().map(named).collect();
    let others = [&options.answers, &options.journal, &options.settings, &options.from, &options.sheet];
    for path in others.into_iter().flatten() {
        let path = named(path);
        if duties.contains(&path) {
            screen.say(&format!("{}: this file is named twice, for two things", path.display()));
            return Err(Exit::Usage);
        }
        duties.push(path);
    }
    Ok(())
}

fn source_of(options: &RideOptions, screen: Screen) -> Result<Source, Exit> {
    if let Some(path) = &options.answers {
        let bytes = files::read(path).map_err(|error| {
            screen.say(&format!("{}: cannot be read: {}", path.display(), files::in_words(&error)));
            Exit::Disk
        })?;
        return Ok(Source::Text(String::from_utf8_lossy(&bytes).into_owned()));
    }
    Ok(if io::stdin().is_terminal() { Source::Terminal } else { Source::Input })
}

/// Goes on where the journal stands, and says where the bike must stand for that.
fn go_on(desk: &mut Desk, recorded: Recorded, screen: Screen) -> Result<Cautions, Exit> {
    let fresh = recorded.is_empty();
    desk.go_on(recorded).map_err(|not_taken| {
        screen.say("The journal does not follow this plan.");
        not_taken.tell(&Said::answer(Answer::Done), screen)
    })?;
    screen.lines(&show::standing(&desk.session, screen.width()));
    Ok(if fresh || desk.session.laps().is_empty() { Cautions::Due } else { Cautions::DueInShort })
}

/// Writes the settings and says where they are.
fn finish(options: &RideOptions, set: &Set, desk: &Desk, journal: &Path, screen: Screen) -> Result<(), Exit> {
    let outcome = desk.session.so_far();
    let plan = desk.session.plan();
    screen.lines(&show::settings(plan, &outcome, screen.width()));
    let now = Clock::of(options.as_of.as_ref()).now().to_string();
    let settled = desk.last_time.clone().unwrap_or(now);
    if options.settings.as_deref() == Some(Path::new("-")) {
        let text =
            write_settings(None, &sheet(plan, &outcome, &settled, &slashed(journal))).unwrap_or_default();
        return print(&text).map_err(|error| {
            screen.say(&format!("The settings cannot be printed: {}", files::in_words(&error)));
            Exit::Disk
        });
    }
    let stem =
        settings_stem(plan.bike().name(), plan.parts().rider.as_ref().map(|rider| rider.name.as_str()));
    let mut number = 1;
    loop {
        let path = settings_path(options, set, &stem, number);
        let existing = read_existing(&path, screen)?;
        if outcome.laps == 0 && !outcome.finished && existing.is_some() {
            screen.say(&format!("No lap was ridden, so {} stays as it is.", path.display()));
            return Ok(());
        }
        let seen = seen_from(journal, &path);
        let text = match existing.as_deref().map(str::from_utf8) {
            Some(Err(_)) => Err(NotOurs::NotToml),
            Some(Ok(text)) => write_settings(Some(text), &sheet(plan, &outcome, &settled, &seen)),
            None => write_settings(None, &sheet(plan, &outcome, &settled, &seen)),
        };
        match text {
            Ok(text) => return save(&path, &text, screen),
            Err(reason) => screen.say(&format!("{}: left as it is, {reason}.", path.display())),
        }
        if options.settings.is_some() {
            return Err(Exit::Disk);
        }
        number += 1;
    }
}

fn sheet<'a>(plan: &'a Plan, outcome: &'a Outcome, settled: &'a str, journal: &'a str) -> Sheet<'a> {
    Sheet { plan, outcome, settled, journal: Some(journal) }
}

fn save(path: &Path, text: &str, screen: Screen) -> Result<(), Exit> {
    if let Err(error) = files::write_whole(path, text.as_bytes()) {
        let reason = files::in_words(&error);
        screen.say(&format!(
            "{}: cannot be written: {reason}. The journal keeps every answer.",
            path.display()
        ));
        return Err(Exit::Disk);
    }
    screen.say(&format!("Settings: {}", path.display()));
    Ok(())
}

fn settings_path(options: &RideOptions, set: &Set, stem: &str, number: u32) -> PathBuf {
    let ending = if number == 1 { String::new() } else { format!("-{number}") };
    options.settings.clone().unwrap_or_else(|| set.folder.join(format!("{stem}{ending}.settings.toml")))
}

/// The bytes of an existing file, where there is one.
fn read_existing(path: &Path, screen: Screen) -> Result<Option<Vec<u8>>, Exit> {
    files::read_if_there(path).map_err(|error| {
        screen.say(&format!("{}: cannot be read: {}", path.display(), files::in_words(&error)));
        Exit::Disk
    })
}

/// A path with `/` between its parts, on every system.
fn slashed(path: &Path) -> String {
    path.to_string_lossy().replace('\\', "/")
}

/// A path as seen from a file: below that file's folder without it, elsewhere in full.
fn seen_from(path: &Path, file: &Path) -> String {
    match (absolute(path), absolute(files::folder_of(file))) {
        (Ok(path), Ok(folder)) => slashed(path.strip_prefix(&folder).unwrap_or(&path)),
        _ => slashed(path),
    }
}
