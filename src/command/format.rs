//! `clickwise format`: sets files in the one layout, each by itself.

use std::path::Path;

use crate::check::check_part;
use crate::language::{parse, take_in, uses};
use crate::layout;
use crate::problem::{Problem, Sources};
use crate::record::files;
use crate::show;

use super::Exit;
use super::args::FormatOptions;
use super::screen::{Screen, print};

/// What became of one file.
enum Outcome {
    Unchanged,
    /// It is not in the one layout, or was not.
    Changed,
    /// It has errors, which are told.
    Refused,
    /// It cannot be read or written, which is told.
    Failed,
}

pub(super) fn run(options: &FormatOptions, screen: Screen) -> Exit {
    let mut said = String::new();
    let (mut changed, mut refused, mut failed) = (false, false, false);
    for path in &options.files {
        match one(path, options.check, screen) {
            Outcome::Unchanged => {}
            Outcome::Changed => {
                changed = true;
                let what = if options.check { "would change" } else { "changed" };
                said.push_str(&format!("{}: {what}\n", path.display()));
            }
            Outcome::Refused => {
                refused = true;
                screen.say(&format!("{}: left as it is", path.display()));
            }
            Outcome::Failed => failed = true,
        }
    }
    if !changed && !refused && !failed {
        said.push_str("Nothing to change.\n");
    }
    if let Err(error) = print(&said) {
        screen.say(&format!("The result cannot be printed: {}", files::in_words(&error)));
        failed = true;
    }
    if failed {
        Exit::Disk
    } else if refused || (changed && options.check) {
        Exit::Errors
    } else {
        Exit::Done
    }
}

fn one(path: &Path, only_look: bool, screen: Screen) -> Outcome {
    let bytes = match files::read(path) {
        Ok(bytes) => bytes,
        Err(error) => {
            screen.say(&format!("{}: cannot be read: {}", path.display(), files::in_words(&error)));
            return Outcome::Failed;
        }
    };
    let mut sources = Sources::default();
    let (id, mut problems) = take_in(&mut sources, &path.to_string_lossy(), &bytes);
    let text = sources.get(id).text();
    // Of a file that is no text, its bytes are the one problem worth telling.
    if !problems.iter().any(Problem::is_error) {
        problems.extend(check_part(&sources, !uses(id, text).is_empty()).problems);
        problems.sort_unstable_by_key(|problem| (problem.span.start, problem.code));
    }
    if problems.iter().any(Problem::is_error) {
        screen.raw(&show::problems(&sources, &problems, screen.look()));
        return Outcome::Refused;
    }
    let formatted = layout::format(&parse(id, text).0, text);
    if formatted.as_bytes() == bytes {
        return Outcome::Unchanged;
    }
    if only_look {
        return Outcome::Changed;
    }
    // A link stays a link: what it leads to is written.
    let place = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    match files::write_whole(&place, formatted.as_bytes()) {
        Ok(()) => Outcome::Changed,
        Err(error) => {
            screen.say(&format!("{}: cannot be written: {}", path.display(), files::in_words(&error)));
            Outcome::Failed
        }
    }
}
