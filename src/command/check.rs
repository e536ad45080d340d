//! `clickwise check`: everything that is wrong with a set, in one run.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

use crate::problem::{Problem, Severity};
use crate::record::files;
use crate::show::{self, OfSet};
use crate::vocabulary::several;
use crate::walk::{Allowed, Proof, over_budget, prove};

use super::Exit;
use super::args::{CheckOptions, Deny, MessageFormat};
use super::includes::Overlay;
use super::named::Named;
use super::repair::repaired;
use super::screen::{Screen, print};
use super::set::Set;

pub(super) fn run(options: &CheckOptions, screen: Screen) -> Exit {
    checked(options, screen).map_or_else(|exit| exit, |(exit, _)| exit)
}

/// Checks and tells; gives the status, and the files of the sets with those that they use.
///
/// # Errors
/// Where a file cannot be read, or the result cannot be printed.
pub(super) fn checked(options: &CheckOptions, screen: Screen) -> Result<(Exit, Vec<PathBuf>), Exit> {
    let named = Named::of(&options.files, screen)?;
    if options.fix && named.overlay != Overlay::default() {
        screen.say("Standard input can't be repaired: save it as a file first.");
        return Err(Exit::Usage);
    }
    let sets = sets(&named, options.fix, screen)?;
    let of_sets: Vec<OfSet<'_>> =
        sets.iter().map(|(set, _)| (&set.sources, set.checked.problems.as_slice())).collect();
    let of_one = sets.first().filter(|_| named.apart.is_none());
    let needs = of_one.map_or(&[][..], |(set, _)| &set.checked.needs);
    let report = match options.message_format {
        MessageFormat::Human => {
            for (set, _) in &sets {
                set.tell(screen);
            }
            screen.fitted(&match (&named.apart, of_one) {
                (None, Some((set, proof))) => result(set, proof.as_ref()),
                (apart, _) => results(&sets, apart.as_deref().unwrap_or_default()),
            })
        }
        MessageFormat::Json => {
            show::json_report(&of_sets, needs, of_one.and_then(|(_, proof)| proof.as_ref()))
        }
        MessageFormat::Sarif => show::sarif_report(&of_sets),
    };
    let is_denied = |problem: &Problem| {
        problem.is_error() || options.deny == Some(Deny::Warnings) && problem.severity == Severity::Warning
    };
    let denied =
        sets.iter().any(|(set, _)| set.checked.has_errors() || set.checked.problems.iter().any(is_denied));
    let paths = sets.iter().flat_map(|(set, _)| set.paths.clone()).collect();
    match print(&report) {
        Err(error) => {
            screen.say(&format!("The result cannot be printed: {}", files::in_words(&error)));
            Err(Exit::Disk)
        }
        Ok(()) if denied => Ok((Exit::Errors, paths)),
        Ok(()) => Ok((Exit::Done, paths)),
    }
}

/// The sets that are named, each with its proof. A file that another one uses is checked with that one alone.
fn sets(named: &Named, fix: bool, screen: Screen) -> Result<Vec<(Set, Option<Proof>)>, Exit> {
    let read = |paths: &[PathBuf]| {
        let read = if fix { repaired(paths, screen) } else { Set::read_over(paths, &named.overlay, screen) };
        read.map(|mut set| {
            let proof = proven(&mut set);
            (set, proof)
        })
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
        let own = sets[index].0.sources.iter().next().map(|(id, _)| sets[index].0.canonical(id).to_owned());
        let is_used = sets.iter().any(|(set, _)| set.used().any(|used| Some(used) == own.as_deref()));
        if is_used {
            sets.remove(index);
        } else {
            index += 1;
        }
    }
    // a bike that several plans use is told of once
    let mut told = BTreeSet::new();
    for (set, _) in &mut sets {
        let key = |problem: &Problem| {
            let place = set.canonical(problem.span.source).to_owned();
            (place, problem.span.start, problem.code, problem.message.to_string())
        };
        let keys: Vec<_> = set.checked.problems.iter().map(key).collect();
        let mut keys = keys.into_iter();
        set.checked.problems.retain(|_| keys.next().is_some_and(|key| told.insert(key)));
    }
    Ok(sets)
}

/// What a check of many sets comes to: those that can be ridden, and how many problems there are.
fn results(sets: &[(Set, Option<Proof>)], apart: &str) -> String {
    let mut lines = vec![apart.to_owned()];
    let problems = || sets.iter().flat_map(|(set, _)| &set.checked.problems);
    let count = |severity| problems().filter(|problem| problem.severity == severity).count();
    let (errors, warnings) = (count(Severity::Error), count(Severity::Warning));
    for (set, proof) in sets {
        if let (Some(path), Some(proof)) = (set.paths.first(), proof) {
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

/// The proof of the set's plan, where it has one; what that finds wrong joins the problems.
fn proven(set: &mut Set) -> Option<Proof> {
    let checked = &mut set.checked;
    let plan = Arc::new(checked.plan.clone()?);
    let proof = prove(&plan);
    let allowed = Allowed { laps: checked.laps_at, minutes: checked.minutes_at };
    checked.problems.extend(over_budget(&plan, &proof, allowed));
    checked.problems.sort_unstable_by_key(|problem| (problem.span.source, problem.span.start, problem.code));
    Some(proof)
}

/// What a check comes to, in a few lines.
fn result(set: &Set, proof: Option<&Proof>) -> String {
    let count = |severity| set.checked.problems.iter().filter(|problem| problem.severity == severity).count();
    let (errors, warnings) = (count(Severity::Error), count(Severity::Warning));
    if errors > 0 {
        return format!("{}\n", counted(errors, warnings));
    }
    let mut lines = Vec::new();
    if !set.checked.holds.is_empty() {
        lines.push(set.checked.holds.join(", "));
    }
    lines.push(if warnings > 0 { counted(0, warnings) } else { "No problem found.".to_owned() });
    lines.extend(set.checked.needs.iter().map(|need| format!("To ride it, add {need}")));
    if let Some(plan) = &set.checked.plan {
        let from = if plan.parts().needs_settings {
            " It starts from recorded settings: --from SETTINGS."
        } else {
            ""
        };
        lines.push(format!("Ready to ride.{from}"));
        lines.extend(proof.into_iter().flat_map(show::proof));
    }
    lines.join("\n") + "\n"
}

/// How many errors and warnings there are, in words.
fn counted(errors: usize, warnings: usize) -> String {
    match (errors, warnings) {
        (0, warnings) => several(warnings, "warning"),
        (errors, 0) => several(errors, "error"),
        (errors, warnings) => format!("{}, {}", several(errors, "error"), several(warnings, "warning")),
    }
}
