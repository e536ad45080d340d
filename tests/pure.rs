//! Without the feature `cli` the library is pure: no crate in it draws on a screen, starts threads, reads arguments or
//! asks for the time. That it builds so, without a warning, is seen by `tests/run`.

use std::process::Command;

use crate::support::project;

/// What a pure library has no use for, and what the same crates are called elsewhere in the tree.
const IMPURE: [&str; 11] = [
    "clap",
    "ctrlc",
    "libc",
    "miette",
    "nix",
    "rayon",
    "rustix",
    "signal-hook",
    "similar",
    "tempfile",
    "terminal_size",
];

/// All crates that are linked with the library: names, versions, features.
fn crates(features: &[&str]) -> Vec<String> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let done = Command::new(cargo)
        .args(["tree", "--locked", "--offline", "--edges", "normal,no-proc-macro"])
        .args(["--prefix", "none", "--format", "{p} {f}"])
        .args(features)
        .current_dir(project())
        .output()
        .unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let tree = String::from_utf8(done.stdout).unwrap();
    tree.lines().map(str::to_owned).collect()
}

#[test]
fn no_crate_of_the_pure_library_touches_the_world() {
    let (pure, whole) = (crates(&["--no-default-features"]), crates(&[]));
    let has = |crates: &[String], name: &str| crates.iter().any(|line| line.starts_with(&format!("{name} ")));
    for name in IMPURE {
        assert!(!has(&pure, name), "{name} is in it");
    }
    for name in ["clap", "miette", "rayon", "tempfile", "terminal_size"] {
        assert!(has(&whole, name), "{name} has gone: IMPURE is to follow");
    }
    assert!(has(&pure, "indexmap"));
    // dates are counted with it, but no time zone is looked up
    let knows_zones =
        |crates: &[String]| crates.iter().any(|line| line.starts_with("jiff ") && line.contains("tz-"));
    assert_eq!((knows_zones(&pure), knows_zones(&whole)), (false, true));
    let builds = std::fs::read_to_string(project().join("tests/run")).unwrap();
    assert!(builds.contains("--lib --no-default-features"), "nothing builds it");
}
