//! The grammar is true: lines drawn from it are read without a complaint, what is read without a complaint is
//! one of its lines, and the page that describes it is printed from it.

#[path = "grammar/corpus.rs"]
mod corpus;
#[path = "grammar/drawn.rs"]
mod drawn;
#[path = "grammar/ebnf.rs"]
mod ebnf;
#[path = "grammar/recogniser.rs"]
mod recogniser;
#[path = "grammar/rules.rs"]
mod rules;

use clickwise::vocabulary::HEADINGS;
use corpus::{alone, changed, lines, pool};
use drawn::{Drawn, Source};
use recogniser::{Recogniser, complaints};
use rules::{Rules, entry_rule, heading_rule};

use crate::support::project;

/// How the two sides differ over a text, where they do.
fn differ(recogniser: &Recogniser, text: &str) -> Option<String> {
    let (told, recognised) = (complaints(text), recogniser.recognises(text));
    (told.is_empty() != recognised.is_ok()).then(|| format!("{text:?}: told {told:?}, {recognised:?}"))
}

#[test]
fn plans_are_lines_of_the_grammar() {
    let recogniser = Recogniser::of(&Rules::read());
    for entry in std::fs::read_dir(project().join("plans")).unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        assert_eq!(complaints(&text), []);
        recogniser.recognises(&text).unwrap();
    }
}

#[test]
fn what_the_grammar_says_is_read_without_a_complaint() {
    let rules = Rules::read();
    let (recogniser, source) = (Recogniser::of(&rules), Source::of(&rules.rules));
    let mut drawn = Drawn::of(1);
    let mut short = Vec::new();
    for row in HEADINGS {
        for rule in [Some(heading_rule(row.heading)), row.heading.has_entries().then(|| entry_rule(row.heading))] {
            let Some(rule) = rule else { continue };
            let (mut lines, mut tried) = (0, 0);
            let rounds: usize = std::env::var("CLICKWISE_LINES").map_or(30, |rounds| rounds.parse().unwrap());let n = if rule.ends_with("entry") { rounds*50 } else { rounds*5 };
            while lines < n {
                tried += 1;
                let text = format!("{}\n{}", row.example, source.rule(&rule, &mut drawn));
                if recogniser.recognises(&text).is_err() {
                    assert!(tried < 20 * n, "{rule} {lines} {text:?} {:?}", recogniser.recognises(&text));
                    continue;
                }
                lines += 1;
                short.extend(differ(&recogniser, &text));
            }
            println!("{rule}: {lines} of {tried}");
        }
    }
    for s in short.iter().take(40) { println!("{s}"); }
    assert!(short.is_empty(), "{}", short.len());
}

#[test]
fn what_is_read_without_a_complaint_is_in_the_grammar() {
    let recogniser = Recogniser::of(&Rules::read());
    let lines = lines(&recogniser);
    let pool = pool(&lines);
    let mut drawn = Drawn::of(2);
    let mut short = Vec::new();
    for line in &lines {
        short.extend(differ(&recogniser, &alone(line)));
    }
    println!("{} lines, {}", lines.len(), short.len());
    let (mut read, mut told) = (0, 0);
    let rounds = std::env::var("CLICKWISE_LINES").map_or(30, |rounds| rounds.parse().unwrap());
    for _ in 0..rounds {
        for line in &lines {
            let text = alone(&changed(line, &pool, &mut drawn));
            if complaints(&text).is_empty() { read += 1 } else { told += 1 }
            short.extend(differ(&recogniser, &text));
        }
    }
    println!("read {read} told {told}");
    for s in short.iter().take(60) { println!("{s}"); }
    assert!(short.is_empty(), "{}", short.len());
}
