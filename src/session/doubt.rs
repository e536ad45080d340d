//! Owns which answers are odd enough to be asked for once more: most are a slip of a digit. The
//! bounds are common practice, no source. It knows nothing of how they are asked for.

use crate::physics::Number;
use crate::plan::AdjusterId;

use super::readings::{far_apart, sag};
use super::{Answer, Ask, Session};

/// Why an answer is odd.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    /// Two readings of one setting that are more than a tenth of the travel apart; in mm.
    Apart(Number),
    /// Less than 2 % of the travel.
    Little,
    /// More than 60 % of the travel.
    Much,
    /// More than half of the adjuster's range would be changed, from one position to another.
    Far { adjuster: AdjusterId, from: u32, to: u32 },
}

impl Session {
    /// Why an answer to the present question is odd; `None` where it is not, or does not fit.
    #[must_use]
    pub fn doubt(&self, answer: &Answer) -> Option<Doubt> {
        let (fit, stands_at) = match self.ask()? {
            Ask::Sag { fit, .. } => (fit, fit.to),
            // it is read again where it is
            Ask::Stop { fit, .. } => (fit, fit.from.unwrap_or(fit.to)),
            Ask::Before(_)
            | Ask::Count(_)
            | Ask::InNow(_)
            | Ask::Record(_)
            | Ask::Say(_)
            | Ask::Fit { .. }
            | Ask::Ride { .. }
            | Ask::Baseline(_)
            | Ask::Way(_)
            | Ask::Lap { .. }
            | Ask::Trial { .. }
            | Ask::Pairs { .. }
            | Ask::Swap { .. }
            | Ask::FirstOfPair { .. }
            | Ask::Which { .. } => return None,
        };
        let measure = self.measuring()?;
        let (place, first, second) = answer.readings()?;
        let at = match place {
            Some(place) => self.position(fit.adjuster, place).ok()?,
            None => stands_at,
        };
        let next = self.answer(answer).ok()?;
        if let Some(apart) = second.and_then(|second| far_apart(measure, first, second)) {
            return Some(Doubt::Apart(apart));
        }
        let sag = sag(measure, first, second).ok()?;
        if let Some(travel) = measure.travel {
            let share = sag * Number::from_integer(100);
            if share < travel * Number::from_integer(2) {
                return Some(Doubt::Little);
            }
            if share > travel * Number::from_integer(60) {
                return Some(Doubt::Much);
            }
        }
        let scale = self.scale(fit.adjuster)?;
        match next.ask() {
            Some(Ask::Sag { fit: then, .. })
                // of a few listed coils the next is easily half the list away
                if then.adjuster == fit.adjuster
                    && !scale.is_list()
                    && then.to.abs_diff(at) > scale.top() / 2 =>
            {
                Some(Doubt::Far { adjuster: fit.adjuster, from: at, to: then.to })
            }
            _ => None,
        }
    }

    /// The sag in mm of an answer, where it is one to the running measurement.
    #[must_use]
    pub fn sag_told(&self, answer: &Answer) -> Option<Number> {
        let (_, first, second) = answer.readings()?;
        sag(self.measuring()?, first, second).ok()
    }
}
