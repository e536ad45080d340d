//! Owns the opening of a ride's journal: the unfinished one of the same plan, bike and rider, or a
//! new one; under its lock; with a torn tail set aside and a changed plan noticed.

use std::hash::{BuildHasher, Hasher};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::plan::{Plan, Setup};
use crate::record::files::{self, Appender, Lock, NotLocked};
use crate::record::{
    Change, Damage, Head, Journal, Start, begins_a_journal, fingerprint, journal_stem, read_journal,
    write_change, write_head,
};

use super::Exit;
use super::answers::{is_yes, read_line};
use super::args::RideOptions;
use super::begin::{BeginFrom, Begun};
use super::clock::Clock;
use super::desk::{Desk, Pen};
use super::duties;
use super::follow::{Recorded, answers_of, first_difference, is_finished, last_set, plan_of};
use super::screen::Screen;
use super::set::Set;

/// A ride whose journal is open.
pub(super) struct Opened {
    pub desk: Desk,
    pub path: PathBuf,
    pub recorded: Recorded,
    /// The text of the settings that the ride began from.
    pub from: Option<String>,
    /// The ride was over before: only its settings are written, once more.
    pub again: bool,
}

struct Opening<'a> {
    options: &'a RideOptions,
    set: &'a Set,
    /// The plan as the files have it.
    plan: Plan,
    /// What the command line says that the ride begins from.
    begin: BeginFrom,
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
    plan: Plan,
    begin: BeginFrom,
    clock: &Clock,
    at_terminal: bool,
    screen: Screen,
) -> Result<Opened, Exit> {
    Opening { options, set, plan, begin, clock, at_terminal, screen }.open()
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
        let set = (self.set.paths.as_slice(), self.set.folder.as_path());
        duties::of_the_ride(self.options, set, &self.plan, &path, self.screen)?;
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

    fn set_now(&self, begin: &BeginFrom) -> Change {
        let files = self.set.texts();
        let from = begin.settings.clone();
        let recount = begin.recount.then(|| ("recount".to_owned(), String::new()));
        let all = files.iter().chain(&from).chain(&recount);
        let fingerprint = fingerprint(all.map(|(name, text)| (name.as_str(), text.as_str())));
        Change { files, from, recount: begin.recount, fingerprint }
    }

    /// The plan as the ride begins it.
    fn begun(&self, begin: &BeginFrom) -> Result<Begun, Exit> {
        begin.apply(&self.plan).map_err(|reasons| {
            for reason in reasons {
                self.screen.say(&reason);
            }
            self.screen.say("No ride was begun.");
            Exit::Errors
        })
    }

    fn begin(&self, path: PathBuf, lock: Lock) -> Result<Opened, Exit> {
        if self.plan.parts().needs_settings && self.begin.settings.is_none() {
            self.screen.say("This plan starts from recorded settings: name them with --from SETTINGS.");
            return Err(Exit::Usage);
        }
        let begun = self.begun(&self.begin)?;
        for note in &begun.notes {
            self.screen.say(note);
        }
        let plan = Arc::new(begun.plan);
        let bike = plan.bike();
        let starts = bike.ids().map(|id| {
            let adjuster = bike.get(id);
            let start = match &adjuster.setup {
                Setup::Known(dial) => dial.scale().said_in_full(dial.start()),
                Setup::Unstarted(_) => "asked in the ride".to_owned(),
                Setup::Uncounted(_) => "not counted yet".to_owned(),
            };
            Start { adjuster: adjuster.name(), start }
        });
        let seed = self.seed();
        let head = Head {
            plan: self.plan.title().to_owned(),
            bike: bike.name().to_owned(),
            rider: self.rider().map(str::to_owned),
            began: self.clock.now().to_string(),
            seed,
            starts: starts.collect(),
            set: self.set_now(&self.begin),
        };
        let (text, check) = write_head(&head);
        files::write_whole(&path, text.as_bytes()).map_err(|error| self.unwritable(&path, &error))?;
        let appender =
            Appender::open(&path, lock, text.len() as u64).map_err(|error| self.unwritable(&path, &error))?;
        self.screen.say(&format!("Journal: {}", path.display()));
        let pen = Some(Pen { appender, check });
        let desk = Desk::new(plan, seed, pen, self.clock.clone());
        let from = self.begin.settings.clone().map(|(_, text)| text);
        Ok(Opened { desk, path, recorded: Vec::new(), from, again: false })
    }

    /// The seed that is named, or a drawn one. A ride of a named moment is to come out alike each time.
    fn seed(&self) -> u64 {
        let drawn = || std::collections::hash_map::RandomState::new().build_hasher().finish() >> 11;
        let named = self.options.seed.or(self.options.as_of.as_ref().map(|_| 0));
        named.unwrap_or_else(drawn)
    }

    fn resume(&self, path: PathBuf, lock: Lock, journal: &Journal, bytes: &[u8]) -> Result<Opened, Exit> {
        if !self.is_ours(&journal.head) {
            return Err(
                self.refuse(&path, "this is the journal of another plan, bike or rider; it was not changed")
            );
        }
        let recorded = answers_of(journal);
        if is_finished(journal) && self.options.answers.is_none() {
            return self.over(path, journal, recorded);
        }
        let begin = self.begun_from(journal);
        let now = Arc::new(self.begun(&begin)?.plan);
        let followed = self.follow(&path, journal, &now, &begin)?;
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
            Followed::Same => now,
            Followed::AsItWas(plan) => plan,
            Followed::Changed => {
                let (text, next) = write_change(&self.set_now(&begin), &check);
                appender.append(&text).map_err(|error| self.unwritable(&path, &error))?;
                check = next;
                self.screen.say("The files have changed since; every answer so far still fits.");
                now
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
        let from = begin.settings.map(|(_, text)| text);
        Ok(Opened { desk, path, recorded, from, again: false })
    }

    /// What a ride that goes on began from. What is not said again stays as it was; settings that are
    /// named again are those of its beginning, whatever the file says by now: this ride may have written it.
    fn begun_from(&self, journal: &Journal) -> BeginFrom {
        let kept = BeginFrom::kept_in(last_set(journal));
        let name = |begin: &BeginFrom| begin.settings.as_ref().map(|(name, _)| name.clone());
        if self.begin.is_plain() || (name(&self.begin) == name(&kept) && self.begin.recount == kept.recount) {
            if self.begin.settings.is_some() && self.begin.settings != kept.settings {
                let name = name(&kept).unwrap_or_default();
                self.screen
                    .say(&format!("{name} has changed since; the ride keeps the starts it began with."));
            }
            return kept;
        }
        self.begin.clone()
    }

    /// A ride that is over: nothing is asked, and its settings are written again.
    fn over(&self, path: PathBuf, journal: &Journal, recorded: Recorded) -> Result<Opened, Exit> {
        let change = last_set(journal);
        let Some(plan) = plan_of(change) else {
            return Err(self.refuse(&path, "the plan that this journal keeps can no longer be read"));
        };
        self.screen.say(&format!("{}: this ride is finished. Its settings are saved again.", path.display()));
        self.screen.say("To begin a new one, run the same command without `--journal`.");
        let desk = Desk::new(Arc::new(plan), journal.head.seed, None, self.clock.clone());
        let from = change.from.clone().map(|(_, text)| text);
        Ok(Opened { desk, path, recorded, from, again: true })
    }

    /// Whether the journal follows the plan as it is now.
    fn follow(
        &self,
        path: &Path,
        journal: &Journal,
        now: &Arc<Plan>,
        begin: &BeginFrom,
    ) -> Result<Followed, Exit> {
        let last = last_set(journal);
        let Some(differs) = first_difference(now, journal) else {
            let same = last.fingerprint == self.set_now(begin).fingerprint;
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
            if read_line().is_some_and(|line| is_yes(&line)) {
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

/// Whether a journal's name, without its date and its number of the day, is this one.
fn named_like(path: &Path, ours: &str) -> bool {
    const DATE: usize = "2026-05-16-".len();
    let name = path.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
    let stem = name.strip_suffix(".ride.toml").and_then(|stem| stem.get(DATE..)).unwrap_or("");
    let number = stem.strip_prefix(ours).map(|rest| rest.strip_prefix('-').unwrap_or(rest));
    number.is_some_and(|number| number.bytes().all(|byte| byte.is_ascii_digit()))
}
