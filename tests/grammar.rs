//! The grammar is true: lines drawn from it are read without a complaint, what is read without a complaint is
//! one of its lines, and the page that describes it is printed from it. `CLICKWISE_LINES=600` tries more lines.

#[path = "grammar/corpus.rs"]
mod corpus;
#[path = "grammar/drawn.rs"]
mod drawn;
#[path = "grammar/ebnf.rs"]
mod ebnf;
#[path = "grammar/known.rs"]
mod known;
#[path = "grammar/page.rs"]
mod page;
#[path = "grammar/recogniser.rs"]
pub mod recogniser;
#[path = "grammar/rules.rs"]
mod rules;

use std::collections::BTreeSet;

use clickwise::problem::is_harmful;
use clickwise::vocabulary::{ENTRIES, HEADINGS, Heading};
use corpus::{alone, broken, changed, each_changed, lines, pool, shapes};
use drawn::{Drawn, Source};
use known::Known;
use recogniser::{Cut, Recogniser, complaints};
use rules::{Rules, clause_rule, entry_rule, heading_rule};

use crate::support::project;

/// How many times each line is changed; other numbers of lines go with it.
fn rounds() -> usize {
    std::env::var("CLICKWISE_LINES").map_or(10, |rounds| rounds.parse().unwrap())
}

/// How the two sides differ over a text, where they do, and nobody knows of it.
fn differ(recogniser: &Recogniser, text: &str, met: &mut BTreeSet<Known>) -> Option<String> {
    let (told, recognised) = (complaints(text), recogniser.recognises(text));
    if told.is_empty() == recognised.is_ok() {
        return None;
    }
    let known = Known::of(text, &told, recognised.is_ok());
    met.extend(known);
    known.is_none().then(|| format!("{text:?}: told {told:?}, {recognised:?}"))
}

/// So many lines that the grammar recognises, drawn from a rule, each below a heading.
fn lines_of(
    rule: &str,
    heading: Heading,
    count: usize,
    drawn: &mut Drawn,
    on: (&Recogniser, &Source),
) -> Vec<String> {
    let mut lines = Vec::new();
    let mut tried = 0;
    while lines.len() < count {
        tried += 1;
        let text = format!("{}\n{}", heading.row().example, on.1.rule(rule, drawn));
        if on.0.recognises(&text).is_ok() {
            lines.push(text);
        }
        assert!(tried < 4 * count + 100, "{rule}: {} lines of {tried}", lines.len());
    }
    lines
}

#[test]
fn what_the_grammar_has_is_read_without_a_complaint() {
    let rules = Rules::read();
    let (recogniser, source) = (Recogniser::of(&rules), Source::of(&rules.all));
    let mut drawn = Drawn::of(1);
    let mut wrong = Vec::new();
    let mut go_on = 0;
    for row in HEADINGS {
        let entry = row.heading.has_entries().then(|| (entry_rule(row.heading), 40 * rounds()));
        for (rule, count) in [(heading_rule(row.heading), 5 * rounds())].into_iter().chain(entry) {
            for text in lines_of(&rule, row.heading, count, &mut drawn, (&recogniser, &source)) {
                let told = complaints(&text);
                if !told.is_empty() {
                    wrong.push(format!("{text:?}: {told:?}"));
                }
                let Some(broken) = broken(&text, row.heading, &recogniser, &mut drawn) else { continue };
                go_on += 1;
                let (told, cut) = (complaints(&broken), recogniser.cut(&broken).len());
                if !told.is_empty() || cut != 2 {
                    wrong.push(format!("{broken:?}: {told:?}, {cut} lines"));
                }
            }
        }
    }
    fails(&wrong);
    assert!(go_on > 50 * rounds(), "only {go_on} lines go on");
}

#[test]
fn what_is_read_without_a_complaint_is_in_the_grammar() {
    let recogniser = Recogniser::of(&Rules::read());
    let lines = lines(&recogniser);
    let pool = pool(&lines);
    let mut drawn = Drawn::of(2);
    let (mut met, mut read, mut told) = (BTreeSet::new(), 0, 0);
    let mut wrong: Vec<String> =
        lines.iter().filter_map(|line| differ(&recogniser, &alone(line), &mut met)).collect();
    for _ in 0..rounds() {
        for line in &lines {
            let text = alone(&changed(line, &pool, &mut drawn));
            *(if complaints(&text).is_empty() { &mut read } else { &mut told }) += 1;
            wrong.extend(differ(&recogniser, &text, &mut met));
        }
    }
    fails(&wrong);
    // changed lines are of both kinds
    println!("{} lines; changed, {read} are read and {told} are told of", lines.len());
    assert!(
        lines.len() > 500 && read > 50 * rounds() && told > 50 * rounds(),
        "{} {read} {told}",
        lines.len()
    );
}

