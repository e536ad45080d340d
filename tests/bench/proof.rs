//! How long the proof of a plan takes: by the number of adjusters, and of every plan that comes with
//! the program on every bike, told in yardsticks: a fixed piece of work that is done in turn with it.
//! Aims: 12 adjusters of 30 clicks below 50 ms, as much for each adjuster however many there are; every
//! plan below 50 ms.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a benchmark reads the clock and the plans, and prints"
)]

mod common;

use std::path::Path;
use std::sync::Arc;

use clickwise::chance::Lot;
use clickwise::check::{Checked, check};
use clickwise::plan::Plan;
use clickwise::problem::Sources;
use clickwise::set::{Allowed, over_budget};
use clickwise::walk::prove;

use common::{in_turn, median, milliseconds, ratio, timed};

const ROUNDS: usize = 15;

fn checked(texts: &[String]) -> Checked {
    let mut sources = Sources::default();
    for text in texts {
        sources.add("set.tune", text.as_str());
    }
    check(&sources)
}

/// A plan that tunes so many adjusters of 30 clicks, all alike or each with a start of its own.
fn of_adjusters(count: usize, alike: bool) -> Arc<Plan> {
    let mut bike = "bike \"B\"\n".to_owned();
    let mut steps = "loop \"T\"\n  lap 4 min\nsteps\n  ride 2 laps\n".to_owned();
    for (index, part) in ["fork", "shock"].into_iter().enumerate() {
        bike += &format!("part {part}\n");
        for number in 0..(count + 1 - index) / 2 {
            // spread evenly: a start near the middle has more to walk than one near an end
            let start = if alike { 15 } else { (number * 2 + index) * 30 / (count - 1) };
            bike += &format!("  adjuster \"a{number}\" 0 to 30 clicks, start {start}\n");
            steps += &format!("  tune {part} \"a{number}\"\n");
        }
    }
    Arc::new(checked(&[bike + &steps]).plan.unwrap())
}

fn by_adjusters() {
    let counts = [3, 6, 12, 24].into_iter();
    for (count, alike) in counts.clone().map(|count| (count, true)).chain(counts.map(|count| (count, false)))
    {
        let plan = of_adjusters(count, alike);
        assert_eq!(plan.bike().len(), count);
        assert!(prove(&plan).exact);
        let time = milliseconds(median((0..ROUNDS).map(|_| timed(|| prove(&plan))).collect()));
        println!(
            "{count:>2} adjusters of 30 clicks, {}: {time:.2} ms, {:.2} ms an adjuster",
            if alike { "all alike" } else { "each with another start" },
            time / f64::from(u32::try_from(count).unwrap())
        );
    }
}

/// A fixed piece of work that has nothing to do with a proof.
fn yardstick() -> f64 {
    let mut lot = Lot::new(1);
    (0..500_000).map(|_| lot.share()).sum()
}

/// The files that come with the program, by name.
fn files() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
    let mut texts: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    texts.sort();
    texts
}

/// Every plan on every bike, for the first rider whom the bike's table fits; the flagship first.
fn sets() -> Vec<(String, Arc<Plan>, Allowed)> {
    let files = files();
    let with = |heading: &'static str| {
        files.iter().filter(move |(_, text)| text.lines().any(|line| line.starts_with(heading)))
    };
    let set = |names: [&(String, String); 3]| {
        let set = checked(&names.map(|file| file.1.clone()));
        let allowed = Allowed { laps: set.laps_at, minutes: set.minutes_at };
        Some((names.map(|file| file.0.as_str()).join(" "), Arc::new(set.plan?), allowed))
    };
    let named = |name: &str| files.iter().find(|file| file.0 == name).unwrap();
    let mut sets = vec![set(["first-setup", "green-trail", "mo"].map(named)).unwrap()];
    for plan in with("plan ") {
        for bike in with("bike ") {
            sets.extend(with("rider ").find_map(|rider| set([plan, bike, rider])));
        }
    }
    sets
}

fn main() {
    by_adjusters();
    let mut slowest: Option<(f64, String)> = None;
    for (name, plan, allowed) in sets() {
        let proof = prove(&plan);
        let exact = if proof.exact { "walked" } else { "bounded" };
        let (proving, yard) = in_turn(ROUNDS, || prove(&plan), yardstick);
        let beyond = over_budget(&plan, &proof, allowed).len();
        let advising = median((0..3).map(|_| timed(|| over_budget(&plan, &proof, allowed))).collect());
        let told = format!(
            "{name}: proof {:.2} yardsticks, {:.1} ms ({exact}); over budget {beyond}: {:.1} ms",
            ratio(proving, yard),
            milliseconds(proving),
            milliseconds(advising)
        );
        println!("{told}");
        if slowest.as_ref().is_none_or(|slowest| ratio(proving, yard) > slowest.0) {
            slowest = Some((ratio(proving, yard), told));
        }
    }
    println!("the slowest is {}", slowest.unwrap().1);
}
