//! Owns the bike as it is declared: which adjusters on which part, each once, plain or split.
//! What one adjuster's line says stands in `adjuster`.

use std::collections::BTreeMap;

use crate::physics::Unit;
use crate::plan::{Adjuster, AdjusterId, Bike, PartFacts};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{Entry, KNOBS, Knob, Part};

use super::adjuster;
use super::bounds::amount;
use super::facts::Facts;
use super::limits::{READ_TO, STROKE, TRAVEL};
use super::sag::{self, Sag};
use super::sections::{PartEntry, Sections, told_twice};

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
    pub sag: Sag,
    /// Absent where its line has an error or needs what the set does not have.
    pub id: Option<AdjusterId>,
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
    pub unread: bool,
}

pub(super) fn sketch(
    sections: &Sections<'_>,
    facts: &Facts,
    problems: &mut Vec<Problem>,
    needs: &mut Vec<String>,
) -> Sketch {
    let parts = sections.parts.iter().map(|&(part, _)| facts_of(part, sections, problems)).collect();
    let mut unread = sections.unread;
    let mut declared: Vec<Declared> = Vec::new();
    let mut scales = Vec::new();
    let name = sections.bike.as_ref().and_then(|bike| bike.title.clone()).unwrap_or_default();
    let mut bike = Bike::new(name, parts);
    let mut places: BTreeMap<(Part, String), Span> = BTreeMap::new();
    for entry in sections.part_entries.iter().filter(|entry| entry.line.entry == Entry::Adjuster) {
        let (Some(part), Some((knob, span))) = (entry.part, entry.line.fields.knob()) else {
            unread = true;
            continue;
        };
        let names = |knob: &Knob| (part, knob.word().to_lowercase().replace(' ', "-"));
        if let Some(&first) = places.get(&names(knob)) {
            if !entry.uncertain {
                problems.push(told_twice(knob.word(), span, first));
            }
            continue;
        }
        if declared.len() == MOST_ADJUSTERS {
            let problem =
                Problem::new(Code::TooManyAdjusters, span, "this bike has more than a hundred adjusters");
            problems.push(problem.help("leave out those that are never turned"));
            break;
        }
        if let Some(problem) = taken_name(knob, span) {
            problems.push(problem);
        }
        if !entry.uncertain {
            problems.extend(plain_beside_split(knob, span, |other| places.get(&names(other)).copied()));
        }
        places.insert(names(knob), span);
        if let Some(problem) = strange_to(part, knob, span).filter(|_| !entry.uncertain) {
            problems.push(problem);
        }
        let spoken_of = sections.may_say_travel(part);
        let sag = sag::declared(knob, entry.line, bike.facts(part).as_ref(), spoken_of, problems);
        let setup = adjuster::setup((part, knob), entry.line, facts, problems, needs);
        let id = setup.map(|setup| bike.add(Adjuster { part, knob: knob.clone(), setup }));
        scales.extend(id.and(entry.line.fields.scale()).map(|(_, span)| span));
        declared.push(Declared { part, knob: knob.clone(), span, sag, id });
    }
    Sketch { declared, bike, scales, unread }
}

/// The problem of an adjuster on a part that cannot have it.
fn strange_to(part: Part, knob: &Knob, span: Span) -> Option<Problem> {
    if knob.belongs_to(part) {
        return None;
    }
    let problem = Problem::new(Code::EntryUnfit, span, format!("a {part} has no `{}`", knob.word()));
    let tyre = matches!(part, Part::FrontTyre | Part::RearTyre);
    Some(if tyre {
        problem.help(format!("a tyre has a `{}`", Knob::Pressure.word()))
    } else {
        problem
            .help(format!("the pressure of a {part} is called `{}`", Knob::Air.word()))
            .fix(Knob::Air.word())
    })
}

/// A name of the user's own that is a word of the language would be mistaken for it.
fn taken_name(knob: &Knob, span: Span) -> Option<Problem> {
    let Knob::Own(name) = knob else { return None };
    let plain = name.to_lowercase().replace(' ', "-");
    let taken = KNOBS.iter().any(|row| row.word.replace(' ', "-") == plain) || plain.trim().is_empty();
    taken.then(|| {
        Problem::new(
            Code::NameReserved,
            span,
            format!("`{name}` cannot be the name of an adjuster of your own"),
        )
        .help("choose another name, or write the adjuster's own word without quotes")
    })
}

fn plain_beside_split(knob: &Knob, span: Span, place: impl Fn(&Knob) -> Option<Span>) -> Option<Problem> {
    let others = KNOBS.iter().map(|row| &row.knob);
    let (other, first) = others
        .filter(|other| knob.plain().as_ref() == Some(*other) || other.plain().as_ref() == Some(knob))
        .find_map(|other| place(other).map(|first| (other, first)))?;
    let message = format!("`{}` and `{}` cannot stand on one part", knob.word(), other.word());
    Some(
        Problem::new(Code::PlainBesideSplit, span, message)
            .also(first, "the other one stands here")
            .help("name either the plain adjuster or the low-speed and the high-speed one"),
    )
}

fn facts_of(part: Part, sections: &Sections<'_>, problems: &mut Vec<Problem>) -> PartFacts {
    let mut facts = PartFacts { part, travel: None, read_to: None };
    let of_part = |entry: &&PartEntry<'_>| entry.part == Some(part);
    for entry in sections.part_entries.iter().filter(of_part) {
        let (wanted, slot, other, limits) = match entry.line.entry {
            Entry::Travel => (Some(Part::Fork), &mut facts.travel, "a shock has a `stroke`", &TRAVEL),
            Entry::Stroke => (Some(Part::Shock), &mut facts.travel, "a fork has `travel`", &STROKE),
            Entry::ReadTo => (None, &mut facts.read_to, "", &READ_TO),
            _ => continue,
        };
        let suspended = matches!(part, Part::Fork | Part::Shock);
        if !suspended || wanted.is_some_and(|wanted| wanted != part) {
            if !entry.uncertain {
                let message = format!("a {part} does not have this");
                let help = if suspended { other } else { "leave this line out" };
                problems.push(Problem::new(Code::EntryUnfit, entry.line.word, message).help(help));
            }
            continue;
        }
        if let Some((value, _)) = entry.line.fields.value() {
            *slot = amount(value, Unit::Millimetre, limits, problems);
        }
    }
    facts
}
