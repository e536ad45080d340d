//! The house itself: who may use whom, how long a file may be, and where the world may be touched.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::support::project;

/// The rooms from the ground up. A room uses only rooms that stand before it.
const FLOORS: [&str; 17] = [
    "problem",
    "chance",
    "physics",
    "search",
    "vocabulary",
    "language",
    "layout",
    "plan",
    "check",
    "interview",
    "session",
    "walk",
    "set",
    "record",
    "rehearsal",
    "show",
    "command",
];

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// Each source with its path below `src` and its text without comments and tests.
fn code() -> Vec<(String, String)> {
    let root = project().join("src");
    sources(&root)
        .into_iter()
        .map(|path| {
            let text = std::fs::read_to_string(&path).unwrap();
            let text = text.split("#[cfg(test)]").next().unwrap();
            let lines = text.lines().filter(|line| !line.trim_start().starts_with("//"));
            let name = path.strip_prefix(&root).unwrap().to_string_lossy().replace('\\', "/");
            (name, lines.collect::<Vec<_>>().join("\n"))
        })
        .collect()
}

fn room(name: &str) -> Option<usize> {
    let room = name.split('/').next().unwrap();
    FLOORS.iter().position(|floor| *floor == room)
}

/// The words that follow each `crate::` of a text.
fn used(text: &str) -> Vec<&str> {
    text.split("crate::")
        .skip(1)
        .map(|rest| rest.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap())
        .collect()
}

#[test]
fn no_room_looks_upward() {
    for (name, text) in code() {
        let Some(floor) = room(&name) else { continue };
        for other in used(&text) {
            let Some(below) = FLOORS.iter().position(|floor| *floor == other) else {
                panic!("{name} uses crate::{other}, which is no room")
            };
            assert!(below <= floor, "{name} looks up to {other}");
        }
    }
}

/// The files of every folder, each with its text. A folder in it counts as one file, which uses what its own files
/// use outside.
fn folders() -> BTreeMap<String, BTreeMap<String, String>> {
    let mut folders: BTreeMap<String, BTreeMap<String, String>> = BTreeMap::new();
    for (name, text) in code() {
        let mut path: Vec<&str> = name.trim_end_matches(".rs").split('/').collect();
        let mut text = text;
        while let Some(file) = path.pop().filter(|_| !path.is_empty()) {
            *folders.entry(path.join("/")).or_default().entry(file.to_owned()).or_default() += &text;
            if file != "mod" {
                // what is in the folder itself is of no account outside
                let outside = text.replace("super::super::", "\u{1}").replace("super::", "");
                text = outside.replace('\u{1}', "super::");
            }
        }
    }
    folders
}

/// Whether files of one folder use each other in a circle, by their `use super::` and `super::` words.
#[test]
fn no_files_of_a_folder_use_each_other_in_a_circle() {
    for (room, files) in folders() {
        let uses = |text: &str, other: &str| {
            let whole =
                [format!("super::{other}::"), format!("use super::{other};"), format!("super::{{{other}")];
            whole.iter().any(|name| text.contains(name))
        };
        let edges: BTreeMap<&str, Vec<&str>> = files
            .iter()
            .filter(|(file, _)| *file != "mod")
            .map(|(file, text)| {
                let others = files.keys().map(String::as_str);
                (file.as_str(), others.filter(|other| other != file && uses(text, other)).collect())
            })
            .collect();
        for file in edges.keys() {
            let mut reached: Vec<&str> = edges[file].clone();
            let mut at = 0;
            while at < reached.len() {
                for next in edges.get(reached[at]).into_iter().flatten() {
                    if !reached.contains(next) {
                        reached.push(next);
                    }
                }
                at += 1;
            }
            assert!(!reached.contains(file), "{room}/{file} is in a circle: {reached:?}");
        }
    }
}

#[test]
fn files_are_short_and_say_what_they_own() {
    for path in sources(&project().join("src")) {
        let text = std::fs::read_to_string(&path).unwrap();
        let lines = text.lines().count();
        assert!(lines <= 400, "{}: {lines} lines", path.display());
        assert!(text.starts_with("//!"), "{} does not say what it owns", path.display());
    }
}

/// Only the top and the room of files touch clock, environment, files and terminal.
#[test]
fn the_world_is_touched_at_the_top_only() {
    const WORLD: [&str; 8] =
        ["std::fs", "std::env", "std::io", "std::time", "std::thread", "std::process", "std::net", "jiff::"];
    for (name, text) in code() {
        let allowed = name == "main.rs" || name.starts_with("command/") || name.starts_with("record/files");
        for world in WORLD {
            assert!(allowed || !text.contains(world), "{name} touches {world}");
        }
    }
}

/// What is worked out once is kept by whoever has it worked out, and handed in: below the top no global changes.
#[test]
fn no_global_changes_below_the_top() {
    const CHANGING: [&str; 6] = ["Mutex", "RwLock", "Once", "Cell", "Atomic", "mut "];
    for (name, text) in code() {
        if name.starts_with("command/") {
            continue;
        }
        assert!(!text.contains("thread_local!"), "{name}");
        let pieces = text.split("static ").collect::<Vec<_>>();
        for pair in pieces.windows(2).filter(|pair| !pair[0].ends_with('\'')) {
            let what = pair[1].split('=').next().unwrap();
            assert!(!CHANGING.iter().any(|word| what.contains(word)), "{name}: static {what}");
        }
    }
}

/// Words of the language stand in the vocabulary; nobody keeps a second list of adjusters or units.
#[test]
fn adjusters_and_units_are_named_in_one_place() {
    for (name, text) in code() {
        if name.starts_with("vocabulary/") {
            continue;
        }
        for word in ["\"low-speed rebound\"", "\"high-speed", "\"kPa\"", "\"lb/in\"", "\"N/mm\""] {
            assert!(!text.contains(word), "{name} spells {word}");
        }
    }
}
