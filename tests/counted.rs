//! What the proof keeps apart between counts of one adjuster: each plan here takes more or less with some counts, and
//! is proven wrong where the thing that the count decides is left out of the proof's keys.

use crate::random_plans::proven_for_every_count;

/// Proves a plan for every count of the rebound, whose line goes on with `rebound`.
fn every_count(rebound: &str, steps: &[&str]) {
    let steps: String = steps.iter().map(|step| format!(" {step}\n")).collect();
    let text = format!(
        "plan \"P\"\n change 2 min\ntrail \"T\"\n lap 4 min\nbike \"B\"\npart fork\n rebound 0 to 12 clicks{rebound}\n low-speed compression 0 to 9 clicks, start 5 clicks\nsteps\n{steps}"
    );
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

/// An adjuster of few positions is looked at again more closely: that may come back to its start from fewer places,
/// where there is nothing to compare.
#[test]
fn how_closely_it_is_looked_at_again_follows_the_count() {
    for way in ["faster", "slower"] {
        let moved = format!("set fork rebound 3 clicks {way}");
        let steps = [
            "tune fork rebound, at most 1 lap",
            &moved,
            "set fork low-speed compression 2 clicks firmer",
            "ride 1 lap",
            "revisit fork rebound",
            "confirm fork rebound, 2 pairs",
        ];
        every_count(", start 1 click", &steps);
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
