//! Owns the session: its state, what it asks, and which answers fit. How a tune goes stands in
//! `tuning`, how a ride opens in `opening`.

use std::sync::Arc;

use num_traits::Zero;

use crate::physics::Number;
use crate::plan::{Adjuster, AdjusterId, Dial, Measure, Plan, Scale, Setup, Step, Tune};
use crate::search::Few;

use super::history::{History, Worth};
use super::state::{Phase, Seldom, Shared, State};
use super::{Answer, Ask, Fit, Lap, Mismatch, News, Outcome, Settled, Told};

/// A ride at one moment. It never changes; an answer gives the next one.
#[derive(Debug, Clone, PartialEq)]
pub struct Session {
    pub(super) plan: Arc<Plan>,
    pub(super) seed: u64,
    pub(super) dials: Shared<Option<Arc<Dial>>>,
    pub(super) state: State,
    pub(super) history: History,
}

/// What a part of a ride took.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Taken {
    pub laps: u32,
    /// How often something was turned before a lap or a reading.
    pub changes: u32,
    /// How often a coil or spacers were changed.
    pub slow_changes: u32,
}

impl Taken {
    /// What was taken since an earlier moment of the same ride.
    #[must_use]
    pub fn since(self, before: Taken) -> Taken {
        Taken {
            laps: self.laps.saturating_sub(before.laps),
            changes: self.changes.saturating_sub(before.changes),
            slow_changes: self.slow_changes.saturating_sub(before.slow_changes),
        }
    }
}

impl Session {
    /// A ride before its first question. The seed is for what is drawn by lot: the order of pairs.
    #[must_use]
    pub fn begin(plan: Arc<Plan>, seed: u64) -> Self {
        let ids = || plan.bike().ids();
        let dials: Vec<_> = ids()
            .map(|id| match &plan.bike().get(id).setup {
                Setup::Known(dial) => Some(Arc::new(dial.clone())),
                Setup::Unstarted(_) | Setup::Uncounted(_) => None,
            })
            .collect();
        let phase = if plan.asks_found_first() { Phase::Found(0) } else { Phase::Count(0) };
        let seldom = Seldom {
            tops: ids().map(|id| plan.bike().get(id).setup.scale().map(Scale::top)).collect(),
            found: vec![None; ids().len()],
            stood: vec![None; ids().len()],
        };
        let state = State {
            step: 0,
            at: dials.iter().map(|dial| dial.as_ref().map_or(0, |dial| dial.start())).collect(),
            fitted: Few::of(None, dials.len()),
            last_lap: None,
            laps_left: plan.parts().laps,
            settle_due: false,
            found_asked: plan.asks_found_first(),
            seldom: Arc::new(seldom),
            due: Vec::new(),
            phase,
        };
        let history = History::new(dials.len());
        let mut session = Session { plan, seed, dials: Arc::new(dials), state, history };
        session.advance();
        session
    }

    /// All that the future depends on, besides the plan: no lap numbers, no history.
    #[must_use]
    pub fn state(&self) -> &State {
        &self.state
    }

    /// The plan that is ridden.
    #[must_use]
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Every adjuster of the bike.
    pub(super) fn ids(&self) -> impl DoubleEndedIterator<Item = AdjusterId> + ExactSizeIterator + use<> {
        self.plan.bike().ids()
    }

    /// The adjuster at a place, counted from 0.
    pub(super) fn id_at(&self, index: usize) -> Option<AdjusterId> {
        self.ids().nth(index)
    }

    /// Every lap ridden so far.
    #[must_use]
    pub fn laps(&self) -> &[Lap] {
        self.history.laps()
    }

    /// What has come up since the last answer.
    #[must_use]
    pub fn news(&self) -> &[News] {
        self.history.news()
    }

    /// The same ride with nothing left to tell.
    #[must_use]
    pub fn quiet(mut self) -> Self {
        self.history.told();
        self
    }

    /// Where an adjuster stands in truth, once that is known.
    #[must_use]
    pub fn fitted_at(&self, id: AdjusterId) -> Option<u32> {
        self.state.fitted[id.index()]
    }

    /// An adjuster of the bike.
    #[must_use]
    pub fn adjuster(&self, id: AdjusterId) -> &Adjuster {
        self.plan.bike().get(id)
    }

    /// An adjuster's dial, once its positions are known.
    #[must_use]
    pub fn dial(&self, id: AdjusterId) -> Option<&Dial> {
        self.dials[id.index()].as_deref()
    }

    /// The number of the latest lap of the running tune at a position.
    #[must_use]
    pub fn lap_at(&self, position: u32) -> Option<u32> {
        self.history.lap_at(position)
    }

    /// How an adjuster was found, where that was asked and known.
    #[must_use]
    pub fn found(&self, id: AdjusterId) -> Option<&Told> {
        self.state.seldom.found[id.index()].as_ref()
    }

