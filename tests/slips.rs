//! One slip of a finger: every character of every file in `plans/`, deleted, doubled or replaced.

use std::collections::{BTreeMap, BTreeSet};

use clickwise::check::check;
use clickwise::language::{Token, TokenKind, parse, tokens};
use clickwise::problem::{Code, Severity, Sources};

use crate::support::project;

/// What a slip puts in the place of a character.
const REPLACED_BY: [char; 7] = ['x', '9', ' ', ',', '"', '#', '\n'];

/// The sets in which a file is tried, in the place of the file of its kind: the first that makes a plan.
const SETS: [[&str; 3]; 5] = [
    ["first-setup", "green-trail", "mo"],
    ["junior-first", "small-bike", "ivo"],
    ["first-setup", "quarry-coil", "bram"],
    ["first-setup", "split-bike", "ana"],
    ["first-look", "hill-hardtail", "mo"],
];

/// What a set says: its plan, where it makes one, and its errors and warnings.
struct Said {
    plan: Option<String>,
    told: BTreeSet<String>,
    errors: bool,
}

fn read(name: &str) -> String {
    std::fs::read_to_string(project().join(format!("plans/{name}.tune"))).unwrap()
}

fn said(texts: &[String]) -> Said {
    let mut sources = Sources::default();
    for text in texts {
        sources.add("x", text);
    }
    let checked = check(&sources);
    let told = checked
        .problems
        .iter()
        .filter(|problem| problem.severity != Severity::Note || problem.code == Code::LineOff);
    let told = told.map(|problem| {
        let at = sources.get(problem.span.source).place(problem.span.start);
        format!("{} {}:{} {}", problem.code.name(), at.line, at.column, problem.message)
    });
    Said {
        told: told.collect(),
        errors: checked.has_errors(),
        plan: checked.plan.map(|plan| format!("{plan:?}")),
    }
}

/// A file in a set that makes a plan: the texts, and which of them the file is.
fn in_a_set(name: &str) -> (Vec<String>, usize) {
    let text = read(name);
    let at = ["steps\n", "bike \"", "rider \""].iter().position(|word| text.contains(word)).unwrap();
    for set in SETS {
        let mut names = set;
        names[at] = name;
        let texts: Vec<String> = names.iter().map(|name| read(name)).collect();
        if said(&texts).plan.is_some() {
            return (texts, at);
        }
    }
    panic!("no set for {name}")
}

/// Every slip at one character: what it does, and the text that comes of it.
fn slips(text: &str, at: usize, c: char) -> Vec<(String, String)> {
    let end = at + c.len_utf8();
    let with = |put: &str| format!("{}{put}{}", &text[..at], &text[end..]);
    let mut slips = vec![("deleted".to_owned(), with("")), ("doubled".to_owned(), with(&format!("{c}{c}")))];
    let others = REPLACED_BY.iter().filter(|other| **other != c);
    slips.extend(others.map(|other| (format!("as {other:?}"), with(&other.to_string()))));
    slips
}

/// What a place of a sound file is part of, where a slip may go unseen: a number, a name that a person
/// chose, or a text.
fn free_place(text: &str, at: usize) -> Option<(&'static str, std::ops::Range<usize>)> {
    let mut sources = Sources::default();
    let source = sources.add("x", text);
    let (tree, _) = parse(source, text);
    let touches = |token: &&Token| token.span.start <= at + 1 && at <= token.span.end;
    for line in &tree.lines {
        let named = sources.slice(line.span).trim_start();
        let named = named.starts_with("lockout") || named.starts_with("adjuster");
        for token in tokens(source, sources.slice(line.span), line.span.start).iter().filter(touches) {
            let (range, raw) = (token.span.start..token.span.end, sources.slice(token.span));
            match token.kind {
                TokenKind::Text => return Some(("text", range)),
                TokenKind::Number => return Some(("number", range)),
                TokenKind::Word if raw == "?" => return Some(("number", range)),
                TokenKind::Word if named && !["lockout", "adjuster", "or"].contains(&raw) => {
                    return Some(("name", range));
                }
                _ => {}
            }
        }
    }
    None
}

