//! Prints rules in the notation of the XML recommendation. What only looks ahead, and the gaps between pieces, are
//! left out: the notes of the rules say what they rule out.

use std::collections::BTreeMap;

use pest_meta::ast::{Expr, Rule};

/// How long a line of the page may be.
pub const WIDTH: usize = 100;

/// An expression as it is printed.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Shown {
    Nothing,
    /// A text in quotes, a set of characters, the name of a rule.
    One(String),
    Sequence(Vec<Shown>),
    Choice(Vec<Shown>),
    /// With the mark behind it.
    Marked(Box<Shown>, char),
}

pub struct Printer<'a> {
    rules: BTreeMap<&'a str, &'a Expr>,
}

impl<'a> Printer<'a> {
    pub fn of(rules: &'a [Rule]) -> Self {
        Printer { rules: rules.iter().map(|rule| (rule.name.as_str(), &rule.expr)).collect() }
    }

    /// A rule, on lines of its own; `wide` where each of its choices has a line.
    pub fn rule(&self, name: &str, note: Option<&String>, wide: bool) -> String {
        let mut printed = note.map_or(String::new(), |note| wrapped(&format!("/* {note} */"), "   "));
        let shown = self.shown(self.rules[name]);
        let left = format!("{name} ::=");
        let one_line = format!("{left} {}", text(&shown, false));
        if wide && let Shown::Choice(choices) = &shown {
            printed += &format!("{left}\n");
            for (index, choice) in choices.iter().enumerate() {
                let mark = if index == 0 { "   " } else { "  |" };
                printed += &wrapped(&format!("{mark} {}", text(choice, false)), "       ");
            }
        } else {
            printed += &wrapped(&one_line, "    ");
        }
        printed
    }

    /// The names of the rules that a rule shows.
    pub fn shows(&self, name: &str) -> Vec<String> {
        fn names(shown: &Shown, found: &mut Vec<String>) {
            match shown {
                Shown::Nothing => {}
                Shown::One(one) => found.push(one.clone()),
                Shown::Sequence(all) | Shown::Choice(all) => all.iter().for_each(|one| names(one, found)),
                Shown::Marked(one, _) => names(one, found),
            }
        }
        let mut found = Vec::new();
        names(&self.shown(self.rules[name]), &mut found);
        found.retain(|name| self.rules.contains_key(name.as_str()));
        found
    }

    fn shown(&self, expr: &Expr) -> Shown {
        match expr {
            Expr::Str(one) | Expr::Insens(one) => Shown::One(literal(one)),
            Expr::Range(first, last) => Shown::One(format!("[{}-{}]", in_set(first), in_set(last))),
            Expr::Ident(name) => self.named(name),
            Expr::PosPred(_) | Expr::NegPred(_) => Shown::Nothing,
            Expr::Seq(..) => self.sequence(expr),
            Expr::Choice(one, other) => {
                let mut all = Vec::new();
                for shown in [self.shown(one), self.shown(other)] {
                    match shown {
                        Shown::Nothing => {}
                        Shown::Choice(more) => all.extend(more),
                        one => all.push(one),
                    }
                }
                Shown::Choice(all)
            }
            Expr::Opt(one) => marked(self.shown(one), '?'),
            Expr::Rep(one) => marked(self.shown(one), '*'),
            Expr::RepOnce(one) => marked(self.shown(one), '+'),
            other => panic!("{other:?} is not printed"),
        }
    }

    /// What a name stands for where that is one text, else the name.
    fn named(&self, name: &str) -> Shown {
        match (name, self.rules.get(name)) {
            ("gap" | "SOI" | "EOI", _) => Shown::Nothing,
            ("ANY", _) => Shown::One("[#x0-#x10FFFF]".to_owned()),
            ("ASCII_DIGIT", _) => Shown::One("[0-9]".to_owned()),
            ("ASCII_ALPHANUMERIC", _) => Shown::One("[0-9a-zA-Z]".to_owned()),
            (_, None) => Shown::One(name.to_owned()),
            (_, Some(expr)) => match self.shown(expr) {
                Shown::One(one) if one.starts_with(['"', '\'', '#']) => Shown::One(one),
                _ => Shown::One(name.to_owned()),
            },
        }
    }

