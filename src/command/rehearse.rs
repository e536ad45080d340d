//! `clickwise rehearse`: rides a plan with simulated riders and says what it takes and whom it does not
//! serve.

use std::sync::Arc;

use crate::disk;
use crate::rehearsal::{Course, Kind, Wanted, rehearse};
use crate::show;

use super::Exit;
use super::args::{RehearsalReport, RehearseOptions};
use super::patience::while_patient;
use super::screen::{Screen, print};
use super::set::{read, tell_what_matters};

pub(super) fn run(options: &RehearseOptions, screen: Screen) -> Exit {
    let set = match read(&options.files, screen) {
        Ok(set) => set,
        Err(exit) => return exit,
    };
    tell_what_matters(&set, screen);
    let Some(plan) = set.plan().cloned() else {
        for need in set.needs() {
            screen.say(&format!("Before you rehearse, you also need {need}"));
        }
        return Exit::Errors;
    };
    let wanted = Wanted {
        rides: options.rides.div_ceil(Kind::ALL.len() as u64),
        seed: options.seed,
        coupling: options.coupling,
    };
    let course = Arc::new(Course::default());
    let rehearsal = while_patient(&course, screen, || rehearse(&plan, &wanted, &course));
    let exit = if rehearsal.ended { Exit::Stopped } else { Exit::Done };
    if rehearsal.kinds.iter().any(|kind| kind.rides == 0) {
        screen.say("No simulated session has finished yet, so there is no result.");
        return exit;
    }
    let text = match options.report {
        RehearsalReport::Json => show::json_rehearsal(&plan, &wanted, &rehearsal),
        RehearsalReport::Text => show::rehearsed(&plan, &wanted, &rehearsal, screen.look()).join("\n") + "\n",
    };
    match print(&text) {
        Ok(()) => exit,
        Err(error) => {
            screen.say(&format!("Can't print it: {}", disk::in_words(&error)));
            Exit::Disk
        }
    }
}
