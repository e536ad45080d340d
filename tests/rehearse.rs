//! Rehearsals with simulated riders, through the program: the same numbers always, a report that is valid,
//! never beyond the proof, words that fit a narrow screen.

use std::process::Command;

use serde_json::Value;

use crate::physics::{python, said};
use crate::support::{Field, Ran, program, project, unbroken};

/// A bike with one adjuster that is not counted, and lines under the plan's heading and under steps.
fn set(of_plan: &str, steps: &str) -> String {
    format!(
        "plan \"Test plan\"\n{of_plan}bike \"Test bike\"\npart fork\n  rebound 0 to 20 clicks\n  \
         compression 0 to 12 clicks\npart shock\n  rebound ? clicks\nloop \"Loop\"\n  lap 4 min\nsteps\n  \
         ride 1 lap\n{steps}"
    )
}

const TUNES: &str = "  tune every rebound\n  tune fork compression, try firmer first\n";

const KINDS: [&str; 5] = ["steady", "uneven", "coarse", "same", "random"];

fn rehearse(field: &Field, more: &[&str]) -> Ran {
    field.run(&[&["rehearse", "set.tune"], more].concat())
}

fn report(ran: &Ran) -> Value {
    serde_json::from_str(&ran.out).unwrap()
}

fn json(field: &Field, more: &[&str]) -> Value {
    report(&rehearse(field, &[&["--report", "json"], more].concat()).ends(0))
}

/// A number of a report, by its path of keys.
#[track_caller]
fn at(report: &Value, path: &[&str]) -> f64 {
    let value = path.iter().fold(report, |value, key| &value[*key]);
    value.as_f64().unwrap_or_else(|| panic!("no number {path:?} in\n{report:#}"))
}

fn keys(value: &Value) -> Vec<&str> {
    value.as_object().unwrap().keys().map(String::as_str).collect()
}

/// The files of `plans/` with a heading, by name.
fn with(heading: &str) -> Vec<String> {
    let mut names = Vec::new();
    for entry in std::fs::read_dir(project().join("plans")).unwrap() {
        let entry = entry.unwrap();
        let text = std::fs::read_to_string(entry.path()).unwrap();
        if text.lines().any(|line| line.starts_with(heading)) {
            names.push(entry.file_name().into_string().unwrap());
        }
    }
    names.sort();
    names
}

#[test]
fn the_numbers_are_the_same_on_any_number_of_threads_and_differ_by_seed() {
    let field = Field::with(&[("set.tune", &set("", TUNES))]);
    for format in ["text", "json"] {
        let run = |threads: &str, seed: &str| {
            let arguments = ["rehearse", "set.tune", "--rides", "1000", "--seed", seed, "--report", format];
            let output = field.command(&arguments).env("RAYON_NUM_THREADS", threads).output().unwrap();
            assert!(output.status.success());
            assert!(output.stdout.len() > 500);
            output.stdout
        };
        let first = run("1", "7");
        for threads in ["1", "2", "4"] {
            assert!(run(threads, "7") == first, "{format} with {threads} threads");
        }
        let other = run("2", "8");
        if format == "json" {
            let [first, other] = [&first, &other].map(|out| serde_json::from_slice::<Value>(out).unwrap());
            assert_ne!(first["riders"], other["riders"]);
        } else {
            assert_ne!(first, other);
        }
    }
}

