//! Owns what `measure` means: which springs can be measured, to which window.

use crate::language::steps::Measure;
use crate::physics::{Number, Unit, to_billionths};
use crate::plan::{self, AdjusterId, PartFacts, Step};
use crate::problem::{Code, Problem, Refuse, Span, Told};
use crate::vocabulary::{Clause, Knob, Part, unit_word};

use super::Spreader;
use crate::check::bike::Declared;
use crate::check::sag::{Sag, silent, travel_line};
use crate::check::values::found;

impl Spreader<'_> {
    /// Spreads a `measure` over the springs that it means.
    pub(super) fn measure(&mut self, measure: &Measure<'_>) -> Result<(), Told> {
        let Measure { line, which, if_fitted } = measure;
        let (which, span) = found(*which, self.findings)?;
        for chosen in self.chosen(line, (which, span), *if_fitted) {
            if !chosen.knob.is_spring() {
                let message = format!("you can't measure sag on `{}`", chosen.knob.word());
                return Err(self.findings.refuse(Problem::new(Code::MeasureNoSag, span, message).help(
                    format!(
                        "write `measure every spring`: only `{}` and `{}` have sag",
                        Knob::Air.word(),
                        Knob::Coil.word()
                    ),
                )));
            }
            // one that cannot be used is told, and the others are judged all the same
            let _ = chosen.id.and_then(|adjuster| self.spring(chosen, adjuster, span));
        }
        Ok(())
    }

    fn spring(&mut self, chosen: &Declared, adjuster: AdjusterId, span: Span) -> Result<(), Told> {
        let silent = PartFacts { part: chosen.part, travel: None, measured_to: None };
        let facts = self.sketch.bike.facts(chosen.part).unwrap_or(silent);
        let (low, high) = match chosen.sag? {
            Sag::Window(low, high) => (low, high),
            Sag::Silent => self.silent_window(chosen.part, facts.travel, span)?,
        };
        // as sags are kept
        let Some((low, high)) = to_billionths(low).zip(to_billionths(high)) else {
            let problem = Problem::new(Code::SagNotARange, span, "you can't ride with this sag");
            return Err(self.findings.refuse(problem));
        };
        let preload = self.sketch.bike.find(chosen.part, &Knob::Preload);
        let in_mm = |id: &_| self.sketch.bike.get(*id).setup.unit() == Some(Unit::Millimetre);
        let step = Step::Measure(plan::Measure {
            adjuster,
            low,
            high,
            silent: chosen.sag == Ok(Sag::Silent),
            travel: facts.travel,
            measured_to: facts.reading_error(),
            preload: preload.filter(in_mm),
        });
        self.put(step, span);
        Ok(())
    }

    /// The window of common practice, in mm.
    fn silent_window(
        &mut self,
        part: Part,
        travel: Option<Number>,
        span: Span,
    ) -> Result<(Number, Number), Told> {
        let (low, high) = silent(part);
        let share = format!("{} to {} {}", low, high, unit_word(Unit::Percent));
        let Some(travel) = travel else {
            let said = self.sketch.may_say_travel(part).filter(|_| self.sections.may_say_travel(part));
            return Err(said.unwrap_or_else(|| {
                self.findings.refuse(
                    Problem::new(
                        Code::TravelMissing,
                        span,
                        format!("the {part} has no travel or stroke, so sag can't be worked out"),
                    )
                    .help(travel_line(part)),
                )
            }));
        };
        self.findings.tell(
            Problem::new(Code::SagDefault, span, format!("the {part} has no target sag, so {share} is used"))
                .help(format!(
                    "that is common practice; to choose your own, add `{} {share}`",
                    Clause::Sag.row().words
                )),
        );
        let hundred = Number::from_integer(100);
        Ok((travel * low / hundred, travel * high / hundred))
    }
}
