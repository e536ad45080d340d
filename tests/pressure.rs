//! What `clickwise pressure` says and refuses, through the real program.

use crate::support::{Field, Ran, unbroken};

/// Runs it on these words; `'` makes one argument of several words.
fn pressure(words: &str) -> Ran {
    let mut arguments = vec!["pressure"];
    for (index, part) in words.split('\'').enumerate() {
        if index % 2 == 1 {
            arguments.push(part);
        } else {
            arguments.extend(part.split_whitespace());
        }
    }
    Field::new().run(&arguments)
}

#[track_caller]
fn reads(words: &str, reading: &str) {
    let ran = pressure(words).ends(0);
    assert_eq!(ran.out, format!("If you leave the air alone, the gauge will read {reading}.\n"), "{words}");
}

/// Source: the formula worked through apart from this program, in psi: 75.15, 83.17 and 78.32; our own.
#[test]
fn colder_higher_and_both() {
    reads("80 psi --at 20C --then 5C", "75.2 psi");
    reads("80 psi --at 0m --then 2000m", "83.2 psi");
    reads("80 psi --at 20C,0m --then 5C,2000m", "78.3 psi");
    reads("80 psi --at 5C,2000m --then 5C,2000m", "80 psi");
    // the same, the other way round
    reads("78.32 psi --at 5C,2000m --then 20C,0m", "80 psi");
}

#[test]
fn units_may_stand_close_apart_and_in_any_case() {
    for words in [
        "80psi --at 20C,0m --then 5C,2000m",
        "80 PSI --at '20 c, 0 M' --then '5 C , 2000 m'",
        "'80 psi' --at 0m,20C --then 2000m,5C",
        "80 psi --at 68F,0ft --then 41f,6561.68ft",
        "80 psi --at '68 °F, 0 feet' --then '41 °f, 6561.68 FT'",
    ] {
        reads(words, "78.3 psi");
    }
    // 5.516 bar and 551.6 kPa are 80 psi; 540 kPa are 78.32 psi
    reads("5.516 bar --at 20C,0m --then 5C,2000m", "5.4 bar");
    reads("551.6kPa --at 20C,0m --then 5C,2000m", "540 kPa");
    reads("80 psi --at -10C --then=-10C", "80 psi");
}

#[test]
fn the_cautions_stand_on_standard_error_and_keep_to_its_width() {
    let ran = pressure("80 psi --at 0m --then 2000m").ends(0);
    let said = unbroken(&ran.err);
    for caution in [
        "Don't let air out",
        "reads a little higher at altitude",
        "measure sag again",
        "the limit printed on the part",
    ] {
        assert!(said.contains(caution), "{}", ran.err);
        assert!(!ran.out.contains(caution), "{}", ran.out);
    }
    assert!(ran.err.lines().all(|line| line.chars().count() <= 80), "{}", ran.err);
}

#[test]
fn a_gauge_that_would_read_below_nothing_reads_nothing() {
    let ran = pressure("0 psi --at 2000m --then 0m").ends(0);
    assert!(ran.out.starts_with("The gauge will read 0 psi:"), "{}", ran.out);
}

#[test]
fn what_cannot_be_reckoned_is_refused_in_words() {
    for (words, why) in [
        ("80 --at 20C --then 5C", "`80` has no unit: add psi, bar or kPa."),
        ("80 lb --at 20C --then 5C", "`lb` doesn't work here: use psi, bar or kPa."),
        ("80,5 psi --at 20C --then 5C", "`80,5 psi` is not a number with a unit"),
        ("80 psi --at 20 C --then 5C", "If it has spaces, put it in quotes."),
        ("80 psi --at 20psi --then 5C", "--at: `psi` doesn't work here: use C, F, m or ft."),
        ("80 psi --at 20C --then warm", "--then: `warm` is not a number with a unit"),
        ("80 psi --at 20C, --then 5C", "--at: Something is missing next to a comma"),
        ("80 psi --at 20C,5C --then 5C", "--at: 20C,5C has two temperatures; give one."),
        ("80 psi --at 0m --then 1m,2m", "--then: 1m,2m has two altitudes; give one."),
        ("80 psi --at 20C,0m --then 5C", "--at gives the altitude but --then doesn't"),
        ("80 psi --at 0m --then 5C,0m", "--then gives the temperature but --at doesn't"),
        ("80 psi --at 20C --then 0m", "--at gives the temperature but --then doesn't"),
        ("5001 psi --at 20C --then 5C", "5001 psi is out of range: give 0 to 5000 psi"),
        ("345 bar --at 20C --then 5C", "345 bar is out of range: give 0 to 344 bar"),
        ("80 psi --at 20C --then -61C", "--then: -61 C is out of range: give -60 to 60 C"),
        ("80 psi --at 141F --then 5C", "--at: 141 F is out of range: give -76 to 140 F"),
        ("80 psi --at 0m --then 9001m", "--then: 9001 m is out of range: give -500 to 9000 m"),
        ("80 psi --at -501m --then 0m", "--at: -501 m is out of range"),
    ] {
        let ran = pressure(words).ends(2);
        assert!(unbroken(&ran.err).contains(why), "{words}: {}", ran.err);
        assert_eq!(ran.out, "", "{words}");
    }
}

#[test]
fn the_edges_of_the_ranges_are_within() {
    pressure("5000 psi --at 60C,9000m --then -60C,-500m").ends(0);
    pressure("0 psi --at -60C --then 60C").ends(0);
}

#[test]
fn all_three_parts_of_the_command_line_are_needed() {
    for words in ["", "80 psi", "80 psi --at 20C", "--at 20C --then 5C", "-5psi --at 20C --then 5C"] {
        pressure(words).ends(2);
    }
}
