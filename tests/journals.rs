//! A folder of journals over the years: damaged ones, several open ones, of later formats, and journals that
//! are lost while the rider rides.

use std::path::Path;
use std::process::Stdio;
use std::time::{Duration, SystemTime};

use clickwise::record::{Rest, read_journal};

use crate::support::rides::{self, JOURNAL, Riding, STEM};
use crate::support::{Field, MOMENT, unbroken};

const SET: &str = "bike \"B\"\npart fork\n  rebound 0 to 20 clicks, start 10\nsteps\n  tune every rebound\n";

/// All answers to it.
const ANSWERS: &str = "faster\nbetter\nsame\nworse\n";

/// The name of its journal, with the seed of a ride of a named moment.
const FIRST: &str = "2026-05-16-b-0000.ride.toml";

fn field() -> Field {
    let field = Field::with(&[("set.tune", SET)]);
    std::fs::create_dir(field.path("rides")).unwrap();
    field
}

/// Rides at a moment with answers on standard input.
fn ride_at(field: &Field, moment: &str, answers: &str, status: i32) -> String {
    unbroken(&field.run_with(&["ride", "set.tune", "--as-of", moment], answers).ends(status).err)
}

fn ride(field: &Field, answers: &str, status: i32) -> String {
    ride_at(field, MOMENT, answers, status)
}

/// A journal of this set, begun at a moment, with these answers.
fn journal(moment: &str, answers: &str) -> String {
    let other = field();
    let status = if answers == ANSWERS { 0 } else { 4 };
    ride_at(&other, moment, answers, status);
    let names = other.names("rides");
    other.read(&format!("rides/{}", names.iter().find(|name| name.ends_with(".ride.toml")).unwrap()))
}

fn put(field: &Field, name: &str, text: impl AsRef<[u8]>) {
    field.write(&format!("rides/{name}"), text);
}

/// How many answers a journal has.
fn answers(field: &Field, name: &str) -> usize {
    read_journal(field.read(&format!("rides/{name}")).as_bytes()).unwrap().entries.len()
}

fn journals(field: &Field) -> Vec<String> {
    field.journals("rides")
}

/// Puts what a finished ride has beside its journal.
fn put_settings(field: &Field, journal: &str) {
    let name = journal.replace(".ride.toml", ".settings.toml");
    put(field, &name, "format = 1\nfinished = true\n");
}

/// A byte of a finished ride that is damaged is no reason to ride no more; it is said once.
#[test]
fn a_damaged_journal_of_last_year_stops_no_new_ride() {
    let finished = journal("2025-05-16T10:00:00+02:00", ANSWERS);
    for (at, told) in [
        // a time, so that all that was said can still be read
        (finished.rfind("time = 2025").unwrap() + 8, "of this journal is damaged."),
        // the head
        (finished.find("bike = ").unwrap() + 8, "the beginning of this journal is damaged, so the "),
    ] {
        let field = field();
        let mut bytes = finished.clone().into_bytes();
        bytes[at] ^= 1;
        put(&field, "2025-05-16-b.ride.toml", &bytes);
        let first = ride(&field, "faster\n", 4);
        assert!(first.contains(told), "{first}");
        assert!(
            first.contains("It is renamed to rides/2025-05-16-b.ride.toml.damaged-1 and not changed."),
            "{first}"
        );
        assert_eq!(journals(&field), [FIRST]);
        assert_eq!(std::fs::read(field.path("rides/2025-05-16-b.ride.toml.damaged-1")).unwrap(), bytes);
        let second = ride(&field, "better\n", 4);
        assert!(!second.contains("damaged"), "{second}");
        assert!(second.contains(&format!("Carrying on with rides/{FIRST}: 3 answers saved.")), "{second}");
    }
}

/// A damaged record that cannot be read makes an older journal no newer one.
#[test]
fn a_damaged_journal_takes_no_newer_ones_place() {
    let field = field();
    let old = journal("2025-05-16T10:00:00+02:00", ANSWERS).replacen("\"better\"", "\"bettrr\"", 1);
    put(&field, "2025-05-16-b.ride.toml", &old);
    put(&field, "2026-05-01-b.ride.toml", journal("2026-05-01T10:00:00+02:00", ANSWERS));
    put_settings(&field, "2026-05-01-b.ride.toml");
    let said = ride(&field, "faster\n", 4);
    assert!(said.contains("2025-05-16-b.ride.toml.damaged-1"), "{said}");
    assert_eq!(journals(&field), ["2026-05-01-b.ride.toml", FIRST]);
    // and the same if only its settings say that the newer one is finished
    let field = self::field();
    put(&field, "2025-05-16-b.ride.toml", &old);
    put(&field, "2026-05-01-b.ride.toml", "format = 1\n");
    put(&field, "2026-05-01-b.settings.toml", "format = 1\nfinished = true\n");
    ride(&field, "faster\n", 4);
    assert_eq!(journals(&field), ["2026-05-01-b.ride.toml", FIRST]);
}

