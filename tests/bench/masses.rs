//! How long the program takes over very large and very wrong files, and how much memory. Aim: below a
//! second and 100 MB for each.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a benchmark writes files, reads the clock and prints"
)]

mod common;

use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

use wait4::Wait4;

use common::{Drawn, milliseconds, visit};

const TEN_MEGABYTES: usize = 10_000_000;
const MANY: usize = 100_000;

/// A kind of file and how it is written. The text is never whole in memory here: the peak of a child
/// begins with that of its parent.
type Kind = (&'static str, fn(&mut dyn Write) -> io::Result<()>);

const KINDS: [Kind; 20] = [
    ("10 MB of random bytes", |out| {
        let mut drawn = Drawn(1);
        (0..TEN_MEGABYTES).try_for_each(|_| out.write_all(&drawn.below(256).to_le_bytes()[..1]))
    }),
    ("10 MB of random printable text in lines", |out| {
        let mut drawn = Drawn(2);
        (0..TEN_MEGABYTES).try_for_each(|_| {
            let letter = match drawn.below(96) {
                95 => 10,
                letter => letter + 32,
            };
            out.write_all(&letter.to_le_bytes()[..1])
        })
    }),
    ("10 MB of random printable text under steps", |out| {
        let mut drawn = Drawn(3);
        out.write_all(b"steps\n")?;
        (0..TEN_MEGABYTES).try_for_each(|_| {
            let letter = match drawn.below(96) {
                95 => 10,
                letter => letter + 32,
            };
            out.write_all(&letter.to_le_bytes()[..1])
        })
    }),
    ("10 MB in one line", |out| {
        let mut drawn = Drawn(4);
        (0..TEN_MEGABYTES).try_for_each(|_| out.write_all(&(drawn.below(95) + 32).to_le_bytes()[..1]))
    }),
    ("10 MB of line ends", |out| repeated(out, TEN_MEGABYTES, |_| "\n".to_owned())),
    ("10 MB of commas, a line each", |out| repeated(out, TEN_MEGABYTES / 2, |_| ",\n".to_owned())),
    ("10 MB of say lines", |out| {
        out.write_all(b"steps\n")?;
        repeated(out, TEN_MEGABYTES / 40, |_| "  say \"Look over the bike at the gate\"\n".to_owned())
    }),
    ("10 MB of comments", |out| {
        repeated(out, TEN_MEGABYTES / 50, |_| "# nothing is said here that a program would read\n".to_owned())
    }),
    ("10 MB of one adjuster again and again", |out| {
        out.write_all(b"bike \"B\"\npart fork\n")?;
        repeated(out, TEN_MEGABYTES / 25, |_| "  rebound 0 to 18 clicks\n".to_owned())
    }),
    ("10 MB of own adjusters", |out| {
        out.write_all(b"bike \"B\"\npart fork\n")?;
        repeated(out, TEN_MEGABYTES / 40, |number| format!("  adjuster \"number {number}\" 0 to 18 clicks\n"))
    }),
    ("10 MB of rows in one start", |out| {
        out.write_all(b"bike \"B\"\npart fork\n  rebound 0 to 18 clicks, start 3 at 50 kg\n")?;
        repeated(out, TEN_MEGABYTES / 15, |_| "  , 4 at 60 kg\n".to_owned())
    }),
    ("10 MB of whole plans", |out| repeated(out, TEN_MEGABYTES / visit(1).len(), visit)),
    ("50,000 misspelt lines, each a repetition too: 100,000 problems", |out| {
        out.write_all(b"bike \"B\"\npart fork\n")?;
        repeated(out, MANY / 2, |_| "  rebuond 0 to 18 clicks\n".to_owned())
    }),
    ("100,000 misspelt lines, each a repetition too: 200,000 problems", |out| {
        out.write_all(b"bike \"B\"\npart fork\n")?;
        repeated(out, MANY, |_| "  rebuond 0 to 18 clicks\n".to_owned())
    }),
    ("100,000 misspelt units", |out| {
        out.write_all(b"bike \"B\"\npart fork\n")?;
        repeated(out, MANY, |_| "  rebound 0 to 18 clikcs\n".to_owned())
    }),
    ("100,000 bad use lines", |out| repeated(out, MANY, |number| format!("use \"file {number}.tune\"\n"))),
    ("100,000 use lines that lead outside", |out| repeated(out, MANY, |_| "use \"../x.tune\"\n".to_owned())),
    ("100,000 adjusters that are not there", |out| {
        out.write_all(b"bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n")?;
        repeated(out, MANY, |_| "  tune fork compression\n".to_owned())
    }),
    ("100,000 plans", |out| repeated(out, MANY, |number| format!("plan \"number {number}\"\n"))),
    ("100,000 unknown words", |out| repeated(out, MANY, |number| format!("xylophone{number} 3 to 4\n"))),
];

fn repeated(out: &mut dyn Write, count: usize, piece: impl Fn(usize) -> String) -> io::Result<()> {
    (0..count).try_for_each(|number| out.write_all(piece(number).as_bytes()))
}

/// Seconds and peak memory in MB of one run.
fn run(arguments: &[&str], file: &Path) -> (f64, f64) {
    let begin = Instant::now();
    let mut command = Command::new(env!("CARGO_BIN_EXE_clickwise"));
    let mut child =
        command.args(arguments).arg(file).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    let used = child.wait4().unwrap();
    let time = milliseconds(begin.elapsed()) / 1000.0;
    // wait4 gives bytes
    let peak = u32::try_from(used.rusage.maxrss / 1000).unwrap();
    (time, f64::from(peak) / 1000.0)
}

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("set.tune");
    let wanted = std::env::args().nth(1).filter(|word| !word.starts_with("--")).unwrap_or_default();
    for (name, write) in KINDS.iter().filter(|(name, _)| name.contains(&wanted)) {
        let mut out = BufWriter::new(File::create(&file).unwrap());
        write(&mut out).unwrap();
        out.flush().unwrap();
        let runs: Vec<_> = (0..3).map(|_| run(&["check"], &file)).collect();
        let time = runs.iter().map(|run| run.0).fold(f64::MAX, f64::min);
        let peak = runs.iter().map(|run| run.1).fold(0.0, f64::max);
        let (json_time, json_peak) = run(&["check", "--report", "json"], &file);
        let told = if time < 1.0 && peak < 100.0 { "" } else { "   TOO MUCH" };
        println!("{name}: {time:.2} s, {peak:.0} MB (json {json_time:.2} s, {json_peak:.0} MB){told}");
    }
}