#[test]
fn a_report_has_every_kind_of_rider_and_every_adjuster_that_is_tuned() {
    let field = Field::new();
    let timeless = set("", TUNES).replace("  lap 4 min\n", "");
    for (text, timed) in [(set("", TUNES), true), (timeless, false)] {
        field.write("set.tune", text);
        let report = json(&field, &["--rides", "500", "--seed", "3"]);
        assert_eq!((at(&report, &["seed"]), &report["simulated"]), (3.0, &Value::Bool(true)));
        assert_eq!(keys(&report["riders"]), KINDS);
        for kind in KINDS {
            let rider = &report["riders"][kind];
            assert_eq!(rider["rides"], 100, "no ride is lost");
            assert_eq!(rider["minutes"].is_null(), !timed);
            assert_eq!(keys(&rider["adjusters"]), ["fork rebound", "shock rebound", "fork compression"]);
            let adjusters = rider["adjusters"].as_object().unwrap().values();
            let parts: f64 = adjusters.clone().map(|of_it| at(of_it, &["laps", "mean"])).sum();
            // the lap before the tunes is nobody's
            assert!((at(rider, &["laps", "mean"]) - parts - 1.0).abs() < 1e-9, "{rider:#}");
            for of_it in adjusters.chain([rider]) {
                let [mean, p90, most] = ["mean", "p90", "most"].map(|key| at(of_it, &["laps", key]));
                assert!(0.0 < mean && mean <= most && p90 <= most, "{of_it:#}");
                let shares = ["within_one", "within_two", "started_within_one"].map(|key| at(of_it, &[key]));
                assert!(shares.iter().all(|share| (0.0..=1.0).contains(share)), "{of_it:#}");
                assert!(shares[0] <= shares[1], "{of_it:#}");
            }
        }
        // who feels nothing gains nothing, who feels something does
        let gain = |kind: &str| {
            at(&report, &["riders", kind, "within_one"])
                - at(&report, &["riders", kind, "started_within_one"])
        };
        assert!(gain("steady") > 0.2 && gain("steady") > gain("uneven"), "{report:#}");
        assert!(gain("random") < 0.0 && gain("same") < 0.1, "{report:#}");
    }
}

/// Every plan of `plans/` with every bike; and with each method and a second look, with one bike each: what
/// is ridden is never more than what the proof allows, and sometimes is just that.
#[test]
fn no_ride_is_longer_than_the_proof() {
    let field = Field::new();
    let bikes = with("bike ");
    let (mut sets, mut reached) = (0, 0);
    for (index, name) in with("plan ").iter().enumerate() {
        let text = std::fs::read_to_string(project().join("plans").join(name)).unwrap();
        for bike in &bikes {
            sets += 1;
            reached += within_the_proof(&field, &text, bike);
        }
        let (head, rest) = text.split_once("\n  author").unwrap();
        let rest: Vec<&str> = rest.lines().filter(|line| !line.starts_with("  method ")).collect();
        let rest = rest.join("\n");
        for (place, method) in ["bracket", "cross-out", "narrow"].into_iter().enumerate() {
            let text = format!(
                "{head}\n  method {method}\n  author{rest}\n  revisit every rebound\n  confirm everything, 6 pairs\n"
            );
            sets += 1;
            reached += within_the_proof(&field, &text, &bikes[(index + place) % bikes.len()]);
        }
    }
    assert!(sets >= 7 * (6 + 3) && reached > sets / 4, "{reached} of {sets}");
}

/// Rehearses and checks a plan with a bike; how many kinds of riders came to the worst case.
fn within_the_proof(field: &Field, plan: &str, bike: &str) -> u32 {
    field.write("set.tune", plan);
    let rider = if bike.contains("small-bike") { "ivo.tune" } else { "mo.tune" };
    let files = [bike, rider].map(|name| project().join("plans").join(name).to_str().unwrap().to_owned());
    let more = [&*files[0], &*files[1], "--report", "json"];
    let proof = report(&field.run(&[&["check", "set.tune"], &more[..]].concat()).ends(0));
    let rides = json(field, &[&more[..2], &["--rides", "250"]].concat());
    let mut reached = 0;
    for kind in KINDS {
        let of_kind = &rides["riders"][kind];
        assert_eq!(of_kind["rides"], 50, "{kind}, {bike}:\n{plan}");
        let [laps, most] =
            [&of_kind["laps"]["most"], &proof["proof"]["worst_laps"]].map(|laps| laps.as_u64().unwrap());
        assert!(laps <= most, "{laps} laps, not {most}: {kind}, {bike}:\n{plan}");
        reached += u32::from(laps == most);
        assert_eq!(of_kind["minutes"].is_null(), proof["proof"]["worst_minutes"].is_null());
        if !of_kind["minutes"].is_null() {
            let [minutes, most] =
                [at(of_kind, &["minutes", "most"]), at(&proof, &["proof", "worst_minutes"])];
            assert!(minutes <= most, "{minutes} minutes, not {most}: {kind}, {bike}:\n{plan}");
        }
    }
    reached
}

