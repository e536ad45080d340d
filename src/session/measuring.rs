//! Owns how a spring is measured: where the bike must stand, which readings fit, what is told.
//! Which setting comes next is the judgement of `spring`.

use std::sync::Arc;

use num_traits::Zero;

use crate::physics::Number;
use crate::plan::{AdjusterId, Dial, Measure, Reading as ScaleReading, Step};
use crate::vocabulary::Family;

use super::history::Sagged;
use super::readings::sag;
use super::spring::{Next, Spring, Weighed, sag_at, weigh};
use super::state::{MeasureState, Phase, Reading, Short, StopState, Why};
use super::{Answer, Ask, Fit, How, Mismatch, News, Session, Sign, Told};

impl Session {
    /// The measurement that runs now, or that has stopped the ride.
    #[must_use]
    pub fn measuring(&self) -> Option<&Measure> {
        match (self.read_so_far(), self.plan.steps().get(self.state.step)) {
            (Some(_), Some(Step::Measure(measure))) => Some(measure),
            _ => None,
        }
    }

    /// The readings of that measurement.
    fn read_so_far(&self) -> Option<&[Reading]> {
        match &self.state.phase {
            Phase::Measure(state) => Some(&state.readings),
            Phase::Stop(state) => Some(&state.readings),
            _ => None,
        }
    }

    /// How many readings the running measurement has, each with its position and its sag in mm; those
    /// that were set aside are left out.
    #[must_use]
    pub fn sag_readings(&self) -> Vec<(u32, Number)> {
        let counting = self.read_so_far().unwrap_or_default().iter().filter(|reading| reading.counts);
        counting.map(|reading| (reading.at, reading.sag)).collect()
    }

    /// The sag in mm that the running measurement has for a position: the mean of its readings there,
    /// without those that were set aside.
    #[must_use]
    pub fn sag_read_at(&self, position: u32) -> Option<Number> {
        sag_at(self.read_so_far()?, position)
    }

    /// The rate of coil that its sag at a position asks for, in the unit of its scale: `None` for air, or where
    /// the sag says no more than the way.
    #[must_use]
    pub fn rate_asked_for(&self, position: u32) -> Option<f64> {
        let readings = self.read_so_far()?;
        self.judge(self.measuring()?, |spring| spring.rate_asked_for(readings, position)).flatten()
    }

    /// How many readings the running measurement may still take, the present one among them.
    #[must_use]
    pub fn readings_to_go(&self) -> usize {
        match &self.state.phase {
            Phase::Measure(state) => Measure::MOST_READINGS.saturating_sub(state.readings.len()),
            _ => 0,
        }
    }

    /// Begins a measurement; `true`, as something is asked now.
    pub(super) fn enter_measure(&mut self) -> bool {
        if self.must_fit_first() {
            return true;
        }
        self.state.phase = Phase::Measure(MeasureState { readings: Vec::new(), why: Why::First });
        true
    }

    pub(super) fn sag_ask(&self, state: &MeasureState) -> Option<Ask> {
        let measure = self.measuring()?;
        let at = self.state.at[measure.adjuster.index()];
        Some(Ask::Sag { fit: self.fit(measure.adjuster, at), why: state.why })
    }

    pub(super) fn stop_ask(&self, state: &StopState) -> Option<Ask> {
        let measure = self.measuring()?;
        let sag = sag_at(&state.readings, state.at).or_else(|| Some(state.readings.last()?.sag))?;
        let sign = Sign::of(measure, sag);
        Some(Ask::Stop { fit: self.fit(measure.adjuster, state.at), short: state.short, sign })
    }

