//! Owns what the language's own parser makes of one typed line of a part: whose line it is, where
//! its range ends, which clauses it has. It judges nothing.

use crate::language::{EntryLine, LineKind, ScaleNode, TokenKind, parse};
use crate::problem::{Problem, Severity, Sources, Span, repaired};
use crate::vocabulary::{Clause, ENTRIES, End, Entry, Heading, KNOBS, Knob, OWN, Part, continuers, openers};

use super::spelling::{begins, first_word, spelt, stretches};

/// An adjuster's line as the parser reads it.
struct Read {
    sources: Sources,
    entry: EntryLine,
    problems: Vec<Problem>,
}

/// An adjuster named in a list; its line is still to be asked for where `rest` is empty.
pub(super) struct Item {
    /// Absent where no adjuster could be made out; `rest` then is all that was typed.
    pub knob: Option<Knob>,
    pub rest: String,
}

fn read(part: Part, line: &str) -> Option<Read> {
    let mut sources = Sources::default();
    let id = sources.add("", format!("{} {part}\n{line}", Heading::Part.row().word));
    let (tree, problems) = parse(id, sources.get(id).text());
    let entry = tree.lines.into_iter().find_map(|line| match line.kind {
        LineKind::Entry(entry) => Some(entry),
        _ => None,
    })?;
    Some(Read { sources, entry, problems })
}

impl Read {
    /// What stands behind a place.
    fn behind(&self, place: Span) -> &str {
        let text = self.sources.get(place.source).text();
        text.get(place.end..).unwrap_or("").trim()
    }
}

/// An adjuster's words in a file.
pub(super) fn words(knob: &Knob) -> String {
    match knob {
        Knob::Own(name) => format!("{OWN} \"{name}\""),
        known => known.word().to_owned(),
    }
}

/// The clauses that may follow in an adjuster's line.
pub(super) fn adjuster_clauses() -> impl Iterator<Item = Clause> {
    ENTRIES.iter().filter(|row| row.entry == Entry::Adjuster).flat_map(|row| row.clauses).copied()
}

/// The adjuster that a line names, spelt as it should be, and what follows its name.
pub(super) fn named(part: Part, line: &str) -> Option<(Knob, String)> {
    let quoted = begins(line, &[TokenKind::Text]);
    let read = read(part, &if quoted { format!("{OWN} {line}") } else { line.to_owned() })?;
    let (knob, place) = read.entry.fields.first::<Knob>()?;
    let typed = spelt(read.sources.slice(place)).text;
    let is_known = KNOBS.iter().filter(|row| row.knob == *knob);
    let is_known =
        is_known.flat_map(|row| std::iter::once(&row.word).chain(row.also)).any(|word| *word == typed);
    let is_own = matches!(knob, Knob::Own(_)) && typed == words(knob);
    (is_known || is_own).then(|| (knob.clone(), read.behind(place).trim_start_matches(',').trim().to_owned()))
}

/// What a line says of an adjuster, whether or not it begins with that adjuster's name.
pub(super) fn of(part: Part, knob: &Knob, line: &str) -> String {
    let rest = named(part, line).filter(|(named, _)| named == knob).map_or(line.to_owned(), |named| named.1);
    tidied(part, knob, &rest)
}

/// A line with the parser's own repairs of its commas.
pub(super) fn tidied(part: Part, knob: &Knob, rest: &str) -> String {
    let Some(read) = read(part, &format!("{} {rest}", words(knob))) else { return rest.to_owned() };
    let Some((_, place)) = read.entry.fields.first::<Knob>() else { return rest.to_owned() };
    let fixes: Vec<_> = read
        .problems
        .iter()
        .filter(|problem| problem.severity == Severity::Warning)
        .filter_map(|problem| problem.fix.as_deref())
        .filter(|fix| fix.span.start >= place.end)
        .collect();
    let text = repaired(read.sources.get(place.source).text(), &fixes).text;
    spelt(text.get(place.end..).unwrap_or("")).text
}

