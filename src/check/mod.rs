//! Owns the way from trees to a plan: everything that is wrong with a set, in one run, and the plan
//! where nothing is. It knows nothing of how problems are shown or a plan is ridden.

#![deny(clippy::wildcard_enum_match_arm, clippy::indexing_slicing)]

mod adjuster;
mod advice;
mod backwards;
mod bike;
mod bounds;
mod facts;
mod limits;
mod order;
mod sag;
mod scales;
mod sections;
mod selector;
mod start;
mod steps;
mod table;
mod values;

use crate::language::{Line, LineKind, Tree, parse};
use crate::plan::{Parts, Plan, Step};
use crate::problem::{Code, Findings, Problem, Refuse, SourceId, Sources, Span, Text, Told, is_harmful};
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
    pub needs: Vec<Text>,
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

/// Where the rest of a set is, of which these sources are a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RestOfSet {
    /// There is no more.
    Here,
    /// A file is lacking, which is told: what it may say is not missed.
    Lacking(Told),
    /// In other files, which nobody looks at here: what they say is not missed.
    Elsewhere,
}

/// Reads and checks all sources of a set together. Never fails.
#[must_use]
pub fn check(sources: &Sources) -> Checked {
    check_part(sources, RestOfSet::Here)
}

/// The same for sources that may be a part of a set.
#[must_use]
pub fn check_part(sources: &Sources, rest: RestOfSet) -> Checked {
    let Read { trees, problems } = read(sources);
    check_trees(sources, &trees, problems, rest)
}

/// The same for sources that were read before: their trees, in their order, and the problems of the reading.
#[must_use]
pub fn check_trees(sources: &Sources, trees: &[Tree], problems: Vec<Problem>, rest: RestOfSet) -> Checked {
    let mut findings = Findings { problems, needs: Vec::new() };
    let lacks_files = match rest {
        RestOfSet::Here => None,
        RestOfSet::Lacking(told) => Some(told),
        RestOfSet::Elsewhere => Some(findings.need("the files named in its `use` lines")),
    };
    let (parsed, needed) = (findings.problems.len(), findings.needs.len());
    let lacks_files = lacks_files.or_else(|| trees.iter().find_map(|tree| lacks_a_use(tree, &findings)));
    let sections = Sections::gather(trees, lacks_files, &mut findings);
    let facts = facts::gather(&sections, &mut findings);
    let sketch = bike::sketch(&sections, &facts, &mut findings);
    let spread = steps::spread(&sections, &sketch, &facts, &mut findings);
    if lacks_files.is_some() {
        findings.needs.truncate(needed);
    } else {
        findings.extend(advice::compression_first(&sketch, &spread));
        lacking(&sections, &sketch, &mut findings);
    }
    only_causes(trees, parsed, &mut findings.problems);
    only_units(sources, parsed, &mut findings.problems);
    if trees.iter().any(may_have_lost_an_adjuster) {
        findings.problems.retain(|problem| problem.code != Code::AdjusterNotOnBike);
    }
    let is_clean = |findings: &Findings| Told::among(&findings.problems).or(lacks_files).is_none();
    if is_clean(&findings) {
        findings.extend(order::before_unknown(&spread));
    }
    let is_whole = sections.bike.is_some() && sections.steps.is_some() && sections.doubled.is_none();
    if is_clean(&findings) && is_whole {
        findings.extend(advice::advice(&sketch, &spread, &facts));
        findings.extend(order::order(&sketch, &spread, facts.needs_settings));
    }
    bounds::repair_whole_lines(sources, trees, &mut findings.problems);
    let holds = held(&sections, &sketch);
    let bike_source = sections.bike.as_ref().map(|bike| bike.span.source);
    let scales = sketch.scales.clone();
    let (laps_at, minutes_at) = (facts.laps_at, facts.minutes_at);
    let is_sound = is_clean(&findings) && findings.needs.is_empty();
    let plan = is_sound.then(|| assemble(&sections, sketch, facts, spread, &mut findings));
    let plan = plan.and_then(Result::ok);
    let Findings { mut problems, needs } = findings;
    problems.sort_unstable_by_key(|problem| (problem.span.source, problem.span.start, problem.code));
    Checked { plan, problems, needs, holds, bike_source, scales, laps_at, minutes_at }
}

