//! Owns how a plan begins again from recorded settings, and with counts made anew. It knows nothing
//! of the file in which they stand.

use num_traits::Zero;

use super::{AdjusterId, Dial, Goal, Off, Plan, Reading, Scale, Setup, Step};
use crate::physics::{Number, Quantity, Unit};
use crate::vocabulary::{End, unit_word_behind};

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

/// A recorded setting that this bike cannot take.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    pub adjuster: AdjusterId,
    /// What was recorded and why it does not fit, with both values.
    pub reason: String,
}

/// A plan that begins from recorded settings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restart {
    pub plan: Plan,
    /// What was converted, in words.
    pub converted: Vec<(AdjusterId, String)>,
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
                Ok((dial, converted)) => {
                    restart.converted.extend(converted.map(|words| (*id, words)));
                    restart.plan = restart.plan.with_setup(*id, Setup::Known(dial));
                }
                Err(reason) => refused.push(Refused { adjuster: *id, reason }),
            }
        }
        if refused.is_empty() { Ok(restart) } else { Err(refused) }
    }

    fn setup_from(&self, id: AdjusterId, kept: &Kept) -> Result<(Dial, Option<String>), String> {
        let dial = match &self.bike().get(id).setup {
            Setup::Known(dial) | Setup::Unstarted(dial) => dial.clone(),
            Setup::Uncounted(uncounted) => {
                let Kept::Value { range: Some((_, high)), .. } = kept else {
                    return Err("was recorded without its range, so it cannot be counted from it".to_owned());
                };
                let (dial, _) =
                    uncounted.top_of(*high).and_then(|top| uncounted.dial(top)).ok_or_else(|| {
                        format!(
                            "was recorded with a range up to {}, which is no count",
                            uncounted.unit().figure(*high)
                        )
                    })?;
                self.steps_within(id, *high, uncounted.unit())?;
                dial
            }
        };
        let position = position_of(dial.scale(), kept)?;
        let now = dial.scale().said_in_full(position);
        let then = said(kept);
        Ok((dial.starting_at(position), (now != then).then(|| format!("{then} is {now} here"))))
    }

    /// Refuses a recorded count that a `set` of this plan goes beyond.
    fn steps_within(&self, id: AdjusterId, high: Number, unit: Unit) -> Result<(), String> {
        let beyond = self.steps().iter().find_map(|step| {
            let Step::Set { adjuster, goal: Goal::Value(value) } = step else { return None };
            (*adjuster == id && *value > high).then_some(*value)
        });
        beyond.map_or(Ok(()), |value| {
            let (value, high) = (unit.figure(value), unit.figure(high));
            Err(format!("was recorded with a range up to {high}, and the plan sets it to {value}"))
        })
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
/// Where it is none here: what was recorded and why it does not fit, with both values.
pub fn position_of(scale: &Scale, kept: &Kept) -> Result<u32, String> {
    let range = || scale.said_range();
    let outside = || format!("was recorded at {}, and its range here is {}", said(kept), range());
    let (number, unit) = match kept {
        Kept::Name(name) => {
            let names = scale.listed_names();
            let positions = if names.is_empty() { range() } else { names };
            return scale
                .named(name)
                .ok_or_else(|| format!("was recorded at `{name}`, and its positions here are {positions}"));
        }
        Kept::Value { number, unit, .. } => (*number, *unit),
    };
    let Some(here) = scale.unit() else {
        return Err(format!(
            "was recorded at {}, and its positions here are {}",
            said(kept),
            scale.listed_names()
        ));
    };
    if unit != here {
        let converted = Quantity { number, unit }.in_unit(here).ok_or_else(outside)?;
        return match scale.position(converted) {
            Ok(position) => Ok(position),
            Err(Off::Between(..)) => Ok(scale.nearest(converted, false)),
            Err(Off::Outside(_)) => Err(outside()),
        };
    }
    match scale.position(as_counted_here(scale, kept, number)?) {
        Ok(position) => Ok(position),
        Err(Off::Outside(_)) => Err(outside()),
        Err(Off::Between(below, above)) => Err(format!(
            "was recorded at {}, which lies between {} and {} here",
            said(kept),
            scale.said(below),
            scale.said(above)
        )),
    }
}

/// A recorded number as this scale counts.
fn as_counted_here(scale: &Scale, kept: &Kept, number: Number) -> Result<Number, String> {
    let Kept::Value { counted: Some(then), range, .. } = kept else { return Ok(number) };
    let Some(now) = scale.counted().filter(|now| now != then) else { return Ok(number) };
    let Some((low, high)) = range else {
        return Err(format!(
            "was recorded at {}, is counted from {} here, and its range then is not recorded",
            said(kept),
            now.word()
        ));
    };
    let from_closed = if *then == End::Open { *high - number } else { number - *low };
    let Reading::Value(closed, _) = scale.reading(0) else { return Ok(Number::zero()) };
    Ok(if now == End::Open { closed - from_closed } else { closed + from_closed })
}

fn said(kept: &Kept) -> String {
    match kept {
        Kept::Name(name) => name.clone(),
        Kept::Value { number, unit, counted, .. } => {
            let from = counted.map_or(String::new(), |end| format!(" from {}", end.word()));
            format!("{} {}{from}", unit.figure(*number), unit_word_behind(*number, *unit))
        }
    }
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
        let refused = position_of(&clicks(10, End::Closed), &kept(12, End::Closed, 18)).unwrap_err();
        assert!(refused.contains("12 clicks from closed") && refused.contains("10 clicks"), "{refused}");
        assert!(position_of(&clicks(10, End::Open), &kept(15, End::Closed, 18)).is_err());
    }

    #[test]
    fn another_unit_is_converted_to_the_nearest_position() {
        let bar = Scale::grid(Unit::Bar, whole(3), whole(8), Number::new(1, 20), None).unwrap();
        let psi = |number| Kept::Value { number: whole(number), unit: Unit::Psi, counted: None, range: None };
        // 80 psi are 5.516 bar
        assert_eq!(position_of(&bar, &psi(80)).map(|at| bar.said(at)), Ok("5.5 bar".to_owned()));
        assert!(position_of(&bar, &psi(120)).unwrap_err().contains("120 psi"));
        assert!(position_of(&clicks(10, End::Open), &psi(5)).is_err());
    }
}
