//! The whole grammar as rules: the phrases of `grammar/tune.pest`, and the headings, entries, clauses and words
//! that the tables of the vocabulary give. It knows nothing of how lines are drawn, printed or recognised.

use std::collections::BTreeMap;

use clickwise::physics::Kind;
use clickwise::vocabulary::{
    CLAUSES, Clause, ENTRIES, Effort, End, Entry, EntryRow, HEADINGS, Heading, KNOBS, Method, PARTS, PLACES,
    Recordable, Slot, UNITS, Way, continuers, renamed,
};
use pest_meta::ast::Rule;
use pest_meta::parser;

use crate::support::project;

/// What the phrases of `tune.pest` leave to the vocabulary.
const CLASS: &str = "{ word }";

/// The grammar.
pub struct Rules {
    /// In the order of the text that they are read from.
    pub all: Vec<Rule>,
    /// What `tune.pest` says of a rule.
    pub notes: BTreeMap<String, String>,
    /// The rules of `tune.pest`, classes of words among them, in its order.
    pub phrases: Vec<String>,
    /// The classes of words.
    pub classes: Vec<String>,
}

impl Rules {
    pub fn read() -> Self {
        Rules::of(&std::fs::read_to_string(project().join("grammar/tune.pest")).unwrap())
    }

    /// The grammar with this in the place of `tune.pest`.
    pub fn of(tune: &str) -> Self {
        let mut generated = from_tables();
        let mut kept = String::new();
        let (mut phrases, mut classes) = (Vec::new(), Vec::new());
        for line in tune.lines() {
            let name = line.split_once('=').map(|(name, _)| name.trim().to_owned());
            let name = name.filter(|name| name.bytes().all(|b| b.is_ascii_lowercase() || b == b'_'));
            let class = line.ends_with(CLASS);
            if class {
                let name = name.clone().unwrap();
                let rule = generated.remove(&name).unwrap_or_else(|| panic!("no table gives {name}"));
                kept += &format!("{name} = {{ {rule} }}\n");
                classes.push(name);
            } else {
                kept += &format!("{line}\n");
            }
            phrases.extend(name);
        }
        for (name, rule) in generated {
            kept += &format!("{name} = {{ {rule} }}\n");
            if name.ends_with("_unit") {
                classes.push(name);
            }
        }
        let pairs = parser::parse(parser::Rule::grammar_rules, &kept)
            .unwrap_or_else(|error| panic!("{error}\n{kept}"));
        let all = parser::consume_rules(pairs).unwrap_or_else(|errors| panic!("{errors:?}"));
        Rules { all, notes: notes(tune), phrases, classes }
    }
}

/// The lines with three strokes above each rule.
fn notes(tune: &str) -> BTreeMap<String, String> {
    let (mut notes, mut note) = (BTreeMap::new(), Vec::new());
    for line in tune.lines() {
        if let Some(text) = line.strip_prefix("///") {
            note.push(text.trim());
        } else if let Some((name, _)) = line.split_once('=') {
            if !note.is_empty() {
                notes.insert(name.trim().to_owned(), std::mem::take(&mut note).join(" "));
            }
        } else {
            note.clear();
        }
    }
    notes
}

/// A word of the language, in any case; several words with a gap between them.
fn keyword(words: &str) -> String {
    let one = |word: &str| match word {
        "%" => "\"%\"".to_owned(),
        word => format!("^\"{word}\" ~ !word_more"),
    };
    words.split(' ').map(one).collect::<Vec<_>>().join(" ~ gap ~ ")
}

fn keywords<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    words.into_iter().map(keyword).collect::<Vec<_>>().join(" | ")
}

/// `AtMost` as `at_most`.
fn snake(name: &str) -> String {
    let mut snake = String::new();
    for c in name.chars() {
        if c.is_ascii_uppercase() && !snake.is_empty() {
            snake.push('_');
        }
        snake.push(c.to_ascii_lowercase());
    }
    snake
}

