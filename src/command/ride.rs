//! `clickwise ride`: walks through a plan, asks, keeps the journal, writes the settings.

use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use crate::disk;
use crate::engine::{NotTaken, Recorded};
use crate::session::{Answer, Said};
use crate::show;

use super::Exit;
use super::alone;
use super::answers::Answers;
use super::args::RideOptions;
use super::begin;
use super::clock::Clock;
use super::desk::{Desk, tell};
use super::duties;
use super::interactive::Interactive;
use super::journal::{self, Opened};
use super::offer;
use super::screen::{Cautions, Screen};
use super::scripted::Scripted;
use super::second::SecondPerson;
use super::set::{read, tell_what_matters};
use super::settings::SettingsFiles;

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
    let screen = if options.answers.is_none() { screen.stopping() } else { screen };
    let of_open_ride;
    let options = if options.files.is_empty() {
        let (files, journal) = alone::open_ride(screen)?;
        of_open_ride = RideOptions { files, journal: Some(journal), ..options.clone() };
        &of_open_ride
    } else {
        options
    };
    duties::of_the_command_line(options, &options.files, screen)?;
    let set = read(&options.files, screen)?;
    let paths: Vec<PathBuf> = set.paths().map(Path::to_owned).collect();
    duties::of_the_command_line(options, &paths, screen)?;
    tell_what_matters(&set, screen);
    let Some(plan) = set.plan().cloned() else {
        for need in set.needs() {
            screen.say(&format!("Before you ride, you also need {need}"));
        }
        screen.say("Nothing has been started.");
        return Err(Exit::Errors);
    };
    let source = source_of(options, screen)?;
    let clock = Clock::of(options.as_of.as_ref());
    let at_terminal = matches!(source, Source::Terminal);
    let begin = begin::from(options, screen)?;
    let opened = journal::open(options, &set, plan, begin, &clock, at_terminal, screen)?;
    let Opened { mut desk, path, recorded, again } = opened;
    let second = SecondPerson::new(options.sheet.clone());
    let exit = if again {
        go_on(&mut desk, recorded, screen)?;
        Exit::Done
    } else {
        answered(source, &mut desk, recorded, second, screen)?
    };
    let path = desk.keep_all(screen)?.unwrap_or(path);
    let over = desk.ride.ask().is_none();
    if over || exit == Exit::Stopped {
        let (named, journal) = (options.settings.as_deref(), path.as_path());
        SettingsFiles { named, set: &set, desk: &desk, journal, clock: &clock, again, screen }.write()?;
        screen.lines(&show::parting(desk.session(), desk.ride.truth(), screen.width()));
    }
    if over && at_terminal && !again {
        offer::counts(&set, desk.session(), screen);
    }
    Ok(exit)
}

/// Rides with the answers of a source, from where the journal is.
fn answered(
    source: Source,
    desk: &mut Desk,
    recorded: Recorded,
    second: SecondPerson,
    screen: Screen,
) -> Result<Exit, Exit> {
    Ok(match source {
        Source::Terminal => {
            let cautions = go_on(desk, recorded, screen)?;
            Interactive::new(desk, screen, cautions, second).ride()
        }
        Source::Input => {
            let cautions = go_on(desk, recorded, screen)?;
            if let Some(pause) = desk.pause() {
                screen.say("");
                screen.say(&format!("{pause} To ride a new baseline, answer `baseline` first."));
            }
            Scripted { desk, answers: Answers::of_input(), screen, cautions, second }.ride()
        }
        Source::Text(text) => {
            desk.ride.expect(recorded);
            let cautions = Cautions::Due;
            Scripted { desk, answers: Answers::of_text(&text), screen, cautions, second }.ride()
        }
    })
}

fn source_of(options: &RideOptions, screen: Screen) -> Result<Source, Exit> {
    if let Some(path) = &options.answers {
        let bytes = disk::read(path).map_err(|error| {
            screen.say(&format!("Can't read {}: {}", path.display(), disk::in_words(&error)));
            Exit::Disk
        })?;
        return Ok(Source::Text(String::from_utf8_lossy(&bytes).into_owned()));
    }
    Ok(if io::stdin().is_terminal() { Source::Terminal } else { Source::Input })
}

/// Goes on where the journal stands, and says where the bike must stand for that.
fn go_on(desk: &mut Desk, recorded: Recorded, screen: Screen) -> Result<Cautions, Exit> {
    let fresh = recorded.is_empty();
    desk.ride.go_on(recorded).map_err(|mismatch| {
        screen.say(
            "The journal doesn't match this plan. Give the plan it was ridden with, or a new journal with \
                `--journal`.",
        );
        tell(&NotTaken::Unfit(mismatch), desk.session(), &Said::answer(Answer::Done), screen)
    })?;
    screen.lines(&show::standing(desk.session(), screen.width()));
    Ok(if fresh || desk.session().laps().is_empty() { Cautions::Due } else { Cautions::DueInShort })
}
