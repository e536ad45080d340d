//! `clickwise check`: everything that is wrong with a set, in one run.

use std::path::PathBuf;
use std::sync::Arc;

use crate::problem::Severity;
use crate::record::files;
use crate::show;
use crate::vocabulary::several;
use crate::walk::{Allowed, Proof, over_budget, prove};

use super::Exit;
use super::args::{CheckOptions, MessageFormat};
use super::repair::repaired;
use super::screen::{Screen, print};
use super::set::Set;

pub(super) fn run(options: &CheckOptions, screen: Screen) -> Exit {
    checked(options, screen).map_or_else(|exit| exit, |(exit, _)| exit)
}

/// Checks and tells; gives the status, and the files of the set with those that they use.
///
/// # Errors
/// Where a file cannot be read, or the result cannot be printed.
pub(super) fn checked(options: &CheckOptions, screen: Screen) -> Result<(Exit, Vec<PathBuf>), Exit> {
    let read = if options.fix { repaired(&options.files, screen) } else { Set::read(&options.files, screen) };
    let mut set = read?;
    let proof = proven(&mut set);
    let (sources, checked) = (&set.sources, &set.checked);
    let report = match options.message_format {
        MessageFormat::Human => {
            set.tell(screen);
            screen.fitted(&result(&set, proof.as_ref()))
        }
        MessageFormat::Json => show::json_report(sources, &checked.problems, &checked.needs, proof.as_ref()),
        MessageFormat::Sarif => show::sarif_report(sources, &checked.problems),
    };
    match print(&report) {
        Err(error) => {
            screen.say(&format!("The result cannot be printed: {}", files::in_words(&error)));
            Err(Exit::Disk)
        }
        Ok(()) if set.checked.has_errors() => Ok((Exit::Errors, set.paths)),
        Ok(()) => Ok((Exit::Done, set.paths)),
    }
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