/// What slips at one file gave: those told in too many problems, those accepted with another plan where
/// nothing is a person's free choice, and the others by the piece that they change.
#[derive(Default)]
struct Tried {
    many: Vec<String>,
    silent: Vec<String>,
    accepted: BTreeMap<(usize, usize), (String, Vec<String>)>,
}

fn tried(name: &str) -> Tried {
    let (texts, which) = in_a_set(name);
    let sound = said(&texts);
    assert!(!sound.errors, "{name}");
    let text = texts[which].clone();
    let before: BTreeSet<&str> = sound.told.iter().map(|told| message_of(told)).collect();
    let mut tried = Tried::default();
    for (at, c) in text.char_indices() {
        let line = text[..at].matches('\n').count() + 1;
        let place = free_place(&text, at);
        for (slip, changed) in slips(&text, at, c) {
            let mut set = texts.clone();
            set[which].clone_from(&changed);
            let now = said(&set);
            let new: Vec<&String> =
                now.told.iter().filter(|told| !before.contains(message_of(told))).collect();
            if new.len() > 2 {
                tried.many.push(format!("{name}:{line} {c:?} {slip}: {new:#?}"));
            } else if new.is_empty() && now.plan.is_some() && now.plan != sound.plan {
                match &place {
                    None => tried.silent.push(format!("{name}:{line} {c:?} {slip}")),
                    Some((kind, range)) => {
                        let became = chunk(&changed, range.start, range.len());
                        let heading = format!("{name}:{line} {kind} {}", &text[range.clone()]);
                        let of_piece = tried.accepted.entry((range.start, range.end));
                        of_piece.or_insert_with(|| (heading, Vec::new())).1.push(became);
                    }
                }
            }
        }
    }
    tried
}

/// What stands at a place, about as long as what stood there, up to the next gaps.
fn chunk(text: &str, at: usize, length: usize) -> String {
    let begin = text[..at].rfind(char::is_whitespace).map_or(0, |gap| gap + 1);
    let from = (at + length).min(text.len());
    let end = text[from..].find(char::is_whitespace).map_or(text.len(), |gap| from + gap);
    text[begin..end].split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A problem without its place, which a slip may move.
fn message_of(told: &str) -> &str {
    told.splitn(3, ' ').nth(2).unwrap_or(told)
}

#[test]
fn a_slip_is_told_in_two_problems_at_most_or_changes_what_is_free() {
    let mut names: Vec<String> = std::fs::read_dir(project().join("plans"))
        .unwrap()
        .map(|entry| entry.unwrap().path().file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    names.sort();
    let (mut many, mut silent, mut shown) = (Vec::new(), Vec::new(), String::new());
    std::thread::scope(|scope| {
        let all: Vec<_> = names.iter().map(|name| scope.spawn(move || tried(name))).collect();
        for tried in all {
            let tried = tried.join().unwrap();
            many.extend(tried.many);
            silent.extend(tried.silent);
            for (heading, became) in tried.accepted.into_values() {
                let list = if heading.contains(" text ") {
                    format!("{} other texts", became.len())
                } else {
                    became.join(" | ")
                };
                shown += &format!("{heading}: {list}\n");
            }
        }
    });
    assert!(many.is_empty(), "{} slips told in more than two problems:\n{}", many.len(), many.join("\n"));
    assert!(silent.is_empty(), "slips that change the plan without a word:\n{}", silent.join("\n"));
    insta::with_settings!({
        snapshot_path => project().join("tests/check"),
        prepend_module_to_snapshot => false,
        omit_expression => true,
    }, {
        insta::assert_snapshot!("slips", shown);
    });
}
