//! The bound of a plan that has too many rides to be walked: no ride takes more, and it is no more than it is said to be.

use clickwise::walk::prove;

use crate::needs::lines;
use crate::support::drawn_plans::{Drawn, text};
use crate::support::every_ride::{Ridden, each_moment_once, plan_of};

/// How many drawn plans are held against their bound.
const DRAWN: u64 = 300;

/// The most moments of a plan whose every ride is ridden.
const MOST_MOMENTS: u32 = 6_000;

/// The same plan with two more knobs, at which it looks first and which it puts back last: they can have been found
/// in so many ways that nothing of it is walked.
fn beyond_walking(text: &str) -> String {
    let knobs = [
        " adjuster \"one\" 0 to 60 clicks, start 0 clicks\n",
        " adjuster \"two\" 0 to 60 clicks, start 0 clicks\n",
    ];
    let text = text.replace("part fork\n", &format!("part fork\n{}", knobs.concat()));
    let text = text.replace("steps\n", "steps\n record settings\n");
    text + " set fork \"one\" to before\n set fork \"two\" to before\n ride 1 lap\n"
}

/// What a plan and one more lap take, ridden in every way, and how much of both is allowed by their bound; `None` where
/// it cannot be ridden or is too large.
fn ridden_and_bound(text: &str) -> Option<(Ridden, Ridden)> {
    let plan = plan_of(&format!("{text} ride 1 lap\n"))?;
    let bounded = prove(&plan_of(&beyond_walking(text))?);
    assert!(!bounded.exact && bounded.ends && bounded.within_range, "{text}");
    let bound = Ridden {
        laps: bounded.worst_laps,
        minutes: bounded.worst_minutes,
        sequences: bounded.sequences.exact().map_or(u128::MAX, u128::from),
        within_range: true,
    };
    let proof = prove(&plan);
    let walked = Ridden {
        laps: proof.worst_laps,
        minutes: proof.worst_minutes,
        sequences: proof.sequences.exact().map_or(u128::MAX, u128::from),
        within_range: proof.within_range,
    };
    let ridden = if proof.exact { walked } else { each_moment_once(&plan, MOST_MOMENTS)? };
    Some((ridden, bound))
}

fn is_bounded(ridden: &Ridden, bound: &Ridden) -> bool {
    ridden.laps <= bound.laps && ridden.minutes <= bound.minutes && ridden.sequences <= bound.sequences
}

#[test]
fn no_drawn_plan_takes_more_than_its_bound() {
    let mut bounded = 0;
    for number in 0..DRAWN {
        let text = text(&mut Drawn::of(number ^ 0x3333_0000));
        let Some((ridden, bound)) = ridden_and_bound(&text) else { continue };
        assert!(is_bounded(&ridden, &bound), "{bound:?} is less than {ridden:?}: {text}");
        bounded += 1;
    }
    assert!(bounded * 2 > DRAWN, "{bounded}");
}

/// What of a bound some ride takes.
#[derive(Clone, Copy, PartialEq)]
enum Met {
    Nothing,
    Laps,
    LapsAndMinutes,
    LapsAndSequences,
}

/// One change of it goes so far that it is cut short at either end.
const COARSE: &str = " rebound 0 to 5 clicks, start 1 click, step 3 clicks\n";
const TWO: &str = " rebound 0 to 12 clicks, start 6 clicks, step 3 clicks\n low-speed compression 0 to 4 clicks, start 1 click, step 2 clicks\n";
const COIL: &str = " rebound 0 to 4 clicks, start 2 clicks\n coil 400 or 450 or 500 lb/in, start 450 lb/in, sag 15 to 25 %\n";
const COUNTED: &str = " rebound ? clicks\n";

/// A bound of each kind of step is met by some ride, or is at least no less than any.
#[test]
fn the_bound_of_each_step_holds_and_is_met() {
    let pair = "confirm fork rebound, between open and closed, 1 pair";
    let (put, back) = ("set fork rebound to 0 clicks", "set fork rebound to 2 clicks");
    let cases: &[(Met, &str, &[&str])] = &[
        (Met::LapsAndMinutes, COARSE, &[]),
        (Met::LapsAndMinutes, COARSE, &["ride 3 laps", "set fork rebound to 4 clicks"]),
        (Met::Laps, COARSE, &["tune fork rebound"]),
        (Met::Laps, TWO, &["tune fork low-speed compression"]),
        (Met::Laps, TWO, &["tune fork rebound, at most 4 laps"]),
        (Met::Nothing, TWO, &["tune fork rebound, within 2 positions"]),
        (Met::LapsAndSequences, TWO, &["ride 1 lap", "tune fork rebound, at most 1 lap"]),
        (
            Met::Laps,
            TWO,
            &[
                "ride 1 lap",
                "set fork rebound to 3 clicks",
                "tune fork low-speed compression, at most 2 laps",
            ],
        ),
        (Met::Nothing, TWO, &["tune fork rebound, method cross-out, at most 3 laps"]),
        (
            Met::Nothing,
            TWO,
            &[
                "tune fork rebound, at most 2 laps",
                "set fork low-speed compression 3 clicks firmer",
                "revisit fork rebound",
            ],
        ),
        (Met::Laps, COUNTED, &["tune fork rebound, at most 5 laps"]),
        (Met::LapsAndSequences, TWO, &["confirm fork rebound, between open and closed, 2 pairs"]),
        (
            Met::LapsAndMinutes,
            TWO,
            &["confirm fork rebound, between open and closed, 2 pairs", "set fork rebound to 3 clicks"],
        ),
        (Met::LapsAndSequences, COIL, &["confirm fork coil, between 400 lb/in and 500 lb/in, 2 pairs"]),
        (Met::LapsAndMinutes, COARSE, &[pair, "say \"Now\"", put]),
        (Met::LapsAndMinutes, COARSE, &[pair, "record temperature", put]),
        (Met::LapsAndMinutes, COARSE, &[pair, back, "say \"Now\"", put]),
        (Met::Laps, COARSE, &[pair, "record settings", put]),
        (Met::Laps, COIL, &["measure every spring"]),
        (Met::Laps, COIL, &["ride 1 lap", "set fork coil to 400 lb/in"]),
    ];
    for (met, parts, steps) in cases {
        let steps = lines(steps);
        let text = format!(
            "plan \"P\"\n change 2 min\nloop \"T\"\n lap 4 min\nbike \"B\"\npart fork\n travel 160 mm\n{parts}steps\n{steps}"
        );
        let (ridden, bound) =
            ridden_and_bound(&text).unwrap_or_else(|| panic!("it cannot be ridden: {text}"));
        assert!(is_bounded(&ridden, &bound), "{bound:?} is less than {ridden:?}: {text}");
        let (minutes, sequences) = (ridden.minutes == bound.minutes, ridden.sequences == bound.sequences);
        assert!(*met == Met::Nothing || ridden.laps == bound.laps, "{ridden:?}, {bound:?}: {text}");
        assert!(*met != Met::LapsAndMinutes || minutes, "{ridden:?}, {bound:?}: {text}");
        assert!(*met != Met::LapsAndSequences || sequences, "{ridden:?}, {bound:?}: {text}");
    }
}
