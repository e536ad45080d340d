//! Owns the opening of a ride's journal: the unfinished one of the same plan, bike and rider, or a
//! new one; under its lock; with a torn tail set aside and a changed plan noticed.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::check::check;
use crate::plan::{Plan, Setup};
use crate::problem::Sources;
use crate::record::files::{self, Appender, Lock, NotLocked};
use crate::record::{
    Change, Damage, Entry, Head, Journal, Question, Start, begins_a_journal, fingerprint, journal_stem,
    read_journal, write_change, write_head,
};
use crate::session::{Said, Session, What, replay, standing};

use super::Exit;
use super::answers::read_line;
use super::args::RideOptions;
use super::clock::Clock;
use super::desk::{Desk, Pen};
use super::screen::Screen;
use super::set::Set;

/// What a journal has of answers, with their times.
pub(super) type Recorded = Vec<(Said, String)>;

/// A ride whose journal is open.
pub(super) struct Opened {
    pub desk: Desk,
    pub path: PathBuf,
    pub recorded: Recorded,
}

struct Opening<'a> {
    options: &'a RideOptions,
    set: &'a Set,
    plan: Arc<Plan>,
    clock: &'a Clock,
    at_terminal: bool,
    screen: Screen,
}

/// Opens the journal of a ride.
///
/// # Errors
/// Where it is held by another ride, damaged, of another ride, or cannot be read or written.
pub(super) fn open(
    options: &RideOptions,
    set: &Set,
    plan: Arc<Plan>,
    clock: &Clock,
    at_terminal: bool,
    screen: Screen,
) -> Result<Opened, Exit> {
    Opening { options, set, plan, clock, at_terminal, screen }.open()
}

