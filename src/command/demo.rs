//! `clickwise demo`: plays the built-in plan with a simulated rider. No file is read or written;
//! the settings alone go to standard output.

use std::thread::sleep;
use std::time::Duration;

use crate::engine::{InMemory, IntoFile, Ride, Set};
use crate::rehearsal::{Kind, Rider};
use crate::session::{Said, Session};
use crate::show;

use super::Exit;
use super::args::DemoOptions;
use super::clock::Clock;
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
    let set = Set::gather(&InMemory::of(FILES), &FILES.map(|(name, _)| name));
    let Some(plan) = set.ok().and_then(|set| set.plan().cloned()) else {
        screen.say("Can't read the built-in plan. This is a fault in clickwise; please report it.");
        return Exit::Errors;
    };
    let mut rider = Rider::new(Kind::Steady, SEED, 0);
    let mut ride = Ride::unrecorded(plan, SEED);
    let mut cautions = Cautions::Due;
    while let Some(ask) = ride.ask() {
        cautions.before(&ask, screen);
        screen.question(ride.session(), ride.truth(), &ask);
        if options.slowly {
            sleep(PACE);
        }
        let answer = rider.answer(ride.session(), &ask);
        screen.raw(&format!("> {}\n", if answer.informs() { answer.to_string() } else { String::new() }));
        if ride.take(Said::answer(answer), &Clock::Running.now()).is_err() {
            screen.say(
                "The simulated rider gave a wrong answer. This is a fault in clickwise; please report it.",
            );
            return Exit::Errors;
        }
        screen.news(ride.session());
    }
    let session = ride.session();
    screen.lines(&show::settings(session.plan(), &session.so_far(), screen.width()));
    tell_best(&rider, session, screen);
    match ride.settings(&Clock::Running.now(), &IntoFile::default()).map(|text| print(&text)) {
        Ok(Ok(())) => Exit::Done,
        _ => Exit::Disk,
    }
}

/// Says what the simulated rider was hiding.
fn tell_best(rider: &Rider, session: &Session, screen: Screen) {
    screen.say("");
    screen.say("The simulated rider's hidden best settings were:");
    for id in session.plan().bike().ids() {
        let (Some(best), Some(dial)) = (rider.best(id), session.dial(id)) else { continue };
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a position lies within its range"
        )]
        let nearest = libm::round(best).max(0.0) as u32;
        let name = session.adjuster(id).name();
        screen.say(&format!("  {name}: about {}", dial.scale().said_in_full(nearest)));
    }
}
