//! Simulated springs that cannot come right, and sound ones beside them, measured through the real session:
//! what cannot be ridden stops the ride and says what to look for, what is sound never does.
//!
//! The springs are those of `chambers`; what is wrong with them is ours too, no text has it. Drawn evenly:
//!
//! * **too heavy**, **too light** a rider: the file's range ends at 0.35 to 0.8 of the pressure that would be
//!   right, or begins at 1.3 to 2.5 of it. Those that friction and ruler could make seem right there are drawn
//!   again: whatever is read at that end is outside the range of sag by more than the ruler tells.
//! * **no air**: the gauge shows what is asked for, and the spring goes to the end of its travel.
//! * **a leak**: of what is in it 0.25 to 0.7 is lost before each reading; the rider adds or lets out what
//!   the question says it should differ by. A leak that loses the same share each time, from a spring
//!   that is filled up again by the gauge before each reading, looks like a heavier rider, and nothing in the
//!   readings shows it: the questions say to read the gauge again.
//! * **the lockout closed**: it is held at 0 to half of the least sag that is right, whatever the pressure, and
//!   read to one mark of the ruler either way.
//!
//! Each is read in all three ways in turn. Seeds and ranges were fixed before the first run.
//! The rules of the session were found with these springs. 20,000 of each: no sound one of 60,000 stops, every one
//! that cannot reach its target and every one without air does; named are 92.1 % of the leaks and all of the lockouts.
//! `CLICKWISE_SPRINGS=20000` draws more of each than a test's 1,000, `--nocapture` shows what is found.

use std::collections::BTreeMap;
use std::sync::Arc;

use clickwise::physics::Unit;
use clickwise::plan::Plan;
use clickwise::session::{Answer, Ask, How, Session};
use clickwise::show::{Look, question};
use rand_chacha::ChaCha8Rng;
use rand_core::SeedableRng;

use crate::chambers::{Lot, Task, Way, readings, told, wanted};
use crate::support::unbroken;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Wrong {
    Nothing,
    TooHeavy,
    TooLight,
    NoAir,
    Leak,
    Lockout,
}

impl Wrong {
    /// The words of a stop that name it.
    fn named_by(self) -> &'static str {
        match self {
            Wrong::Nothing => "",
            Wrong::TooHeavy => "You need a firmer air spring",
            Wrong::TooLight => "You need a softer air spring",
            Wrong::NoAir => "holds no air",
            Wrong::Leak => "means a leak",
            Wrong::Lockout => "Open the lockout",
        }
    }
}

/// A spring with what is wrong with it.
struct Faulty {
    task: Task,
    wrong: Wrong,
    /// The share that a leak loses before each reading, or where a lockout holds it, in mm.
    drawn: f64,
}

impl Faulty {
    fn drawn(lot: &mut Lot, fork: bool, wrong: Wrong) -> Self {
        loop {
            let mut task = Task::drawn(lot, fork);
            let drawn = match wrong {
                Wrong::Leak => lot.between(0.25, 0.7),
                Wrong::Lockout => lot.between(0.0, 0.5) * task.low / 100.0 * task.spring.travel,
                _ => 0.0,
            };
            let (ruler, travel) = (task.spring.ruler(), task.spring.travel);
            let right = task.spring.right(travel * f64::midpoint(task.low, task.high) / 100.0);
            // what a file may say at all
            let can_be = if fork { (10.0, 400.0) } else { (10.0, 500.0) };
            match wrong {
                Wrong::TooHeavy => {
                    let most = libm::round(right * lot.between(0.35, 0.8));
                    task.range = (libm::round(most * 0.4).max(can_be.0), most);
                    if most <= task.range.0
                        || task.spring.rests(most, -1.0) - 1.5 * ruler <= task.high / 100.0 * travel
                    {
                        continue;
                    }
                }
                Wrong::TooLight => {
                    let least = libm::round(right * lot.between(1.3, 2.5));
                    task.range = (least, libm::round(least * 2.5).min(can_be.1));
                    if least >= can_be.1
                        || task.spring.rests(least, 1.0) + 1.5 * ruler >= task.low / 100.0 * travel
                    {
                        continue;
                    }
                }
                _ => return Faulty { task, wrong, drawn },
            }
            task.start = libm::round(lot.between(task.range.0, task.range.1));
            return Faulty { task, wrong, drawn };
        }
    }

    /// The sags that are read where a pressure is asked for; `inside` is what is in it, and `asked` what was
    /// asked for before.
    fn readings(&self, psi: f64, way: Way, inside: &mut f64, lot: &mut Lot) -> Vec<f64> {
        let (ruler, travel) = (self.task.spring.ruler(), self.task.spring.travel);
        match self.wrong {
            Wrong::NoAir => vec![travel],
            Wrong::Lockout => {
                let read = libm::round(self.drawn / ruler) + lot.stepped(-1.0, 1.0, 1.0);
                vec![read.max(0.0) * ruler]
            }
            Wrong::Leak => {
                *inside *= 1.0 - self.drawn;
                readings(&self.task, way, inside.max(0.0), lot)
            }
            _ => readings(&self.task, way, psi, lot),
        }
    }
}

