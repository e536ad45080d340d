//! Owns the bike as it is declared: which adjusters on which part, each once, plain or split.
//! What one adjuster's line says stands in `adjuster`.

use std::collections::BTreeMap;

use crate::language::{EntryView, part};
use crate::physics::Unit;
use crate::plan::{Adjuster, AdjusterId, Bike, PartFacts};
use crate::problem::{Code, Findings, Problem, Refuse, Span, Told};
use crate::vocabulary::{KNOBS, Knob, Part};

use super::adjuster;
use super::bounds::amount;
use super::facts::Facts;
use super::limits::{MEASURED_TO, STROKE, TRAVEL};
use super::sag::{self, Sag};
use super::sections::{PartEntry, Sections, told_twice};
use super::values::found;

/// The most adjusters that a bike may have.
const MOST_ADJUSTERS: usize = 100;

/// An adjuster that is declared, whether or not its line can be used.
#[derive(Debug)]
pub(super) struct Declared {
    pub part: Part,
    pub knob: Knob,
    /// Its name where it is declared.
    pub span: Span,
    /// The sag that is aimed at.
    pub sag: Result<Sag, Told>,
    /// Its place on the bike, where its line can be used.
    pub id: Result<AdjusterId, Told>,
}

/// A bike as far as it can be made out.
#[derive(Debug)]
pub(super) struct Sketch {
    pub declared: Vec<Declared>,
    /// The adjusters whose lines can be used.
    pub bike: Bike,
    /// Where the scale of each adjuster of the bike is written, in the bike's order.
    pub scales: Vec<Span>,
    /// Some line could not be read, so an adjuster that seems absent may stand there.
    pub unread: Option<Told>,
    /// What is said of how far a part moves and cannot be used.
    travel: Vec<(Part, Told)>,
}

impl Sketch {
    /// Whether how far a part moves is said, but not usably, or may be on a line that could not be read.
    pub fn may_say_travel(&self, part: Part) -> Option<Told> {
        let said = self.travel.iter().find(|(known, _)| *known == part);
        said.map(|(_, told)| *told).or(self.unread)
    }
}

pub(super) fn sketch(sections: &Sections<'_>, facts: &Facts, findings: &mut Findings) -> Sketch {
    let mut travel = Vec::new();
    let parts =
        sections.parts.iter().map(|&(part, _)| facts_of(part, sections, &mut travel, findings)).collect();
    let name = sections.bike.as_ref().and_then(|bike| bike.title.clone().ok()).unwrap_or_default();
    let mut sketch = Sketch {
        declared: Vec::new(),
        bike: Bike::new(name, parts),
        scales: Vec::new(),
        unread: sections.unread,
        travel,
    };
    let mut places = Places::new();
    for entry in &sections.part_entries {
        let EntryView::Part(part::Entry::Adjuster(adjuster)) = entry.line.view() else { continue };
        let (part, (knob, span)) = match (entry.part, found(adjuster.knob, findings)) {
            (Some(part), Ok(knob)) => (part, knob),
            (_, Err(told)) => {
                sketch.unread = Some(told);
                continue;
            }
            // its heading is missing, or could not be read
            (None, Ok(_)) => {
                sketch.unread = sketch.unread.or(Told::among(&findings.problems));
                continue;
            }
        };
        if let Some(&first) = places.get(&plain(part, knob)) {
            if !entry.uncertain {
                findings.tell(told_twice(knob.word(), span, first));
            }
            continue;
        }
        if sketch.declared.len() == MOST_ADJUSTERS {
            let problem = Problem::pointing(
                Code::TooManyAdjusters,
                span,
                "this bike has more than a hundred adjusters",
            );
            findings.tell(problem.help("take out the ones you never turn"));
            break;
        }
        named(part, knob, span, entry, &places, findings);
        places.insert(plain(part, knob), span);
        let spoken_of = sketch.may_say_travel(part).filter(|_| sections.may_say_travel(part));
        let facts_of_part = sketch.bike.facts(part);
        let sag = sag::declared(knob, &adjuster, facts_of_part.as_ref(), spoken_of, findings);
        let setup = adjuster::setup((part, knob), &adjuster, facts, findings);
        let id = setup.map(|setup| sketch.bike.add(Adjuster { part, knob: knob.clone(), setup }));
        let scale = adjuster.scale.ok().filter(|_| id.is_ok());
        sketch.scales.extend(scale.map(|(_, span)| span));
        sketch.declared.push(Declared { part, knob: knob.clone(), span, sag, id });
    }
    sketch
}

/// Where each adjuster of a part is declared, by its plain name.
type Places = BTreeMap<(Part, String), Span>;

