//! Every example of the README gives what it shows.

use clickwise::check::check;
use clickwise::engine::{BeginFrom, DateTime, InMemory, Ride, Set, first_open};
use clickwise::problem::Sources;
use clickwise::show::{self, Look};

use crate::support::{Field, MOMENT, project};

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

/// The first block of a language that says this.
fn block_with(language: &str, says: &str) -> String {
    let blocks = blocks(&readme(), language);
    blocks.into_iter().find(|block| block.contains(says)).unwrap_or_else(|| panic!("no block says {says}"))
}

/// A phone's screen.
const PHONE: Look = Look { width: 38, colour: false, unicode: false };

/// What a ride puts on a phone's screen, in order: each question, and what each answer brought up.
fn screens(files: &[(&str, String)], answers: &[&str]) -> Vec<String> {
    let names: Vec<&str> = files.iter().map(|(name, _)| *name).collect();
    let files = InMemory::of(files.iter().map(|(name, text)| (*name, text.clone())));
    let set = Set::gather(&files, &names).unwrap();
    let now: DateTime = MOMENT.parse().unwrap();
    let mut ride = Ride::begin(&set, &BeginFrom::default(), &now, 0).unwrap();
    let mut screens = Vec::new();
    for answer in answers.iter().map(Some).chain([None]) {
        // what goes without saying is said with the answer
        let open = first_open(ride.session());
        if let Some(ask) = open.ask() {
            screens.push(show::question(&open, ride.truth(), &ask, PHONE).join("\n"));
        }
        let Some(answer) = answer else { break };
        ride.say(answer, &now).unwrap();
        screens.push(show::news(ride.session(), PHONE.width).join("\n"));
    }
    screens
}

#[track_caller]
fn is_on(screens: &[String], shown: &str) {
    let trimmed = |text: &str| text.lines().map(str::trim_end).collect::<Vec<_>>().join("\n");
    let shown = trimmed(shown.trim_end());
    assert!(
        screens.iter().any(|screen| trimmed(screen).contains(&shown)),
        "{shown}\nis not in\n{}",
        screens.join("\n\n")
    );
}

#[test]
fn the_plan_of_the_readme_is_ridden_as_shown() {
    let plan = block_with("tune", "Hill hardtail");
    assert!(plan.lines().count() <= 12);
    let field = Field::with(&[("first.tune", &plan)]);
    let ran = field.run_with(
        &["ride", "first.tune", "--settings", "s.toml", "--as-of", MOMENT],
        "better\nsame\nworse\n",
    );
    // the question and its answer
    let question = block_with("text", "> b");
    is_on(&screens(&[("first.tune", plan.clone())], &["better"]), question.split("> b").next().unwrap());
    // no problem, and the settings
    assert!(!ran.err.contains("warning") && !ran.err.contains("error"), "{}", ran.err);
    let shown = block_with("toml", "[fork.rebound]");
    let settings = field.read("s.toml");
    assert!(settings.contains(shown.trim_end()), "{shown}\nis not in\n{settings}");
}

#[test]
fn the_first_setup_of_the_readme_is_the_one_in_plans_and_asks_as_shown() {
    let plans = |name: &str| std::fs::read_to_string(project().join("plans").join(name)).unwrap();
    let steps = block_with("tune", "measure every spring");
    assert!(plans("first-setup.tune").ends_with(steps.as_str()), "{steps}");
    let files = ["first-setup.tune", "green-trail.tune", "mo.tune"].map(|name| (name, plans(name)));
    let answers = "70 psi, 9, 12, 450 lb/in, 5, half, 1.7 bar, 1.85 bar, 14 clicks, 12 C, 36 mm and 35 mm";
    is_on(&screens(&files, &[answers]), &block_with("text", "Sag, reading 2"));
}

#[test]
fn what_the_readme_says_of_a_mistake_is_so() {
    let mut sources = Sources::default();
    let plan = block_with("tune", "Hill hardtail").replace("18 clicks", "18 clciks");
    sources.add("first.tune", plan.as_str());
    let problems = check(&sources).problems;
    is_on(&[show::problems(&sources, &problems, PHONE)], &block_with("text", "error unit-unknown"));
}

#[test]
fn what_the_readme_says_of_pairs_is_so() {
    let shown = block_with("text", "of 5 pairs");
    let set = "bike \"B\"\npart fork\n rebound 0 to 20 clicks, start 10\nsteps\n ride 1 lap\n tune fork rebound, try faster first\n confirm fork rebound, blind\n";
    // a drawn order gives four of five for the new setting with one of these
    let all = (0..32_u32)
        .map(|bits| (0..5).map(move |pair| if bits >> pair & 1 == 0 { "first" } else { "second" }));
    let told = all.map(|pairs| {
        let answers = ["better", "worse"].into_iter().chain(pairs).collect::<Vec<_>>();
        screens(&[("set.tune", set.to_owned())], &answers)
    });
    let four = told.filter(|screens| screens.iter().any(|screen| screen.contains(shown.trim_end()))).count();
    assert_eq!(four, 5, "as many answers give four of five as five choose four\n{shown}");
}

/// Whoever reads on a phone need not scroll sideways.
#[test]
fn the_blocks_of_the_readme_are_narrow() {
    for language in ["tune", "text", "toml"] {
        for line in blocks(&readme(), language).iter().flat_map(|block| block.lines()) {
            // a plan is one of those in the folder
            assert!(line.chars().count() <= if language == "tune" { 75 } else { PHONE.width }, "{line}");
        }
    }
}

/// The tables say what the design says, and the benchmark and a test hold the program to that.
#[test]
fn the_tables_of_the_methods_are_those_of_the_design() {
    let text = std::fs::read_to_string(project().join("grammar/methods.md")).unwrap();
    for (name, line) in [
        ("bracket", "bracket"),
        ("bracket, uneven riders", "bracket"),
        ("cross-out", "cross-out"),
        ("cross-out, uneven riders", "cross-out"),
        ("narrow, quick", "narrow, quick"),
        ("narrow, normal", "narrow"),
        ("narrow, normal, uneven riders", "narrow"),
        ("narrow, thorough", "narrow, thorough"),
        ("narrow, thorough, uneven riders", "narrow, thorough"),
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
