//! A ride at a real terminal of 38 columns: every key works and no line is too long.

use std::process::Command;

use rexpect::session::PtySession;

use crate::support::{Field, program, setting, shown_on, unbroken};

const SET: &str = "\
plan \"At a terminal\"
  at most 30 laps
bike \"Terminal bike with a rather long name\"
part fork
  rebound 0 to 20 clicks, start 10
  low-speed compression ? clicks, counted from open
  lockout open or half or closed
loop \"Loop\"
  warm-up 2 laps
steps
  say \"Check tyre pressures, axle and stem bolts before the first lap.\"
  record settings
  record temperature
  record \"ground\"
  ride warm-up
  tune every rebound, feel \"Does the wheel follow the roots without kicking?\"
  tune every compression, try firmer first
";

/// Starts a ride in a terminal of so many columns.
fn terminal(field: &Field, columns: u32) -> PtySession {
    riding(field, columns, "")
}

/// The same at a named moment, in a narrow one.
fn at_moment(field: &Field, moment: &str) -> PtySession {
    riding(field, 38, &format!("--as-of {moment}"))
}

fn riding(field: &Field, columns: u32, more: &str) -> PtySession {
    let script = format!(
        "stty cols {columns} rows 20 -echo; exec '{}' ride set.tune --journal a.ride.toml --settings s.toml {more}",
        program().display()
    );
    let mut command = Command::new("sh");
    command.args(["-c", &script]).current_dir(field.path(".")).env("LANG", "C").env("NO_COLOR", "1");
    rexpect::session::spawn_command(command, Some(20_000)).unwrap()
}

/// Waits for the prompt and gives what was shown before it.
fn shown(session: &mut PtySession) -> String {
    shown_on(session, 20)
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
        ("9, ?, halff", "Now: fork lockout"),
        ("h", "u undo: undo the last answer"),
        ("halff", "Type your answer"),
        ("half", "Count: fork low-speed compression"),
        ("12 clicks", "Before you go on"),
        ("", "Note down: temperature"),
        ("12 C", "Note down: ground"),
        ("dusty and dry", "Enter when you have read this."),
        ("", "Set the bike"),
        ("", "Warm-up: 2 laps"),
        ("", "which way first?"),
        ("f", "Lap 3"),
        ("", "Type better"),
        ("h", "b better: this lap was better"),
        ("b \"grips\"", "14 clicks from closed"),
        ("u", "Undone: better (lap 3)"),
        ("b", "14 clicks from closed"),
        ("v", "14 clicks from closed, no change"),
        ("?", "Ride it again."),
        ("?", "16 clicks from closed"),
        ("the rear was loose", "Type your answer"),
        ("y", "Saved as a note. Now your answer:"),
        ("r", "Which setting did you ride? Type a number or"),
        ("17", "And how was it"),
        ("w", "fork rebound: ride a trial lap?"),
        ("", "fork rebound is done: 13 clicks"),
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
    assert!(rest.contains("Settings saved: s.toml"), "{rest}");
    assert!(unbroken(&rest).contains("You counted fork low-speed compression: 0 to 12 clicks."), "{rest}");
    session.send_line("y").unwrap();
    let rest = session.exp_eof().unwrap();
    assert!(rest.contains("Saved: set.tune"), "{rest}");
    let written = SET.replace("? clicks, counted", "0 to 12 clicks, counted");
    assert_eq!(field.read("set.tune"), written, "only the count is written");
    let settings = field.read("s.toml");
    assert_eq!(setting(&settings, &["fork", "rebound", "value"]).as_integer(), Some(13));
    assert_eq!(setting(&settings, &["fork", "rebound", "before"]).as_integer(), Some(9));
    assert_eq!(setting(&settings, &["fork", "low-speed-compression", "how"]).as_str(), Some("unchanged"));
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
        assert!(unbroken(&rest).contains("Stopped early"), "{rest}");
        let mut session = terminal(&field, columns);
        let screen = shown(&mut session);
        assert!(
            unbroken(&screen).contains("11 answers saved") && screen.contains("14 clicks from closed"),
            "{screen}"
        );
        narrow(&screen, columns as usize);
        // the end of input keeps everything, too
        session.send_control('d').unwrap();
        let rest = session.exp_eof().unwrap();
        assert!(unbroken(&rest).contains("Stopped early"), "{rest}");
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
    assert!(screen.contains("word-misspelt") && screen.contains("range-backwards"), "{screen}");
    for line in screen.lines() {
        let line = line.trim_end_matches('\r');
        // lines quoted from the file, and the marks below them, are as long as the file makes them
        let quoted =
            line.trim_start().starts_with(|c: char| c.is_ascii_digit()) || line.trim_start().starts_with(':');
        assert!(quoted || line.chars().count() <= 38, "too long: {line}");
    }
}

