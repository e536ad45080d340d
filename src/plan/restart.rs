//! Owns how a plan begins again from recorded settings, and with counts made anew. It knows nothing
//! of the file in which they are, nor of the words in which a rider is told what became of them.

use num_traits::Zero;

use super::{AdjusterId, Dial, Goal, Off, Plan, Reading, Scale, Setup, Step};
use crate::physics::{Number, Quantity, Unit};
use crate::search::Direction;
use crate::vocabulary::End;

/// One adjuster's setting as it was recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Kept {
    Name(String),
    Value {
        number: Number,
        unit: Unit,
        /// From which end it was counted, where that is a question.
        counted: Option<End>,
        /// Both ends as they were counted then, the lower number first.
        range: Option<(Number, Number)>,
    },
}

/// Why a recorded setting is no position of a scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotHere {
    /// It is outside of the range.
    Outside,
    /// It is none of the positions.
    NoPosition,
    /// It is between these two positions.
    Between(u32, u32),
    /// It was counted from the other end than here, and its range then is not recorded.
    RangeUnknown,
}

/// Why a bike cannot take a recorded setting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unfit {
    /// It was recorded without its range, so it cannot be counted from it.
    NoRange,
    /// It was recorded with a range up to this number, which is no count of the adjuster.
    NoCount { high: Number },
    /// It was recorded with a range up to the first number, and the plan sets it to the second.
    BelowPlan { high: Number, wanted: Number },
    /// It is no position of this scale, which the adjuster has here.
    NotHere { scale: Box<Scale>, why: NotHere },
}

/// A recorded setting that this bike cannot take.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    pub adjuster: AdjusterId,
    pub kept: Kept,
    pub why: Unfit,
}

/// A recorded setting that is told otherwise here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Converted {
    pub adjuster: AdjusterId,
    pub kept: Kept,
    /// Its position here.
    pub at: u32,
}

/// A plan that begins from recorded settings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restart {
    pub plan: Plan,
    pub converted: Vec<Converted>,
}

impl Plan {
    /// The same plan starting from recorded settings.
    ///
    /// # Errors
    /// Every recorded setting that is not a position here; nothing is cut in silence.
    pub fn starting_from(&self, kept: &[(AdjusterId, Kept)]) -> Result<Restart, Vec<Refused>> {
        let mut restart = Restart { plan: self.clone(), converted: Vec::new() };
        let mut refused = Vec::new();
        for (id, kept) in kept {
            match self.setup_from(*id, kept) {
                Ok(dial) => {
                    let at = dial.start();
                    if !is_said_alike(dial.scale(), kept, at) {
                        restart.converted.push(Converted { adjuster: *id, kept: kept.clone(), at });
                    }
                    restart.plan = restart.plan.with_setup(*id, Setup::Known(dial));
                }
                Err(why) => refused.push(Refused { adjuster: *id, kept: kept.clone(), why }),
            }
        }
        if refused.is_empty() { Ok(restart) } else { Err(refused) }
    }

    /// An adjuster's dial that starts at a recorded setting.
    fn setup_from(&self, id: AdjusterId, kept: &Kept) -> Result<Dial, Unfit> {
        let dial = match &self.bike().get(id).setup {
            Setup::Known(dial) | Setup::Unstarted(dial) => dial.clone(),
            Setup::Uncounted(uncounted) => {
                let Kept::Value { range: Some((_, high)), .. } = kept else {
                    return Err(Unfit::NoRange);
                };
                let counted = uncounted.top_of(*high).and_then(|top| uncounted.dial(top));
                let (dial, _) = counted.ok_or(Unfit::NoCount { high: *high })?;
                self.steps_within(id, *high)?;
                dial
            }
        };
        let not_here = |why| Unfit::NotHere { scale: Box::new(dial.scale().clone()), why };
        let position = position_of(dial.scale(), kept).map_err(not_here)?;
        Ok(dial.starting_at(position))
    }

    /// Refuses a recorded count that a `set` of this plan goes beyond.
    fn steps_within(&self, id: AdjusterId, high: Number) -> Result<(), Unfit> {
        let beyond = self.steps().iter().find_map(|step| {
            let Step::Set { adjuster, goal: Goal::Value(value) } = step else { return None };
            (*adjuster == id && *value > high).then_some(*value)
        });
        beyond.map_or(Ok(()), |wanted| Err(Unfit::BelowPlan { high, wanted }))
    }

