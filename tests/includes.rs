//! Files that use others: taken in once, and never from outside the folder.

use std::path::Path;

use crate::support::{Field, MOMENT, Ran, unbroken};

const SECRET: &str = "sesame-4711";

/// A folder `set` with a plan that uses something, and a file outside it that must never be shown.
fn field(used: &str) -> Field {
    let field = Field::new();
    for folder in ["set", "set/bikes", "outside"] {
        std::fs::create_dir(field.path(folder)).unwrap();
    }
    field.write(
        "set/plan.tune",
        format!("use \"{used}\"\nplan \"P\"\nsteps\n  ride 1 lap\n  tune every rebound\n"),
    );
    field.write("set/bikes/trail.tune", "bike \"Trail\"\npart fork\n  rebound 0 to 10 clicks\n");
    field.write("outside/secret.tune", format!("bike \"{SECRET}\"\npart fork\n  rebound {SECRET}\n"));
    field
}

fn check(field: &Field) -> Ran {
    field.run(&["check", "set/plan.tune"])
}

/// Refused with this code, on its own line, with nothing else said and nothing shown.
#[track_caller]
fn refused(field: &Field, code: &str) -> String {
    let ran = check(field).ends(1);
    let places: Vec<_> = ran.err.lines().filter(|line| line.starts_with("set/")).collect();
    assert_eq!(places.len(), 1, "{}", ran.err);
    assert!(places[0].starts_with("set/plan.tune:1:") && places[0].contains(code), "{}", ran.err);
    assert!(!ran.err.contains(SECRET) && !ran.out.contains(SECRET), "{}{}", ran.err, ran.out);
    let ride = field.run(&["ride", "set/plan.tune", "--journal", "j.toml"]).ends(1);
    assert!(!ride.err.contains(SECRET) && !ride.out.contains(SECRET));
    assert!(!field.path("j.toml").exists());
    unbroken(&ran.err)
}

#[test]
fn a_file_of_the_folder_is_taken_in() {
    for used in ["bikes/trail.tune", "./bikes/../bikes/trail.tune"] {
        let ran = check(&field(used)).ends(0);
        assert!(ran.out.contains("bike \"Trail\""), "{}", ran.out);
    }
    // seen from the file in which it stands; a diamond is read once
    let field = field("bikes/all.tune");
    field.write("set/bikes/all.tune", "use \"trail.tune\"\nuse \"more.tune\"\nuse \"../plan-b.tune\"\n");
    field.write("set/bikes/more.tune", "use \"trail.tune\"\nuse \"./trail.tune\"\n");
    field.write("set/plan-b.tune", "rider \"R\"\n");
    let ran = field.run(&["check", "set/plan.tune", "set/bikes/trail.tune"]).ends(0);
    assert!(ran.out.contains("rider \"R\"") && ran.err.is_empty(), "{}{}", ran.out, ran.err);
}

#[test]
fn no_path_leads_out_of_the_folder() {
    let top = field("x").path("outside/secret.tune");
    for used in [
        "../outside/secret.tune",
        "bikes/../../outside/secret.tune",
        "../set/../outside/secret.tune",
        "./.././outside/secret.tune",
        "../nothing-there.tune",
        "..",
    ] {
        refused(&field(used), "use-outside");
    }
    for used in [&*top.to_string_lossy(), "/etc/passwd", "~/x.tune", "C:/x.tune"] {
        let said = refused(&field(used), "use-outside");
        assert!(said.contains("this is a full path"), "{said}");
    }
    refused(&field("\\\\server\\x.tune"), "use-outside");
}

#[cfg(unix)]
#[test]
fn no_link_leads_out_of_the_folder() {
    use std::os::unix::fs::symlink;
    for (from, to, used) in [
        ("set/link.tune", "../outside/secret.tune", "link.tune"),
        ("set/door", "../outside", "door/secret.tune"),
        ("set/gone.tune", "../outside/not-there.tune", "gone.tune"),
        ("set/bikes/link.tune", "../link-two.tune", "bikes/link.tune"),
    ] {
        let field = field(used);
        symlink(to, field.path(from)).unwrap();
        symlink("../outside/secret.tune", field.path("set/link-two.tune")).unwrap();
        refused(&field, "use-outside");
    }
    // one that stays inside is followed, and missing where nothing is there
    let field = field("inside.tune");
    symlink("bikes/trail.tune", field.path("set/inside.tune")).unwrap();
    check(&field).ends(0);
    std::fs::rename(field.path("set/bikes/trail.tune"), field.path("set/bikes/path.tune")).unwrap();
    refused(&field, "use-missing");
    // in a ring they lead nowhere
    symlink("two.tune", field.path("set/one.tune")).unwrap();
    symlink("one.tune", field.path("set/two.tune")).unwrap();
    field.write("set/plan.tune", "use \"one.tune\"\n");
    refused(&field, "use-outside");
}

