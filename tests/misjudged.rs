//! Slips that people make in a bike, a plan, a rider, or a whole file: 446 of our own making, in `tests/slips/`. None
//! is silent unless it means what was meant, none is told twice, each is told on its own line, and every repair that
//! is offered is right. No outside source.
//!
//! A line of `bike.tsv`, `plan.tsv` or `rider.tsv` has what stands in the file of that name, what is typed instead,
//! and what a repair must come to: `=` what stood there, `~LINE` this line, `*` anything without a problem, `-` no
//! repair at all. A line of `set.tsv` has a name, a file and all of its text. `--nocapture` lists what falls short.

use std::collections::BTreeMap;

use clickwise::language::take_in;
use clickwise::plan::Plan;
use clickwise::problem::{Problem, Severity, Sources};
use clickwise::set::{InMemory, RepairedSet, Set};

use crate::support::project;

const FILES: [&str; 3] = ["bike", "plan", "rider"];

fn read(name: &str) -> String {
    std::fs::read_to_string(project().join("tests/slips").join(name)).unwrap()
}

/// How a slip falls short.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Short {
    Silent,
    ToldTwice,
    OtherLine,
    WrongRepair,
}

struct Slip {
    name: String,
    file: usize,
    text: String,
    /// The lines that differ, from the first to the last.
    lines: (usize, usize),
    want: String,
}

fn texts() -> [String; 3] {
    FILES.map(|file| read(&format!("{file}.tune")))
}

fn name(file: &str) -> String {
    format!("{file}.tune")
}

fn checked(texts: &[String; 3]) -> (InMemory, Set) {
    let files = InMemory::of(FILES.map(name).into_iter().zip(texts.clone()));
    let set = Set::gather(&files, &FILES.map(name)).unwrap();
    (files, set)
}

/// The problems that count: notes say what is as it should be.
fn problems(set: &Set) -> Vec<Problem> {
    set.found().iter().filter(|problem| problem.severity != Severity::Note).cloned().collect()
}

fn is_plan(set: &Set, meant: &Plan) -> bool {
    set.plan().is_some_and(|plan| **plan == *meant)
}

fn slips() -> Vec<Slip> {
    let base = texts();
    let mut slips = Vec::new();
    for (file, name) in FILES.iter().enumerate() {
        for line in read(&format!("{name}.tsv")).lines() {
            let fields: Vec<&str> = line.split('\t').collect();
            let [from, to] =
                [fields[0], fields[1]].map(|field| serde_json::from_str::<String>(field).unwrap());
            let at = base[file].find(&from).unwrap();
            let first = base[file][..at].matches('\n').count();
            let text = base[file].replacen(&from, &to, 1);
            let lines = (first, first + from.matches('\n').count().max(to.matches('\n').count()));
            slips.push(Slip { name: to, file, text, lines, want: fields[2].to_owned() });
        }
    }
    for line in read("set.tsv").lines() {
        let fields: Vec<&str> = line.split('\t').collect();
        let file = FILES.iter().position(|file| *file == fields[1]).unwrap();
        let text: String = serde_json::from_str(fields[2]).unwrap();
        let lines = (0, text.lines().count());
        slips.push(Slip { name: fields[0].to_owned(), file, text, lines, want: "=".to_owned() });
    }
    slips
}

fn judged(slip: &Slip, base: &[String; 3], meant: &Plan) -> Option<Short> {
    let mut texts = base.clone();
    texts[slip.file].clone_from(&slip.text);
    let (files, found) = checked(&texts);
    let told = problems(&found);
    let [problem] = &told[..] else {
        let is_meant = told.is_empty() && (is_plan(&found, meant) || slip.want == "*");
        return match told.len() {
            0 if is_meant => None,
            0 => Some(Short::Silent),
            _ => Some(Short::ToldTwice),
        };
    };
    let source = found.sources().get(problem.span.source);
    let line = source.place(problem.span.start).line - 1;
    if source.name() != name(FILES[slip.file]) || !(slip.lines.0..=slip.lines.1).contains(&line) {
        return Some(Short::OtherLine);
    }
    problem.fix.as_deref()?;
    // what a repair brings to light is repaired, too
    let source = problem.span.source;
    let RepairedSet { set: repaired, .. } = found.repaired(&files).unwrap();
    let text = repaired.sources().get(source).text();
    let right = problems(&repaired).is_empty()
        && match &*slip.want {
            "-" => false,
            "=" => is_plan(&repaired, meant),
            want => want.strip_prefix('~').is_none_or(|want| text.lines().any(|line| line.trim() == want)),
        };
    (!right).then_some(Short::WrongRepair)
}

