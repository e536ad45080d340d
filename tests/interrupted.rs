//! Rides that are cut off: nothing that was acknowledged is lost, and what was changed is noticed.

use std::io::Read;
use std::process::Stdio;
use std::time::Duration;

use clickwise::record::{Damage, read_journal as read};

use crate::support::{Field, MOMENT, unbroken};

const SET: &str = "\
plan \"Cut off\"
bike \"Zoë's bike\"
part fork
  rebound 0 to 20 clicks, start 10
  compression ? clicks
trail \"Loop\"
  warm-up 1 lap
steps
  say \"Go\"
  record \"ground\"
  ride warm-up
  tune every rebound
  tune every compression, begin firmer
";

const ANSWERS: &str = "12 clicks\n\"dry – dusty\"\nfaster\nbetter \"grips\"\nbetter\n?\nsame\nworse\nundo\nsame\nworse\n\
                       void \"puncture\"\nsame\nsame\nworse\n";

const JOURNAL: &str = "a.ride.toml";

fn field() -> Field {
    Field::with(&[("set.tune", SET), ("answers.txt", ANSWERS)])
}

fn arguments() -> Vec<&'static str> {
    vec![
        "ride",
        "set.tune",
        "--answers",
        "answers.txt",
        "--journal",
        JOURNAL,
        "--settings",
        "s.toml",
        "--as-of",
        MOMENT,
    ]
}

/// The journal and the settings of a ride that nobody disturbed.
fn undisturbed() -> (String, String) {
    let field = field();
    field.run(&arguments()).ends(0);
    (field.read(JOURNAL), field.read("s.toml"))
}

#[test]
fn a_journal_cut_at_any_byte_is_read_to_its_last_whole_record() {
    let (journal, _) = undisturbed();
    let whole = read(journal.as_bytes()).unwrap();
    assert!(whole.entries.len() > 20 && whole.torn.is_empty());
    let mut last = 0;
    for cut in 0..journal.len() {
        match read(&journal.as_bytes()[..cut]) {
            Err(damage) => assert_eq!(damage, Damage::NoHead, "cut at {cut}"),
            Ok(part) => {
                assert_eq!(part.entries[..], whole.entries[..part.entries.len()], "cut at {cut}");
                assert!(part.entries.len() >= last, "cut at {cut}");
                last = part.entries.len();
                // What stands behind the last whole record is told, not dropped in silence.
                assert!(part.whole + part.torn.len() >= cut, "cut at {cut}");
            }
        }
    }
    assert_eq!(last, whole.entries.len());
}

#[test]
fn a_ride_goes_on_from_a_journal_cut_anywhere() {
    let (journal, settings) = undisturbed();
    // at every byte where the long tests are asked for
    let stride = if std::env::var_os("CLICKWISE_BYTES").is_some() { 1 } else { 37 };
    for cut in (0..journal.len()).step_by(stride) {
        let field = field();
        field.write(JOURNAL, &journal.as_bytes()[..cut]);
        let ran = field.run(&arguments()).ends(0);
        let torn = cut > 0 && !read(&journal.as_bytes()[..cut]).is_ok_and(|part| part.torn.is_empty());
        assert_eq!(torn, field.names(".").iter().any(|name| name.contains(".torn")), "cut at {cut}");
        assert_eq!(torn, unbroken(&ran.err).contains("set aside as"), "cut at {cut}: {}", ran.err);
        assert_eq!(field.read("s.toml"), settings, "cut at {cut}");
        assert_eq!(field.read(JOURNAL), journal, "cut at {cut}");
    }
}

#[test]
fn a_changed_digit_anywhere_is_noticed() {
    let (journal, _) = undisturbed();
    let whole = read(journal.as_bytes()).unwrap();
    let mut changed = 0;
    for (at, byte) in journal.bytes().enumerate().filter(|(_, byte)| byte.is_ascii_digit()) {
        let mut bytes = journal.clone().into_bytes();
        bytes[at] = if byte == b'9' { b'0' } else { byte + 1 };
        match read(&bytes) {
            Err(Damage::Changed { .. }) => {}
            other => panic!("digit at byte {at}: {other:?}"),
        }
        // the program too, where the long tests are asked for
        if std::env::var_os("CLICKWISE_BYTES").is_some() {
            let field = field();
            field.write(JOURNAL, &bytes);
            let ran = field.run(&arguments()).ends(1);
            assert!(
                unbroken(&ran.err).contains("does not match its checksum"),
                "digit at byte {at}: {}",
                ran.err
            );
            assert_eq!(std::fs::read(field.path(JOURNAL)).unwrap(), bytes);
        }
        changed += 1;
    }
    assert!(changed > 500, "{changed}");
    assert!(whole.torn.is_empty());
}

#[test]
fn a_damaged_journal_is_refused_and_left_alone() {
    let (journal, _) = undisturbed();
    let changed = journal.replacen("answer = \"better\"", "answer = \"worse\"", 1);
    let field = field();
    field.write(JOURNAL, &changed);
    let ran = field.run(&arguments()).ends(1);
    assert!(ran.err.contains("does not match its checksum"), "{}", ran.err);
    assert_eq!(field.read(JOURNAL), changed);
}

/// The settings without what depends on the clock.
fn without_times(settings: &str) -> String {
    settings.lines().filter(|line| !line.starts_with("settled")).collect::<Vec<_>>().join("\n")
}

