//! What a user can rely on, through the real program: worked answer lists, counting, statuses.

use crate::support::{Field, MOMENT, setting};

fn fork(rest: &str, tune: &str) -> String {
    format!("bike \"Test bike\"\npart fork\n  rebound {rest}\nsteps\n  tune fork rebound{tune}\n")
}

/// Where a ride of one adjuster settles.
#[track_caller]
fn settles(rest: &str, tune: &str, answers: &str) -> i64 {
    let field = Field::with(&[("set.tune", &fork(rest, tune))]);
    let ran = field.ride(&["set.tune"], answers).ends(0);
    setting(&ran.out, &["fork", "rebound", "value"]).as_integer().unwrap()
}

/// Worked out by hand from the rule of the bracket; no outside source.
const LISTS: [(&str, i64, i64); 5] = [
    ("same, worse, worse", 11, 9),
    ("worse, better, better, better, same, worse", 3, 17),
    ("better, better, better, better, same", 19, 1),
    ("worse, better, same, worse", 7, 13),
    ("worse, better, better, same, same, worse", 4, 16),
];

#[test]
fn the_worked_lists_settle_where_they_should() {
    for (answers, faster, slower) in LISTS {
        let scale = "0 to 20 clicks, start 10";
        assert_eq!(settles(scale, ", try faster first", answers), faster, "{answers}");
        assert_eq!(settles(scale, ", try slower first", answers), slower, "{answers}");
        let from_open = "0 to 20 clicks, start 10, counted from open";
        assert_eq!(settles(from_open, ", try faster first", answers), slower, "{answers}, from open");
    }
}

#[test]
fn what_is_not_counted_is_counted_first() {
    let cases = [("", "14 clicks", 7, 2), ("", "9 clicks", 5, 1), (", counted from open", "9 clicks", 4, 1)];
    for (rest, count, start, step) in cases {
        let field = Field::with(&[("set.tune", &fork(&format!("? clicks{rest}"), ", try faster first"))]);
        let ran = field.ride(&["set.tune"], &format!("{count}\nfinish")).ends(0);
        let first = ran.err.find("Count: fork rebound").unwrap();
        assert!(first < ran.err.find("Set the bike").unwrap(), "{}", ran.err);
        assert_eq!(setting(&ran.out, &["fork", "rebound", "start"]).as_integer(), Some(start));
        let ran = field
            .run_with(&["ride", "set.tune", "--journal", "b.ride.toml"], format!("{count}\ndone\ndone\n"));
        let word = if step == 1 { "click" } else { "clicks" };
        assert!(ran.err.contains(&format!("{step} {word} faster than now")), "{}", ran.err);
    }
}

#[test]
fn ten_mistakes_on_ten_lines_are_ten_problems_and_no_ride() {
    let text = "\
bike \"Ten mistakes\"
part fork
  travle 150 mm
  rebound 0 to 18 clicks, start 20
  compression 18 to 0 clicks
  lockout 0 to 4 clicks
part shock
  stroke 55 cm
  rebound 0 to 0,5 turns
  compression 0 to 12 clicks, step 0 clicks
rider \"Mo\"
  weight 780 kg
steps
  tune every rebuond
  ride 2.5 laps
  set every compression to hlaf
";
    let field = Field::with(&[("set.tune", text)]);
    let ran = field.run(&["check", "set.tune"]).ends(1);
    let lines: Vec<usize> = ran
        .err
        .lines()
        .filter_map(|line| line.strip_prefix("set.tune:"))
        .map(|line| line.split(':').next().unwrap().parse().unwrap())
        .collect();
    assert_eq!(lines, [3, 4, 5, 6, 8, 9, 10, 12, 14, 15, 16].to_vec(), "{}", ran.err);
    assert!(ran.out.contains("11 errors"), "{}", ran.out);
    let ran = field.run(&["ride", "set.tune"]).ends(1);
    assert!(ran.err.contains("Nothing has been started."));
    assert_eq!(field.names("."), ["set.tune"]);
}

#[test]
fn one_bad_line_costs_at_most_itself() {
    let good = [
        "bike \"One\"",
        "part fork",
        "  rebound 0 to 18 clicks, step 2 clicks, start 9",
        "  compression 0 to 10 clicks",
        "steps",
        "  say \"Go\"",
        "  ride 1 lap",
        "  tune every rebound, at most 4 laps",
        "  tune every compression",
    ];
    let slips: [(usize, &str); 5] = [
        (2, "  rebound 0 to 18 clicks,, step 2 clicks, start 9"),
        (2, "  rebound 0 to 18 clicks, step 2 clicks start 9"),
        (5, "  say \"Go"),
        (7, "  tnue every rebound, at most 4 laps"),
        (8, "  tune every compression,"),
    ];
    for (at, slip) in slips {
        let mut lines = good;
        lines[at] = slip;
        let field = Field::with(&[("set.tune", &lines.join("\n"))]);
        let ran = field.run(&["check", "set.tune"]);
        let places: Vec<_> = ran.err.lines().filter(|line| line.starts_with("set.tune:")).collect();
        assert_eq!(places.len(), 1, "{slip}\n{}", ran.err);
        assert!(places[0].starts_with(&format!("set.tune:{}:", at + 1)), "{slip}\n{}", ran.err);
    }
}

