//! A search for the file of at most 1 kB that costs `check` the most: plans are drawn and changed line by
//! line, and what costs more is kept. What earlier searches found is in `worst/` and is measured first. Aim: below a second and 200 MB for every one of them.
//!
//! `cargo bench --bench worst -- 20000` tries so many files; 3,000 where no number is given.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a benchmark writes files, runs the program, reads the clock and prints"
)]

mod common;

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

use wait4::Wait4;

use common::Drawn;

const MOST_BYTES: usize = 1_000;
const MOST_SECONDS: f64 = 1.0;
const MOST_MEGABYTES: f64 = 200.0;

/// A plan that is changed: lines under the plan, adjusters, steps.
#[derive(Clone)]
struct Draft {
    of_plan: Vec<String>,
    adjusters: Vec<(String, String)>,
    steps: Vec<String>,
}

impl Draft {
    fn text(&self) -> String {
        let mut text = String::from("plan \"P\"\n");
        let lines = |text: &mut String, lines: &mut dyn Iterator<Item = String>| {
            lines.for_each(|line| *text += &(line + "\n"));
        };
        lines(&mut text, &mut self.of_plan.iter().cloned());
        text += "loop \"T\"\nlap 4 min\nbike \"B\"\n";
        for part in ["fork", "shock"] {
            let of_part = || self.adjusters.iter().filter(|(name, _)| name.starts_with(part));
            if of_part().next().is_some() {
                text += &format!("part {part}\n");
            }
            let mut entries = of_part().map(|(name, scale)| format!("{} {scale}", &name[part.len() + 1..]));
            lines(&mut text, &mut entries);
        }
        text += "steps\n";
        lines(&mut text, &mut self.steps.iter().cloned());
        text
    }
}

const NAMES: [&str; 12] = [
    "fork rebound",
    "fork compression",
    "shock rebound",
    "shock compression",
    "fork air",
    "shock coil",
    "fork spacers",
    "shock preload",
    "fork lockout",
    "fork adjuster \"a\"",
    "shock adjuster \"b\"",
    "shock adjuster \"c\"",
];

fn scale(drawn: &mut Drawn, name: &str) -> String {
    let top = [2, 9, 18, 40, 60][index(drawn, 5)];
    let own = match name.split_once(' ').unwrap().1 {
        "air" => ["40 to 350 psi, step 1 psi, start 90 psi", "40 to 140 psi, sag 15 to 25 %"]
            [index(drawn, 2)]
        .into(),
        "coil" => "300 or 350 or 400 or 450 or 500 or 550 or 600 lb/in, start 450 lb/in".into(),
        "spacers" => format!("0 to {} spacers", top.min(9)),
        "preload" => "0 to 20 mm".into(),
        "lockout" => "open or a or b or c or d or closed".into(),
        _ => String::new(),
    };
    if !own.is_empty() {
        return own;
    }
    match drawn.below(6) {
        0 | 1 => "? clicks".into(),
        2 => "? turns".into(),
        3 => format!("0 to {top} clicks, step 1 click"),
        4 => format!("0 to {top} turns"),
        _ => format!("0 to {top} clicks, start {}", top / 2),
    }
}

fn index(drawn: &mut Drawn, below: usize) -> usize {
    usize::try_from(drawn.below(below as u64)).unwrap()
}

fn step(drawn: &mut Drawn, draft: &Draft) -> String {
    let which = match drawn.below(6) {
        0 => ["every rebound", "every compression"][index(drawn, 2)].to_owned(),
        _ => draft.adjusters[index(drawn, draft.adjusters.len())].0.clone(),
    };
    let ways = if which.contains("rebound") { ["faster", "slower"] } else { ["softer", "firmer"] };
    let way = ways[index(drawn, 2)];
    let many = 1 + drawn.below(47);
    match drawn.below(20) {
        0 => "record settings".into(),
        1 => "ride 2 laps".into(),
        2 => format!("set {which} {} clicks {way}", 1 + drawn.below(9)),
        3 => format!("set {which} to {}", ["before", "start", "middle", "open", "closed"][index(drawn, 5)]),
        4 | 5 => format!("revisit {which}"),
        6 => format!("confirm {which}, {} pairs", 1 + drawn.below(20)),
        7 => "confirm everything, 5 pairs".into(),
        8 => "measure every spring".into(),
        9 => "say \"x\"".into(),
        _ => {
            let mut step = format!("tune {which}");
            if drawn.below(2) == 0 {
                step += &format!(", at most {many} laps");
            }
            if drawn.below(3) == 0 {
                step += &format!(", begin {way}");
            }
            if drawn.below(4) == 0 {
                step += &format!(", within {} positions", 1 + drawn.below(9));
            }
            if drawn.below(2) == 0 {
                step += [", method narrow", ", method cross-out", ", method bracket"][index(drawn, 3)];
            }
            step
        }
    }
}

