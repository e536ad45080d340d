//! Owns the bike as it is declared: which adjusters on which part, each once, plain or split.
//! What one adjuster's line says stands in `adjuster`.

use crate::physics::{Quantity, Unit};
use crate::plan::{PartFacts, Rider, Setup};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{Entry, Knob, Part};

use super::adjuster;
use super::sections::{PartEntry, Sections, told_twice};
use super::values::amount;

/// An adjuster that is declared, whether or not its line can be used.
#[derive(Debug)]
pub(super) struct Declared {
    pub part: Part,
    pub knob: Knob,
    pub span: Span,
    /// Absent where its line has an error or needs what the set does not have.
    pub setup: Option<Setup>,
}

/// A bike as far as it can be made out.
#[derive(Debug, Default)]
pub(super) struct Sketch {
    pub declared: Vec<Declared>,
    pub parts: Vec<PartFacts>,
    /// Some line could not be read, so an adjuster that seems absent may stand there.
    pub unread: bool,
}

pub(super) fn sketch(
    sections: &Sections<'_>,
    rider: Option<&Rider>,
    problems: &mut Vec<Problem>,
    needs: &mut Vec<String>,
) -> Sketch {
    let mut sketch = Sketch { unread: sections.unread, ..Sketch::default() };
    for &(part, _) in &sections.parts {
        sketch.parts.push(facts_of(part, sections, problems));
    }
    for entry in sections.part_entries.iter().filter(|entry| entry.line.entry == Entry::Adjuster) {
        let (Some(part), Some((knob, span))) = (entry.part, entry.line.fields.knob()) else {
            sketch.unread = true;
            continue;
        };
        if let Some(first) = sketch.declared.iter().find(|known| known.part == part && known.knob == *knob) {
            problems.push(told_twice(knob.word(), span, first.span));
            continue;
        }
        let beside = sketch.declared.iter().find(|known| {
            known.part == part
                && (known.knob.plain().as_ref() == Some(knob) || knob.plain().as_ref() == Some(&known.knob))
        });
        if let Some(first) = beside {
            problems.push(
                Problem::new(
                    Code::PlainBesideSplit,
                    span,
                    format!("`{}` and `{}` cannot stand on one part", knob.word(), first.knob.word()),
                )
                .also(first.span, "the other one stands here")
                .help("name either the plain adjuster or the low-speed and the high-speed one"),
            );
        }
        let setup = adjuster::setup(knob, entry.line, rider, problems, needs);
        sketch.declared.push(Declared { part, knob: knob.clone(), span, setup });
    }
    sketch
}

fn facts_of(part: Part, sections: &Sections<'_>, problems: &mut Vec<Problem>) -> PartFacts {
    let mut facts = PartFacts { part, travel: None, stroke: None, read_to: None };
    let of_part = |entry: &&PartEntry<'_>| entry.part == Some(part);
    for entry in sections.part_entries.iter().filter(of_part) {
        let (wanted, slot, other) = match entry.line.entry {
            Entry::Travel => (Some(Part::Fork), &mut facts.travel, "a shock has a `stroke`"),
            Entry::Stroke => (Some(Part::Shock), &mut facts.stroke, "a fork has `travel`"),
            Entry::ReadTo => (None, &mut facts.read_to, ""),
            _ => continue,
        };
        let suspended = matches!(part, Part::Fork | Part::Shock);
        if !suspended || wanted.is_some_and(|wanted| wanted != part) {
            let help = if suspended { other } else { "take this line out" };
            problems.push(
                Problem::new(Code::EntryUnfit, entry.line.word, format!("a {part} does not have this"))
                    .help(help),
            );
            continue;
        }
        if let Some((value, _)) = entry.line.fields.value() {
            let number = amount(value, Unit::Millimetre, 500, problems);
            *slot = number.map(|number| Quantity { number, unit: Unit::Millimetre });
        }
    }
    facts
}