#[test]
fn the_same_ride_gives_the_same_bytes() {
    let ride = || {
        let field = Field::with(&[("set.tune", &fork("0 to 18 clicks", ""))]);
        field.write("answers.txt", "faster, better \"grips\", ?, same, void \"puncture\", worse");
        field
            .run(&["ride", "set.tune", "--answers", "answers.txt", "--as-of", MOMENT, "--seed", "4"])
            .ends(0);
        let journal = field.read("rides/2026-05-16-test-bike-0004.ride.toml");
        (journal, field.read("test-bike.settings.toml"))
    };
    assert_eq!(ride(), ride());
}

#[test]
fn two_riders_of_one_bike_leave_each_other_alone() {
    let field = Field::with(&[
        ("set.tune", &fork("0 to 20 clicks, start 10", ", try faster first")),
        ("mo.tune", "rider \"Mo\"\n  weight 78 kg\n"),
        ("jo.tune", "rider \"Jo!\"\n"),
        ("jo2.tune", "rider \"Jo?\"\n"),
    ]);
    let ride = |rider: &str, answers: &str| {
        field.write("answers.txt", answers);
        field.run(&["ride", "set.tune", rider, "--answers", "answers.txt", "--as-of", MOMENT]).ends(0);
    };
    ride("mo.tune", LISTS[0].0);
    ride("jo.tune", LISTS[1].0);
    ride("jo2.tune", LISTS[2].0);
    let value = |name: &str| setting(&field.read(name), &["fork", "rebound", "value"]).as_integer();
    assert_eq!(value("test-bike-mo.settings.toml"), Some(11));
    assert_eq!(value("test-bike-jo.settings.toml"), Some(3));
    assert_eq!(value("test-bike-jo-2.settings.toml"), Some(19));
    assert_eq!(field.journals("rides").len(), 3);
}

#[test]
fn the_statuses_are_those_that_scripts_rely_on() {
    let field = Field::with(&[("set.tune", &fork("0 to 20 clicks, start 10", ", try faster first"))]);
    field.run(&["check", "set.tune"]).ends(0);
    field.run(&["check", "absent.tune"]).ends(3);
    field.run(&["chekc"]).ends(2);
    field.run(&["check"]).ends(2);
    field.run(&["ride", "set.tune", "--as-of", "yesterday"]).ends(2);
    let ran = field.run_with(&["ride", "set.tune"], "same\n").ends(4);
    assert!(ran.err.contains("The next question is: lap, fork rebound, at 14 clicks"), "{}", ran.err);
    let own = field.names("rides").into_iter().find(|name| name.ends_with(".settings.toml")).unwrap();
    assert!(field.read(&format!("rides/{own}")).contains("how = \"stopped early\""));
    assert!(!field.path("test-bike.settings.toml").exists(), "that is for finished rides");
    let ran = field.run_with(&["ride", "set.tune"], "sideways\n").ends(1);
    assert!(ran.err.contains("line 1: `sideways` doesn't answer this question"), "{}", ran.err);
    field.run_with(&["ride", "set.tune"], "worse\nworse\n").ends(0);
    assert_eq!(
        setting(&field.read("test-bike.settings.toml"), &["fork", "rebound", "value"]).as_integer(),
        Some(11)
    );
}

#[test]
fn a_part_of_a_set_is_checked_and_what_a_ride_needs_is_said() {
    let field = Field::with(&[(
        "bike.tune",
        "bike \"B\"\npart fork\n  rebound 0 to 18 clicks, start 9 at 60 kg, 5 at 90 kg\n",
    )]);
    let ran = field.run(&["check", "bike.tune"]).ends(0);
    assert!(ran.out.contains("Before you ride, you also need steps"), "{}", ran.out);
    assert!(ran.out.contains("Before you ride, you also need a rider with a weight"), "{}", ran.out);
    field.run(&["ride", "bike.tune"]).ends(1);
}

#[test]
fn what_a_person_added_to_the_settings_stays() {
    let field = Field::with(&[("set.tune", &fork("0 to 20 clicks, start 10", ", try faster first"))]);
    let ride = |moment: &str, answers: &str| {
        field.write("answers.txt", answers);
        field.run(&["ride", "set.tune", "--answers", "answers.txt", "--as-of", moment]).ends(0);
    };
    ride("2026-05-16T14:05:00+02:00", LISTS[0].0);
    let mut text = field.read("test-bike.settings.toml");
    text = text
        .replace("value = 11", "value = 11 # felt alive")
        .replace("[fork.rebound]", "# mine\n[fork.rebound]\nservice = \"May\"");
    field.write("test-bike.settings.toml", &text);
    ride("2026-05-17T10:00:00+02:00", LISTS[1].0);
    let text = field.read("test-bike.settings.toml");
    for kept in ["value = 3 # felt alive", "# mine", "service = \"May\"", "saved = 2026-05-17T10:00:00+02:00"]
    {
        assert!(text.contains(kept), "{kept} is gone:\n{text}");
    }
}

#[test]
fn a_demo_needs_no_file_and_prints_settings_alone() {
    let field = Field::new();
    let ran = field.run(&["demo"]).ends(0);
    assert_eq!(setting(&ran.out, &["format"]).as_integer(), Some(1));
    assert!(ran.err.contains("hidden best settings"));
    assert!(field.names(".").is_empty());
    let table = |text: &str| {
        let mut table: toml::Table = toml::from_str(text).unwrap();
        table.remove("settled");
        table
    };
    assert_eq!(table(&ran.out), table(&field.run(&["demo"]).out));
}
