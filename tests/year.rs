//! What a year of ordinary life does to settings: half rides, rides done again, files with two duties.

use crate::support::{Field, MOMENT, Ran, setting, unbroken};

const BIKE: &str = "bike \"B\"\npart fork\n  rebound 0 to 20 clicks, start 10\n  compression 0 to 8 clicks\n";
const RIDER: &str = "rider \"Mo\"\n";
const SPRING: &str = "plan \"Spring\"\nsteps\n  tune fork rebound, try faster first\n  tune fork compression, try firmer first\n  confirm fork rebound, 1 pair\n";
const AUTUMN: &str = "plan \"Autumn\"\nsteps\n  ride 1 lap\n  tune fork compression, try softer first\n";

/// The whole spring ride: rebound felt best at 11, compression at 7, one pair for the found setting.
const SPRING_ANSWERS: &str = "same, worse, worse, same, worse, first";

const MAIN: &str = "b-mo.settings.toml";

fn field() -> Field {
    let field = Field::with(&[
        ("bike.tune", BIKE),
        ("mo.tune", RIDER),
        ("spring.tune", SPRING),
        ("autumn.tune", AUTUMN),
    ]);
    ride(&field, "spring.tune", "2026-04-01T10:00:00+02:00", SPRING_ANSWERS, &[]).ends(0);
    field
}

fn ride(field: &Field, plan: &str, moment: &str, answers: &str, more: &[&str]) -> Ran {
    let mut arguments = vec!["ride", plan, "bike.tune", "mo.tune", "--as-of", moment];
    arguments.extend(more);
    field.run_with(&arguments, &(answers.replace(", ", "\n") + "\n"))
}

/// The settings file of the ride whose journal's name begins so.
fn own(field: &Field, date: &str) -> String {
    let names = field.names("rides");
    let own = |name: &&String| name.starts_with(date) && name.ends_with(".settings.toml");
    let name = names.iter().find(own).unwrap_or_else(|| panic!("{date} in {names:?}"));
    field.read(&format!("rides/{name}"))
}

#[test]
fn a_half_ride_leaves_last_seasons_settings_alone() {
    let field = field();
    let before = field.read(MAIN);
    assert!(before.contains("how = \"felt best\"") && before.contains("confirmed = "), "{before}");
    let ran = ride(&field, "autumn.tune", "2026-10-01T10:00:00+02:00", "quit", &["--from", MAIN]).ends(4);
    let said = unbroken(&ran.err);
    assert!(
        said.contains("b-mo.settings.toml still has the settings of your last finished session."),
        "{said}"
    );
    assert_eq!(field.read(MAIN), before);
    let half = own(&field, "2026-10-01");
    assert_eq!(setting(&half, &["finished"]).as_bool(), Some(false), "{half}");
    assert_eq!(setting(&own(&field, "2026-04-01"), &["finished"]).as_bool(), Some(true));
    // the same where the file is named
    let named = ["--from", MAIN, "--settings", "mine.toml"];
    field.write("mine.toml", before.as_bytes());
    ride(&field, "autumn.tune", "2026-10-01T10:05:00+02:00", "quit", &named).ends(4);
    assert_eq!(field.read("mine.toml"), before);
}

