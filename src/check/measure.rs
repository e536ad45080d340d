//! Owns the step that measures springs: which can be measured, to which window.
//! It knows nothing of how readings are judged.

use crate::language::EntryLine;
use crate::physics::{Number, Unit, to_billionths};
use crate::plan::{Measure, Step};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{Clause, Knob, Part, unit_word};

use super::sag::{Sag, silent, travel_line};
use super::steps::Spreader;

impl Spreader<'_> {
    /// Spreads a `measure` over the springs that it means.
    pub(super) fn measure(&mut self, line: &EntryLine) {
        let span = line.fields.which().map_or(line.word, |(_, span)| span);
        for chosen in self.chosen(line) {
            if !chosen.knob.is_spring() {
                let message = format!("`{}` cannot be measured by its sag", chosen.knob.word());
                self.problems.push(Problem::new(Code::MeasureUnfit, span, message).help(format!(
                    "only `{}` and `{}` can: write  measure every spring",
                    Knob::Air.word(),
                    Knob::Coil.word()
                )));
                return;
            }
            let Some(adjuster) = chosen.id else { continue };
            let Some(facts) = self.sketch.bike.facts(chosen.part) else { continue };
            let aim = match chosen.sag {
                Sag::Broken => continue,
                Sag::Window(low, high) => Some((low, high)),
                Sag::Silent => self.silent_window(chosen.part, facts.travel, span),
            };
            // as sags are kept
            let Some((low, high)) = aim.and_then(|(low, high)| to_billionths(low).zip(to_billionths(high)))
            else {
                continue;
            };
            let preload = self.sketch.bike.find(chosen.part, &Knob::Preload);
            let in_mm = |id: &_| self.sketch.bike.get(*id).setup.unit() == Some(Unit::Millimetre);
            let step = Step::Measure(Measure {
                adjuster,
                low,
                high,
                silent: chosen.sag == Sag::Silent,
                travel: facts.travel,
                read_to: facts.reading_error(),
                preload: preload.filter(in_mm),
            });
            self.put(step, span);
        }
    }

    /// The window of common practice, in mm.
    fn silent_window(&mut self, part: Part, travel: Option<Number>, span: Span) -> Option<(Number, Number)> {
        let (low, high) = silent(part);
        let share = format!("{} to {} {}", low, high, unit_word(Unit::Percent));
        let Some(travel) = travel else {
            if !self.sections.may_say_travel(part) {
                self.problems.push(
                    Problem::new(
                        Code::TravelMissing,
                        span,
                        format!("the {part} does not say how far it can move, so its sag has no measure"),
                    )
                    .help(travel_line(part)),
                );
            }
            return None;
        };
        self.problems.push(
            Problem::new(Code::SagSilent, span, format!("the {part} names no sag, so {share} is aimed at"))
                .help(format!(
                    "common practice; a clause such as  {} {share}  says it",
                    Clause::Sag.row().words
                )),
        );
        let hundred = Number::from_integer(100);
        Some((travel * low / hundred, travel * high / hundred))
    }
}
