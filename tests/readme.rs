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
    let shown = &screens[2];
    let field = Field::with(&[("first.tune", &blocks(&text, "tune")[0].replace("18 clicks", "18 clciks"))]);
    let ran = field.run(&["check", "first.tune"]).ends(1);
    assert!(ran.err.contains(shown.trim_end()), "{shown}\nis not in\n{}", ran.err);
}
