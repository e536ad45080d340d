//! Disks that are full, read-only or gone, in the middle of a ride: status 3, nothing earlier is harmed, and
//! the next call goes on. They need a privilege; where it is not given, that is printed.
#![cfg(target_os = "linux")]

use std::path::{Path, PathBuf};
use std::process::Command;

use clickwise::record::{Rest, read_journal};

use crate::support::rides::{self, Riding, undisturbed};
use crate::support::{Field, MOMENT, unbroken};

fn runs(program: &str, arguments: &[&str]) -> bool {
    Command::new(program).args(arguments).output().is_ok_and(|output| output.status.success())
}

/// A small disk of its own at a folder of a field; taken away at the end.
struct Disk(PathBuf);

impl Disk {
    fn at(folder: &Path) -> Option<Disk> {
        std::fs::create_dir_all(folder).unwrap();
        let path = folder.to_str().unwrap();
        let mounted = runs("mount", &["-t", "tmpfs", "-o", "size=1m", "tmpfs", path]);
        if !mounted {
            println!("not run: no disk can be mounted here");
        }
        mounted.then(|| Disk(folder.to_owned()))
    }

    fn becomes(&self, how: &str) {
        let how = format!("remount,{how}");
        assert!(runs("mount", &["-o", &how, self.0.to_str().unwrap()]), "{how}");
    }

    /// Fills it, but for so many bytes.
    fn fill(&self, left: usize) {
        let mut bytes = vec![b'x'; 2 << 20];
        let path = self.0.join("full");
        let _ = std::fs::write(&path, &bytes);
        let length = usize::try_from(std::fs::metadata(&path).unwrap().len()).unwrap();
        bytes.truncate(length.saturating_sub(left));
        std::fs::write(&path, &bytes).unwrap();
    }

    fn empty(&self) {
        std::fs::remove_file(self.0.join("full")).unwrap();
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        runs("umount", &["-l", self.0.to_str().unwrap()]);
    }
}

const NAMED: &str = "disk/a.ride.toml";

/// The ride with every kind of step, its journal on a disk of its own.
fn arguments() -> Vec<&'static str> {
    vec![
        "ride",
        "set.tune",
        "--answers",
        "answers.txt",
        "--journal",
        NAMED,
        "--settings",
        "s.toml",
        "--as-of",
        MOMENT,
    ]
}

fn the_ride_is_whole(field: &Field) {
    let whole = undisturbed();
    assert_eq!(field.read(NAMED), whole.text);
    assert_eq!(field.read("s.toml"), whole.settings.replace("\"a.ride.toml\"", "\"disk/a.ride.toml\""));
}

/// The disk is full at every stage of the ride: from the first byte to the last record.
#[test]
fn a_full_disk_costs_no_answer() {
    let field = rides::field();
    let Some(disk) = Disk::at(&field.path("disk")) else { return };
    let (mut stopped, mut last) = (0, 0);
    // a tmpfs gives out pages of 4 KiB
    for left in (0..32).map(|pages| pages * 4096) {
        disk.fill(left);
        let ran = field.run(&arguments());
        let said = unbroken(&ran.err);
        let kept = std::fs::read(field.path(NAMED)).map_or(0, |bytes| {
            let journal = read_journal(&bytes).unwrap_or_else(|damage| panic!("{left} left: {damage:?}"));
            assert_eq!(journal.rest, Rest::Nothing, "{left} left: no half record is left behind");
            assert_eq!(journal.entries[..], undisturbed().journal.entries[..journal.entries.len()]);
            journal.entries.len()
        });
        assert!(kept >= last, "{left} left: {kept} of {last} kept");
        last = kept;
        disk.empty();
        if ran.status == 0 {
            break;
        }
        assert_eq!(ran.status, 3, "{said}");
        let begun = field.path(NAMED).exists();
        assert!(said.contains("the disk is full"), "{said}");
        let told = ["Write this answer down: ", "your answers are safe in the journal"];
        assert_eq!(told.iter().any(|told| said.contains(told)), begun, "{said}");
        stopped += 1;
    }
    field.run(&arguments()).ends(0);
    assert!(stopped >= 3 && last > 20, "{stopped} stopped, {last} kept");
    the_ride_is_whole(&field);
    println!("a full disk: stopped {stopped} times");
}

/// In the middle: the answer that cannot be saved is shown, and the ride stands where it stood.
#[test]
fn a_disk_that_fills_up_on_the_way_stops_the_ride_with_status_3() {
    let field = rides::field();
    let Some(disk) = Disk::at(&field.path("disk")) else { return };
    let set = ["ride", "set.tune", "--journal", NAMED, "--settings", "s.toml", "--as-of", MOMENT];
    let answers: Vec<&str> = undisturbed().answers.lines().collect();
    let mut riding = Riding::begin(&field, &set, NAMED);
    for (index, answer) in answers[..20].iter().enumerate() {
        riding.answer(answer, index + 1);
    }
    disk.fill(0);
    for answer in &answers[20..] {
        // it may have ended already
        let _ =
            std::io::Write::write_all(riding.child.stdin.as_mut().unwrap(), format!("{answer}\n").as_bytes());
    }
    let (status, screen) = riding.end();
    let screen = unbroken(&screen);
    assert_eq!(status, Some(3), "{screen}");
    assert!(screen.contains("Write this answer down: "), "{screen}");
    let journal = read_journal(field.read(NAMED).as_bytes()).unwrap();
    assert!(journal.entries.len() >= 20 && journal.rest == Rest::Nothing, "{}", journal.entries.len());
    disk.empty();
    field.run(&arguments()).ends(0);
    the_ride_is_whole(&field);
}