/// How many questions a screen shows that are put once the answer before is kept: each begins with
/// an empty line and a heading.
fn questions(screen: &str) -> usize {
    let headings = ["Count: ", "Read this", "Note down: ", "Set every", "Set", "Warm up: ", "Lap "];
    let is_heading =
        |line: &str| headings.iter().any(|head| line.starts_with(head)) || line.ends_with("which way first?");
    screen.lines().filter(|line| is_heading(line)).count()
}

#[test]
fn killed_at_two_hundred_moments_nothing_acknowledged_is_lost() {
    let (_, settings) = undisturbed();
    let settings = without_times(&settings);
    // a fixed stream of numbers, so that a failure can be looked at again
    let mut state = 88_172_645_463_325_252_u64;
    let mut next = move || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        state
    };
    let mut unfinished = 0;
    for round in 0..200 {
        let field = field();
        let mut child = field
            .command(&arguments())
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_micros(500 + next() % 12_000));
        child.kill().unwrap();
        let mut screen = Vec::new();
        child.stderr.take().unwrap().read_to_end(&mut screen).unwrap();
        child.wait().unwrap();
        let screen = String::from_utf8_lossy(&screen).into_owned();
        let kept = std::fs::read(field.path(JOURNAL)).ok().map_or(0, |bytes| match read(&bytes) {
            Ok(journal) => journal.entries.len(),
            Err(damage) => panic!("round {round}: {damage}"),
        });
        // the question that stands last on the screen is not answered yet
        assert!(kept + 1 >= questions(&screen), "round {round}: {kept} kept of\n{screen}");
        if !screen.contains("Settings: ") {
            unfinished += 1;
        }
        field.run(&arguments()).ends(0);
        assert_eq!(without_times(&field.read("s.toml")), settings, "round {round}");
        let names = field.names(".");
        assert!(names.iter().all(|name| !name.contains("tmp")), "{names:?}");
    }
    assert!(unfinished > 20, "only {unfinished} rides were cut off before their end");
}

#[test]
fn the_answers_must_begin_with_those_that_are_kept() {
    let field = field();
    field.write("answers.txt", "12 clicks, \"dry – dusty\", faster, better");
    field.run(&arguments()).ends(4);
    field.write("answers.txt", "12 clicks, \"dry – dusty\", slower, better");
    let ran = field.run(&arguments()).ends(1);
    assert!(ran.err.contains("The journal has `faster` here"), "{}", ran.err);
    field.write("answers.txt", "12 clicks");
    let ran = field.run(&arguments()).ends(1);
    assert!(ran.err.contains("The answers end before the journal does"), "{}", ran.err);
    let before = (field.read(JOURNAL), field.read("s.toml"));
    field.write("answers.txt", "12 clicks, quit");
    field.run(&arguments()).ends(1);
    assert_eq!((field.read(JOURNAL), field.read("s.toml")), before);
}

/// The words of a journal are read as what was typed, whatever letters a name is of.
#[test]
fn a_list_given_again_may_name_positions_in_any_letters() {
    let set = "\
bike \"B\"
part shock
  lockout weich or härter or note
  rebound 0 to 9 clicks
steps
  record settings
  tune shock rebound
  set every lockout to start
";
    for (typed, found) in [("härter", "härter"), ("note", "note"), ("\"härter\" \"as it was\"", "härter")]
    {
        let field = Field::with(&[("set.tune", set), ("answers.txt", &format!("{typed}\n4\nfaster\n"))]);
        field.run(&arguments()).ends(4);
        let again = field.run(&arguments()).ends(4);
        assert!(again.err.contains("5 answers kept."), "{}", again.err);
        let settings = field.read("s.toml");
        assert!(settings.contains(&format!("found = \"{found}\"")), "{settings}");
    }
}

#[test]
fn a_changed_plan_is_noticed() {
    let field = field();
    field.write("answers.txt", "12 clicks, \"dry\", faster, better");
    field.run(&arguments()).ends(4);
    // a change that no answer so far depends on
    field.write("set.tune", SET.replace("begin firmer", "begin firmer, at most 4 laps"));
    let ran = field.run_with(&["ride", "set.tune", "--journal", JOURNAL, "--settings", "s.toml"], "").ends(4);
    assert!(ran.err.contains("The files have changed since"), "{}", ran.err);
    assert!(field.read(JOURNAL).contains("[[change]]"));
    // and one that makes an earlier lap another one
    field.write("set.tune", SET.replace("start 10", "start 8"));
    let before = field.read(JOURNAL);
    let ran = field.run_with(&["ride", "set.tune", "--journal", JOURNAL], "worse").ends(1);
    assert!(ran.err.contains("Recorded: ") && ran.err.contains("Would now ask: "), "{}", ran.err);
    assert_eq!(field.read(JOURNAL), before);
}

#[test]
fn two_rides_do_not_share_a_journal() {
    let field = field();
    let mut first = field
        .command(&["ride", "set.tune", "--journal", JOURNAL])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    while !field.path(JOURNAL).exists() {
        std::thread::sleep(Duration::from_millis(1));
    }
    let ran = field.run(&arguments()).ends(1);
    assert!(ran.err.contains("another ride is writing this journal (process "), "{}", ran.err);
    first.kill().unwrap();
    first.wait().unwrap();
    field.run(&arguments()).ends(0);
}
