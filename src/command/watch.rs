//! `clickwise check --watch`: the check again, whenever a file of the set changes.

use std::path::PathBuf;
use std::time::{Duration, SystemTime};

use super::Exit;
use super::args::CheckOptions;
use super::check::checked;
use super::clock::Clock;
use super::screen::Screen;

/// How long is waited before the files are looked at again.
const PAUSE: Duration = Duration::from_millis(300);

/// When a file was last written and how long it is; nothing where it is not there.
type Stamp = Option<(SystemTime, u64)>;

/// Checks, and checks again, until the program is stopped.
pub(super) fn run(options: &CheckOptions, screen: Screen) -> Exit {
    let mut files = options.files.clone();
    loop {
        // taken before the files are read, so that no change falls between
        let mut before = stamps(&files);
        let of_set = match checked(options, screen) {
            // a file that an editor is just putting in place is there again in a moment
            Err(Exit::Disk) => options.files.clone(),
            Err(exit) => return exit,
            Ok((_, used)) => used,
        };
        if of_set != files {
            before = stamps(&of_set);
            files = of_set;
        }
        let time = Clock::Running.now().time();
        screen.say(&format!("Checked at {time}. Watching for changes; press Ctrl-C to stop."));
        while stamps(&files) == before {
            std::thread::sleep(PAUSE);
        }
        screen.raw("\n");
    }
}

fn stamps(files: &[PathBuf]) -> Vec<Stamp> {
    let stamp = |file: &PathBuf| {
        let metadata = std::fs::metadata(file).ok()?;
        Some((metadata.modified().ok()?, metadata.len()))
    };
    files.iter().map(stamp).collect()
}