/// How a measurement ended.
#[derive(Debug)]
enum End {
    /// The ride stopped with these words.
    Stopped(String),
    /// It was right, or near enough, after so many readings.
    Settled(How, usize),
}

fn measured(faulty: &Faulty, plan: &Arc<Plan>, way: Way, lot: &mut Lot) -> End {
    let mut session = Session::begin(Arc::clone(plan), 0);
    let mut read = 0;
    let (mut inside, mut before) = (faulty.task.start, faulty.task.start);
    while let Some(ask) = session.ask() {
        let answer = match &ask {
            Ask::InNow(_) => Answer::Told(told(faulty.task.start, Unit::Psi)),
            Ask::Fit { .. } => Answer::Done,
            Ask::Sag { fit, .. } => {
                read += 1;
                let psi = wanted(&session, fit);
                inside += psi - before;
                before = psi;
                let sags = faulty.readings(psi, way, &mut inside, lot);
                let sag = |at: usize| told(sags[at], Unit::Millimetre);
                if sags.len() > 1 { Answer::Two(sag(0), sag(1)) } else { Answer::Told(sag(0)) }
            }
            Ask::Stop { .. } => {
                let look = Look { width: 72, colour: false, unicode: false };
                return End::Stopped(unbroken(
                    &question(&session, &clickwise::session::Truth::default(), &ask, look).join("\n"),
                ));
            }
            other => panic!("{other:?}"),
        };
        session = session.answer(&answer).unwrap();
    }
    End::Settled(session.so_far().adjusters.remove(0).how, read)
}

fn plan_of(text: &str) -> Arc<Plan> {
    let mut sources = clickwise::problem::Sources::default();
    sources.add("set.tune", text);
    let checked = clickwise::check::check(&sources);
    Arc::new(checked.plan.unwrap_or_else(|| panic!("{:?}\n{text}", checked.problems)))
}

/// How many of them stopped, and how many with the words that name what is wrong.
#[allow(clippy::print_stdout, reason = "shown where a test is asked to show it")]
fn stopped(wrong: Wrong, seed: u64) -> (usize, usize, usize) {
    let count = std::env::var("CLICKWISE_SPRINGS").map_or(1000, |count| count.parse().unwrap());
    let mut lot = Lot(ChaCha8Rng::seed_from_u64(seed));
    let mut plans: BTreeMap<String, Arc<Plan>> = BTreeMap::new();
    let (mut stopped, mut named, mut all) = (0, 0, 0);
    let mut ends: BTreeMap<String, usize> = BTreeMap::new();
    for number in 0..count {
        let faulty = Faulty::drawn(&mut lot, number % 2 == 0, wrong);
        let text = faulty.task.text();
        let plan = match wrong {
            Wrong::TooHeavy | Wrong::TooLight => plan_of(&text),
            _ => Arc::clone(plans.entry(text).or_insert_with_key(|text| plan_of(text))),
        };
        for way in [Way::Slowly, Way::Roughly, Way::Once] {
            all += 1;
            let end = measured(&faulty, &plan, way, &mut lot);
            if let End::Stopped(words) = &end {
                stopped += 1;
                named += usize::from(words.contains(wrong.named_by()));
            }
            let said = match end {
                End::Stopped(words) => words[words.find("target").unwrap()..].to_owned(),
                End::Settled(how, read) => format!("{how:?}, reading {read}"),
            };
            let figures = said.starts_with("target");
            let said: String =
                said.chars().filter(|c| !figures || !c.is_ascii_digit() && *c != '.').collect();
            *ends.entry(said).or_default() += 1;
        }
    }
    println!("{wrong:?}: {stopped} of {all} stopped, {named} named; {ends:#?}");
    (stopped, named, all)
}

#[test]
fn no_sound_spring_stops_the_ride() {
    assert_eq!(stopped(Wrong::Nothing, 11).0, 0);
}

#[test]
fn every_spring_that_cannot_reach_its_target_stops_the_ride() {
    for (wrong, seed) in [(Wrong::TooHeavy, 12), (Wrong::TooLight, 13)] {
        let (stopped, named, all) = stopped(wrong, seed);
        assert_eq!(stopped, all, "{wrong:?}");
        assert!(named * 1000 >= all * 999, "{wrong:?}: {named} of {all}");
    }
}

#[test]
fn of_the_faulty_springs_nine_in_ten_stop_the_ride_and_are_named() {
    for (wrong, seed) in [(Wrong::NoAir, 14), (Wrong::Leak, 15), (Wrong::Lockout, 16)] {
        let (_, named, all) = stopped(wrong, seed);
        assert!(named * 10 >= all * 9, "{wrong:?}: {named} of {all}");
    }
}
