//! What a step and a clause cost: the files of the library that name them, counted and printed into the guide, so that
//! whoever adds one knows where to go, and sees it when a word begins to be everywhere.

use std::collections::BTreeMap;

use clickwise::vocabulary::{CLAUSES, Clause, ENTRIES, Entry, Heading};

use crate::house::code;
use crate::support::project;

/// The lines of the guide between which the tables are printed.
const MARKS: (&str, &str) = ("<!-- printed by tests/costs.rs -->\n", "<!-- printed so far -->\n");

/// The clauses whose field has a name that nothing else in these rooms has, each with that name.
const CLAUSES_BY_FIELD: [(Clause, &str); 7] = [
    (Clause::Try, "first_way"),
    (Clause::Within, "within"),
    (Clause::AtMost, "at_most"),
    (Clause::Feel, "feel"),
    (Clause::Between, "between"),
    (Clause::Blind, "blind"),
    (Clause::IfFitted, "if_fitted"),
];

/// The rooms in which a clause of a step has a meaning.
const ROOMS: [&str; 8] = ["vocabulary", "plan", "check", "session", "walk", "rehearsal", "record", "show"];

/// The most files that may name a step, so that one more costs nobody a day.
const MOST: usize = 18;

/// A code without what is in its texts.
fn without_texts(text: &str) -> String {
    let text = text.replace("'\"'", "").replace("\\\\", "").replace("\\\"", "");
    text.split('"').step_by(2).collect::<Vec<_>>().join("\"\"")
}

/// Whether a code names something, whole: a path; or a field, of something or between the braces of a type.
fn names(text: &str, name: &str) -> bool {
    let is_field = name.starts_with(char::is_lowercase);
    let is_part = |c: char| c.is_alphanumeric() || c == '_';
    text.match_indices(name).any(|(at, _)| {
        let (before, after) = (text[..at].trim_end(), &text[at + name.len()..]);
        let of_something = before.ends_with('.') && !after.starts_with('(');
        let in_braces = before.ends_with(['{', ',']) && after.starts_with([',', ':', ' ']);
        let is_whole = !text[..at].ends_with(is_part) && !after.starts_with(is_part);
        is_whole && (!is_field || of_something || in_braces || before.ends_with("pub"))
    })
}

/// The files that hold what a test of their text wants, by room.
fn files(holds: impl Fn(&str, &str) -> bool) -> BTreeMap<String, Vec<String>> {
    let mut found: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (name, text) in code() {
        if holds(&name, &without_texts(&text)) {
            let (room, file) = name.split_once('/').unwrap();
            found.entry(room.to_owned()).or_default().push(file.trim_end_matches(".rs").to_owned());
        }
    }
    found
}

fn row(word: &str, found: &BTreeMap<String, Vec<String>>) -> String {
    let count: usize = found.values().map(Vec::len).sum();
    let rooms = ROOMS.iter().filter_map(|room| Some(format!("`{room}`: {}", found.get(*room)?.join(", "))));
    let others = found.keys().filter(|room| !ROOMS.contains(&room.as_str()));
    let others = others.map(|room| format!("`{room}`: {}", found[room].join(", ")));
    format!("| {word} | {count} | {} |\n", rooms.chain(others).collect::<Vec<_>>().join("; "))
}

/// The tables as they are in the guide.
fn printed() -> String {
    let mut text = "\n| step | files | where |\n| --- | --- | --- |\n".to_owned();
    for entry in ENTRIES.iter().filter(|entry| entry.under == Heading::Steps) {
        let variant = format!("{:?}", entry.entry);
        let found = files(|name, text| {
            ["Step::", "Entry::"].iter().any(|kind| names(text, &format!("{kind}{variant}")))
                || name == "vocabulary/words.rs"
                || name.ends_with(&format!("/steps/{}.rs", entry.words))
        });
        let count: usize = found.values().map(Vec::len).sum();
        assert!(count <= MOST, "`{}` is named in {count} files: {found:?}", entry.words);
        text += &row(entry.words, &found);
    }
    text += "\n| clause | files | where |\n| --- | --- | --- |\n";
    for (clause, field) in CLAUSES_BY_FIELD {
        let words = CLAUSES.iter().find(|row| row.clause == clause).unwrap().words;
        let found = files(|name, text| {
            ROOMS.iter().any(|room| name.starts_with(&format!("{room}/"))) && names(text, field)
        });
        text += &row(words, &found);
    }
    text + "\n"
}

#[test]
fn the_guide_says_what_a_word_costs() {
    let path = project().join("DEVELOPERS.md");
    let guide = std::fs::read_to_string(&path).unwrap();
    let (before, rest) = guide.split_once(MARKS.0).unwrap();
    let (there, after) = rest.split_once(MARKS.1).unwrap();
    if std::env::var("INSTA_UPDATE").is_ok_and(|update| update == "always") {
        std::fs::write(&path, [before, MARKS.0, &printed(), MARKS.1, after].concat()).unwrap();
        return;
    }
    assert_eq!(there, printed(), "DEVELOPERS.md is out of date: INSTA_UPDATE=always cargo test costs");
}

/// Every step has a file of its own in the rooms where it is checked and ridden.
#[test]
fn a_step_is_a_file() {
    for entry in ENTRIES.iter().filter(|entry| entry.under == Heading::Steps) {
        let file = entry.words.replace(' ', "_");
        for room in ["check", "session"] {
            let path = project().join(format!("src/{room}/steps/{file}.rs"));
            assert!(path.is_file(), "{} is missing", path.display());
        }
    }
    assert!(ENTRIES.iter().any(|entry| entry.entry == Entry::Tune && entry.under == Heading::Steps));
}

#[test]
fn whole_names_are_counted() {
    assert!(names("match x { Step::Say(_) => 1 }", "Step::Say"));
    for text in ["Tune { feel, within, .. }", "{ within: None }", "pub within: u32", "tune.within.is_some()"]
    {
        assert!(names(text, "within"), "{text}");
    }
    for text in ["let within = 3;", "self.within(3)", "is_within", "x if within(10)"] {
        assert!(!names(text, "within"), "{text}");
    }
    for text in ["Step::Sayings", "MyStep::Say", "Step::", ""] {
        assert!(!names(text, "Step::Say"), "{text}");
    }
    assert_eq!(without_texts(r#"a("x \" within", '"', "y")"#), r#"a("", , "")"#);
}