/// Of an open ride everything before the damaged record is kept.
#[test]
fn one_damaged_record_of_many_refuses_none_of_the_others() {
    let whole = rides::undisturbed();
    let second = whole.text.find("number = 2\n").unwrap();
    let mut bytes = whole.text.clone().into_bytes();
    bytes[second + 9] = b'x';
    let field = rides::field();
    std::fs::create_dir(field.path("rides")).unwrap();
    let name = format!("rides/{STEM}.ride.toml");
    field.write(&name, &bytes);
    let arguments =
        ["ride", "set.tune", "--answers", "answers.txt", "--settings", "s.toml", "--as-of", MOMENT];
    let said = unbroken(&field.run(&arguments).ends(0).err);
    let after = whole.journal.entries.len() - 2;
    let told = format!(") is damaged or was changed by hand. It and the {after} records after it are now in");
    assert!(said.contains("record 2 (line ") && said.contains(&told), "{said}");
    assert!(said.contains("1 answer saved."), "{said}");
    assert_eq!(field.read(&name), whole.text);
    let begin = read_journal(&bytes).unwrap().whole;
    assert_eq!(std::fs::read(field.path(&format!("{name}.damaged-1"))).unwrap(), bytes[begin..]);
    let ended = |settings: &str| settings.replace(JOURNAL, &name);
    assert_eq!(field.read("s.toml"), ended(&whole.settings));
}

#[test]
fn of_two_open_journals_the_newer_goes_on() {
    let older = journal("2026-05-10T10:00:00+02:00", "faster\nbetter\n");
    let newer = journal("2026-05-12T10:00:00+02:00", "faster\n");
    for (one, other) in
        [("2026-05-01-b.ride.toml", "2026-05-30-b.ride.toml"), ("2026-05-30-b.ride.toml", FIRST)]
    {
        let field = field();
        put(&field, one, &newer);
        put(&field, other, &older);
        let said = ride(&field, "better\n", 4);
        assert!(said.contains(&format!("Carrying on with rides/{one}: 3 answers saved.")), "{said}");
        assert_eq!(field.read(&format!("rides/{other}")), older);
    }
}

/// The newer is the one that was answered last, whichever was begun first.
#[test]
fn a_journal_that_was_gone_on_with_is_newer_than_one_begun_since() {
    let begun_first = {
        let field = field();
        put(&field, FIRST, journal("2026-05-10T10:00:00+02:00", "faster\n"));
        ride_at(&field, "2026-05-20T10:00:00+02:00", "better\n", 4);
        field.read(&format!("rides/{FIRST}"))
    };
    let field = field();
    put(&field, FIRST, &begun_first);
    put(&field, "2026-05-12-b.ride.toml", journal("2026-05-12T10:00:00+02:00", "faster\n"));
    let said = ride(&field, "better\n", 4);
    assert!(said.contains(&format!("Carrying on with rides/{FIRST}: 4 answers saved.")), "{said}");
}

/// What is newer and has no answers hides none that has.
#[test]
fn an_empty_newer_journal_hides_none() {
    let open = journal("2026-05-10T10:00:00+02:00", "faster\n");
    for newer in ["", &journal("2026-05-16T10:00:00+02:00", "")] {
        let field = field();
        put(&field, "2026-05-10-b.ride.toml", &open);
        put(&field, "2026-05-16-b.ride.toml", newer);
        std::fs::create_dir(field.path("rides/2026-05-17-b.ride.toml")).unwrap();
        let said = ride(&field, "better\n", 4);
        assert!(said.contains("2026-05-10-b.ride.toml: 3 answers saved."), "{said}");
        assert_eq!(field.read("rides/2026-05-16-b.ride.toml"), newer);
    }
}

