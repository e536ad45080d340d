//! Lines to try: those of the plans and of the files that the tests keep, with the slips that people make, and what
//! comes of them when pieces are dropped, doubled, swapped or replaced by chance.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use clickwise::language::tokens;
use clickwise::problem::Sources;
use clickwise::vocabulary::{HEADINGS, Heading, unit_named};

use crate::support::project;

use super::drawn::Drawn;
use super::recogniser::{Cut, Recogniser, Word};

/// Pieces that are easily misread, beside those that the lines themselves have.
const PIECES: [&str; 58] = [
    "-",
    "\u{2013}",
    "to",
    "or",
    "by",
    "at",
    "and",
    "in",
    ",",
    "?",
    "%",
    "450#",
    "#x",
    "# note",
    "\"open",
    "\u{201C}bent\u{201D}",
    "1.000",
    "1,5",
    "0-18",
    "-3",
    "1/0",
    "1/4",
    "1 1/4",
    "1 1/0",
    "1000000",
    "1000001",
    "0.1234567",
    "1.2.3",
    "half-open",
    "open/closed",
    "\"open/closed\"",
    ":",
    "=",
    ";",
    "\u{e9}",
    "FORK",
    "kpa",
    "\u{200B}",
    "\"a\u{200B}b\"",
    "\"\"",
    "if fitted",
    "everything",
    "spring",
    "springs",
    "start",
    "before",
    "middle",
    "psi",
    "bar",
    "kg",
    "laps",
    "faster",
    "at most 3 laps",
    "7 at 90 kg",
    "adjuster",
    "front tire",
    "lsr",
    "\u{2212}2",
];

fn files(folder: &Path, texts: &mut Vec<String>) {
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "tune"));
    texts.extend(paths.iter().map(|path| std::fs::read_to_string(path).unwrap()));
}

/// What stands in a file of slips, with each of them in its place.
fn slips(texts: &mut Vec<String>) {
    let folder = project().join("tests/slips");
    for name in ["bike", "plan", "rider"] {
        let sound = std::fs::read_to_string(folder.join(format!("{name}.tune"))).unwrap();
        for line in std::fs::read_to_string(folder.join(format!("{name}.tsv"))).unwrap().lines() {
            let fields: Vec<String> =
                line.split('\t').take(2).map(|field| serde_json::from_str(field).unwrap()).collect();
            assert!(sound.contains(&fields[0]), "{line}");
            texts.push(sound.replacen(&fields[0], &fields[1], 1));
        }
    }
}

/// Every line that is kept, once, below its heading.
pub fn lines(recogniser: &Recogniser) -> Vec<Cut> {
    let mut texts = Vec::new();
    for folder in ["plans", "tests/check", "tests/format", "tests/ride", "tests/complaints", "tests/slips"] {
        files(&project().join(folder), &mut texts);
    }
    slips(&mut texts);
    let cut: BTreeSet<Cut> = texts.iter().flat_map(|text| recogniser.cut(text)).collect();
    cut.into_iter().collect()
}

/// A line below its heading, as a text of its own.
pub fn alone(line: &Cut) -> String {
    let heading = HEADINGS.iter().find(|row| Some(row.word) == line.under);
    heading.map_or(String::new(), |row| format!("{}\n", row.example)) + &line.text
}

/// The pieces of a line, each with what is before it.
fn pieces(text: &str) -> Vec<(String, String)> {
    let mut sources = Sources::default();
    let id = sources.add("x", text);
    let mut at = 0;
    let found = tokens(id, text, 0).into_iter().map(|token| {
        let gap = text[at..token.span.start].to_owned();
        at = token.span.end;
        (gap, text[token.span.start..at].to_owned())
    });
    found.collect()
}

/// A text of a heading and a line, the line broken before some of the pieces that can go on from a line above; `None`
/// where there is no such piece.
pub fn broken(text: &str, heading: Heading, recogniser: &Recogniser, drawn: &mut Drawn) -> Option<String> {
    let (above, line) = text.split_once('\n')?;
    let mut pieces = pieces(line);
    let goes_on = |at: &usize| recogniser.goes_on(&pieces[*at].1, heading) && !pieces[*at].0.is_empty();
    let places: Vec<usize> = (1..pieces.len()).filter(goes_on).collect();
    for _ in 0..=drawn.below(2) {
        let place = places.get(drawn.below(places.len().max(1)))?;
        drawn.one(&["\n", "\n  ", "\n\n\t", " # said\n", "\r\n"]).clone_into(&mut pieces[*place].0);
    }
    let line: String = pieces.iter().flat_map(|(gap, piece)| [gap.as_str(), piece.as_str()]).collect();
    Some(format!("{above}\n{line}"))
}

