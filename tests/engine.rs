//! The one face of the library: what another program does with it comes to the very files that `clickwise` writes.

#[path = "engine/program.rs"]
mod program;

use clickwise::engine::{
    Answer, BeginFrom, BeginNote, DateTime, Follows, InMemory, IntoFile, Line, NotBegun, NotResumed, NotSaid,
    NotTaken, QuestionKind, Resuming, Ride, Said, Set, What, read_journal,
};

use clickwise::rehearsal::{Kind, Rider};
use clickwise::show;

use crate::support::rides::{EVERY_KIND, JOURNAL, undisturbed};
use crate::support::{Field, MOMENT, project, unbroken};

fn now() -> DateTime {
    MOMENT.parse().unwrap()
}

fn every_kind() -> Set {
    Set::gather(&InMemory::of([("set.tune", EVERY_KIND)]), &["set.tune"]).unwrap()
}

fn begun(set: &Set) -> Ride {
    Ride::begin(set, &BeginFrom::default(), &now(), 0).unwrap()
}

/// The answers of a simulated rider to the whole plan of a set, one a line.
fn ridden(set: &Set) -> Vec<String> {
    let mut rider = Rider::new(Kind::Steady, 5, 0);
    let mut ride = Ride::unrecorded(set.plan().unwrap().clone(), 0);
    let mut lines = Vec::new();
    while let Some(ask) = ride.ask() {
        let answer = rider.answer(ride.session(), &ask);
        lines.push(answer.to_string());
        ride.take(Said::answer(answer), &now()).unwrap();
    }
    lines
}

/// Says what is in these lines.
fn say(ride: &mut Ride, lines: &str) {
    for line in lines.lines() {
        ride.say(line, &now()).unwrap_or_else(|why| panic!("{line}: {why:?}"));
    }
}

#[test]
fn the_program_is_short_and_uses_the_one_face_alone() {
    let text = std::fs::read_to_string(project().join("tests/engine/program.rs")).unwrap();
    let lines = text.lines().filter(|line| !line.trim().is_empty() && !line.starts_with("//!")).count();
    assert!(lines <= 40, "{lines}");
    assert!(text.matches("clickwise::").count() == 1 && text.contains("use clickwise::engine::"));
}

/// A ride with every kind of step, answer, undo and note.
#[test]
fn a_program_writes_the_very_files_of_a_ride() {
    let files = InMemory::of([("set.tune", EVERY_KIND)]);
    let whole = undisturbed();
    let written = program::ride(&files, &["set.tune"], (MOMENT, 0), &whole.answers, JOURNAL).unwrap();
    assert_eq!(String::from_utf8(written.journal).unwrap(), whole.text);
    assert_eq!(written.settings, whole.settings);
}

/// Misspelt words and names of files are repaired in memory as `check --fix` repairs them on the disk, and ridden.
#[test]
fn a_misspelt_set_is_repaired_in_memory_and_ridden() {
    let texts = [
        ("plan.tune", "use \"bikes/Trail.tune\"\nplan \"P\"\nstesp\n  ride 1 lap\n  tune every rebuond\n"),
        ("bikes/trail.tune", "bike \"Trail\"\npart fork\n  rebound 0 to 18 clcks, strat 9\n"),
    ];
    let field = Field::new();
    std::fs::create_dir(field.path("bikes")).unwrap();
    for (name, text) in texts {
        field.write(name, text);
    }
    field.run(&["check", "--fix", "plan.tune"]).ends(0);
    let mended = ["plan.tune", "bikes/trail.tune"].map(|name| (name, field.read(name)));
    let mended = Set::gather(&InMemory::of(mended), &["plan.tune"]).unwrap();
    // what goes without saying is left out
    let mut answers = ridden(&mended);
    answers.retain(|answer| answer != "done");
    assert!(answers.len() > 3, "{answers:?}");
    field.write("answers.txt", answers.join(" \"a note\", "));
    let arguments = ["ride", "plan.tune", "--answers", "answers.txt", "--journal", "a.ride.toml"];
    let options = ["--settings", "s.toml", "--as-of", MOMENT, "--seed", "77"];
    field.run(&[&arguments[..], &options[..]].concat()).ends(0);
    let answers = field.read("answers.txt");
    let written =
        program::ride(&InMemory::of(texts), &["plan.tune"], (MOMENT, 77), &answers, "a.ride.toml").unwrap();
    for (name, text) in &written.repaired {
        assert_eq!(*text, field.read(name));
    }
    assert_eq!(String::from_utf8(written.journal).unwrap(), field.read("a.ride.toml"));
    assert_eq!(written.settings, field.read("s.toml"));
    assert_eq!(written.settings, field.read("a.settings.toml"));
}

