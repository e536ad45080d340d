//! The house itself: who may use whom, how long a file may be, and where the world may be touched.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::support::project;

/// The rooms from the ground up. A room uses only rooms that stand before it.
const FLOORS: [&str; 19] = [
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
    "disk",
    "record",
    "rehearsal",
    "engine",
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
pub fn code() -> Vec<(String, String)> {
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

/// Every path of a text that begins with `crate`, `super` or `self`, however it is spelt: groups in braces are
/// spread out, and each path comes as its parts.
fn paths(text: &str) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    for first in ["crate", "super", "self"] {
        for (at, _) in text.match_indices(&format!("{first}::")) {
            let glued =
                text[..at].chars().next_back().is_some_and(|c| c.is_alphanumeric() || "_:".contains(c));
            if !glued {
                spread(&text[at..], &[], &mut found);
            }
        }
    }
    found
}

/// Reads one path, and gives what is behind it.
fn spread<'a>(text: &'a str, before: &[String], found: &mut Vec<Vec<String>>) -> &'a str {
    let text = text.trim_start();
    if let Some(mut rest) = text.strip_prefix('{') {
        loop {
            rest = rest.trim_start().trim_start_matches(',').trim_start();
            match rest.chars().next() {
                None => return rest,
                Some('}') => return &rest[1..],
                Some('{' | '*' | 'a'..='z' | 'A'..='Z' | '_') => rest = spread(rest, before, found),
                Some(other) => rest = &rest[other.len_utf8()..],
            }
        }
    }
    let end = text.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(text.len());
    let mut path = before.to_vec();
    path.push(text[..end].to_owned());
    match text[end..].strip_prefix("::") {
        Some(rest) if end > 0 => spread(rest, &path, found),
        _ => {
            found.push(path);
            text.get(end.max(text.chars().next().map_or(0, char::len_utf8))..).unwrap_or("")
        }
    }
}

/// The modules of a file's path: `check/steps/tune.rs` is `check`, `steps`, `tune`.
fn modules(name: &str) -> Vec<String> {
    let name = name.trim_end_matches(".rs").trim_end_matches("/mod");
    name.split('/').map(str::to_owned).collect()
}

/// What the head of a folder hands on from its files: the names, each with its file.
type HandedOn = BTreeMap<(Vec<String>, String), Vec<String>>;

fn handed_on(code: &[(String, String)], files: &[Vec<String>]) -> HandedOn {
    let mut handed_on = HandedOn::new();
    for ((_, text), head) in code.iter().zip(files) {
        for line in text.split("use ").skip(1) {
            let mut found = Vec::new();
            spread(line, &[], &mut found);
            for path in found {
                let [file, .., name] = &path[..] else { continue };
                let file: Vec<String> = head.iter().chain([file]).cloned().collect();
                if files.contains(&file) {
                    handed_on.insert((head.clone(), name.clone()), file);
                }
            }
        }
    }
    handed_on
}

/// The file to which a path leads from the file `from`, where it leads to one: the longest beginning that is a
/// module, or the file from which its head hands the name on.
fn leads_to(
    from: &[String],
    path: &[String],
    files: &[Vec<String>],
    handed_on: &HandedOn,
) -> Option<Vec<String>> {
    let mut at: Vec<String> = from.to_vec();
    let mut parts = path.iter().peekable();
    match parts.next()?.as_str() {
        "crate" => at.clear(),
        "super" => {
            at.pop();
            while parts.next_if(|part| *part == "super").is_some() {
                at.pop();
            }
        }
        _ => {}
    }
    let mut found = files.contains(&at).then(|| at.clone());
    for part in parts {
        if let Some(file) = handed_on.get(&(at.clone(), part.clone())) {
            return Some(file.clone());
        }
        at.push(part.clone());
        if files.contains(&at) {
            found = Some(at.clone());
        }
    }
    found
}

#[test]
fn paths_are_seen_in_every_spelling() {
    let text = "use super::{a::{B, c::D}, e, self};\nuse crate::check::values::found;\nlet x = super::super::f::g(1);";
    let found: Vec<String> = paths(text).into_iter().map(|path| path.join("::")).collect();
    for path in
        ["super::a::B", "super::a::c::D", "super::e", "crate::check::values::found", "super::super::f::g"]
    {
        assert!(found.iter().any(|found| found == path), "{path} is not among {found:?}");
    }
    let files: Vec<Vec<String>> =
        ["check/mod.rs", "check/values.rs", "check/steps/mod.rs", "check/steps/tune.rs"]
            .map(modules)
            .to_vec();
    let from = modules("check/steps/tune.rs");
    let code = [("check/mod.rs".to_owned(), "pub use values::{found, whole};\n".to_owned())];
    let heads = [modules("check/mod.rs")];
    let handed_on: HandedOn =
        handed_on(&code, &files).into_iter().filter(|((head, _), _)| heads.contains(head)).collect();
    let leads = |path: &str| {
        let path: Vec<String> = path.split("::").map(str::to_owned).collect();
        leads_to(&from, &path, &files, &handed_on)
    };
    assert_eq!(leads("crate::check::values::found"), Some(modules("check/values.rs")));
    assert_eq!(leads("super::super::values::found"), Some(modules("check/values.rs")));
    assert_eq!(leads("crate::check::whole"), Some(modules("check/values.rs")));
    assert_eq!(leads("super::Spreader"), Some(modules("check/steps/mod.rs")));
}

/// No files of the library use each other in a circle. What a file has from the head of its own folder (`mod.rs`)
/// is no edge: a folder is one thing, whose head its files share.
#[test]
fn no_files_use_each_other_in_a_circle() {
    let code = code();
    let files: Vec<Vec<String>> = code.iter().map(|(name, _)| modules(name)).collect();
    let handed_on = handed_on(&code, &files);
    let mut edges: BTreeMap<Vec<String>, Vec<Vec<String>>> = BTreeMap::new();
    for ((_, text), from) in code.iter().zip(&files) {
        let to = paths(text).into_iter().filter_map(|path| leads_to(from, &path, &files, &handed_on));
        let is_edge = |to: &Vec<String>| !from.starts_with(to) && !to.starts_with(from);
        edges.insert(from.clone(), to.filter(is_edge).collect());
    }
    for from in edges.keys() {
        let mut reached = edges[from].clone();
        let mut at = 0;
        while at < reached.len() {
            for next in &edges[&reached[at]] {
                if !reached.contains(next) {
                    reached.push(next.clone());
                }
            }
            at += 1;
        }
        assert!(!reached.contains(from), "{} is in a circle", from.join("/"));
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
        ["std::fs", "std::env", "std::io", "std::time", "std::thread", "std::process", "std::net", "::now()"];
    for (name, text) in code() {
        let allowed = name == "main.rs" || name.starts_with("command/") || name.starts_with("disk/");
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
