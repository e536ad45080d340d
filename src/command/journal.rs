//! Owns the opening of a ride's journal: the open one of the same plan, bike and rider, or a new one; under
//! its lock; with what is damaged set aside and a changed plan noticed.

use std::hash::{BuildHasher, Hasher};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::disk::{self, JOURNAL, Lock, NotLocked};
use crate::engine::{
    BeginFrom, Follows, NotBegun, NotResumed, Recorded, Resuming, Ride, answers_of, is_finished, is_ride_of,
};
use crate::plan::Plan;
use crate::record::{Book, Damage, Earlier, Journal, journal_stem, read_journal, settings_stem};
use crate::set::{Set, folder_of};
use crate::show;

use super::Exit;
use super::args::RideOptions;
use super::clock::Clock;
use super::desk::Desk;
use super::duties;
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

/// Opens the journal of a session.
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
    fn refuse(&self, path: &Path, reason: &str) -> Exit {
        self.screen.say(&format!("{}: {reason}", path.display()));
        Exit::Errors
    }

    fn unwritable(&self, path: &Path, error: &io::Error) -> Exit {
        let reason = disk::in_words(error);
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
                    .say("Your last session finished, but its settings were not saved. They are saved now.");
                self.screen.say("To start a new session, run the same command again.");
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
            disk::sweep(&folder);
        }
    }

    fn open_rides(&self) -> OpenRides<'_> {
        OpenRides {
            folder: self.folder(),
            plan: &self.plan,
            holder: &self.holder,
            saved: self.saved(),
            screen: self.screen,
        }
    }

    /// The ride whose settings the bike's file has.
    fn saved(&self) -> Option<String> {
        let stem = settings_stem(self.plan.bike().name(), self.plan.rider_name());
        let bytes = disk::read(&self.set.folder().join(format!("{stem}.settings.toml"))).ok()?;
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
        let bytes = disk::read_if_there(&path).map_err(|error| {
            self.screen.say(&format!("Can't read {}: {}.", path.display(), disk::in_words(&error)));
            Exit::Disk
        })?;
        let Some(bytes) = bytes.filter(|bytes| !bytes.is_empty()) else {
            return self.begin(Some((path, lock)));
        };
        match read_journal(&bytes) {
            Ok(journal) => {
                if let Some(other) = continuation(&path, &journal) {
                    let (path, told) = (path.display(), other.display());
                    self.screen.say(&format!(
                        "{path}: {told} has all of this and more, so you carry on with that one."
                    ));
                    return self.open_named(other);
                }
                self.resume(Held { path, lock, bytes, journal })
            }
            Err(damage @ (Damage::NoHead | Damage::Head { .. })) => {
                let aside = disk::set_aside(&path, "damaged", &bytes)
                    .map_err(|error| self.unwritable(&path, &error))?;
                let (told, aside, why) = (path.display(), aside.display(), in_full(&damage));
                self.screen.say(&format!("{told}: {why}. It is renamed to {aside}, and you start afresh."));
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
        let stem =
            journal_stem(&self.clock.now().date(), self.plan.bike().name(), self.plan.rider_name(), seed);
        self.folder().join(format!("{stem}{JOURNAL}"))
    }

    /// Tells why a ride is not begun, and gives how the run ends for it.
    fn not_begun(&self, why: &NotBegun) -> Exit {
        match why {
            NotBegun::NeedsSettings => {
                self.screen.say(
                    "This plan starts from saved settings: add their file, for example \
                        `--from bike-rider.settings.toml`.",
                );
                return Exit::Usage;
            }
            NotBegun::NoPlan | NotBegun::NotSettings { .. } | NotBegun::Refused { .. } => {}
        }
        for reason in show::not_begun(why) {
            self.screen.say(&reason);
        }
        self.screen.say("Nothing has been started.");
        Exit::Errors
    }

    /// Begins a journal: the named one, or a new one that no other ride has.
    fn begin(&self, named: Option<(PathBuf, Lock)>) -> Result<Opened, Exit> {
        let seed = self.seed();
        let ride = Ride::begin(self.set, &self.begin, &self.clock.now(), seed);
        let ride = ride.map_err(|why| self.not_begun(&why))?;
        for note in ride.from_settings().map(show::begun).unwrap_or_default() {
            self.screen.say(&note);
        }
        let wanted = named.as_ref().map_or_else(|| self.new_path(seed), |(path, _)| path.clone());
        self.held_apart(&wanted)?;
        let unwritable = |error: io::Error| self.unwritable(&wanted, &error);
        let (path, lock) = match named {
            Some((path, lock)) => disk::write_whole(&path, ride.journal()).map(|()| (path, lock)),
            None => begin_file(&wanted, 1, ride.journal(), &self.holder),
        }
        .map_err(unwritable)?;
        let pen = self.pen(&path, lock, ride.journal().len(), ride.book()).map_err(unwritable)?;
        self.screen.say(&format!("Journal: {}", path.display()));
        let desk = Desk::new(ride, pen, self.clock.clone());
        Ok(Opened { desk, path, recorded: Vec::new(), again: false })
    }

    /// The pen for a journal of which so many bytes are kept.
    fn pen(&self, path: &Path, lock: Lock, kept: usize, book: Option<&Book>) -> io::Result<Option<Pen>> {
        let Some(book) = book else { return Ok(None) };
        Pen::open(path.to_owned(), lock, kept, book, &self.holder, self.screen).map(Some)
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
        if !is_ride_of(&journal.head, &self.plan) {
            return Err(self.others(&path));
        }
        let recorded = answers_of(journal);
        if is_finished(journal) && self.options.answers.is_none() {
            let told = path.display();
            self.screen.say(&format!("{told}: this session is finished. Its settings are saved again."));
            self.screen.say("To start a new session, run the same command without `--journal`.");
            return self.over(&path, journal, recorded);
        }
        let (begin, changed) = self.begin.going_on(journal);
        if changed {
            let name = begin.name().unwrap_or_default();
            self.screen.say(&format!(
                "{name} has changed since you started; this session still uses the old starts."
            ));
        }
        let resuming = Resuming::of(self.set, journal, begin).map_err(|why| match why {
            NotResumed::NotBegun(why) => self.not_begun(&why),
            _ => self.others(&path),
        })?;
        let resuming = self.follow(&path, resuming)?;
        let unwritable = |error: io::Error| self.unwritable(&path, &error);
        let kept = mended(&path, journal, bytes, self.screen).map_err(unwritable)?;
        let change = (*resuming.follows() == Follows::Changed).then(|| resuming.change().clone());
        let length = kept.len();
        let ride = resuming.ride(kept);
        let pen = self.pen(&path, lock, length, ride.book()).map_err(unwritable)?;
        let mut desk = Desk::new(ride, pen, self.clock.clone());
        if let Some(change) = change {
            desk.change(&change).map_err(unwritable)?;
            self.screen.say("Your files have changed since last time, but every answer still fits.");
        }
        let count = recorded.len();
        let answers = if count == 1 { "answer" } else { "answers" };
        self.screen.say(&format!("Carrying on with {}: {count} {answers} saved.", path.display()));
        let last = recorded.last().and_then(|(_, time)| time.parse().ok());
        if last.is_some_and(|last| self.clock.now().is_before(&last)) {
            self.screen.say(
                "This computer's clock is earlier than your last answer. That's fine: laps are put in \
                    order by number.",
            );
        }
        Ok(Opened { desk, path, recorded, again: false })
    }

    fn others(&self, path: &Path) -> Exit {
        self.refuse(path, "this journal belongs to another plan, bike or rider. It was not changed")
    }

    /// A ride that is over: nothing is asked, and its settings are written again.
    fn over(&self, path: &Path, journal: &Journal, recorded: Recorded) -> Result<Opened, Exit> {
        let ride = Ride::of_kept(journal, Vec::new()).map_err(|why| self.refuse(path, &why.to_string()))?;
        let desk = Desk::new(ride, None, self.clock.clone());
        Ok(Opened { desk, path: path.to_owned(), recorded, again: true })
    }

    /// The ride as it goes on: with the plan as it is now or, if an answer no longer fits and the rider says so, as it
    /// was.
    fn follow<'j>(&self, path: &Path, resuming: Resuming<'j>) -> Result<Resuming<'j>, Exit> {
        let Follows::Differs(differs) = resuming.follows() else { return Ok(resuming) };
        self.screen.say("The plan has changed since you started, and one of your answers no longer fits.");
        let (recorded, now) = show::differs(differs);
        self.screen.say(&format!("It asked: {recorded}"));
        self.screen.say(&format!("It would now ask: {now}"));
        if self.at_terminal
            && let Some(as_it_was) = resuming.as_it_was()
        {
            self.screen.say(
                "Carry on with the old plan? Type y to carry on, or press Enter to stop. Your files stay \
                    as they are.",
            );
            self.screen.raw("> ");
            if read_line().is_some_and(|line| is_yes(&line)) {
                return Ok(as_it_was);
            }
        }
        Err(self
            .refuse(path, "stopped. To start afresh with the new plan, add `--journal` and a new file name"))
    }
}
