//! What a path is: only regular files are read and written. Links stay links; devices, pipes and sockets are
//! neither replaced nor waited for.
#![cfg(unix)]

use std::os::unix::fs::{FileTypeExt, symlink};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use clickwise::disk::{Thing, what_is, write_whole};
use clickwise::record::read_journal;

use crate::support::{Field, MOMENT, Ran, unbroken};

const SET: &str = "bike \"B\"\npart fork\n  rebound 0 to 20 clicks, start 10\nsteps\n  tune every rebound\n";

/// What the rider has elsewhere and nobody may touch.
const MINE: &str = "mine alone\n";

fn field() -> Field {
    let field =
        Field::with(&[("set.tune", SET), ("mine.txt", MINE), ("answers.txt", "faster\nsame\nsame\n")]);
    std::fs::create_dir(field.path("rides")).unwrap();
    std::fs::create_dir(field.path("else")).unwrap();
    field
}

fn pipe(field: &Field, name: &str) {
    assert!(Command::new("mkfifo").arg(field.path(name)).status().unwrap().success());
}

/// Runs, and must come to an end.
fn in_time(field: &Field, arguments: &[&str]) -> Ran {
    let mut command = field.command(arguments);
    let mut child =
        command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
    let begin = Instant::now();
    while child.try_wait().unwrap().is_none() {
        if begin.elapsed() > Duration::from_secs(20) {
            child.kill().unwrap();
            panic!("{arguments:?} waits");
        }
        std::thread::sleep(Duration::from_millis(2));
    }
    let output = child.wait_with_output().unwrap();
    let err = String::from_utf8_lossy(&output.stderr).into_owned();
    Ran { status: output.status.code().unwrap_or(-1), out: String::new(), err: unbroken(&err) }
}

#[test]
fn a_path_is_told_for_what_it_is() {
    let field = field();
    pipe(&field, "pipe");
    let _socket = std::os::unix::net::UnixListener::bind(field.path("socket")).unwrap();
    symlink("mine.txt", field.path("link")).unwrap();
    symlink("link", field.path("link-to-link")).unwrap();
    symlink("nothing", field.path("lost")).unwrap();
    symlink("rides", field.path("to-folder")).unwrap();
    symlink("pipe", field.path("to-pipe")).unwrap();
    let is = |name: &str| what_is(&field.path(name)).unwrap();
    let mine = field.path("mine.txt").canonicalize().unwrap();
    assert_eq!(is("mine.txt"), Thing::File(field.path("mine.txt")));
    assert_eq!((is("link"), is("link-to-link")), (Thing::File(mine.clone()), Thing::File(mine)));
    assert_eq!((is("none"), is("lost")), (Thing::Missing, Thing::LostLink));
    assert_eq!((is("rides"), is("to-folder")), (Thing::Folder, Thing::Folder));
    assert_eq!((is("pipe"), is("to-pipe")), (Thing::Other("pipe"), Thing::Other("pipe")));
    assert_eq!(is("socket"), Thing::Other("socket"));
    assert_eq!(what_is("/dev/null".as_ref()).unwrap(), Thing::Other("device"));
    for name in ["rides", "pipe", "to-pipe", "socket", "lost"] {
        assert!(write_whole(&field.path(name), b"x").is_err(), "{name}");
    }
    assert!(!field.path("nothing").exists());
}

#[test]
fn devices_pipes_and_sockets_are_not_replaced_and_not_waited_for() {
    let field = field();
    pipe(&field, "pipe");
    let _socket = std::os::unix::net::UnixListener::bind(field.path("socket")).unwrap();
    // a device of our own would need a privilege; this one is there, and is looked at only
    symlink("/dev/null", field.path("device")).unwrap();
    for thing in ["pipe", "socket", "device"] {
        let told = format!("it is a {thing}, not a file");
        for arguments in [
            vec!["ride", "set.tune", "--answers", "answers.txt", "--journal", thing],
            vec!["ride", "set.tune", "--answers", "answers.txt", "--settings", thing],
            vec!["ride", "set.tune", "--answers", thing],
            vec!["ride", "set.tune", "--answers", "answers.txt", "--from", thing],
            vec!["ride", thing],
            vec!["check", thing],
            vec!["check", "--fix", thing],
            vec!["format", thing],
        ] {
            let ran = in_time(&field, &arguments).ends(3);
            assert!(ran.err.contains(&told), "{arguments:?}: {}", ran.err);
        }
        let _ = std::fs::remove_dir_all(field.path("rides"));
    }
    assert!(std::fs::metadata("/dev/null").unwrap().file_type().is_char_device());
    assert!(std::fs::metadata(field.path("pipe")).unwrap().file_type().is_fifo());
    assert!(std::fs::symlink_metadata(field.path("device")).unwrap().is_symlink());
}

