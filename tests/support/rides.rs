//! A ride with every kind of step, and every answer to it.

use std::io::Write;
use std::process::{Child, Stdio};
use std::sync::{Arc, OnceLock};
use std::time::{Duration, Instant};

use clickwise::check::check;
use clickwise::problem::Sources;
use clickwise::record::{Journal, read_journal};
use clickwise::rehearsal::{Kind, Rider};
use clickwise::session::{Answer, Ask, Session, Truth, What, replay};
use clickwise::show::{self, Look};

use super::{Field, MOMENT};

/// A set with every kind of step, every method and every kind of scale. All of it is invented.
pub const EVERY_KIND: &str = "\
plan \"Every kind of step\"
  change 1 min
bike \"Zoë's bike\"
part fork
  travel 150 mm
  air 44 to 120 psi, start 70 psi
  rebound 0 to 12 clicks, start 6
  compression ? clicks
  lockout soft or mid or hard
part shock
  stroke 55 mm
  coil 400 or 450 or 500 lb/in, start 450 lb/in
rider \"Mo\"
  weight 78 kg
loop \"Loop\"
  lap 4 min
  warm-up 1 lap
steps
  say \"Go\"
  record settings
  record temperature
  record \"ground\"
  set every compression to open
  measure every spring
  ride warm-up
  tune every rebound, feel \"Roots\"
  tune fork compression, try firmer first, method narrow
  tune fork lockout, method cross-out
  revisit every rebound
  confirm everything, 3 pairs
";

/// The stem of its journal's name, with the seed of a ride of a named moment.
pub const STEM: &str = "2026-05-16-zoë-s-bike-mo-0000";

/// A ride that nobody disturbed.
pub struct Undisturbed {
    /// Every answer, one a line.
    pub answers: String,
    /// The journal, as a text and as it is read.
    pub text: String,
    pub journal: Journal,
    pub settings: String,
    /// Every question as it is put on the screen, in order; the first is put before the first answer.
    pub questions: Vec<String>,
}

pub const JOURNAL: &str = "a.ride.toml";

/// The command line of that ride.
pub fn arguments() -> Vec<&'static str> {
    let mut arguments = vec!["ride", "set.tune", "--answers", "answers.txt", "--journal", JOURNAL];
    arguments.extend(["--settings", "s.toml", "--as-of", MOMENT]);
    arguments
}

/// A folder in which that ride can be ridden.
pub fn field() -> Field {
    Field::with(&[("set.tune", EVERY_KIND), ("answers.txt", &undisturbed().answers)])
}

pub fn undisturbed() -> &'static Undisturbed {
    static RIDE: OnceLock<Undisturbed> = OnceLock::new();
    RIDE.get_or_init(|| {
        let (answers, questions) = answered();
        let field = Field::with(&[("set.tune", EVERY_KIND), ("answers.txt", &answers)]);
        field.run(&arguments()).ends(0);
        let text = field.read(JOURNAL);
        let journal = read_journal(text.as_bytes()).unwrap();
        Undisturbed { answers, text, journal, settings: field.read("s.toml"), questions }
    })
}

/// The answers of a simulated rider, with a void lap, an undo and notes; and the questions.
fn answered() -> (String, Vec<String>) {
    let mut sources = Sources::default();
    sources.add("set.tune", EVERY_KIND);
    let plan = Arc::new(check(&sources).plan.unwrap());
    let mut session = Session::begin(Arc::clone(&plan), 0);
    let mut rider = Rider::new(Kind::Steady, 5, 0);
    let look = Look { width: 80, colour: false, unicode: false };
    let (mut log, mut lines, mut questions) = (Vec::new(), Vec::new(), Vec::new());
    let mut truth = Truth::default();
    let (mut voided, mut undone, mut laps) = (false, false, 0);
    while let Some(ask) = session.ask() {
        questions.push(show::question(&session, &truth, &ask, look).join("\n"));
        let is_lap = matches!(ask, Ask::Lap { .. });
        laps += u32::from(is_lap);
        if undone || laps != 4 {
            let void = is_lap && laps == 2 && !voided;
            let answer = if void { Answer::Void } else { rider.answer(&session, &ask) };
            voided |= void;
            let note = if is_lap { " \"grips – 1.\"" } else { "" };
            lines.push(format!("{answer}{note}"));
            let next = session.answer(&answer).unwrap();
            log.push(What::Answer(answer));
            truth.follow(&session, &log[log.len() - 1], &next);
            session = next;
        } else {
            undone = true;
            lines.push("undo".to_owned());
            log.push(What::Undo);
            let next = replay(&plan, 0, &log).unwrap().quiet();
            truth.follow(&session, &What::Undo, &next);
            session = next;
        }
    }
    assert!(voided && undone);
    (lines.join("\n") + "\n", questions)
}

/// How many of the answers a screen says were taken, where the first `known` were known before: each
/// question is put only once the answer before it is kept.
pub fn acknowledged(screen: &str, known: usize) -> usize {
    let (mut at, mut taken) = (0, known);
    for (index, question) in undisturbed().questions.iter().enumerate().skip(known) {
        let Some(found) = screen[at..].find(question.as_str()) else { break };
        at += found + question.len();
        taken = index;
    }
    taken
}

/// A ride that goes on answer by answer.
pub struct Riding<'a> {
    field: &'a Field,
    pub child: Child,
    journal: String,
}

impl<'a> Riding<'a> {
    /// Begins one whose answers come line by line.
    pub fn begin(field: &'a Field, arguments: &[&str], journal: &str) -> Self {
        let child = field
            .command(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let riding = Riding { field, child, journal: journal.to_owned() };
        riding.until(|field| field.path(journal).exists());
        riding
    }

    fn until(&self, is_so: impl Fn(&Field) -> bool) {
        let begin = Instant::now();
        while !is_so(self.field) {
            assert!(begin.elapsed() < Duration::from_mins(1), "waited in vain");
            std::thread::sleep(Duration::from_millis(1));
        }
    }

    /// Answers, and waits until so many answers are in the journal.
    pub fn answer(&mut self, line: &str, kept: usize) {
        self.say(line);
        let journal = self.journal.clone();
        self.until(|field| {
            let bytes = std::fs::read(field.path(&journal)).unwrap_or_default();
            read_journal(&bytes).is_ok_and(|journal| journal.entries.len() >= kept)
        });
    }

    /// Answers.
    pub fn say(&mut self, line: &str) {
        writeln!(self.child.stdin.as_mut().unwrap(), "{line}").unwrap();
    }

    /// Ends the answers; gives the status and the screen.
    pub fn end(self) -> (Option<i32>, String) {
        let output = self.child.wait_with_output().unwrap();
        (output.status.code(), String::from_utf8_lossy(&output.stderr).into_owned())
    }
}