/// What was named on the command line was read on purpose; a link to it is that very file.
#[cfg(unix)]
#[test]
fn a_link_that_is_named_may_be_used() {
    let field = field("bike.tune");
    field.write("outside/bike.tune", "bike \"Elsewhere\"\npart fork\n  rebound 0 to 10 clicks\n");
    std::os::unix::fs::symlink("../outside/bike.tune", field.path("set/bike.tune")).unwrap();
    refused(&field, "use-outside");
    let ran = field.run(&["check", "set/plan.tune", "set/bike.tune"]).ends(0);
    assert!(ran.out.contains("bike \"Elsewhere\"") && ran.err.is_empty(), "{}{}", ran.out, ran.err);
}

#[test]
fn a_used_file_has_no_other_duty() {
    let field = field("spare.tune");
    field.write("set/spare.tune", "");
    for option in ["--journal", "--settings", "--answers"] {
        let ran =
            field.run(&["ride", "set/plan.tune", "set/bikes/trail.tune", option, "set/spare.tune"]).ends(2);
        assert!(
            crate::support::unbroken(&ran.err).contains("Name another file for one of them."),
            "{}",
            ran.err
        );
        assert_eq!(field.read("set/spare.tune"), "");
    }
}

/// `door/..` is the folder itself by its words and another one for the system.
#[cfg(unix)]
#[test]
fn nothing_is_written_behind_a_link() {
    let field = field("door/../via.tune");
    std::fs::create_dir(field.path("outside/room")).unwrap();
    std::os::unix::fs::symlink("../outside/room", field.path("set/door")).unwrap();
    let mine = "bike \"B\"\npart fork\n  rebuond 0 to 10 clicks\n";
    field.write("set/via.tune", mine);
    field.write("outside/via.tune", SECRET);
    let before = (field.names("outside"), field.names("outside/room"));
    field.run(&["check", "set/plan.tune", "--fix"]).ends(0);
    assert_eq!(field.read("outside/via.tune"), SECRET);
    assert_eq!(field.read("set/via.tune"), mine.replace("rebuond", "rebound"));
    field.run_with(&["ride", "set/plan.tune", "--as-of", MOMENT], "faster, worse, worse\n").ends(0);
    assert_eq!((field.names("outside"), field.names("outside/room")), before, "a ride writes nothing there");
    assert_eq!(field.journals("set/rides"), ["2026-05-16-b-0000.ride.toml"]);
}

#[test]
fn nothing_is_ridden_while_the_bytes_of_a_file_are_wrong() {
    let text = "bike \"B\"\npart fork\n  rebound 0 to 4 clicks\nsteps\n  ride 1 lap\n# the end\r# of it\n";
    let field = Field::with(&[("set.tune", text)]);
    let ran = field.run(&["ride", "set.tune", "--journal", "j.toml"]).ends(1);
    assert!(ran.err.contains("line-end") && !field.path("j.toml").exists(), "{}", ran.err);
}

#[test]
fn what_is_not_there_is_named_and_the_nearest_offered() {
    let said = refused(&field("bikes/Trail.tune"), "use-missing");
    assert!(said.contains("did you mean \"bikes/trail.tune\"?"), "{said}");
    let said = refused(&field("bikes/trial.tune"), "use-missing");
    assert!(said.contains("did you mean \"bikes/trail.tune\"?"), "{said}");
    let said = refused(&field("bikes\\trail.tune"), "use-missing");
    assert!(said.contains("write `use \"bikes/trail.tune\"`"), "{said}");
    let said = refused(&field("..\\outside\\secret.tune"), "use-outside");
    assert!(!said.contains("write `use"), "{said}");
    refused(&field("nowhere.tune"), "use-missing");
    refused(&field(" "), "use-missing");
    refused(&field("bikes"), "use-unreadable");
}

#[cfg(unix)]
#[test]
fn a_pipe_is_no_file_and_stops_nobody() {
    let field = field("pipe.tune");
    let made = std::process::Command::new("mkfifo").arg(field.path("set/pipe.tune")).status().unwrap();
    assert!(made.success());
    refused(&field, "use-unreadable");
}

