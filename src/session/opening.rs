//! Owns what comes before and between the tunes: how the bike was found, counting, conditions, and
//! the way from one step to the next. How a tune goes stands in `tuning`.

use std::sync::Arc;

use num_traits::Zero;

use crate::physics::{Number, Quantity, Unit};
use crate::plan::{AdjusterId, Condition, Goal, Setup, Step, Uncounted};

use super::state::Phase;
use super::{Answer, Ask, How, Mismatch, News, Noted, Session, Told};

impl Session {
    /// Goes on to the next thing that is asked, or to the end.
    pub(super) fn advance(&mut self) {
        while self.state.due.is_empty() {
            match self.state.phase {
                Phase::Found(index) if index < self.state.at.len() => return,
                Phase::Found(_) => self.state.phase = Phase::Count(0),
                Phase::Count(index) => {
                    let uncounted = |index: &usize| {
                        let setup = self.id_at(*index).map(|id| &self.adjuster(id).setup);
                        self.dials[*index].is_none() && matches!(setup, Some(Setup::Uncounted(_)))
                    };
                    match (index..self.state.at.len()).find(uncounted) {
                        Some(index) => {
                            self.state.phase = Phase::Count(index);
                            return;
                        }
                        None => self.state.phase = Phase::InNow(0),
                    }
                }
                Phase::InNow(index) => {
                    match (index..self.state.at.len()).find(|&index| self.dials[index].is_none()) {
                        Some(index) if !self.found_is_in_it(index) => {
                            self.state.phase = Phase::InNow(index);
                            return;
                        }
                        Some(index) => self.state.phase = Phase::InNow(index + 1),
                        None => self.state.phase = Phase::Steps,
                    }
                }
                Phase::Fit
                | Phase::Measure(_)
                | Phase::Stop(_)
                | Phase::Tune(_)
                | Phase::Compare(_)
                | Phase::Over => {
                    return;
                }
                Phase::Steps => {
                    if self.enter_step() {
                        return;
                    }
                }
            }
        }
    }

    fn unfitted(&self) -> bool {
        self.state.at.iter().zip(self.state.fitted.iter()).any(|(at, fitted)| Some(*at) != *fitted)
    }

    /// Enters the present step; `true` where something is asked now.
    fn enter_step(&mut self) -> bool {
        let plan = Arc::clone(&self.plan);
        let Some(step) = plan.steps().get(self.state.step) else {
            self.state.phase = if self.unfitted() { Phase::Fit } else { Phase::Over };
            return true;
        };
        let asks = match step {
            Step::Say(_) | Step::Record(_) => true,
            Step::RecordSettings => !self.state.found_asked,
            _ => false,
        };
        if asks && self.state.settle_due && self.unfitted() {
            self.state.phase = Phase::Fit;
            return true;
        }
        match step {
            Step::Say(_) | Step::Record(_) => true,
            Step::RecordSettings => {
                self.state.step += 1;
                if asks {
                    self.state.found_asked = true;
                    self.state.phase = Phase::Found(0);
                }
                false
            }
            Step::Set { adjuster, goal } => {
                self.set(*adjuster, *goal);
                false
            }
            Step::Ride { laps, .. } => self.enter_ride(*laps),
            Step::Measure(_) => self.enter_measure(),
            Step::Tune(_) | Step::Revisit { .. } => match self.job_of(step) {
                Some(job) => self.enter_tune(&job),
                None => false,
            },
            Step::Confirm(confirm) => self.enter_pairs(confirm),
        }
    }

    fn set(&mut self, id: AdjusterId, goal: Goal) {
        let index = id.index();
        if self.dials[index].is_some() {
            let (at, cut) = self.reach(id, goal, self.state.at[index]);
            self.state.at[index] = at;
            if let Some(ground) = self.history.ground_mut(index) {
                ground.how = How::Set;
                ground.laps.clear();
                ground.ridden_anyway = false;
                ground.confirmed = None;
            }
            if cut {
                self.history.tell(News::StoppedAtEnd { adjuster: id, at });
            }
            if goal == Goal::Before && self.found(id).is_none() {
                self.history.tell(News::BeforeUnknown { adjuster: id, at });
            }
        }
        self.state.step += 1;
    }

