//! Owns the way from trees to a plan: everything that is wrong with a set, in one run, and the plan
//! where nothing is. It knows nothing of how problems are shown or a plan is ridden.

mod adjuster;
mod advice;
mod backwards;
mod bike;
mod bounds;
mod facts;
mod limits;
mod measure;
mod order;
mod pairs;
mod sag;
mod scales;
mod sections;
mod selector;
mod start;
mod steps;
mod values;

use crate::language::{Line, LineKind, Tree, parse};
use crate::plan::{Draft, Plan, Step};
use crate::problem::{Code, Problem, SourceId, Sources, Span, is_harmful};
use crate::vocabulary::{Heading, several};

use bike::Sketch;
use sections::Sections;

/// What a check of a set finds.
#[derive(Debug, Clone)]
pub struct Checked {
    /// The plan, where there is no error and nothing is needed.
    pub plan: Option<Plan>,
    /// Everything found, file by file, from the top.
    pub problems: Vec<Problem>,
    /// What a ride still needs, a sentence each, where the set is only a part.
    pub needs: Vec<String>,
    /// What the set holds, in a few words each: `bike "..."`, `3 adjusters`.
    pub holds: Vec<String>,
    /// The source in which the bike stands.
    pub bike_source: Option<SourceId>,
    /// Where the scale of each adjuster of the plan's bike is written, in the bike's order.
    pub scales: Vec<Span>,
    /// Where the plan says how many laps it may take.
    pub laps_at: Option<Span>,
    /// Where it says how long it may take.
    pub minutes_at: Option<Span>,
}

impl Checked {
    /// Whether something stops a ride that is wrong, not merely absent.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.problems.iter().any(Problem::is_error)
    }
}

/// The trees of all sources of a set, in their order, and what is wrong with what was read.
#[derive(Debug, Clone, Default)]
pub struct Read {
    pub trees: Vec<Tree>,
    pub problems: Vec<Problem>,
}

/// Reads all sources of a set. Never fails.
#[must_use]
pub fn read(sources: &Sources) -> Read {
    let mut read = Read::default();
    for (id, source) in sources.iter() {
        let (tree, mut found) = parse(id, source.text());
        read.trees.push(tree);
        read.problems.append(&mut found);
    }
    read
}

/// Reads and checks all sources of a set together. Never fails.
#[must_use]
pub fn check(sources: &Sources) -> Checked {
    check_part(sources, false)
}

/// The same for a set of which a file may be lacking: what that file may say is then not missed.
#[must_use]
pub fn check_part(sources: &Sources, lacks_files: bool) -> Checked {
    let Read { trees, problems } = read(sources);
    check_trees(sources, &trees, problems, lacks_files)
}

/// The same for sources that were read before: their trees, in their order, and the problems of the reading.
#[must_use]
pub fn check_trees(
    sources: &Sources,
    trees: &[Tree],
    mut problems: Vec<Problem>,
    lacks_files: bool,
) -> Checked {
    let parsed = problems.len();
    let lacks_files = lacks_files || trees.iter().any(lacks_a_use);
    let sections = Sections::gather(trees, lacks_files, &mut problems);
    let mut needs = Vec::new();
    let facts = facts::gather(&sections, &mut problems);
    let sketch = bike::sketch(&sections, &facts, &mut problems, &mut needs);
    let spread = steps::spread(&sections, &sketch, &facts, &mut problems, &mut needs);
    if lacks_files {
        needs.clear();
    } else {
        problems.extend(advice::compression_first(&sketch, &spread));
        lacking(&sections, &sketch, &mut needs);
    }
    let holds = held(&sections, &sketch);
    let bike_source = sections.bike.as_ref().map(|bike| bike.span.source);
    only_causes(trees, parsed, &mut problems);
    only_units(sources, parsed, &mut problems);
    if trees.iter().any(may_have_lost_an_adjuster) {
        problems.retain(|problem| problem.code != Code::AdjusterAbsent);
    }
    if !lacks_files && !problems.iter().any(Problem::is_error) {
        problems.extend(order::before_unknown(&spread));
    }
    let clean = !problems.iter().any(Problem::is_error);
    if clean && !lacks_files && sections.bike.is_some() && sections.steps.is_some() && !sections.doubled {
        problems.extend(advice::advice(&sketch, &spread, &facts));
        problems.extend(order::order(&sketch, &spread, facts.needs_settings));
    }
    bounds::repair_whole_lines(sources, trees, &mut problems);
    problems.sort_unstable_by_key(|problem| (problem.span.source, problem.span.start, problem.code));
    let sound = needs.is_empty() && clean && !lacks_files;
    let scales = sketch.scales.clone();
    let (laps_at, minutes_at) = (facts.laps_at, facts.minutes_at);
    let plan = sound.then(|| assemble(&sections, sketch, facts, spread)).flatten();
    Checked { plan, problems, needs, holds, bike_source, scales, laps_at, minutes_at }
}