#[test]
fn a_persons_lines_at_the_end_are_kept() {
    let open = journal("2026-05-10T10:00:00+02:00", "faster\n");
    for lines in ["\n", "\n# wet roots today\n", "# wet roots today"] {
        let field = field();
        put(&field, "2026-05-10-b.ride.toml", format!("{open}{lines}"));
        let said = ride(&field, "better\n", 4);
        assert!(!said.contains("damaged") && !said.contains("half saved"), "{said}");
        let text = field.read("rides/2026-05-10-b.ride.toml");
        assert!(text.starts_with(&format!("{open}{lines}")), "{text}");
        assert_eq!(read_journal(text.as_bytes()).unwrap().rest, Rest::Nothing);
        assert_eq!(answers(&field, "2026-05-10-b.ride.toml"), 4);
    }
}

/// What another system made of it is gone on with, and can be read afterwards.
#[test]
fn a_journal_with_other_line_ends_goes_on() {
    let open = journal("2026-05-10T10:00:00+02:00", "faster\n");
    for changed in [open.replace('\n', "\r\n"), format!("\u{FEFF}{open}")] {
        let field = field();
        put(&field, FIRST, &changed);
        let said = ride(&field, "better\nsame\nworse\n", 0);
        assert!(said.contains("3 answers saved."), "{said}");
        assert_eq!(journals(&field), [FIRST]);
        assert!(answers(&field, FIRST) > 5);
    }
}

/// A newer program's journal is left alone, whatever is done.
#[test]
fn a_journal_of_a_later_format_is_left_alone() {
    let later = journal(MOMENT, "faster\n").replacen("format = 1", "format = 2", 1);
    let field = field();
    put(&field, FIRST, &later);
    let said = ride(&field, "faster\n", 4);
    assert_eq!(said.matches("a newer version wrote this journal (format").count(), 1, "{said}");
    assert_eq!(journals(&field), ["2026-05-16-b-0000-2.ride.toml", FIRST]);
    let named = format!("rides/{FIRST}");
    let ran = field.run_with(&["ride", "set.tune", "--journal", &named], "faster\n").ends(1);
    assert!(
        unbroken(&ran.err).contains("It was not changed; give another file with `--journal`"),
        "{}",
        ran.err
    );
    assert_eq!(field.read(&named), later);
    assert_eq!(journals(&field).len(), 2);
}

/// Eight rides of one bike and rider that begin at one moment: none fails, none has another's journal.
#[test]
fn rides_that_begin_at_one_moment_all_begin() {
    let field = field();
    field.write("answers.txt", ANSWERS);
    for round in 0..4 {
        let children: Vec<_> = (0..8)
            .map(|ride| {
                let settings = format!("{round}-{ride}.toml");
                let arguments = ["ride", "set.tune", "--answers", "answers.txt", "--as-of", MOMENT];
                let mut command = field.command(&[&arguments[..], &["--settings", &settings]].concat());
                command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap()
            })
            .collect();
        for child in children {
            let output = child.wait_with_output().unwrap();
            let screen = String::from_utf8_lossy(&output.stderr).into_owned();
            assert_eq!(output.status.code(), Some(0), "{screen}");
            assert!(screen.contains("Journal: "), "{screen}");
        }
    }
    let names = journals(&field);
    assert_eq!(names.len(), 32, "{names:?}");
    assert!(names.iter().all(|name| answers(&field, name) == answers(&field, FIRST)));
}

/// What happens to a journal.
type Loss = fn(&Path);

