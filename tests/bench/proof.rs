//! How long the proof of a plan takes: by the number of adjusters, and of every plan that comes with
//! the program. Aims: 12 adjusters of 30 clicks below 50 ms, as much for each adjuster however many
//! there are; every plan well below 100 ms.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a benchmark reads the clock and the plans, and prints"
)]

mod common;

use std::path::Path;
use std::sync::Arc;

use clickwise::check::{Checked, check};
use clickwise::plan::Plan;
use clickwise::problem::Sources;
use clickwise::walk::{Allowed, over_budget, prove};

use common::{median, milliseconds, timed};

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
    let mut steps = "trail \"T\"\n  lap 4 min\nsteps\n  ride 2 laps\n".to_owned();
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

/// The plans that come with the program, with the files that they need to be ridden: their own bike
/// and rider, or else the others'.
fn sets() -> Vec<(String, Arc<Plan>, Allowed)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("plans");
    let mut texts: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    texts.sort();
    let holding = |words: &str| -> Vec<&(String, String)> {
        texts.iter().filter(|(_, text)| text.lines().any(|line| line.starts_with(words))).collect()
    };
    let (plans, riders) = (holding("steps"), holding("rider"));
    let mut sets = Vec::new();
    for plan in plans {
        let alone = checked(std::slice::from_ref(&plan.1));
        if let Some(found) = alone.plan {
            let allowed = Allowed { laps: alone.laps_at, minutes: alone.minutes_at };
            sets.push((plan.0.clone(), Arc::new(found), allowed));
            continue;
        }
        for bike in holding("bike") {
            let mut files = vec![plan.1.clone(), bike.1.clone()];
            if !bike.1.contains("\nrider") && !plan.1.contains("\nrider") {
                files.push(riders[0].1.clone());
            }
            let set = checked(&files);
            let allowed = Allowed { laps: set.laps_at, minutes: set.minutes_at };
            if let Some(found) = set.plan {
                sets.push((format!("{} {}", plan.0, bike.0), Arc::new(found), allowed));
            }
        }
    }
    sets
}

fn main() {
    by_adjusters();
    for (name, plan, allowed) in sets() {
        let proof = prove(&plan);
        let exact = if proof.exact { "walked" } else { "bounded" };
        let beyond = over_budget(&plan, &proof, allowed).len();
        let proving = median((0..5).map(|_| timed(|| prove(&plan))).collect());
        let advising = median((0..5).map(|_| timed(|| over_budget(&plan, &proof, allowed))).collect());
        println!(
            "{name}: proof {:.1} ms ({exact}), over budget {beyond}: {:.1} ms",
            milliseconds(proving),
            milliseconds(advising)
        );
    }
}