    /// What to attend to in the running tune, where the plan says; in a second look what it said for the
    /// first.
    #[must_use]
    pub fn feel(&self) -> Option<&str> {
        let Phase::Tune(_) = &self.state.phase else { return None };
        let job = self.job()?;
        let before = self.plan.steps().get(..=self.state.step)?.iter().rev();
        let mut tunes = before.filter_map(|step| match step {
            Step::Tune(tune) if tune.adjuster == job.adjuster => Some(tune),
            _ => None,
        });
        tunes.next()?.feel.as_deref()
    }

    /// The most laps that the running tune may still take, the present one among them.
    #[must_use]
    pub fn laps_to_go(&self) -> Option<u32> {
        match &self.state.phase {
            Phase::Tune(tune) => Some(self.tune_laps_to_go(tune)),
            _ => None,
        }
    }

    pub(super) fn fit(&self, id: AdjusterId, to: u32) -> Fit {
        Fit { adjuster: id, from: self.state.fitted[id.index()], to }
    }

    /// What is asked; `None` where the plan has ended.
    #[must_use]
    pub fn ask(&self) -> Option<Ask> {
        if !self.state.due.is_empty() {
            return self.due_ask();
        }
        match &self.state.phase {
            Phase::Found(index) => self.id_at(*index).map(Ask::Found),
            Phase::Count(index) => self.id_at(*index).map(Ask::Count),
            Phase::InNow(index) => self.id_at(*index).map(Ask::InNow),
            Phase::Measure(state) => self.sag_ask(state),
            Phase::Stop(state) => self.stop_ask(state),
            Phase::Fit => Some(self.fit_list()),
            Phase::Tune(tune) => self.tune_ask(tune),
            Phase::Compare(pairs) => self.pairs_ask(pairs),
            Phase::Steps => match self.plan.steps().get(self.state.step)? {
                Step::Say(text) => Some(Ask::Say(text.clone())),
                Step::Record(condition) => Some(Ask::Record(condition.clone())),
                Step::Ride { laps, warm_up } => {
                    Some(Ask::Ride { laps: self.laps_that_fit(*laps), warm_up: *warm_up })
                }
                Step::RecordSettings
                | Step::Set { .. }
                | Step::Measure(_)
                | Step::Tune(_)
                | Step::Revisit { .. }
                | Step::Confirm(_) => None,
            },
            Phase::Over => None,
        }
    }

    fn fit_list(&self) -> Ask {
        let first = self.state.fitted.iter().all(Option::is_none);
        let fits = self.ids().map(|id| self.fit(id, self.state.at[id.index()]));
        Ask::Fit { fits: fits.filter(|fit| fit.from != Some(fit.to)).collect(), first }
    }

    pub(super) fn laps_that_fit(&self, laps: u32) -> u32 {
        self.state.laps_left.map_or(laps, |left| laps.min(left))
    }

    /// The session after an answer.
    ///
    /// # Errors
    /// Where the answer does not fit the question; this session stands unchanged.
    pub fn answer(&self, answer: &Answer) -> Result<Session, Mismatch> {
        let Some(ask) = self.ask() else { return Err(Mismatch::Over) };
        let mut next = self.clone();
        next.take(&ask, answer)?;
        Ok(next)
    }

    /// Takes an answer to what it asks in place, where this moment is not needed any more.
    ///
    /// # Errors
    /// Where the answer does not fit the question; this session must not be used any more.
    pub(crate) fn take(&mut self, ask: &Ask, answer: &Answer) -> Result<(), Mismatch> {
        self.history.told();
        let in_time = self.is_in_time();
        match (ask, answer) {
            (_, Answer::Baseline) => self.hear_baseline(ask)?,
            _ if !self.state.due.is_empty() => self.hear_due(ask, answer)?,
            (Ask::Found(id), _) => self.hear_found(*id, answer)?,
            (Ask::Count(id), Answer::Told(told)) => self.hear_count(*id, told)?,
            (Ask::Count(id), Answer::Two(found, told)) => {
                self.hear_found_and_count(*id, (found, told), answer)?;
            }
            (Ask::InNow(id), Answer::Told(told)) => self.hear_in_now(*id, told)?,
            (Ask::Sag { fit, .. } | Ask::Stop { fit, .. }, _) => self.hear_sag(*fit, ask, answer)?,
            (Ask::Record(condition), _) => self.hear_condition(condition, answer)?,
            (Ask::Say(_), Answer::Done) => self.state.step += 1,
            (Ask::Fit { .. }, Answer::Done) => self.fitted(),
            (Ask::Ride { laps, .. }, Answer::Done) => self.rode(*laps),
            (Ask::Reference(_) | Ask::Way(_) | Ask::Lap { .. } | Ask::Proof { .. }, _) => {
                self.hear_tune(ask, answer)?;
            }
            (Ask::Pairs { .. } | Ask::Swap { .. } | Ask::FirstOfPair { .. } | Ask::Which { .. }, _) => {
                self.hear_pairs(ask, answer)?;
            }
            _ => return Err(self.unfit(ask, answer)),
        }
        if in_time && !self.is_in_time() {
            self.history.tell(News::TimeUsedUp);
        }
        self.advance();
        Ok(())
    }