#[test]
fn what_cannot_be_rehearsed_is_refused() {
    let field = Field::with(&[("set.tune", "bike \"B\"\npart fork\n  rebound 0 to 8 clicks\n")]);
    let ran = rehearse(&field, &[]).ends(1);
    assert!(
        ran.out.is_empty() && unbroken(&ran.err).contains("Before you rehearse, you also need steps"),
        "{}",
        ran.err
    );
    field.write("set.tune", set("", "  tune fork rebuond\n"));
    let ran = rehearse(&field, &["--report", "json"]).ends(1);
    assert!(ran.out.is_empty() && ran.err.contains("set.tune:12:"), "{}", ran.err);
    field.write("set.tune", set("", TUNES));
    for (option, value) in [
        ("--rides", "2"),
        ("--rides", "many"),
        ("--coupling", "1.5"),
        ("--coupling", "x"),
        ("--report", "sarif"),
    ] {
        let ran = rehearse(&field, &[option, value]).ends(2);
        assert!(ran.out.is_empty() && ran.err.contains(option) && ran.err.contains(value), "{}", ran.err);
    }
}

#[test]
fn a_rehearsal_keeps_to_a_narrow_terminal() {
    let long = set("", TUNES).replace("fork\n", "fork\n  adjuster \"bottoming resistance\" 0 to 8 clicks\n");
    let field = Field::with(&[("set.tune", &format!("{long}  tune fork \"bottoming resistance\"\n"))]);
    let script =
        format!("stty cols 38 rows 20; exec '{}' rehearse set.tune --rides 1000", program().display());
    let mut command = Command::new("sh");
    command.args(["-c", &script]).current_dir(field.path(".")).env("LANG", "C").env("NO_COLOR", "1");
    let mut session = rexpect::session::spawn_command(command, Some(20_000)).unwrap();
    let screen = session.exp_eof().unwrap().replace('\r', "");
    for line in screen.lines() {
        assert!(line.chars().count() <= 38, "too long: {line}\n{screen}");
    }
    insta::with_settings!({
        snapshot_path => project().join("tests/rehearsal"),
        prepend_module_to_snapshot => false,
        omit_expression => true,
    }, {
        insta::assert_snapshot!("narrow", screen);
    });
}

#[test]
fn whom_cross_out_misses_is_told() {
    let field = Field::with(&[("set.tune", &set("  method cross-out\n", TUNES))]);
    let report = json(&field, &[]);
    let advice = report["advice"].as_array().unwrap();
    let cross_out = |of: &&Value| {
        of["text"].as_str().unwrap().contains("Use `method narrow` on each `tune` line for this rider")
    };
    let told: Vec<&Value> = advice.iter().filter(cross_out).map(|of| &of["rider"]).collect();
    assert_eq!(told, ["uneven"], "{advice:#?}");
    let screen = unbroken(&rehearse(&field, &[]).ends(0).out);
    let difficult = screen.split("A rider who ").nth(2).unwrap();
    assert!(difficult.contains("Use `method narrow` on each `tune` line for this rider"), "{screen}");
    // no such word where another method is used
    field.write("set.tune", set("  method narrow\n", TUNES));
    let out = rehearse(&field, &["--rides", "500"]).ends(0).out;
    assert!(out.contains("A rider who") && !out.contains("cross-out"), "{out}");
}

