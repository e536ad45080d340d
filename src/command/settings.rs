//! Owns which settings files come of a ride: its own beside its journal, always; and the one of the bike
//! and rider, which is of the last finished ride alone. What they say is `record`'s.

use std::path::{Path, PathBuf, absolute};

use crate::disk;
use crate::engine::{Coming, IntoFile, MayReplace};
use crate::record::{Earlier, NotOurs, may_take, session_of, settings_beside, settings_stem};
use crate::set::{Set, folder_of};
use crate::show;

use super::Exit;
use super::clock::Clock;
use super::desk::Desk;
use super::screen::{Screen, print};

/// Where the settings of a ride go.
pub(super) struct SettingsFiles<'a> {
    /// The file that is named on the command line, if one is; `-` prints them.
    pub named: Option<&'a Path>,
    pub set: &'a Set,
    pub desk: &'a Desk,
    pub journal: &'a Path,
    pub clock: &'a Clock,
    /// The ride was over already: what a later ride wrote stays.
    pub again: bool,
    pub screen: Screen,
}

/// An existing file, and what it says as settings.
struct Existing {
    text: Option<Result<String, NotOurs>>,
    earlier: Option<Earlier>,
}

impl SettingsFiles<'_> {
    /// Writes the settings and says where they are. The ride's own file comes last: where it says that
    /// the ride is finished, nothing is left to be written.
    ///
    /// # Errors
    /// Where one of them cannot be written; the others are, all the same.
    pub fn write(&self) -> Result<(), Exit> {
        let outcome = self.desk.session().so_far();
        self.screen.lines(&show::settings(self.desk.session().plan(), &outcome, self.screen.width()));
        let own = settings_beside(self.journal);
        let main = self.main_file(outcome.finished)?;
        let (session, saved) = (self.session(), self.saved());
        let coming = self.coming(&session, &saved);
        let carried = self.desk.ride.earlier().or_else(|| {
            let main = main.as_ref().and_then(|(_, existing)| existing.earlier.clone());
            main.filter(|earlier| !coming.is_after(earlier))
        });
        let mut told = self.named == Some(Path::new("-"));
        let mut done = match self.named {
            Some(path) if path == Path::new("-") => self.print(carried.as_ref()),
            _ => Ok(()),
        };
        if let Some((path, existing)) = &main
            && self.may_write(coming, path, existing, outcome.finished)
        {
            done = done.and(self.write_one(path, existing, carried.as_ref()));
            told = true;
            if done.is_ok() {
                self.screen.say(&format!("Settings saved: {}", path.display()));
            }
            if *path == own {
                return done;
            }
        }
        let existing = self.read(&own)?;
        let written = self.write_one(&own, &existing, carried.as_ref());
        if written.is_ok() && !told {
            let what = if outcome.finished { "Settings of this session" } else { "Settings so far" };
            self.screen.say(&format!("{what}: {}", own.display()));
        }
        done.and(written)
    }

    /// The settings file of the bike and rider, or the one that is named. Where another bike's or rider's
    /// has the usual name, the next number is taken.
    fn main_file(&self, finished: bool) -> Result<Option<(PathBuf, Existing)>, Exit> {
        if let Some(path) = self.named {
            let printed = path == Path::new("-");
            return Ok(if printed { None } else { Some((path.to_owned(), self.read(path)?)) });
        }
        let plan = self.desk.session().plan();
        let stem = settings_stem(plan.bike().name(), plan.rider_name());
        let mut number = 1;
        loop {
            let ending = if number == 1 { String::new() } else { format!("-{number}") };
            let path = self.set.folder().join(format!("{stem}{ending}.settings.toml"));
            let existing = self.read(&path)?;
            match &existing.text {
                Some(Err(reason)) => {
                    if finished {
                        self.screen.say(&format!(
                            "{} was not changed: {}.",
                            path.display(),
                            show::not_ours(reason)
                        ));
                    }
                    number += 1;
                }
                _ => return Ok(Some((path, existing))),
            }
        }
    }

    fn read(&self, path: &Path) -> Result<Existing, Exit> {
        let bytes = disk::read_if_there(path).map_err(|error| {
            self.screen.say(&format!("Can't read {}: {}", path.display(), disk::in_words(&error)));
            Exit::Disk
        })?;
        let text = bytes.map(|bytes| {
            let text = String::from_utf8(bytes).map_err(|_| NotOurs::NotToml)?;
            may_take(Some(&text), self.desk.session().plan()).map(|_| text)
        });
        let earlier = text.as_ref().and_then(|text| Earlier::of(text.as_ref().ok()?));
        Ok(Existing { text, earlier })
    }

    /// When the last answer was given.
    fn saved(&self) -> String {
        self.desk.ride.saved(&self.clock.now())
    }

    /// The ride's name, by its journal.
    fn session(&self) -> String {
        session_of(&slashed(self.journal))
    }

    fn coming<'b>(&self, session: &'b str, saved: &'b str) -> Coming<'b> {
        Coming { session, saved, named: self.named.is_some(), again: self.again }
    }

    /// Whether this ride's settings may take the place of those in the file; where it matters, it is said why not.
    fn may_write(&self, coming: Coming<'_>, path: &Path, existing: &Existing, finished: bool) -> bool {
        let path = path.display();
        match coming.may_replace(existing.earlier.as_ref(), finished) {
            MayReplace::Yes => return true,
            MayReplace::No => {}
            MayReplace::OfALaterRide => {
                self.screen.say(&format!("{path} is from a later session and was not changed."));
            }
            MayReplace::OfTheLastFinished => {
                self.screen.say(&format!("{path} still has the settings of your last finished session."));
            }
        }
        false
    }

    fn text(
        &self,
        path: &Path,
        existing: Option<&str>,
        earlier: Option<&Earlier>,
    ) -> Result<String, NotOurs> {
        let journal = seen_from(self.journal, path);
        let into = IntoFile { existing, journal: Some(&journal), earlier };
        self.desk.ride.settings(&self.clock.now(), &into)
    }

    fn print(&self, earlier: Option<&Earlier>) -> Result<(), Exit> {
        let text = self.text(Path::new(""), None, earlier).unwrap_or_default();
        print(&text).map_err(|error| {
            self.screen.say(&format!("Can't print the settings: {}", disk::in_words(&error)));
            Exit::Disk
        })
    }

    fn write_one(&self, path: &Path, existing: &Existing, earlier: Option<&Earlier>) -> Result<(), Exit> {
        let text = match &existing.text {
            Some(Err(reason)) => Err(reason.clone()),
            Some(Ok(text)) => self.text(path, Some(text), earlier),
            None => self.text(path, None, earlier),
        };
        let text = text.map_err(|reason| {
            self.screen.say(&format!("{} was not changed: {}.", path.display(), show::not_ours(&reason)));
            Exit::Disk
        })?;
        disk::write_whole(path, text.as_bytes()).map_err(|error| {
            self.screen.say(&format!(
                "Can't save {}: {}. Run the same command again to save it: your answers are safe in the \
                    journal.",
                path.display(),
                disk::in_words(&error)
            ));
            Exit::Disk
        })
    }
}

/// A path with `/` between its parts, on every system.
fn slashed(path: &Path) -> String {
    path.to_string_lossy().replace('\\', "/")
}

/// A path as seen from a file: below that file's folder without it, elsewhere in full; seen from nowhere
/// as it is.
fn seen_from(path: &Path, file: &Path) -> String {
    if file.as_os_str().is_empty() {
        return slashed(path);
    }
    match (absolute(path), absolute(folder_of(file))) {
        (Ok(path), Ok(folder)) => slashed(path.strip_prefix(&folder).unwrap_or(&path)),
        _ => slashed(path),
    }
}