    /// The minutes that the laps and changes so far take, by the plan's own times; `None` where the
    /// trail does not say how long a lap is.
    #[must_use]
    pub fn minutes(&self) -> Option<Number> {
        let history = &self.history;
        self.time_of(history.ridden(), history.changes, history.slow_changes)
    }

    /// What was ridden and changed so far.
    #[must_use]
    pub fn taken(&self) -> Taken {
        let History { changes, slow_changes, .. } = self.history;
        Taken { laps: self.history.ridden(), changes, slow_changes }
    }

    fn time_of(&self, laps: u32, changes: u32, slow_changes: u32) -> Option<Number> {
        let lap = self.plan.parts().trail.as_ref()?.lap?;
        let times = |each: Number, count: u32| match count {
            0 => Number::zero(),
            1 => each,
            count => each * Number::from_integer(count.into()),
        };
        let slow = times(Number::from_integer(Plan::SLOW_CHANGE), slow_changes);
        Some(times(lap, laps) + times(self.plan.parts().change, changes) + slow)
    }

    fn is_in_time(&self) -> bool {
        let Some(most) = self.plan.parts().minutes else { return true };
        self.minutes().is_none_or(|minutes| minutes <= most)
    }

    pub(super) fn fitted(&mut self) {
        if self.plan.steps().iter().skip(self.state.step).any(Step::needs_fitting) {
            let slow = self.ids().any(|id| {
                let (fitted, at) = (self.state.fitted[id.index()], self.state.at[id.index()]);
                self.is_slow(id) && fitted.is_some_and(|fitted| fitted != at)
            });
            self.history.changes += u32::from(!slow);
            self.history.slow_changes += u32::from(slow);
        }
        self.state.fitted = self.state.at.iter().copied().map(Some).collect();
        self.state.settle_due = false;
        self.state.phase = Phase::Steps;
    }

    /// Whether changing it takes a workshop's time: another coil, another number of spacers.
    fn is_slow(&self, id: AdjusterId) -> bool {
        self.adjuster(id).is_slow()
    }

    /// Counts one change of one adjuster before a lap or a reading.
    pub(super) fn change(&mut self, id: AdjusterId) {
        if self.is_slow(id) {
            self.history.slow_changes += 1;
        } else {
            self.history.changes += 1;
        }
    }

    fn rode(&mut self, laps: u32) {
        self.ride(laps);
        self.state.last_lap = Some(self.state.at.clone());
        self.state.step += 1;
    }

    /// Writes laps down that nobody judges.
    pub(super) fn ride(&mut self, laps: u32) {
        for _ in 0..laps {
            self.history.lap(None, None, Worth::Counts);
        }
        self.spend(laps);
    }

    pub(super) fn spend(&mut self, laps: u32) {
        if let Some(left) = &mut self.state.laps_left {
            *left = left.saturating_sub(laps);
        }
    }

    /// The settings as they stand now: a running tune settles by its rule, what was not reached is
    /// kept.
    #[must_use]
    pub fn so_far(&self) -> Outcome {
        let mut settled = self.clone();
        if let Phase::Tune(tune) = &self.state.phase {
            settled.settle_now(&tune.clone());
        }
        settled.end_measure();
        for step in self.plan.steps().iter().skip(settled.state.step) {
            let (Step::Tune(Tune { adjuster, .. }) | Step::Measure(Measure { adjuster, .. })) = step else {
                continue;
            };
            settled.keep(*adjuster);
        }
        let adjusters = self.ids().map(|id| {
            let ground = settled.history.ground(id.index());
            Settled {
                adjuster: id,
                dial: self.dial(id).cloned(),
                at: settled.state.at[id.index()],
                found: settled.state.seldom.found[id.index()].clone(),
                how: ground.how,
                laps: ground.laps,
                start_cut: ground.start_cut,
                ridden_anyway: ground.ridden_anyway,
                confirmed: ground.confirmed,
                sag: ground
                    .sag
                    .filter(|sagged| sagged.stood == settled.springs_with(id))
                    .map(|sagged| (sagged.sag, sagged.travel)),
            }
        });
        Outcome {
            adjusters: adjusters.collect(),
            conditions: self.history.conditions(),
            laps: self.history.ridden(),
            minutes: self.minutes(),
            finished: self.state.phase == Phase::Over,
        }
    }
}
