//! What the proof keeps apart: moments and tunes that differ in one thing only. Each plan here is wrong where
//! that thing is left out of the proof's keys.

use clickwise::walk::prove;

use crate::walk::{longest_can_be_ridden, plan_of, same, set};

/// Moments that differ only in one thing that a later step asks of: how far another adjuster was from where it
/// is turned or put before a second look, or where it is fitted.
#[test]
fn what_only_one_later_step_needs_is_told_apart() {
    for (top, first, second) in [(4, 2, 2), (6, 3, 3), (6, 1, 4), (8, 4, 3)] {
        let adjusters =
            [format!("0 to {top} clicks, start {first}"), format!("0 to {top} clicks, start {second}")];
        for place in 0..=4 {
            for steps in [
                format!(
                    " tune fork rebound, at most 2 laps\n tune fork compression, at most 5 laps\n ride 1 lap\n set fork compression {} clicks firmer\n revisit fork rebound\n",
                    place.max(1)
                ),
                format!(
                    " tune fork compression, at most 3 laps\n tune fork rebound, at most 2 laps\n tune fork compression, within 2 clicks, at most 2 laps\n ride 1 lap\n set fork compression to {place} clicks\n revisit fork rebound\n"
                ),
                format!(
                    " tune fork rebound, at most 2 laps\n set fork rebound to {place} clicks\n say \"Now\"\n set fork rebound to {} clicks\n ride 1 lap\n",
                    4 - place
                ),
            ] {
                same(&set(&adjusters, &steps));
            }
        }
    }
}

/// A setting that is still to be fitted is fitted before something is said, even where it was put back to where
/// the bike is meanwhile.
#[test]
fn what_is_still_to_be_fitted_is_told_apart() {
    let adjuster = ["0 to 1 clicks, start 0".to_owned()];
    let put = |place: u32| format!(" set fork rebound to {place} clicks\n say \"Now\"\n");
    for places in [[1, 0, 1], [0, 1, 0]] {
        let steps = places.map(put).concat();
        same(&set(&adjuster, &format!(" tune fork rebound\n{steps} ride 1 lap\n")));
    }
}

/// Tunes of one plan that differ in a single thing, from the same place and after the same lap.
#[test]
fn tunes_that_differ_in_one_thing_are_ridden_apart() {
    let adjuster = ["0 to 8 clicks, start 4, step 2 clicks".to_owned()];
    for (one, other) in [
        ("", ", try faster first"),
        (", try slower first", ", try faster first"),
        (", at most 2 laps", ", within 4 clicks, at most 2 laps"),
        (", at most 3 laps", ", at most 4 laps"),
        (", at most 3 laps", ", within 2 clicks, at most 3 laps"),
    ] {
        for again in
            [" set fork rebound to start\n ride 1 lap\n", " set fork rebound to closed\n ride 1 lap\n"]
        {
            for (one, other) in [(one, other), (other, one)] {
                same(&set(
                    &adjuster,
                    &format!(
                        " ride 1 lap\n tune fork rebound{one}\n{again} tune fork rebound{other}\n tune fork rebound, at most 3 laps\n"
                    ),
                ));
            }
        }
    }
}

/// A second look is no first one, though it asks as much.
#[test]
fn a_second_look_is_ridden_apart_from_a_tune() {
    let adjusters = ["0 to 20 clicks, start 10".to_owned(), "0 to 20 clicks, start 10".to_owned()];
    let again = " set fork rebound to start\n ride 1 lap\n";
    same(&set(
        &adjusters,
        &format!(
            " ride 1 lap\n tune fork rebound, within 3 clicks, at most 6 laps\n{again} set fork compression 2 clicks firmer\n ride 1 lap\n revisit fork rebound\n"
        ),
    ));
}

