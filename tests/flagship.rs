//! The whole of a first set-up with a scripted rider: tyres and springs noted, sag measured, damping
//! tuned at both ends, a second look, blind pairs. What comes of it is a snapshot, and the same at a terminal and however often
//! the ride is broken off.

use std::process::Command;

use crate::support::{Field, MOMENT, program, project, shown_on, unbroken};

const FILES: [&str; 3] = ["first-setup.tune", "green-trail.tune", "mo.tune"];

fn field() -> Field {
    let field = Field::new();
    for name in FILES {
        field.write(name, std::fs::read(project().join("plans").join(name)).unwrap());
    }
    field
}

/// The answers, one a line, without comments.
fn answers() -> Vec<String> {
    let text = std::fs::read_to_string(project().join("tests/flagship/answers.txt")).unwrap();
    let said = text.lines().map(|line| line.split('#').next().unwrap());
    said.flat_map(|line| line.split(", "))
        .map(|answer| answer.trim().to_owned())
        .filter(|a| !a.is_empty())
        .collect()
}

const OUTPUT: [&str; 6] = ["--journal", "j.ride.toml", "--settings", "s.toml", "--as-of", MOMENT];

fn settings_in_one_go() -> (String, String) {
    let field = field();
    field.write("answers.txt", answers().join("\n"));
    let mut arguments = vec!["ride", "--answers", "answers.txt"];
    arguments.extend(FILES);
    arguments.extend(OUTPUT);
    field.run(&arguments).ends(0);
    (field.read("s.toml"), field.read("j.ride.toml"))
}

#[test]
fn settings_and_journal_are_as_they_were() {
    let (settings, journal) = settings_in_one_go();
    insta::with_settings!({ snapshot_path => project().join("tests/flagship"), prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("settings", settings);
        insta::assert_snapshot!("journal", journal);
    });
}

#[test]
fn broken_off_at_every_question_it_comes_to_the_same_settings() {
    let (whole, _) = settings_in_one_go();
    let answers = answers();
    for broken in 1..answers.len() {
        let field = field();
        let mut arguments = vec!["ride"];
        arguments.extend(FILES);
        arguments.extend(OUTPUT);
        field.run_with(&arguments, &(answers[..broken].join("\n") + "\n")).ends(4);
        field.run_with(&arguments, &(answers[broken..].join("\n") + "\n")).ends(0);
        assert_eq!(field.read("s.toml"), whole, "broken off after {broken} answers");
    }
    // one answer a run
    let field = field();
    for (index, answer) in answers.iter().enumerate() {
        let mut arguments = vec!["ride"];
        arguments.extend(FILES);
        arguments.extend(OUTPUT);
        let status = if index + 1 == answers.len() { 0 } else { 4 };
        field.run_with(&arguments, format!("{answer}\n")).ends(status);
    }
    assert_eq!(field.read("s.toml"), whole);
}

#[test]
fn at_a_terminal_it_comes_to_the_same_settings() {
    let (whole, _) = settings_in_one_go();
    for columns in [38, 100] {
        let field = field();
        let script = format!(
            "stty cols {columns} rows 20 -echo; exec '{}' ride {} {}",
            program().display(),
            FILES.join(" "),
            OUTPUT.join(" ")
        );
        let mut command = Command::new("sh");
        command.args(["-c", &script]).current_dir(field.path(".")).envs([
            ("LANG", "C"),
            ("NO_COLOR", "1"),
            ("TERM", "xterm"),
        ]);
        let mut session = rexpect::session::spawn_command(command, Some(20_000)).unwrap();
        let mut left: std::collections::VecDeque<String> = answers().into();
        let mut entered = 0;
        loop {
            let screen = shown_on(&mut session, 20);
            for line in screen.lines() {
                assert!(line.trim_end_matches('\r').chars().count() <= columns, "too long: {line}");
            }
            if screen.contains("You counted") {
                session.send_line("").unwrap();
                break;
            }
            // what only Enter answers
            let said = unbroken(&screen);
            let implied = said.ends_with("Enter when done.")
                || said.ends_with("Press Enter when you are back.")
                || said.ends_with("Enter when you have read this.")
                || said.contains("Type t to ride it") && left.front().is_none_or(|next| next != "trial")
                || said.contains("Press Enter to begin")
                || said.contains("Rider: look away.")
                || said.contains("Helper only. Pair")
                || said.contains("Press Enter after the lap.");
            if implied {
                entered += 1;
                session.send_line("").unwrap();
            } else {
                session
                    .send_line(&left.pop_front().unwrap_or_else(|| panic!("asked too much:\n{screen}")))
                    .unwrap();
            }
        }
        session.exp_eof().unwrap();
        assert!(left.is_empty() && entered > 5, "{left:?} {entered}");
        assert_eq!(field.read("s.toml"), whole);
    }
}
