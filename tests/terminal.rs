//! A ride at a real terminal of 38 columns: every key works and no line is too long.

use std::process::Command;

use rexpect::session::PtySession;

use crate::support::{Field, program, setting, unbroken};

const SET: &str = "\
plan \"At a terminal\"
  at most 30 laps
bike \"Terminal bike with a rather long name\"
part fork
  rebound 0 to 20 clicks, start 10
  low-speed compression ? clicks, counted from open
  lockout open or half or closed
trail \"Loop\"
  warm-up 2 laps
steps
  say \"Check tyre pressures, axle and stem bolts before the first lap.\"
  record settings
  record temperature
  record \"ground\"
  ride warm-up
  tune every rebound, feel \"Does the wheel follow the roots without kicking?\"
  tune every compression, begin firmer
";

/// Starts a ride in a terminal of so many columns.
fn terminal(field: &Field, columns: u32) -> PtySession {
    let script = format!(
        "stty cols {columns} rows 20 -echo; exec '{}' ride set.tune --journal a.ride.toml --settings s.toml",
        program().display()
    );
    let mut command = Command::new("sh");
    command.args(["-c", &script]).current_dir(field.path(".")).env("LANG", "C").env("NO_COLOR", "1");
    rexpect::session::spawn_command(command, Some(20_000)).unwrap()
}

/// Waits for the prompt and gives what was shown before it.
fn shown(session: &mut PtySession) -> String {
    session.exp_string("> ").unwrap()
}

fn narrow(screen: &str, columns: usize) {
    for line in screen.lines() {
        let line = line.trim_end_matches('\r');
        assert!(line.chars().count() <= columns, "too long for {columns}: {line}");
    }
}

#[test]
fn every_key_works_at_a_narrow_terminal() {
    let field = Field::with(&[("set.tune", SET)]);
    let mut session = terminal(&field, 38);
    // what is typed, and what the screen then must say
    let script = [
        ("9, ?, halff", "As found: fork lockout"),
        ("h", "u undo: takes the last answer back"),
        ("halff", "Type the answer, or y"),
        ("half", "Count: fork low-speed compression"),
        ("12 clicks", "Read this"),
        ("", "Note down: temperature"),
        ("12 C", "Note down: ground"),
        ("dusty and dry", "Enter when you have read this."),
        ("", "Set every adjuster"),
        ("", "Warm up: 2 laps"),
        ("", "which way first?"),
        ("f", "Lap 3"),
        ("", "Type better"),
        ("h", "b better: this lap was better"),
        ("b \"grips\"", "14 clicks from closed"),
        ("u", "Taken back: better (lap 3)"),
        ("b", "14 clicks from closed"),
        ("v", "14 clicks from closed, as now"),
        ("?", "Ride it once more."),
        ("?", "16 clicks from closed"),
        ("the rear was loose", "Type the answer, or y"),
        ("y", "Kept as a note"),
        ("r", "Which setting was fitted?"),
        ("17", "And how was it"),
        ("w", "fork rebound: a proof lap?"),
        ("", "fork rebound settles at 13 clicks"),
        ("", "Lap 8"),
    ];
    let mut screen = shown(&mut session);
    assert!(screen.contains("fork rebound: clicks from closed"), "{screen}");
    for (typed, expected) in script {
        narrow(&screen, 38);
        session.send_line(typed).unwrap();
        screen = shown(&mut session);
        assert!(unbroken(&screen).contains(expected), "{typed:?} should show {expected:?}:\n{screen}");
    }
    narrow(&screen, 38);
    session.send_line("k").unwrap();
    let rest = shown(&mut session);
    narrow(&rest, 38);
    assert!(rest.contains("Settings: s.toml"), "{rest}");
    assert!(unbroken(&rest).contains("Counted: fork low-speed compression, 0 to 12 clicks."), "{rest}");
    session.send_line("y").unwrap();
    let rest = session.exp_eof().unwrap();
    assert!(rest.contains("Written: set.tune"), "{rest}");
    let written = SET.replace("? clicks, counted", "0 to 12 clicks, counted");
    assert_eq!(field.read("set.tune"), written, "only the count is written");
    let settings = field.read("s.toml");
    assert_eq!(setting(&settings, &["fork", "rebound", "value"]).as_integer(), Some(13));
    assert_eq!(setting(&settings, &["fork", "rebound", "found"]).as_integer(), Some(9));
    assert_eq!(setting(&settings, &["fork", "low-speed-compression", "how"]).as_str(), Some("kept"));
    assert_eq!(setting(&settings, &["conditions", "ground"]).as_str(), Some("dusty and dry"));
    let journal = field.read("a.ride.toml");
    assert!(journal.contains("note = \"the rear was loose\"") && journal.contains("note = \"grips\""));
}

#[test]
fn a_ride_that_is_quit_goes_on_the_next_time() {
    for columns in [38, 100] {
        let field = Field::with(&[("set.tune", SET)]);
        let mut session = terminal(&field, columns);
        for typed in ["9", "unknown", "half", "12", "", "12 C", "dusty", "", "", "", "faster", "b"] {
            narrow(&shown(&mut session), columns as usize);
            session.send_line(typed).unwrap();
        }
        shown(&mut session);
        session.send_line("q").unwrap();
        let rest = session.exp_eof().unwrap();
        assert!(unbroken(&rest).contains("everything is kept"), "{rest}");
        let mut session = terminal(&field, columns);
        let screen = shown(&mut session);
        assert!(
            unbroken(&screen).contains("11 answers kept") && screen.contains("14 clicks from closed"),
            "{screen}"
        );
        narrow(&screen, columns as usize);
        // the end of input keeps everything, too
        session.send_control('d').unwrap();
        let rest = session.exp_eof().unwrap();
        assert!(unbroken(&rest).contains("everything is kept"), "{rest}");
    }
}

#[test]
fn problems_keep_to_a_narrow_terminal() {
    let field = Field::with(&[
        ("set.tune", SET),
        (
            "bad.tune",
            "bike \"B\"\npart fork\n  rebuond 18 to 0 clicks, start 99, coun from open\nsteps\n  tune shock compression\n",
        ),
    ]);
    let script = format!("stty cols 38 rows 20; exec '{}' check bad.tune", program().display());
    let mut command = Command::new("sh");
    command.args(["-c", &script]).current_dir(field.path(".")).env("LANG", "C").env("NO_COLOR", "1");
    let mut session = rexpect::session::spawn_command(command, Some(20_000)).unwrap();
    let screen = session.exp_eof().unwrap();
    assert!(screen.contains("word-misspelt") && screen.contains("adjuster-absent"), "{screen}");
    for line in screen.lines() {
        let line = line.trim_end_matches('\r');
        // lines quoted from the file, and the marks below them, are as long as the file makes them
        let quoted =
            line.trim_start().starts_with(|c: char| c.is_ascii_digit()) || line.trim_start().starts_with(':');
        assert!(quoted || line.chars().count() <= 38, "too long: {line}");
    }
}
