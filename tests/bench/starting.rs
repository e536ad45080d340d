//! How long the whole program takes to check a plan of sixty lines, against an empty program that is
//! built alike. Aim: at most four times as long.
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
}
