//! What comes from outside: long lines, byte order marks, odd names, odd clocks. Worked by hand; no outside source.

use crate::support::{Field, unbroken};

const SET: &str = "bike \"B\"\npart fork\n  rebound 0 to 20 clicks, start 10, step 2 clicks\nsteps\n  ride 1 lap\n  tune fork rebound, try faster first\n";

const RIDE: [&str; 4] = ["ride", "set.tune", "--settings", "-"];

fn field() -> Field {
    Field::with(&[("set.tune", SET)])
}

#[test]
fn standard_input_may_begin_with_a_byte_order_mark() {
    let ran = field().run_with(&RIDE, "\u{FEFF}better\r\nworse\r\n").ends(0);
    assert!(ran.out.contains("value = 12"), "{}", ran.out);
    let ran = field().run_with(&RIDE, "\u{FEFF}").ends(4);
    assert!(!ran.err.contains("` is not an answer"), "{}", ran.err);
}

/// A line of over 64 kB was read as two, and the second half answered a lap.
#[test]
fn a_long_line_is_one_line_and_is_refused_in_short() {
    let note = format!("better \"{}\"\nworse\n", "so good ".repeat(9_000));
    let field = field();
    let ran = field.run_with(&RIDE, &note).ends(0);
    assert!(ran.out.contains("value = 12"), "{}", ran.out);
    // it broke behind 64 KiB, where another answer was read
    let broken = format!("{}better\nworse\n", "x".repeat(64 * 1024));
    let ran = Field::with(&[("set.tune", SET)]).run_with(&RIDE, &broken).ends(1);
    let said = unbroken(&ran.err);
    assert!(said.contains("line 1: `xxxxxxxxxx") && said.contains("x ...`"), "{said}");
    assert!(ran.err.lines().count() < 60 && !said.contains(&"x".repeat(200)), "{said}");
    let several = format!("31 and {} clicks\n", "9".repeat(30_000));
    let ran = Field::with(&[("set.tune", SET)]).run_with(&RIDE, &several).ends(1);
    assert!(ran.err.len() < 4_000, "{}", ran.err);
}

/// "The ride is over" was said while a setting was still to be fitted.
#[test]
fn an_answer_too_many_names_what_is_still_to_be_done() {
    let said = unbroken(&field().run_with(&RIDE, "better\nworse\nsame\n").ends(1).err);
    assert!(!said.contains("already finished"), "{said}");
    let (fit, refused) = (
        said.rfind("Now set fork rebound: 12 clicks").unwrap(),
        said.find("line 3: `same` is one answer too many").unwrap(),
    );
    assert!(fit < refused, "{said}");
    // over, and nothing to be done
    let said = unbroken(&field().run_with(&RIDE, "better\nworse\ndone\nsame\n").ends(1).err);
    assert!(said.contains("line 4: the session has already finished"), "{said}");
}

/// What a clock or a seed says can be read back from the journal, by this program and by any reader of TOML.
#[test]
fn odd_clocks_and_seeds_give_journals_that_can_be_read() {
    let seed = i64::MAX.to_string();
    for (zone, seed) in
        [("ABC-24:59:59", "1"), ("ABC+24:59:59", "1"), ("Nowhere/Land", "1"), ("UTC", seed.as_str())]
    {
        let field = field();
        let arguments = ["ride", "set.tune", "--journal", "a.ride.toml", "--seed", seed];
        for _ in 0..2 {
            let ran = field
                .command(&arguments)
                .env("TZ", zone)
                .stdin(std::process::Stdio::null())
                .output()
                .unwrap();
            assert_eq!(ran.status.code(), Some(4), "{zone}: {}", String::from_utf8_lossy(&ran.stderr));
        }
        let journal: toml::Table = toml::from_str(&field.read("a.ride.toml")).unwrap();
        assert_eq!(journal["seed"].as_integer(), seed.parse().ok());
        let began = journal["started"].as_datetime().unwrap();
        assert!(began.offset.is_some(), "{began}");
    }
    let ran = field().run(&["ride", "set.tune", "--seed", "9223372036854775808"]).ends(2);
    assert!(ran.err.contains("--seed"), "{}", ran.err);
}

/// The names of files are cut where a disk would not take them.
#[test]
fn names_of_any_length_and_script_make_files() {
    for name in ["x".repeat(300), "\u{20000}".repeat(60), "ż".repeat(200), "한".repeat(90)] {
        let set =
            format!("rider \"{name}\"\n  weight 70 kg\n{}", SET.replace("\"B\"", &format!("\"{name}\"")));
        let field = Field::with(&[("set.tune", &set)]);
        field.run_with(&["ride", "set.tune"], "better\nworse\n").ends(0);
        let names = field.names(".");
        assert!(names.iter().any(|name| name.ends_with(".settings.toml")), "{names:?}");
        assert_eq!(field.journals("rides").len(), 1);
        // and the ride is known by its name
        let said = unbroken(&field.run_with(&["ride", "set.tune"], "").ends(4).err);
        assert!(said.contains("Journal:"), "{said}");
        let said = unbroken(&field.run_with(&["ride", "set.tune"], "").ends(4).err);
        assert!(said.contains("Carrying on with"), "{said}");
    }
}

/// A character that nobody sees is named, and taken out by `--fix`; a space that only looks like one is one.
#[test]
fn what_nobody_can_see_in_a_name_is_told() {
    for (hidden, name) in [
        ("\u{200B}", "zero width space (U+200B)"),
        ("\u{AD}", "soft hyphen (U+00AD)"),
        ("\u{2060}", "word joiner (U+2060)"),
        ("\u{3164}", "Hangul filler (U+3164)"),
        ("\u{E0041}", "tag (U+E0041)"),
        ("\u{1B}", "control character (U+001B)"),
    ] {
        let text = SET.replace("\"B\"", &format!("\"My{hidden}bike\""));
        let field = Field::with(&[("set.tune", &text)]);
        let said = unbroken(&field.run(&["check", "set.tune"]).ends(1).err);
        let (name, point) = name.split_once(" (").unwrap();
        assert!(
            said.contains(&format!("this text has an invisible character in it: {name} ({point}")),
            "{said}"
        );
        assert_eq!(said.matches(" error ").count(), 1, "{said}");
        field.run(&["check", "--fix", "set.tune"]).ends(0);
        assert_eq!(field.read("set.tune"), text.replace(hidden, ""));
    }
    // two adjusters that look alike are alike
    let text =
        "bike \"B\"\npart fork\n  adjuster \"a b\" 0 to 4 clicks\n  adjuster \"a\u{A0}b\" 0 to 4 clicks\n";
    let said = unbroken(&Field::with(&[("set.tune", text)]).run(&["check", "set.tune"]).ends(1).err);
    assert!(said.contains("a second time") || said.contains("duplicate"), "{said}");
}
