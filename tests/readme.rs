//! Every example of the README gives what it shows.

use crate::support::{Field, project};

/// The blocks of a language in a text, in order.
fn blocks(text: &str, language: &str) -> Vec<String> {
    let fence = format!("```{language}\n");
    text.split(&fence).skip(1).map(|rest| rest.split("```").next().unwrap().to_owned()).collect()
}

fn readme() -> String {
    std::fs::read_to_string(project().join("README.md")).unwrap()
}

#[test]
fn the_readme_opens_with_one_paragraph_that_states_the_job() {
    let text = readme();
    let mut parts = text.split("\n\n");
    assert!(parts.next().unwrap().starts_with("# clickwise"));
    assert!(parts.next().unwrap().contains("mountain-bike"));
}

#[test]
fn the_plan_of_the_readme_is_ridden_as_shown() {
    let text = readme();
    let plan = &blocks(&text, "tune")[0];
    assert!(plan.lines().count() <= 12);
    let field = Field::with(&[("first.tune", plan)]);
    let screens = blocks(&text, "text");
    // the question and its answer
    let question = screens[0].split("> ").next().unwrap().trim_end();
    let ran = field
        .run_with(
            &["ride", "first.tune", "--settings", "s.toml", "--as-of", "2026-05-16T14:05:00+02:00"],
            "better\nsame\nworse\n",
        )
        .ends(0);
    assert!(ran.err.contains(question), "{question}\nis not in\n{}", ran.err);
    // the settings
    let shown = &blocks(&text, "toml")[0];
    let settings = field.read("s.toml");
    assert!(settings.contains(shown.trim_end()), "{shown}\nis not in\n{settings}");
}

#[test]
fn the_first_setup_of_the_readme_is_the_one_in_plans_and_asks_as_shown() {
    let text = readme();
    let plans = |name: &str| std::fs::read_to_string(project().join("plans").join(name)).unwrap();
    let steps = &blocks(&text, "tune")[1];
    assert!(plans("first-setup.tune").ends_with(steps.as_str()), "{steps}");
    let names = ["first-setup.tune", "green-trail.tune", "mo.tune"];
    let files: Vec<(&str, String)> = names.iter().map(|name| (*name, plans(name))).collect();
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let field = Field::with(&files);
    let found = "70 psi, 9, 12, 450 lb/in, 5, half, 1.7 bar, 1.85 bar, 14 clicks, 12 C, 36 mm and 35 mm\n";
    let mut arguments = vec!["ride"];
    arguments.extend(names);
    let ran = field.run_with(&arguments, found).ends(4);
    let question = blocks(&text, "text")[1].trim_end().to_owned();
    assert!(ran.err.contains(&question), "{question}\nis not in\n{}", ran.err);
}

#[test]
fn what_the_readme_says_of_a_mistake_is_so() {
    let text = readme();
    let screens = blocks(&text, "text");
    let shown = &screens[3];
    let field = Field::with(&[("first.tune", &blocks(&text, "tune")[0].replace("18 clicks", "18 clciks"))]);
    let ran = field.run(&["check", "first.tune"]).ends(1);
    assert!(ran.err.contains(shown.trim_end()), "{shown}\nis not in\n{}", ran.err);
}

#[test]
fn what_the_readme_says_of_pairs_is_so() {
    let shown = &blocks(&readme(), "text")[2];
    let set = "bike \"B\"\npart fork\n rebound 0 to 20 clicks, start 10\nsteps\n ride 1 lap\n tune fork rebound, try faster first\n confirm fork rebound, blind\n";
    // a drawn order gives four of five for the found setting with one of these
    let all = (0..32_u32)
        .map(|bits| (0..5).map(move |pair| if bits >> pair & 1 == 0 { "first" } else { "second" }));
    let told = all.map(|answers| {
        let field = Field::with(&[("set.tune", set)]);
        field
            .ride(&["set.tune"], &format!("better\nworse\n{}\n", answers.collect::<Vec<_>>().join("\n")))
            .ends(0)
            .err
    });
    let four = told.into_iter().filter(|screen| screen.contains(shown.trim_end())).count();
    assert_eq!(four, 5, "as many answers give four of five as five choose four\n{shown}");
}

/// The tables say what the design says, and the benchmark and a test hold the program to that.
#[test]
fn the_tables_of_the_readme_are_those_of_the_methods() {
    let text = readme();
    for (name, line) in [
        ("bracket", "bracket"),
        ("bracket, difficult riders", "bracket"),
        ("cross-out", "cross-out"),
        ("cross-out, difficult riders", "cross-out"),
        ("narrow, quick", "narrow, quick"),
        ("narrow, usual", "narrow"),
        ("narrow, usual, difficult riders", "narrow"),
        ("narrow, thorough", "narrow, thorough"),
    ] {
        let row = crate::tables::ROWS.iter().find(|row| row.name == name).unwrap();
        let cells: Vec<_> = row.cells().filter(|(top, ..)| *top >= 10).collect();
        let is_shown = |line: &&str| {
            let mut shown = line.split(" | ").skip(1);
            cells.iter().all(|&(_, laps, share)| {
                let cell = shown.next().unwrap_or("").trim_end_matches(" |");
                let Some((shown_laps, shown_share)) = cell.split_once(" laps, ") else { return false };
                let near = |shown: &str, wanted: f64, far: f64| {
                    shown.parse::<f64>().is_ok_and(|shown| (shown - wanted).abs() <= far)
                };
                near(shown_laps, laps, 0.061) && near(shown_share, share * 100.0, 0.61)
            })
        };
        let begin = format!("| {line} | ");
        let found = text.lines().filter(|line| line.starts_with(&begin)).filter(is_shown).count();
        assert!(found > 0, "{name}");
    }
}
