//! Owns the words of the language as a page to be read: every heading, entry, clause, adjuster, unit and
//! answer with its meaning, from the vocabulary.

use crate::vocabulary::{
    ANSWERS, CLAUSES, Clause, ENTRIES, Effort, EntryRow, HEADINGS, Heading, KNOBS, Method, PARTS, PLACES,
    UNITS, Way, capital,
};

/// The page, as Markdown that also reads well as plain text.
#[must_use]
pub fn words() -> String {
    let mut out = headings();
    out += &of_lines();
    out += &of_rides();
    out
}

/// The headings with their entries.
fn headings() -> String {
    let mut out = String::from("# Words you can use in a .tune file\n\n");
    out += "One fact per line. Each line starts with a heading, or with a word listed under that heading. \
        Options follow,\n";
    out += "separated by commas. Capitals don't matter.\n";
    for row in HEADINGS {
        out += &format!("\n## {}\n\n{}: `{}`\n", row.word, capital(row.meaning), row.example);
        let entries: Vec<&EntryRow> = ENTRIES.iter().filter(|entry| entry.under == row.heading).collect();
        if !entries.is_empty() {
            out.push('\n');
        }
        for entry in entries {
            let words = if entry.words.is_empty() { "an adjuster's name" } else { entry.words };
            out += &format!("* {words}: {}: `{}`{}\n", entry.meaning, entry.example, clauses(entry));
        }
        if row.heading == Heading::Part {
            for (_, word, also, meaning) in PARTS {
                out += &item(word, also, meaning);
            }
        }
    }
    out
}

/// What may be in a line: clauses, adjusters, places, units and the few words of each kind.
fn of_lines() -> String {
    let mut out = String::from("\n## Options\n\n");
    for row in CLAUSES {
        // what a number opens is called by its meaning
        out += &match row.words {
            "" => format!("* {}\n", row.meaning),
            words => item(words, &[], row.meaning),
        };
    }
    out += "\n## Adjusters\n\n";
    for row in KNOBS {
        out += &format!(
            "* {}{}: {}: `{} {}`\n",
            row.word,
            also(row.also),
            row.meaning,
            row.word,
            row.knob.example()
        );
    }
    out += "* adjuster \"...\": an adjuster you name yourself\n\n## Named settings\n\n";
    for (_, word, meaning) in PLACES {
        out += &item(word, &[], meaning);
    }
    out += "\n## Units\n\n";
    for row in UNITS {
        out += &item(row.word, row.also, row.meaning);
    }
    out += "\n## Directions\n\n";
    for way in Way::ALL {
        out += &item(way.word(), &[], way.meaning());
    }
    out += "\n## Methods\n\n";
    for method in Method::ALL {
        out += &item(method.word(), &[], method.meaning());
    }
    out += "\n## Efforts\n\n";
    for effort in Effort::ALL {
        out += &item(effort.word(), &[], effort.meaning());
    }
    out
}

/// What can be answered in a ride.
fn of_rides() -> String {
    let mut out = String::from("\n## Answers while riding\n\n");
    for row in ANSWERS {
        let key = if row.key.is_empty() { String::new() } else { format!(" ({})", row.key) };
        out += &format!("* {}{key}: {}\n", row.word, row.meaning);
    }
    out
}

fn clauses(entry: &EntryRow) -> String {
    if entry.clauses.is_empty() {
        return String::new();
    }
    let words: Vec<String> = entry.clauses.iter().map(|&one| clause(one)).collect();
    format!("; options: {}", words.join(", "))
}

/// A clause by its words; those that a number opens by what the number is.
fn clause(clause: Clause) -> String {
    match clause.row().words {
        "" => clause.row().meaning.to_owned(),
        words => words.to_owned(),
    }
}

fn item(word: &str, others: &[&str], meaning: &str) -> String {
    format!("* {word}{}: {meaning}\n", also(others))
}

fn also(others: &[&str]) -> String {
    if others.is_empty() { String::new() } else { format!(" (also {})", others.join(", ")) }
}
