//! Beginning again from recorded settings, weeks later: converted or refused, never cut in silence;
//! counts made anew after a service.

use crate::support::{Field, MOMENT, Ran, setting, unbroken};

const PLAN: &str = "\
plan \"Second look\"
  needs settings
loop \"Loop\"
  warm-up 1 lap
steps
  ride warm-up
  tune every rebound, within 2 clicks, try faster first
";

fn bike(rebound: &str) -> String {
    format!(
        "bike \"B\"\npart fork\n  air 3 to 8 bar, start 5 bar\n  rebound {rebound}\n  lockout open or half or closed\n"
    )
}

fn recorded(rebound: &str) -> String {
    format!(
        "format = 1\nbike = \"B\"\n\n[fork.air]\nvalue = 80\nunit = \"psi\"\nrange = [40, 120]\n\n[fork.rebound]\n{rebound}\n\n[fork.lockout]\nvalue = \"half\"\nrange = [\"open\", \"half\", \"closed\"]\n"
    )
}

const FROM_CLOSED: &str = "value = 13\nunit = \"clicks\"\ncounted-from = \"closed\"\nrange = [0, 18]";

/// A ride from recorded settings with these answers.
fn ride(bike: &str, recorded: &str, answers: &str, more: &[&str]) -> (Field, Ran) {
    let field =
        Field::with(&[("plan.tune", PLAN), ("bike.tune", bike), ("old.toml", recorded), ("a.txt", answers)]);
    let mut arguments = vec![
        "ride",
        "plan.tune",
        "bike.tune",
        "--from",
        "old.toml",
        "--answers",
        "a.txt",
        "--settings",
        "new.toml",
        "--journal",
        "j.toml",
        "--as-of",
        MOMENT,
    ];
    arguments.extend(more);
    let ran = field.run(&arguments);
    (field, ran)
}

fn value(field: &Field, knob: &str, key: &str) -> toml::Value {
    setting(&field.read("new.toml"), &["fork", knob, key])
}

#[test]
fn settings_of_another_counting_and_unit_are_converted_and_said() {
    let (field, ran) =
        ride(&bike("0 to 18 clicks, counted from open"), &recorded(FROM_CLOSED), "worse, worse", &[]);
    let ran = ran.ends(0);
    let said = unbroken(&ran.err);
    assert!(
        said.contains("fork rebound: 13 clicks from closed is 5 clicks from open in this bike's file."),
        "{said}"
    );
    assert!(said.contains("fork air: 80 psi is 5.5 bar in this bike's file."), "{said}");
    assert_eq!(value(&field, "rebound", "start").as_integer(), Some(5));
    assert_eq!(value(&field, "rebound", "value").as_integer(), Some(5));
    assert_eq!(value(&field, "air", "value").as_float(), Some(5.5));
    assert_eq!(value(&field, "lockout", "value").as_str(), Some("half"));
}

#[test]
fn settings_beyond_a_smaller_range_are_refused_before_any_question() {
    for (rebound, wanted) in [
        (
            "0 to 10 clicks",
            "was saved at 13 clicks from closed, but its range in this bike's file is 0 to 10 clicks",
        ),
        ("0 to 18 clicks by 2 clicks", "falls between 12 clicks and 14 clicks"),
    ] {
        let (field, ran) = ride(&bike(rebound), &recorded(FROM_CLOSED), "worse, worse", &[]);
        let ran = ran.ends(1);
        let said = unbroken(&ran.err);
        assert!(said.contains(wanted) && said.contains("Nothing has been started."), "{said}");
        assert!(!said.contains("Set the bike"), "{said}");
        assert_eq!(field.names("."), ["a.txt", "bike.tune", "old.toml", "plan.tune"]);
    }
    let other = bike("0 to 18 clicks").replace("open or half or closed", "open or firm");
    let (_, ran) = ride(&other, &recorded(FROM_CLOSED), "worse, worse", &[]);
    let said = unbroken(&ran.ends(1).err);
    assert!(
        said.contains(
            "fork lockout was saved at `half`, but its positions in this bike's file are open, firm"
        ),
        "{said}"
    );
}

#[test]
fn what_is_no_settings_file_is_refused() {
    for (text, wanted) in [
        ("", "not a settings file"),
        ("format = 7\n", "a newer version wrote it (format 7)"),
        ("format = \n", "it is not valid TOML"),
        ("format = 1\n[fork.rebound]\nvalue = 3\nunit = \"miles\"\n", "fork.rebound"),
        ("format = 1\n[shock.rebound]\nvalue = 3\nunit = \"clicks\"\n", "it has no settings for this bike"),
    ] {
        let (_, ran) = ride(&bike("0 to 18 clicks"), text, "worse, worse", &[]);
        let ran = ran.ends(1);
        assert!(unbroken(&ran.err).contains(wanted), "{wanted}: {}", ran.err);
    }
}

