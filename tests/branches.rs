//! Journals in git: two branches, merged with and without a conflict, by the program itself.

use std::process::Command;

use clickwise::record::{Damage, Rest, read_journal};

use crate::support::{Field, unbroken};

const SET: &str = "\
bike \"B\"
part fork
  rebound 0 to 20 clicks, start 10
  compression 0 to 20 clicks, start 10
steps
  tune every rebound
  tune every compression
";

const JOURNAL: &str = "a.ride.toml";

/// A folder under git, with a first commit; `None` where git is not installed.
fn repository() -> Option<Field> {
    let field = Field::with(&[("set.tune", SET), (".gitignore", "*.settings.toml\n")]);
    if Command::new("git").arg("--version").output().is_err() {
        println!("not run: git is not installed");
        return None;
    }
    git(&field, &["init", "--quiet", "--initial-branch=main"]);
    commit(&field);
    Some(field)
}

/// Runs git; whether it succeeded.
fn git(field: &Field, arguments: &[&str]) -> bool {
    let mut command = Command::new("git");
    command.args(["-c", "user.name=Mo", "-c", "user.email=mo@example.org", "-c", "commit.gpgsign=false"]);
    command.args(arguments).current_dir(field.path("."));
    command.env("GIT_CONFIG_GLOBAL", "/dev/null").env("GIT_CONFIG_SYSTEM", "/dev/null");
    command.output().unwrap().status.success()
}

fn commit(field: &Field) {
    git(field, &["add", "--all"]);
    assert!(git(field, &["commit", "--quiet", "--message", "as it is"]));
}

/// Rides on in one journal, at a minute of one day.
fn ride(field: &Field, minute: u32, answers: &str) {
    let moment = format!("2026-05-16T14:{minute:02}:00+02:00");
    let arguments = ["ride", "set.tune", "--journal", JOURNAL, "--settings", "-", "--as-of", &moment];
    field.run_with(&arguments, answers).ends(4);
}

/// A journal that two branches went on with, merged: the two journals, and whether the merge went through.
fn merged(attributes: &str, ours: (u32, &str), theirs: (u32, &str)) -> Option<(Field, String, String, bool)> {
    let field = repository()?;
    field.write(".gitattributes", attributes);
    ride(&field, 0, "faster\nbetter\n");
    commit(&field);
    git(&field, &["checkout", "--quiet", "-b", "other"]);
    ride(&field, theirs.0, theirs.1);
    commit(&field);
    let their_journal = field.read(JOURNAL);
    git(&field, &["checkout", "--quiet", "main"]);
    ride(&field, ours.0, ours.1);
    commit(&field);
    let our_journal = field.read(JOURNAL);
    let went_through = git(&field, &["merge", "--quiet", "--no-edit", "other"]);
    Some((field, our_journal, their_journal, went_through))
}

/// Two rides of one rider and bike on one day are two files, and git merges both.
#[test]
fn rides_of_one_day_on_two_branches_merge() {
    let Some(field) = repository() else { return };
    let ride = |answers: &str, status| field.run_with(&["ride", "set.tune"], answers).ends(status).err;
    git(&field, &["checkout", "--quiet", "-b", "other"]);
    ride("faster\nbetter\nsame\n", 4);
    commit(&field);
    git(&field, &["checkout", "--quiet", "main"]);
    ride("faster\nworse\n", 4);
    commit(&field);
    assert!(git(&field, &["merge", "--quiet", "--no-edit", "other"]));
    let names = field.journals("rides");
    assert_eq!(names.len(), 2, "{names:?}");
    let counts: Vec<usize> = names
        .iter()
        .map(|name| read_journal(field.read(&format!("rides/{name}")).as_bytes()).unwrap().entries.len())
        .collect();
    assert!(counts.contains(&4) && counts.contains(&5), "{counts:?}");
    ride("worse\n", 4);
    assert_eq!(field.journals("rides"), names);
}

