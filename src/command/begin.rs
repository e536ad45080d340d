//! Owns what a ride begins from besides its files: recorded settings, counts to be made again.

use std::path::Path;

use crate::plan::Plan;
use crate::record::{Change, files, read_settings};
use crate::show;

use super::Exit;
use super::args::RideOptions;
use super::screen::Screen;

/// What a ride begins from.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct BeginFrom {
    /// Name and text of a settings file.
    pub settings: Option<(String, String)>,
    /// Every count is made again.
    pub recount: bool,
}

/// A plan that begins so, and what is to be said of it.
pub(super) struct Begun {
    pub plan: Plan,
    pub notes: Vec<String>,
}

impl BeginFrom {
    /// What the command line says.
    ///
    /// # Errors
    /// Where the settings file cannot be read.
    pub fn of(options: &RideOptions, screen: Screen) -> Result<Self, Exit> {
        let settings = match &options.from {
            None => None,
            Some(path) => {
                let bytes = files::read(path).map_err(|error| {
                    screen.say(&format!("{}: cannot be read: {}", path.display(), files::in_words(&error)));
                    Exit::Disk
                })?;
                let text = String::from_utf8(bytes).map_err(|_| {
                    screen.say(&format!("{}: it is not UTF-8 text", path.display()));
                    Exit::Errors
                })?;
                Some((plain_name(path), text))
            }
        };
        Ok(BeginFrom { settings, recount: options.recount })
    }

    /// What a journal keeps of it.
    pub fn kept_in(change: &Change) -> Self {
        BeginFrom { settings: change.from.clone(), recount: change.recount }
    }

    /// Whether the ride begins from its files alone.
    pub fn is_plain(&self) -> bool {
        self.settings.is_none() && !self.recount
    }

    /// A plan that begins so.
    ///
    /// # Errors
    /// Every reason why it cannot, a sentence each.
    pub fn apply(&self, plan: &Plan) -> Result<Begun, Vec<String>> {
        let mut begun = Begun { plan: plan.clone(), notes: Vec::new() };
        if let Some((name, text)) = &self.settings {
            let recorded = read_settings(text, plan.bike())
                .map_err(|reason| vec![format!("{name}: {}", show::not_settings(&reason))])?;
            let named = |id| plan.bike().get(id).name();
            let restart = plan.starting_from(&recorded.kept).map_err(|refused| {
                let reason = |refused| format!("{name}: {}.", show::not_begun(plan, refused));
                refused.iter().map(reason).collect::<Vec<_>>()
            })?;
            if recorded.bike.as_deref() != Some(plan.bike().name()) {
                let other = recorded.bike.as_deref().unwrap_or("no named bike");
                begun.notes.push(format!("{name}: these are settings of another bike, {other}."));
            }
            let rider = plan.parts().rider.as_ref().map(|rider| rider.name.as_str());
            if recorded.rider.as_deref() != rider {
                let other = recorded.rider.as_deref().unwrap_or("no named rider");
                begun.notes.push(format!("{name}: these are settings of another rider, {other}."));
            }
            let converted = |converted| format!("{name}: {}.", show::converted(&restart.plan, converted));
            begun.notes.extend(restart.converted.iter().map(converted));
            begun.notes.extend(
                recorded
                    .strangers
                    .iter()
                    .map(|stranger| format!("{name}: this bike has no {stranger}; it is left out.")),
            );
            let silent = plan.bike().ids().filter(|id| recorded.kept.iter().all(|(kept, _)| kept != id));
            begun.notes.extend(silent.map(|id| {
                format!("{name}: nothing is recorded of {}; it starts as the bike's file says.", named(id))
            }));
            begun.plan = restart.plan;
        }
        if self.recount {
            begun.plan = begun.plan.recounted();
        }
        Ok(begun)
    }
}

/// The name of a file without its folder.
fn plain_name(path: &Path) -> String {
    path.file_name()
        .map_or_else(|| path.to_string_lossy().into_owned(), |name| name.to_string_lossy().into_owned())
}
