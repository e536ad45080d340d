//! Where springs and tyres start, through the real program: what is asked, what a table gives, what is
//! no position. Worked by hand; no outside source.

use crate::springs::{asked_last, bike, holds, ride};
use crate::support::{Field, number, setting, unbroken};

#[test]
fn what_is_in_a_spring_or_tyre_is_asked_unless_it_was_found() {
    let parts = "part fork\n air 40 to 120 psi\n spacers 0 to 3 spacers\n rebound 0 to 10 clicks\npart shock\n coil 400 or 450 lb/in\npart front tyre\n pressure 1.4 to 2.2 bar";
    let text = bike(parts, " ride 1 lap", 70);
    let ran = ride(&text, "71 psi, 450 lb/in, 1.55 bar").ends(0);
    let screen = unbroken(&ran.err);
    holds(
        &screen,
        &[
            "Now: fork air The bike's file gives no start. What does the gauge read? Range: 40 to 120 psi.",
            "Now: shock coil Which spring is on the bike? The rate is printed on it. Choose from 400 lb/in, 450 lb/in. For example: 400 lb/in",
            "Now: front tyre pressure",
        ],
    );
    assert_eq!(screen.matches("Now:").count(), 3, "{screen}");
    for (path, start) in
        [(["fork", "air"], 71.0), (["shock", "coil"], 450.0), (["front-tyre", "pressure"], 1.55)]
    {
        let start_of = |key| setting(&ran.out, &[path[0], path[1], key]);
        for key in ["start", "value"] {
            assert!((number(&start_of(key)) - start).abs() < 1e-9, "{path:?} {key}:\n{}", ran.out);
        }
    }
    let ran = ride(&text, "30 psi").ends(1);
    holds(&unbroken(&ran.err), &["fork air can't be `30 psi`: use 40 to 120 psi"]);
    ride(&text, "unknown").ends(1);
    // what was found is in it; only what nobody knew is asked again
    let found = bike(parts, " record settings\n ride 1 lap", 70);
    let ran = ride(&found, "71 psi, 0, 5, 450 lb/in, unknown, 1.55 bar").ends(0);
    let screen = unbroken(&ran.err);
    assert_eq!(screen.matches("Now: front tyre").count(), 2, "{screen}");
    holds(&screen, &["Now: front tyre pressure", "fork air: 71 psi, stays"]);
}

#[test]
fn a_weight_far_outside_the_table_needs_a_measurement_first() {
    let parts = "part fork\n travel 160 mm\n air 40 to 120 psi, start 58 psi at 60 kg, 90 psi at 90 kg, sag 19 to 21 %";
    let code = |steps: &str, kilograms: u32| {
        let field = Field::with(&[("set.tune", &bike(parts, steps, kilograms))]);
        let ran = field.run(&["check", "set.tune"]);
        let found = ["weight-far-beyond-starts", "weight-beyond-starts"]
            .into_iter()
            .find(|code| ran.err.contains(code));
        (ran.status, found)
    };
    let tune = " ride 1 lap\n tune fork air, try firmer first\n measure every spring";
    let measure = " measure every spring\n ride 1 lap\n tune fork air, try firmer first";
    // 54 and 99 kg are a tenth beyond the ends and no more
    for (kilograms, tuned, measured) in [
        (60, (0, None), (0, None)),
        (90, (0, None), (0, None)),
        (55, (0, Some("weight-beyond-starts")), (0, Some("weight-beyond-starts"))),
        (95, (0, Some("weight-beyond-starts")), (0, Some("weight-beyond-starts"))),
        (54, (0, Some("weight-beyond-starts")), (0, Some("weight-beyond-starts"))),
        (99, (0, Some("weight-beyond-starts")), (0, Some("weight-beyond-starts"))),
        (53, (1, Some("weight-far-beyond-starts")), (0, Some("weight-beyond-starts"))),
        (100, (1, Some("weight-far-beyond-starts")), (0, Some("weight-beyond-starts"))),
    ] {
        assert_eq!(code(tune, kilograms), tuned, "{kilograms} kg, tuned first");
        assert_eq!(code(measure, kilograms), measured, "{kilograms} kg, measured first");
    }
    for (kilograms, start) in [(53, "58 psi"), (55, "58 psi"), (95, "90 psi"), (120, "90 psi")] {
        let first = asked_last(&bike(parts, measure, kilograms), "done");
        holds(&first, &[&format!("{start}, no change")]);
    }
}