    fn sequence(&self, expr: &Expr) -> Shown {
        let mut parts = Vec::new();
        flatten(expr, &mut parts);
        let mut all: Vec<Shown> = Vec::new();
        for (index, part) in parts.iter().enumerate() {
            let before = index.checked_sub(1).map(|before| parts[before]);
            let shown = match (before, part) {
                (Some(Expr::NegPred(not)), Expr::Ident(name)) if name == "ANY" => {
                    Shown::One(format!("[^{}]", self.characters(not)))
                }
                _ => self.shown(part),
            };
            match shown {
                Shown::Nothing => {}
                Shown::Sequence(more) => all.extend(more),
                one => all.push(one),
            }
        }
        match all.len() {
            0 => Shown::Nothing,
            1 => all.remove(0),
            _ => Shown::Sequence(all),
        }
    }

    /// The characters of which any is meant.
    fn characters(&self, expr: &Expr) -> String {
        match expr {
            Expr::Str(one) => in_set(one),
            Expr::Choice(one, other) => self.characters(one) + &self.characters(other),
            Expr::Range(first, last) => format!("{}-{}", in_set(first), in_set(last)),
            Expr::Ident(name) => self.characters(self.rules[name.as_str()]),
            other => panic!("{other:?} is no set of characters"),
        }
    }
}

fn flatten<'a>(expr: &'a Expr, parts: &mut Vec<&'a Expr>) {
    match expr {
        Expr::Seq(one, other) => {
            flatten(one, parts);
            flatten(other, parts);
        }
        one => parts.push(one),
    }
}

fn marked(shown: Shown, mark: char) -> Shown {
    match shown {
        Shown::Nothing => Shown::Nothing,
        one => Shown::Marked(Box::new(one), mark),
    }
}

/// A character that cannot be seen, or only looks like another, as its number.
fn by_number(c: char) -> bool {
    c.is_whitespace() || c.is_control() || !c.is_ascii()
}

fn literal(one: &str) -> String {
    let mut letters = one.chars();
    match (letters.next(), letters.next()) {
        (Some(c), None) if by_number(c) => format!("#x{:X}", u32::from(c)),
        (Some('"'), None) => "'\"'".to_owned(),
        _ => format!("\"{one}\""),
    }
}

/// A character within `[` and `]`.
fn in_set(one: &str) -> String {
    let number = |c: char| format!("#x{:X}", u32::from(c));
    one.chars().map(|c| if by_number(c) { number(c) } else { c.to_string() }).collect()
}

fn text(shown: &Shown, in_brackets: bool) -> String {
    let (joined, is_one) = match shown {
        Shown::Nothing => return String::new(),
        Shown::One(one) => (one.clone(), true),
        Shown::Marked(one, mark) => (format!("{}{mark}", text(one, true)), true),
        Shown::Sequence(all) => {
            let part = |one: &Shown| text(one, matches!(one, Shown::Choice(_)));
            (all.iter().map(part).collect::<Vec<_>>().join(" "), false)
        }
        Shown::Choice(all) => (all.iter().map(|one| text(one, false)).collect::<Vec<_>>().join(" | "), false),
    };
    if in_brackets && !is_one { format!("({joined})") } else { joined }
}

/// A text broken at spaces, each line but the first indented.
pub fn wrapped(text: &str, indent: &str) -> String {
    let lead: String = text.chars().take_while(|c| *c == ' ').collect();
    let (mut lines, mut line) = (Vec::new(), lead.clone());
    for word in text.split_whitespace() {
        let is_first = line.trim().is_empty();
        if !is_first && line.chars().count() + 1 + word.chars().count() > WIDTH {
            lines.push(std::mem::replace(&mut line, format!("{indent}{word}")));
        } else {
            line += if is_first { "" } else { " " };
            line += word;
        }
    }
    lines.push(line);
    lines.join("\n") + "\n"
}