#[test]
fn what_a_ride_did_not_touch_keeps_how_it_was_found() {
    let field = field();
    let spring = field.read(MAIN);
    let laps = setting(&spring, &["fork", "rebound", "laps"]);
    let session = field.journals("rides")[0].replace(".ride.toml", "");
    let answers = "same, worse";
    ride(&field, "autumn.tune", "2026-10-01T10:00:00+02:00", answers, &["--from", MAIN]).ends(0);
    for text in [field.read(MAIN), own(&field, "2026-10-01")] {
        let rebound = |key| setting(&text, &["fork", "rebound", key]);
        assert_eq!(rebound("how").as_str(), Some("felt best"), "{text}");
        assert_eq!((rebound("laps"), rebound("confirmed").as_array().map(Vec::len)), (laps.clone(), Some(2)));
        assert_eq!(rebound("session").as_str(), Some(session.as_str()), "whose laps they are");
        let compression = setting(&text, &["fork", "compression"]);
        assert!(compression.get("session").is_none(), "{text}");
        assert_eq!(setting(&text, &["plan"]).as_str(), Some("Autumn"));
    }
    // somewhere else, what was found there no longer holds
    let elsewhere = BIKE.replace("start 10", "start 4");
    field.write("bike.tune", &elsewhere);
    ride(&field, "autumn.tune", "2026-11-01T10:00:00+02:00", answers, &[]).ends(0);
    let text = field.read(MAIN);
    assert_eq!(setting(&text, &["fork", "rebound", "how"]).as_str(), Some("set"), "{text}");
    assert!(setting(&text, &["fork", "rebound"]).get("laps").is_none(), "{text}");
}

/// What is carried on comes from the settings that the ride began from, wherever they are, and stays of the
/// ride in which it was found, however often it is carried on; what nobody rode for is of no ride.
#[test]
fn what_is_carried_on_stays_of_its_ride() {
    let field = field();
    field.write("bike.tune", BIKE.to_owned() + "part shock\n  rebound 0 to 9 clicks\n");
    let session = field.journals("rides")[0].replace(".ride.toml", "");
    std::fs::rename(field.path(MAIN), field.path("kept.toml")).unwrap();
    ride(&field, "autumn.tune", "2026-10-01T10:00:00+02:00", "same, worse", &["--from", "kept.toml"]).ends(0);
    ride(&field, "autumn.tune", "2026-10-02T10:00:00+02:00", "same, worse", &["--from", MAIN]).ends(0);
    let text = field.read(MAIN);
    let rebound = |key| setting(&text, &["fork", "rebound", key]).as_str().map(str::to_owned);
    assert_eq!((rebound("how").as_deref(), rebound("session")), (Some("felt best"), Some(session)), "{text}");
    let untouched = setting(&text, &["shock", "rebound"]);
    assert_eq!((untouched["how"].as_str(), untouched.get("session")), (Some("set"), None), "{text}");
}

#[test]
fn a_measured_sag_holds_only_while_all_that_bears_on_it_is_where_it_was() {
    let bike = "bike \"B\"\npart fork\n  travel 160 mm\n  air 40 to 120 psi, start 70 psi, sag 18 to 22 %\n  spacers 0 to 3 spacers\n  rebound 0 to 8 clicks\n";
    let plan = "plan \"S\"\nsteps\n  measure fork air\n  tune fork rebound, at most 2 laps\n";
    let again = |spacers: &str| format!("plan \"A\"\nsteps\n{spacers}  tune fork rebound, at most 2 laps\n");
    for (spacers, holds) in [("", true), ("  set fork spacers to 2 spacers\n", false)] {
        let field = Field::with(&[("bike.tune", bike), ("mo.tune", RIDER), ("s.tune", plan)]);
        ride(&field, "s.tune", "2026-04-01T10:00:00+02:00", "32 mm, either, same", &[]).ends(0);
        assert!(setting(&field.read(MAIN), &["fork", "air"]).get("sag").is_some());
        field.write("a.tune", again(spacers));
        ride(&field, "a.tune", "2026-05-01T10:00:00+02:00", "either, same", &["--from", MAIN]).ends(0);
        let text = field.read(MAIN);
        assert_eq!(setting(&text, &["fork", "air", "how"]).as_str(), Some("measured"), "{text}");
        assert_eq!(setting(&text, &["fork", "air"]).get("sag").is_some(), holds, "{spacers}\n{text}");
    }
}

