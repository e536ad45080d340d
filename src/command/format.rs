//! `clickwise format`: sets files in the one layout, each by itself.

use std::path::Path;

use similar::TextDiff;

use crate::check::{Read, RestOfSet, check_trees, read};
use crate::disk;
use crate::language::{take_in, uses};
use crate::layout;
use crate::problem::{Problem, Sources};
use crate::show;

use super::Exit;
use super::args::FormatOptions;
use super::keys;
use super::named::STANDARD_INPUT;
use super::screen::{Screen, print};

/// What became of one file.
enum Outcome {
    /// It is in the one layout: its text.
    Same(String),
    /// It is not in the one layout.
    Other { before: String, after: String },
    /// It has errors, which are told.
    Refused,
    /// It cannot be read, which is told.
    Failed,
}

pub(super) fn run(options: &FormatOptions, screen: Screen) -> Exit {
    let mut said = String::new();
    let (mut changed, mut refused, mut failed) = (false, false, false);
    let looks = options.check || options.diff;
    for path in &options.files {
        match one(path, screen) {
            Outcome::Same(text) if is_input(path) && !looks => said.push_str(&text),
            Outcome::Same(_) => {}
            Outcome::Other { before, after } => {
                changed = true;
                let name = path.display();
                if options.diff {
                    said.push_str(&difference(&name.to_string(), &before, &after));
                } else if options.check {
                    said.push_str(&format!("{name}: needs tidying\n"));
                } else if is_input(path) {
                    said.push_str(&after);
                } else if write(path, &after, screen) {
                    said.push_str(&format!("{name}: changed\n"));
                } else {
                    failed = true;
                }
            }
            Outcome::Refused => {
                refused = true;
                screen.say(&format!("{}: not changed; fix the errors first", path.display()));
            }
            Outcome::Failed => failed = true,
        }
    }
    if !changed && !refused && !failed && (looks || !options.files.iter().any(|path| is_input(path))) {
        said.push_str("Nothing to change.\n");
    }
    if let Err(error) = print(&said) {
        screen.say(&format!("Can't print the result: {}", disk::in_words(&error)));
        failed = true;
    }
    if failed {
        Exit::Disk
    } else if refused || (changed && looks) {
        Exit::Errors
    } else {
        Exit::Done
    }
}

fn is_input(path: &Path) -> bool {
    path == Path::new(STANDARD_INPUT)
}

/// What would change, as a unified diff.
fn difference(name: &str, before: &str, after: &str) -> String {
    let lines = TextDiff::from_lines(before, after);
    lines.unified_diff().header(name, name).to_string()
}

fn write(path: &Path, text: &str, screen: Screen) -> bool {
    // A link stays a link: what it leads to is written.
    let place = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let written = disk::write_whole(&place, text.as_bytes());
    if let Err(error) = &written {
        screen.say(&format!("Can't save {}: {}", path.display(), disk::in_words(error)));
    }
    written.is_ok()
}

fn one(path: &Path, screen: Screen) -> Outcome {
    let bytes = if is_input(path) { keys::read_all() } else { disk::read(path) };
    let bytes = match bytes {
        Ok(bytes) => bytes,
        Err(error) => {
            screen.say(&format!("Can't read {}: {}", path.display(), disk::in_words(&error)));
            return Outcome::Failed;
        }
    };
    let mut sources = Sources::default();
    let (id, mut problems) = take_in(&mut sources, &path.to_string_lossy(), &bytes);
    let text = sources.get(id).text();
    let Read { trees, problems: found } = read(&sources);
    // Of a file that is no text, its bytes are the one problem worth telling.
    if !problems.iter().any(Problem::is_error) {
        let rest = if uses(id, text).is_empty() { RestOfSet::Here } else { RestOfSet::Elsewhere };
        problems.extend(check_trees(&sources, &trees, found, rest).problems);
        problems.sort_unstable_by_key(|problem| (problem.span.start, problem.code));
    }
    if problems.iter().any(Problem::is_error) {
        screen.raw(&show::problems(&sources, &problems, screen.look()));
        return Outcome::Refused;
    }
    let Some(tree) = trees.first() else { return Outcome::Failed };
    let formatted = layout::format(tree, text);
    if formatted.as_bytes() == bytes {
        return Outcome::Same(formatted);
    }
    Outcome::Other { before: String::from_utf8_lossy(&bytes).into_owned(), after: formatted }
}