#[test]
fn a_read_only_disk_harms_nothing() {
    let field = rides::field();
    let Some(disk) = Disk::at(&field.path("disk")) else { return };
    disk.becomes("ro");
    let ran = field.run(&arguments()).ends(3);
    assert!(unbroken(&ran.err).contains("the disk is read-only. You have not started."), "{}", ran.err);
    disk.becomes("rw");
    let answers = undisturbed().answers.clone();
    field.write("answers.txt", answers.lines().take(30).collect::<Vec<_>>().join("\n"));
    field.run(&arguments()).ends(4);
    let before = field.read(NAMED);
    disk.becomes("ro");
    field.write("answers.txt", &answers);
    field.run(&arguments()).ends(3);
    assert_eq!(field.read(NAMED), before);
    disk.becomes("rw");
    field.run(&arguments()).ends(0);
    the_ride_is_whole(&field);
}

/// A folder that vanishes is not made anew somewhere else: its disk may be unplugged.
#[test]
fn a_folder_that_vanishes_stops_the_ride_and_comes_back_whole() {
    let field = rides::field();
    std::fs::create_dir(field.path("disk")).unwrap();
    let set = ["ride", "set.tune", "--journal", NAMED, "--settings", "s.toml", "--as-of", MOMENT];
    let answers: Vec<&str> = undisturbed().answers.lines().collect();
    let mut riding = Riding::begin(&field, &set, NAMED);
    for (index, answer) in answers[..20].iter().enumerate() {
        riding.answer(answer, index + 1);
    }
    std::fs::rename(field.path("disk"), field.path("away")).unwrap();
    riding.say(answers[20]);
    let (status, screen) = riding.end();
    let screen = unbroken(&screen);
    assert_eq!(status, Some(3), "{screen}");
    assert!(screen.contains("its folder is gone") && screen.contains("Write this answer down: "), "{screen}");
    assert!(!field.path("disk").exists());
    std::fs::rename(field.path("away"), field.path("disk")).unwrap();
    let journal = read_journal(field.read(NAMED).as_bytes()).unwrap();
    assert_eq!(journal.entries[..], undisturbed().journal.entries[..20]);
    field.run(&arguments()).ends(0);
    the_ride_is_whole(&field);
}

/// At the end: the journal has every answer, and only the settings are missing.
#[test]
fn a_disk_that_is_full_at_the_end_leaves_the_journal_whole() {
    let field = rides::field();
    let Some(disk) = Disk::at(&field.path("disk")) else { return };
    let mut arguments = rides::arguments();
    let at = arguments.iter().position(|argument| *argument == "s.toml").unwrap();
    arguments[at] = "disk/s.toml";
    disk.fill(0);
    let ran = field.run(&arguments).ends(3);
    assert!(unbroken(&ran.err).contains("the disk is full"), "{}", ran.err);
    assert_eq!(field.read(rides::JOURNAL), undisturbed().text);
    assert!(!field.path("disk/s.toml").exists());
    disk.empty();
    field.run(&arguments).ends(0);
    assert!(field.path("disk/s.toml").exists());
    assert_eq!(field.read(rides::JOURNAL), undisturbed().text);
}

/// At the end the settings cannot be saved, and the next call saves them though no answer is given again.
#[test]
fn settings_that_could_not_be_saved_are_saved_at_the_next_call() {
    let again =
        ["ride", "set.tune", "--journal", rides::JOURNAL, "--settings", "disk/s.toml", "--as-of", MOMENT];
    let wanted = undisturbed().settings.clone();
    for trouble in ["full", "read-only", "gone"] {
        let field = rides::field();
        let Some(disk) = Disk::at(&field.path("disk")) else { return };
        field.write("disk/s.toml", "");
        match trouble {
            "full" => disk.fill(0),
            "read-only" => disk.becomes("ro"),
            _ => std::fs::write(field.path("file"), "").unwrap(),
        }
        let mut arguments = rides::arguments();
        let at = arguments.iter().position(|argument| *argument == "s.toml").unwrap();
        // a folder that is a file by now
        arguments[at] = if trouble == "gone" { "file/s.toml" } else { "disk/s.toml" };
        field.run(&arguments).ends(3);
        assert_eq!(field.read(rides::JOURNAL), undisturbed().text, "{trouble}");
        assert_eq!(field.read("disk/s.toml"), "", "{trouble}: nothing earlier is harmed");
        disk.becomes("rw");
        if trouble == "full" {
            disk.empty();
        }
        field.run_with(&again, "").ends(0);
        let journal = field.path(rides::JOURNAL).canonicalize().unwrap();
        let seen = format!("journal = \"{}\"", journal.display());
        let usual = format!("journal = \"{}\"", rides::JOURNAL);
        assert_eq!(field.read("disk/s.toml").replace(&seen, &usual), wanted, "{trouble}");
    }
}
