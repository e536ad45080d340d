//! `clickwise new`: a bike is asked for in plain lines, wrong ones are refused at once, and whatever is
//! written passes `check`.

use std::process::Command;

use clickwise::check::check;
use clickwise::interview::Interview;
use clickwise::language::take_in;
use clickwise::problem::{Problem, Sources};
use clickwise::vocabulary::{CLAUSES, KNOBS, UNITS};
use rexpect::session::PtySession;

use crate::bytes::Lot;
use crate::support::{Field, program, unbroken};

/// Begins in a terminal of so many columns.
fn terminal(field: &Field, columns: u32) -> PtySession {
    let script = format!("stty cols {columns} rows 20 -echo; exec '{}' new", program().display());
    let mut command = Command::new("sh");
    command.args(["-c", &script]).current_dir(field.path(".")).env("LANG", "C").env("NO_COLOR", "1");
    rexpect::session::spawn_command(command, Some(20_000)).unwrap()
}

fn narrow(screen: &str, columns: u32) {
    for line in screen.lines() {
        let line = line.trim_end_matches('\r');
        assert!(line.chars().count() <= columns as usize, "too long for {columns}: {line}");
    }
}

/// What is typed, and what the next screen must say: the next question, or why it was refused and the
/// same question.
const WHOLE: &[(&str, &[&str])] = &[
    ("\u{1b}[DMill bike", &["control character (U+001B)", "What is the bike called?"]),
    ("Mill \"26\" bike", &["Names are written in double quotes", "Fork: how much travel?"]),
    ("150", &["`150` has no unit. Write 150 mm.", "Fork: how much travel?"]),
    ("152,5 mm", &["has a comma instead of a point. Write 152.5", "Fork: how much travel?"]),
    ("150MM", &["Fork: air or coil spring?"]),
    ("aire 44 to 120 psi", &["Did you mean `air`?", "Fork: air or coil spring?"]),
    ("air 120 to 44 psi", &["Write 44 to 120 psi.", "Fork: air or coil spring?"]),
    ("Air 44-120 PSI", &["Fork air: what target sag?", "Press Enter for: 15 to 25 %, common practice"]),
    ("20 % to", &["the line stops too soon", "Fork air: what target sag?"]),
    ("20 %", &["Write both ends, such as `18 to 22 %`.", "Fork air: what target sag?"]),
    (
        "18 to 22%",
        &[
            "Fork air: what pressure to start with?",
            "For example: 82 psi",
            "Press Enter for: you'll be asked when you ride",
        ],
    ),
    ("62 psi at 60 kg", &["One weight is not enough", "Fork air: what pressure to start with?"]),
    ("300 psi", &["utside the range", "120 psi", "Fork air: what pressure"]),
    ("62 psi at 60 kg, 88 psi at 90 kg", &["Fork: which adjusters?"]),
    ("rebuond, LSC", &["Did you mean `rebound`?", "Fork: which adjusters?"]),
    ("rebound, LSR", &["A part can't have both `low-speed rebound` and `rebound`", "Fork: which"]),
    (
        "bottoming resistance",
        &["lickwise doesn't know an adjuster called `bottoming resistance`", "Fork: which adjusters?"],
    ),
    ("pressure", &["A fork has no `pressure`", "Fork: which adjusters?"]),
    ("LSR, HSR 8 clicks, start open, LSC and HSC, spacers, \"Ramp-up\"", &["From which end do you count?"]),
    ("middle", &["`open` or `closed`", "From which end do you count?"]),
    (
        "",
        &[
            "Fork low-speed rebound: how many clicks?",
            "Press Enter for: ? clicks (you count them before the first lap)",
        ],
    ),
    ("20", &["no unit. Add one of these: `clicks`", "Fork low-speed rebound: how many"]),
    ("20 clicsk", &["Did you mean `clicks`?", "Fork low-speed rebound: how many"]),
    ("20 clicks start 12 at 60 kg, 8 at 90 kg  # stiff", &["Fork low-speed compression: how many"]),
    (
        "16 clicks, counted from open",
        &["what setting to start with?", "Press Enter for: fully open, 0 clicks from open"],
    ),
    ("h", &["middle: halfway", "undo the last answer", "low-speed compression: what setting to start with?"]),
    ("12", &["Fork high-speed compression: how many"]),
    ("3 turns, step 1/2 turn", &["what setting to start with?"]),
    ("", &["Fork spacers: how many can it take?"]),
    ("4", &["no unit", "Fork spacers: how many can it take?"]),
    ("0 to 4 spacers", &["Fork spacers: how many to start with?", "Press Enter for: 0 spacers"]),
    ("1 spacer", &["Fork Ramp-up: how many clicks?"]),
    (
        "? clicks",
        &["Fork Ramp-up: what setting to start with?", "Press Enter for: the middle, when you have counted"],
    ),
    ("", &["Shock: how long is its stroke?"]),
    ("62.5 mm", &["Shock: air or coil spring?"]),
    ("coil", &["Shock coil: which springs do you have?"]),
    ("450# or 500", &["`#` starts a comment", "Shock coil: which springs do you have?"]),
    ("450 or 400 lb/in", &["Write 400 or 450 lb/in.", "Shock coil: which springs do you have?"]),
    ("400 or 450 lb/in", &["Shock coil: what target sag?", "Press Enter for: 25 to 35 %"]),
    ("", &["Shock coil: which spring to start with?"]),
    ("450 lb/in", &["Shock: which adjusters?"]),
    (
        "rebound 14 clicks, lockout, preload 2 turns, compression",
        &["Shock rebound: what setting to start with?"],
    ),
    ("", &["Shock lockout: which positions?", "Press Enter for: open or closed"]),
    ("2", &["` needs named positions, not numbers", "Shock lockout: which positions?"]),
    ("open or half or firm", &["Shock preload: what setting to start with?"]),
    ("1/4 turn", &["Shock compression: how many clicks?"]),
    ("", &["Shock compression: what setting to start with?", "Press Enter for: fully open"]),
    ("u", &["Undone: Enter", "Shock compression: how many clicks?"]),
    ("none", &["Front tyre: lowest and highest pressure?"]),
    ("1.4 to 2.2 bar", &["Front tyre: what pressure to start with?"]),
    ("1.75 bar", &["Rear tyre: lowest and highest pressure?", "Press Enter for: same as the front tyre"]),
    ("", &["Rear tyre: what pressure to start with?"]),
    (
        "1.9 bar",
        &["Here is the bike's file:", "Where should the file go?", "Press Enter for: mill-26-bike.tune"],
    ),
];