/// The start of the first adjuster, for a rider of 70 kg.
#[track_caller]
fn start(part: &str, knob: &str, line: &str) -> f64 {
    let ran = ride(&bike(&format!("part {part}\n {knob} {line}"), " ride 1 lap", 70), "").ends(0);
    let value = setting(&ran.out, &[part, knob, "start"]);
    number(&value)
}

#[test]
fn a_start_between_two_positions_goes_to_the_nearest_and_half_way_to_the_softer() {
    let table = |low: &str, high: &str| format!("start {low} at 60 kg, {high} at 80 kg");
    let near =
        |found: f64, expected: f64| assert!((found - expected).abs() < 1e-9, "{found}, not {expected}");
    // half way between the rows
    near(start("fork", "air", &format!("40 to 120 psi, {}", table("70 psi", "71 psi"))), 70.0);
    near(start("fork", "air", &format!("40 to 120 psi, {}", table("70 psi", "72 psi"))), 71.0);
    near(start("fork", "rebound", &format!("0 to 10 clicks, {}", table("4", "5"))), 5.0);
    near(start("fork", "compression", &format!("0 to 10 clicks, {}", table("4", "5"))), 5.0);
    near(
        start("fork", "compression", &format!("0 to 10 clicks, counted from open, {}", table("4", "5"))),
        4.0,
    );
    near(start("shock", "coil", &format!("400 or 450 lb/in, {}", table("400 lb/in", "450 lb/in"))), 400.0);
    // 5 bar are 72.52 psi, 500 kPa too; 450 lb/in are 78.8 N/mm
    near(start("fork", "air", &format!("40 to 120 psi, {}", table("5 bar", "5 bar"))), 73.0);
    near(start("fork", "air", &format!("40 to 120 psi, {}", table("4 bar", "600 kPa"))), 73.0);
    near(start("fork", "air", &format!("3 to 8 bar, {}", table("70 psi", "75 psi"))), 5.0);
    near(start("shock", "coil", &format!("70 or 80 or 90 N/mm, {}", table("450 lb/in", "450 lb/in"))), 80.0);
}

#[test]
fn values_are_positions_and_a_range_ends_on_one() {
    let check = |line: &str| {
        let field = Field::with(&[("set.tune", &bike(&format!("part fork\n {line}"), " ride 1 lap", 70))]);
        unbroken(&field.run(&["check", "set.tune"]).ends(1).err)
    };
    for (line, said) in [
        ("air 40 to 120.5 psi, start 70 psi", "this range doesn't end on a whole step: each step is 1 psi"),
        ("air 40 to 120.5 psi, start 70 psi", "the nearest are 120 and 121 psi"),
        ("air 40 to 120 psi by 3 psi, start 70 psi", "the nearest are 118 and 121 psi"),
        ("air 3 to 8.12 bar, start 5 bar", "the nearest are 8.1 and 8.15 bar"),
        ("air 300 to 802 kPa, start 500 kPa", "the nearest are 800 and 805 kPa"),
        ("preload 0 to 4.2 mm", "the nearest are 4 and 4.5 mm"),
        ("air 40 to 120 psi by 2 psi, start 71 psi", "the nearest are 70 psi and 72 psi"),
        ("air 40 to 120 psi by 2 psi, start 70 psi, step 3 psi", "one position is 2 psi"),
        ("air 40 to 120 psi, start 130 psi", "the nearest is 120 psi"),
        (
            "air 40 to 120 psi, start 9 bar at 60 kg, 5 bar at 80 kg",
            "it is 130.534 psi; the nearest is 120 psi",
        ),
        ("coil 400 or 450 lb/in, start 430 lb/in", "the nearest are 400 lb/in and 450 lb/in"),
    ] {
        let screen = check(line);
        assert!(screen.contains(said), "{line}: `{said}` is not in {screen}");
    }
    assert!((start("fork", "air", "40 to 120 psi by 2.5 psi, start 72.5 psi") - 72.5).abs() < 1e-9);
}
