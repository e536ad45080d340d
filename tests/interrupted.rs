//! Rides that are cut off: nothing that was acknowledged is lost, and what was changed is noticed.

use std::io::Read;
use std::process::Stdio;
use std::time::{Duration, Instant};

use clickwise::record::{Rest, read_journal as read};

use crate::bytes::Lot;
use crate::support::{Field, MOMENT, rides, unbroken};

const SET: &str = "\
plan \"Cut off\"
bike \"Zoë's bike\"
part fork
  rebound 0 to 20 clicks, start 10
  compression ? clicks
loop \"Loop\"
  warm-up 1 lap
steps
  say \"Go\"
  record \"ground\"
  ride warm-up
  tune every rebound
  tune every compression, try firmer first
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
fn a_ride_goes_on_from_a_journal_cut_anywhere() {
    let (journal, settings) = undisturbed();
    // at every byte where the long tests are asked for
    let stride = if std::env::var_os("CLICKWISE_BYTES").is_some() { 1 } else { 37 };
    for cut in (0..journal.len()).step_by(stride) {
        let field = field();
        field.write(JOURNAL, &journal.as_bytes()[..cut]);
        let ran = field.run(&arguments()).ends(0);
        let torn = cut > 0 && !read(&journal.as_bytes()[..cut]).is_ok_and(|part| part.rest == Rest::Nothing);
        assert_eq!(torn, field.names(".").iter().any(|name| name.contains(".damaged-1")), "cut at {cut}");
        let told = unbroken(&ran.err).contains("only half saved");
        assert_eq!(torn, told, "cut at {cut}: {}", ran.err);
        assert_eq!(field.read("s.toml"), settings, "cut at {cut}");
        assert_eq!(field.read(JOURNAL), journal, "cut at {cut}");
    }
}

/// One damaged byte costs what comes after it, and nothing before; the rest is set aside whole.
#[test]
fn a_ride_goes_on_from_a_journal_damaged_anywhere() {
    let (journal, settings) = undisturbed();
    let head = journal.find("\nseal = ").unwrap() + 1;
    let head = head + journal[head..].find('\n').unwrap() + 1;
    let stride = if std::env::var_os("CLICKWISE_BYTES").is_some() { 1 } else { 41 };
    for at in (0..journal.len()).step_by(stride) {
        let mut bytes = journal.clone().into_bytes();
        bytes[at] ^= 1;
        let field = field();
        field.write(JOURNAL, &bytes);
        let ran = field.run(&arguments()).ends(0);
        let said = unbroken(&ran.err);
        let aside = std::fs::read(field.path("a.ride.toml.damaged-1")).unwrap();
        assert!(said.contains("now") && said.contains("a.ride.toml.damaged-1"), "byte {at}: {}", ran.err);
        if at < head {
            assert!(said.contains("the beginning of this journal is damaged, so the "), "byte {at}: {said}");
            assert_eq!(aside, bytes, "byte {at}");
        } else {
            let whole = read(&bytes).unwrap();
            assert_eq!(aside, bytes[whole.whole..], "byte {at}");
            let kept = whole.entries.len();
            let told = format!("record {} (line ", kept + 1);
            assert!(said.contains(&told) || said.contains("only half saved"), "byte {at}: {said}");
            let answers = if kept == 1 { "answer" } else { "answers" };
            assert!(said.contains(&format!("{kept} {answers} saved.")), "byte {at}: {said}");
        }
        assert_eq!(field.read("s.toml"), settings, "byte {at}");
        assert_eq!(field.read(JOURNAL), journal, "byte {at}");
    }
}