/// Two adjusters that are alike but for how far a change goes, how long it takes, or what it is called.
#[test]
fn adjusters_that_differ_in_one_thing_are_ridden_apart() {
    let three = |one: &str, other: &str| [one.to_owned(), "0 to 1 clicks".to_owned(), other.to_owned()];
    for (one, other) in [("step 1 click", "step 2 clicks"), ("step 2 clicks", "step 1 click")] {
        let adjusters =
            three(&format!("0 to 4 clicks, start 2, {one}"), &format!("0 to 4 clicks, start 2, {other}"));
        same(&set(&adjusters, " tune fork rebound, at most 4 laps\n tune shock rebound, at most 4 laps\n"));
    }
    for (one, other) in [("shock air", "fork coil"), ("fork coil", "shock air")] {
        let text = format!(
            "plan \"P\"\n change 2 min\nloop \"T\"\n lap 4 min\nbike \"B\"\npart fork\n travel 150 mm\n coil 40 or 45 or 50 lb/in, start 45 lb/in\npart shock\n air 160 to 162 psi, step 1 psi, start 161 psi\nsteps\n tune {one}\n tune {other}\n"
        );
        same(&text);
    }
    let alike = ["0 to 10 clicks, start 5".to_owned(), "0 to 10 clicks, start 5".to_owned()];
    for steps in
        [" tune fork rebound\n tune fork compression\n", " tune fork compression\n tune fork rebound\n"]
    {
        longest_can_be_ridden(&plan_of(&set(&alike, steps)));
    }
}

/// What two methods come to is not taken for one another.
#[test]
fn methods_are_proven_apart() {
    let adjuster = ["0 to 8 clicks, start 4".to_owned()];
    for (one, other) in [("bracket", "cross-out"), ("bracket", "narrow"), ("cross-out", "bracket")] {
        let steps = format!(
            " ride 1 lap\n tune fork rebound, method {one}, at most 5 laps\n set fork rebound to start\n ride 1 lap\n tune fork rebound, method {other}, at most 5 laps\n"
        );
        assert!(!prove(&plan_of(&set(&adjuster, &steps))).exact, "{one}, {other}");
    }
}

/// How the bike was found can be anything, so a plan that goes back to it takes what the worst place takes.
#[test]
fn a_plan_that_goes_back_is_proven_for_every_place() {
    for start in [0, 5, 10] {
        for steps in [
            " set fork rebound to PLACE\n ride 1 lap\n tune fork rebound, at most 3 laps\n",
            " tune fork rebound, at most 2 laps\n set fork rebound to PLACE\n tune fork rebound, at most 3 laps\n",
            " tune fork rebound, at most 2 laps\n confirm fork rebound, between PLACE and start, 1 pair\n",
            " tune fork compression, at most 3 laps\n tune fork rebound, at most 2 laps\n set fork compression to PLACE\n tune fork compression, at most 2 laps\n revisit fork rebound\n",
        ] {
            let adjusters = [format!("0 to 10 clicks, start {start}"), "0 to 10 clicks, start 5".to_owned()];
            let adjusters = &adjusters[..if steps.contains("compression") { 2 } else { 1 }];
            let at = |place: &str| {
                let steps = format!(" record settings\n ride 1 lap\n{}", steps.replace("PLACE", place));
                prove(&plan_of(&set(adjusters, &steps)))
            };
            let places: Vec<String> = (0..=10).map(|place| format!("{place} clicks")).collect();
            // a place that is the start compares nothing, which no plan may say itself
            let is_start =
                |place: &&String| steps.contains("between") && **place == format!("{start} clicks");
            let each: Vec<_> =
                places.iter().filter(|place| !is_start(place)).map(|place| at(place)).collect();
            let before = at("before");
            assert!(before.exact, "{steps}");
            assert_eq!(
                before.worst_laps,
                each.iter().map(|proof| proof.worst_laps).max().unwrap(),
                "{steps}"
            );
            assert_eq!(
                before.worst_minutes,
                each.iter().map(|proof| proof.worst_minutes).max().unwrap(),
                "{steps}"
            );
            let sequences = |proof: &clickwise::walk::Proof| proof.sequences.exact().unwrap();
            assert_eq!(sequences(&before), each.iter().map(sequences).max().unwrap(), "{start} {steps}");
        }
    }
    // too many ways in which the bike can be found are bounded
    let adjusters = ["0 to 50 clicks".to_owned(), "0 to 50 clicks".to_owned()];
    let steps = " record settings\n tune fork rebound\n tune fork compression\n set fork rebound to before\n set fork compression to before\n ride 1 lap\n tune fork rebound, within 2 clicks\n tune fork compression, within 2 clicks\n";
    assert!(!prove(&plan_of(&set(&adjusters, steps))).exact);
}
