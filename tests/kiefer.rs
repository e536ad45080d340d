//! The bracket against the least number of laps that any search could need.
//!
//! Source: J. Kiefer, "Sequential minimax search for a maximum", Proc. Amer. Math. Soc. 4 (1953):
//! with laps enough for 1, 2, 4, 7, 12, 20, 33, 54 settings, 1 to 8 laps suffice and fewer do not.
//! The numbers are known from the source and not compared with its page.

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