#[test]
fn a_finished_journal_has_its_settings_written_again() {
    let field = field();
    let journal = format!("rides/{}", field.journals("rides")[0]);
    let (main, sibling) = (field.read(MAIN), own(&field, "2026-04-01"));
    for name in field.names("rides").iter().filter(|name| name.ends_with(".settings.toml")) {
        std::fs::remove_file(field.path(&format!("rides/{name}"))).unwrap();
    }
    std::fs::remove_file(field.path(MAIN)).unwrap();
    // the plan has changed since: what the journal keeps counts
    field.write("spring.tune", SPRING.replace("try faster first", "try slower first"));
    let before = field.read(&journal);
    let ran = ride(&field, "spring.tune", "2026-06-01T10:00:00+02:00", "", &["--journal", &journal]).ends(0);
    assert!(
        unbroken(&ran.err).contains(": this session is finished. Its settings are saved again."),
        "{}",
        ran.err
    );
    assert_eq!((field.read(MAIN), own(&field, "2026-04-01")), (main, sibling));
    assert_eq!(field.read(&journal), before);
}

/// The ride ended and its settings could not be saved: the next call saves them and asks nothing; the one
/// after that begins anew.
#[test]
fn settings_that_were_not_saved_are_saved_at_the_next_call() {
    for lost in ["all", "own", "in the way"] {
        let field = Field::with(&[("bike.tune", BIKE), ("mo.tune", RIDER), ("spring.tune", SPRING)]);
        if lost == "in the way" {
            std::fs::create_dir(field.path(MAIN)).unwrap();
        }
        let moment = "2026-04-01T10:00:00+02:00";
        let ran = ride(&field, "spring.tune", moment, SPRING_ANSWERS, &[]);
        assert_eq!(ran.status, if lost == "in the way" { 3 } else { 0 }, "{}", ran.err);
        let journal = field.read(&format!("rides/{}", field.journals("rides")[0]));
        match lost {
            "in the way" => std::fs::remove_dir(field.path(MAIN)).unwrap(),
            "all" => std::fs::remove_file(field.path(MAIN)).unwrap(),
            _ => {}
        }
        for name in field.names("rides").iter().filter(|name| name.ends_with(".settings.toml")) {
            std::fs::remove_file(field.path(&format!("rides/{name}"))).unwrap();
        }
        if lost == "own" {
            // the bike's file is of another ride
            let other = field.read(MAIN).replace("2026-04-01", "2025-04-01");
            field.write(MAIN, other);
        }
        let ran = ride(&field, "spring.tune", "2026-04-02T10:00:00+02:00", "faster", &[]).ends(0);
        let said = unbroken(&ran.err);
        assert!(
            said.contains("Your last session finished, but its settings were not saved."),
            "{lost}: {said}"
        );
        assert!(field.read(MAIN).contains("how = \"felt best\""), "{lost}");
        assert!(own(&field, "2026-04-01").contains("finished = true"), "{lost}");
        assert_eq!(field.read(&format!("rides/{}", field.journals("rides")[0])), journal, "{lost}");
        assert_eq!(field.journals("rides").len(), 1, "{lost}");
        ride(&field, "spring.tune", "2026-04-02T10:00:00+02:00", "quit", &[]).ends(4);
        assert_eq!(field.journals("rides").len(), 2, "{lost}");
    }
}

#[test]
fn an_older_ride_written_again_does_not_take_a_later_ones_place() {
    let field = field();
    let journal = format!("rides/{}", field.journals("rides")[0]);
    ride(&field, "autumn.tune", "2026-10-01T10:00:00+02:00", "same, worse", &[]).ends(0);
    let autumn = field.read(MAIN);
    let ran = ride(&field, "spring.tune", "2026-11-01T10:00:00+02:00", "", &["--journal", &journal]).ends(0);
    assert!(unbroken(&ran.err).contains("is from a later session and was not changed"), "{}", ran.err);
    assert_eq!(field.read(MAIN), autumn);
}