/// A form that only one side takes, or no more, is near to one of these.
#[test]
fn every_shape_of_a_line_is_the_same_with_each_of_its_pieces_changed() {
    let rules = Rules::read();
    let (recogniser, source) = (Recogniser::of(&rules), Source::of(&rules.all));
    let mut drawn = Drawn::of(3);
    let mut sound = lines(&recogniser);
    for row in HEADINGS.iter().filter(|row| row.heading.has_entries()) {
        let (rule, on) = (entry_rule(row.heading), (&recogniser, &source));
        let texts = lines_of(&rule, row.heading, 100, &mut drawn, on);
        sound.extend(texts.iter().flat_map(|text| recogniser.cut(text)));
    }
    // every clause behind every entry that takes it
    for entry in ENTRIES {
        for clause in entry.clauses.iter().flat_map(|clause| vec![clause_rule(*clause); 12]) {
            let text = format!("{}, {}", entry.example, source.rule(&clause, &mut drawn));
            sound.push(Cut { under: Some(entry.under.row().word), text });
        }
    }
    sound.retain(|line| recogniser.line(line).is_ok());
    let shapes = shapes(sound);
    let (mut met, mut wrong, mut tried) = (BTreeSet::new(), Vec::new(), 0);
    for line in shapes.iter().flat_map(each_changed) {
        tried += 1;
        wrong.extend(differ(&recogniser, &alone(&line), &mut met));
    }
    println!("{} shapes, {tried} lines", shapes.len());
    fails(&wrong);
    assert!(shapes.len() > 200, "only {} shapes", shapes.len());
}

#[track_caller]
fn fails(wrong: &[String]) {
    assert!(wrong.is_empty(), "{} lines, such as {:#?}", wrong.len(), &wrong[..wrong.len().min(20)]);
}

/// `tune.pest` says by numbers which characters nobody can see.
#[test]
fn the_same_characters_are_hidden() {
    let recogniser = Recogniser::of(&Rules::read());
    let is_edge = |c: char| {
        let near = |number: Option<u32>| number.and_then(char::from_u32).is_some_and(is_harmful);
        near(u32::from(c).checked_sub(1)) || near(u32::from(c).checked_add(1))
    };
    for c in ('\0'..=char::MAX).filter(|&c| is_harmful(c) || is_edge(c)) {
        assert_eq!(recogniser.is_hidden(c), is_harmful(c), "{c:?}");
    }
}

/// A difference that is no more is to be taken off the list.
#[test]
fn every_known_difference_is_one() {
    let recogniser = Recogniser::of(&Rules::read());
    let mut met = BTreeSet::new();
    for text in [
        "steps\n  tune every rebound #t most 6 laps",
        "part fork\n  lockout open or h\u{430}lf",
        "part fork\n  lockout open or ha\u{34F}lf",
        "part for\u{212A}",
    ] {
        let unknown = differ(&recogniser, text, &mut met);
        assert_eq!(unknown, None);
        assert_ne!(
            complaints(text).is_empty(),
            recogniser.recognises(text).is_ok(),
            "{text:?}: no difference"
        );
    }
    assert!(met.into_iter().eq(Known::ALL));
}

/// `INSTA_UPDATE=always` writes the page anew.
#[test]
fn the_page_of_the_grammar_is_printed_from_it() {
    let printed = page::page(&Rules::read());
    let path = project().join("grammar/grammar.md");
    if std::env::var("INSTA_UPDATE").is_ok_and(|update| update == "always") {
        std::fs::write(&path, &printed).unwrap();
    }
    let wide: Vec<_> = printed.lines().filter(|line| line.chars().count() > ebnf::WIDTH).collect();
    assert!(wide.is_empty(), "{wide:#?}");
    assert_eq!(std::fs::read_to_string(path).unwrap(), printed, "grammar/grammar.md is out of date");
}