#[test]
fn a_circle_is_told_with_its_chain() {
    let field = field("b.tune");
    field.write("set/b.tune", "use \"bikes/c.tune\"\n");
    field.write("set/bikes/c.tune", "use \"../plan.tune\"\n");
    let ran = check(&field).ends(1);
    let said = unbroken(&ran.err.replace('|', " "));
    assert!(said.contains("bikes/c.tune uses plan.tune uses b.tune uses bikes/c.tune"), "{said}");
    assert_eq!(said.matches("error use-loop").count(), 1, "{said}");
    field.write("set/b.tune", "use \"b.tune\"\n");
    let said = unbroken(&check(&field).ends(1).err);
    assert!(said.contains("b.tune uses b.tune"), "{said}");
    // a line that says it again is not told again
    field.write("set/b.tune", "use \"b.tune\"\nuse \"./b.tune\"\n");
    let said = unbroken(&check(&field).ends(1).err);
    assert_eq!(said.matches("error use-loop").count(), 1, "{said}");
    // both named, each using the other
    let field = Field::with(&[("a.tune", "use \"b.tune\"\n"), ("b.tune", "use \"a.tune\"\n")]);
    let said = unbroken(&field.run(&["check", "a.tune", "b.tune"]).ends(1).err);
    assert_eq!(said.matches("error use-loop").count(), 1, "{said}");
}

#[test]
fn a_long_chain_ends_somewhere() {
    let field = Field::new();
    for number in 0..150 {
        field.write(&format!("{number}.tune"), format!("use \"{}.tune\"\n", number + 1));
    }
    let said = unbroken(&field.run(&["check", "0.tune"]).ends(1).err);
    assert!(said.contains("use-too-many") && said.matches("error").count() == 1, "{said}");
    // as many as are followed, and then no more
    let lines = "use \"x.tune\"\n".repeat(1_500);
    field.write("many.tune", lines);
    let ran = field.run(&["check", "many.tune", "--report", "json"]).ends(1);
    assert_eq!(ran.out.matches("\"use-missing\"").count(), 1_000);
    assert!(ran.out.contains("\"more\": 1,"), "the one of too many comes after the 1,000");
}

/// What a file that is lacking may say is not missed, and no advice is given without it.
#[test]
fn a_lacking_file_is_one_problem() {
    let steps = "plan \"P\"\n  needs settings\nloop \"T\"\n  warm-up 1 lap\nsteps\n  set shock rebound to open\n  measure every spring\n  \
                 tune every compression\n  tune every rebound\n  tune fork \"lever\"\n";
    let air = "part fork\n  air 40 to 90 psi, start 50 psi at 60 kg, 70 psi at 80 kg\n";
    for (line, code) in [
        ("use \"nowhere.tune\"", "use-missing"),
        ("use nowhere.tune", "word-unexpected"),
        ("use \"no\u{200b}where.tune\"", "text-invisible"),
        ("usee \"nowhere.tune\"", "word-misspelt use-missing"),
        ("use", "line-unfinished"),
    ] {
        let field = Field::with(&[("x.tune", &format!("{line}\n{steps}{air}"))]);
        let ran = field.run(&["check", "x.tune"]).ends(1);
        let codes: Vec<_> = ran.err.lines().filter(|line| line.starts_with("x.tune:")).collect();
        let codes: Vec<_> = codes.iter().filter_map(|line| line.split(' ').next_back()).collect();
        let mut told: Vec<_> = code.split(' ').collect();
        told.sort_unstable();
        let mut seen = codes.clone();
        seen.sort_unstable();
        assert_eq!(seen, told, "{line}: {}", ran.err);
    }
}

#[test]
fn a_ride_of_files_that_use_others_goes_on_and_ends() {
    let field = field("bikes/trail.tune");
    let ride = |input: &str| field.run_with(&["ride", "set/plan.tune", "--as-of", MOMENT], input);
    ride("faster\nbetter\n").ends(4);
    let journals = field.journals("set/bikes/rides");
    assert_eq!(journals, ["2026-05-16-trail-0000.ride.toml"], "beside the bike's file");
    let journal = field.read(&format!("set/bikes/rides/{}", journals[0]));
    assert!(
        journal.contains("name = \"bikes/trail.tune\"") && journal.contains("name = \"plan.tune\""),
        "{journal}"
    );
    let ran = ride("worse\n").ends(0);
    assert!(!ran.err.contains("have changed"), "{}", ran.err);
    assert!(Path::new(&field.path("set/bikes/trail.settings.toml")).exists());
    // it is known to be finished: the next one is a ride of its own
    ride("").ends(4);
    assert_eq!(field.journals("set/bikes/rides").len(), 2);
}