    /// The position that a goal means, from a position; and whether it had to stop at the end of the range.
    pub(super) fn reach(&self, id: AdjusterId, goal: Goal, from: u32) -> (u32, bool) {
        let found = (goal == Goal::Before).then(|| self.found_at(id)).flatten();
        match (found, self.dial(id)) {
            (Some(found), _) => (found, false),
            (None, Some(dial)) => dial.reach(goal, from),
            (None, None) => (from, false),
        }
    }

    fn enter_ride(&mut self, asked: u32) -> bool {
        let ridden = self.laps_that_fit(asked);
        if ridden > 0 && self.unfitted() {
            self.state.phase = Phase::Fit;
            return true;
        }
        if ridden < asked {
            self.history.tell(News::RideCut { asked, ridden });
        }
        if ridden == 0 {
            self.state.step += 1;
        }
        ridden > 0
    }

    pub(super) fn must_fit_first(&mut self) -> bool {
        let unfitted = self.unfitted();
        if unfitted {
            self.state.phase = Phase::Fit;
        }
        unfitted
    }

    pub(super) fn hear_found(&mut self, id: AdjusterId, answer: &Answer) -> Result<(), Mismatch> {
        let told = match answer {
            Answer::Unknown => None,
            Answer::Told(told) => Some(told.clone()),
            Answer::Text(name) => Some(Told::Name(name.clone())),
            _ => return Err(self.unfit(&Ask::Found(id), answer)),
        };
        let checked = match (&told, &self.adjuster(id).setup) {
            (None, _) => None,
            (Some(Told::Value(number, unit)), Setup::Uncounted(uncounted)) => {
                let fits = unit.is_none_or(|unit| unit == uncounted.unit()) && on_grid(*number, uncounted);
                if !fits {
                    return Err(self.unfit(&Ask::Found(id), answer));
                }
                Some(Told::Value(*number, Some(uncounted.unit())))
            }
            (Some(told), _) => {
                let position = self.position(id, told)?;
                let said = self.scale(id).map(|scale| match scale.reading(position) {
                    crate::plan::Reading::Value(number, unit) => Told::Value(number, Some(unit)),
                    crate::plan::Reading::Name(name) => Told::Name(name.to_owned()),
                });
                said.or(Some(told.clone()))
            }
        };
        Arc::make_mut(&mut self.state.seldom).found[id.index()] = checked;
        self.state.phase = Phase::Found(id.index() + 1);
        Ok(())
    }

    /// Takes what was found in a spring or tyre as what is in it now, where that was recorded.
    fn found_is_in_it(&mut self, index: usize) -> bool {
        let Some(told) = self.state.seldom.found[index].clone() else { return false };
        self.id_at(index).is_some_and(|id| self.hear_in_now(id, &told).is_ok())
    }

    /// Hears what is in a spring or tyre now: it starts there.
    pub(super) fn hear_in_now(&mut self, id: AdjusterId, told: &Told) -> Result<(), Mismatch> {
        let plan = Arc::clone(&self.plan);
        let Setup::Unstarted(dial) = &plan.bike().get(id).setup else {
            return Err(Mismatch::StartedAlready);
        };
        let position = self.position(id, told)?;
        self.state.at[id.index()] = position;
        Arc::make_mut(&mut self.dials)[id.index()] = Some(Arc::new(dial.clone().starting_at(position)));
        self.state.phase = Phase::InNow(id.index() + 1);
        Ok(())
    }

    /// Hears how many positions an adjuster was from its end, counted on the way there, and how many it has.
    pub(super) fn hear_found_and_count(
        &mut self,
        id: AdjusterId,
        (found, told): (&Told, &Told),
        answer: &Answer,
    ) -> Result<(), Mismatch> {
        if self.found(id).is_some() {
            return Err(Mismatch::FoundAlready(Box::new(answer.clone())));
        }
        self.hear_found(id, &Answer::Told(found.clone())).map_err(|_| self.unfit(&Ask::Count(id), answer))?;
        if let (Told::Value(first, _), Told::Value(second, _)) = (found, told)
            && first > second
        {
            return Err(Mismatch::FoundBeyond { found: boxed(found), count: boxed(told) });
        }
        self.hear_count(id, told)
    }