impl Opening<'_> {
    fn rider(&self) -> Option<&str> {
        self.plan.parts().rider.as_ref().map(|rider| rider.name.as_str())
    }

    fn refuse(&self, path: &Path, reason: &str) -> Exit {
        self.screen.say(&format!("{}: {reason}", path.display()));
        Exit::Errors
    }

    fn unwritable(&self, path: &Path, error: &std::io::Error) -> Exit {
        let reason = files::in_words(error);
        self.screen.say(&format!("{}: cannot be written: {reason}. No ride was begun.", path.display()));
        Exit::Disk
    }

    fn open(&self) -> Result<Opened, Exit> {
        let path = match &self.options.journal {
            Some(path) => path.clone(),
            None => self.unfinished()?.unwrap_or_else(|| self.free_path()),
        };
        let holder = format!("process {}, since {}", std::process::id(), self.clock.now());
        let lock = match Lock::take(&path, &holder) {
            Ok(lock) => lock,
            Err(NotLocked::Failed(error)) => return Err(self.unwritable(&path, &error)),
            Err(NotLocked::Held(holder)) => {
                return Err(self.refuse(&path, &format!("another ride is writing this journal ({holder})")));
            }
        };
        files::sweep(&files::folder_of(&path));
        let bytes = files::read_if_there(&path).map_err(|error| {
            let reason = files::in_words(&error);
            self.screen.say(&format!("{}: cannot be read: {reason}", path.display()));
            Exit::Disk
        })?;
        match bytes.filter(|bytes| !bytes.is_empty()).map(|bytes| (read_journal(&bytes), bytes)) {
            None => self.begin(path, lock),
            Some((Err(Damage::NoHead), bytes)) if !begins_a_journal(&bytes) => {
                Err(self.refuse(&path, "this is no journal; it was not changed"))
            }
            Some((Err(Damage::NoHead), bytes)) => {
                let aside =
                    files::set_aside(&path, &bytes).map_err(|error| self.unwritable(&path, &error))?;
                self.screen.say(&format!(
                    "{}: no whole beginning stands in it, so no answer is lost; it is set aside as {} and the ride begins anew.",
                    path.display(),
                    aside.display()
                ));
                self.begin(path, lock)
            }
            Some((Err(damage), _)) => Err(self.refuse(
                &path,
                &format!("{damage}. Nothing was changed; --journal names another file to begin anew"),
            )),
            Some((Ok(journal), bytes)) => self.resume(path, lock, &journal, &bytes),
        }
    }

    /// The folder in which journals stand when none is named.
    fn folder(&self) -> PathBuf {
        self.set.folder.join("rides")
    }

    /// The latest unfinished journal of the same plan, bike and rider.
    fn unfinished(&self) -> Result<Option<PathBuf>, Exit> {
        let ours = journal_stem("", self.plan.bike().name(), self.rider());
        let mut found = None;
        for path in files::journals_in(&self.folder()) {
            let Ok(bytes) = files::read(&path) else { continue };
            match read_journal(&bytes) {
                Ok(journal) if self.is_ours(&journal.head) && !is_finished(&journal) => found = Some(path),
                Err(damage @ (Damage::Changed { .. } | Damage::Unreadable { .. }))
                    if named_like(&path, &ours) =>
                {
                    return Err(self.refuse(
                        &path,
                        &format!("{damage}. Nothing was changed; --journal names another file to begin anew"),
                    ));
                }
                Err(Damage::NoHead) if named_like(&path, &ours) => found = Some(path),
                _ => {}
            }
        }
        Ok(found)
    }

    fn is_ours(&self, head: &Head) -> bool {
        head.plan == self.plan.title()
            && head.bike == self.plan.bike().name()
            && head.rider.as_deref() == self.rider()
    }

    fn free_path(&self) -> PathBuf {
        let stem = journal_stem(&self.clock.now().date(), self.plan.bike().name(), self.rider());
        files::free(|number| {
            let ending = if number == 1 { String::new() } else { format!("-{number}") };
            self.folder().join(format!("{stem}{ending}.ride.toml"))
        })
    }

    fn set_now(&self) -> Change {
        let files = self.set.texts();
        let fingerprint = fingerprint(files.iter().map(|(name, text)| (name.as_str(), text.as_str())));
        Change { files, fingerprint }
    }

    fn begin(&self, path: PathBuf, lock: Lock) -> Result<Opened, Exit> {
        let bike = self.plan.bike();
        let starts = bike.ids().map(|id| {
            let adjuster = bike.get(id);
            let start = match &adjuster.setup {
                Setup::Known(dial) => dial.scale().said_in_full(dial.start()),
                Setup::Unstarted(_) => "asked in the ride".to_owned(),
                Setup::Uncounted(_) => "not counted yet".to_owned(),
            };
            Start { adjuster: adjuster.name(), start }
        });
        let head = Head {
            plan: self.plan.title().to_owned(),
            bike: bike.name().to_owned(),
            rider: self.rider().map(str::to_owned),
            began: self.clock.now().to_string(),
            seed: self.options.seed,
            starts: starts.collect(),
            set: self.set_now(),
        };
        let (text, check) = write_head(&head);
        files::write_whole(&path, text.as_bytes()).map_err(|error| self.unwritable(&path, &error))?;
        let appender =
            Appender::open(&path, lock, text.len() as u64).map_err(|error| self.unwritable(&path, &error))?;
        self.screen.say(&format!("Journal: {}", path.display()));
        let desk = Desk::new(
            Arc::clone(&self.plan),
            self.options.seed,
            Some(Pen { appender, check }),
            self.clock.clone(),
        );
        Ok(Opened { desk, path, recorded: Vec::new() })
    }

    fn resume(&self, path: PathBuf, lock: Lock, journal: &Journal, bytes: &[u8]) -> Result<Opened, Exit> {
        if !self.is_ours(&journal.head) {
            return Err(
                self.refuse(&path, "this is the journal of another plan, bike or rider; it was not changed")
            );
        }
        if is_finished(journal) && self.options.answers.is_none() {
            return Err(
                self.refuse(&path, "this ride is finished; --journal names another file to begin anew")
            );
        }
        let recorded = answers_of(journal);
        let followed = self.follow(&path, journal)?;
        if !journal.torn.is_empty() {
            let aside = files::set_aside(&path, &bytes[journal.whole.min(bytes.len())..])
                .map_err(|error| self.unwritable(&path, &error))?;
            self.screen.say(&format!(
                "{}: its last record is torn and was set aside as {}; everything before it stands.",
                path.display(),
                aside.display()
            ));
        }
        let mut appender = Appender::open(&path, lock, journal.whole as u64)
            .map_err(|error| self.unwritable(&path, &error))?;
        let mut check = journal.check.clone();
        let unwritable = |error| self.unwritable(&path, &error);
        if journal.unended {
            appender.append("\n").map_err(unwritable)?;
        }
        let plan = match followed {
            Followed::Same => Arc::clone(&self.plan),
            Followed::AsItWas(plan) => plan,
            Followed::Changed => {
                let (text, next) = write_change(&self.set_now(), &check);
                appender.append(&text).map_err(|error| self.unwritable(&path, &error))?;
                check = next;
                self.screen.say("The files have changed since; every answer so far still fits.");
                Arc::clone(&self.plan)
            }
        };
        let count = recorded.len();
        let answers = if count == 1 { "answer" } else { "answers" };
        self.screen.say(&format!("Going on with {}: {count} {answers} kept.", path.display()));
        if let Some((_, time)) = recorded.last()
            && self.clock.now().is_before(time)
        {
            self.screen
                .say("The clock stands before the last answer's time; the laps' numbers keep the order.");
        }
        let desk = Desk::new(plan, journal.head.seed, Some(Pen { appender, check }), self.clock.clone());
        Ok(Opened { desk, path, recorded })
    }

    /// Whether the journal follows the plan as it is now.
    fn follow(&self, path: &Path, journal: &Journal) -> Result<Followed, Exit> {
        let last = last_set(journal);
        let Some(differs) = first_difference(&self.plan, journal) else {
            let same = last.fingerprint == self.set_now().fingerprint;
            return Ok(if same { Followed::Same } else { Followed::Changed });
        };
        self.screen.say("The plan has changed since this ride began, and an answer no longer fits.");
        self.screen.say(&format!("Recorded: {}", differs.recorded));
        self.screen.say(&format!("Would now ask: {}", differs.now));
        let as_it_was = plan_of(last);
        if self.at_terminal
            && let Some(plan) = as_it_was
        {
            self.screen
                .say("Go on with the plan as it was? y goes on; Enter stops here and changes nothing.");
            self.screen.raw("> ");
            if read_line().is_some_and(|line| matches!(line.trim().to_lowercase().as_str(), "y" | "yes")) {
                return Ok(Followed::AsItWas(Arc::new(plan)));
            }
        }
        Err(self.refuse(
            path,
            "not gone on with; --journal names another file to begin anew with the changed plan",
        ))
    }
}

