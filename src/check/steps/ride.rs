//! Owns what `ride` means: laps without a verdict, so many or those of the warm-up.

use crate::language::RideNode;
use crate::language::steps::Ride;
use crate::plan::Step;
use crate::problem::{Code, Problem, Refuse, Span, Told};

use super::Spreader;
use crate::check::facts::laps;
use crate::check::limits::LAPS_AT_ONCE;
use crate::check::values::found;

impl Spreader<'_> {
    pub(super) fn ride(&mut self, ride: &Ride<'_>) -> Result<(), Told> {
        let Ride { line: _, length } = ride;
        let (length, span) = found(*length, self.findings)?;
        let (laps, warm_up) = match length {
            RideNode::Laps(value) => (laps(value, &LAPS_AT_ONCE, self.findings)?, false),
            RideNode::WarmUp => (self.warm_up(span)?, true),
        };
        self.put(Step::Ride { laps, warm_up }, span);
        Ok(())
    }

    /// The laps of the loop's warm-up.
    fn warm_up(&mut self, span: Span) -> Result<u32, Told> {
        if let Some(laps) = self.facts.warm_up {
            return laps;
        }
        if let Some(told) = self.sections.unread.or(self.sections.doubled) {
            return Err(told);
        }
        Err(if self.sections.loop_.is_none() {
            self.findings
                .need("a loop with a warm-up: lines such as `loop \"Mill loop\"` and `warm-up 2 laps`")
        } else {
            self.findings.refuse(
                Problem::new(Code::WarmUpUnknown, span, "the loop has no number of warm-up laps")
                    .help("add a line to the loop, such as `warm-up 2 laps`"),
            )
        })
    }
}
