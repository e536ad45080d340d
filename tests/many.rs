//! `check` and `format` as people call them: folders, many sets, standard input, differences. Worked by hand; no
//! outside source but the schema of SARIF, against which `reports` holds every report.

use crate::support::{Field, unbroken};

const BIKE: &str = "bike \"Barn\"\n\npart fork\n  rebound 0 to 20 clicks\n";
const BAD: &str = "bike \"Wren\"\n\npart fork\n  rebuond 0 to 20 clicks\n";
const PLAN: &str =
    "use \"bikes/barn.tune\"\n\nplan \"Evening\"\n\nsteps\n  ride 2 laps\n  tune every rebound\n";

fn field() -> Field {
    let field = Field::new();
    for folder in ["bikes", "bikes/old", "bikes/.hidden", "empty"] {
        std::fs::create_dir_all(field.path(folder)).unwrap();
    }
    field.write("evening.tune", PLAN);
    field.write("bikes/barn.tune", BIKE);
    field.write("bikes/wren.tune", BAD);
    field.write("bikes/old/owl.tune", BIKE.replace("Barn", "Owl"));
    field.write("bikes/.hidden/lark.tune", BAD);
    field.write("bikes/notes.txt", "not of the language");
    field
}

#[test]
fn a_folder_is_checked_file_by_file_and_set_by_set() {
    let field = field();
    let ran = field.run(&["check", "."]).ends(1);
    assert_eq!(ran.err.matches("error word-misspelt").count(), 1, "{}", ran.err);
    assert!(ran.err.contains("bikes/wren.tune:4:3"), "{}", ran.err);
    // the plan with the bike that it uses is a set, and that bike is not told of by itself
    assert!(ran.out.contains("./evening.tune: ready to ride. At most "), "{}", ran.out);
    assert!(ran.out.ends_with("3 files: 1 error\n"), "{}", ran.out);
    field.write("bikes/wren.tune", BIKE.replace("Barn", "Wren"));
    let ran = field.run(&["check", "."]).ends(0);
    assert!(ran.out.ends_with("3 files: no problem found.\n"), "{}", ran.out);
    let none = field.run(&["check", "empty"]).ends(3);
    assert!(
        unbroken(&none.err).contains("empty: this folder has no file that ends in .tune"),
        "{}",
        none.err
    );
}

#[test]
fn files_of_many_sets_are_checked_each_by_itself() {
    let field = field();
    let ran = field.run(&["check", "bikes/barn.tune", "bikes/old/owl.tune"]).ends(0);
    assert!(
        unbroken(&ran.out).contains("2 of the files have a bike, so each file is checked on its own"),
        "{}",
        ran.out
    );
    assert!(ran.out.ends_with("2 files: no problem found.\n"), "{}", ran.out);
    // the same file twice is one, and a set is a set
    let ran = field.run(&["check", "bikes/barn.tune", "./bikes/barn.tune", "evening.tune"]).ends(0);
    assert!(ran.out.contains("Ready to ride."), "{}", ran.out);
    // a bike that two plans use is told of once
    field.write("bikes/barn.tune", BAD);
    field.write("morning.tune", PLAN.replace("Evening", "Morning"));
    let ran = field.run(&["check", "evening.tune", "morning.tune"]).ends(1);
    assert_eq!(ran.err.matches("error word-misspelt").count(), 1, "{}", ran.err);
    assert!(ran.out.ends_with("2 files: 1 error\n"), "{}", ran.out);
    // of two that use each other one is told, with the circle
    field.write("a.tune", "use \"b.tune\"\n");
    field.write("b.tune", "use \"a.tune\"\n");
    let ran = field.run(&["check", "a.tune", "b.tune", "evening.tune", "morning.tune"]).ends(1);
    assert_eq!(ran.err.matches("error use-loop").count(), 1, "{}", ran.err);
    // a ride is of one set
    let ran = field.run(&["ride", "evening.tune", "morning.tune"]).ends(1);
    assert!(ran.err.contains("duplicate"), "{}", ran.err);
    // every one of them is repaired
    field.run(&["check", "--fix", "bikes"]).ends(0);
    assert_eq!(field.read("bikes/barn.tune"), BAD.replace("rebuond", "rebound"));
    assert_eq!(field.read("bikes/wren.tune"), BAD.replace("rebuond", "rebound"));
}