enum Followed {
    Same,
    /// The files have changed, and every answer still fits.
    Changed,
    /// The files have changed too much; the ride goes on with the plan that its journal keeps.
    AsItWas(Arc<Plan>),
}

struct Difference {
    recorded: String,
    now: String,
}

/// Whether a journal's name, without its date and its number of the day, is this one.
fn named_like(path: &Path, ours: &str) -> bool {
    const DATE: usize = "2026-05-16-".len();
    let name = path.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
    let stem = name.strip_suffix(".ride.toml").and_then(|stem| stem.get(DATE..)).unwrap_or("");
    let number = stem.strip_prefix(ours).map(|rest| rest.strip_prefix('-').unwrap_or(rest));
    number.is_some_and(|number| number.bytes().all(|byte| byte.is_ascii_digit()))
}

/// The answers of a journal with their times, in order.
pub(super) fn answers_of(journal: &Journal) -> Recorded {
    let answers = journal.entries.iter().filter_map(|entry| match entry {
        Entry::Answer(record) => Some((record.said.clone(), record.time.clone())),
        Entry::Change(_) => None,
    });
    answers.collect()
}

fn last_set(journal: &Journal) -> &Change {
    let changes = journal.entries.iter().rev().find_map(|entry| match entry {
        Entry::Change(change) => Some(change),
        Entry::Answer(_) => None,
    });
    changes.unwrap_or(&journal.head.set)
}

/// The plan of a set that a journal keeps, where it still can be read.
fn plan_of(change: &Change) -> Option<Plan> {
    let mut sources = Sources::default();
    for (name, text) in &change.files {
        sources.add(name.clone(), text.clone());
    }
    check(&sources).plan
}

/// Whether a journal's ride came to its end, by the plan that it keeps.
fn is_finished(journal: &Journal) -> bool {
    let Some(plan) = plan_of(last_set(journal)) else { return false };
    let log: Vec<What> = answers_of(journal).into_iter().map(|(said, _)| said.what).collect();
    replay(&Arc::new(plan), journal.head.seed, &log).is_ok_and(|session| session.ask().is_none())
}

/// The first answer of a journal whose question a plan would not ask.
fn first_difference(plan: &Arc<Plan>, journal: &Journal) -> Option<Difference> {
    let records: Vec<_> = journal
        .entries
        .iter()
        .filter_map(|entry| match entry {
            Entry::Answer(record) => Some(record),
            Entry::Change(_) => None,
        })
        .collect();
    let log: Vec<What> = records.iter().map(|record| record.said.what.clone()).collect();
    let mut session = Session::begin(Arc::clone(plan), journal.head.seed);
    for index in standing(&log) {
        let recorded = &records[index].question;
        let now = session.ask().map(|ask| Question::of(&session, &ask));
        let next = match &log[index] {
            What::Answer(answer) => session.answer(answer),
            _ => continue,
        };
        match (now, next) {
            (Some(now), Ok(next)) if now == *recorded => session = next,
            (now, _) => {
                let now = now.map_or("nothing".to_owned(), |now| now.in_words());
                let answer = &records[index].said.what;
                let recorded =
                    format!("lap {}: {}, answered {answer}", records[index].lap, recorded.in_words());
                return Some(Difference { recorded, now });
            }
        }
    }
    None
}
