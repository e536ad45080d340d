//! A set held in memory: what is wrong with it, its repairs, a text laid over a file. It is told as the program tells
//! the same files on the disk.

use std::path::Path;

use clickwise::problem::{Code, Problem, SourceId};
use clickwise::set::{InMemory, Overlay, Set};
use clickwise::show::json_report;

use crate::support::{Field, project};

/// The first file of a set.
fn first(set: &Set) -> SourceId {
    set.sources().iter().next().unwrap().0
}

fn codes(set: &Set) -> Vec<Code> {
    set.problems().iter().map(|problem| problem.code).collect()
}

/// The report that a set in memory comes to, which must be the program's of the same files.
#[track_caller]
fn alike(files: &[(&str, &[u8])], roots: &[&str]) -> Set {
    let field = Field::new();
    for (name, bytes) in files {
        std::fs::create_dir_all(field.path(name).parent().unwrap()).unwrap();
        field.write(name, bytes);
    }
    let set = Set::gather(&InMemory::of(files.iter().copied()), roots).unwrap();
    let report = json_report(&[(set.sources(), set.problems())], set.needs(), set.proof());
    let mut arguments = vec!["check", "--report", "json"];
    arguments.extend(roots);
    assert_eq!(field.run(&arguments).out, report, "{roots:?}");
    set
}

#[test]
fn every_case_is_told_in_memory_as_on_the_disk() {
    let mut told = 0;
    for entry in std::fs::read_dir(project().join("tests/check")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "tune") {
            let bytes = std::fs::read(&path).unwrap();
            told += alike(&[("set.tune", &bytes)], &["set.tune"]).problems().len();
        }
    }
    assert!(told > 150, "{told}");
}

#[test]
fn what_is_used_is_followed_in_memory_as_on_the_disk() {
    let trail: (&str, &[u8]) =
        ("set/bikes/trail.tune", b"bike \"Trail\"\npart fork\n  rebound 0 to 10 clicks\n");
    let outside: (&str, &[u8]) = ("outside/secret.tune", b"bike \"Secret\"\n");
    for (used, code) in [
        ("bikes/trail.tune", None),
        ("./bikes/../bikes/trail.tune", None),
        ("bikes/Trail.tune", Some(Code::UseMissing)),
        ("bikes/trial.tune", Some(Code::UseMissing)),
        ("bikes\\\\trail.tune", Some(Code::UseMissing)),
        ("nowhere.tune", Some(Code::UseMissing)),
        (" ", Some(Code::UseMissing)),
        ("bikes", Some(Code::UseUnreadable)),
        ("../outside/secret.tune", Some(Code::UseOutside)),
        ("bikes/../../outside/secret.tune", Some(Code::UseOutside)),
        ("../nothing.tune", Some(Code::UseOutside)),
        ("/etc/passwd", Some(Code::UseOutside)),
        ("C:/x.tune", Some(Code::UseOutside)),
        ("plan.tune", Some(Code::UseLoop)),
    ] {
        let plan = format!("use \"{used}\"\nplan \"P\"\nsteps\n  ride 1 lap\n  tune every rebound\n");
        let files = [("set/plan.tune", plan.as_bytes()), trail, outside];
        let set = alike(&files, &["set/plan.tune"]);
        assert_eq!(codes(&set), Vec::from_iter(code), "{used}");
        assert_eq!(set.plan().is_some(), code.is_none(), "{used}");
        assert!(set.texts().iter().all(|(_, text)| !text.contains("Secret")));
    }
    // one that is named may be anywhere, and is the bike's
    let plan = "use \"../outside/bike.tune\"\nsteps\n  ride 1 lap\n  tune every rebound\n";
    let bike = ("outside/bike.tune", trail.1);
    let set = alike(&[("set/plan.tune", plan.as_bytes()), bike], &["set/plan.tune", "outside/bike.tune"]);
    assert_eq!((codes(&set), set.folder().as_path()), (vec![], Path::new("outside")));
}

#[test]
fn limits_and_bytes_are_told_in_memory_as_on_the_disk() {
    let names: Vec<String> = (0..150).map(|number| format!("{number}.tune")).collect();
    let texts: Vec<String> = (1..=150).map(|number| format!("use \"{number}.tune\"\n")).collect();
    let chain: Vec<(&str, &[u8])> =
        names.iter().zip(&texts).map(|(name, text)| (name.as_str(), text.as_bytes())).collect();
    assert_eq!(codes(&alike(&chain, &["0.tune"])), [Code::UseTooMany]);
    let files: [(&str, &[u8]); 2] =
        [("bike.tune", b"\xFF\xFEbike"), ("plan.tune", b"use \"bike.tune\"\nsteps\n")];
    assert!(codes(&alike(&files, &["plan.tune"])).contains(&Code::EncodingUnknown));
}

