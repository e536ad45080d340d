//! Owns what is asked where laps can no longer be compared with those before: conditions and tyres again, a
//! warm-up, and the setting with which the next lap is compared, ridden again. Then the ride goes on where it was.

use std::sync::Arc;

use crate::plan::{AdjusterId, Step};
use crate::search::Few;
use crate::vocabulary::Family;

use super::history::Worth;
use super::state::{Due, PairStage, Phase, Stage, TuneState};
use super::tuning::Job;
use super::{Answer, Ask, Mismatch, News, OfPair, Session};

impl Session {
    /// What is asked before the ride goes on where it was; `None` where nothing is.
    pub(super) fn due_ask(&self) -> Option<Ask> {
        match *self.state.due.first()? {
            Due::Record(step) => match self.plan.steps().get(step)? {
                Step::Record(condition) => Some(Ask::Record(condition.clone())),
                _ => None,
            },
            Due::Fit => {
                let fits = self.due_fits().map(|id| self.fit(id, self.state.at[id.index()]));
                Some(Ask::Fit { fits: fits.collect(), first: false })
            }
            Due::WarmUp(laps) => Some(Ask::Ride { laps: self.laps_that_fit(laps), warm_up: true }),
            Due::Baseline(at) => Some(Ask::Reference(self.fit(self.job()?.adjuster, at))),
        }
    }

    /// What is to be fitted: tyres, which lose air, and all else that was to be fitted anyway.
    fn due_fits(&self) -> impl Iterator<Item = AdjusterId> {
        let all = self.state.phase == Phase::Fit;
        self.ids().filter(move |id| {
            let (fitted, at) = (self.state.fitted[id.index()], self.state.at[id.index()]);
            fitted.is_none() || all && fitted != Some(at)
        })
    }

    /// Whether a new baseline is being ridden.
    #[must_use]
    pub fn is_afresh(&self) -> bool {
        !self.state.due.is_empty()
    }

    /// Begins afresh: what was ridden before is compared with no more.
    pub(super) fn hear_baseline(&mut self, ask: &Ask) -> Result<(), Mismatch> {
        if self.history.ridden() == 0 {
            return Err(Mismatch::NoLapYet);
        }
        let wanted = self.warm_up() + 2;
        if let (Phase::Tune(_), Some(left)) =
            (&self.state.phase, self.state.laps_left.filter(|left| *left < wanted))
        {
            return Err(Mismatch::TooFewLaps { wanted, left });
        }
        let before = self.plan.steps().iter().enumerate().take(self.state.step);
        let records = before.filter(|(_, step)| matches!(step, Step::Record(_)));
        let mut due: Vec<Due> = records.map(|(index, _)| Due::Record(index)).collect();
        for id in self.ids() {
            if self.plan.bike().get(id).knob.family() == Family::Tyre {
                self.state.fitted[id.index()] = None;
            }
        }
        if self.due_fits().next().is_some() {
            due.push(Due::Fit);
        }
        let rides_anyway = matches!(ask, Ask::Sag { .. } | Ask::Stop { .. })
            || matches!(self.plan.steps().get(self.state.step), None | Some(Step::Ride { .. }));
        let warm_up = self.laps_that_fit(self.warm_up());
        if !rides_anyway && warm_up > 0 {
            due.push(Due::WarmUp(warm_up));
        }
        self.state.due = due;
        self.state.last_lap = None;
        match self.state.phase.clone() {
            Phase::Tune(tune) => self.tune_afresh(tune),
            Phase::Compare(mut pairs) if pairs.stage != PairStage::Begin => {
                // the laps of a pair are ridden one after the other
                pairs.stage = PairStage::Swap(OfPair::First);
                self.state.phase = Phase::Compare(pairs);
            }
            _ => {}
        }
        Ok(())
    }

    /// The laps of the plan's warm-up; one where it has none.
    fn warm_up(&self) -> u32 {
        let mut warm_ups = self.plan.steps().iter().filter_map(|step| match step {
            Step::Ride { laps, warm_up: true } => Some(*laps),
            _ => None,
        });
        warm_ups.next().unwrap_or(1)
    }