    pub(super) fn hear_count(&mut self, id: AdjusterId, told: &Told) -> Result<(), Mismatch> {
        let plan = Arc::clone(&self.plan);
        let Setup::Uncounted(uncounted) = &plan.bike().get(id).setup else {
            return Err(Mismatch::CountedAlready);
        };
        let refused = || self.unfit(&Ask::Count(id), &Answer::Told(told.clone()));
        let Told::Value(count, unit) = told else { return Err(refused()) };
        if unit.is_some_and(|unit| unit != uncounted.unit()) {
            return Err(refused());
        }
        let no_count = || Mismatch::NoCount { adjuster: id, told: boxed(told) };
        let top = uncounted.top_of(*count).ok_or_else(no_count)?;
        if let Some(found @ Told::Value(number, _)) = &self.state.seldom.found[id.index()]
            && number > count
        {
            return Err(Mismatch::CountBelowFound { found: boxed(found), count: boxed(told) });
        }
        let beyond = plan.steps().iter().find_map(|step| match step {
            Step::Set { adjuster, goal: Goal::Value(value) } if *adjuster == id && value > count => {
                Some(*value)
            }
            _ => None,
        });
        if let Some(value) = beyond {
            let wanted = Box::new(value);
            return Err(Mismatch::CountBelowPlan { adjuster: id, wanted, count: boxed(told) });
        }
        let Some((dial, cut)) = uncounted.dial(top) else { return Err(refused()) };
        Arc::make_mut(&mut self.state.seldom).tops[id.index()] = Some(top);
        self.state.at[id.index()] = dial.start();
        if cut {
            if let Some(ground) = self.history.ground_mut(id.index()) {
                ground.start_cut = true;
            }
            self.history.tell(News::StartCut { adjuster: id, at: dial.start() });
        }
        Arc::make_mut(&mut self.dials)[id.index()] = Some(Arc::new(dial));
        self.state.phase = Phase::Count(id.index() + 1);
        Ok(())
    }

    pub(super) fn hear_condition(&mut self, condition: &Condition, answer: &Answer) -> Result<(), Mismatch> {
        self.note_down(condition, answer)?;
        self.state.step += 1;
        Ok(())
    }

    /// Keeps a condition; an earlier one of its name is replaced.
    pub(super) fn note_down(&mut self, condition: &Condition, answer: &Answer) -> Result<(), Mismatch> {
        let units = condition.units();
        let sensible = |quantity: Quantity| {
            let range = match quantity.unit {
                Unit::Celsius => -60..=60,
                Unit::Fahrenheit => -76..=140,
                Unit::Metre => -500..=9000,
                Unit::Foot => -1600..=29_500,
                _ => return true,
            };
            let (low, high) = (*range.start(), *range.end());
            (Number::from_integer(low)..=Number::from_integer(high)).contains(&quantity.number)
        };
        let noted = match answer {
            Answer::Unknown => Noted::Unknown,
            Answer::Text(text) if units.is_empty() => Noted::Text(text.clone()),
            Answer::Told(Told::Value(number, Some(unit))) if units.contains(unit) => {
                Noted::Quantity(Quantity { number: *number, unit: *unit })
            }
            Answer::Told(Told::Value(number, None)) if units.len() == 1 => {
                Noted::Quantity(Quantity { number: *number, unit: units[0] })
            }
            _ => return Err(self.unfit(&Ask::Record(condition.clone()), answer)),
        };
        if matches!(noted, Noted::Quantity(quantity) if !sensible(quantity)) {
            let (condition, answer) = (Box::new(condition.clone()), Box::new(answer.clone()));
            return Err(Mismatch::NoCondition { condition, answer });
        }
        self.history.note(condition.name(), noted);
        Ok(())
    }
}

fn boxed(told: &Told) -> Box<Told> {
    Box::new(told.clone())
}

/// Whether a number is a whole number of positions from 0 to the most that a count may give.
fn on_grid(number: Number, uncounted: &Uncounted) -> bool {
    let positions = number / uncounted.by();
    let most = Number::from_integer(Uncounted::MOST.into());
    positions.is_integer() && (Number::zero()..=most).contains(&positions)
}
