//! Owns how a spring is measured: where the bike must stand, which readings fit, what is told.
//! Which setting comes next is the judgement of `spring`.

use std::sync::Arc;

use num_traits::Zero;

use crate::physics::{Number, Quantity, Unit, to_billionths};
use crate::plan::{AdjusterId, Dial, Measure, Reading as Place, Step};
use crate::vocabulary::Family;

use super::history::Sagged;
use super::spring::{Next, Spring, Weighed, sag_at, weigh};
use super::state::{MeasureState, Phase, Reading, Why};
use super::{Answer, Ask, Fit, How, Mismatch, News, Session, Told};

impl Session {
    /// The measurement that runs now.
    #[must_use]
    pub fn measuring(&self) -> Option<&Measure> {
        match (&self.state.phase, self.plan.steps().get(self.state.step)) {
            (Phase::Measure(_), Some(Step::Measure(measure))) => Some(measure),
            _ => None,
        }
    }

    /// How many readings the running measurement has, each with its position and its sag in mm; those
    /// that were set aside are left out.
    #[must_use]
    pub fn sag_readings(&self) -> Vec<(u32, Number)> {
        match &self.state.phase {
            Phase::Measure(state) => state
                .readings
                .iter()
                .filter(|reading| reading.counts)
                .map(|reading| (reading.at, reading.sag))
                .collect(),
            _ => Vec::new(),
        }
    }

    /// The sag in mm that the running measurement has for a position: the mean of its readings there,
    /// without those that were set aside.
    #[must_use]
    pub fn sag_read_at(&self, position: u32) -> Option<Number> {
        match &self.state.phase {
            Phase::Measure(state) => sag_at(&state.readings, position),
            _ => None,
        }
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

    fn judge<T>(&self, measure: &Measure, judge: impl FnOnce(&Spring<'_>) -> T) -> Option<T> {
        let dial: Arc<Dial> = self.dials[measure.adjuster.index()].clone()?;
        let preload =
            measure.preload.and_then(|id| match self.dial(id)?.scale().reading(self.state.at[id.index()]) {
                Place::Value(number, _) => Some(number),
                Place::Name(_) => None,
            });
        let preload = preload.unwrap_or_else(Number::zero);
        Some(judge(&Spring { step: measure, dial: &dial, preload }))
    }

    /// Hears a reading, or ends the measurement.
    pub(super) fn hear_sag(&mut self, fit: Fit, ask: &Ask, answer: &Answer) -> Result<(), Mismatch> {
        let (Some(measure), Phase::Measure(state)) = (self.measuring().cloned(), &self.state.phase) else {
            return Err(self.unfit(ask, answer));
        };
        let mut readings = state.readings.clone();
        if *answer == Answer::Keep {
            self.keep_spring(&measure, &readings);
            return Ok(());
        }
        let (at, sag) = match answer {
            Answer::Told(first) => (fit.to, Session::sag(&measure, first, None)?),
            Answer::Sag(first, second) => (fit.to, Session::sag(&measure, first, Some(second))?),
            Answer::UsedSag(place, first, second) => {
                (self.position(fit.adjuster, place)?, Session::sag(&measure, first, second.as_ref())?)
            }
            _ => return Err(self.unfit(ask, answer)),
        };
        let index = fit.adjuster.index();
        if self.state.fitted[index] != Some(at) {
            self.change(fit.adjuster);
        }
        self.state.fitted[index] = Some(at);
        self.state.at[index] = at;
        readings.push(Reading { at, sag, counts: true });
        match weigh(&mut readings) {
            Weighed::Doubted => {
                self.history.news.push(News::SagContradicts { adjuster: fit.adjuster });
            }
            Weighed::Outweighs => {
                self.history.news.push(News::EarlierSagSetAside { adjuster: fit.adjuster });
            }
            Weighed::Fits => {}
        }
        let next = self.judge(&measure, |spring| spring.next(&readings, at));
        match next {
            Some(Next::Read { at, why }) => {
                self.state.at[index] = at;
                self.state.phase = Phase::Measure(MeasureState { readings, why });
            }
            Some(Next::Settle { at, how, short }) => {
                if let Some(short) = short {
                    self.history.news.push(News::SagShort { adjuster: fit.adjuster, short });
                }
                self.settle_spring(&measure, &readings, at, how);
            }
            None => return Err(self.unfit(ask, answer)),
        }
        Ok(())
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
        let (Some(measure), Phase::Measure(state)) = (self.measuring().cloned(), &self.state.phase) else {
            return;
        };
        let readings = state.readings.clone();
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
        let ground = &mut Arc::make_mut(&mut self.history.grounds)[index];
        ground.how = how;
        ground.confirmed = None;
        ground.laps.clear();
        ground.sag = sag.map(|sag| Sagged { sag, travel: measure.travel, stood });
        self.history.news.push(News::Measured { adjuster: measure.adjuster, at, how, sag });
    }

    /// Where everything stands that bears on a spring's sag: the springs of its part, with preload and
    /// spacers.
    pub(super) fn springs_with(&self, spring: AdjusterId) -> Vec<(AdjusterId, u32)> {
        let part = self.adjuster(spring).part;
        let bears = |id: &&AdjusterId| {
            self.adjuster(**id).part == part && self.adjuster(**id).family() == Family::Spring
        };
        self.ids.iter().filter(bears).map(|&id| (id, self.state.at[id.index()])).collect()
    }

    /// A sag in mm, to the nearest billionth: one reading, or the mean of two of the same setting.
    pub(super) fn sag(measure: &Measure, first: &Told, second: Option<&Told>) -> Result<Number, Mismatch> {
        let mut sag = Session::one_sag(measure, first)?;
        if let Some(second) = second {
            sag = (sag + Session::one_sag(measure, second)?) / Number::from_integer(2);
        }
        Ok(to_billionths(sag).unwrap_or(sag))
    }

    pub(super) fn one_sag(measure: &Measure, told: &Told) -> Result<Number, Mismatch> {
        let wrong = |why: &str| Mismatch(format!("`{told}` cannot be a sag{why}"));
        let Told::Value(number, unit) = told else {
            return Err(wrong(": it is a number, such as 32 mm or 20 %"));
        };
        let unit = unit.ok_or_else(|| wrong(" without its unit: mm or %"))?;
        let quantity = Quantity { number: *number, unit };
        let sag = match (quantity.in_unit(Unit::Millimetre), unit, measure.travel) {
            (Some(sag), ..) => sag,
            (None, Unit::Percent, Some(travel)) => travel * *number / Number::from_integer(100),
            (None, Unit::Percent, None) => {
                return Err(wrong(": the file does not say how far the part can move, so read it in mm"));
            }
            _ => return Err(wrong(": it is read in mm or %")),
        };
        if sag < Number::zero() || measure.travel.is_some_and(|travel| sag > travel) {
            let most = measure.travel.map_or(String::new(), |travel| {
                format!(" and at most {} mm", Unit::Millimetre.figure(travel))
            });
            return Err(wrong(&format!(": it is 0 mm or more{most}")));
        }
        Ok(sag)
    }
}
