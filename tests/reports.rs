//! Reports for machines: valid by their schemas, and the same as what people read; repairs do what they
//! say and nothing else.

use std::process::Command;

use clickwise::problem::{Code, explanations};

use crate::physics::{python, said};
use crate::support::{Field, Ran, project};

/// Every text that the tests know with a problem in it: the cases of `tests/check`, the examples of every
/// code, and a few that are no text.
fn cases() -> Vec<(String, Vec<u8>)> {
    let mut cases = Vec::new();
    for entry in std::fs::read_dir(project().join("tests/check")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "tune") {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            cases.push((name, std::fs::read(path).unwrap()));
        }
    }
    for (name, explanation) in explanations() {
        cases.push((format!("good-{name}"), explanation.good.into_bytes()));
        cases.extend(explanation.bad.map(|bad| (format!("bad-{name}"), bad.into_bytes())));
    }
    cases.push(("no-text".to_owned(), b"bike \"B\xfcche\"\n".to_vec()));
    cases.push(("empty".to_owned(), Vec::new()));
    cases.push(("wide".to_owned(), "bike “Bücher 𐐀”\npart fork\n\u{a0}rebuond 18 to 0 clicks\n".into()));
    cases.sort();
    cases
}

fn check(field: &Field, arguments: &[&str]) -> Ran {
    field.run(&[&["check", "set.tune"], arguments].concat())
}

#[test]
fn every_report_is_valid_and_says_what_people_read() {
    let field = Field::new();
    let (mut json, mut sarif) = (Vec::new(), Vec::new());
    for (name, text) in cases() {
        field.write("set.tune", &text);
        let human = check(&field, &[]);
        let places: Vec<&str> = human.err.lines().filter(|line| line.starts_with("set.tune:")).collect();
        let ran = check(&field, &["--report", "json"]).ends(human.status);
        assert!(ran.err.is_empty(), "{name}: {}", ran.err);
        let report: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        let problems = report["problems"].as_array().unwrap();
        let told: Vec<String> = problems
            .iter()
            .map(|problem| {
                let word = |key: &str| problem[key].as_str().unwrap().to_owned();
                format!(
                    "{}:{}:{}: {} {}",
                    word("file"),
                    problem["line"],
                    problem["column"],
                    word("severity"),
                    word("code")
                )
            })
            .collect();
        assert_eq!(told, places, "{name}");
        field.write(&format!("{name}.json"), &ran.out);
        json.push(field.path(&format!("{name}.json")));
        let ran = check(&field, &["--report", "sarif"]).ends(human.status);
        let log: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        let results = log["runs"][0]["results"].as_array().unwrap();
        let codes = |values: &[serde_json::Value], key: &str| -> Vec<String> {
            values.iter().map(|value| value[key].as_str().unwrap().to_owned()).collect()
        };
        assert_eq!(codes(results, "ruleId"), codes(problems, "code"), "{name}");
        field.write(&format!("{name}.sarif"), &ran.out);
        sarif.push(field.path(&format!("{name}.sarif")));
    }
    for (schema, files) in
        [("grammar/report.schema.json", json), ("tests/outside/sarif-schema-2.1.0.json", sarif)]
    {
        let script = project().join("tests/outside/validate.py");
        let count = files.len();
        let printed = said(Command::new(python()).arg(script).arg(project().join(schema)).args(files));
        assert_eq!(printed.trim(), format!("{count} valid"));
    }
}

#[test]
fn fifteen_mistakes_are_repaired_in_one_go() {
    let broken = "bike “Hill bike”\n\
        part frok\n  \
          travel 150   # the comment stays\n  \
          rebuond 18 to 0 clicks start 9,\n  \
          compression 0 to 12 clikcs, setp 2 clicks\n  \
          spacers 0 to 4\n\
        shock\n  \
          coil 500 or 450 lb/in\n  \
          stroke 55,5 mm\n\
        ridr \"Mo\"\n  \
          weihgt 78,5 kg\n\
        steps\n  \
          ride 1 lap\n  \
          tune every rebound,, at most 6 laps\n  \
          tune every compression, tyr firmer first\n";
    let field = Field::with(&[("set.tune", broken)]);
    let before = check(&field, &["--report", "json"]).ends(1);
    let report: serde_json::Value = serde_json::from_str(&before.out).unwrap();
    let problems = report["problems"].as_array().unwrap();
    let repairs = problems.iter().filter(|problem| problem.get("fix").is_some()).count();
    assert!(repairs >= 15 && repairs == problems.len(), "{repairs} of {}: {}", problems.len(), before.out);
    let ran = check(&field, &["--fix"]).ends(0);
    let left: Vec<&str> = ran.err.lines().filter(|line| line.contains(": error ")).collect();
    assert!(left.is_empty(), "{}", ran.err);
    let repaired = "bike \"Hill bike\"\n\
        part fork\n  \
          travel 150 mm   # the comment stays\n  \
          rebound 0 to 18 clicks, start 9\n  \
          compression 0 to 12 clicks, step 2 clicks\n  \
          spacers 0 to 4 spacers\n\
        part shock\n  \
          coil 450 or 500 lb/in\n  \
          stroke 55.5 mm\n\
        rider \"Mo\"\n  \
          weight 78.5 kg\n\
        steps\n  \
          ride 1 lap\n  \
          tune every rebound, at most 6 laps\n  \
          tune every compression, try firmer first\n";
    assert_eq!(field.read("set.tune"), repaired);
}

/// Each repair clears its own problem and changes nothing else.
#[test]
fn every_repair_clears_its_problem_and_brings_no_other() {
    let field = Field::new();
    let mut repaired = 0;
    for code in Code::ALL {
        let Some(bad) = code.explanation().and_then(|explanation| explanation.bad) else { continue };
        field.write("set.tune", &bad);
        let report: serde_json::Value =
            serde_json::from_str(&check(&field, &["--report", "json"]).out).unwrap();
        if report["problems"].as_array().unwrap().iter().all(|problem| problem.get("fix").is_none()) {
            continue;
        }
        let ran = check(&field, &["--fix"]);
        assert!(!ran.err.contains(code.name()), "{}: {}", code.name(), ran.err);
        let left: Vec<&str> =
            ran.err.lines().filter(|line| line.starts_with("set.tune:") && line.contains(": ")).collect();
        let told: Vec<_> = left.iter().filter(|line| !line.contains("fix")).collect();
        assert!(told.is_empty(), "{}: {told:?}", code.name());
        repaired += 1;
    }
    assert!(repaired >= 11, "{repaired}");
}