/// A journal that is lost while the rider rides is written again with every answer.
#[test]
fn a_journal_lost_on_the_way_is_written_again() {
    let losses: [(&str, Loss); 4] = [
        ("is gone", |path| std::fs::remove_file(path).unwrap()),
        ("was replaced by another file", |path| {
            let copy = path.with_extension("copy");
            std::fs::copy(path, &copy).unwrap();
            std::fs::rename(copy, path).unwrap();
        }),
        ("was changed", |path| {
            let bytes = std::fs::read(path).unwrap();
            std::fs::OpenOptions::new()
                .write(true)
                .open(path)
                .unwrap()
                .set_len(bytes.len() as u64 - 30)
                .unwrap();
        }),
        ("was changed", |path| {
            let text = std::fs::read_to_string(path).unwrap();
            std::fs::write(path, text + "# wet roots today\n").unwrap();
        }),
    ];
    for (what, lose) in losses {
        for named in [true, false] {
            let field = field();
            let path = if named { JOURNAL.to_owned() } else { format!("rides/{FIRST}") };
            let mut arguments = vec!["ride", "set.tune", "--as-of", MOMENT];
            if named {
                arguments.extend(["--journal", JOURNAL]);
            }
            let mut riding = Riding::begin(&field, &arguments, &path);
            riding.answer("faster", 3);
            riding.answer("better", 4);
            lose(&field.path(&path));
            let left = std::fs::read(field.path(&path)).ok();
            riding.say("same");
            let (status, screen) = riding.end();
            let screen = unbroken(&screen);
            assert_eq!(status, Some(4), "{screen}");
            assert!(
                screen.contains(&format!("{what} while you were riding. Everything is saved again in ")),
                "{screen}"
            );
            // what came in its place is left as it is
            let again = path.replace(".ride.toml", "-2.ride.toml");
            match left {
                None => assert!(!field.path(&again).exists()),
                Some(left) => assert_eq!(std::fs::read(field.path(&path)).unwrap(), left),
            }
            // and the same command goes on with all of it
            let ran = field.run_with(&arguments, "worse\n").ends(0);
            assert!(unbroken(&ran.err).contains("5 answers saved."), "{what}: {}", ran.err);
            // a ride that is finished is not begun again by what is left of it
            if !named {
                let ran = field.run_with(&arguments, "faster\n").ends(4);
                assert!(ran.err.contains("Journal: "), "{what}: {}", ran.err);
            }
        }
    }
}

/// The last answer is in the file, and then the file is lost: this too is noticed.
#[test]
fn a_journal_lost_before_the_end_is_written_again() {
    let field = field();
    let mut riding = Riding::begin(&field, &["ride", "set.tune", "--journal", JOURNAL], JOURNAL);
    riding.answer("faster", 3);
    std::fs::remove_file(field.path(JOURNAL)).unwrap();
    let (status, screen) = riding.end();
    assert_eq!(status, Some(4), "{screen}");
    assert_eq!(read_journal(field.read(JOURNAL).as_bytes()).unwrap().entries.len(), 3);
}

#[test]
fn old_temporary_files_are_swept_and_young_ones_are_not() {
    let field = field();
    let (old, young, others) = (".clickwise-aB3dE6.tmp", ".clickwise-aB3dE7.tmp", ".clickwise-notes.tmp");
    let hour = Duration::from_hours(1);
    for folder in [".", "rides"] {
        for (name, age) in [(old, hour + hour / 60), (young, hour * 59 / 60), (others, 20 * hour)] {
            let path = format!("{folder}/{name}");
            field.write(&path, "");
            let file = std::fs::File::options().write(true).open(field.path(&path)).unwrap();
            file.set_modified(SystemTime::now() - age).unwrap();
        }
    }
    let check = || {
        [".", "rides"]
            .map(|folder| [old, young, others].map(|name| field.path(&format!("{folder}/{name}")).exists()))
    };
    ride(&field, "faster\n", 4);
    assert_eq!(check(), [[false, true, true]; 2]);
    // whoever writes in a folder sweeps it
    field.write(old, "");
    let file = std::fs::File::options().write(true).open(field.path(old)).unwrap();
    file.set_modified(SystemTime::now() - 2 * hour).unwrap();
    field.write("other.tune", "bike   \"B\"\n");
    field.run(&["format", "other.tune"]).ends(0);
    assert_eq!(check()[0], [false, true, true]);
}

/// What a settings file beside a journal says is enough: such a journal is not even read.
#[test]
fn a_journal_whose_settings_are_finished_is_not_opened_again() {
    let field = field();
    put(&field, "2026-05-10-b.ride.toml", journal("2026-05-10T10:00:00+02:00", "faster\n"));
    put(&field, "2026-05-10-b.settings.toml", "format = 1\r\nfinished = true\r\n");
    ride(&field, "faster\n", 4);
    assert_eq!(journals(&field), ["2026-05-10-b.ride.toml", FIRST]);
    let field = self::field();
    put(&field, "2026-05-10-b.ride.toml", journal("2026-05-10T10:00:00+02:00", "faster\n"));
    put(&field, "2026-05-10-b.settings.toml", "format = 1\nbike = \"B\"\nfinished = false\n");
    ride(&field, "better\n", 4);
    assert_eq!(journals(&field), ["2026-05-10-b.ride.toml"]);
}