/// What a person reads is what the report says.
#[test]
fn the_screen_says_what_the_report_says() {
    let field = Field::with(&[("set.tune", &set("", TUNES))]);
    let report = json(&field, &["--rides", "1000"]);
    let screen = unbroken(&rehearse(&field, &["--rides", "1000"]).ends(0).out);
    let told: Vec<&str> = screen.split("A rider who ").skip(1).collect();
    assert_eq!(told.len(), KINDS.len());
    for (kind, told) in KINDS.iter().zip(told) {
        let rider = &report["riders"][*kind];
        let hundred = |key: &str| (at(rider, &[key]) * 100.0).round();
        let (began, one, two) = (hundred("started_within_one"), hundred("within_one"), hundred("within_two"));
        let only = if one < began { "only " } else { "" };
        let near = format!(
            "Out of 100 searches, {began} start within one click of the best. After tuning, {only}{one} are that close, and {two}"
        );
        assert!(told.contains(&near), "{near:?} in {told}");
        assert!(told.contains(&format!("{} laps", at(rider, &["laps", "most"]))), "{told}");
    }
    for advice in report["advice"].as_array().unwrap() {
        let text = unbroken(advice["text"].as_str().unwrap());
        assert!(screen.contains(&text), "{text} in {screen}");
    }
    // a handful of rides is mostly chance
    let few = "That is too few to say much or give advice";
    assert!(!screen.contains(few));
    assert!(rehearse(&field, &["--rides", "50"]).ends(0).out.contains(few));
    assert_eq!(json(&field, &["--rides", "50"])["advice"], serde_json::json!([]));
    // who begins at the best anyway is not told to have gained nothing
    let tiny = set("", TUNES).replace("0 to 12 clicks", "0 to 1 clicks");
    field.write("set.tune", tiny);
    let advice = json(&field, &["--rides", "1000"])["advice"].to_string();
    assert!(!advice.contains("fork compression"), "{advice}");
}

#[test]
fn a_plan_that_tunes_nothing_is_told_in_a_line() {
    let field = Field::with(&[(
        "set.tune",
        "bike \"B\"\npart fork\n  rebound 0 to 8 clicks\nloop \"Loop\"\n  lap 4 min\nsteps\n  ride 2 laps\n",
    )]);
    let ran = rehearse(&field, &["--rides", "50"]).ends(0);
    assert!(
        ran.out.contains("This plan has no `tune` step") && ran.out.contains("Always 2 laps"),
        "{}",
        ran.out
    );
    assert!(ran.out.lines().count() <= 3, "{}", ran.out);
    let report = json(&field, &["--rides", "50"]);
    assert_eq!(report["riders"]["uneven"]["laps"]["most"], 2);
    assert_eq!(report["riders"]["steady"]["adjusters"], serde_json::json!({}));
}

/// Second looks cost laps and bring those nearer whose adjusters lean on each other; pairs cost two laps
/// each.
#[test]
fn second_looks_and_pairs_are_rehearsed() {
    let field = Field::new();
    let steps = [
        TUNES.to_owned(),
        format!("{TUNES}  revisit every rebound\n"),
        format!("{TUNES}  confirm fork rebound, 5 pairs\n"),
    ];
    let reports = steps.map(|steps| {
        field.write("set.tune", set("  method narrow\n", &steps));
        json(&field, &["--coupling", "0.6", "--rides", "5000"])
    });
    let standard =
        |key: &[&str]| [0, 1, 2].map(|report: usize| at(&reports[report]["riders"]["steady"], key));
    let [once, again, paired] = standard(&["laps", "mean"]);
    assert!(again > once + 1.0, "{once} {again}");
    // no pairs where fork rebound stays at its start
    assert!(paired > once + 5.0 && paired <= once + 10.0, "{once} {paired}");
    let [once, again, _] = standard(&["adjusters", "fork rebound", "within_one"]);
    assert!(again > once + 0.05, "{once} {again}");
}

