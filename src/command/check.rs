//! `clickwise check`: everything that is wrong with a set, in one run.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::disk;
use crate::problem::{Problem, Severity};
use crate::set::Set;
use crate::show::{self, OfSet};
use crate::vocabulary::several;

use super::Exit;
use super::args::{CheckOptions, CheckReport, Deny};
use super::named::Named;
use super::repair::repaired;
use super::screen::{Screen, print};
use super::set::read_over;

pub(super) fn run(options: &CheckOptions, screen: Screen) -> Exit {
    checked(options, screen).map_or_else(|exit| exit, |(exit, _)| exit)
}

/// Checks and tells; gives the status, and the files of the sets with those that they use.
///
/// # Errors
/// Where a file cannot be read, or the result cannot be printed.
pub(super) fn checked(options: &CheckOptions, screen: Screen) -> Result<(Exit, Vec<PathBuf>), Exit> {
    let named = Named::of(&options.files, screen)?;
    if options.fix && !named.overlay.is_empty() {
        screen.say("Save the text as a file first: clickwise can't fix standard input.");
        return Err(Exit::Usage);
    }
    let sets = sets(&named, options.fix, screen)?;
    let of_sets: Vec<OfSet<'_>> = sets.iter().map(|told| (told.set.sources(), told.problems())).collect();
    let of_one = sets.first().filter(|_| named.apart.is_none());
    let needs = of_one.map_or(&[][..], |told| told.set.needs());
    let report = match options.report {
        CheckReport::Text => {
            for (sources, problems) in &of_sets {
                screen.raw(&show::problems(sources, problems, screen.look()));
            }
            screen.fitted(&match (&named.apart, of_one) {
                (None, Some(told)) => result(&told.set, told.problems()),
                (apart, _) => results(&sets, apart.as_deref().unwrap_or_default()),
            })
        }
        CheckReport::Json => show::json_report(&of_sets, needs, of_one.and_then(|told| told.set.proof())),
        CheckReport::Sarif => show::sarif_report(&of_sets),
    };
    let is_denied = |problem: &Problem| {
        problem.is_error() || options.deny == Some(Deny::Warnings) && problem.severity == Severity::Warning
    };
    let denied = sets.iter().any(|told| told.problems().iter().any(is_denied));
    let paths = sets.iter().flat_map(|told| told.set.paths().map(Path::to_owned)).collect();
    match print(&report) {
        Err(error) => {
            screen.say(&format!("Can't print the result: {}", disk::in_words(&error)));
            Err(Exit::Disk)
        }
        Ok(()) if denied => Ok((Exit::Errors, paths)),
        Ok(()) => Ok((Exit::Done, paths)),
    }
}

/// A set of which people are told.
struct ToldOf {
    set: Set,
    /// Its problems without those that were told with an earlier set; all of them where this is none.
    left: Option<Vec<Problem>>,
}

impl ToldOf {
    fn problems(&self) -> &[Problem] {
        self.left.as_deref().unwrap_or(self.set.problems())
    }
}

/// The sets that are named, each with the problems that are told of it. A file that another one uses is checked with
/// that one alone.
fn sets(named: &Named, fix: bool, screen: Screen) -> Result<Vec<ToldOf>, Exit> {
    let read = |paths: &[PathBuf]| {
        let read = if fix { repaired(paths, screen) } else { read_over(paths, &named.overlay, screen) };
        read.map(|set| ToldOf { set, left: None })
    };
    if named.apart.is_none() {
        return Ok(vec![read(&named.files)?]);
    }
    let mut sets = Vec::new();
    let mut unread = None;
    for path in &named.files {
        match read(std::slice::from_ref(path)) {
            Ok(set) => sets.push(set),
            Err(exit) => unread = Some(exit),
        }
    }
    if let Some(exit) = unread {
        return Err(exit);
    }
    // of files that use each other one is left
    let mut index = 0;
    while index < sets.len() {
        let set = &sets[index].set;
        let own = set.sources().iter().next().map(|(id, _)| set.canonical(id).to_owned());
        let is_used = sets.iter().any(|told| told.set.used().any(|used| Some(used) == own.as_deref()));
        if is_used {
            sets.remove(index);
        } else {
            index += 1;
        }
    }
    // a bike that several plans use is told of once
    let mut told = BTreeSet::new();
    for ToldOf { set, left } in &mut sets {
        let key = |problem: &Problem| {
            let place = set.canonical(problem.span.source).to_owned();
            (place, problem.span.start, problem.code, problem.message.to_string())
        };
        *left = Some(set.problems().iter().filter(|problem| told.insert(key(problem))).cloned().collect());
    }
    Ok(sets)
}

/// What a check of many sets comes to: those that can be ridden, and how many problems there are.
fn results(sets: &[ToldOf], apart: &str) -> String {
    let mut lines = vec![apart.to_owned()];
    let (errors, warnings) = count(sets.iter().flat_map(ToldOf::problems));
    for ToldOf { set, .. } in sets {
        if let (Some(path), Some(proof)) = (set.paths().next(), set.proof()) {
            let proven = show::proof(proof).into_iter().nth(1).unwrap_or_default();
            lines.push(format!("{}: ready to ride. {proven}", path.display()));
        }
    }
    let files = several(sets.len(), "file");
    lines.push(match (errors, warnings) {
        (0, 0) => format!("{files}: no problem found."),
        _ => format!("{files}: {}", counted(errors, warnings)),
    });
    lines.join("\n") + "\n"
}

/// What a check comes to, in a few lines.
fn result(set: &Set, problems: &[Problem]) -> String {
    let (errors, warnings) = count(problems);
    if errors > 0 {
        return format!("{}\n", counted(errors, warnings));
    }
    let mut lines = Vec::new();
    if !set.holds().is_empty() {
        lines.push(set.holds().join(", "));
    }
    lines.push(if warnings > 0 { counted(0, warnings) } else { "No problems found.".to_owned() });
    lines.extend(set.needs().iter().map(|need| format!("Before you ride, you also need {need}")));
    if let Some(plan) = set.plan() {
        let from = if plan.parts().needs_settings {
            " This plan starts from saved settings: add `--from` and their file when you ride."
        } else {
            ""
        };
        lines.push(format!("Ready to ride.{from}"));
        lines.extend(set.proof().into_iter().flat_map(show::proof));
    }
    lines.join("\n") + "\n"
}

/// How many errors and warnings there are.
fn count<'a>(problems: impl IntoIterator<Item = &'a Problem>) -> (usize, usize) {
    problems.into_iter().fold((0, 0), |(errors, warnings), problem| match problem.severity {
        Severity::Error => (errors + 1, warnings),
        Severity::Warning => (errors, warnings + 1),
        Severity::Note => (errors, warnings),
    })
}

/// How many errors and warnings there are, in words.
fn counted(errors: usize, warnings: usize) -> String {
    match (errors, warnings) {
        (0, warnings) => several(warnings, "warning"),
        (errors, 0) => several(errors, "error"),
        (errors, warnings) => format!("{}, {}", several(errors, "error"), several(warnings, "warning")),
    }
}