    /// The same plan with every count made again: each adjuster that is counted in clicks or turns
    /// from nought. Its start stays, as a number to count to.
    #[must_use]
    pub fn recounted(&self) -> Plan {
        let mut plan = self.clone();
        for id in self.bike().ids() {
            let Setup::Known(dial) = &self.bike().get(id).setup else { continue };
            let Some(uncounted) = dial.to_be_counted() else { continue };
            let value = |position| match dial.scale().reading(position) {
                Reading::Value(number, _) => Goal::Value(number),
                Reading::Name(_) => Goal::At(position),
            };
            plan = plan.with_setup(id, Setup::Uncounted(uncounted)).with_goals(|adjuster, goal| match goal {
                Goal::At(position) if adjuster == id => value(position),
                Goal::At(_)
                | Goal::Start
                | Goal::Before
                | Goal::End(_)
                | Goal::Middle
                | Goal::Value(_)
                | Goal::By(..) => goal,
            });
        }
        plan
    }
}

/// The position of a recorded setting on a scale.
///
/// # Errors
/// Where it is none here.
pub fn position_of(scale: &Scale, kept: &Kept) -> Result<u32, NotHere> {
    let (number, unit) = match kept {
        Kept::Name(name) => return scale.named(name).ok_or(NotHere::NoPosition),
        Kept::Value { number, unit, .. } => (*number, *unit),
    };
    let here = scale.unit().ok_or(NotHere::NoPosition)?;
    if unit != here {
        let converted = Quantity { number, unit }.in_unit(here).ok_or(NotHere::Outside)?;
        return match scale.position(converted) {
            Ok(position) => Ok(position),
            Err(Off::Between(..)) => Ok(scale.nearest(converted, Direction::Down)),
            Err(Off::Outside(_)) => Err(NotHere::Outside),
        };
    }
    scale.position(as_counted_here(scale, kept, number)?).map_err(|off| match off {
        Off::Outside(_) => NotHere::Outside,
        Off::Between(below, above) => NotHere::Between(below, above),
    })
}

/// Whether a recorded setting is told as its position is told here: by the same number, counted from the same
/// end, or by the same name.
fn is_said_alike(scale: &Scale, kept: &Kept, at: u32) -> bool {
    match (kept, scale.reading(at)) {
        (Kept::Name(then), Reading::Name(now)) => then == now,
        (Kept::Value { number, unit, counted, .. }, Reading::Value(now, here)) => {
            (*number, *unit, *counted) == (now, here, scale.counted())
        }
        (Kept::Name(_), Reading::Value(..)) | (Kept::Value { .. }, Reading::Name(_)) => false,
    }
}

/// A recorded number as this scale counts.
fn as_counted_here(scale: &Scale, kept: &Kept, number: Number) -> Result<Number, NotHere> {
    let Kept::Value { counted: Some(then), range, .. } = kept else { return Ok(number) };
    let Some(now) = scale.counted().filter(|now| now != then) else { return Ok(number) };
    let (low, high) = range.as_ref().ok_or(NotHere::RangeUnknown)?;
    let from_closed = if *then == End::Open { *high - number } else { number - *low };
    let Reading::Value(closed, _) = scale.reading(0) else { return Ok(Number::zero()) };
    Ok(if now == End::Open { closed - from_closed } else { closed + from_closed })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn whole(number: i128) -> Number {
        Number::from_integer(number)
    }

    fn clicks(high: i128, counted: End) -> Scale {
        Scale::grid(Unit::Clicks, whole(0), whole(high), whole(1), Some(counted)).unwrap()
    }

    fn kept(number: i128, counted: End, high: i128) -> Kept {
        Kept::Value {
            number: whole(number),
            unit: Unit::Clicks,
            counted: Some(counted),
            range: Some((whole(0), whole(high))),
        }
    }

    #[test]
    fn another_counting_is_converted_by_the_range_that_was_recorded() {
        assert_eq!(position_of(&clicks(18, End::Closed), &kept(11, End::Open, 18)), Ok(7));
        assert_eq!(position_of(&clicks(18, End::Open), &kept(7, End::Closed, 18)), Ok(7));
        assert_eq!(position_of(&clicks(20, End::Closed), &kept(11, End::Open, 18)), Ok(7));
        assert_eq!(position_of(&clicks(18, End::Closed), &kept(7, End::Closed, 30)), Ok(7));
        let outside = |here, then| position_of(&here, &then) == Err(NotHere::Outside);
        assert!(outside(clicks(10, End::Closed), kept(12, End::Closed, 18)));
        assert!(outside(clicks(10, End::Open), kept(15, End::Closed, 18)));
    }

    #[test]
    fn another_unit_is_converted_to_the_nearest_position() {
        let bar = Scale::grid(Unit::Bar, whole(3), whole(8), Number::new(1, 20), None).unwrap();
        let psi = |number| Kept::Value { number: whole(number), unit: Unit::Psi, counted: None, range: None };
        // 80 psi are 5.516 bar
        assert_eq!(position_of(&bar, &psi(80)).map(|at| bar.said(at)), Ok("5.5 bar".to_owned()));
        assert_eq!(position_of(&bar, &psi(120)), Err(NotHere::Outside));
        assert_eq!(position_of(&clicks(10, End::Open), &psi(5)), Err(NotHere::Outside));
    }
}