/// A ride that was quit at its third lap is gone on with at another moment: what is said, before the prompt.
fn gone_on_with(set: &str, moment: &str) -> (Field, PtySession, String) {
    let field = Field::with(&[("set.tune", set)]);
    let mut session = at_moment(&field, "2026-05-16T14:05:00+02:00");
    for typed in ["9, ?, half", "12", "", "12 C", "dusty", "", "", "", "f", "b", "q"] {
        shown(&mut session);
        session.send_line(typed).unwrap();
    }
    session.exp_eof().unwrap();
    let mut session = at_moment(&field, moment);
    let screen = shown(&mut session);
    narrow(&screen, 38);
    (field, session, unbroken(&screen))
}

/// After a long pause, or on another day, a new baseline is offered, and declined with Enter.
#[test]
fn a_long_pause_offers_a_new_baseline() {
    let offer = "Type y for a new baseline";
    for (moment, ago) in [
        ("2026-05-16T14:30:00+02:00", None),
        ("2026-05-16T16:05:00+02:00", None),
        ("2026-05-16T16:06:00+02:00", Some("2 h 1 min ago")),
        ("2026-05-17T00:10:00+02:00", Some("10 h ago")),
        ("2026-05-19T14:05:00+02:00", Some("3 days ago")),
        ("2026-05-15T14:05:00+02:00", None),
    ] {
        let (_field, mut session, screen) = gone_on_with(SET, moment);
        assert_eq!(screen.contains(offer), ago.is_some(), "{moment}: {screen}");
        let Some(ago) = ago else { continue };
        assert!(screen.contains(&format!("Your last answer was {ago}.")), "{screen}");
        session.send_line("").unwrap();
        let next = unbroken(&shown(&mut session));
        assert!(next.contains("Lap 4") && next.contains("14 clicks from closed"), "{next}");
        session.send_line("w").unwrap();
        let next = unbroken(&shown(&mut session));
        assert!(next.contains("is done: 12") && !next.contains(offer), "it is offered once: {next}");
    }
    // the loop says how long laps are good for; another day is another day
    let long = SET.replace("  warm-up 2 laps", "  warm-up 2 laps\n  good for 5 h");
    let (_field, _session, screen) = gone_on_with(&long, "2026-05-16T19:00:00+02:00");
    assert!(!screen.contains(offer), "{screen}");
    let (_field, _session, screen) = gone_on_with(&long, "2026-05-16T19:06:00+02:00");
    assert!(screen.contains(offer), "{screen}");
    // taken: conditions again, a warm-up, the best so far
    let (field, mut session, _) = gone_on_with(SET, "2026-05-17T09:00:00+02:00");
    for (typed, expected) in [
        ("y", "Note down: temperature"),
        ("20 C", "Note down: ground"),
        ("wet", "Warm-up: 2 laps"),
        ("", "Lap 6: fork"),
        ("", "Was it better or worse than lap 6, at 12 clicks?"),
    ] {
        session.send_line(typed).unwrap();
        let screen = unbroken(&shown(&mut session));
        assert!(screen.contains(expected), "{typed:?} should show {expected:?}: {screen}");
    }
    assert!(field.read("a.ride.toml").contains("answer = \"baseline\""));
    // what is typed instead of an answer to the offer is heard at the question
    let (_field, mut session, _) = gone_on_with(SET, "2026-05-17T09:00:00+02:00");
    session.send_line("w").unwrap();
    let next = unbroken(&shown(&mut session));
    assert!(
        next.contains("Lap 4: fork") && next.contains("You typed `w` before you were asked this."),
        "{next}"
    );
    session.send_line("").unwrap();
    assert!(unbroken(&shown(&mut session)).contains("is done: 12"));
}

/// A line that is typed at the cautions, where Enter is asked for, is offered at the next question.
#[test]
fn a_line_typed_at_the_cautions_is_not_lost() {
    let field = Field::with(&[("set.tune", SET)]);
    let mut session = terminal(&field, 38);
    for typed in ["9, ?, half", "12", "", "12 C", "dusty", "the front feels odd today"] {
        shown(&mut session);
        session.send_line(typed).unwrap();
    }
    let screen = unbroken(&shown(&mut session));
    assert!(screen.contains("Set the bike"), "{screen}");
    assert!(screen.contains("You typed `the front feels odd today` before you were asked this."), "{screen}");
    for (typed, expected) in [("", "Type your answer"), ("y", "Saved as a note. Now your answer:")] {
        session.send_line(typed).unwrap();
        let screen = unbroken(&shown(&mut session));
        assert!(screen.contains(expected), "{screen}");
    }
    assert!(field.read("a.ride.toml").contains("note = \"the front feels odd today\""));
}
