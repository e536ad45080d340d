//! Owns the opening of a ride's journal: the open one of the same plan, bike and rider, or a new one; under
//! its lock; with what is damaged set aside and a changed plan noticed.

use std::hash::{BuildHasher, Hasher};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::plan::{Plan, Setup};
use crate::record::files::{self, JOURNAL, Lock, NotLocked};
use crate::record::{
    Change, Damage, Earlier, Head, Journal, Start, fingerprint, journal_stem, read_journal, settings_stem,
    write_head,
};
use crate::set::{Set, folder_of};
use crate::show;

use super::Exit;
use super::args::RideOptions;
use super::begin::{BeginFrom, Begun};
use super::clock::Clock;
use super::desk::Desk;
use super::duties;
use super::follow::{Recorded, answers_of, first_difference, is_finished, last_set, plan_of};
use super::keys::{is_yes, read_line};
use super::mend::mended;
use super::open_rides::{Held, Newest, OpenRides, continuation, in_full, unmerged};
use super::pen::{Pen, begin_file};
use super::screen::Screen;

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
    plan: Arc<Plan>,
    /// What the command line says that the ride begins from.
    begin: BeginFrom,
    clock: &'a Clock,
    at_terminal: bool,
    screen: Screen,
    /// Who holds the lock.
    holder: String,
}

/// Opens the journal of a ride.
///
/// # Errors
/// Where it is held by another ride, damaged, of another ride, or cannot be read or written.
pub(super) fn open(
    options: &RideOptions,
    set: &Set,
    plan: Arc<Plan>,
    begin: BeginFrom,
    clock: &Clock,
    at_terminal: bool,
    screen: Screen,
) -> Result<Opened, Exit> {
    let holder = format!("process {}, since {}", std::process::id(), clock.now());
    Opening { options, set, plan, begin, clock, at_terminal, screen, holder }.open()
}

