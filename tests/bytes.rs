//! Whatever bytes a file holds: no panic, and a status that says so.

use clickwise::check::check;
use clickwise::problem::Sources;

use crate::support::{Field, project};

/// A small stream of numbers, the same on every machine (xorshift).
pub struct Lot(pub u64);

impl Lot {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    pub fn below(&mut self, most: usize) -> usize {
        usize::try_from(self.next() % most as u64).unwrap()
    }

    pub fn bytes(&mut self, most: usize) -> Vec<u8> {
        (0..self.below(most)).map(|_| self.next().to_le_bytes()[0]).collect()
    }
}

fn plans() -> Vec<Vec<u8>> {
    let mut names: Vec<_> =
        std::fs::read_dir(project().join("plans")).unwrap().map(|entry| entry.unwrap().path()).collect();
    names.sort();
    names.into_iter().map(|path| std::fs::read(path).unwrap()).collect()
}

/// Something done to a text: bytes taken out, put in, doubled, or parts exchanged.
pub fn mutated(lot: &mut Lot, text: &[u8]) -> Vec<u8> {
    const PIECES: [&str; 16] = [
        ",",
        "\"",
        "#",
        "\n",
        "to",
        "?",
        "0",
        "-1",
        "1/0",
        "999999999999",
        "start",
        "every",
        "\u{feff}",
        "\u{202e}",
        "–",
        "part fork\n",
    ];
    let mut text = text.to_vec();
    for _ in 0..=lot.below(4) {
        let at = lot.below(text.len() + 1);
        match lot.below(4) {
            0 => {
                let end = (at + lot.below(20)).min(text.len());
                text.drain(at..end);
            }
            1 => {
                let piece = PIECES[lot.below(PIECES.len())];
                text.splice(at..at, piece.bytes());
            }
            2 => {
                let end = (at + lot.below(60)).min(text.len());
                let copy = text[at..end].to_vec();
                let to = lot.below(text.len() + 1);
                text.splice(to..to, copy);
            }
            _ => {
                if let Some(byte) = text.get_mut(at) {
                    *byte = lot.next().to_le_bytes()[0];
                }
            }
        }
    }
    text
}

fn inside(bytes: &[u8]) {
    let mut sources = Sources::default();
    let (_, mut problems) = clickwise::language::take_in(&mut sources, "x.tune", bytes);
    let checked = check(&sources);
    problems.extend(checked.problems);
    let look = clickwise::show::Look { width: 38, colour: false, unicode: false };
    let shown = clickwise::show::problems(&sources, &problems, look);
    assert!(shown.chars().all(|c| c == '\n' || c == '\t' || !c.is_control()));
}

#[test]
fn ten_thousand_random_files_and_as_many_mutations_are_answered() {
    let mut lot = Lot(0x9e37_79b9_7f4a_7c15);
    for _ in 0..10_000 {
        inside(&lot.bytes(200));
    }
    let plans = plans();
    for _ in 0..10_000 {
        let plan = &plans[lot.below(plans.len())];
        inside(&mutated(&mut lot, plan));
    }
}

/// A place that ended within a character would be shown as nothing.
#[test]
fn a_place_of_one_character_holds_the_whole_of_it() {
    let long = format!("\u{B0}{}", "x".repeat(10_001));
    for (text, first) in [("bike \u{201C}B", "\u{201C}"), ("bike \"B", "\""), (long.as_str(), "\u{B0}")] {
        let mut sources = Sources::default();
        sources.add("x.tune", text);
        let problems = check(&sources).problems;
        let slices: Vec<&str> = problems.iter().map(|problem| sources.slice(problem.span)).collect();
        assert_eq!(slices, [first]);
    }
}

/// The same through the program itself: as many as `CLICKWISE_BYTES` says, else 300 of each.
#[test]
fn the_program_ends_with_status_0_or_1_on_any_bytes() {
    let rounds = std::env::var("CLICKWISE_BYTES").ok().and_then(|rounds| rounds.parse().ok()).unwrap_or(300);
    let mut lot = Lot(0x2545_f491_4f6c_dd1d);
    let plans = plans();
    let field = Field::new();
    for round in 0..2 * rounds {
        let bytes = if round < rounds {
            lot.bytes(400)
        } else {
            let plan = &plans[lot.below(plans.len())];
            mutated(&mut lot, plan)
        };
        field.write("x.tune", &bytes);
        let ran = field.run(&["check", "x.tune"]);
        assert!(matches!(ran.status, 0 | 1), "status {} for {bytes:?}\n{}", ran.status, ran.err);
    }
}

/// Whole sets, mutated, are ridden by the simulated rider wherever they still can be.
#[test]
fn what_is_still_sound_when_mutated_can_be_ridden() {
    use clickwise::rehearsal::{Kind, Rider};
    use clickwise::session::Session;
    let plan = |name: &str| std::fs::read(project().join("plans").join(name)).unwrap();
    let set = |names: [&str; 3]| names.map(plan).concat();
    let sets = [
        set(["first-setup.tune", "green-trail.tune", "mo.tune"]),
        set(["clinic.tune", "air-bike.tune", "ana.tune"]),
        set(["second-hour.tune", "split-bike.tune", "bram.tune"]),
        set(["junior-first.tune", "small-bike.tune", "ivo.tune"]),
        set(["first-setup.tune", "quarry-coil.tune", "mo.tune"]),
    ];
    let mut lot = Lot(0x0dd0_5eed_0dd0_5eed);
    let mut ridden = 0;
    for round in 0..4000 {
        let bytes = mutated(&mut lot, &sets[round % sets.len()]);
        inside(&bytes);
        let mut sources = Sources::default();
        clickwise::language::take_in(&mut sources, "x.tune", &bytes);
        let Some(plan) = check(&sources).plan else { continue };
        let mut session = Session::begin(std::sync::Arc::new(plan), 0);
        let mut rider = Rider::new(Kind::Steady, round as u64, 0);
        for _ in 0..3000 {
            let Some(ask) = session.ask() else { break };
            session = session.answer(&rider.answer(&session, &ask)).unwrap();
            let _ = session.so_far();
        }
        assert!(session.ask().is_none(), "no end: {}", String::from_utf8_lossy(&bytes));
        ridden += 1;
    }
    assert!(ridden > 200, "{ridden} ridden");
}

/// A set is ridden with answers that mean nothing.
#[test]
fn a_ride_with_any_answers_ends_with_a_status() {
    let mut lot = Lot(0x1234_5678_9abc_def1);
    let field = Field::with(&[(
        "set.tune",
        "bike \"B\"\npart fork\n rebound 9 clicks\nsteps\n tune every rebound\n",
    )]);
    for round in 0..200 {
        let mut answers = lot.bytes(60);
        answers.extend_from_slice(b"\nbetter, worse, rode 3: same\n");
        field.write("answers.txt", &answers);
        let journal = format!("{round}.ride.toml");
        let ran = field.run(&[
            "ride",
            "set.tune",
            "--answers",
            "answers.txt",
            "--settings",
            "-",
            "--journal",
            &journal,
        ]);
        assert!(matches!(ran.status, 0 | 1 | 4), "status {} for {answers:?}\n{}", ran.status, ran.err);
    }
}
