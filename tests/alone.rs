//! `ride` without files goes on with the open ride of the folder. Worked by hand; no outside source.

use std::path::Path;

use crate::support::{Field, MOMENT, unbroken};

const PLAN: &str = "plan \"Evening\"\nsteps\n  ride 1 lap\n  tune fork rebound, try faster first\n";
const BIKE: &str = "bike \"Barn\"\npart fork\n  rebound 0 to 20 clicks, start 10, step 2 clicks\n";

fn rider(name: &str) -> String {
    format!("rider \"{name}\"\n  weight 70 kg\n")
}

fn field() -> Field {
    let (mo, ana) = (rider("Mo"), rider("Ana"));
    Field::with(&[("plan.tune", PLAN), ("bike.tune", BIKE), ("mo.tune", &mo), ("ana.tune", &ana)])
}

#[test]
fn the_only_open_ride_goes_on() {
    let field = field();
    let set = ["ride", "plan.tune", "bike.tune", "mo.tune"];
    field.run_with(&[&set[..], &["--as-of", MOMENT]].concat(), "better\n").ends(4);
    let journal = field.journals("rides")[0].clone();
    let ran = field.run_with(&["ride", "--as-of", MOMENT], "better\n").ends(4);
    let said = unbroken(&ran.err);
    assert!(
        said.contains("Unfinished session: Evening, Barn, Mo: 3 answers, the last on 2026-05-16 14:05."),
        "{said}"
    );
    assert!(said.contains(&format!("Carrying on with rides/{journal}: 3 answers saved.")), "{said}");
    assert!(said.contains("16 clicks from closed"), "{said}");
    field.run_with(&["ride"], "worse\n").ends(0);
    // finished: nothing is open, and no file is written
    let names = field.journals("rides");
    let said = unbroken(&field.run_with(&["ride"], "better\n").ends(2).err);
    assert!(said.contains("There is no unfinished session in this folder."), "{said}");
    assert_eq!(field.journals("rides"), names);
    // a journal of another name, beside the files
    field.run_with(&[&set[..], &["--journal", "mine.ride.toml"]].concat(), "better\n").ends(4);
    let said = unbroken(&field.run_with(&["ride"], "worse\n").ends(0).err);
    assert!(said.contains("Carrying on with mine.ride.toml"), "{said}");
    assert_eq!(field.journals("rides"), names);
}

#[test]
fn of_several_open_rides_one_is_chosen() {
    let field = field();
    for (rider, moment) in
        [("mo.tune", "2026-05-16T14:05:00+02:00"), ("ana.tune", "2026-05-17T09:00:00+02:00")]
    {
        field.run_with(&["ride", "plan.tune", "bike.tune", rider, "--as-of", moment], "better\n").ends(4);
    }
    let said = unbroken(&field.run_with(&["ride"], "better\n").ends(2).err);
    let (ana, mo) = (said.find("1 Evening, Barn, Ana").unwrap(), said.find("2 Evening, Barn, Mo").unwrap());
    assert!(ana < mo && said.contains("To carry on with one of them, give its files"), "{said}");
    // at a terminal a number is asked for
    for (typed, expected) in [
        ("", "Carrying on with rides/2026-05-17-barn-ana"),
        ("2", "Carrying on with rides/2026-05-16-barn-mo"),
    ] {
        let script = format!(
            "stty cols 100 rows 40 -echo; exec '{}' ride --as-of 2026-05-17T09:05:00+02:00",
            crate::support::program().display()
        );
        let mut command = std::process::Command::new("sh");
        command.args(["-c", &script]).current_dir(field.path(".")).env("LANG", "C").env("NO_COLOR", "1");
        let mut session = rexpect::session::spawn_command(command, Some(20_000)).unwrap();
        session.exp_string("> ").unwrap();
        session.send_line("seven").unwrap();
        session.exp_string("Type a number").unwrap();
        session.exp_string("> ").unwrap();
        session.send_line(typed).unwrap();
        session.exp_string(expected).unwrap();
    }
}

/// Files are found where the journal says they were: below the folder that they had in common.
#[test]
fn the_files_of_an_open_ride_are_found_or_named() {
    let field = field();
    std::fs::create_dir_all(field.path("bikes")).unwrap();
    std::fs::rename(field.path("bike.tune"), field.path("bikes/bike.tune")).unwrap();
    field.run_with(&["ride", "plan.tune", "bikes/bike.tune", "mo.tune"], "better\n").ends(4);
    let ride = |folder: &Path| {
        let mut command = field.command(&["ride"]);
        let output = command.current_dir(folder).stdin(std::process::Stdio::null()).output().unwrap();
        (output.status.code(), unbroken(&String::from_utf8_lossy(&output.stderr)))
    };
    // the rides are beside the bike's file, so the folder of the bike is the place to be
    let (status, said) = ride(&field.path("bikes"));
    assert_eq!(status, Some(4), "{said}");
    assert!(said.contains("3 answers saved"), "{said}");
    std::fs::rename(field.path("mo.tune"), field.path("moritz.tune")).unwrap();
    let (status, said) = ride(&field.path("bikes"));
    assert_eq!(status, Some(3), "{said}");
    assert!(said.contains("These files are missing here: mo.tune."), "{said}");
}
