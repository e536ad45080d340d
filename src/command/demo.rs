//! `clickwise demo`: plays the built-in plan with a simulated rider. No file is read or written;
//! the settings alone go to standard output.

use std::sync::Arc;
use std::thread::sleep;
use std::time::Duration;

use crate::check::check;
use crate::problem::Sources;
use crate::record::{Sheet, write_settings};
use crate::rehearsal::{Kind, Rider};
use crate::session::{Said, What};
use crate::show;

use super::Exit;
use super::args::DemoOptions;
use super::clock::Clock;
use super::desk::Desk;
use super::screen::{Cautions, Screen, print};

/// The built-in set.
const FILES: [(&str, &str); 3] = [
    ("first-setup.tune", include_str!("../../plans/first-setup.tune")),
    ("green-trail.tune", include_str!("../../plans/green-trail.tune")),
    ("mo.tune", include_str!("../../plans/mo.tune")),
];

/// The seed of the simulated rider.
const SEED: u64 = 7;

/// How long each question stands when it is to be watched.
const PACE: Duration = Duration::from_millis(700);

pub(super) fn run(options: &DemoOptions, screen: Screen) -> Exit {
    let mut sources = Sources::default();
    for (name, text) in FILES {
        sources.add(name, text);
    }
    let Some(plan) = check(&sources).plan else {
        screen.say("The built-in plan cannot be read.");
        return Exit::Errors;
    };
    let mut rider = Rider::new(Kind::Standard, SEED, 0);
    let mut desk = Desk::new(Arc::new(plan), SEED, None, Clock::Running);
    let mut cautions = Cautions::Due;
    while let Some(ask) = desk.ask() {
        cautions.before(&ask, screen);
        screen.question(&desk.session, &desk.truth, &ask);
        if options.slowly {
            sleep(PACE);
        }
        let answer = rider.answer(&desk.session, &ask);
        screen.raw(&format!("> {}\n", if answer.informs() { answer.to_string() } else { String::new() }));
        if desk.take(Said { what: What::Answer(answer), note: None }).is_err() {
            screen.say("The simulated rider gave an answer that does not fit.");
            return Exit::Errors;
        }
        screen.news(&desk.session);
    }
    let outcome = desk.session.so_far();
    screen.lines(&show::settings(desk.session.plan(), &outcome, screen.width()));
    tell_best(&rider, &desk, screen);
    let settled = Clock::Running.now().to_string();
    let plan = desk.session.plan();
    let sheet = Sheet { plan, outcome: &outcome, settled: &settled, journal: None, earlier: None };
    match write_settings(None, &sheet).map(|text| print(&text)) {
        Ok(Ok(())) => Exit::Done,
        _ => Exit::Disk,
    }
}

/// Says what the simulated rider was hiding.
fn tell_best(rider: &Rider, desk: &Desk, screen: Screen) {
    screen.say("");
    screen.say("The simulated rider's hidden best settings were:");
    for id in desk.session.plan().bike().ids() {
        let (Some(best), Some(dial)) = (rider.best(id), desk.session.dial(id)) else { continue };
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a position lies within its range"
        )]
        let nearest = libm::round(best).max(0.0) as u32;
        let name = desk.session.adjuster(id).name();
        screen.say(&format!("  {name}: about {}", dial.scale().said_in_full(nearest)));
    }
}
