//! What chance does, and what is believed of the best setting, against libraries that are not ours. The
//! scripts that run them stand in `tests/outside/`, its README lists them with their standing.

use std::process::Command;

use clickwise::chance::{Sides, by_chance, fewest_agreeing, normal_share};
use clickwise::search::share_of;
use serde_json::{Value, json};

use crate::physics::{python, said};
use crate::support::project;

/// What a script says of our values.
fn judged(script: &str, ours: &Value) -> String {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("ours.json");
    std::fs::write(&file, ours.to_string()).unwrap();
    said(Command::new(python()).arg(project().join("tests/outside").join(script)).arg(file))
}

#[test]
fn chance_is_that_of_scipy() {
    let normal: Vec<_> = (0..=200).map(|step| -37.0 + 0.23 * f64::from(step)).collect();
    let normal: Vec<_> = normal.into_iter().map(|x| json!([x, normal_share(x)])).collect();
    let chances = |sides| {
        let of = move |pairs| (0..=pairs).map(|agreeing| by_chance(agreeing, pairs, sides)).collect();
        (1..=64).map(of).collect::<Vec<Vec<f64>>>()
    };
    let least = |sides| (1..=64).map(|pairs| fewest_agreeing(pairs, sides)).collect::<Vec<_>>();
    let ours = json!({
        "normal": normal,
        "one": chances(Sides::One),
        "two": chances(Sides::Two),
        "least_one": least(Sides::One),
        "least_two": least(Sides::Two),
    });
    assert_eq!(
        judged("chance.py", &ours).trim(),
        "201 shares, 4288 chances and 128 least numbers are those of scipy"
    );
}

#[test]
fn the_published_example_of_better_same_and_worse_is_reproduced() {
    let mut rows = Vec::new();
    let mut add = |d: f64, tau: f64| {
        let [better, same, worse] = share_of(d / tau, std::f64::consts::SQRT_2 / tau, 0.0);
        rows.push([d, tau, better, same, worse]);
    };
    add(0.774_259_5, 0.415_972_6);
    for d in [-3.0, -1.2, -0.4, 0.0, 0.3, 0.9, 2.5] {
        for tau in [0.1, 0.4, 0.8, 1.5, 2.5] {
            add(d, tau);
        }
    }
    assert_eq!(
        judged("better_same_worse.py", &json!(rows)).trim(),
        "the example comes out; 36 likelihoods are those of the model"
    );
}