#[test]
fn a_plan_that_needs_settings_says_so() {
    let field = Field::with(&[("plan.tune", PLAN), ("bike.tune", &bike("0 to 18 clicks"))]);
    let ran = field.run(&["check", "plan.tune", "bike.tune"]).ends(0);
    assert!(ran.out.contains("This plan starts from saved settings: add `--from`"), "{}", ran.out);
    let ran = field.run(&["ride", "plan.tune", "bike.tune"]).ends(2);
    assert!(unbroken(&ran.err).contains("for example `--from bike-rider.settings.toml`"), "{}", ran.err);
    assert_eq!(field.journals("rides"), Vec::<String>::new());
}

#[test]
fn what_was_not_counted_is_counted_by_what_was_recorded() {
    let (field, ran) = ride(&bike("? clicks"), &recorded(FROM_CLOSED), "worse, worse", &[]);
    ran.ends(0);
    assert_eq!(value(&field, "rebound", "range").to_string(), "[0, 18]");
    assert_eq!(value(&field, "rebound", "start").as_integer(), Some(13));
}

#[test]
fn after_a_service_every_count_is_made_again() {
    let (field, ran) =
        ride(&bike("0 to 18 clicks"), &recorded(FROM_CLOSED), "16 clicks, worse, worse", &["--recount"]);
    ran.ends(0);
    assert_eq!(value(&field, "rebound", "range").to_string(), "[0, 16]");
    assert_eq!(value(&field, "rebound", "start").as_integer(), Some(13));
    // a start beyond the new count becomes the end, and is marked
    let (field, ran) =
        ride(&bike("0 to 18 clicks"), &recorded(FROM_CLOSED), "12 clicks, worse", &["--recount"]);
    let ran = ran.ends(0);
    assert!(unbroken(&ran.err).contains("is more than you counted"), "{}", ran.err);
    assert_eq!(value(&field, "rebound", "start").as_integer(), Some(12));
    assert_eq!(value(&field, "rebound", "start-above-count").as_bool(), Some(true));
}

#[test]
fn a_ride_from_settings_goes_on_without_naming_them_again() {
    let (field, ran) = ride(&bike("0 to 18 clicks"), &recorded(FROM_CLOSED), "better", &[]);
    ran.ends(4);
    field.write("old.toml", "nothing of use any more");
    let ran = field.run_with(
        &[
            "ride",
            "plan.tune",
            "bike.tune",
            "--journal",
            "j.toml",
            "--settings",
            "new.toml",
            "--as-of",
            MOMENT,
        ],
        "worse\n",
    );
    ran.ends(0);
    assert_eq!(value(&field, "rebound", "start").as_integer(), Some(13));
    assert_eq!(value(&field, "rebound", "value").as_integer(), Some(14));
}

#[test]
fn the_settings_of_a_ride_begin_the_next_one() {
    let field = Field::with(&[
        ("plan.tune", PLAN),
        ("bike.tune", &bike("0 to 3 turns, start 1 1/4")),
        ("first.tune", "steps\n  say \"Go\"\n"),
    ]);
    field.run(&[
        "ride",
        "first.tune",
        "bike.tune",
        "--settings",
        "old.toml",
        "--as-of",
        MOMENT,
        "--answers",
        "bike.tune",
    ]);
    field.write("none.txt", "");
    field
        .run(&[
            "ride",
            "first.tune",
            "bike.tune",
            "--settings",
            "old.toml",
            "--as-of",
            MOMENT,
            "--answers",
            "none.txt",
        ])
        .ends(0);
    field.write("plan.tune", PLAN.replace("2 clicks", "1/2 turn"));
    field.write("a.txt", "better, worse");
    field
        .run(&[
            "ride",
            "plan.tune",
            "bike.tune",
            "--from",
            "old.toml",
            "--settings",
            "new.toml",
            "--as-of",
            MOMENT,
            "--answers",
            "a.txt",
        ])
        .ends(0);
    let rebound = |file: &str, key: &str| setting(&field.read(file), &["fork", "rebound", key]);
    assert_eq!(rebound("old.toml", "value"), rebound("new.toml", "start"));
    assert_eq!(rebound("new.toml", "value").as_float(), Some(1.5));
}