/// As many as `CLICKWISE_KILLS` says, else a hundred, over rides with every kind of step; every ride is cut
/// off up to four times before it is let through.
#[test]
fn killed_at_any_moment_nothing_acknowledged_is_lost() {
    let kills: usize =
        std::env::var("CLICKWISE_KILLS").ok().and_then(|kills| kills.parse().ok()).unwrap_or(100);
    let whole = rides::undisturbed();
    let begin = Instant::now();
    let screen = rides::field().run(&rides::arguments()).ends(0).err.len();
    let each = usize::try_from(begin.elapsed().as_micros()).unwrap().div_ceil(screen / 100);
    // a fixed stream of numbers, so that a failure can be looked at again
    let mut lot = Lot(88_172_645_463_325_252);
    let (mut killed, mut at_work) = (0, 0);
    while killed < kills {
        let field = rides::field();
        let mut kept = 0;
        for time in 1..=4 {
            let mut command = field.command(&rides::arguments());
            let mut child =
                command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
            let mut pipe = child.stderr.take().unwrap();
            // once so much is on the screen, and a little later; what is left of a ride becomes shorter
            let mut shown = vec![0; lot.below(screen / time)];
            let _ = pipe.read_exact(&mut shown);
            std::thread::sleep(Duration::from_micros(lot.below(each) as u64));
            child.kill().unwrap();
            child.wait().unwrap();
            pipe.read_to_end(&mut shown).unwrap();
            let screen = String::from_utf8_lossy(&shown);
            let bytes = std::fs::read(field.path(JOURNAL)).unwrap_or_default();
            let entries = if bytes.is_empty() { Vec::new() } else { read(&bytes).unwrap().entries };
            let taken = rides::acknowledged(&screen, kept);
            assert!(entries.len() >= taken, "kill {killed}: {} of {taken} kept:\n{screen}", entries.len());
            assert_eq!(entries[..], whole.journal.entries[..entries.len()], "kill {killed}");
            at_work += usize::from(entries.len() > kept && entries.len() < whole.journal.entries.len());
            kept = entries.len();
            killed += 1;
        }
        field.run(&rides::arguments()).ends(0);
        assert_eq!(field.read("s.toml"), whole.settings, "kill {killed}");
        assert_eq!(field.read(JOURNAL), whole.text, "kill {killed}");
    }
    assert!(at_work * 5 > kills, "only {at_work} of {killed} kills came while answers were written");
    println!("{killed} kills, {at_work} of them while answers were written");
}

#[test]
fn the_answers_must_begin_with_those_that_are_kept() {
    let field = field();
    field.write("answers.txt", "12 clicks, \"dry – dusty\", faster, better");
    field.run(&arguments()).ends(4);
    field.write("answers.txt", "12 clicks, \"dry – dusty\", slower, better");
    let ran = field.run(&arguments()).ends(1);
    assert!(ran.err.contains("it has `faster` here"), "{}", ran.err);
    field.write("answers.txt", "12 clicks");
    let ran = field.run(&arguments()).ends(1);
    assert!(ran.err.contains("Your list is too short"), "{}", ran.err);
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
        assert!(again.err.contains("5 answers saved."), "{}", again.err);
        let settings = field.read("s.toml");
        assert!(settings.contains(&format!("before = \"{found}\"")), "{settings}");
    }
}

#[test]
fn a_changed_plan_is_noticed() {
    let field = field();
    field.write("answers.txt", "12 clicks, \"dry\", faster, better");
    field.run(&arguments()).ends(4);
    // a change that no answer so far depends on
    field.write("set.tune", SET.replace("try firmer first", "try firmer first, at most 4 laps"));
    let ran = field.run_with(&["ride", "set.tune", "--journal", JOURNAL, "--settings", "s.toml"], "").ends(4);
    assert!(ran.err.contains("Your files have changed since last time"), "{}", ran.err);
    assert!(field.read(JOURNAL).contains("[[change]]"));
    // and one that makes an earlier lap another one
    field.write("set.tune", SET.replace("start 10", "start 8"));
    let before = field.read(JOURNAL);
    let ran = field.run_with(&["ride", "set.tune", "--journal", JOURNAL], "worse").ends(1);
    assert!(ran.err.contains("It asked: ") && ran.err.contains("It would now ask: "), "{}", ran.err);
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
    assert!(ran.err.contains("this journal is in use by another session (process "), "{}", ran.err);
    first.kill().unwrap();
    first.wait().unwrap();
    field.run(&arguments()).ends(0);
}