impl Opening<'_> {
    fn rider(&self) -> Option<&str> {
        self.plan.parts().rider.as_ref().map(|rider| rider.name.as_str())
    }

    fn refuse(&self, path: &Path, reason: &str) -> Exit {
        self.screen.say(&format!("{}: {reason}", path.display()));
        Exit::Errors
    }

    fn unwritable(&self, path: &Path, error: &io::Error) -> Exit {
        let reason = files::in_words(error);
        self.screen.say(&format!("Can't save {}: {reason}. You have not started.", path.display()));
        Exit::Disk
    }

    fn open(&self) -> Result<Opened, Exit> {
        self.sweep();
        if let Some(path) = &self.options.journal {
            return self.open_named(path.clone());
        }
        match self.open_rides().newest()? {
            Newest::Open(held) => self.resume(*held),
            Newest::Unsaved(held) => {
                let Held { path, journal, .. } = *held;
                let recorded = answers_of(&journal);
                self.screen
                    .say("Your last ride is finished, but its settings were not saved. They are saved now.");
                self.screen.say("To begin a new ride, run the same command again.");
                self.over(&path, &journal, recorded)
            }
            Newest::None => self.begin(None),
        }
    }

    /// Takes away what interrupted runs left in the folders in which this one writes.
    fn sweep(&self) {
        let written = self.options.journal.iter().chain(&self.options.settings);
        let paths = self.set.paths().chain(written.map(PathBuf::as_path));
        let mut folders: Vec<PathBuf> = paths.map(folder_of).collect();
        folders.extend([self.set.folder(), self.folder()]);
        folders.sort();
        folders.dedup();
        for folder in folders {
            files::sweep(&folder);
        }
    }

    fn open_rides(&self) -> OpenRides<'_> {
        OpenRides {
            folder: self.folder(),
            plan: self.plan.title(),
            bike: self.plan.bike().name(),
            rider: self.rider(),
            holder: &self.holder,
            saved: self.saved(),
            screen: self.screen,
        }
    }

    /// The ride whose settings the bike's file has.
    fn saved(&self) -> Option<String> {
        let stem = settings_stem(self.plan.bike().name(), self.rider());
        let bytes = files::read(&self.set.folder().join(format!("{stem}.settings.toml"))).ok()?;
        let saved = Earlier::of(str::from_utf8(&bytes).ok()?)?;
        saved.session().map(str::to_owned)
    }

    /// Refuses a journal that has another duty in this ride.
    fn held_apart(&self, journal: &Path) -> Result<(), Exit> {
        let paths: Vec<PathBuf> = self.set.paths().map(Path::to_owned).collect();
        let set = (paths.as_slice(), &*self.set.folder());
        duties::of_the_ride(self.options, set, &self.plan, journal, self.screen)
    }

    /// Opens the journal that the command line names.
    fn open_named(&self, path: PathBuf) -> Result<Opened, Exit> {
        self.held_apart(&path)?;
        let lock = match Lock::take(&path, &self.holder) {
            Ok(lock) => lock,
            Err(NotLocked::Failed(error)) => return Err(self.unwritable(&path, &error)),
            Err(NotLocked::Held(holder)) => {
                return Err(self.refuse(
                    &path,
                    &format!("this journal is in use by another session ({holder}); close that one first"),
                ));
            }
        };
        let bytes = files::read_if_there(&path).map_err(|error| {
            self.screen.say(&format!("Can't read {}: {}.", path.display(), files::in_words(&error)));
            Exit::Disk
        })?;
        let Some(bytes) = bytes.filter(|bytes| !bytes.is_empty()) else {
            return self.begin(Some((path, lock)));
        };
        match read_journal(&bytes) {
            Ok(journal) => {
                if let Some(other) = continuation(&path, &journal) {
                    let (path, told) = (path.display(), other.display());
                    self.screen.say(&format!("{path}: all of it, and what came after, is in {told}."));
                    return self.open_named(other);
                }
                self.resume(Held { path, lock, bytes, journal })
            }
            Err(damage @ (Damage::NoHead | Damage::Head { .. })) => {
                let aside = files::set_aside(&path, "damaged", &bytes)
                    .map_err(|error| self.unwritable(&path, &error))?;
                let (told, aside, why) = (path.display(), aside.display(), in_full(&damage));
                self.screen.say(&format!("{told}: {why}. It is now {aside}, and you start afresh."));
                self.begin(Some((path, lock)))
            }
            Err(damage @ Damage::Merge { .. }) => {
                self.screen.say(&unmerged(&path, &damage));
                Err(Exit::Errors)
            }
            Err(damage) => Err(self.refuse(
                &path,
                &format!("{}. It was not changed; give another file with `--journal`", show::damage(&damage)),
            )),
        }
    }

    /// The folder in which journals are if none is named.
    fn folder(&self) -> PathBuf {
        self.set.folder().join("rides")
    }

    /// The path of a new journal, before it has a number.
    fn new_path(&self, seed: u64) -> PathBuf {
        let stem = journal_stem(&self.clock.now().date(), self.plan.bike().name(), self.rider(), seed);
        self.folder().join(format!("{stem}{JOURNAL}"))
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

    /// Begins a journal: the named one, or a new one that no other ride has.
    fn begin(&self, named: Option<(PathBuf, Lock)>) -> Result<Opened, Exit> {
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
        let text = text.into_bytes();
        let wanted = named.as_ref().map_or_else(|| self.new_path(seed), |(path, _)| path.clone());
        self.held_apart(&wanted)?;
        let unwritable = |error: io::Error| self.unwritable(&wanted, &error);
        let (path, lock) = match named {
            Some((path, lock)) => files::write_whole(&path, &text).map(|()| (path, lock)),
            None => begin_file(&wanted, 1, &text, &self.holder),
        }
        .map_err(unwritable)?;
        let pen =
            Pen::open(path.clone(), lock, text, check, &self.holder, self.screen).map_err(unwritable)?;
        self.screen.say(&format!("Journal: {}", path.display()));
        let desk = Desk::new(plan, seed, Some(pen), self.clock.clone());
        let from = self.begin.settings.clone().map(|(_, text)| text);
        Ok(Opened { desk, path, recorded: Vec::new(), from, again: false })
    }

    /// The seed that is named, or a drawn one. A ride of a named moment is to come out alike each time.
    fn seed(&self) -> u64 {
        let drawn = || std::collections::hash_map::RandomState::new().build_hasher().finish() >> 11;
        let named = self.options.seed.or(self.options.as_of.as_ref().map(|_| 0));
        named.unwrap_or_else(drawn)
    }

    fn resume(&self, held: Held) -> Result<Opened, Exit> {
        let Held { path, lock, bytes, journal } = held;
        let journal = &journal;
        self.held_apart(&path)?;
        if !self.open_rides().is_ours(&journal.head) {
            return Err(
                self.refuse(&path, "this journal belongs to another plan, bike or rider. It was not changed")
            );
        }
        let recorded = answers_of(journal);
        if is_finished(journal) && self.options.answers.is_none() {
            let told = path.display();
            self.screen.say(&format!("{told}: this ride is finished. Its settings are saved again."));
            self.screen.say("To begin a new ride, run the same command without `--journal`.");
            return self.over(&path, journal, recorded);
        }
        let begin = self.begun_from(journal);
        let now = Arc::new(self.begun(&begin)?.plan);
        let followed = self.follow(&path, journal, &now, &begin)?;
        let unwritable = |error: io::Error| self.unwritable(&path, &error);
        let kept = mended(&path, journal, bytes, self.screen).map_err(unwritable)?;
        let check = journal.check.clone();
        let mut pen =
            Pen::open(path.clone(), lock, kept, check, &self.holder, self.screen).map_err(unwritable)?;
        let plan = match followed {
            Followed::Same => now,
            Followed::AsItWas(plan) => plan,
            Followed::Changed => {
                pen.change(&self.set_now(&begin)).map_err(unwritable)?;
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
        let desk = Desk::new(plan, journal.head.seed, Some(pen), self.clock.clone());
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
    fn over(&self, path: &Path, journal: &Journal, recorded: Recorded) -> Result<Opened, Exit> {
        let change = last_set(journal);
        let Some(plan) = plan_of(change) else {
            return Err(self.refuse(path, "the plan that this journal keeps can no longer be read"));
        };
        let desk = Desk::new(Arc::new(plan), journal.head.seed, None, self.clock.clone());
        let from = change.from.clone().map(|(_, text)| text);
        Ok(Opened { desk, path: path.to_owned(), recorded, from, again: true })
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
