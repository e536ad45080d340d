//! The bracket against the least number of laps that any search could need.
//!
//! Source: J. Kiefer, "Sequential minimax search for a maximum", Proc. Amer. Math. Soc. 4 (1953):
//! with laps enough for 1, 2, 4, 7, 12, 20, 33, 54 settings, 1 to 8 laps suffice and fewer do not.
//! The numbers are known from the source and not compared with its page; a search through all ways to
//! choose the laps reproduces them.

use std::collections::BTreeSet;

use clickwise::search::{Bracket, Direction, Proposal, Verdict, Window};

const SETTINGS: [u32; 8] = [1, 2, 4, 7, 12, 20, 33, 54];

/// The fewest laps with which a best among so many settings can always be found.
fn fewest_laps(settings: u32) -> u32 {
    let laps = SETTINGS.iter().position(|&most| settings <= most).unwrap();
    u32::try_from(laps).unwrap() + 1
}

/// The settings that a bracket can ride: the start and multiples of the step, cut at the ends.
fn rideable(top: u32, start: u32, step: u32) -> u32 {
    1 + start.div_ceil(step) + (top - start).div_ceil(step)
}

/// Rides with a rider who feels everything and whose quality has one peak: the laps, the reference
/// among them, and where it settles. `quality` is higher where it is better.
fn ride(search: Bracket, start: u32, quality: impl Fn(u32) -> i64) -> (u32, u32) {
    let (mut search, mut laps, mut best) = (search, 1, start);
    loop {
        match search.next() {
            Proposal::Settle(place) => return (laps, place),
            Proposal::Ride { at, against, .. } => {
                assert_eq!(against, best);
                laps += 1;
                let verdict = if quality(at) > quality(best) { Verdict::Better } else { Verdict::Worse };
                if verdict == Verdict::Better {
                    best = at;
                }
                search = search.hear(at, verdict);
            }
        }
    }
}

#[test]
fn no_bracket_beats_the_bound_and_each_ends_within_a_step() {
    for top in 1..=40_u32 {
        let step = if top <= 10 { 1 } else { 2 };
        for start in 0..=top {
            for direction in [Direction::Up, Direction::Down] {
                let mut most = 0;
                for peak in 0..=top {
                    // two riders to each peak: one who falls off faster above it, one below
                    for steeper_above in [true, false] {
                        let quality = |at: u32| {
                            let (above, below) =
                                (i64::from(at.saturating_sub(peak)), i64::from(peak.saturating_sub(at)));
                            if steeper_above { -(1000 * above + below) } else { -(above + 1000 * below) }
                        };
                        let window = Window { low: 0, high: top };
                        let (laps, place) =
                            ride(Bracket::begin(window, start, step, direction), start, quality);
                        assert!(
                            place.abs_diff(peak) <= step,
                            "top {top}, start {start}, peak {peak}: {place}"
                        );
                        most = most.max(laps);
                    }
                }
                let fewest = fewest_laps(rideable(top, start, step));
                assert!(most >= fewest, "top {top}, start {start}: {most} laps, fewer than {fewest}");
            }
        }
    }
}

/// The fewest laps that always find the best of 1, 2, 3 .. `most` settings, by trying every choice of
/// every lap. What matters of the laps ridden is how many settings below and above the best of them may
/// still be better.
fn fewest_by_trying(most: usize) -> Vec<u32> {
    let mut more = vec![vec![0; most]; most];
    for open in 1..most {
        for below in 0..=open {
            let above = open - below;
            // a lap so far below: better, and the best lies beyond it or between; worse, and it lies between
            // or above
            let lap = |side: usize, other: usize| {
                let after = |far: usize| more[side - far][far - 1].max(more[far - 1][other]);
                (1..=side).map(after).min()
            };
            let least = lap(below, above).into_iter().chain(lap(above, below)).min();
            more[below][above] = 1 + least.unwrap();
        }
    }
    let first = |settings: usize| (0..settings).map(|start| more[start][settings - 1 - start]).min();
    (1..=most).map(|settings| 1 + first(settings).unwrap()).collect()
}

/// Every way in which so many settings can differ in quality with one peak: their ranks, the best last.
fn rankings(settings: usize) -> Vec<Vec<usize>> {
    // from the worst to the best, each next one is the lowest or the highest of those left
    let each = |choices: usize| {
        let (mut low, mut high, mut ranks) = (0, settings - 1, vec![0; settings]);
        for rank in 0..settings {
            let from_below = rank + 1 == settings || (choices >> rank) & 1 == 0;
            ranks[if from_below { low } else { high }] = rank;
            if from_below { low += 1 } else { high = high.saturating_sub(1) }
        }
        ranks
    };
    (0..1 << (settings - 1)).map(each).collect()
}

/// Whether so many laps more always find the best, where these rankings are possible after the laps.
fn always_found(possible: &[&Vec<usize>], ridden: &mut Vec<usize>, laps: u32) -> bool {
    let settings = possible[0].len();
    let best = |ranks: &Vec<usize>| ranks.iter().position(|&rank| rank + 1 == settings).unwrap();
    let bests: BTreeSet<_> = possible.iter().map(|ranks| best(ranks)).collect();
    if bests.len() == 1 && bests.iter().all(|best| ridden.contains(best)) {
        return true;
    }
    let left: Vec<_> = (0..settings).filter(|at| laps > 0 && !ridden.contains(at)).collect();
    left.into_iter().any(|at| {
        // a lap is compared with all before it
        let place = |ranks: &Vec<usize>| ridden.iter().filter(|&&other| ranks[other] < ranks[at]).count();
        let mut outcomes = vec![Vec::new(); ridden.len() + 1];
        for ranks in possible {
            outcomes[place(ranks)].push(*ranks);
        }
        ridden.push(at);
        let found = outcomes.iter().all(|left| left.is_empty() || always_found(left, ridden, laps - 1));
        ridden.pop();
        found
    })
}

#[test]
fn trying_every_choice_of_every_lap_gives_the_same_bound() {
    let fewest = fewest_by_trying(55);
    for (laps, most) in (1..).zip(SETTINGS) {
        let most = most as usize;
        assert_eq!(fewest[most - 1], laps, "{most} settings");
        assert_eq!(fewest[most], laps + 1, "{} settings", most + 1);
    }
    // and nothing of what is known is thrown away there: all rankings of a few settings, all comparisons
    for settings in 1..=8 {
        let all = rankings(settings);
        assert_eq!(all.iter().collect::<BTreeSet<_>>().len(), 1 << (settings - 1));
        let enough = |laps| always_found(&all.iter().collect::<Vec<_>>(), &mut Vec::new(), laps);
        let fewest = fewest[settings - 1];
        assert!(enough(fewest) && !enough(fewest - 1), "{settings} settings, {fewest} laps");
    }
}