/// How many still fall short; it is to come to nothing.
const STILL: usize = 0;

#[test]
fn slips_are_judged_rightly() {
    let base = texts();
    let (_, right) = checked(&base);
    assert!(problems(&right).is_empty(), "{:?}", problems(&right));
    let meant = right.plan().unwrap();
    let slips = slips();
    assert!(slips.len() >= 400, "{}", slips.len());
    let mut short: BTreeMap<Short, Vec<&str>> = BTreeMap::new();
    for slip in &slips {
        if let Some(how) = judged(slip, &base, meant) {
            short.entry(how).or_default().push(&slip.name);
        }
    }
    for (how, names) in &short {
        println!("{how:?}: {}\n  {}", names.len(), names.join("\n  "));
    }
    let count = short.values().map(Vec::len).sum::<usize>();
    assert_eq!(count, STILL, "of {} slips {count} fall short", slips.len());
}

/// Where a line has several slips, one run tells them all, and their repairs together come to what was meant. A
/// line of `several.tsv` has what stands in the bike's file, what is typed instead, and how many slips that are.
#[test]
fn several_slips_of_a_line_are_told_at_once() {
    let base = texts();
    let meant = checked(&base).1.plan().unwrap().clone();
    let mut short = Vec::new();
    for line in read("several.tsv").lines() {
        let fields: Vec<&str> = line.split('\t').collect();
        let [from, to] = [fields[0], fields[1]].map(|field| serde_json::from_str::<String>(field).unwrap());
        let mut texts = base.clone();
        texts[0] = texts[0].replacen(&from, &to, 1);
        assert_ne!(texts, base, "{from}");
        let (files, found) = checked(&texts);
        let told = problems(&found);
        let own = |problem: &Problem| {
            let place = found.sources().get(problem.span.source).place(problem.span.start);
            texts[0].lines().nth(place.line - 1).unwrap().trim() == to
        };
        let right = told.len().to_string() == fields[2] && told.iter().all(own);
        let fixes = told.iter().filter_map(|problem| problem.fix.as_deref());
        let repaired = found.apply(&files, fixes).unwrap();
        if !right || !is_plan(&repaired, &meant) {
            let told: Vec<String> = told.iter().map(|problem| problem.message.to_string()).collect();
            short.push(format!("{to}\n  {}\n{}", told.join("\n  "), repaired.texts()[0].1));
        }
    }
    assert!(short.is_empty(), "{}", short.join("\n"));
}

/// Of a file that is something else there is one message, which says what it is.
#[test]
fn a_file_of_another_kind_is_named() {
    for (bytes, what) in [
        (&b"%PDF-1.7\n%\xE2\xE3\xCF\xD3\n1 0 obj\n<< /Type /Catalog >>\n"[..], "a PDF document"),
        (b"%PDF-1.4\n1 0 obj\n", "a PDF document"),
        (b"\x89PNG\r\n\x1A\n\0\0\0\rIHDR", "a picture"),
        (b"\xFF\xD8\xFF\xE0\0\x10JFIF", "a picture"),
        (b"GIF89a\xF7\0\x80\n", "a picture"),
        (b"PK\x03\x04\x14\0\x06\0\x08\xE2", "a zip file"),
        (b"PK\x03\x04\x14\0\x06\0", "a zip file"),
        (b"{\\rtf1\\ansi bike \"B\"\\par part fork\\par}", "a word-processor document"),
        (b"<!DOCTYPE html>\n<html><body>bike \"B\"</body></html>\n", "a web page"),
        (b"bike: B\npart:\n  - fork:\n      rebound: 0 to 18 clicks\n", "a YAML file"),
        (b"[bike]\nname = \"B\"\n[fork]\nrebound = [0, 18]\n", "a configuration file"),
    ] {
        let mut sources = Sources::default();
        let told = take_in(&mut sources, "a.tune", bytes).1;
        let told: Vec<String> = told.iter().map(|problem| problem.message.to_string()).collect();
        assert!(told.len() == 1 && told[0].contains(what), "{what}: {told:?}");
    }
}