#[test]
fn a_named_file_that_cannot_be_read_is_no_set() {
    let files = InMemory::of([("a.tune", "")]);
    let refused = Set::gather(&files, &["b.tune", "a.tune", "c.tune"]).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "Can't read b.tune: there is no such file or folder\nCan't read c.tune: there is no such file or folder"
    );
    let files = InMemory::of(["a", "b", "c", "d", "e"].map(|name| (name, vec![b'#'; 14 * 1024 * 1024])));
    let refused = Set::gather(&files, &["a", "b", "nothing", "c", "d", "e"]).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "Can't read nothing: there is no such file or folder\ne: not read: these files together are larger than 64 MiB"
    );
}

const BUDGET: &str = "bike \"B\"\npart fork\n  rebound 0 to 20 clicks\nplan \"P\"\n  at most 3 laps\nsteps\n  ride 1 lap\n  \
                      tune every rebound\n";

/// What only the proof finds is a problem of the set, and no ride waits for it.
#[test]
fn a_plan_over_its_budget_is_told_with_the_rest() {
    let set = alike(&[("set.tune", BUDGET.as_bytes())], &["set.tune"]);
    assert_eq!((codes(&set), set.found().len()), (vec![Code::OverBudget], 0));
    assert_eq!(set.proof().unwrap().worst_laps, clickwise::walk::prove(set.plan().unwrap()).worst_laps);
}

#[test]
fn a_text_laid_over_a_file_takes_its_place_and_what_it_uses_is_followed() {
    let files = InMemory::of([
        ("plan.tune", "steps\n  ride 1 lap\n  tune every rebound\n"),
        ("bike.tune", "bike \"B\"\npart fork\n  rebound 0 to 10 clicks\n"),
    ]);
    let set = Set::gather(&files, &["plan.tune"]).unwrap();
    assert!(set.plan().is_none() && set.needs().len() == 1);
    let text = set.sources().get(first(&set)).text().to_owned();
    let over = set.replace(&files, first(&set), format!("use \"bike.tune\"\n{text}")).unwrap();
    assert_eq!((codes(&over), over.paths().count(), over.plan().is_some()), (vec![], 2, true));
    assert_eq!(over.tree(first(&over)).unwrap().lines.len(), 4);
    // one over the other, and the first stays
    let bike = over.id_of(Path::new("/set/bike.tune")).unwrap();
    let both = over.replace(&files, bike, "bike \"C\"\npart fork\n  rebuond 0 to 10 clicks\n").unwrap();
    assert_eq!(codes(&both), [Code::WordMisspelt]);
    assert_eq!((set.paths().count(), codes(&over)), (1, vec![]), "a set never changes");
    // bytes that are no text
    assert_eq!(codes(&set.replace(&files, first(&set), b"\xFF".to_vec()).unwrap()), [Code::EncodingUnknown]);
    // a file that is not there yet
    let mut overlay = Overlay::default();
    overlay.put(Path::new("new.tune"), text);
    assert!(Set::gather_over(&files, &["new.tune"], overlay).is_ok());
}

/// Words are repaired in two files of a set, and what one repair brings to light, as `check --fix` writes them.
#[test]
fn repairs_are_made_in_memory_as_on_the_disk() {
    let texts = [
        (
            "plan.tune",
            "use \"bikes/Trail.tune\"\nsteps\n  rdie 1 lap\n  tune every rebound,, at mots 6 laps\n",
        ),
        ("bikes/trail.tune", "bike \"Trail\"\npart fork\n  rebuond 0 to 18 clicks, strat 9\n"),
    ];
    let field = Field::new();
    std::fs::create_dir(field.path("bikes")).unwrap();
    for (name, text) in texts {
        field.write(name, text);
    }
    let files = InMemory::of(texts);
    let set = Set::gather(&files, &["plan.tune"]).unwrap();
    let repaired = set.clone().repaired(&files).unwrap();
    let ran = field.run(&["check", "--fix", "plan.tune"]).ends(0);
    for (id, source) in repaired.set.sources().iter() {
        assert_eq!(source.text(), field.read(source.name()));
        let mended = repaired.mended.iter().find(|file| file.source == id).unwrap();
        let told = format!("{}: {} fixes made", source.name(), mended.repairs);
        assert!(ran.err.contains(&told), "{told}\n{}", ran.err);
        let before = texts.iter().find(|(name, _)| name.eq_ignore_ascii_case(source.name())).unwrap();
        assert_eq!(mended.before, before.1);
    }
    assert_eq!((repaired.mended.len(), repaired.set.has_errors()), (2, false));
    assert!(repaired.set.plan().is_some());
    // one alone, and all that are offered at first
    let fixes = |set: &Set| {
        set.problems()
            .iter()
            .filter_map(|problem: &Problem| problem.fix.as_deref().cloned())
            .collect::<Vec<_>>()
    };
    let offered = fixes(&set);
    let one = set.apply(&files, &offered[..1]).unwrap();
    assert!(one.sources().iter().count() == 2 && codes(&one).len() > codes(&repaired.set).len());
    let all = set.apply(&files, &offered).unwrap();
    assert_eq!(fixes(&all).len(), 2, "the bike's words were not read before: {:?}", all.problems());
}