    fn tune_afresh(&mut self, mut tune: TuneState) {
        let Some(job) = self.job() else { return };
        tune.since = Some(Arc::default());
        match tune.stage.clone() {
            Stage::Reference | Stage::Way | Stage::Offer(_) => self.state.phase = Phase::Tune(tune),
            Stage::Lap { search, .. } => self.go_on(&job, tune, search),
            Stage::Second { search, rode, verdict } => {
                self.go_on(&job, tune, search.hear(rode, verdict, None));
            }
            Stage::Proof(search) => {
                self.baseline_first(&tune, search.best_ridden());
                self.state.phase = Phase::Tune(tune);
            }
        }
    }

    /// Has a setting ridden again before a lap is compared with it, where that is due and laps are left.
    pub(super) fn baseline_first(&mut self, tune: &TuneState, against: u32) {
        if !tune.counts_at(against) && self.state.laps_left.is_none_or(|left| left > 1) {
            self.state.due.push(Due::Baseline(against));
        }
    }

    /// Hears an answer to what is due.
    pub(super) fn hear_due(&mut self, ask: &Ask, answer: &Answer) -> Result<(), Mismatch> {
        match (ask, answer) {
            (Ask::Record(condition), _) => self.note_down(condition, answer)?,
            (Ask::Fit { fits, .. }, Answer::Done) => {
                for fit in fits {
                    self.state.fitted[fit.adjuster.index()] = Some(fit.to);
                }
                if self.state.phase == Phase::Fit {
                    self.fitted();
                }
            }
            (Ask::Ride { laps, .. }, Answer::Done) => {
                self.ride(*laps);
                let fitted = self.state.fitted.iter().copied().collect::<Option<Few<u32>>>();
                self.state.last_lap = fitted.filter(|fitted| *fitted == self.state.at);
            }
            (Ask::Reference(fit), _) => return self.hear_again(fit.to, ask, answer),
            _ => return Err(self.unfit(ask, answer)),
        }
        self.state.due.remove(0);
        Ok(())
    }

    /// The setting with which the next lap is compared, ridden again. It is no lap of the adjuster's own
    /// `at most`.
    fn hear_again(&mut self, at: u32, ask: &Ask, answer: &Answer) -> Result<(), Mismatch> {
        let (Some(job), Phase::Tune(mut tune)) = (self.job(), self.state.phase.clone()) else {
            return Err(self.unfit(ask, answer));
        };
        let id = job.adjuster;
        let rode = match answer {
            Answer::Done => at,
            Answer::Void => {
                self.lap(&mut tune, id, at, None, Worth::Void);
                return self.still_due(&job, tune);
            }
            Answer::Used(told, None) => self.position(id, told)?,
            Answer::Keep => {
                self.state.due.clear();
                self.settle_now(&tune);
                return Ok(());
            }
            _ => return Err(self.unfit(ask, answer)),
        };
        if rode != at {
            self.lap(&mut tune, id, rode, None, Worth::Void);
            self.history.tell(News::LapVoid);
            return self.still_due(&job, tune);
        }
        let number = self.lap(&mut tune, id, at, None, Worth::Counts);
        (tune.laps, tune.void) = (tune.laps.saturating_sub(1), tune.void + 1);
        self.history.counts(number, at);
        self.state.due.remove(0);
        if self.can_ride(&job, &tune) {
            self.state.phase = Phase::Tune(tune);
        } else {
            self.settle_now(&tune);
        }
        Ok(())
    }

    /// What is due is asked again where a lap is left, else the tune settles.
    #[allow(clippy::unnecessary_wraps, reason = "the end of what hears an answer")]
    fn still_due(&mut self, job: &Job, tune: TuneState) -> Result<(), Mismatch> {
        if self.can_ride(job, &tune) {
            self.state.phase = Phase::Tune(tune);
        } else {
            self.state.due.clear();
            self.settle_now(&tune);
        }
        Ok(())
    }
}
