//! Cases that are files: `tests/check/NAME.tune` is checked, `tests/ride/NAME.tune` is ridden with
//! the answers on its lines that begin with `#:`. What the program says is the snapshot beside it.

use std::path::Path;

use crate::support::{Field, MOMENT, project};

fn each_case(folder: &str, run: impl Fn(&str, &str) -> String) {
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

/// Every bike of `plans/` with every plan and rider is checked, and ridden by the simulated rider
/// to its end.
#[test]
fn the_plans_are_sound_and_can_be_ridden() {
    use clickwise::rehearsal::Rider;
    use clickwise::session::Session;
    let text = |name: &str| std::fs::read_to_string(project().join("plans").join(name)).unwrap();
    let mut rides = 0;
    for bike in ["hill-hardtail.tune", "ridge-enduro.tune"] {
        for plan in ["first-look.tune", "second-hour.tune"] {
            for rider in ["ana.tune", "bram.tune"] {
                let mut sources = clickwise::problem::Sources::default();
                for name in [bike, plan, rider] {
                    sources.add(name, text(name));
                }
                let checked = clickwise::check::check(&sources);
                assert!(!checked.has_errors(), "{bike} {plan} {rider}: {:?}", checked.problems);
                let plan = std::sync::Arc::new(checked.plan.unwrap());
                let mut session = Session::begin(plan, 0);
                let mut rider = Rider::new(rides);
                while let Some(ask) = session.ask() {
                    session = session.answer(&rider.answer(&session, &ask)).unwrap();
                }
                assert!(session.so_far().finished);
                rides += 1;
            }
        }
    }
    assert_eq!(rides, 8);
}

#[test]
fn a_moment_is_written_as_it_was_said() {
    let field =
        Field::with(&[("set.tune", "bike \"B\"\npart fork\n rebound 4 clicks\nsteps\n say \"Go\"\n")]);
    let ran = field.ride(&["set.tune"], "").ends(0);
    assert!(ran.out.contains(&format!("settled = {MOMENT}")), "{}", ran.out);
}
