//! How long a narrowing search takes to decide on its next lap, and 10,000 rehearsed rides of six
//! adjusters by each method. Aims: a decision below 100 microseconds at 20 clicks, growing evenly with the range; bracket and cross-out
//! below a second, narrow below a minute, on two cores.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a benchmark reads the clock and the plans, and prints"
)]

#[path = "common/mod.rs"]
mod common;
#[path = "../tables/mod.rs"]
mod tables;

use std::sync::Arc;

use clickwise::rehearsal::{Course, Kind, Wanted, rides};
use clickwise::search::{Effort, Memory, Narrow, Proposal, Terms, Verdict};

use common::{Drawn, timed};

fn main() {
    println!("one decision, likelihoods worked out before (the median of 2,000 drawn ones)");
    for top in [10, 20, 30, 60, 127, 128, 129, 200] {
        println!("  N {top:3}  {:.1} us", decision(top));
    }
    println!("10,000 rehearsed rides of six adjusters, standard riders");
    for method in ["bracket", "cross-out", "narrow"] {
        let adjusters = "rebound 0 to 20 clicks\n compression 0 to 20 clicks\n";
        let plan = tables::plan_of(&format!(
            "plan \"P\"\n method {method}\nbike \"B\"\npart fork\n low-speed {}part shock\n low-speed {}steps\n ride 2 laps\n tune every rebound\n tune every low-speed compression\n tune every high-speed compression\n",
            adjusters.replace("compression", "low-speed compression 0 to 16 clicks\n high-speed compression"),
            adjusters.replace("compression", "low-speed compression 0 to 16 clicks\n high-speed compression"),
        ));
        let wanted = Wanted { rides: 10_000, seed: 1, coupling: 0.0 };
        let mut laps = 0;
        let taken = timed(|| {
            let all = rides(&plan, &[Kind::Steady], &wanted, &Course::default()).remove(0);
            laps = all.iter().map(|ride| ride.laps).sum();
            all.len()
        });
        println!("  {method:9}  {:.2} s, {laps} laps", taken.as_secs_f64());
    }
}

fn decision(top: u32) -> f64 {
    let terms =
        Terms { top, start: top / 2, hint: None, again: None, effort: Effort::Normal, compare_twice: true };
    let memory = Arc::new(Memory::default());
    let mut drawn = Drawn(7);
    let mut times = Vec::new();
    while times.len() < 4_000 {
        let mut search = Narrow::begin(terms, &memory);
        while let Proposal::Ride { at, also, .. } = search.next() {
            let mut verdict =
                || [Verdict::Better, Verdict::Worse, Verdict::Same][usize::try_from(drawn.below(3)).unwrap()];
            let (first, second) = (verdict().graded(), also.map(|_| verdict().graded()));
            let mut next = None;
            times.push(timed(|| next = Some(search.hear(at, first, second))));
            search = next.unwrap();
        }
    }
    // the first half warms
    common::median(times.split_off(2_000)).as_secs_f64() * 1e6
}
