//! Seventeen common accidents: each is either accepted as what it can only mean, or named, once; where a
//! repair is offered, it works.

use crate::support::{Field, unbroken};

const GOOD: &str = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks, start 9\n  travel 150 mm\n";

/// What `check` says of these bytes: the codes in order, and the whole report.
fn told(field: &Field, bytes: &[u8]) -> (Vec<String>, String) {
    field.write("set.tune", bytes);
    let ran = field.run(&["check", "set.tune"]);
    assert!(matches!(ran.status, 0 | 1), "{}", ran.err);
    let places = ran.err.lines().filter(|line| line.starts_with("set.tune:"));
    (
        places.filter_map(|line| line.split_whitespace().last()).map(str::to_owned).collect(),
        unbroken(&ran.err),
    )
}

#[test]
fn what_can_mean_one_thing_only_is_accepted() {
    let field = Field::new();
    let accepted: [(&str, Vec<u8>); 6] = [
        ("a byte order mark", [b"\xEF\xBB\xBF", GOOD.as_bytes()].concat()),
        ("line ends of another system", GOOD.replace('\n', "\r\n").into_bytes()),
        ("a non-breaking space in the indent", GOOD.replace("  rebound", "\u{a0}\u{a0}rebound").into_bytes()),
        ("a non-breaking space after a word", GOOD.replace("rebound 0", "rebound\u{a0}0").into_bytes()),
        ("an en dash in a range", GOOD.replace("0 to 18", "0–18").into_bytes()),
        ("no line end at the end", GOOD.trim_end().as_bytes().to_vec()),
    ];
    for (accident, bytes) in accepted {
        let (codes, report) = told(&field, &bytes);
        assert!(codes.is_empty(), "{accident}: {report}");
    }
}

#[test]
fn everything_else_is_named_once() {
    let field = Field::new();
    let utf16: Vec<u8> = GOOD.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let merge = format!("{GOOD}<<<<<<< mine\n  stroke 1 mm\n=======\n  travel 2\n>>>>>>> theirs\n");
    let named: [(&str, Vec<u8>, &[&str], &str); 11] = [
        (
            "curly quotes",
            GOOD.replace("\"B\"", "“B”").into_bytes(),
            &["quotes-curly"],
            "these are curly quotes",
        ),
        (
            "a Unicode minus",
            GOOD.replace("0 to 18", "−2 to 18").into_bytes(),
            &["value-impossible"],
            "below 0",
        ),
        ("a decimal comma", GOOD.replace("150", "149,5").into_bytes(), &["decimal-comma"], "write 149.5"),
        ("wide digits", GOOD.replace("18", "１８").into_bytes(), &["character-lookalike"], "write 18"),
        (
            "a byte of an old encoding",
            GOOD.replace("\"B\"", "\"B").as_bytes()[..7].iter().copied().chain(*b"\xFC\"\n").collect(),
            &["encoding-unknown"],
            "save it again with UTF-8 encoding",
        ),
        (
            "UTF-16",
            [b"\xFF\xFE".to_vec(), utf16].concat(),
            &["encoding-unknown"],
            "this file is UTF-16, not UTF-8",
        ),
        ("an empty file", Vec::new(), &["file-empty"], "the smallest bike"),
        (
            "an open quote",
            GOOD.replace("\"B\"", "\"B").into_bytes(),
            &["quote-missing"],
            "the closing quote is missing",
        ),
        (
            "a misspelt word",
            GOOD.replace("rebound", "rebuond").into_bytes(),
            &["word-misspelt"],
            "did you mean `rebound`?",
        ),
        (
            "two errors",
            GOOD.replace("18 clicks", "18 clciks").replace("150 mm", "150").into_bytes(),
            &["unit-unknown", "unit-missing"],
            "write 150 mm",
        ),
        ("marks of a merge", merge.into_bytes(), &["merge-unfinished"], "keep the lines of one side"),
    ];
    for (accident, bytes, codes, sentence) in named {
        let (seen, report) = told(&field, &bytes);
        assert_eq!(seen, codes, "{accident}: {report}");
        assert!(report.contains(sentence), "{accident}: {report}");
    }
}

#[test]
fn the_repairs_of_accidents_work() {
    let field = Field::new();
    for broken in [
        GOOD.replace("\"B\"", "“B”"),
        GOOD.replace("150", "149,5"),
        GOOD.replace("18", "１８"),
        GOOD.replace("rebound", "rebuond"),
        GOOD.replace("rebound", "reb\u{200b}ound"),
        GOOD.replace("18 clicks", "18 clciks").replace("150 mm", "150"),
    ] {
        let (codes, _) = told(&field, broken.as_bytes());
        assert!(!codes.is_empty());
        field.run(&["check", "set.tune", "--fix"]).ends(0);
        let (left, report) = told(&field, field.read("set.tune").as_bytes());
        assert!(left.is_empty(), "{report}");
    }
}
