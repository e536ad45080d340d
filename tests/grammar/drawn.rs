//! Texts drawn from rules: what a rule may be, by chance. What only looks ahead is passed over, so a text may turn
//! out to be none of the rule's; the recogniser says which are.

use std::collections::BTreeMap;

use pest_meta::ast::{Expr, Rule};
use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};

pub struct Drawn {
    chance: ChaCha8Rng,
}

impl Drawn {
    pub fn of(seed: u64) -> Self {
        Drawn { chance: ChaCha8Rng::seed_from_u64(seed) }
    }

    pub fn below(&mut self, below: usize) -> usize {
        usize::try_from(self.chance.next_u64() >> 1).unwrap() % below
    }

    pub fn one<T: Clone>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())].clone()
    }

    pub fn one_in(&mut self, chances: usize) -> bool {
        self.below(chances) == 0
    }
}

/// The rules to draw from.
pub struct Source<'a> {
    rules: BTreeMap<&'a str, &'a Expr>,
}

/// What a gap between two pieces may be, the most common ones more than once; none at all is drawn where the
/// pieces stay apart without it.
const GAPS: [&str; 10] = [" ", " ", " ", " ", " ", "  ", "\t", "\u{A0}", " \u{2009}", ""];

/// What can be read behind a line end within a line.
impl<'a> Source<'a> {
    pub fn of(rules: &'a [Rule]) -> Self {
        Source { rules: rules.iter().map(|rule| (rule.name.as_str(), &rule.expr)).collect() }
    }

    pub fn rule(&self, name: &str, drawn: &mut Drawn) -> String {
        let mut text = String::new();
        self.named(name, drawn, &mut text);
        text
    }

    fn named(&self, name: &str, drawn: &mut Drawn, text: &mut String) {
        match name {
            "gap" => *text += drawn.one(&GAPS),
            "SOI" | "EOI" => {}
            "ANY" => text.push(drawn.one(&['a', 'B', ' ', '7', '.', ',', '#', '\'', 'é', '?', '\t'])),
            "ASCII_DIGIT" => text.push(drawn.one(&['0', '1', '1', '2', '5', '9'])),
            "ASCII_ALPHANUMERIC" => text.push(drawn.one(&['a', 'Q', '0', '7'])),
            "LETTER" => text.push(drawn.one(&['a', 'é', 'ß', '日'])),
            "MARK" => text.push('\u{301}'),
            "NUMBER" => text.push(drawn.one(&['½', '٣', '3'])),
            "ALPHABETIC" | "WHITE_SPACE" => panic!("{name} is in what only looks ahead"),
            _ => self.draw(self.rules[name], drawn, text),
        }
    }

    fn draw(&self, expr: &Expr, drawn: &mut Drawn, text: &mut String) {
        match expr {
            Expr::Str(one) => *text += one,
            Expr::Insens(one) => match drawn.below(8) {
                0 => *text += &one.to_ascii_uppercase(),
                1 => {
                    let (first, rest) = one.split_at(one.chars().next().map_or(0, char::len_utf8));
                    *text += &(first.to_ascii_uppercase() + rest);
                }
                _ => *text += one,
            },
            Expr::Range(first, last) => {
                let [first, last] = [first, last].map(|c| u32::from(c.chars().next().unwrap()));
                let step = u32::try_from(drawn.below(usize::try_from(last - first + 1).unwrap())).unwrap();
                text.extend(char::from_u32(first + step));
            }
            Expr::Ident(name) => self.named(name, drawn, text),
            Expr::PosPred(_) | Expr::NegPred(_) => {}
            Expr::Seq(one, other) => {
                self.draw(one, drawn, text);
                self.draw(other, drawn, text);
            }
            Expr::Choice(..) => {
                let mut choices = Vec::new();
                choice(expr, &mut choices);
                let one = drawn.one(&choices);
                self.draw(one, drawn, text);
            }
            Expr::Opt(one) => {
                if drawn.one_in(2) {
                    self.draw(one, drawn, text);
                }
            }
            Expr::Rep(one) | Expr::RepOnce(one) => {
                let least = usize::from(matches!(expr, Expr::RepOnce(_)));
                for _ in 0..least + drawn.below(4) {
                    self.draw(one, drawn, text);
                }
            }
            other => panic!("{other:?} is in what only looks ahead"),
        }
    }
}

fn choice<'a>(expr: &'a Expr, choices: &mut Vec<&'a Expr>) {
    match expr {
        Expr::Choice(one, other) => {
            choice(one, choices);
            choice(other, choices);
        }
        one => choices.push(one),
    }
}