/// The adjusters of a list such as `rebound, lsc 12 clicks, start 3, "bottoming resistance"`. Commas may be left
/// out, and `and` parts as they do.
pub(super) fn listed(part: Part, line: &str) -> Vec<Item> {
    let goes_on = continuers(Heading::Part);
    let opens = openers(Heading::Part);
    let mut items: Vec<Item> = Vec::new();
    for mut stretch in stretches(line, true) {
        let clause = begins(&stretch, &[TokenKind::Number, TokenKind::CommaNumber])
            || first_word(&stretch).is_some_and(|word| goes_on.contains(&word.as_str()));
        if let Some(last) = items.last_mut().filter(|_| clause) {
            last.rest += &format!(", {stretch}");
            continue;
        }
        while let Some((knob, rest)) = named(part, &stretch) {
            let another = first_word(&rest).is_some_and(|word| opens.contains(&word.as_str()));
            let item = if another { String::new() } else { rest.clone() };
            items.push(Item { knob: Some(knob), rest: item });
            stretch = if another { rest } else { String::new() };
        }
        if !stretch.is_empty() {
            items.push(Item { knob: None, rest: stretch });
        }
    }
    items
}

/// Whether an adjuster's line has a clause.
pub(super) fn has(part: Part, knob: &Knob, rest: &str, clause: Clause) -> bool {
    read(part, &format!("{} {rest}", words(knob))).is_some_and(|read| read.entry.clause(clause).is_some())
}

/// The range of an adjuster's line, without its clauses.
pub(super) fn range(part: Part, knob: &Knob, rest: &str) -> Option<String> {
    let read = read(part, &format!("{} {rest}", words(knob)))?;
    let (_, place) = read.entry.fields.first::<ScaleNode>()?;
    Some(read.sources.slice(place).to_owned())
}

/// An adjuster's line that says from which end it counts; `None` where it says so already or has no
/// range to say it of.
pub(super) fn counted(part: Part, knob: &Knob, rest: &str, end: End) -> Option<String> {
    let read = read(part, &format!("{} {rest}", words(knob)))?;
    let (_, place) = read.entry.fields.first::<ScaleNode>()?;
    if read.entry.clause(Clause::Counted).is_some() {
        return None;
    }
    let (range, clause) = (read.sources.slice(place), clause(Clause::Counted, end.word()));
    Some(spelt(&format!("{range}, {clause} {}", read.behind(place))).text)
}

/// A clause of these words, which may begin with the clause's own.
pub(super) fn clause(clause: Clause, typed: &str) -> String {
    let first = |words: &'static str| words.split(' ').next().filter(|word| !word.is_empty());
    let mut firsts = adjuster_clauses().filter_map(|clause| first(clause.row().words));
    let has_words = first_word(typed).is_some_and(|word| firsts.any(|first| first == word));
    if has_words { typed.to_owned() } else { format!("{} {typed}", clause.row().words) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list(line: &str) -> Vec<String> {
        let items = listed(Part::Fork, &spelt(line).text);
        let said = |item: &Item| format!("{}|{}", item.knob.as_ref().map_or("?", Knob::word), item.rest);
        items.iter().map(said).collect()
    }

    #[test]
    fn a_list_is_parted_by_commas_ands_and_names() {
        assert_eq!(list("LSR, hsr and Lockout"), ["low-speed rebound|", "high-speed rebound|", "lockout|"]);
        assert_eq!(
            list("LSC HSC rebound"),
            ["low-speed compression|", "high-speed compression|", "rebound|"]
        );
        assert_eq!(
            list("rebound 18 clicks, start 9, lsc ? clicks, \"Ramp\" 3 turns"),
            ["rebound|18 clicks, start 9", "low-speed compression|? clicks", "Ramp|3 turns"]
        );
        assert_eq!(list("rebuond, compression"), ["?|rebuond", "compression|"]);
    }

    #[test]
    fn a_line_may_name_its_adjuster_and_forget_a_comma() {
        assert_eq!(of(Part::Fork, &Knob::Rebound, "rebound 18 clicks start 9,"), "18 clicks, start 9");
        assert_eq!(of(Part::Fork, &Knob::LowRebound, "lsr 8 clicks"), "8 clicks");
    }

    #[test]
    fn where_it_counts_from_stands_right_behind_the_range() {
        let counted = |rest| counted(Part::Fork, &Knob::Rebound, rest, End::Open);
        assert_eq!(counted("18 clicks, start 9").as_deref(), Some("18 clicks, counted from open, start 9"));
        assert_eq!(counted("18 clicks").as_deref(), Some("18 clicks, counted from open"));
        assert_eq!(counted("18 clicks, counted from closed"), None);
    }
}
