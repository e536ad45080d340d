//! Owns the text of a ride's settings, and whether it may take the place of earlier ones. It knows nothing of where
//! the files are.

use crate::record::{DateTime, Earlier, NotOurs, Sheet, write_settings};

use super::ride::Ride;

/// Where the settings of a ride go.
#[derive(Debug, Clone, Copy, Default)]
pub struct IntoFile<'a> {
    /// What the file holds already: what a person added to it stays.
    pub existing: Option<&'a str>,
    /// The journal's path, seen from the file, where there is a journal.
    pub journal: Option<&'a str>,
    /// Earlier settings: what they say of an adjuster that nobody rode for still holds.
    pub earlier: Option<&'a Earlier>,
}

/// Whether settings may take the place of those of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MayReplace {
    Yes,
    /// They are not of a finished ride, and nobody named the file for them.
    No,
    /// The file has the settings of a later ride.
    OfALaterRide,
    /// The file keeps the settings of the last finished ride, and this one is not over.
    OfTheLastFinished,
}

/// A ride's settings as they come to a file that may have some already.
#[derive(Debug, Clone, Copy)]
pub struct Coming<'a> {
    /// The ride's name, by its journal.
    pub session: &'a str,
    /// When its last answer was given.
    pub saved: &'a str,
    /// Somebody named the file for them.
    pub named: bool,
    /// The ride was over already: what a later ride wrote stays.
    pub again: bool,
}

impl Coming<'_> {
    /// Whether earlier settings are of a later ride than this one. Only a ride that was over before asks.
    #[must_use]
    pub fn is_after(&self, earlier: &Earlier) -> bool {
        let moment = |text: &str| text.parse::<DateTime>().ok();
        let newer = || {
            let then = earlier.saved().and_then(|then| moment(&then));
            moment(self.saved).zip(then).is_some_and(|(ours, then)| ours.is_before(&then))
        };
        self.again && earlier.session() != Some(self.session) && newer()
    }

    /// Whether they may take the place of earlier ones: a finished ride's always, those of one that is not over only
    /// where no finished ride's are lost.
    #[must_use]
    pub fn may_replace(&self, earlier: Option<&Earlier>, finished: bool) -> MayReplace {
        let Some(earlier) = earlier else {
            return if finished || self.named { MayReplace::Yes } else { MayReplace::No };
        };
        let own = earlier.session() == Some(self.session);
        if self.is_after(earlier) {
            MayReplace::OfALaterRide
        } else if finished || (self.named && (own || !earlier.is_finished())) {
            MayReplace::Yes
        } else {
            MayReplace::OfTheLastFinished
        }
    }
}

impl Ride {
    /// When the last answer was given, as it is written; now where there is none.
    #[must_use]
    pub fn saved(&self, now: &DateTime) -> String {
        self.last_time().map_or_else(|| now.to_string(), str::to_owned)
    }

    /// The settings that it began from.
    #[must_use]
    pub fn earlier(&self) -> Option<Earlier> {
        let (_, text) = self.begun_from().settings.as_ref()?;
        Earlier::of(text)
    }

    /// The text of its settings as they are now, put into what the file holds already.
    ///
    /// # Errors
    /// Where the existing text is no TOML or belongs to another bike or rider.
    ///
    /// ```
    /// use clickwise::engine::{BeginFrom, DateTime, InMemory, IntoFile, Ride, Set};
    ///
    /// # let text = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n  tune every rebound\n";
    /// # let files = InMemory::of([("set.tune", text)]);
    /// # let set = Set::gather(&files, &["set.tune"]).unwrap();
    /// # let now: DateTime = "2026-05-16T14:05:00+02:00".parse().unwrap();
    /// let mut ride = Ride::begin(&set, &BeginFrom::default(), &now, 0).unwrap();
    /// ride.say("faster, better, worse", &now).unwrap();
    /// let settings = ride.settings(&now, &IntoFile::default()).unwrap();
    /// assert!(settings.contains("bike = \"B\""));
    /// let other = IntoFile { existing: Some("bike = \"Another\"\n"), ..IntoFile::default() };
    /// assert!(ride.settings(&now, &other).is_err());
    /// ```
    pub fn settings(&self, now: &DateTime, into: &IntoFile<'_>) -> Result<String, NotOurs> {
        let (outcome, saved) = (self.session().so_far(), self.saved(now));
        let IntoFile { existing, journal, earlier } = *into;
        write_settings(
            existing,
            &Sheet { plan: self.session().plan(), outcome: &outcome, saved: &saved, journal, earlier },
        )
    }
}