/// Nor is what a later ride found carried back to it.
#[test]
fn an_older_ride_written_again_does_not_say_what_a_later_one_found() {
    let field = field();
    field.write("bike.tune", BIKE.to_owned() + "part shock\n  rebound 0 to 9 clicks, start 4\n");
    field.write("later.tune", "plan \"Later\"\nsteps\n  tune shock rebound\n");
    let spring = ["--journal", "s.ride.toml"];
    ride(&field, "spring.tune", "2026-05-01T10:00:00+02:00", SPRING_ANSWERS, &spring).ends(0);
    let before = field.read("s.settings.toml");
    ride(&field, "later.tune", "2026-10-01T10:00:00+02:00", "faster, worse, worse", &[]).ends(0);
    assert_eq!(setting(&field.read(MAIN), &["shock", "rebound", "how"]).as_str(), Some("felt best"));
    ride(&field, "spring.tune", "2026-11-01T10:00:00+02:00", "", &spring).ends(0);
    assert_eq!(field.read("s.settings.toml"), before);
}

#[test]
fn the_very_same_command_goes_on_though_the_settings_it_began_from_have_changed() {
    let field = field();
    let from = ["--from", MAIN];
    ride(&field, "autumn.tune", "2026-10-01T10:00:00+02:00", "same, quit", &from).ends(4);
    // written over by another ride, and by hand
    let changed = field.read(MAIN).replace("value = 11", "value = 3");
    assert_ne!(changed, field.read(MAIN));
    field.write(MAIN, changed);
    let ran = ride(&field, "autumn.tune", "2026-10-01T11:00:00+02:00", "worse", &from).ends(0);
    let said = unbroken(&ran.err);
    assert!(said.contains("has changed since you started"), "{said}");
    assert!(!said.contains("The plan has changed"), "{said}");
    assert_eq!(field.journals("rides").len(), 2);
    let half = own(&field, "2026-10-01");
    assert_eq!(setting(&half, &["fork", "rebound", "value"]).as_integer(), Some(11), "{half}");
}

#[test]
fn settings_of_a_later_format_or_with_a_merge_in_them_are_left_alone() {
    for (text, wanted) in [
        ("format = 2\nbike = \"B\"\nrider = \"Mo\"\nnew = 1\n", "a newer version wrote it (format"),
        (
            "format = 1\n<<<<<<< ours\nbike = \"B\"\n=======\nbike = \"C\"\n>>>>>>> theirs\n",
            "unfinished git merge",
        ),
    ] {
        let field = Field::with(&[("bike.tune", BIKE), ("mo.tune", RIDER), ("spring.tune", SPRING)]);
        field.write(MAIN, text);
        let ran = ride(&field, "spring.tune", MOMENT, SPRING_ANSWERS, &[]).ends(0);
        assert!(unbroken(&ran.err).contains(wanted), "{}", ran.err);
        assert_eq!(field.read(MAIN), text);
        assert!(field.read("b-mo-2.settings.toml").contains("felt best"));
        // named, it is refused before the first question
        let ran = ride(&field, "spring.tune", MOMENT, SPRING_ANSWERS, &["--settings", MAIN]).ends(2);
        assert!(unbroken(&ran.err).contains(wanted) && !ran.err.contains("Lap 1"), "{}", ran.err);
        let ran = ride(&field, "spring.tune", MOMENT, SPRING_ANSWERS, &["--from", MAIN]).ends(1);
        let from =
            if text.starts_with("format = 2") { "a newer version wrote it (format 2)" } else { wanted };
        assert!(unbroken(&ran.err).contains(from), "{}", ran.err);
        assert_eq!(field.read(MAIN), text);
    }
}

