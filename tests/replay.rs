//! Every input that the fuzzer keeps, through the very code that it runs.

#[path = "fuzz/bodies.rs"]
mod bodies;

use std::panic::{AssertUnwindSafe, catch_unwind};

use crate::support::project;

/// Runs a body on each file of its corpus; the names of those that fail are told together.
fn replay(name: &str, body: fn(&[u8])) {
    let folder = project().join("tests/fuzz/corpus").join(name);
    let mut paths: Vec<_> = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    assert!(paths.len() >= 10, "{} has {} files", folder.display(), paths.len());
    let mut failed = Vec::new();
    for path in paths {
        let bytes = std::fs::read(&path).unwrap();
        if catch_unwind(AssertUnwindSafe(|| body(&bytes))).is_err() {
            failed.push(path);
        }
    }
    assert!(failed.is_empty(), "{name} fails on {failed:?}");
}

#[test]
fn what_is_kept_for_parse() {
    replay("parse", bodies::parse);
}

#[test]
fn what_is_kept_for_check() {
    replay("check", bodies::check);
}

#[test]
fn what_is_kept_for_format() {
    replay("format", bodies::format);
}

#[test]
fn what_is_kept_for_journal() {
    replay("journal", bodies::journal);
}
