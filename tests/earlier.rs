//! Files of earlier versions, kept in `tests/earlier/` as they were written then: each folder has a set with its words of
//! once, answers to all of it, the journal and the settings of that ride, and `from.toml` where it began from
//! settings. They are read for ever, and come to what they came to then. None of these files is ever changed.

use std::fs::read_to_string;
use std::path::{Path, PathBuf};

use clickwise::engine::{BeginFrom, DateTime, InMemory, IntoFile, Ride, Set};
use clickwise::language::renewed;

use crate::support::{Field, MOMENT, project};

/// What is called otherwise today, as it was written and as it is written.
const TODAY: [(&str, &str); 5] = [
    ("\nsettled = ", "\nsaved = "),
    ("\nfound = ", "\nbefore = "),
    ("\nstart-beyond-count = ", "\nstart-above-count = "),
    ("\nhow = \"kept\"", "\nhow = \"unchanged\""),
    ("\nhow = \"not finished\"", "\nhow = \"stopped early\""),
];

/// One folder.
struct Case {
    name: String,
    /// Name and text of each file of the set, in order.
    files: Vec<(String, String)>,
    answers: String,
    journal: Vec<u8>,
    settings: String,
    from: Option<String>,
}

fn cases() -> Vec<Case> {
    let mut folders: Vec<PathBuf> = std::fs::read_dir(project().join("tests/earlier"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    folders.sort();
    assert!(folders.len() >= 18, "{}", folders.len());
    let case = |folder: PathBuf| {
        let text = |name: &str| read_to_string(folder.join(name)).unwrap();
        let names = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name());
        let mut names: Vec<String> = names.map(|name| name.into_string().unwrap()).collect();
        names.sort();
        names.retain(|name| Path::new(name).extension().is_some_and(|ending| ending == "tune"));
        Case {
            name: folder.file_name().unwrap().to_string_lossy().into_owned(),
            files: names.into_iter().map(|name| (name.clone(), text(&name))).collect(),
            answers: text("answers.txt"),
            journal: std::fs::read(folder.join("a.ride.toml")).unwrap(),
            settings: text("s.toml"),
            from: read_to_string(folder.join("from.toml")).ok(),
        }
    };
    folders.into_iter().map(case).collect()
}

fn gathered(files: &[(String, String)]) -> Set {
    let roots: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    Set::gather(&InMemory::of(files.iter().map(|(name, text)| (name.as_str(), text.clone()))), &roots)
        .unwrap()
}

/// The settings of a case in the words of today.
fn today(settings: &str) -> String {
    TODAY.iter().fold(settings.to_owned(), |text, (once, now)| text.replace(once, now))
}

fn settings_of(ride: &Ride, existing: Option<&str>) -> String {
    let now: DateTime = MOMENT.parse().unwrap();
    let earlier = ride.earlier();
    let into = IntoFile { existing, journal: Some("a.ride.toml"), earlier: earlier.as_ref() };
    ride.settings(&now, &into).unwrap()
}

#[test]
fn a_journal_of_once_is_gone_on_with_and_comes_to_its_settings() {
    for case in cases() {
        let set = gathered(&case.files);
        let with_its_files = Ride::resume(&set, &case.journal);
        let alone = Ride::resume_alone(&case.journal);
        for ride in [with_its_files, alone] {
            let ride = ride.unwrap_or_else(|why| panic!("{}: {why:?}", case.name));
            assert_eq!(settings_of(&ride, None), today(&case.settings), "{}", case.name);
            // put into the very file that was written then, nothing of once is left
            assert_eq!(settings_of(&ride, Some(&case.settings)), today(&case.settings), "{}", case.name);
        }
    }
}

#[test]
fn a_set_of_once_is_the_same_in_the_words_of_today() {
    let mut files = 0;
    for case in cases() {
        let set = gathered(&case.files);
        let newer: Vec<(String, String)> = set
            .sources()
            .iter()
            .map(|(id, source)| {
                let text = renewed(set.tree(id).unwrap(), source.text());
                files += u32::from(text.is_some());
                (source.name().to_owned(), text.unwrap_or(source.text().to_owned()))
            })
            .collect();
        let now = gathered(&newer);
        assert_eq!(set.plan(), now.plan(), "{}", case.name);
        assert!(set.plan().is_some() && !set.has_errors(), "{}", case.name);
        for (id, source) in now.sources().iter() {
            assert_eq!(renewed(now.tree(id).unwrap(), source.text()), None);
        }
        // a journal follows the same plan whichever of the two it is in
        let ride = Ride::resume(&now, &case.journal).unwrap_or_else(|why| panic!("{}: {why:?}", case.name));
        assert_eq!(settings_of(&ride, None), today(&case.settings), "{}", case.name);
    }
    assert!(files >= 15, "{files}");
}

#[test]
fn answers_of_once_come_to_the_same_settings() {
    for case in cases() {
        let field = Field::new();
        let mut arguments =
            vec!["ride", "--answers", "answers.txt", "--journal", "a.ride.toml", "--settings", "s.toml"];
        arguments.extend(["--as-of", MOMENT, "--seed", "0"]);
        for (name, text) in &case.files {
            field.write(name, text);
            arguments.push(name);
        }
        if let Some(from) = &case.from {
            field.write("from.toml", from);
            arguments.extend(["--from", "from.toml"]);
        }
        field.write("answers.txt", &case.answers);
        field.run(&arguments);
        assert_eq!(field.read("s.toml"), today(&case.settings), "{}", case.name);
    }
}

#[test]
fn settings_of_once_begin_a_ride_as_those_of_today() {
    let mut begun = 0;
    for case in cases() {
        let set = gathered(&case.files);
        let begin = |text: &str| {
            let from = BeginFrom { settings: Some(("s.toml".to_owned(), text.to_owned())), recount: false };
            Ride::begin(&set, &from, &MOMENT.parse().unwrap(), 0).map(|ride| ride.plan().clone())
        };
        let (once, now) = (begin(&case.settings), begin(&today(&case.settings)));
        assert_eq!(once, now, "{}", case.name);
        begun += u32::from(once.is_ok());
    }
    assert!(begun >= 15, "{begun}");
}

/// A person's remark at a key that is called otherwise today stays at it; of both names the one of today counts.
#[test]
fn a_remark_at_a_renamed_key_stays() {
    let case = cases().into_iter().find(|case| case.settings.contains("\nfound = ")).unwrap();
    let remarked = case.settings.replacen("\nfound = ", "\n# felt harsh then\nfound = ", 1);
    let ride = Ride::resume(&gathered(&case.files), &case.journal).unwrap();
    let settings = settings_of(&ride, Some(&remarked));
    assert!(settings.contains("\n# felt harsh then\nbefore = "), "{settings}");
    let both = case.settings.replacen("\nsettled = ", "\nsaved = 2020-01-01T00:00:00Z\nsettled = ", 1);
    assert_eq!(settings_of(&ride, Some(&both)), today(&case.settings));
}

const WORDS_OF_ONCE: &str = "\
plan \"Old words\"
  Effort USUAL
  Second   Question no
  method narrow
bike \"B\"
part fork
  READ  to 0.5 mm
  rebound 0 to 18 clicks
  lockout trail or begin or usual # names stay
Trail \"Mill loop\"
  lap 4 min
  warm-up 2 laps
steps
  ride warm-up
  tune every rebound, Begin faster, # which way?
    at most 5 laps
  tune every rebound, within 2 clicks, try slower
  tune every rebound, within 2 clicks, try slower first
";

const WORDS_OF_TODAY: &str = "\
plan \"Old words\"
  Effort normal
  compare   twice no
  method narrow
bike \"B\"
part fork
  measured  to 0.5 mm
  rebound 0 to 18 clicks
  lockout trail or begin or usual # names stay
loop \"Mill loop\"
  lap 4 min
  warm-up 2 laps
steps
  ride warm-up
  tune every rebound, try faster first, # which way?
    at most 5 laps
  tune every rebound, within 2 clicks, try slower first
  tune every rebound, within 2 clicks, try slower first
";

/// Words of once are no problem: nothing is told of them. What writes a file writes those of today.
#[test]
fn words_of_once_are_read_in_silence_and_written_anew() {
    let told = |text: &str| {
        let ran = Field::with(&[("set.tune", text)]).run(&["check", "set.tune", "--report", "json"]).ends(0);
        let report: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        let codes = report["problems"].as_array().unwrap().iter().map(|problem| problem["code"].clone());
        (codes.collect::<Vec<_>>(), report["proof"].clone())
    };
    assert_eq!(told(WORDS_OF_ONCE), told(WORDS_OF_TODAY));
    let field = Field::with(&[("set.tune", WORDS_OF_ONCE)]);
    let ran = field.run(&["check", "set.tune", "--fix"]).ends(0);
    assert!(ran.err.starts_with("set.tune: old words updated"), "{}", ran.err);
    assert_eq!(field.read("set.tune"), WORDS_OF_TODAY);
    let ran = field.run(&["check", "set.tune", "--fix"]).ends(0);
    assert!(!ran.err.contains("old words updated"), "{}", ran.err);
    for (before, after) in [(WORDS_OF_ONCE, WORDS_OF_TODAY), (WORDS_OF_TODAY, WORDS_OF_TODAY)] {
        let [before, after] = [before, after].map(|text| {
            let field = Field::with(&[("set.tune", text)]);
            field.run(&["format", "set.tune"]).ends(0);
            field.read("set.tune")
        });
        assert_eq!(before, after);
        assert!(after.contains("\n  effort  normal\n  compare twice no\n"), "{after}");
    }
}

/// A word of once that is misspelt is not offered: who reads the message learns the word of today.
#[test]
fn words_of_once_are_never_offered() {
    let field = Field::with(&[(
        "set.tune",
        "bike \"B\"\npart fork\n  raed to 1 mm\n  rebound 4 clicks\ntrial \"T\"\n  lap 1 min\nsteps\n  ride 1 lap\n  tune every rebound, begni faster\n",
    )]);
    let said = field.run(&["check", "set.tune"]).ends(1).err;
    for (once, _) in clickwise::vocabulary::renamed() {
        let first = once.split(' ').next().unwrap();
        assert!(!said.contains(&format!("did you mean `{first}")), "{said}");
    }
}

/// What is carried on from settings of once is written in the words of today, too.
#[test]
fn what_is_carried_on_has_the_words_of_today() {
    let set = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n  say \"Go\"\n";
    let from = "format = 1\nbike = \"B\"\njournal = \"a.ride.toml\"\n[fork.rebound]\nvalue = 7\nunit = \"clicks\"\n\
        counted-from = \"closed\"\nrange = [0, 18]\nfound = 3\nhow = \"not finished\"\nlaps = [1, 2]\n";
    let field = Field::with(&[("set.tune", set), ("from.toml", from)]);
    let arguments = ["ride", "set.tune", "--from", "from.toml", "--settings", "-", "--as-of", MOMENT];
    let ran = field.run_with(&arguments, "").ends(0);
    assert!(ran.out.contains("\nhow = \"stopped early\"\nlaps = [1, 2]\n"), "{}", ran.out);
    assert!(!ran.out.contains("found") && !ran.out.contains("not finished"), "{}", ran.out);
}