const WRITTEN: &str = "\
bike \"Mill '26' bike\"

part fork
  travel  150 mm
  air     44 to 120 psi, sag 18 to 22 %, start 62 psi at 60 kg, 88 psi at 90 kg
  low-speed rebound      20 clicks, start 12 at 60 kg, 8 at 90 kg   # stiff
  high-speed rebound     8 clicks, start open
  low-speed compression  16 clicks, counted from open, start 12
  high-speed compression 3 turns, step 1/2 turn
  spacers 0 to 4 spacers, start 1 spacer
  adjuster \"Ramp-up\" ? clicks

part shock
  stroke  62.5 mm
  coil    400 or 450 lb/in, start 450 lb/in
  rebound 14 clicks
  lockout open or half or firm
  preload 2 turns, start 1/4 turn

part front tyre
  pressure 1.4 to 2.2 bar, start 1.75 bar

part rear tyre
  pressure 1.4 to 2.2 bar, start 1.9 bar
";

#[test]
fn a_whole_bike_is_entered_at_a_terminal() {
    for columns in [38, 100] {
        let field = Field::new();
        let mut session = terminal(&field, columns);
        let mut screen = session.exp_string("> ").unwrap();
        assert!(screen.contains("What is the bike called?"), "{screen}");
        for (typed, expected) in WHOLE {
            narrow(&screen, columns);
            session.send_line(typed).unwrap();
            screen = session.exp_string("\n> ").unwrap();
            // the example of a whole line is no answer to a question about a part of it
            assert!(!screen.contains("or example: `"), "{screen}");
            for words in *expected {
                assert!(unbroken(&screen).contains(words), "{typed:?} should show {words:?}:\n{screen}");
            }
        }
        narrow(&screen, columns);
        session.send_line("").unwrap();
        let rest = session.exp_eof().unwrap();
        narrow(&rest, columns);
        let said = unbroken(&rest);
        assert!(said.contains("Saved: mill-26-bike.tune"), "{rest}");
        assert!(said.contains("clickwise check mill-26-bike.tune"), "{rest}");
        assert!(said.contains("first-setup.tune mill-26-bike.tune"), "{rest}");
        assert_eq!(field.read("mill-26-bike.tune"), WRITTEN);
        field.run(&["format", "--check", "mill-26-bike.tune"]).ends(0);
        let ran = field.run(&["check", "mill-26-bike.tune"]).ends(0);
        assert!(ran.out.contains("No problems found."), "{}", ran.out);
    }
}