    fn judge<T>(&self, measure: &Measure, judge: impl FnOnce(&Spring<'_>) -> T) -> Option<T> {
        let dial: Arc<Dial> = self.dials[measure.adjuster.index()].clone()?;
        let preload =
            measure.preload.and_then(|id| match self.dial(id)?.scale().reading(self.state.at[id.index()]) {
                ScaleReading::Value(number, _) => Some(number),
                ScaleReading::Name(_) => None,
            });
        let preload = preload.unwrap_or_else(Number::zero);
        Some(judge(&Spring { step: measure, dial: &dial, preload }))
    }

    /// Hears a reading, or ends the measurement. At a stop a reading is the first of a new measurement, and
    /// only the full words ride on.
    pub(super) fn hear_sag(&mut self, fit: Fit, ask: &Ask, answer: &Answer) -> Result<(), Mismatch> {
        let Some(measure) = self.measuring().cloned() else { return Err(self.unfit(ask, answer)) };
        let (mut readings, stands_at) = match (&self.state.phase, answer) {
            (Phase::Measure(state), Answer::Keep) => {
                let readings = state.readings.clone();
                self.end_by_rider(&measure, readings);
                return Ok(());
            }
            (Phase::Stop(state), Answer::RideAnyway) => {
                let state = state.clone();
                self.ride_anyway(&measure, &state);
                return Ok(());
            }
            // a word is no sag, and what it should be is said
            (Phase::Stop(_), Answer::Told(Told::Name(_))) => return Err(self.unfit(ask, answer)),
            (Phase::Measure(state), _) => (state.readings.clone(), fit.to),
            _ => (Vec::new(), fit.from.unwrap_or(fit.to)),
        };
        let (at, sag) = match answer {
            Answer::Told(first) => (stands_at, sag(&measure, first, None)?),
            Answer::Two(first, second) => (stands_at, sag(&measure, first, Some(second))?),
            Answer::UsedSag(place, first, second) => {
                (self.position(fit.adjuster, place)?, sag(&measure, first, second.as_ref())?)
            }
            _ => return Err(self.unfit(ask, answer)),
        };
        let index = fit.adjuster.index();
        if self.state.fitted[index] != Some(at) {
            self.change(fit.adjuster);
        }
        self.state.fitted[index] = Some(at);
        self.state.at[index] = at;
        let twice = matches!(answer, Answer::Two(..) | Answer::UsedSag(_, _, Some(_)));
        readings.push(Reading { at, sag, counts: true, twice });
        match weigh(&mut readings) {
            Weighed::Doubted => {
                self.history.tell(News::SagContradicts { adjuster: fit.adjuster });
            }
            Weighed::Outweighs => {
                self.history.tell(News::EarlierSagSetAside { adjuster: fit.adjuster });
            }
            Weighed::Fits => {}
        }
        let next = self.judge(&measure, |spring| spring.next(&readings, at));
        self.go_on_measuring(&measure, readings, next.ok_or_else(|| self.unfit(ask, answer))?);
        Ok(())
    }

    fn go_on_measuring(&mut self, measure: &Measure, readings: Vec<Reading>, next: Next) {
        match next {
            Next::Read { at, why } => {
                self.state.at[measure.adjuster.index()] = at;
                self.state.phase = Phase::Measure(MeasureState { readings, why });
            }
            Next::Settle { at, how, short } => {
                if let Some(short) = short {
                    self.history.tell(News::SagShort { adjuster: measure.adjuster, short });
                }
                self.settle_spring(measure, &readings, at, how);
            }
            Next::Stop { at, short } => {
                self.state.phase = Phase::Stop(StopState { readings, at, short });
            }
        }
    }

    /// The rider ends a measurement: a spring that was read and is not right stops the ride all the same.
    fn end_by_rider(&mut self, measure: &Measure, readings: Vec<Reading>) {
        let short = |spring: &Spring<'_>| {
            spring.nearest_read(&readings).map(|at| spring.fall_short(&readings, at, Short::Ended))
        };
        match self.judge(measure, short).flatten() {
            Some(next @ Next::Stop { .. }) => self.go_on_measuring(measure, readings, next),
            _ => self.keep_spring(measure, &readings),
        }
    }

    fn ride_anyway(&mut self, measure: &Measure, state: &StopState) {
        self.settle_spring(measure, &state.readings, state.at, How::NotFinished);
        let index = measure.adjuster.index();
        let Some(ground) = self.history.ground_mut(index) else { return };
        ground.ridden_anyway = true;
        let sag = ground.sag.as_ref().map(|sagged| sagged.sag);
        self.history.told();
        self.history.tell(News::RiddenAnyway { adjuster: measure.adjuster, at: state.at, sag });
    }

    /// Ends a measurement now: at the setting read that comes nearest to the aim.
    fn keep_spring(&mut self, measure: &Measure, readings: &[Reading]) {
        let nearest = self.judge(measure, |spring| spring.nearest_read(readings)).flatten();
        let fitted = self.state.fitted[measure.adjuster.index()];
        let at = nearest.or(fitted).unwrap_or(self.state.at[measure.adjuster.index()]);
        let how = if nearest.is_some() { How::NotFinished } else { How::Kept };
        self.settle_spring(measure, readings, at, how);
    }

    /// Ends a running measurement by its rule, where one runs.
    pub(super) fn end_measure(&mut self) {
        let Some((measure, readings)) = self.measuring().cloned().zip(self.read_so_far()) else { return };
        let readings = readings.to_vec();
        self.keep_spring(&measure, &readings);
    }

    pub(super) fn settle_spring(&mut self, measure: &Measure, readings: &[Reading], at: u32, how: How) {
        let sag = sag_at(readings, at);
        let index = measure.adjuster.index();
        self.state.at[index] = at;
        self.state.settle_due = self.state.fitted[index] != Some(at);
        self.state.phase = Phase::Steps;
        self.state.step += 1;
        let stood = self.springs_with(measure.adjuster);
        if let Some(ground) = self.history.ground_mut(index) {
            ground.how = how;
            ground.ridden_anyway = false;
            ground.confirmed = None;
            ground.laps.clear();
            ground.sag = sag.map(|sag| Sagged { sag, travel: measure.travel, stood });
        }
        self.history.tell(News::Measured { adjuster: measure.adjuster, at, how, sag });
    }

    /// Where everything stands that bears on a spring's sag: the springs of its part, with preload and
    /// spacers.
    pub(super) fn springs_with(&self, spring: AdjusterId) -> Vec<(AdjusterId, u32)> {
        let part = self.adjuster(spring).part;
        let bears = |id: &AdjusterId| {
            self.adjuster(*id).part == part && self.adjuster(*id).family() == Family::Spring
        };
        self.ids().filter(bears).map(|id| (id, self.state.at[id.index()])).collect()
    }
}