pub fn heading_rule(heading: Heading) -> String {
    format!("{}_heading", snake(&format!("{heading:?}")))
}

pub fn entry_rule(heading: Heading) -> String {
    format!("{}_entry", snake(&format!("{heading:?}")))
}

pub fn clause_rule(clause: Clause) -> String {
    format!("{}_clause", snake(&format!("{clause:?}")))
}

/// What goes on from a line under a heading.
pub fn goes_on_rule(heading: Heading) -> String {
    format!("goes_on_{}", snake(&format!("{heading:?}")))
}

fn unit_rule(kind: Kind) -> String {
    match kind {
        Kind::SpringRate => "rate_unit".to_owned(),
        // `position_unit` is every unit that positions are told in
        Kind::Positions => "whole_unit".to_owned(),
        kind => format!("{}_unit", snake(&format!("{kind:?}"))),
    }
}

/// Every kind of unit, in the order of the table.
fn kinds() -> Vec<Kind> {
    let mut kinds: Vec<Kind> = Vec::new();
    for row in UNITS {
        if !kinds.contains(&row.unit.kind()) {
            kinds.push(row.unit.kind());
        }
    }
    kinds
}

/// The kinds of units in which positions of an adjuster are told: where they fit, the unit may be left out.
fn position_kinds() -> &'static [Kind] {
    match Clause::Step.row().form {
        [Slot::Value(kinds)] => kinds,
        other => panic!("{other:?}"),
    }
}

/// The name of the phrase for a slot.
pub fn slot_rule(slot: Slot) -> String {
    match slot {
        Slot::Text => "quoted".to_owned(),
        Slot::Number => "figure".to_owned(),
        Slot::Value(kinds) if kinds == position_kinds() => "amount".to_owned(),
        Slot::Value([Kind::Mass]) => "weight".to_owned(),
        Slot::Value(kinds) => {
            kinds.iter().map(|kind| snake(&format!("{kind:?}"))).collect::<Vec<_>>().join("_or_")
        }
        named => snake(&format!("{named:?}")),
    }
}

/// What was said once for words of today.
fn once(words: &str) -> impl Iterator<Item = &'static str> {
    renamed().filter(move |(_, today)| *today == words).map(|(once, _)| once)
}

/// What opens with words and goes on with phrases.
fn form(words: &str, form: &[Slot]) -> String {
    // here, too, a dash counts as `to`
    let keyword = |word: &str| if word == "to" { "to".to_owned() } else { keyword(word) };
    let opens = |words: &str| words.split(' ').map(keyword).collect::<Vec<_>>().join(" ~ gap ~ ");
    let once: Vec<String> = once(words).map(opens).collect();
    let opening = match (words, &once[..]) {
        ("", _) => None,
        (words, []) => Some(opens(words)),
        (words, once) => Some(format!("({} | {})", opens(words), once.join(" | "))),
    };
    opening.into_iter().chain(form.iter().map(|slot| slot_rule(*slot))).collect::<Vec<_>>().join(" ~ gap ~ ")
}

fn entry(row: &EntryRow) -> String {
    let opening = form(row.words, row.form);
    if row.clauses.is_empty() {
        return opening;
    }
    let clauses: Vec<_> = row.clauses.iter().map(|clause| clause_rule(*clause)).collect();
    let all = clauses.join(" | ");
    // this one needs no comma
    let free = clause_rule(Clause::IfFitted);
    match (row.clauses.contains(&Clause::IfFitted), row.clauses.len()) {
        (true, 1) => format!("{opening} ~ (gap ~ (comma ~ gap)? ~ {free})*"),
        (true, _) => format!("{opening} ~ (gap ~ comma ~ gap ~ ({all}) | gap ~ {free})*"),
        (false, _) => format!("{opening} ~ (gap ~ comma ~ gap ~ ({all}))*"),
    }
}