#[test]
fn enter_alone_makes_the_smallest_bike_and_it_can_be_ridden() {
    let field = Field::new();
    let ran = field.run_with(&["new"], "\n".repeat(11)).ends(0);
    assert_eq!(ran.out, "");
    assert_eq!(field.read("my-bike.tune"), "bike \"My bike\"\n\npart fork\n  rebound ? clicks\n");
    field.write("plan.tune", "steps\n  ride 2 laps\n  tune every rebound\n");
    let ran = field.run(&["check", "my-bike.tune", "plan.tune"]).ends(0);
    assert!(ran.out.contains("Ready to ride."), "{}", ran.out);
}

#[test]
fn numbers_that_count_from_open_say_so_wherever_that_can_be() {
    let field = Field::new();
    let answers = "B\n\n\nLSR 8 clicks, start 3, compression, lockout\nopen\n\n\n\n\n\n\n\n\n";
    field.run_with(&["new"], answers).ends(0);
    let expected = "bike \"B\"

part fork
  low-speed rebound 8 clicks, counted from open, start 3
  compression ? clicks, counted from open
  lockout     open or closed
";
    assert_eq!(field.read("b.tune"), expected);
}

#[test]
fn a_pipe_is_answered_as_a_terminal_is() {
    let field = Field::new();
    let answers = "\u{feff}Pipe\n150\n150 mm\n\nrebound 18 clicks, start 9\n\n\n\n\nu\n\nbikes/mine\n";
    let ran = field.run_with(&["new"], answers).ends(0);
    let said = unbroken(&ran.err);
    assert!(said.contains("> 150 That doesn't work. `150` has no unit."), "{}", ran.err);
    assert!(said.contains("Undone: Enter"), "{}", ran.err);
    let expected = "bike \"Pipe\"\n\npart fork\n  travel  150 mm\n  rebound 18 clicks, start 9\n";
    assert_eq!(field.read("bikes/mine.tune"), expected);
}

#[test]
fn what_was_typed_is_printed_where_it_ends_before_the_end() {
    let so_far = "bike \"Half\"\n\npart fork\n  travel  150 mm\n";
    for end in ["q\n", "Quit\n", ""] {
        let field = Field::new();
        let ran = field.run_with(&["new"], format!("Half\n150 mm\n{end}")).ends(4);
        assert_eq!(ran.out, so_far);
        assert!(ran.err.contains("Stopped"), "{}", ran.err);
        assert!(field.names(".").is_empty());
    }
    // before the first answer there is nothing, and nothing to take back
    let ran = Field::new().run_with(&["new"], "undo\nhelp\nq\n").ends(4);
    assert_eq!(ran.out, "");
    assert!(ran.err.contains("There is nothing to undo."), "{}", ran.err);
    // and at the very last question
    let field = Field::new();
    let ran = field.run_with(&["new"], "Half\n150 mm\n\nnone\n\n\n\nh\nq\n").ends(4);
    assert_eq!(ran.out, so_far);
    assert!(ran.err.contains("This bike has no adjusters yet"), "{}", ran.err);
    assert!(field.names(".").is_empty());
}