/// The name of an adjuster as it is compared with others.
fn plain(part: Part, knob: &Knob) -> (Part, String) {
    (part, knob.word().to_lowercase().replace(' ', "-"))
}

/// Tells what is wrong with the name of an adjuster, by itself and beside the others of its part.
fn named(
    part: Part,
    knob: &Knob,
    span: Span,
    entry: &PartEntry<'_>,
    places: &Places,
    findings: &mut Findings,
) {
    findings.extend(taken_name(knob, span));
    if !entry.uncertain {
        findings.extend(plain_beside_split(knob, span, |other| places.get(&plain(part, other)).copied()));
        findings.extend(strange_to(part, knob, span));
    }
}

/// The problem of an adjuster on a part that cannot have it.
fn strange_to(part: Part, knob: &Knob, span: Span) -> Option<Problem> {
    if knob.belongs_to(part) {
        return None;
    }
    let problem = Problem::new(Code::PartWrong, span, format!("a {part} has no `{}`", knob.word()));
    let tyre = matches!(part, Part::FrontTyre | Part::RearTyre);
    Some(if tyre {
        problem.help(format!("write `{}`, the only thing to adjust on a tyre", Knob::Pressure.word()))
    } else {
        problem
            .help(format!("write `{}`: that is the word for a {part}'s pressure", Knob::Air.word()))
            .fix(Knob::Air.word())
    })
}

/// A name of the user's own that is a word of the language would be mistaken for it.
fn taken_name(knob: &Knob, span: Span) -> Option<Problem> {
    let Knob::Own(name) = knob else { return None };
    let plain = name.to_lowercase().replace(' ', "-");
    let taken = KNOBS.iter().any(|row| row.word.replace(' ', "-") == plain) || plain.trim().is_empty();
    taken.then(|| {
        Problem::new(Code::NameReserved, span, format!("you can't use `{name}` as the name of an adjuster"))
            .help("choose another name, or take out the quotes")
    })
}

fn plain_beside_split(knob: &Knob, span: Span, place: impl Fn(&Knob) -> Option<Span>) -> Option<Problem> {
    let others = KNOBS.iter().map(|row| &row.knob);
    let (other, first) = others
        .filter(|other| knob.plain().as_ref() == Some(*other) || other.plain().as_ref() == Some(knob))
        .find_map(|other| place(other).map(|first| (other, first)))?;
    let message = format!("a part can't have both `{}` and `{}`", knob.word(), other.word());
    Some(
        Problem::new(Code::PlainAndSplit, span, message)
            .also(first, "the other one is here")
            .help("keep the plain one, or keep low-speed and high-speed"),
    )
}

/// What a part says of itself beside its adjusters. What it says of its travel and cannot be used goes to `unusable`.
fn facts_of(
    part: Part,
    sections: &Sections<'_>,
    unusable: &mut Vec<(Part, Told)>,
    findings: &mut Findings,
) -> PartFacts {
    let mut facts = PartFacts { part, travel: None, measured_to: None };
    for entry in sections.part_entries.iter().filter(|entry| entry.part == Some(part)) {
        let EntryView::Part(said) = entry.line.view() else { continue };
        let (wanted, length, other, limits) = match said {
            part::Entry::Travel(part::Travel { line: _, length }) => {
                (Some(Part::Fork), length, "write `stroke` for a shock", &TRAVEL)
            }
            part::Entry::Stroke(part::Stroke { line: _, length }) => {
                (Some(Part::Shock), length, "a fork has `travel`", &STROKE)
            }
            part::Entry::MeasuredTo(part::MeasuredTo { line: _, length }) => (None, length, "", &MEASURED_TO),
            part::Entry::Adjuster(_) => continue,
        };
        let suspended = matches!(part, Part::Fork | Part::Shock);
        let fits = suspended && wanted.is_none_or(|wanted| wanted == part);
        let length = if fits {
            found(length, findings).and_then(|(value, _)| amount(value, Unit::Millimetre, limits, findings))
        } else if entry.uncertain {
            // it may be of another part
            let Some(told) = Told::among(&findings.problems) else { continue };
            Err(told)
        } else {
            let help = if suspended { other } else { "take out this line" };
            let message = format!("this line doesn't belong to a {part}");
            Err(findings.refuse(Problem::pointing(Code::PartWrong, entry.line.word, message).help(help)))
        };
        match (length, wanted) {
            (Ok(length), Some(_)) => facts.travel = Some(length),
            (Ok(length), None) => facts.measured_to = Some(length),
            (Err(told), Some(_)) => unusable.push((part, told)),
            (Err(_), None) => {}
        }
    }
    facts
}
