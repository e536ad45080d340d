//! Owns what a ride begins from besides its files: recorded settings, counts to be made again. It knows nothing of
//! where the settings were read.

use crate::plan::{AdjusterId, Converted, Plan, Refused};
use crate::record::{Change, NotSettings, fingerprint, read_settings};
use crate::set::Set;

/// What a ride begins from besides its files.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BeginFrom {
    /// Name and text of a settings file.
    pub settings: Option<(String, String)>,
    /// Every count is made again.
    pub recount: bool,
}

/// A plan that begins so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BegunPlan {
    pub plan: Plan,
    /// What became of the recorded settings, where it begins from such.
    pub from: Option<FromSettings>,
}

/// What became of the recorded settings from which a plan begins.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FromSettings {
    /// The name of the settings.
    pub name: String,
    /// The plan as it starts from them, before any count is made again.
    pub plan: Plan,
    /// What a person is to know of it.
    pub notes: Vec<BeginNote>,
}

/// Something that a person is to know of recorded settings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BeginNote {
    /// They are of another bike: its name, where it has one.
    OtherBike(Option<String>),
    /// They are of another rider, or of none.
    OtherRider(Option<String>),
    Converted(Converted),
    /// The bike does not have this adjuster, by the name of its table.
    Stranger(String),
    /// Nothing is recorded of it; it starts as the bike's file says.
    Silent(AdjusterId),
}

/// Why a ride is not begun, or not gone on with: its plan cannot begin so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotBegun {
    #[error("the set has no plan that can be ridden")]
    NoPlan,
    #[error("this plan starts from recorded settings, and none are given")]
    NeedsSettings,
    /// The text of this name is no settings file.
    #[error("{name}: no settings file that can be read")]
    NotSettings { name: String, why: NotSettings },
    /// The settings of this name cannot be taken by the bike of this plan.
    #[error("{name}: not every setting in it is one of this bike")]
    Refused { name: String, plan: Box<Plan>, refused: Vec<Refused> },
}

impl BeginFrom {
    /// What a journal keeps of it.
    #[must_use]
    pub fn kept_in(change: &Change) -> Self {
        BeginFrom { settings: change.from.clone(), recount: change.recount }
    }

    /// Whether the ride begins from its files alone.
    #[must_use]
    pub fn is_plain(&self) -> bool {
        self.settings.is_none() && !self.recount
    }

    /// The name of the settings.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        self.settings.as_ref().map(|(name, _)| name.as_str())
    }

    /// What a journal keeps of a set that is ridden so: its files, and a fingerprint of all of it.
    #[must_use]
    pub fn change(&self, set: &Set) -> Change {
        let files = set.texts();
        let from = self.settings.clone();
        let recount = self.recount.then(|| ("recount".to_owned(), String::new()));
        let all = files.iter().chain(&from).chain(&recount);
        let fingerprint = fingerprint(all.map(|(name, text)| (name.as_str(), text.as_str())));
        Change { files, from, recount: self.recount, fingerprint }
    }

    /// A plan that begins so.
    ///
    /// # Errors
    /// [`NotBegun::NotSettings`] or [`NotBegun::Refused`], with every setting that does not fit.
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
    /// let from = BeginFrom { settings: Some(("last.toml".to_owned(), settings)), recount: false };
    /// let begun = from.apply(set.plan().unwrap()).unwrap();
    /// assert!(begun.from.unwrap().notes.is_empty(), "every setting is taken as it was recorded");
    /// ```
    pub fn apply(&self, plan: &Plan) -> Result<BegunPlan, NotBegun> {
        let from = self.settings.as_ref().map(|(name, text)| from_settings(plan, name, text)).transpose()?;
        let plan = from.as_ref().map_or(plan, |from| &from.plan);
        let plan = if self.recount { plan.recounted() } else { plan.clone() };
        Ok(BegunPlan { plan, from })
    }
}

/// A plan that starts from recorded settings.
fn from_settings(plan: &Plan, name: &str, text: &str) -> Result<FromSettings, NotBegun> {
    let name = name.to_owned();
    let recorded = match read_settings(text, plan.bike()) {
        Ok(recorded) => recorded,
        Err(why) => return Err(NotBegun::NotSettings { name, why }),
    };
    let restart = match plan.starting_from(&recorded.kept) {
        Ok(restart) => restart,
        Err(refused) => return Err(NotBegun::Refused { name, plan: Box::new(plan.clone()), refused }),
    };
    let mut notes = Vec::new();
    if recorded.bike.as_deref() != Some(plan.bike().name()) {
        notes.push(BeginNote::OtherBike(recorded.bike));
    }
    if recorded.rider.as_deref() != plan.rider_name() {
        notes.push(BeginNote::OtherRider(recorded.rider));
    }
    notes.extend(restart.converted.into_iter().map(BeginNote::Converted));
    notes.extend(recorded.strangers.into_iter().map(BeginNote::Stranger));
    let silent = plan.bike().ids().filter(|id| recorded.kept.iter().all(|(kept, _)| kept != id));
    notes.extend(silent.map(BeginNote::Silent));
    Ok(FromSettings { name, plan: restart.plan, notes })
}