#[test]
fn a_program_is_told_why_not() {
    let ride = |text: &str, answers| {
        let files = InMemory::of([("x.tune", text)]);
        program::ride(&files, &["x.tune"], (MOMENT, 0), answers, "j").err().unwrap()
    };
    let sound = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n  tune every rebound\n";
    assert!(
        ride("bike \"B\"\npart frok\n  x", "").starts_with("x.tune:3: "),
        "{}",
        ride("bike \"B\"\npart frok\n  x", "")
    );
    assert!(ride("bike \"B\"\n", "").contains("no plan"));
    assert!(ride(sound, "faster\n27,5").contains("NotRead"));
    assert!(ride(sound, "12 C").contains("Unfit"));
    assert!(ride(sound, "quit").contains("NoAnswer"));
    let files = InMemory::of([("x.tune", sound)]);
    let at = |now| program::ride(&files, &["x.tune"], (now, 0), "", "j").err();
    assert!(at("yesterday").is_some_and(|why| why.contains("RFC 3339")));
    assert!(at("2026-05-16\nseed = 1").is_some() && at("2026-05-16T14:05:00Z # x").is_some());
}

/// Whatever of a journal there is, the ride goes on from it and comes to the same journal.
#[test]
fn a_ride_goes_on_from_any_part_of_its_journal() {
    let (set, whole) = (every_kind(), undisturbed());
    let ends: Vec<usize> = whole.text.match_indices("seal = \"").map(|(at, _)| at + 26).collect();
    assert_eq!(ends.len(), whole.journal.entries.len() + 1);
    for (entries, end) in ends.iter().enumerate().step_by(5) {
        let next = ends.get(entries + 1).copied().unwrap_or(*end);
        for cut in [*end, end.midpoint(next)] {
            let mut ride = Ride::resume(&set, &whole.text.as_bytes()[..cut]).unwrap();
            assert_eq!(ride.journal(), &whole.text.as_bytes()[..*end], "half a record is not kept");
            let alone = Ride::resume_alone(&whole.text.as_bytes()[..cut]).unwrap();
            assert_eq!((alone.session(), alone.last_answer()), (ride.session(), ride.last_answer()));
            // the answers as the journal has them, with their notes
            for entry in &whole.journal.entries[entries..] {
                let clickwise::record::Entry::Answer(record) = entry else { panic!("no change is in it") };
                ride.take(record.said.clone(), &now()).unwrap();
            }
            assert_eq!(String::from_utf8_lossy(ride.journal()), whole.text, "from {cut}");
            assert!(ride.ask().is_none());
        }
    }
}

