//! Owns the ride for which no file is named: the open rides of a folder, and the files of the one to go on with.

use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use crate::disk;
use crate::engine::{is_finished, last_set};
use crate::record::{Entry, Head, Journal, read_journal};
use crate::set::folder_of;

use super::Exit;
use super::clock::seconds;
use super::keys::read_line;
use super::screen::Screen;

/// The most rides to choose from.
const MOST: usize = 9;

/// An open ride.
struct Open {
    journal: PathBuf,
    head: Head,
    answers: usize,
    /// When the last answer was given, or the ride was begun.
    time: String,
    /// Its files, where they are by now; those that are not found are left out.
    files: Vec<PathBuf>,
    missing: Vec<String>,
}

/// The files of the open ride to go on with, and its journal.
///
/// # Errors
/// If there is none, or none is chosen.
pub(super) fn open_ride(screen: Screen) -> Result<(Vec<PathBuf>, PathBuf), Exit> {
    let mut open = open_rides(Path::new("."));
    open.sort_by_key(|ride| std::cmp::Reverse(seconds(&ride.time)));
    let ride = match &open[..] {
        [] => {
            screen.say(
                "There is no unfinished session in this folder. To start one, give your files. For example:",
            );
            screen.say("  clickwise ride plan.tune bike.tune rider.tune");
            return Err(Exit::Usage);
        }
        [only] => {
            screen.say(&format!("Unfinished session: {}.", said(only)));
            only
        }
        several => chosen(&several[..several.len().min(MOST)], screen)?,
    };
    if !ride.missing.is_empty() {
        let missing = ride.missing.join(", ");
        screen.say(&format!(
            "These files are missing here: {missing}. Type the command again with the folder in front of \
                each name: clickwise ride FILE..."
        ));
        return Err(Exit::Disk);
    }
    Ok((ride.files.clone(), ride.journal.clone()))
}

/// Which of several rides it is: the newest, unless a person says so.
fn chosen(rides: &[Open], screen: Screen) -> Result<&Open, Exit> {
    screen.say("Unfinished sessions:");
    for (index, ride) in rides.iter().enumerate() {
        screen.say(&format!("{} {}", index + 1, said(ride)));
    }
    if !io::stdin().is_terminal() {
        screen.say("To carry on with one of them, give its files: clickwise ride FILE...");
        return Err(Exit::Usage);
    }
    loop {
        screen.say("Type a number, or press Enter for 1.");
        screen.raw("> ");
        let line = read_line().ok_or(Exit::Stopped)?;
        match line.trim() {
            "" => return Ok(&rides[0]),
            "q" | "quit" => return Err(Exit::Stopped),
            text => {
                let number = text.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
                if let Some(ride) = number.and_then(|index| rides.get(index)) {
                    return Ok(ride);
                }
            }
        }
    }
}

/// A ride in a few words.
fn said(ride: &Open) -> String {
    let Head { plan, bike, rider, .. } = &ride.head;
    let rider = rider.as_ref().map_or(String::new(), |rider| format!(", {rider}"));
    let answers = if ride.answers == 1 { "1 answer".to_owned() } else { format!("{} answers", ride.answers) };
    let time = ride.time.replace('T', " ");
    let time = time.get(.."2026-05-16 14:05".len()).unwrap_or(&time);
    format!("{plan}, {bike}{rider}: {answers}, the last on {time}")
}

/// The open rides whose journals are in a folder or in `rides` below it.
fn open_rides(folder: &Path) -> Vec<Open> {
    let folders = [folder.join("rides"), folder.to_owned()];
    let journals = folders.iter().flat_map(|folder| {
        let names = disk::journals_in(folder).into_iter();
        let path = |name| folder.join(name).strip_prefix(".").map(Path::to_owned).unwrap_or_default();
        names.map(path).filter(|path| !disk::finished_beside(path))
    });
    journals.filter_map(|path| open(&path)).collect()
}

fn open(path: &Path) -> Option<Open> {
    let journal = read_journal(&disk::read(path).ok()?).ok()?;
    if is_finished(&journal) {
        return None;
    }
    let names: Vec<String> = last_set(&journal).files.iter().map(|file| file.0.clone()).collect();
    let (files, missing) = found(path, &names);
    let Journal { head, entries, .. } = journal;
    let answers = entries.iter().filter_map(|entry| match entry {
        Entry::Answer(record) => Some(record.time.clone()),
        Entry::Change(_) => None,
    });
    let times: Vec<String> = answers.collect();
    let time = times.last().unwrap_or(&head.started).clone();
    Some(Open { journal: path.to_owned(), answers: times.len(), head, time, files, missing })
}

/// Where the files of a ride are, by their names in its journal: below the folder of the bike, beside whose file
/// its journals are, or a folder that it is in.
fn found(journal: &Path, names: &[String]) -> (Vec<PathBuf>, Vec<String>) {
    let beside = folder_of(journal);
    let bases = [beside.join(".."), beside.clone(), beside.join("../.."), beside.join("../../..")];
    let plain = |base: &PathBuf| if base.ends_with("rides/..") { folder_of(&beside) } else { base.clone() };
    let missing = |base: &PathBuf| names.iter().filter(|name| !base.join(name).is_file()).count();
    let base = bases.iter().map(plain).min_by_key(missing).unwrap_or_default();
    let (there, missing): (Vec<&String>, Vec<&String>) =
        names.iter().partition(|name| base.join(name).is_file());
    let path = |name: &String| if base == Path::new(".") { PathBuf::from(name) } else { base.join(name) };
    (there.into_iter().map(path).collect(), missing.into_iter().cloned().collect())
}
