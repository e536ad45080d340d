//! Every code has an explanation whose bad example has the problem and whose good one has not; the page
//! of words says what the vocabulary says.

use std::collections::BTreeMap;

use clickwise::check::check;
use clickwise::language::take_in;
use clickwise::problem::{Code, Sources, explanations};
use clickwise::vocabulary::{CLAUSES, ENTRIES};

use crate::support::{Field, project};

/// The codes that `check` tells for a text, by name.
fn codes(bytes: &[u8]) -> Vec<String> {
    let field = Field::new();
    field.write("set.tune", bytes);
    let ran = field.run(&["check", "set.tune"]);
    let places = ran.err.lines().filter(|line| line.starts_with("set.tune:"));
    places.filter_map(|line| line.split_whitespace().last()).map(str::to_owned).collect()
}

/// The bad side of those whose example would be too long for a table, or is no text.
fn made(code: &str) -> Option<Vec<u8>> {
    Some(match code {
        "line-too-long" => format!("bike \"{}\"", "x".repeat(10_001)).into_bytes(),
        "file-too-long" => format!("bike \"B\"\n{}loop \"T\"\n", "#\n".repeat(100_000)).into_bytes(),
        "too-many-adjusters" => {
            let lines: Vec<_> =
                (0..101).map(|number| format!("  adjuster \"a{number}\" 0 to 4 clicks")).collect();
            format!("bike \"B\"\npart fork\n{}", lines.join("\n")).into_bytes()
        }
        "plan-too-long" => {
            let steps = "  say \"Go\"\n".repeat(2002);
            format!("bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n{steps}").into_bytes()
        }
        "encoding-unknown" => b"bike \"B\xfcche\"\n".to_vec(),
        // tests/includes.rs has a chain of 150 files
        "use-too-many" => return None,
        _ => return None,
    })
}

#[test]
fn every_code_is_explained_and_its_examples_are_true() {
    let explained = explanations();
    let names: Vec<&str> = Code::ALL.iter().map(|code| code.name()).collect();
    let strangers: Vec<_> = explained.keys().filter(|name| !names.contains(&name.as_str())).collect();
    assert!(strangers.is_empty(), "no such code: {strangers:?}");
    let mut wrong: BTreeMap<&str, String> = BTreeMap::new();
    for name in names {
        let Some(explanation) = explained.get(name) else {
            wrong.insert(name, "is not explained".to_owned());
            continue;
        };
        let bad = explanation.bad.clone().map(String::into_bytes).or_else(|| made(name));
        match bad {
            Some(bad) => {
                let told = codes(&bad);
                if told != [name] {
                    wrong.insert(name, format!("bad example gives {told:?}"));
                }
            }
            None if name == "use-too-many" => {}
            None => {
                wrong.insert(name, "has no bad example".to_owned());
            }
        }
        let told = codes(explanation.good.as_bytes());
        if !told.iter().all(|code| code == "file-empty") {
            wrong.insert(name, format!("good example gives {told:?}"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// A message that only points at its place is marked so: `clickwise new` has no place to show and quotes what is there.
#[test]
fn messages_that_point_are_marked() {
    let mut texts: Vec<String> = Vec::new();
    for folder in ["check", "complaints", "misjudged", "slips"] {
        let Ok(entries) = std::fs::read_dir(project().join("tests").join(folder)) else { continue };
        let paths = entries.map(|entry| entry.unwrap().path());
        texts.extend(paths.filter_map(|path| std::fs::read_to_string(path).ok()));
    }
    texts.extend(explanations().into_values().filter_map(|explanation| explanation.bad));
    let mut pointing = BTreeMap::new();
    for text in texts {
        let mut sources = Sources::default();
        let (id, mut problems) = take_in(&mut sources, "set.tune", text.as_bytes());
        if sources.get(id).text().len() == text.len() {
            problems.extend(check(&sources).problems);
        }
        for problem in problems {
            // what is about a whole file has no place to point at
            let whole = [Code::FileForeign, Code::FileEmpty, Code::FileTooLong, Code::EncodingUnknown]
                .contains(&problem.code);
            assert!(whole || problem.points == problem.message.starts_with("this "), "{problem:?}\n{text}");
            *pointing.entry(problem.code).or_insert(0) += i32::from(problem.points);
        }
    }
    let kinds = pointing.values().filter(|count| **count > 0).count();
    assert!(kinds >= 20, "only {kinds} kinds of problems point: {pointing:?}");
}

#[test]
fn explain_knows_every_code_and_the_nearest() {
    let field = Field::new();
    for code in Code::ALL {
        let ran = field.run(&["explain", code.name()]).ends(0);
        assert!(ran.out.starts_with(code.name()) && ran.out.contains("Right:"), "{}", ran.out);
        assert!(ran.out.chars().all(|c| c == '\n' || !c.is_control()), "{}", ran.out);
    }
    let ran = field.run(&["explain", "range-bakwards"]).ends(2);
    assert!(ran.err.contains("did you mean `range-backwards`?"), "{}", ran.err);
}

/// `INSTA_UPDATE=always` writes the page anew.
#[test]
fn the_page_of_words_is_what_the_program_prints() {
    let printed = Field::new().run(&["words"]).ends(0).out;
    let path = project().join("grammar/words.md");
    if std::env::var("INSTA_UPDATE").is_ok_and(|update| update == "always") {
        std::fs::write(&path, &printed).unwrap();
    }
    assert_eq!(std::fs::read_to_string(path).unwrap(), printed, "grammar/words.md is out of date");
}

/// A clause that no entry takes, or a code that nobody tells, would mean nothing.
#[test]
fn every_clause_is_taken_and_every_code_is_told() {
    for row in CLAUSES {
        let is_taken = ENTRIES.iter().any(|entry| entry.clauses.contains(&row.clause));
        assert!(is_taken, "no entry takes the clause {:?}", row.clause);
    }
    let told = sources(&project().join("src"));
    for code in Code::ALL {
        let name = format!("Code::{code:?}");
        let is_told = |text: &String| {
            let ends = |at: usize| !text[at + name.len()..].starts_with(|c: char| c.is_alphanumeric());
            text.match_indices(&name).any(|(at, _)| ends(at))
        };
        assert!(told.iter().any(is_told), "nobody tells {}", code.name());
    }
}

/// The texts of all sources below a folder, but for the table of codes itself.
fn sources(folder: &std::path::Path) -> Vec<String> {
    let mut texts = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            texts.extend(sources(&path));
        } else if !path.ends_with("problem/code.rs") {
            texts.push(std::fs::read_to_string(path).unwrap());
        }
    }
    texts
}