fn change(drawn: &mut Drawn, draft: &Draft) -> Draft {
    let mut draft = draft.clone();
    for _ in 0..=drawn.below(3) {
        match drawn.below(12) {
            0 => {
                let lines = [
                    "at most 40 laps",
                    "at most 90 min",
                    "method narrow",
                    "method cross-out",
                    "change 2 min",
                ];
                draft.of_plan = vec![lines[index(drawn, 5)].into()];
                if drawn.below(3) == 0 {
                    draft.of_plan.clear();
                }
            }
            1 | 2 => {
                let name = NAMES[index(drawn, NAMES.len())];
                let scale = scale(drawn, name);
                draft.adjusters.retain(|(known, _)| known != name);
                draft.adjusters.push((name.into(), scale));
            }
            3 if draft.adjusters.len() > 1 => {
                let at = index(drawn, draft.adjusters.len());
                draft.adjusters.remove(at);
            }
            4 if draft.steps.len() > 1 => {
                let at = index(drawn, draft.steps.len());
                draft.steps.remove(at);
            }
            5 if !draft.steps.is_empty() => {
                let (from, to) = (index(drawn, draft.steps.len()), index(drawn, draft.steps.len()));
                let step = draft.steps.remove(from);
                draft.steps.insert(to, step);
            }
            6 | 7 if !draft.steps.is_empty() => {
                let again = draft.steps[index(drawn, draft.steps.len())].clone();
                let at = index(drawn, draft.steps.len() + 1);
                draft.steps.insert(at, again);
            }
            _ => {
                let (at, step) = (index(drawn, draft.steps.len() + 1), step(drawn, &draft));
                draft.steps.insert(at, step);
            }
        }
    }
    draft
}

/// Seconds and peak memory in MB of one check; nothing where the file has errors, as then nothing is proven.
fn cost(file: &Path, text: &str) -> (f64, f64) {
    std::fs::write(file, text).unwrap();
    let begin = Instant::now();
    // what takes far too long is not waited for
    let script =
        format!("ulimit -t 8; exec '{}' check '{}'", env!("CARGO_BIN_EXE_clickwise"), file.display());
    let mut command = Command::new("sh");
    command.args(["-c", &script]).stdout(Stdio::null()).stderr(Stdio::null());
    let used = command.spawn().unwrap().wait4().unwrap();
    let seconds = begin.elapsed().as_secs_f64();
    if used.status.code().is_some_and(|code| code != 0) {
        return (0.0, 0.0);
    }
    // wait4 gives bytes
    (seconds, f64::from(u32::try_from(used.rusage.maxrss / 1000).unwrap()) / 1000.0)
}

/// The most of one kind that a check was seen to take, and of which file.
#[derive(Default)]
struct Most(f64, String);

impl Most {
    fn is_beaten(&mut self, used: f64, text: &str) {
        if used > self.0 {
            *self = Most(used, text.to_owned());
        }
    }
}

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("set.tune");
    let tries = std::env::args().find_map(|word| word.parse().ok()).unwrap_or(3_000_usize);
    let mut drawn = Drawn(12);
    let again =
        ["tune fork rebound, at most 47 laps", "set fork rebound 2 clicks faster", "tune fork rebound"];
    let first = Draft {
        of_plan: Vec::new(),
        adjusters: vec![("fork rebound".to_owned(), "? clicks".to_owned())],
        steps: again.map(str::to_owned).to_vec(),
    };
    let (mut slowest, mut largest) = (Most::default(), Most::default());
    let known = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bench/worst");
    for entry in std::fs::read_dir(known).unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        let used = cost(&file, &text);
        slowest.is_beaten(used.0, &text);
        largest.is_beaten(used.1, &text);
    }
    eprintln!("known: {:.2} s, {:.0} MB", slowest.0, largest.0);
    // one hill is climbed for time, one for memory, in turn and from the first plan again
    let hills: [fn((f64, f64)) -> f64; 2] = [|(seconds, _)| seconds, |(_, megabytes)| megabytes];
    for (round, score) in hills.into_iter().cycle().take(4).enumerate() {
        let mut kept = vec![(0.0, first.clone())];
        for _ in 0..tries / 4 {
            let from = index(&mut drawn, kept.len());
            let draft = change(&mut drawn, &kept[from].1);
            let text = draft.text();
            if text.len() > MOST_BYTES {
                continue;
            }
            let mut used = cost(&file, &text);
            if used.0 > slowest.0 || used.1 > largest.0 {
                // the machine may have been busy
                let again = cost(&file, &text);
                used = (used.0.min(again.0), used.1.min(again.1));
            }
            slowest.is_beaten(used.0, &text);
            largest.is_beaten(used.1, &text);
            kept.push((score(used), draft));
            kept.sort_by(|one, other| other.0.total_cmp(&one.0));
            kept.truncate(24);
        }
        eprintln!("round {}: {:.2} s, {:.0} MB", round + 1, slowest.0, largest.0);
    }
    let told = |is_too_much: bool| if is_too_much { "   TOO MUCH" } else { "" };
    println!("{tries} files of at most 1 kB");
    println!("slowest: {:.2} s{}\n{}", slowest.0, told(slowest.0 > MOST_SECONDS), slowest.1);
    println!("largest: {:.0} MB{}\n{}", largest.0, told(largest.0 > MOST_MEGABYTES), largest.1);
}
