//! The one layout: cases that are files, the plans as they stand, and what holds for any layout.

use clickwise::language::{parse, take_in};
use clickwise::problem::{Code, Sources};

use crate::bytes::Lot;
use crate::cases::each_case;
use crate::support::{Field, project};

fn formatted(bytes: &[u8]) -> String {
    let mut sources = Sources::default();
    let (id, _) = take_in(&mut sources, "x.tune", bytes);
    let text = sources.get(id).text();
    clickwise::layout::format(&parse(id, text).0, text)
}

/// What a check of a text comes to: the plan and the codes, without those of commas.
fn meaning(bytes: &[u8]) -> (Option<clickwise::plan::Plan>, Vec<Code>, Vec<clickwise::problem::Text>, bool) {
    let mut sources = Sources::default();
    let (_, mut problems) = take_in(&mut sources, "x.tune", bytes);
    let checked = clickwise::check::check(&sources);
    problems.extend(checked.problems);
    let errors = problems.iter().any(clickwise::problem::Problem::is_error);
    let mut codes: Vec<Code> = problems.iter().map(|problem| problem.code).collect();
    codes.retain(|code| !matches!(code, Code::CommaMissing | Code::CommaExtra));
    codes.sort_unstable();
    (checked.plan, codes, checked.needs, errors)
}

fn plans() -> Vec<(String, Vec<u8>)> {
    let folder = std::fs::read_dir(project().join("plans")).unwrap();
    let mut plans: Vec<_> = folder
        .map(|entry| entry.unwrap())
        .map(|entry| (entry.file_name().into_string().unwrap(), std::fs::read(entry.path()).unwrap()))
        .collect();
    plans.sort();
    plans
}

#[test]
fn how_files_are_set() {
    each_case("format", |name, text| {
        let file = format!("{name}.tune");
        let field = Field::with(&[(&file, text)]);
        let ran = field.run(&["format", &file]);
        let now = field.read(&file);
        assert_eq!(formatted(now.as_bytes()), now);
        format!("{}{}status {}\n----\n{now}", ran.err, ran.out, ran.status)
    });
}

#[test]
fn the_plans_are_set_already() {
    for (name, text) in plans() {
        assert_eq!(formatted(&text), String::from_utf8(text).unwrap(), "{name}");
    }
}

/// Every case of the other tests, sound or not, set anew.
#[test]
fn the_cases_of_other_tests_keep_their_meaning() {
    let mut seen = 0;
    for folder in ["tests/check", "tests/ride", "tests/format"] {
        for entry in std::fs::read_dir(project().join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_none_or(|ending| ending != "tune") {
                continue;
            }
            let bytes = std::fs::read(&path).unwrap();
            let now = formatted(&bytes);
            assert_eq!(formatted(now.as_bytes()), now, "{}", path.display());
            assert_eq!(meaning(now.as_bytes()), meaning(&bytes), "{}\n{now}", path.display());
            seen += 1;
        }
    }
    assert!(seen >= 20, "{seen}");
}

/// A bike that was asked for is written in the one layout.
#[test]
fn what_new_writes_is_set_already() {
    let field = Field::new();
    let answers = [
        "B",
        "150 mm",
        "44 to 120 psi",
        "18 to 22 %",
        "62 psi at 60 kg, 88 psi at 90 kg",
        "LSR, HSR, compression, \"bottoming resistance\"",
    ]
    .join("\n");
    let ran = field.run_with(&["new", "-o", "b.tune"], &(answers + &"\n".repeat(60)));
    let text = field.read("b.tune");
    assert!(text.contains("high-speed rebound ?"), "{text}");
    assert_eq!(formatted(text.as_bytes()), text, "{}", ran.err);
}