#[test]
fn quitting_at_a_terminal_prints_what_there_is() {
    let field = Field::new();
    let mut session = terminal(&field, 38);
    for typed in ["Half", "150 mm"] {
        narrow(&session.exp_string("> ").unwrap(), 38);
        session.send_line(typed).unwrap();
    }
    session.exp_string("> ").unwrap();
    session.send_control('d').unwrap();
    let rest = session.exp_eof().unwrap();
    assert!(rest.replace('\r', "").contains("bike \"Half\"\n\npart fork\n  travel  150 mm\n"), "{rest}");
}

#[test]
fn a_file_that_is_there_is_never_written_over() {
    let answers = "Mine\nnone\n\n\n\n";
    let field = Field::with(&[("mine.tune", "unchanged"), ("other.tune", "unchanged")]);
    // Enter means the next free name; a typed name that is taken is asked again
    let ran = field.run_with(&["new"], format!("{answers}other\nother.tune\n\n")).ends(0);
    assert!(unbroken(&ran.err).contains("other.tune already exists and was not changed"), "{}", ran.err);
    assert_eq!(field.read("mine-2.tune"), "bike \"Mine\"\n");
    let ran = field.run_with(&["new", "-o", "other.tune"], format!("{answers}\n")).ends(0);
    assert!(unbroken(&ran.err).contains("other.tune already exists"), "{}", ran.err);
    assert_eq!(field.read("other-2.tune"), "bike \"Mine\"\n");
    assert_eq!(
        (field.read("mine.tune"), field.read("other.tune")),
        ("unchanged".to_owned(), "unchanged".to_owned())
    );
    assert_eq!(field.names("."), ["mine-2.tune", "mine.tune", "other-2.tune", "other.tune"]);
}

#[test]
fn a_file_may_be_named_beforehand_or_printed() {
    let field = Field::new();
    field.run_with(&["new", "--output", "x/a b.tune"], "Mine\nnone\n\n\n\n\n").ends(0);
    assert_eq!(field.read("x/a b.tune"), "bike \"Mine\"\n");
    let ran = field.run_with(&["new", "-o", "-"], "Mine\nnone\n\n\n\n").ends(0);
    assert_eq!(ran.out, "bike \"Mine\"\n");
    assert_eq!(field.names("."), ["x"]);
}

#[test]
fn a_file_that_cannot_be_written_is_printed() {
    let field = Field::with(&[("taken", "a file, no folder")]);
    let ran = field.run_with(&["new", "-o", "taken/mine.tune"], "Mine\nnone\n\n\n\n\n").ends(3);
    assert_eq!(ran.out, "bike \"Mine\"\n");
    assert!(ran.err.contains("Can't save"), "{}", ran.err);
}

#[test]
fn it_stands_first_in_the_help() {
    let ran = Field::new().run(&["--help"]).ends(0);
    let commands = ran.out.split("Commands:").nth(1).unwrap().trim_start();
    assert!(commands.starts_with("new "), "{}", ran.out);
}

/// Everything that a check of a bike finds.
fn errors(text: &str) -> Vec<Problem> {
    let mut sources = Sources::default();
    let (_, mut problems) = take_in(&mut sources, "bike.tune", text.as_bytes());
    problems.extend(check(&sources).problems);
    problems.retain(Problem::is_error);
    problems
}