#[test]
fn no_file_has_two_duties_whether_it_is_named_or_not() {
    let field = field();
    field.write("notes.txt", "wet roots, 22 psi");
    let journal = "rides/2026-10-01-b-mo.ride.toml";
    for (more, wanted) in [
        (&["--journal", journal, "--settings", journal][..], "both the journal and the settings"),
        (&["--sheet", MAIN], "both the sheet for the helper and the settings"),
        (&["--settings", "bike.tune"], "both one of your plan, bike and rider files and the settings"),
        (&["--journal", "./mo.tune"], "both one of your plan, bike and rider files and the journal"),
        (
            &["--answers", "notes.txt", "--sheet", "notes.txt"],
            "both the answers and the sheet for the helper",
        ),
        (&["--journal", "j.toml", "--sheet", "j.settings.toml"], "and the settings of this session"),
        (&["--sheet", "notes.txt"], "this file has something else in it and stays as it is"),
        (&["--settings", "notes.txt"], "it is not valid TOML"),
    ] {
        let before = (field.names("."), field.names("rides"));
        let ran = ride(&field, "autumn.tune", "2026-10-01T10:00:00+02:00", "same, worse", more).ends(2);
        assert!(unbroken(&ran.err).contains(wanted), "{more:?}: {}", ran.err);
        assert!(!ran.err.contains("Lap 1"), "before the first question: {}", ran.err);
        assert_eq!((field.names("."), field.names("rides")), before, "{more:?}");
        assert_eq!(field.read("notes.txt"), "wet roots, 22 psi");
    }
    // settings may be read at the beginning and written at the end
    let both = ["--from", MAIN, "--settings", MAIN];
    ride(&field, "autumn.tune", "2026-10-01T10:00:00+02:00", "same, worse", &both).ends(0);
    assert_eq!(setting(&field.read(MAIN), &["plan"]).as_str(), Some("Autumn"));
}

#[test]
fn other_kinds_of_file_are_named_in_a_line_and_touched_by_nothing() {
    let field = field();
    let journal = format!("rides/{}", field.journals("rides")[0]);
    field.write("README.md", "# My bikes\n\n  rebuond 0 to 18 clicks\n");
    field.write("page.txt", "<html><body>bike \"B\"</body></html>\n");
    field.write("table.csv", "part,clicks\nfork,18\n");
    for (name, what) in [
        (MAIN, "a settings file of clickwise"),
        (&journal, "the journal of a session"),
        ("README.md", "a Markdown page"),
        ("page.txt", "a web page, or another file with tags"),
        ("table.csv", "a table"),
    ] {
        let before = field.read(name);
        for command in [&["check"][..], &["check", "--fix"], &["format"], &["format", "--check"]] {
            let mut arguments = command.to_vec();
            arguments.push(name);
            let ran = field.run(&arguments).ends(1);
            let told = ran.err.lines().filter(|line| line.starts_with(name)).count();
            assert!(unbroken(&ran.err).contains(&format!("this is {what}")), "{command:?} {}", ran.err);
            assert!(told <= 2 && ran.err.matches("file-foreign").count() == 1, "{command:?} {}", ran.err);
            assert_eq!(field.read(name), before, "{command:?}");
        }
    }
}

/// A right repair is kept though it brings another problem to light.
#[test]
fn a_right_repair_is_kept_and_what_is_left_is_said() {
    for (before, after, left) in [
        // the unit is right; then the start turns out to be beyond the range
        (
            "bike \"B\"\npart fork\n  rebound 0 to 18 clciks, start 19\nsteps\n  ride 2 laps\n  tune every rebound\n",
            "bike \"B\"\npart fork\n  rebound 0 to 18 clicks, start 18 clicks\nsteps\n  ride 2 laps\n  tune every rebound\n",
            "",
        ),
        // two misspelt names, of which the second names what is on the bike already
        (
            "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\n  rebuond 0 to 12 clicks\nsteps\n  ride 2 laps\n  tune every rebound\n",
            "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\n  rebound 0 to 12 clicks\nsteps\n  ride 2 laps\n  tune every rebound\n",
            ", 1 problem left",
        ),
    ] {
        let field = Field::with(&[("set.tune", before)]);
        let ran = field.run(&["check", "--fix", "set.tune"]);
        assert_eq!(field.read("set.tune"), after, "{}", ran.err);
        assert!(ran.err.contains(&format!("made{left}\n")), "{}", ran.err);
        assert_eq!(ran.status, i32::from(!left.is_empty()), "{}\n{}", ran.out, ran.err);
    }
}