/// Every rule that follows from the tables, by its name.
fn from_tables() -> BTreeMap<String, String> {
    let mut rules = BTreeMap::new();
    lines(&mut rules);
    words(&mut rules);
    let forms = HEADINGS.iter().map(|row| row.form);
    let forms = forms.chain(ENTRIES.iter().map(|row| row.form)).chain(CLAUSES.iter().map(|row| row.form));
    for slot in forms.flatten() {
        let Slot::Value(kinds) = slot else { continue };
        let name = slot_rule(*slot);
        if !["amount", "weight", "laps"].contains(&name.as_str()) {
            let units = kinds.iter().map(|kind| unit_rule(*kind)).collect::<Vec<_>>().join(" | ");
            rules.insert(name, format!("figure ~ gap ~ ({units})"));
        }
    }
    rules
}

fn lines(rules: &mut BTreeMap<String, String>) {
    let mut set = |name: &str, rule: String| assert!(rules.insert(name.to_owned(), rule).is_none(), "{name}");
    let headed = || HEADINGS.iter().filter(|row| row.heading.has_entries());
    set("line", "SOI ~ (gap ~ (heading | entry) ~ gap ~ EOI | unread)".to_owned());
    set("heading", HEADINGS.iter().map(|row| heading_rule(row.heading)).collect::<Vec<_>>().join(" | "));
    set("entry", headed().map(|row| entry_rule(row.heading)).collect::<Vec<_>>().join(" | "));
    for row in HEADINGS {
        set(&heading_rule(row.heading), form(row.word, row.form));
        let words = keywords(continuers(row.heading).iter().copied());
        set(&goes_on_rule(row.heading), format!("comma | number | \"?\" | {words}"));
    }
    for row in headed() {
        let under = ENTRIES.iter().filter(|entry| entry.under == row.heading);
        set(&entry_rule(row.heading), under.map(entry).collect::<Vec<_>>().join(" | "));
    }
    for row in CLAUSES {
        set(&clause_rule(row.clause), form(row.words, row.form));
    }
}

fn words(rules: &mut BTreeMap<String, String>) {
    let mut set = |name: &str, rule: String| assert!(rules.insert(name.to_owned(), rule).is_none(), "{name}");
    let joined = |kinds: &[Kind]| kinds.iter().map(|kind| unit_rule(*kind)).collect::<Vec<_>>().join(" | ");
    set("unit", joined(&kinds()));
    set("position_unit", joined(position_kinds()));
    for kind in kinds() {
        let of_kind = UNITS.iter().filter(|row| row.unit.kind() == kind);
        let spellings = of_kind.flat_map(|row| std::iter::once(row.word).chain(row.also.iter().copied()));
        set(&unit_rule(kind), keywords(spellings));
    }
    let of_parts = PARTS.iter().flat_map(|row| std::iter::once(row.1).chain(row.2.iter().copied()));
    set("part_name", keywords(of_parts));
    let of_knobs = KNOBS.iter().flat_map(|row| std::iter::once(row.word).chain(row.also.iter().copied()));
    set("knob_name", keywords(of_knobs));
    set("way", keywords(Way::ALL.map(Way::word)));
    set("place_word", keywords(PLACES.iter().map(|row| row.1)));
    set("unfit_start", keywords(PLACES.iter().filter(|row| !row.0.can_start()).map(|row| row.1)));
    set("end", keywords([End::Open, End::Closed].map(End::word)));
    set("method", keywords(Method::ALL.map(Method::word)));
    let efforts = Effort::ALL.map(Effort::word);
    set("effort", keywords(efforts.into_iter().chain(efforts.into_iter().flat_map(once))));
    set("recordable", keywords(Recordable::ALL.map(Recordable::word)));
    set("settings", keyword(Recordable::Settings.word()));
    set("warm_up", keyword(Entry::WarmUp.words()));
}