/// Whether a line of a part could not be read whole, so that an adjuster may be missing for it.
fn may_have_lost_an_adjuster(tree: &Tree) -> bool {
    tree.lines.iter().any(|line| match &line.kind {
        LineKind::Entry(entry) => {
            let lost = entry.broken || entry.lost_clause || entry.clauses.iter().any(|clause| clause.broken);
            entry.under == Heading::Part && lost
        }
        _ => false,
    })
}

/// Whether a line that takes another file in could not be read.
fn lacks_a_use(tree: &Tree) -> bool {
    let mut uses = tree.lines.iter().filter_map(|line| match &line.kind {
        LineKind::Heading(heading) if heading.heading == Heading::Use => Some(heading),
        _ => None,
    });
    let unfit = |text: &str| text.chars().any(is_harmful);
    uses.any(|line| line.broken || line.fields.text().is_none_or(|(text, _)| unfit(text)))
}

/// Of what follows on a line that cannot be read on from some place, only that is said. `parsed`
/// problems come from the reading.
fn only_causes(trees: &[Tree], parsed: usize, problems: &mut Vec<Problem>) {
    let lines: Vec<&Line> = trees.iter().flat_map(|tree| &tree.lines).collect();
    if lines.iter().all(|line| line.doubtful_from.is_none()) {
        return;
    }
    let line_of = |place: Span| {
        let after =
            lines.partition_point(|line| (line.span.source, line.span.start) <= (place.source, place.start));
        let line = lines[after.checked_sub(1)?];
        let end = line.span.end.max(line.span.start + 1);
        (line.span.source == place.source && place.start < end).then_some(line)
    };
    let mut index = 0;
    problems.retain(|problem| {
        index += 1;
        let doubtful = line_of(problem.span).and_then(|line| line.doubtful_from);
        index <= parsed || doubtful.is_none_or(|from| problem.span.start < from)
    });
}

/// Of amounts whose unit is only guessed, that of both ends of a range, only that is said. `parsed` problems come
/// from the reading.
fn only_units(sources: &Sources, parsed: usize, problems: &mut Vec<Problem>) {
    let guessed = problems[..parsed].iter().filter(|problem| problem.code == Code::UnitUnknown);
    // what stands between two commas
    let clause = |span: Span| {
        let text = sources.get(span.source).text().as_bytes();
        let parts = |byte: &u8| matches!(byte, b',' | b'\n');
        let start = text[..span.start].iter().rposition(parts).map_or(0, |comma| comma + 1);
        let end = text[span.end..].iter().position(parts).map_or(text.len(), |comma| span.end + comma);
        Span { start, end, ..span }
    };
    let mut guessed: Vec<Span> = guessed.map(|problem| clause(problem.span)).collect();
    guessed.sort_unstable_by_key(|span| (span.source, span.start));
    if guessed.is_empty() {
        return;
    }
    let mut index = 0;
    problems.retain(|problem| {
        index += 1;
        let own = problem.span;
        let next = guessed.partition_point(|unit| (unit.source, unit.end) <= (own.source, own.start));
        let within = guessed.get(next).is_some_and(|unit| unit.source == own.source && unit.start < own.end);
        index <= parsed || !within
    });
}

fn assemble(
    sections: &Sections<'_>,
    sketch: Sketch,
    facts: facts::Facts,
    spread: Vec<(Step, Span)>,
) -> Option<Plan> {
    Plan::new(Draft {
        title: sections.plan.as_ref().and_then(|plan| plan.title.clone()),
        author: facts.author,
        rider: facts.rider,
        bike: sketch.bike,
        trail: facts.trail,
        laps: facts.laps,
        minutes: facts.minutes,
        change: facts.change,
        effort: facts.effort,
        second_question: facts.second_question,
        needs_settings: facts.needs_settings,
        steps: spread.into_iter().map(|(step, _)| step).collect(),
    })
}

/// What a ride needs and the set does not have.
fn lacking(sections: &Sections<'_>, sketch: &Sketch, needs: &mut Vec<String>) {
    if sections.bike.is_none() {
        needs.push("a bike: a file with a line such as  bike \"My bike\"".to_owned());
    } else if sketch.declared.is_empty() && !sketch.unread {
        needs.push(
            "an adjuster on the bike: lines such as  part fork  and  rebound 0 to 18 clicks".to_owned(),
        );
    }
    if sections.steps.is_none() {
        needs.push("steps: a line  steps  and below it what is done, such as  tune every rebound".to_owned());
    }
    needs.dedup();
}

fn held(sections: &Sections<'_>, sketch: &Sketch) -> Vec<String> {
    let mut holds = Vec::new();
    let mut titled = |word: &str, section: &Option<sections::Section>| {
        if let Some(title) = section.as_ref().and_then(|section| section.title.as_ref()) {
            holds.push(format!("{word} \"{title}\""));
        }
    };
    titled("plan", &sections.plan);
    titled("bike", &sections.bike);
    titled("rider", &sections.rider);
    let count = sketch.declared.len();
    if count > 0 {
        holds.push(several(count, "adjuster"));
    }
    holds
}