/// A ride that the program left is gone on with in memory, and the other way round.
#[test]
fn a_ride_is_handed_over_between_program_and_memory() {
    let set = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\n  compression 0 to 12 clicks\nsteps\n  tune every rebound\n  \
               tune every compression\n";
    let field = Field::with(&[("set.tune", set)]);
    let arguments = ["ride", "set.tune", "--journal", "a.ride.toml", "--as-of", MOMENT];
    let gathered = Set::gather(&InMemory::of([("set.tune", set)]), &["set.tune"]).unwrap();
    let answers = ridden(&gathered);
    let [first, second, third] =
        [&answers[..4], &answers[4..9], &answers[9..]].map(|part| part.join("\n") + "\n");
    field.run_with(&arguments, &first).ends(4);
    let mut ride = Ride::resume(&gathered, field.read("a.ride.toml").as_bytes()).unwrap();
    let taken_back = answers[..9].iter().rposition(|answer| answer != "done").unwrap();
    say(&mut ride, &format!("{second}undo\n{}", answers[taken_back..9].join("\n")));
    field.write("a.ride.toml", ride.journal());
    let ran = field.run_with(&arguments, &third).ends(0);
    assert!(ran.err.contains(&format!("{} answers saved", 19 - taken_back)), "{}", ran.err);
    say(&mut ride, &third);
    assert_eq!(String::from_utf8_lossy(ride.journal()), field.read("a.ride.toml"));
    let into = IntoFile { journal: Some("a.ride.toml"), ..IntoFile::default() };
    assert_eq!(ride.settings(&now(), &into).unwrap(), field.read("a.settings.toml"));
    // a changed file that every answer still fits is written down alike
    let field = Field::with(&[("set.tune", set)]);
    field.run_with(&arguments, "faster\nbetter\n").ends(4);
    let before = field.read("a.ride.toml");
    let changed = format!("# of spring\n{set}");
    field.write("set.tune", &changed);
    field.run_with(&arguments, "").ends(4);
    let gathered = Set::gather(&InMemory::of([("set.tune", &*changed)]), &["set.tune"]).unwrap();
    let ride = Ride::resume(&gathered, before.as_bytes()).unwrap();
    assert_eq!(String::from_utf8_lossy(ride.journal()), field.read("a.ride.toml"));
    assert!(field.read("a.ride.toml").contains("[[change]]"));
}

#[test]
fn what_cannot_go_on_is_told_apart() {
    let (set, whole) = (every_kind(), undisturbed());
    let gathered = |text: &str| Set::gather(&InMemory::of([("set.tune", text)]), &["set.tune"]).unwrap();
    let resumed = |text: &str| Ride::resume(&gathered(text), whole.text.as_bytes()).unwrap_err();
    assert!(matches!(resumed(&EVERY_KIND.replace("Mo", "Lee")), NotResumed::OtherRide));
    assert!(matches!(resumed("bike \"B\"\n"), NotResumed::NotBegun(NotBegun::NoPlan)));
    let other = EVERY_KIND.replace("rebound 0 to 12 clicks, start 6", "rebound 0 to 14 clicks, start 7");
    let NotResumed::Differs(difference) = resumed(&other) else { panic!("{:?}", resumed(&other)) };
    let (recorded, now) = show::differs(&difference);
    assert!(!recorded.contains(&now), "{recorded}; {now}");
    assert!(matches!(Ride::resume(&set, b"no journal"), Err(NotResumed::Damage(_))));
    assert!(matches!(Ride::resume_alone(b""), Err(NotResumed::Damage(_))));
    // with the plan that the journal keeps it goes on all the same
    let journal = read_journal(whole.text.as_bytes()).unwrap();
    let resuming = Resuming::of(&gathered(&other), &journal, BeginFrom::default()).unwrap();
    assert!(matches!(resuming.follows(), Follows::Differs(_)));
    let as_it_was = resuming.as_it_was().unwrap();
    assert_eq!(as_it_was.follows(), &Follows::Same);
    assert_eq!(as_it_was.ride(whole.text.clone().into_bytes()).plan(), begun(&set).plan());
}

/// Recorded settings, counts to be made again, and what is to be said of them; carried on into the next settings.
#[test]
fn a_ride_begins_from_recorded_settings_as_the_program_does() {
    let set = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks, start 9\n  compression 0 to 12 clicks\nsteps\n  ride 1 lap\n  tune every rebound\n";
    let field = Field::with(&[("set.tune", set), ("answers.txt", "faster\nworse\nworse\n")]);
    let arguments = ["ride", "set.tune", "--answers", "answers.txt", "--as-of", MOMENT];
    field.run(&[&arguments[..], &["--journal", "a.ride.toml", "--settings", "s.toml"]].concat()).ends(0);
    let settings = field.read("s.toml").replace("bike = \"B\"", "bike = \"Another\"");
    field.write("old.toml", &settings);
    let options = ["--journal", "b.ride.toml", "--settings", "t.toml", "--from", "old.toml", "--recount"];
    field.write("answers.txt", "18\n12\nfaster\nworse\nworse\n");
    let ran = field.run(&[&arguments[..], &options[..]].concat()).ends(0);
    let gathered = Set::gather(&InMemory::of([("set.tune", set)]), &["set.tune"]).unwrap();
    let from = BeginFrom { settings: Some(("old.toml".to_owned(), settings)), recount: true };
    let mut ride = Ride::begin(&gathered, &from, &now(), 0).unwrap();
    let from = ride.from_settings().unwrap();
    assert!(
        matches!(&from.notes[..], [BeginNote::OtherBike(Some(bike))] if bike == "Another"),
        "{:?}",
        from.notes
    );
    assert!(unbroken(&ran.err).contains(&show::begun(from)[0]), "{}", ran.err);
    say(&mut ride, &field.read("answers.txt"));
    ride.say_the_rest(&now()).unwrap();
    assert_eq!(String::from_utf8_lossy(ride.journal()), field.read("b.ride.toml"));
    let earlier = ride.earlier();
    let into = IntoFile { journal: Some("b.ride.toml"), earlier: earlier.as_ref(), existing: None };
    assert_eq!(ride.settings(&now(), &into).unwrap(), field.read("t.toml"));
    let none = BeginFrom { settings: Some(("x".to_owned(), "a = 1".to_owned())), recount: false };
    assert!(matches!(Ride::begin(&gathered, &none, &now(), 0), Err(NotBegun::NotSettings { .. })));
}