/// A drawn answer: bytes, words of the language in any order, or something that may well fit.
fn drawn(lot: &mut Lot) -> String {
    const FITTING: &[&str] = &[
        "",
        "",
        "150 mm",
        "55 mm",
        "air 44 to 120 psi",
        "coil 400 or 450 or 500 lb/in",
        "air",
        "coil, start 450 lb/in",
        "18 to 22 %",
        "70 psi",
        "rebound, lsc, hsc, lockout",
        "LSR HSR and compression 12 clicks start 3, \"a, b\", preload, spacers",
        "adjuster \"x\" 3 turns # so",
        "18 clicks",
        "0-18 clicks, counted from closed",
        "? turns",
        "open",
        "soft or firm",
        "9 at 60 kg, 7 at 90 kg",
        "none",
        "unknown",
        "450# or 500",
        "a\u{2028}b \u{85} \"\u{201c}c\u{201d}",
        "\u{201c}x y\u{201d} 4 turns",
        "part shock",
        "bike \"x",
        "# only a remark\r\u{1b}",
    ];
    let words = |lot: &mut Lot| {
        let piece = match lot.below(6) {
            0 => KNOBS[lot.below(KNOBS.len())].word,
            1 => UNITS[lot.below(UNITS.len())].word,
            2 => CLAUSES[lot.below(CLAUSES.len())].words,
            3 => ["to", "or", "by", "at", "and", "?", ",", "\"", "#", "\r"][lot.below(10)],
            _ => ["0", "3", "18", "1/4", "44.5", "-1", "0,5", "99999999"][lot.below(8)],
        };
        format!("{piece}{}", if lot.below(5) == 0 { "" } else { " " })
    };
    match lot.below(8) {
        0 => String::from_utf8_lossy(&lot.bytes(40)).replace('\n', ""),
        1 | 2 => (0..lot.below(8)).map(|_| words(lot)).collect(),
        3 => {
            let (first, second) = (lot.below(FITTING.len()), lot.below(FITTING.len()));
            format!("{}, {}", FITTING[first], FITTING[second])
        }
        _ => FITTING[lot.below(FITTING.len())].to_owned(),
    }
}

#[test]
fn whatever_is_answered_the_file_passes_check() {
    let mut lot = Lot(0x6a09_e667_f3bc_c908);
    let (mut finished, mut refused) = (0, 0);
    for _ in 0..300 {
        let mut interview = Interview::begin();
        for _ in 0..80 {
            if interview.question().is_none() {
                finished += 1;
                break;
            }
            assert!(!interview.help().is_empty());
            let line = drawn(&mut lot);
            match interview.answer(&line) {
                Ok(next) => {
                    let found = errors(&next.text());
                    assert!(found.is_empty(), "{line:?} gave\n{}\n{found:?}", next.text());
                    assert!(next.text().chars().all(|c| c == '\n' || !c.is_control()), "{}", next.text());
                    if lot.below(10) == 0 {
                        let (before, taken) = next.undo().unwrap();
                        assert_eq!((before.text(), taken), (interview.text(), line));
                        assert_eq!(before.question(), interview.question());
                    }
                    interview = next;
                }
                Err(refusal) => {
                    assert!(refusal.0.len() > 5, "{line:?}: {refusal}");
                    refused += 1;
                }
            }
        }
        assert!(interview.text().ends_with('\n') || interview.text().is_empty());
    }
    assert!(finished > 100 && refused > 1000, "{finished} finished, {refused} refused");
}

/// The same through the program, with bytes that are no text.
#[test]
fn any_bytes_end_with_a_status_and_a_file_that_passes_check() {
    let mut lot = Lot(0x3c6e_f372_fe94_f82b);
    let field = Field::new();
    for round in 0..40 {
        let mut input = Vec::new();
        for _ in 0..60 {
            input.extend(drawn(&mut lot).into_bytes());
            input.extend(lot.bytes(3));
            input.push(b'\n');
        }
        field.write("answers.txt", &input);
        let name = format!("{round}.tune");
        let answers = std::fs::File::open(field.path("answers.txt")).unwrap();
        let output = field.command(&["new", "-o", &name]).stdin(answers).output().unwrap();
        let status = output.status.code();
        assert!(matches!(status, Some(0 | 3 | 4)), "{status:?} for {input:?}");
        if status == Some(4) {
            let text = String::from_utf8(output.stdout).unwrap();
            assert!(errors(&text).is_empty(), "{text}");
        }
    }
    for round in 0..40 {
        let name = format!("{round}.tune");
        if field.path(&name).exists() {
            field.run(&["check", &name]).ends(0);
            field.run(&["format", "--check", &name]).ends(0);
        }
    }
}
