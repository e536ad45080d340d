//! How long it takes to read 2 MB and find every problem, against the `toml` crate reading a document
//! of the same length about the same matter. Aim: at most one and a half times as long.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a benchmark reads the clock and prints"
)]

mod common;

use clickwise::check::{Checked, check};
use clickwise::language::parse;
use clickwise::problem::Sources;

use common::{in_turn, milliseconds, of_length, ratio, visit, visit_as_toml};

const LENGTH: usize = 2_000_000;
const ROUNDS: usize = 15;

fn checked(text: &str) -> Checked {
    let mut sources = Sources::default();
    sources.add("set.tune", text);
    check(&sources)
}

fn main() {
    let toml = of_length(LENGTH, visit_as_toml);
    let read_toml = || toml::from_str::<toml::Table>(&toml).unwrap();
    assert_eq!(toml.len(), LENGTH);
    for (name, visit) in [
        ("with errors", visit as fn(usize) -> String),
        ("without misspelt words", |number| visit(number * 77 + 1)),
    ] {
        let text = of_length(LENGTH, visit);
        assert_eq!(text.len(), LENGTH);
        let count = checked(&text).problems.len();
        let (ours, theirs) = in_turn(ROUNDS, || checked(&text), read_toml);
        println!(
            "2 MB {name}, {count} problems: check {:.1} ms, toml {:.1} ms, ratio {:.2}",
            milliseconds(ours),
            milliseconds(theirs),
            ratio(ours, theirs)
        );
        let mut sources = Sources::default();
        let id = sources.add("set.tune", text.as_str());
        let (parsed, theirs) = in_turn(ROUNDS, || parse(id, &text), read_toml);
        println!("    the parser alone {:.1} ms, ratio {:.2}", milliseconds(parsed), ratio(parsed, theirs));
    }
}