/// Whether a line of a part could not be read whole, so that an adjuster may be missing for it.
fn may_have_lost_an_adjuster(tree: &Tree) -> bool {
    tree.lines.iter().any(|line| match &line.kind {
        LineKind::Entry(entry) => entry.under == Heading::Part && entry.may_lack_a_clause(),
        LineKind::Blank | LineKind::Heading(_) | LineKind::Unread(_) => false,
    })
}

/// Whether a line that takes another file in could not be read.
fn lacks_a_use(tree: &Tree, findings: &Findings) -> Option<Told> {
    let told = |line: &Line| match &line.kind {
        LineKind::Heading(heading) if heading.heading == Heading::Use => {
            let unfit = |(text, _): (&String, Span)| text.chars().any(is_harmful);
            let is_unfit = heading.fields.first::<String>().is_some_and(unfit);
            heading.broken.or_else(|| findings.told(Code::TextInvisible).filter(|_| is_unfit))
        }
        LineKind::Blank | LineKind::Heading(_) | LineKind::Entry(_) | LineKind::Unread(_) => None,
    };
    tree.lines.iter().find_map(told)
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
        let line = lines.get(after.checked_sub(1)?)?;
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
    let guessed = problems.iter().take(parsed).filter(|problem| problem.code == Code::UnitUnknown);
    // what stands between two commas
    let clause = |span: Span| {
        let text = sources.get(span.source).text().as_bytes();
        let parts = |byte: &u8| matches!(byte, b',' | b'\n');
        let start =
            text.get(..span.start).unwrap_or_default().iter().rposition(parts).map_or(0, |comma| comma + 1);
        let mut rest = text.get(span.end..).unwrap_or_default().iter();
        let end = rest.position(parts).map_or(text.len(), |comma| span.end + comma);
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
    findings: &mut Findings,
) -> Result<Plan, Told> {
    let title = match &sections.plan {
        Some(plan) => Some(plan.title.clone()?),
        None => None,
    };
    let plan = Plan::new(Parts {
        title,
        author: facts.author,
        rider: facts.rider,
        bike: sketch.bike,
        loop_: facts.loop_,
        laps: facts.laps,
        minutes: facts.minutes,
        change: facts.change,
        effort: facts.effort,
        compare_twice: facts.compare_twice,
        needs_settings: facts.needs_settings,
        steps: spread.into_iter().map(|(step, _)| step).collect(),
    });
    plan.ok_or_else(|| match &sections.steps {
        Some(steps) => findings.refuse(steps::nothing_on_this_bike(steps.span)),
        None => findings.need(STEPS),
    })
}

/// What a plan without steps lacks.
const STEPS: &str =
    "steps: name a plan file too, or add a line `steps` with lines such as `tune every rebound` below it";

/// What a ride needs and the set does not have.
fn lacking(sections: &Sections<'_>, sketch: &Sketch, findings: &mut Findings) {
    if sections.bike.is_none() {
        findings.need("a bike file, with a line such as `bike \"My bike\"`");
    } else if sketch.declared.is_empty() && sketch.unread.is_none() {
        findings.need("an adjuster on the bike: lines such as `part fork` and `rebound 0 to 18 clicks`");
    }
    if sections.steps.is_none() {
        findings.need(STEPS);
    }
    findings.needs.dedup();
}

fn held(sections: &Sections<'_>, sketch: &Sketch) -> Vec<String> {
    let mut holds = Vec::new();
    let mut titled = |word: &str, section: &Option<sections::Section>| {
        if let Some(Ok(title)) = section.as_ref().map(|section| section.title.as_ref()) {
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
