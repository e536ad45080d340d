//! What a second look is worth where two adjusters lean on each other: simulated riders, each through
//! the very session of a ride.
//!
//!     cargo bench --bench coupled              100,000 rides a row
//!     cargo bench --bench coupled -- 20000     fewer
//!
//! The design says, at a coupling of .3 and 20 clicks: both within one click in .40 of rides with the
//! bracket and in .52 with narrow; with a second look at the first, in .55 and .70, for about two laps.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a benchmark reads the clock and the plans, and prints"
)]

#[path = "../tables/mod.rs"]
mod tables;

use clickwise::rehearsal::{Kind, Rider};
use rayon::prelude::*;

const COUPLING: f64 = 0.3;

fn main() {
    let given = std::env::args().skip(1).find_map(|argument| argument.parse().ok());
    let rides: u64 = given.unwrap_or(100_000);
    println!("{rides} rides a row; coupling {COUPLING}, 20 clicks; laps, share with both within one click");
    for coupling in [COUPLING, 0.0] {
        for method in ["bracket", "narrow", "cross-out"] {
            for again in ["", " revisit fork rebound\n"] {
                let (laps, share) = rehearsed(method, again, coupling, rides);
                let look = if again.is_empty() { "once" } else { "a second look" };
                println!("  coupling {coupling}, {method:9}, {look:13}  {laps:.2} {share:.3}");
            }
        }
    }
}

fn rehearsed(method: &str, again: &str, coupling: f64, rides: u64) -> (f64, f64) {
    let plan = tables::plan_of(&format!(
        "plan \"P\"\n method {method}\nbike \"B\"\npart fork\n rebound 0 to 20 clicks, start 10\n compression 0 to 20 clicks, start 10\nsteps\n tune fork rebound\n tune fork compression\n{again}"
    ));
    let one = |number: u64| {
        let mut rider = Rider::new(Kind::Steady, 20_260_516, number).coupled(coupling);
        let session = tables::ride(&plan, &mut rider, number);
        let close = plan.bike().ids().all(|id| {
            rider.best(id).is_some_and(|best| (f64::from(session.stands_at(id)) - best).abs() <= 1.0)
        });
        (session.laps().len() as u64, u64::from(close))
    };
    let add = |one: (u64, u64), other: (u64, u64)| (one.0 + other.0, one.1 + other.1);
    let (laps, close) = (0..rides).into_par_iter().map(one).reduce(|| (0, 0), add);
    #[allow(clippy::cast_precision_loss, reason = "a number of rides")]
    let each = |sum: u64| sum as f64 / rides as f64;
    (each(laps), each(close))
}
