//! Owns the fold over answers: the first moment, what is asked, what an answer makes of it, what comes out. What a step
//! asks and hears is in its own file of `steps`, how a ride opens in `opening`.

use std::sync::Arc;

use crate::plan::{AdjusterId, ByAdjuster, FewByAdjuster, Measure, Plan, Scale, Setup, Step, Tune};

use super::history::History;
use super::state::{Phase, Seldom, State};
use super::steps::{self, confirm, laps, measure, record, ride, tune};
use super::{Answer, Ask, Mismatch, News, Outcome, Session, Settled, afresh, opening};

impl Session {
    /// A ride before its first question. The seed is for what is drawn by lot: the order of pairs.
    #[must_use]
    pub fn begin(plan: Arc<Plan>, seed: u64) -> Self {
        let bike = plan.bike();
        let dials = ByAdjuster::of(bike, |id| match &bike.get(id).setup {
            Setup::Known(dial) => Some(Arc::new(dial.clone())),
            Setup::Unstarted(_) | Setup::Uncounted(_) => None,
        });
        let phase = if plan.asks_found_first() { Phase::Before(0) } else { Phase::Count(0) };
        let seldom = Seldom {
            tops: ByAdjuster::of(bike, |id| bike.get(id).setup.scale().map(Scale::top)),
            before: ByAdjuster::of(bike, |_| None),
            stood: ByAdjuster::of(bike, |_| None),
        };
        let state = State {
            step: 0,
            at: FewByAdjuster::of(bike, |id| dials[id].as_ref().map_or(0, |dial| dial.start())),
            fitted: FewByAdjuster::of(bike, |_| None),
            last_lap: None,
            laps_left: plan.parts().laps,
            settle_due: false,
            found_asked: plan.asks_found_first(),
            seldom: Arc::new(seldom),
            due: Vec::new(),
            phase,
        };
        let history = History::new(bike);
        let mut session = Session { plan, seed, dials: Arc::new(dials), state, history };
        advance(&mut session);
        session
    }

    /// What is asked; `None` where the plan has ended.
    #[must_use]
    pub fn ask(&self) -> Option<Ask> {
        if !self.state.due.is_empty() {
            return afresh::ask(self);
        }
        match &self.state.phase {
            Phase::Before(index) => self.id_at(*index).map(Ask::Before),
            Phase::Count(index) => self.id_at(*index).map(Ask::Count),
            Phase::InNow(index) => self.id_at(*index).map(Ask::InNow),
            Phase::Measure(state) => measure::ask(self, state),
            Phase::Stop(state) => measure::ask_at_stop(self, state),
            Phase::Fit => Some(self.fit_list()),
            Phase::Tune(tune) => laps::ask(self, tune),
            Phase::Compare(pairs) => confirm::ask(self, pairs),
            Phase::Steps => steps::ask(self),
            Phase::Over => None,
        }
    }

    fn fit_list(&self) -> Ask {
        let first = self.state.fitted.iter().all(Option::is_none);
        let fits = self.ids().map(|id| self.fit(id, self.state.at[id]));
        Ask::Fit { fits: fits.filter(|fit| fit.from != Some(fit.to)).collect(), first }
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
            (_, Answer::Baseline) => afresh::hear_baseline(self, ask)?,
            _ if !self.state.due.is_empty() => afresh::hear(self, ask, answer)?,
            (Ask::Before(id), _) => opening::hear_before(self, *id, answer)?,
            (Ask::Count(id), Answer::Told(told)) => opening::hear_count(self, *id, told)?,
            (Ask::Count(id), Answer::Two(found, told)) => {
                opening::hear_before_and_count(self, *id, (found, told), answer)?;
            }
            (Ask::InNow(id), Answer::Told(told)) => opening::hear_in_now(self, *id, told)?,
            (Ask::Sag { fit, .. } | Ask::Stop { fit, .. }, _) => measure::hear(self, *fit, ask, answer)?,
            (Ask::Record(condition), _) => record::hear(self, condition, answer)?,
            (Ask::Say(_), Answer::Done) => self.state.step += 1,
            (Ask::Fit { .. }, Answer::Done) => self.fitted(),
            (Ask::Ride { laps, .. }, Answer::Done) => ride::hear(self, *laps),
            (Ask::Baseline(_) | Ask::Way(_) | Ask::Lap { .. } | Ask::Trial { .. }, _) => {
                laps::hear(self, ask, answer)?;
            }
            (Ask::Pairs { .. } | Ask::Swap { .. } | Ask::FirstOfPair { .. } | Ask::Which { .. }, _) => {
                confirm::hear(self, ask, answer)?;
            }
            _ => return Err(self.unfit(ask, answer)),
        }
        if in_time && !self.is_in_time() {
            self.history.tell(News::TimeUsedUp);
        }
        advance(self);
        Ok(())
    }

    /// The settings as they stand now: a running tune settles by its rule, what was not reached is
    /// kept.
    #[must_use]
    pub fn so_far(&self) -> Outcome {
        let mut settled = self.clone();
        if let Phase::Tune(tune) = &self.state.phase {
            tune::settle_now(&mut settled, &tune.clone());
        }
        measure::end(&mut settled);
        for step in self.plan.steps().iter().skip(settled.state.step) {
            let (Step::Tune(Tune { adjuster, .. }) | Step::Measure(Measure { adjuster, .. })) = step else {
                continue;
            };
            tune::keep(&mut settled, *adjuster);
        }
        let adjusters = self.ids().map(|id| {
            let ground = settled.history.ground(id);
            Settled {
                adjuster: id,
                dial: self.dial(id).cloned(),
                at: settled.state.at[id],
                before: settled.state.seldom.before[id].clone(),
                how: ground.how,
                laps: ground.laps,
                start_cut: ground.start_cut,
                ridden_anyway: ground.ridden_anyway,
                confirmed: ground.confirmed,
                sag: ground
                    .sag
                    .filter(|sagged| sagged.stood == measure::springs_with(&settled, id))
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

/// Goes on to the next thing that is asked, or to the end.
pub(super) fn advance(session: &mut Session) {
    while session.state.due.is_empty() {
        match session.state.phase {
            Phase::Before(index) if session.id_at(index).is_some() => return,
            Phase::Before(_) => session.state.phase = Phase::Count(0),
            Phase::Count(index) => {
                let uncounted = |id: &AdjusterId| {
                    session.dials[*id].is_none() && matches!(session.adjuster(*id).setup, Setup::Uncounted(_))
                };
                match session.ids().skip(index).find(uncounted) {
                    Some(id) => {
                        session.state.phase = Phase::Count(id.index());
                        return;
                    }
                    None => session.state.phase = Phase::InNow(0),
                }
            }
            Phase::InNow(index) => match session.ids().skip(index).find(|id| session.dials[*id].is_none()) {
                Some(id) if !opening::before_is_in_it(session, id) => {
                    session.state.phase = Phase::InNow(id.index());
                    return;
                }
                Some(id) => session.state.phase = Phase::InNow(id.index() + 1),
                None => session.state.phase = Phase::Steps,
            },
            Phase::Fit
            | Phase::Measure(_)
            | Phase::Stop(_)
            | Phase::Tune(_)
            | Phase::Compare(_)
            | Phase::Over => {
                return;
            }
            Phase::Steps => {
                if steps::enter(session) {
                    return;
                }
            }
        }
    }
}