#[test]
fn an_unfinished_merge_is_named_and_one_side_can_be_kept() {
    let Some((field, ours, theirs, went_through)) = merged("", (20, "better\nsame\n"), (30, "worse\n"))
    else {
        return;
    };
    assert!(!went_through);
    assert!(matches!(read_journal(field.read(JOURNAL).as_bytes()), Err(Damage::Merge { .. })));
    let before = field.read(JOURNAL);
    let arguments = ["ride", "set.tune", "--journal", JOURNAL, "--settings", "-"];
    let said = unbroken(&field.run_with(&arguments, "same\n").ends(1).err);
    assert!(said.contains("is a mark of an unfinished merge"), "{said}");
    assert!(said.contains("`git checkout --ours a.ride.toml`"), "{said}");
    assert!(!said.contains("damaged"), "{said}");
    assert_eq!(field.read(JOURNAL), before);
    for (side, journal) in [("--theirs", theirs), ("--ours", ours)] {
        assert!(git(&field, &["checkout", side, JOURNAL]));
        assert_eq!(field.read(JOURNAL), journal, "{side}");
        let ran = field.run_with(&arguments, "").ends(4);
        assert!(unbroken(&ran.err).contains("Carrying on with a.ride.toml"), "{}", ran.err);
    }
}

/// The same in the folder where journals are looked for.
#[test]
fn an_unfinished_merge_among_the_journals_is_named() {
    let Some((field, ..)) = merged("", (20, "better\nsame\n"), (30, "worse\n")) else { return };
    std::fs::create_dir(field.path("rides")).unwrap();
    let name = "rides/2026-05-16-b.ride.toml";
    std::fs::rename(field.path(JOURNAL), field.path(name)).unwrap();
    let said = unbroken(&field.run_with(&["ride", "set.tune"], "same\n").ends(1).err);
    assert!(said.contains(&format!("`git checkout --ours {name}`")), "{said}");
    assert_eq!(field.names("rides").len(), 1);
}

/// Git may keep the lines of both sides. Then the records of both are read: the first branch goes on, and the
/// other's journal is whole in a file of its own.
#[test]
fn a_merge_that_keeps_both_sides_loses_neither() {
    let mut wove = 0;
    for (index, (ours, theirs)) in [
        ((20, "better\n"), (30, "worse\n")),
        ((20, "better\nsame\n"), (30, "better\nsame\nsame\nworse\n")),
        ((20, "better\nsame\nsame\nworse\n"), (30, "worse\n")),
        ((20, "better\n"), (30, "better\n")),
        ((20, "better \"grips\"\nvoid\nsame\n"), (30, "better \"skips\"\nundo\nsame\n")),
        // in one minute: only what was answered differs
        ((20, "better\nsame\n"), (20, "worse\nsame\nsame\n")),
        ((20, "better\nsame\nsame\nworse\n"), (20, "same\nworse\n")),
    ]
    .into_iter()
    .enumerate()
    {
        let Some((field, our_journal, their_journal, went_through)) =
            merged("*.ride.toml merge=union\n", ours, theirs)
        else {
            return;
        };
        assert!(went_through, "{index}");
        let text = field.read(JOURNAL);
        wove += usize::from(!text.starts_with(&our_journal));
        let journal = read_journal(text.as_bytes()).unwrap();
        let Rest::Forked(fork) = &journal.rest else { panic!("{index}: {:?}\n{text}", journal.rest) };
        let [us, them] = [&our_journal, &their_journal].map(|text| read_journal(text.as_bytes()).unwrap());
        // in one minute the two may begin with the same records
        let shared = us.entries.iter().zip(&them.entries).take_while(|(one, other)| one == other).count();
        assert_eq!(journal.entries, us.entries, "{index}\n{text}");
        assert_eq!((&fork.ours, &fork.theirs), (&our_journal, &their_journal), "{index}");
        assert_eq!((fork.shared, &fork.their_entries[..]), (shared, &them.entries[shared..]), "{index}");
        // and the program goes on with the one, and puts the other beside it
        let arguments = ["ride", "set.tune", "--journal", JOURNAL, "--settings", "-"];
        let said = unbroken(&field.run_with(&arguments, "").ends(4).err);
        let told = |count: usize| if count == 1 { "1 record".to_owned() } else { format!("{count} records") };
        let [ours, theirs] = [us.entries.len() - shared, them.entries.len() - shared].map(told);
        assert!(said.contains(&format!("then one has {ours} more, the other {theirs}.")), "{index}: {said}");
        assert_eq!(field.read(JOURNAL), our_journal, "{index}");
        let aside = "a.ride.toml.branch-1";
        assert_eq!(field.read(aside), their_journal, "{index}");
        let other = ["ride", "set.tune", "--journal", aside, "--settings", "-"];
        let said = unbroken(&field.run_with(&other, "").ends(4).err);
        assert!(said.contains(&format!("Carrying on with {aside}")), "{index}: {said}");
    }
    assert!(wove > 0, "git left out no line of any record");
}
