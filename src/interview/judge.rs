//! Owns what the checker says of a bike: its first error in a sentence or two, its warnings, and what
//! it makes of a line that is silent. It has no rules of its own.

use num_rational::Ratio;

use crate::check::check;
use crate::physics::Number;
use crate::plan::{Plan, Setup, Step};
use crate::problem::{Code, Problem, Severity, Sources};
use crate::vocabulary::{Clause, ENTRIES, Entry, Heading, Knob, Part};

use super::draft::Draft;
use super::reading;

/// The longest stretch of a line that is quoted, in characters.
const LONGEST_QUOTE: usize = 40;

/// What a check of a bike finds.
#[derive(Debug, Default)]
pub(super) struct Judged {
    /// The first error.
    pub error: Option<String>,
    pub warnings: Vec<String>,
}

/// Checks a bike file.
pub(super) fn judged(text: &str) -> Judged {
    let mut sources = Sources::default();
    sources.add("", text);
    let problems = check(&sources).problems;
    let of = |severity| problems.iter().filter(move |problem: &&Problem| problem.severity == severity);
    Judged {
        error: of(Severity::Error).next().map(|problem| said(problem, &sources)),
        warnings: of(Severity::Warning).map(|problem| said(problem, &sources)).collect(),
    }
}

/// A problem in a sentence or two. Where it only points at something, that is quoted.
fn said(problem: &Problem, sources: &Sources) -> String {
    let quoted = sources.slice(problem.span).split_whitespace().collect::<Vec<_>>().join(" ");
    let message = if problem.points && !quoted.is_empty() && quoted.chars().count() <= LONGEST_QUOTE {
        format!("At `{quoted}`: {}", problem.message)
    } else {
        problem.message.to_string()
    };
    // the question has an example of its own
    let help = problem.help.as_deref().filter(|_| !problem.shows_a_line);
    let help = help.map_or(String::new(), |help| format!(" {}", sentence(help)));
    sentence(&message) + &help
}

/// A text with a capital letter and an end.
fn sentence(text: &str) -> String {
    let text = text.trim();
    let mut chars = text.chars();
    let first: String = chars.next().map_or(String::new(), |c| c.to_uppercase().collect());
    let end = if text.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{first}{}{end}", chars.as_str())
}

/// A plan of this bike whose steps are an example of the vocabulary.
fn planned(bike: &str, step: Entry) -> Option<Plan> {
    let step = ENTRIES.iter().find(|row| row.entry == step)?;
    let mut sources = Sources::default();
    sources.add("", bike);
    sources.add("", format!("{}\n{}\n", Heading::Steps.row().word, step.example));
    check(&sources).plan
}

/// What the checker makes of an adjuster's line where it says nothing of its start.
pub(super) fn setup(draft: &Draft, part: Part, knob: &Knob) -> Option<Setup> {
    let plan = planned(&draft.alone(part, knob).text(), Entry::Say)?;
    let id = plan.bike().find(part, knob)?;
    Some(plan.bike().get(id).setup.clone())
}

/// The sag that is aimed at where a spring's line is silent, in percent.
pub(super) fn silent_sag(draft: &Draft, part: Part, knob: &Knob) -> Option<(Number, Number)> {
    let mut alone = draft.alone(part, knob);
    let range = reading::range(part, knob, draft.says(part, knob)?)?;
    alone.set(part, knob, range);
    let plan = planned(&alone.text(), Entry::Measure)?;
    let aim = plan.steps().iter().find_map(|step| match step {
        Step::Measure(measure) => Some((measure.low, measure.high, measure.travel?)),
        _ => None,
    });
    let share = |number: Number, travel: Number| number * Ratio::from_integer(100) / travel;
    aim.map(|(low, high, travel)| (share(low, travel), share(high, travel)))
}

/// The first problem of a line that stands alone under a part.
fn first_problem(part: Part, line: &str) -> Option<(Code, String)> {
    let mut sources = Sources::default();
    let (bike, heading) = (Heading::Bike.row().word, Heading::Part.row().word);
    sources.add("", format!("{bike} \"\"\n{heading} {part}\n  {line}\n"));
    let problems = check(&sources).problems;
    let first = problems.iter().find(|problem| problem.is_error())?;
    Some((first.code, said(first, &sources)))
}

/// The problem of an adjuster's name that could not be made out; `None` where it is no near miss, so
/// that the checker has nothing more to say of it than that it is none.
pub(super) fn unnamed(part: Part, line: &str) -> Option<String> {
    let (code, reason) = first_problem(part, line)?;
    (code != Code::LineUnknown).then_some(reason)
}

/// The problem of a line whose first word is nearly one of the language.
pub(super) fn misspelt(part: Part, line: &str) -> Option<String> {
    first_problem(part, line).filter(|(code, _)| *code == Code::WordMisspelt).map(|(_, reason)| reason)
}

/// The problem of a clause of an adjuster, tried on an example of its range.
pub(super) fn clause(part: Part, knob: &Knob, clause: Clause, typed: &str) -> Option<String> {
    let line = format!("{} {}, {}", reading::words(knob), knob.example(), reading::clause(clause, typed));
    first_problem(part, &line).map(|(_, reason)| reason)
}
