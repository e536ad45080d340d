//! What the proof keeps apart between counts of one adjuster: each plan here takes more or less with some counts, and
//! is proven wrong where the thing that the count decides is left out of the proof's keys.

use crate::needs::lines;
use crate::random_plans::{proven_for_every_count, proven_for_two_counts};
use crate::walk::{longest_can_be_ridden, plan_of};

/// A plan with a rebound whose line goes on with `rebound`.
fn plan(rebound: &str, steps: &[&str]) -> String {
    let steps = lines(steps);
    format!(
        "plan \"P\"\n change 2 min\nloop \"T\"\n lap 4 min\nbike \"B\"\npart fork\n rebound 0 to 12 clicks{rebound}\n low-speed compression 0 to 9 clicks, start 5 clicks\nsteps\n{steps}"
    )
}

/// Proves a plan for every count of its rebound.
fn every_count(rebound: &str, steps: &[&str]) {
    let text = plan(rebound, steps);
    assert!(proven_for_every_count(&text).is_some(), "it is not walked: {text}");
}

/// Ten clicks or fewer are changed one at a time and more of them two, and only two are a move that a second look
/// at another adjuster notices.
#[test]
fn how_far_a_change_goes_follows_the_count() {
    every_count(
        ", start 5 clicks",
        &[
            "tune fork low-speed compression, at most 2 laps",
            "ride 1 lap",
            "tune fork rebound, at most 1 lap",
            "revisit fork low-speed compression",
        ],
    );
}

/// An adjuster of few positions is looked at again more closely: it does not come so far from there that another one
/// is looked at again.
#[test]
fn how_closely_it_is_looked_at_again_follows_the_count() {
    for (on, back) in [("faster", "slower"), ("slower", "faster")] {
        let (on, back) =
            (format!("set fork rebound 1 click {on}"), format!("set fork rebound 1 click {back}"));
        let steps = [
            "tune fork rebound, at most 1 lap",
            &on,
            "tune fork low-speed compression, at most 1 lap",
            &back,
            "set fork low-speed compression 3 clicks firmer",
            "ride 1 lap",
            "revisit fork rebound",
            "revisit fork low-speed compression",
        ];
        every_count(", start 0 clicks", &steps);
    }
}

/// How much room a tune has follows from where its adjuster is put, and that from the count.
#[test]
fn how_close_a_place_is_to_the_ends_follows_the_count() {
    for start in ["", ", start 0 clicks", ", start 3 clicks"] {
        for place in ["open", "closed", "middle", "start", "1 click"] {
            for within in ["within 2 positions", "at most 3 laps", "within 4 positions, at most 5 laps"] {
                let put = format!("set fork rebound to {place}");
                let tune = format!("tune fork rebound, {within}");
                every_count(start, &["ride 1 lap", &put, "ride 1 lap", &tune]);
                let put_by = "set fork rebound 1 click slower";
                every_count(start, &["ride 1 lap", &put, put_by, "ride 1 lap", &tune]);
            }
        }
    }
}

/// A lap at one place is a reference lap at another where the two are one.
#[test]
fn whether_two_places_are_one_follows_the_count() {
    for start in ["", ", start 0 clicks", ", start 1 click"] {
        for (one, other) in
            [("middle", "3 clicks"), ("3 clicks", "middle"), ("open", "5 clicks"), ("5 clicks", "open")]
        {
            let (one, other) = (format!("set fork rebound to {one}"), format!("set fork rebound to {other}"));
            every_count(
                start,
                &[
                    "ride 1 lap",
                    &one,
                    "ride 1 lap",
                    &other,
                    "tune fork low-speed compression, within 1 position",
                ],
            );
        }
    }
}

/// How an adjuster that is counted was found may be any place up to its count.
#[test]
fn an_adjuster_may_have_been_found_at_its_last_place() {
    let steps = [
        "record settings",
        "tune fork low-speed compression, at most 1 lap",
        "set fork rebound to before",
        "ride 1 lap",
        "revisit fork low-speed compression",
    ];
    every_count(", start 0 clicks", &steps);
}

/// Turned on and back, a knob of few positions is not where it was, which takes one more lap; another knob takes more
/// laps the more positions it has. So the worst is a low count of the one and a high one of the other.
const ON_AND_BACK: [&str; 4] = [
    "ride 1 lap",
    "set fork rebound 4 clicks faster",
    "set fork rebound 4 clicks slower",
    "tune fork low-speed compression, within 8 positions, at most 20 laps",
];

#[test]
fn counts_of_two_adjusters_are_walked_in_every_combination() {
    assert_eq!(proven_for_two_counts(&plan("", &ON_AND_BACK)), Some(true));
}

/// The longest ride of a proof is one with a count that takes the most laps: here a low one, with which the rebound has
/// moved and another knob is looked at again.
#[test]
fn the_longest_ride_is_one_of_the_worst_count() {
    let [_, on, back, _] = ON_AND_BACK;
    let steps = [
        "tune fork low-speed compression, at most 3 laps",
        on,
        back,
        "ride 1 lap",
        "revisit fork low-speed compression",
    ];
    let counted = plan("", &steps).replace(" rebound 0 to 12 clicks", " rebound ? clicks");
    longest_can_be_ridden(&plan_of(&counted));
}