#[test]
fn reports_are_valid_by_their_schema() {
    let field = Field::new();
    let sets = [
        ("plain", set("", TUNES)),
        ("advice", set("  method cross-out\n", TUNES)),
        ("cut", set("  at most 9 laps\n", TUNES)),
        ("timeless", set("", TUNES).replace("  lap 4 min\n", "")),
        ("nothing", set("", "")),
        ("pairs", set("", "  tune fork rebound\n  confirm everything, 5 pairs\n")),
    ];
    let mut paths = Vec::new();
    for (name, text) in sets {
        field.write("set.tune", text);
        let ran = rehearse(&field, &["--report", "json", "--coupling", "0.3"]).ends(0);
        assert_eq!(report(&ran)["advice"].as_array().unwrap().is_empty(), name == "nothing", "{}", ran.out);
        field.write(&format!("{name}.json"), &ran.out);
        paths.push(field.path(&format!("{name}.json")));
    }
    let count = paths.len();
    let [script, schema] =
        ["tests/outside/validate.py", "grammar/rehearsal.schema.json"].map(|path| project().join(path));
    let printed = said(Command::new(python()).arg(script).arg(schema).args(paths));
    assert_eq!(printed.trim(), format!("{count} valid"));
}

/// A long rehearsal in a terminal of 38 columns, until it tells how far it is.
fn long_rehearsal(field: &Field, more: &str) -> rexpect::session::PtySession {
    let script = format!(
        "stty cols 38 rows 20; exec '{}' rehearse set.tune --rides 10000000 {more}",
        program().display()
    );
    let mut command = Command::new("sh");
    command.args(["-c", &script]).current_dir(field.path(".")).env("LANG", "C").env("NO_COLOR", "1");
    let mut session = rexpect::session::spawn_command(command, Some(60_000)).unwrap();
    session.exp_string("of 10,000,000 rides").unwrap();
    session
}

/// What is told then, and the status.
fn stopped(mut session: rexpect::session::PtySession) -> (String, i32) {
    session.send_control('c').unwrap();
    let screen = session.exp_eof().unwrap();
    let rexpect::process::WaitStatus::Exited(_, status) = session.process().wait().unwrap() else {
        panic!("it was not ended by itself:\n{screen}")
    };
    (screen, status)
}

/// What has been ridden is the result, and it is what so many rides come to in the first place.
#[test]
fn a_long_rehearsal_says_how_far_it_is_and_ctrl_c_ends_it_with_its_result() {
    let field = Field::with(&[("set.tune", &set("", TUNES))]);
    let (screen, status) = stopped(long_rehearsal(&field, "--report json > stopped.json"));
    assert_eq!(status, 4, "{screen}");
    let mut report: Value = serde_json::from_str(&field.read("stopped.json")).unwrap();
    assert_eq!((&report["stopped"], &report["advice"]), (&Value::Bool(true), &serde_json::json!([])));
    let each = at(&report, &["riders", "steady", "rides"]);
    assert!((1.0..2_000_000.0).contains(&each), "{each}");
    let mut whole = json(&field, &["--rides", &format!("{}", each * 5.0)]);
    assert_eq!(whole["stopped"], false);
    for report in [&mut report, &mut whole] {
        for key in ["stopped", "advice"] {
            report[key].take();
        }
    }
    assert_eq!(report, whole);

    let (screen, status) = stopped(long_rehearsal(&field, ""));
    assert_eq!(status, 4, "{screen}");
    let told = screen.contains("Stopped early: this is the") && screen.contains("of 10,000,000 rides,");
    assert!(told && screen.contains("How many laps it takes"), "{screen}");
    for line in screen.split(['\r', '\n']) {
        assert!(line.chars().count() <= 38, "too long: {line}\n{screen}");
    }
}
