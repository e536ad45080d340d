//! Owns what each question wants, and the reading of a place that a person tells.
//! It knows nothing of what follows from an answer.

use crate::physics::mixed_or_decimal;
use crate::plan::{AdjusterId, Condition, Off, Scale};

use super::{Answer, Ask, Mismatch, OffScale, Round, Session, Stated, Wanted};

impl Session {
    pub(super) fn unfit(&self, ask: &Ask, answer: &Answer) -> Mismatch {
        Mismatch::Unfit { answer: Box::new(answer.clone()), wanted: self.wanted(ask) }
    }

    /// What a question wants.
    #[must_use]
    pub fn wanted(&self, ask: &Ask) -> Wanted {
        match ask {
            Ask::Before(id) => Wanted::Before(*id),
            Ask::InNow(id) => Wanted::InNow(*id),
            Ask::Count(id) if self.before(*id).is_none() => Wanted::BeforeAndCount(*id),
            Ask::Count(id) => Wanted::Count(*id),
            Ask::Record(Condition::Own { unit: None, .. }) => Wanted::Text,
            Ask::Record(condition) => Wanted::Quantity(condition.units()),
            Ask::Trial { .. } => Wanted::Trial,
            Ask::Pairs { .. } => Wanted::Pairs,
            Ask::Which { .. } => Wanted::Which,
            Ask::Say(_) | Ask::Fit { .. } | Ask::Ride { .. } | Ask::Swap { .. } => Wanted::Done,
            Ask::Sag { .. } if self.measuring().is_some_and(|measure| measure.travel.is_some()) => {
                Wanted::SagOrShare
            }
            Ask::Sag { .. } => Wanted::Sag,
            Ask::Stop { .. } => {
                let measure = self.measuring();
                let aim = measure
                    .map(|measure| (measure.aim() / measure.measured_to).round() * measure.measured_to);
                Wanted::SagOrRideAnyway(aim)
            }
            Ask::Baseline(_) | Ask::FirstOfPair { .. } => Wanted::Ridden,
            Ask::Way(id) => Wanted::Way(*id),
            Ask::Lap { round: Round::Second, .. } => Wanted::SecondVerdict,
            Ask::Lap { round: Round::First | Round::Again | Round::Trial, .. } => Wanted::Verdict,
        }
    }

    /// An adjuster's scale, once its positions are known.
    #[must_use]
    pub fn scale(&self, id: AdjusterId) -> Option<&Scale> {
        self.dial(id).map(crate::plan::Dial::scale).or(self.adjuster(id).setup.scale())
    }

    /// The position at which an adjuster was found, where that was asked and known.
    #[must_use]
    pub fn before_at(&self, id: AdjusterId) -> Option<u32> {
        self.position(id, self.before(id)?).ok()
    }

    /// The position that a person tells on an adjuster whose positions are known.
    ///
    /// # Errors
    /// Where it is none.
    pub fn position(&self, id: AdjusterId, told: &Stated) -> Result<u32, Mismatch> {
        let scale = self.scale(id).ok_or(Mismatch::NotCounted)?;
        let refused = |why| Mismatch::NoPosition { adjuster: id, told: Box::new(told.clone()), why };
        let named = |called: &str| scale.named(called).ok_or_else(|| refused(OffScale::NotOne));
        match told {
            // positions may be called "1", "2", "3"
            Stated::Value(number, None) if scale.unit().is_none() => named(&mixed_or_decimal(*number)),
            Stated::Value(_, Some(unit)) if scale.unit() != Some(*unit) => Err(refused(OffScale::OtherUnit)),
            Stated::Value(number, _) => scale.position(*number).map_err(|off| {
                refused(match off {
                    Off::Between(below, above) => OffScale::Between(below, above),
                    Off::Outside(_) => OffScale::NotOne,
                })
            }),
            Stated::Name(called) => named(called),
        }
    }
}