/// An answer counts only once it is written down.
#[test]
fn what_is_not_written_down_does_not_count() {
    let mut ride = begun(&every_kind());
    let before = ride.clone();
    let unknown = Said::answer(Answer::Unknown);
    let refused = ride.take_written(unknown.clone(), &now(), |_, _| Err("the disk is full"));
    assert!(matches!(refused, Err(NotTaken::Unwritten("the disk is full"))));
    assert_eq!((ride.session(), ride.journal()), (before.session(), before.journal()));
    let mut written = Vec::new();
    ride.take_written(unknown, &now(), |book, addition| {
        written = [book.bytes(), addition.text().as_bytes()].concat();
        Ok::<(), ()>(())
    })
    .unwrap();
    assert_eq!(ride.journal(), written);
    assert_ne!(ride.session(), before.session());
    let undo = Said { what: What::Undo, note: None };
    ride.take(undo.clone(), &now()).unwrap();
    let unfit = ride.take(undo, &now());
    assert!(matches!(unfit, Err(NotTaken::Unfit(_))), "there is nothing left to take back");
}

/// What a typed line comes to, at a lap.
#[test]
fn a_typed_line_is_read_as_at_a_terminal() {
    let mut ride = begun(&every_kind());
    let known = &undisturbed().journal.entries;
    let mut records = known.iter().filter_map(|entry| match entry {
        clickwise::record::Entry::Answer(record) => Some(record),
        clickwise::record::Entry::Change(_) => None,
    });
    while ride.ask().is_some_and(|ask| ask.kind() != QuestionKind::Lap) {
        ride.take(records.next().unwrap().said.clone(), &now()).unwrap();
    }
    let is_answer = |line: &str, text: &str| match ride.read(line) {
        Line::Answer { said, .. } => assert_eq!(said.what.to_string(), text, "{line}"),
        other => panic!("{line}: {other:?}"),
    };
    is_answer("b", "better");
    is_answer(" rode 6 : worse ", "rode 6 clicks: worse");
    is_answer("undo", "undo");
    assert_eq!(ride.read(""), Line::Blank);
    assert_eq!((ride.read("h"), ride.read("q"), ride.read("rode")), (Line::Help, Line::Quit, Line::Another));
    let Line::Noted(said) = ride.read("worse harsh in the \"rocks\"") else { panic!("no note") };
    assert_eq!(
        (said.what.to_string(), said.note.as_deref()),
        ("worse".to_owned(), Some("harsh in the 'rocks"))
    );
    assert!(
        matches!(ride.read("it was dusty"), Line::NotRead { note: Some(note), .. } if note == "it was dusty")
    );
    assert!(matches!(ride.read("x"), Line::Unfit { note: None, .. }));
    assert!(matches!(ride.read("3 4"), Line::NotRead { note: None, .. }));
    assert!(matches!(ride.read("12 C"), Line::NotRead { .. } | Line::Unfit { .. }));
    assert!(matches!(ride.say("quit", &now()), Err(NotSaid::NoAnswer)));
}
