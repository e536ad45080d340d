//! Cases that are files: `tests/check/NAME.tune` is checked, `tests/ride/NAME.tune` is ridden with
//! the answers on its lines that begin with `#:`. What the program says is the snapshot beside it.

use std::path::Path;

use crate::support::{Field, MOMENT, project};

pub fn each_case(folder: &str, run: impl Fn(&str, &str) -> String) {
    let folder = project().join("tests").join(folder);
    let mut names: Vec<String> = std::fs::read_dir(&folder)
        .unwrap()
        .filter_map(|entry| {
            entry.unwrap().file_name().into_string().unwrap().strip_suffix(".tune").map(str::to_owned)
        })
        .collect();
    names.sort();
    assert!(!names.is_empty());
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(Path::new(&folder));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| {
        for name in names {
            let text = std::fs::read_to_string(folder.join(format!("{name}.tune"))).unwrap();
            let said = run(&name, &text);
            insta::assert_snapshot!(name, said);
        }
    });
}

#[test]
fn what_check_says() {
    each_case("check", |name, text| {
        let file = format!("{name}.tune");
        let field = Field::with(&[(&file, text)]);
        let ran = field.run(&["check", &file]);
        format!("{}{}status {}\n", ran.err, ran.out, ran.status)
    });
}

#[test]
fn how_a_ride_goes() {
    each_case("ride", |_, text| {
        let field = Field::with(&[("set.tune", text)]);
        let answers: Vec<&str> = text.lines().filter_map(|line| line.strip_prefix("#:")).collect();
        let ran = field.ride(&["set.tune"], &answers.join("\n"));
        format!("{}----\n{}status {}\n", ran.err, ran.out, ran.status)
    });
}

/// Every bike of `plans/` with every plan and rider is checked. All are sound but for riders who are
/// too far from a bike's table of weights; all others are ridden by the simulated rider to their end.
#[test]
fn the_plans_are_sound_and_can_be_ridden() {
    use clickwise::problem::Code;
    use clickwise::rehearsal::{Kind, Rider};
    use clickwise::session::Session;
    let folder = project().join("plans");
    let mut files: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap())
        .map(|entry| {
            let text = std::fs::read_to_string(entry.path()).unwrap();
            (entry.file_name().into_string().unwrap(), text)
        })
        .collect();
    files.sort();
    let with = |heading: &'static str| {
        files.iter().filter(move |(_, text)| text.lines().any(|line| line.starts_with(heading)))
    };
    let (mut ridden, mut refused) = (Vec::new(), Vec::new());
    for plan in with("plan ") {
        for bike in with("bike ") {
            for rider in with("rider ") {
                let mut sources = clickwise::problem::Sources::default();
                for (name, text) in [plan, bike, rider] {
                    sources.add(name, text.as_str());
                }
                let names = format!("{} {} {}", plan.0, bike.0, rider.0);
                let checked = clickwise::check::check(&sources);
                let Some(plan) = checked.plan else {
                    let errors = checked.problems.iter().filter(|problem| problem.is_error());
                    let other: Vec<_> =
                        errors.filter(|error| error.code != Code::WeightFarBeyondStarts).collect();
                    assert!(other.is_empty() && checked.needs.is_empty(), "{names}: {other:?}");
                    refused.push(names);
                    continue;
                };
                let mut session = Session::begin(std::sync::Arc::new(plan), 0);
                let mut rider = Rider::new(Kind::Steady, ridden.len() as u64, 0);
                while let Some(ask) = session.ask() {
                    session = session.answer(&rider.answer(&session, &ask)).unwrap();
                }
                assert!(session.so_far().finished);
                ridden.push(names);
            }
        }
    }
    insta::with_settings!({ snapshot_path => project().join("tests/check"), prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("plans-and-riders", format!("ridden: {}\n\nrefused:\n{}\n", ridden.len(), refused.join("\n")));
    });
}

#[test]
fn a_moment_is_written_as_it_was_said() {
    let field =
        Field::with(&[("set.tune", "bike \"B\"\npart fork\n rebound 4 clicks\nsteps\n say \"Go\"\n")]);
    let ran = field.ride(&["set.tune"], "").ends(0);
    assert!(ran.out.contains(&format!("saved = {MOMENT}")), "{}", ran.out);
}

/// Every case on the screen of a phone: no line is longer than the screen is wide.
#[test]
fn problems_fit_a_narrow_screen() {
    let look = clickwise::show::Look { width: 38, colour: false, unicode: true };
    let mut shown = 0;
    for entry in std::fs::read_dir(project().join("tests/check")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "tune") {
            continue;
        }
        let mut sources = clickwise::problem::Sources::default();
        let text = std::fs::read_to_string(&path).unwrap();
        sources.add(path.file_name().unwrap().to_str().unwrap(), text);
        let told = clickwise::show::problems(&sources, &clickwise::check::check(&sources).problems, look);
        for line in told.lines() {
            assert!(line.chars().count() <= 38, "{}: {line}\n{told}", path.display());
            shown += 1;
        }
    }
    assert!(shown > 1000, "{shown}");
}