#[test]
fn standard_input_is_a_file_called_minus() {
    let field = field();
    let ran = field.run_with(&["check", "-"], BAD).ends(1);
    assert!(ran.err.contains("-:4:3: error word-misspelt"), "{}", ran.err);
    let plan = PLAN.lines().skip(2).collect::<Vec<_>>().join("\n");
    let ran = field.run_with(&["check", "bikes/barn.tune", "-"], &plan).ends(0);
    assert!(ran.out.contains("Ready to ride."), "{}", ran.out);
    let ran = field.run_with(&["check", "-"], PLAN).ends(0);
    assert!(ran.out.contains("Ready to ride."), "what it uses is found: {}", ran.out);
    assert!(
        unbroken(&field.run_with(&["check", "--fix", "-"], BAD).ends(2).err)
            .contains("Save the text as a file first")
    );
    // format prints it
    let ran = field.run_with(&["format", "-"], "bike   \"B\"\npart fork\nrebound 18 clicks").ends(0);
    assert_eq!(ran.out, "bike \"B\"\npart fork\n  rebound 18 clicks\n");
    assert_eq!(field.run_with(&["format", "-"], &ran.out).ends(0).out, ran.out);
    let ran = field.run_with(&["format", "--check", "-"], "bike   \"B\"\n").ends(1);
    assert_eq!(ran.out, "-: needs tidying\n");
    let ran = field.run_with(&["format", "-"], BAD).ends(1);
    assert_eq!(ran.out, "", "nothing is printed of a text with errors");
    // it is read once, however often it is named
    assert_eq!(
        field.run_with(&["check", "-", "-"], PLAN).ends(0).out,
        field.run_with(&["check", "-"], PLAN).out
    );
    // its encoding is told as that of a file is
    let ran =
        field.run_with(&["check", "-"], b"bike \"Br\xFCcke\"\npart fork\n  rebound 18 clicks\n").ends(1);
    assert!(unbroken(&ran.err).contains("this is not UTF-8 text (byte FC)"), "{}", ran.err);
    // any bytes
    let ran = field.run_with(&["check", "-"], "\u{0}\u{FFFD}").ends(1);
    assert!(ran.err.contains("-:1:1"), "{}", ran.err);
}

#[test]
fn format_shows_what_would_change() {
    let field =
        Field::with(&[("a.tune", "bike   \"B\"\n\npart fork\nrebound 18 clicks\n"), ("b.tune", BIKE)]);
    let ran = field.run(&["format", "--diff", "a.tune", "b.tune"]).ends(1);
    assert_eq!(
        ran.out,
        "--- a.tune\n+++ a.tune\n@@ -1,4 +1,4 @@\n-bike   \"B\"\n+bike \"B\"\n \n part fork\n-rebound 18 clicks\n+  rebound 18 clicks\n"
    );
    assert_eq!(field.read("a.tune"), "bike   \"B\"\n\npart fork\nrebound 18 clicks\n", "nothing is written");
    assert_eq!(field.run(&["format", "--diff", "b.tune"]).ends(0).out, "Nothing to change.\n");
}

#[test]
fn warnings_can_be_denied() {
    let cold = PLAN.replace("  ride 2 laps\n", "");
    let field = field();
    field.write("evening.tune", &cold);
    for (arguments, status) in [
        (&["check", "evening.tune"][..], 0),
        (&["check", "evening.tune", "--deny", "warnings"][..], 1),
        (&["check", "evening.tune", "--deny", "warnings", "--report", "json"][..], 1),
        (&["check", "evening.tune", "--deny", "errors"][..], 2),
        (&["check", "bikes/barn.tune", "--deny", "warnings"][..], 0),
    ] {
        assert_eq!(field.run(arguments).status, status, "{arguments:?}");
    }
}

/// One report for all; it ends after 1,000 problems, with how many there are besides.
#[test]
fn a_report_is_of_all_files_and_ends() {
    let field = field();
    let report = |arguments: &[&str]| -> serde_json::Value {
        serde_json::from_str(&field.run(arguments).out).unwrap()
    };
    let json = report(&["check", ".", "--report", "json"]);
    let file = |problem: &serde_json::Value| problem["file"].as_str().unwrap().to_owned();
    let files: Vec<String> = json["problems"].as_array().unwrap().iter().map(file).collect();
    assert_eq!(files, ["./bikes/wren.tune"]);
    assert!(json["proof"].is_null() && json.get("more").is_none());
    let sarif = report(&["check", ".", "--report", "sarif"]);
    assert_eq!(sarif["runs"].as_array().unwrap().len(), 1);
    assert_eq!(sarif["runs"][0]["results"].as_array().unwrap().len(), 1);
    let lines =
        (0..700).map(|number| format!("  rebuond{number} 0 to 20 clicks\n")).collect::<Vec<_>>().concat();
    for bike in ["a", "b"] {
        field.write(&format!("bikes/{bike}.tune"), format!("bike \"{bike}\"\npart fork\n{lines}"));
    }
    for (format, problems, more) in
        [("json", "/problems", "/more"), ("sarif", "/runs/0/results", "/runs/0/properties/more")]
    {
        let report = report(&["check", "bikes", "--report", format]);
        assert_eq!(report.pointer(problems).unwrap().as_array().unwrap().len(), 1_000, "{format}");
        assert!(report.pointer(more).unwrap().as_u64().unwrap() >= 401, "{format}");
    }
}

/// A set that is far too large is refused as soon as that is plain.
#[test]
fn a_set_of_more_than_64_mib_is_refused() {
    let field = Field::new();
    let comments = "# nothing but comments\n".repeat(15 * 1024 * 1024 / 23);
    let names: Vec<String> = (0..5).map(|number| format!("{number}.tune")).collect();
    for name in &names {
        field.write(name, &comments);
    }
    let arguments: Vec<&str> = std::iter::once("check").chain(names.iter().map(String::as_str)).collect();
    let ran = field.run(&arguments).ends(3);
    assert!(
        unbroken(&ran.err).contains("4.tune: not read: these files together are larger than 64 MiB"),
        "{}",
        ran.err
    );
    // and a single file of more than 16
    field.write("large.tune", "# nothing but comments\n".repeat(800_000));
    let ran = field.run(&["check", "large.tune"]).ends(3);
    assert!(unbroken(&ran.err).contains("it is bigger than 16 MB"), "{}", ran.err);
}
