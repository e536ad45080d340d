//! What later steps need of where a bike is and was, need by need: each plan here is proven wrong where the proof
//! forgets one of them. Every ride of it is ridden.

use clickwise::walk::prove;

use crate::support::every_ride::{each_moment_once, is_true, plan_of};

/// The most moments of a plan here; each is ridden within a fraction of a second.
const MOST_MOMENTS: u32 = 60_000;

/// Steps as lines of a plan.
pub(crate) fn lines(steps: &[&str]) -> String {
    steps.iter().flat_map(|step| [" ", step, "\n"]).collect()
}

/// Proves a plan, which is walked, and rides it in every way; both come to the same.
fn as_ridden(bike: &str, steps: &[&str]) {
    let steps = lines(steps);
    let text = format!("plan \"P\"\n change 2 min\nloop \"T\"\n lap 4 min\nbike \"B\"\n{bike}steps\n{steps}");
    let plan = plan_of(&text).unwrap_or_else(|| panic!("it cannot be ridden: {text}"));
    let proof = prove(&plan);
    let ridden = each_moment_once(&plan, MOST_MOMENTS).unwrap_or_else(|| panic!("it is too large: {text}"));
    assert!(proof.exact, "it is not walked: {text}");
    assert!(is_true(&proof, ridden), "{text}proven: {proof:?}\nridden: {ridden:?}");
}

/// Two knobs with so many positions above the first, and where they begin.
fn knobs(top: u32, [first, second]: [u32; 2]) -> String {
    format!(
        "part fork\n rebound 0 to {top} clicks, start {first} clicks\n low-speed compression 0 to {top} clicks, start {second} clicks\n"
    )
}

/// A knob and a spring with so few places that it cannot always be moved so far that a second look notices.
const SPRUNG: [&str; 2] = [
    "part fork\n travel 160 mm\n rebound 0 to 4 clicks, start 2 clicks\n coil 400 or 450 or 500 lb/in, start 450 lb/in, sag 15 to 25 %\n",
    "part fork\n travel 160 mm\n rebound 0 to 4 clicks, start 2 clicks\n air 60 to 64 psi, step 1 psi, start 61 psi, sag 15 to 25 %\n",
];

fn spring(bike: &str) -> &'static str {
    if bike.contains(" coil ") { "fork coil" } else { "fork air" }
}

/// An adjuster is put at a place after another one was tuned: whether that is far from where it was then follows
/// from where it is before that tune.
#[test]
fn how_far_a_place_is_from_where_it_was_is_needed_before_the_tune() {
    for place in ["open", "closed", "middle", "start", "1 click", "2 clicks", "4 clicks", "5 clicks"] {
        as_ridden(
            &knobs(6, [3, 3]),
            &[
                "tune fork low-speed compression, at most 3 laps",
                "tune fork rebound, at most 2 laps",
                &format!("set fork low-speed compression to {place}"),
                "ride 1 lap",
                "revisit fork rebound",
            ],
        );
    }
}

/// What was found is fitted before something is said, and is then no more where the last lap was ridden: an adjuster
/// that is put back there goes on from that lap.
#[test]
fn the_last_lap_is_compared_with_a_place_by_itself() {
    for place in 1..=5 {
        as_ridden(
            &knobs(6, [3, 3]),
            &[
                "tune fork rebound, at most 3 laps",
                "say \"Now\"",
                &format!("set fork rebound to {place} clicks"),
                "tune fork low-speed compression, at most 3 laps",
            ],
        );
    }
}

/// A spring may be left anywhere by its measurement; whether a second look finds it moved follows from where it was.
#[test]
fn where_a_spring_was_when_another_adjuster_was_tuned_outlives_its_measurement() {
    for bike in SPRUNG {
        let spring = spring(bike);
        for tune in ["at most 3 laps", "within 1 position, at most 2 laps"] {
            as_ridden(
                bike,
                &[
                    &format!("tune {spring}, {tune}"),
                    "tune fork rebound, at most 2 laps",
                    "measure every spring",
                    "revisit fork rebound",
                ],
            );
        }
    }
}

/// A spring that is measured may come back to where the last lap was ridden, and is tuned from there.
#[test]
fn where_a_spring_was_on_the_last_lap_outlives_its_measurement() {
    for bike in SPRUNG {
        let spring = spring(bike);
        for tune in ["at most 3 laps", "within 1 position, at most 2 laps"] {
            as_ridden(
                bike,
                &[
                    "ride 1 lap",
                    &format!("tune {spring}, at most 3 laps"),
                    "measure every spring",
                    &format!("tune {spring}, {tune}"),
                ],
            );
            as_ridden(
                bike,
                &[
                    &format!("tune {spring}, at most 3 laps"),
                    &format!("set {spring} 1 position firmer"),
                    "measure every spring",
                    "tune fork rebound, at most 2 laps",
                ],
            );
        }
    }
}

/// Nobody knows where a bike is before it is fitted; another coil takes longer than the first one.
#[test]
fn a_coil_that_is_not_fitted_yet_is_none_that_is_fitted_elsewhere() {
    as_ridden(
        "part fork\n travel 160 mm\n coil 400 or 450 or 500 lb/in, start 450 lb/in\n",
        &["record settings", "confirm fork coil, between before and 500 lb/in, 1 pair", "ride 1 lap"],
    );
}

/// An adjuster of very many positions is as near to its ends as one of few, where one change goes far.
#[test]
fn hundreds_of_positions_are_told_apart() {
    as_ridden(
        "part fork\n travel 160 mm\n air 50 to 350 psi, step 40 psi, start 200 psi\n",
        &["tune fork air, at most 3 laps", "ride 1 lap", "tune fork air, at most 4 laps"],
    );
}

/// A spring without a start begins where the rider says it is, so how close its start is to the ends differs from ride
/// to ride.
#[test]
fn how_close_a_start_is_to_the_ends_is_told_in_the_ride() {
    for place in ["start", "61 psi"] {
        as_ridden(
            "part fork\n travel 160 mm\n rebound 0 to 4 clicks, start 2 clicks\n air 60 to 64 psi, step 1 psi\n",
            &[
                "ride 1 lap",
                "tune fork rebound, at most 2 laps",
                &format!("set fork air to {place}"),
                "ride 1 lap",
                "tune fork air, within 1 position, at most 3 laps",
            ],
        );
    }
}