/// Every piece that some line has, and those that are easily misread.
pub fn pool(lines: &[Cut]) -> Vec<String> {
    let of_lines = lines.iter().flat_map(|line| pieces(&line.text)).map(|(_, piece)| piece);
    let all: BTreeSet<String> = of_lines.chain(PIECES.map(str::to_owned)).collect();
    let mut pool: Vec<String> = all.into_iter().collect();
    // the line's own pieces are many; these are to come as often
    for _ in 0..4 {
        pool.extend(PIECES.map(str::to_owned));
    }
    pool
}

/// What each piece of a line is replaced by in turn: one of every kind, and every word that joins two others.
const OF_EACH_KIND: [&str; 18] = [
    "to", "or", "by", "at", "and", "in", "from", "-", ",", "?", "9", "\"t\"", "open", "every", "psi", "kg",
    "%", "faster",
];

/// Lines of one shape are alike but for their numbers, texts and units.
fn shape(line: &Cut) -> (Option<Word>, Vec<String>) {
    let like = |piece: String| match piece.trim_start_matches(['-', '\u{2212}']).chars().next() {
        Some('0'..='9') => "9".to_owned(),
        Some('"') => "\"t\"".to_owned(),
        _ => unit_named(&piece).map_or(piece.to_lowercase(), |unit| format!("{:?}", unit.kind())),
    };
    (line.under, pieces(&line.text).into_iter().map(|(_, piece)| like(piece)).collect())
}

/// One line of every shape that is short.
pub fn shapes(lines: impl IntoIterator<Item = Cut>) -> Vec<Cut> {
    let by_shape: BTreeMap<_, Cut> = lines.into_iter().map(|line| (shape(&line), line)).collect();
    by_shape.into_iter().filter(|(shape, _)| shape.1.len() <= 12).map(|(_, line)| line).collect()
}

/// The line with each of its pieces dropped, doubled, swapped with the next, and replaced by one of every kind.
pub fn each_changed(line: &Cut) -> Vec<Cut> {
    let sound = pieces(&line.text);
    let mut all = Vec::new();
    for at in 0..sound.len() {
        let mut add = |pieces: Vec<(String, String)>| {
            let text = pieces.iter().flat_map(|(gap, piece)| [gap.as_str(), piece.as_str()]).collect();
            all.push(Cut { under: line.under, text });
        };
        let mut dropped = sound.clone();
        dropped.remove(at);
        add(dropped);
        let mut doubled = sound.clone();
        doubled.insert(at, (" ".to_owned(), sound[at].1.clone()));
        add(doubled);
        for piece in OF_EACH_KIND {
            let mut replaced = sound.clone();
            piece.clone_into(&mut replaced[at].1);
            add(replaced);
        }
        if at + 1 < sound.len() {
            let mut swapped = sound.clone();
            (swapped[at].1, swapped[at + 1].1) = (sound[at + 1].1.clone(), sound[at].1.clone());
            add(swapped);
        }
    }
    all
}

/// The line with one or two of its pieces changed.
pub fn changed(line: &Cut, pool: &[String], drawn: &mut Drawn) -> Cut {
    let mut pieces = pieces(&line.text);
    for _ in 0..=drawn.below(2) {
        let Some(last) = pieces.len().checked_sub(1) else { break };
        let at = drawn.below(last + 1);
        match drawn.below(8) {
            0 => drop(pieces.remove(at)),
            1 => pieces.insert(at, pieces[at].clone()),
            2 if at < last => {
                let [one, other] = [at, at + 1].map(|at| pieces[at].1.clone());
                (pieces[at].1, pieces[at + 1].1) = (other, one);
            }
            3 => drawn.one(&["", " ", "\n  ", "\t", " # said\n"]).clone_into(&mut pieces[at].0),
            4 => pieces.insert(at, (" ".to_owned(), drawn.one(pool))),
            5 => pieces[at].1 = pieces[at].1.to_uppercase(),
            _ => pieces[at].1 = drawn.one(pool),
        }
    }
    let text: String = pieces.iter().flat_map(|(gap, piece)| [gap.as_str(), piece.as_str()]).collect();
    Cut { under: line.under, text }
}