#[test]
fn check_writes_nothing_and_names_what_would_change() {
    let (good, bad) = ("rider \"Mo\"\n  weight 78 kg\n", "rider \"Mo\"\nweight 78kg");
    let field = Field::with(&[("good.tune", good), ("bad.tune", bad)]);
    let ran = field.run(&["format", "--check", "good.tune", "bad.tune"]).ends(1);
    assert_eq!(ran.out, "bad.tune: needs tidying\n");
    assert_eq!(field.read("bad.tune"), bad);
    field.run(&["format", "--check", "good.tune"]).ends(0);
    let ran = field.run(&["format", "good.tune", "bad.tune"]).ends(0);
    assert_eq!(ran.out, "bad.tune: changed\n");
    assert_eq!(field.read("bad.tune"), good);
    let ran = field.run(&["format", "good.tune", "bad.tune"]).ends(0);
    assert_eq!(ran.out, "Nothing to change.\n");
}

#[test]
fn a_file_with_errors_is_left_and_the_others_are_set() {
    let wrong = "steps\n tune every rebuond\n";
    let field = Field::with(&[("wrong.tune", wrong), ("bad.tune", "rider \"Mo\"\nweight 78kg")]);
    field.write("bytes.tune", b"PK\x03\x04\xff");
    let ran = field.run(&["format", "wrong.tune", "bytes.tune", "bad.tune"]).ends(1);
    assert!(
        ran.err.contains("word-misspelt")
            && ran.err.contains("wrong.tune: not changed; fix the errors first"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("encoding-unknown"), "{}", ran.err);
    assert_eq!(ran.out, "bad.tune: changed\n");
    assert_eq!(field.read("wrong.tune"), wrong);
    let ran = field.run(&["format", "gone.tune", "bad.tune"]).ends(3);
    assert!(ran.err.contains("Can't read gone.tune"), "{}", ran.err);
}

#[test]
fn what_another_file_of_the_set_may_say_is_no_error() {
    let steps = "use \"bike.tune\"\n\npart fork\n  rebound 9 clicks\n\nsteps\n  tune    shock rebound\n";
    let field = Field::with(&[("steps.tune", steps)]);
    let ran = field.run(&["format", "steps.tune"]).ends(0);
    assert_eq!(ran.out, "Nothing to change.\n", "{}", ran.err);
}

#[test]
fn most_line_ends_are_kept_and_a_mark_at_the_head_is_dropped() {
    assert_eq!(
        formatted(b"\xef\xbb\xbfrider \"M\"\r\nweight 7 kg\n#x\r\n"),
        "rider \"M\"\r\n  weight 7 kg\r\n  #x\r\n"
    );
    assert_eq!(formatted(b"rider \"M\"\r\nweight 7 kg\n#x"), "rider \"M\"\n  weight 7 kg\n  #x\n");
    assert_eq!(formatted(b"\n \n"), "");
}

/// As many comments as are read.
#[test]
fn a_file_of_a_great_many_comments_is_set() {
    let text = format!("rider \"M\"\n  weight 7 kg\n{}", "  #\n".repeat(99_000));
    assert!(formatted(text.as_bytes()) == text);
}

#[cfg(unix)]
#[test]
fn a_link_stays_a_link() {
    let field = Field::with(&[("mo.tune", "rider \"Mo\"\nweight 78kg")]);
    std::os::unix::fs::symlink("mo.tune", field.path("link.tune")).unwrap();
    field.run(&["format", "link.tune"]).ends(0);
    assert!(std::fs::symlink_metadata(field.path("link.tune")).unwrap().is_symlink());
    assert_eq!(field.read("mo.tune"), "rider \"Mo\"\n  weight 78 kg\n");
}

/// A text with another layout that means the same, and the comments that were put into it.
fn laid_out(lot: &mut Lot, text: &str) -> (String, usize) {
    let (mut out, mut comments) = (String::new(), 0);
    let mut quoted = false;
    let mut chars = text.chars().peekable();
    if lot.below(8) == 0 {
        out.push('\u{FEFF}');
    }
    let end = if lot.below(3) == 0 { "\r\n" } else { "\n" };
    while let Some(c) = chars.next() {
        if c == '#' && !quoted {
            out.push(c);
            while let Some(c) = chars.next_if(|&c| c != '\n') {
                out.push(c);
            }
            continue;
        }
        quoted ^= c == '"';
        match c {
            ' ' if !quoted => match lot.below(12) {
                0 => out.push('\t'),
                1 => out.push_str("   "),
                2 => out.push('\u{A0}'),
                _ => out.push(' '),
            },
            ',' if !quoted => match lot.below(12) {
                0 => out.push(' '),
                1 => out.push_str(" ,, "),
                2 => out.push_str(&format!(",{end}")),
                3 => out.push_str(&format!("{end},")),
                4 => {
                    out.push_str(&format!(", # remark {comments}{end}"));
                    comments += 1;
                }
                5 => {
                    out.push_str(&format!("{end}{end}  # remark {comments}{end},"));
                    comments += 1;
                }
                6 => {
                    out.push_str(&format!(" # remark {comments}{end}  "));
                    comments += 1;
                }
                _ => out.push(','),
            },
            '\n' => {
                match lot.below(16) {
                    0 => out.push_str(" ,"),
                    1 => {
                        out.push_str(&format!(" #remark {comments} \t"));
                        comments += 1;
                    }
                    2 => out.push_str(&format!("{end}  ")),
                    3 => {
                        out.push_str(&format!("{end}\t# remark {comments}"));
                        comments += 1;
                    }
                    _ => {}
                }
                out.push_str(if lot.below(20) == 0 { "\n" } else { end });
            }
            _ if !quoted && lot.below(20) == 0 => out.extend(c.to_uppercase()),
            _ => out.push(c),
        }
    }
    (out, comments)
}

fn comments(text: &str) -> Vec<String> {
    let mut sources = Sources::default();
    let id = sources.add("x", text);
    let tokens = clickwise::language::tokens(id, text, 0);
    let comments = tokens.iter().filter(|token| token.kind == clickwise::language::TokenKind::Comment);
    comments.map(|token| sources.slice(token.span).trim().to_owned()).collect()
}

#[test]
fn another_layout_means_the_same_and_setting_twice_is_setting_once() {
    let plans = plans();
    let with = |heading: &str| -> Vec<&str> {
        let texts = plans.iter().map(|(_, text)| std::str::from_utf8(text).unwrap());
        texts.filter(|text| text.lines().any(|line| line.starts_with(heading))).collect()
    };
    let (tunes, bikes, riders) = (with("plan "), with("bike "), with("rider "));
    let mut lot = Lot(0x0f0e_0d0c_0b0a_0908);
    let (mut sound, mut planned) = (0, 0);
    for round in 0..4000 {
        let plain =
            [tunes[lot.below(tunes.len())], bikes[lot.below(bikes.len())], riders[lot.below(riders.len())]]
                .join("\n");
        let (text, added) = if round < 200 { (plain.clone(), 0) } else { laid_out(&mut lot, &plain) };
        let now = formatted(text.as_bytes());
        let old_comments = comments(&text);
        assert!(old_comments.len() >= added);
        assert_eq!(comments(&now), old_comments, "{text}\n----\n{now}");
        let (old, new) = (meaning(text.as_bytes()), meaning(now.as_bytes()));
        if old.1.contains(&Code::LineEnd) {
            continue;
        }
        assert_eq!(new, old, "{text}\n----\n{now}");
        assert_eq!(formatted(now.as_bytes()), now, "{text}");
        sound += usize::from(!old.3);
        planned += usize::from(old.0.is_some());
    }
    assert!(sound > 1000 && planned > 1000, "{sound} sound, {planned} plans");
}

#[test]
fn any_bytes_are_set_and_keep_their_comments() {
    let plans = plans();
    let mut lot = Lot(0x5555_1234_9876_abcd);
    for round in 0..6000 {
        let bytes = if round % 3 == 0 {
            lot.bytes(300)
        } else {
            crate::bytes::mutated(&mut lot, &plans[round % plans.len()].1)
        };
        let now = formatted(&bytes);
        let old = String::from_utf8_lossy(&bytes).into_owned();
        if old.replace("\r\n", "").contains('\r') {
            continue;
        }
        for comment in comments(&old) {
            assert!(now.contains(&comment), "{comment}\n{old}\n----\n{now}");
        }
        let (before, after) = (meaning(&bytes), meaning(now.as_bytes()));
        if !before.3 {
            assert_eq!(after, before, "{old}\n----\n{now}");
            assert_eq!(formatted(now.as_bytes()), now, "{old}");
        }
    }
}