/// What is put in the place of a lock.
type Plant = fn(&Field);

/// A stranger's folder with links in place of our files empties no file of the rider's.
#[test]
fn a_lock_that_is_no_lock_of_ours_is_left_alone() {
    let lock = "rides/.a.ride.toml.lock";
    let plant: [(&str, Plant); 4] = [
        ("is a link", |field| symlink("../mine.txt", field.path("rides/.a.ride.toml.lock")).unwrap()),
        ("is also linked under another name", |field| {
            std::fs::hard_link(field.path("mine.txt"), field.path("rides/.a.ride.toml.lock")).unwrap();
        }),
        ("is not a lock file", |field| field.write("rides/.a.ride.toml.lock", MINE)),
        ("it is a pipe", |field| pipe(field, "rides/.a.ride.toml.lock")),
    ];
    for (told, plant) in plant {
        let field = field();
        plant(&field);
        let ran = in_time(&field, &["ride", "set.tune", "--journal", "rides/a.ride.toml"]).ends(3);
        assert!(ran.err.contains(told) && ran.err.contains(lock), "{told}: {}", ran.err);
        assert_eq!(field.read("mine.txt"), MINE);
        assert!(std::fs::symlink_metadata(field.path(lock)).is_ok());
        assert!(!field.path("rides/a.ride.toml").exists());
    }
    // and what a run that was cut off left behind is taken over
    let field = field();
    field.write(lock, "process 7, si");
    field.run_with(&["ride", "set.tune", "--journal", "rides/a.ride.toml"], "faster\n").ends(4);
    assert!(!field.path(lock).exists());
}

/// Journal and settings may be links to files that are somewhere else.
#[test]
fn a_link_stays_a_link_and_its_file_is_written() {
    let field = field();
    for name in ["s.toml", "a.ride.toml"] {
        field.write(&format!("else/{name}"), "");
        symlink(format!("else/{name}"), field.path(name)).unwrap();
    }
    let ride = ["ride", "set.tune", "--journal", "a.ride.toml", "--settings", "s.toml", "--as-of", MOMENT];
    for (answers, status) in [("faster\nbetter\n", 4), ("same\nworse\n", 0)] {
        field.run_with(&ride, answers).ends(status);
        for name in ["s.toml", "a.ride.toml"] {
            assert!(std::fs::symlink_metadata(field.path(name)).unwrap().is_symlink(), "{name}");
        }
    }
    assert!(field.read("else/s.toml").contains("value = 13"), "{}", field.read("else/s.toml"));
    assert!(read_journal(field.read("else/a.ride.toml").as_bytes()).unwrap().entries.len() > 5);
    assert_eq!(field.names("else"), ["a.ride.toml", "s.toml"]);
    // two names of one journal are one journal
    symlink("else/a.ride.toml", field.path("b.ride.toml")).unwrap();
    let mut first = crate::support::rides::Riding::begin(
        &field,
        &["ride", "set.tune", "--journal", "rides/c.ride.toml"],
        "rides/c.ride.toml",
    );
    first.answer("faster", 3);
    symlink("rides/c.ride.toml", field.path("c.ride.toml")).unwrap();
    let ran = field.run_with(&["ride", "set.tune", "--journal", "c.ride.toml"], "").ends(1);
    assert!(ran.err.contains("in use by another session"), "{}", ran.err);
    first.end();
}

#[test]
fn a_fix_and_a_layout_follow_a_link_too() {
    let field = field();
    field.write("else/b.tune", SET.replace("rebound", "rebuond"));
    symlink("else/b.tune", field.path("b.tune")).unwrap();
    field.run(&["check", "--fix", "b.tune"]).ends(0);
    assert!(std::fs::symlink_metadata(field.path("b.tune")).unwrap().is_symlink());
    assert_eq!(field.read("else/b.tune"), SET);
    assert_eq!(field.names("else"), ["b.tune"]);
}

/// A link in the folder of journals to what is no journal changes nothing there.
#[test]
fn links_among_the_journals_lead_to_no_harm() {
    let field = field();
    field.write("empty.txt", "");
    symlink("../mine.txt", field.path("rides/2026-05-10-b.ride.toml")).unwrap();
    symlink("../empty.txt", field.path("rides/2026-05-11-b.ride.toml")).unwrap();
    symlink("../nothing", field.path("rides/2026-05-12-b.ride.toml")).unwrap();
    symlink("/dev/zero", field.path("rides/2026-05-13-b.ride.toml")).unwrap();
    pipe(&field, "rides/2026-05-14-b.ride.toml");
    in_time(&field, &["ride", "set.tune", "--as-of", MOMENT]).ends(4);
    assert_eq!((field.read("mine.txt"), field.read("empty.txt")), (MINE.to_owned(), String::new()));
    assert!(!field.path("nothing").exists());
}
