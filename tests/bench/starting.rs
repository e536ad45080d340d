//! How long the whole program takes to check a plan of sixty lines, against an empty program that is
//! built alike. Aim: at most twice as long. And how long a ride takes to begin beside 1,000 finished
//! ones, against 10.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a benchmark runs programs, reads the clock and prints"
)]

mod common;

use std::path::Path;
use std::process::{Command, Stdio};

use common::{in_turn, milliseconds, ratio, visit};

const ROUNDS: usize = 400;

/// A program that does nothing, with the flags of the release profile.
fn empty_program(folder: &Path) -> std::path::PathBuf {
    let (source, program) = (folder.join("empty.rs"), folder.join("empty"));
    std::fs::write(&source, "fn main() {}\n").unwrap();
    let flags = ["opt-level=3", "lto=fat", "codegen-units=1", "panic=abort", "strip=symbols"];
    let mut rustc = Command::new("rustc");
    rustc.arg("--edition=2024").args(flags.iter().flat_map(|flag| ["-C", flag]));
    assert!(rustc.arg(&source).arg("-o").arg(&program).status().unwrap().success());
    program
}

/// A plan of sixty lines without an error.
fn sixty_lines() -> String {
    let mut text = visit(1);
    while text.lines().count() < 60 {
        text += "  say     \"Look over the bike before you go on.\"\n";
    }
    text
}

const RIDE: &str = "\
plan \"Evening\"
bike \"Barn\"
part fork
  rebound 0 to 10 clicks, start 5
steps
  ride 2 laps
  tune fork rebound, at most 3 laps
";

/// A folder in which a ride was finished so many times, each on another day, and is begun once more.
fn season(folder: &Path, count: usize) -> std::path::PathBuf {
    let set = folder.join("set.tune");
    std::fs::create_dir(folder).unwrap();
    std::fs::write(&set, RIDE).unwrap();
    std::fs::write(folder.join("answers"), "slower, worse, better, worse").unwrap();
    std::fs::write(folder.join("none"), "").unwrap();
    let mut ride = Command::new(env!("CARGO_BIN_EXE_clickwise"));
    ride.arg("ride").arg(&set).arg("--answers").arg(folder.join("answers"));
    assert!(ride.stdout(Stdio::null()).stderr(Stdio::null()).status().unwrap().success());
    let rides = folder.join("rides");
    let files: Vec<_> = std::fs::read_dir(&rides).unwrap().map(|entry| entry.unwrap().path()).collect();
    assert_eq!(files.len(), 2);
    for file in &files {
        let name = file.file_name().unwrap().to_str().unwrap();
        for number in 1..count {
            let (year, month, day) = (2000 + number / 336, number / 28 % 12 + 1, number % 28 + 1);
            let day = format!("{year}-{month:02}-{day:02}");
            std::fs::copy(file, rides.join(day + &name["2026-05-16".len()..])).unwrap();
        }
    }
    assert_eq!(std::fs::read_dir(&rides).unwrap().count(), 2 * count);
    set
}

/// Begins a ride, and ends it before the first answer.
fn begun(set: &Path) -> Option<i32> {
    let mut ride = Command::new(env!("CARGO_BIN_EXE_clickwise"));
    ride.arg("ride").arg(set).arg("--answers").arg(set.with_file_name("none"));
    ride.stdout(Stdio::null()).stderr(Stdio::null()).status().unwrap().code()
}

fn seasons(folder: &Path) {
    let [few, many] = [10, 1000].map(|count| season(&folder.join(count.to_string()), count));
    assert_eq!((begun(&few), begun(&many)), (Some(4), Some(4)));
    let (few, many) = in_turn(ROUNDS / 4, || begun(&few), || begun(&many));
    println!(
        "a ride begun beside 1,000 finished ones {:.2} ms, beside 10 {:.2} ms, ratio {:.2}",
        milliseconds(many),
        milliseconds(few),
        ratio(many, few)
    );
}

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let (empty, file) = (empty_program(folder.path()), folder.path().join("set.tune"));
    std::fs::write(&file, sixty_lines()).unwrap();
    let run = |command: &mut Command| command.stdout(Stdio::null()).stderr(Stdio::null()).status().unwrap();
    let program = env!("CARGO_BIN_EXE_clickwise");
    let check = || run(Command::new(program).arg("check").arg(&file));
    let nothing = || run(&mut Command::new(&empty));
    assert_eq!(check().code(), Some(0));
    let (ours, theirs) = in_turn(ROUNDS, check, nothing);
    let help = || run(Command::new(program).arg("--version"));
    let (starting, _) = in_turn(ROUNDS, help, nothing);
    println!(
        "check of 60 lines {:.2} ms, an empty program {:.2} ms, ratio {:.2} (--version {:.2} ms)",
        milliseconds(ours),
        milliseconds(theirs),
        ratio(ours, theirs),
        milliseconds(starting)
    );
    seasons(folder.path());
}
