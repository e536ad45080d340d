//! Owns the laps of a tune: which answers they take, what each counts for, what is ridden once more.
//! How a tune begins and ends stands in `tuning`.

use std::sync::Arc;

use crate::plan::AdjusterId;
use crate::search::{Proposal, Search, Verdict};

use super::history::Worth;
use super::state::{Phase, Stage, TuneState};
use super::tuning::Job;
use super::{Answer, Ask, Felt, Fit, How, Mismatch, News, Round, Session};

impl Session {
    pub(super) fn tune_ask(&self, tune: &TuneState) -> Option<Ask> {
        let id = self.job()?.adjuster;
        let stands = |at| self.fit(id, at);
        match &tune.stage {
            Stage::Reference => Some(Ask::Reference(stands(self.state.at[id.index()]))),
            Stage::Way => Some(Ask::Way(id)),
            Stage::Lap { search, retold } => match search.next() {
                Proposal::Ride { at, against, .. } => {
                    let round = if *retold { Round::Again } else { Round::First };
                    Some(Ask::Lap { fit: stands(at), against, round })
                }
                Proposal::Settle(_) => None,
            },
            Stage::Second { search, rode, .. } => match search.next() {
                Proposal::Ride { also: Some(also), .. } => {
                    Some(Ask::Lap { fit: stands(*rode), against: also, round: Round::Second })
                }
                _ => None,
            },
            Stage::Offer(search) => {
                Some(Ask::Proof { fit: stands(search.settled()), against: search.best_ridden() })
            }
            Stage::Proof(search) => Some(Ask::Lap {
                fit: stands(search.settled()),
                against: search.best_ridden(),
                round: Round::Proof,
            }),
        }
    }

    pub(super) fn hear_tune(&mut self, ask: &Ask, answer: &Answer) -> Result<(), Mismatch> {
        let Some(job) = self.job() else { return Err(self.unfit(ask, answer)) };
        // it is put back, or another phase follows; where the answer does not fit, nobody goes on from here
        let Phase::Tune(mut tune) = std::mem::replace(&mut self.state.phase, Phase::Steps) else {
            return Err(self.unfit(ask, answer));
        };
        if *answer == Answer::Keep && !matches!(ask, Ask::Proof { .. }) {
            self.settle_now(&tune);
            return Ok(());
        }
        match ask {
            Ask::Reference(fit) => self.hear_reference(&job, tune, *fit, ask, answer),
            Ask::Way(_) => self.hear_way(&job, tune, ask, answer),
            Ask::Lap { fit, .. } => match std::mem::replace(&mut tune.stage, Stage::Reference) {
                Stage::Lap { search, retold } => {
                    self.hear_lap(&job, tune, (*fit, search, retold), ask, answer)
                }
                Stage::Second { search, rode, verdict } => {
                    self.hear_second(&job, tune, (&search, rode, verdict), ask, answer)
                }
                Stage::Proof(search) => self.hear_proof(&job, tune, (*fit, search), ask, answer),
                _ => Err(self.unfit(ask, answer)),
            },
            Ask::Proof { .. } => self.hear_offer(&job, tune, ask, answer),
            _ => Err(self.unfit(ask, answer)),
        }
    }

    /// Writes a lap down: where the knob stood, what it cost.
    pub(super) fn lap(
        &mut self,
        tune: &mut TuneState,
        id: AdjusterId,
        position: u32,
        felt: Option<Felt>,
        worth: Worth,
    ) -> u32 {
        match worth {
            Worth::Void => tune.void += 1,
            Worth::Counts => {
                tune.laps += 1;
                if let Some(since) = &mut tune.since {
                    Arc::make_mut(since).push(position);
                }
            }
        }
        self.spend(1);
        if self.state.fitted[id.index()] != Some(position) {
            self.change(id);
        }
        self.state.fitted[id.index()] = Some(position);
        let number = self.history.lap(Some((id, position)), felt, worth);
        match worth {
            Worth::Void => self.state.last_lap = None,
            Worth::Counts => {
                self.state.at[id.index()] = position;
                self.state.last_lap = Some(self.state.at.clone());
            }
        }
        number
    }

    fn hear_reference(
        &mut self,
        job: &Job,
        mut tune: TuneState,
        fit: Fit,
        ask: &Ask,
        answer: &Answer,
    ) -> Result<(), Mismatch> {
        let id = fit.adjuster;
        let rode = match answer {
            Answer::Done => None,
            Answer::Void => Some(fit.to),
            Answer::Used(told, None) => Some(self.position(id, told)?),
            _ => return Err(self.unfit(ask, answer)),
        };
        match rode {
            Some(position) if *answer == Answer::Void || position != fit.to => {
                self.lap(&mut tune, id, position, None, Worth::Void);
                if *answer != Answer::Void {
                    self.history.tell(News::LapVoid);
                }
                self.again(job, tune);
            }
            _ => {
                let number = self.lap(&mut tune, id, fit.to, None, Worth::Counts);
                self.history.counts(number, fit.to);
                self.after_reference(job, tune);
            }
        }
        Ok(())
    }

    /// Asks the same again where laps are left, else settles.
    fn again(&mut self, job: &Job, tune: TuneState) {
        if self.can_ride(job, &tune) {
            self.state.phase = Phase::Tune(tune);
        } else {
            self.settle_now(&tune);
        }
    }

    fn hear_lap(
        &mut self,
        job: &Job,
        mut tune: TuneState,
        (fit, search, retold): (Fit, Search, bool),
        ask: &Ask,
        answer: &Answer,
    ) -> Result<(), Mismatch> {
        let id = fit.adjuster;
        let (rode, felt) = match answer {
            Answer::Felt(felt) => (fit.to, *felt),
            Answer::Void => {
                tune.stage = Stage::Lap { search, retold };
                self.lap(&mut tune, id, fit.to, None, Worth::Void);
                self.again(job, tune);
                return Ok(());
            }
            Answer::Used(told, Some(felt)) => (self.position(id, told)?, *felt),
            _ => return Err(self.unfit(ask, answer)),
        };
        // nothing was felt at a setting that nobody asked for: nothing to count
        let counts = || search.takes(rode) && felt != Felt::CannotTell;
        if rode != fit.to && !counts() {
            tune.stage = Stage::Lap { search, retold };
            self.lap(&mut tune, id, rode, Some(felt), Worth::Void);
            self.history.tell(News::LapVoid);
            self.again(job, tune);
            return Ok(());
        }
        let number = self.lap(&mut tune, id, rode, Some(felt), Worth::Counts);
        let verdict = match felt {
            Felt::Verdict(verdict) => verdict,
            Felt::CannotTell if retold => Verdict::Same,
            Felt::CannotTell => {
                tune.stage = Stage::Lap { search, retold: true };
                self.again(job, tune);
                return Ok(());
            }
        };
        self.history.counts(number, rode);
        if let Proposal::Ride { also: Some(also), .. } = search.next()
            && also != rode
            && tune.counts_at(also)
        {
            tune.stage = Stage::Second { search, rode, verdict };
            self.state.phase = Phase::Tune(tune);
        } else {
            self.go_on(job, tune, search.hear(rode, verdict, None));
        }
        Ok(())
    }

    /// The second question about a lap. Who cannot tell leaves it out: it is not worth another lap.
    fn hear_second(
        &mut self,
        job: &Job,
        tune: TuneState,
        (search, rode, verdict): (&Search, u32, Verdict),
        ask: &Ask,
        answer: &Answer,
    ) -> Result<(), Mismatch> {
        let second = match answer {
            Answer::Felt(Felt::Verdict(second)) => Some(*second),
            Answer::Felt(Felt::CannotTell) | Answer::Skip => None,
            _ => return Err(self.unfit(ask, answer)),
        };
        self.go_on(job, tune, search.hear(rode, verdict, second));
        Ok(())
    }

    fn hear_offer(
        &mut self,
        job: &Job,
        mut tune: TuneState,
        ask: &Ask,
        answer: &Answer,
    ) -> Result<(), Mismatch> {
        let Stage::Offer(search) = tune.stage.clone() else { return Err(self.unfit(ask, answer)) };
        match answer {
            Answer::Done | Answer::Skip => self.settle(job, &tune, search.settled(), How::FeltBest),
            Answer::Proof => {
                self.baseline_first(&tune, search.best_ridden());
                tune.stage = Stage::Proof(search);
                self.state.phase = Phase::Tune(tune);
            }
            _ => return Err(self.unfit(ask, answer)),
        }
        Ok(())
    }

    /// The proof lap. Whoever cannot tell has not found it worse.
    fn hear_proof(
        &mut self,
        job: &Job,
        mut tune: TuneState,
        (fit, search): (Fit, Search),
        ask: &Ask,
        answer: &Answer,
    ) -> Result<(), Mismatch> {
        let verdict = match answer {
            Answer::Felt(Felt::Verdict(verdict)) => *verdict,
            Answer::Felt(Felt::CannotTell) => Verdict::Same,
            Answer::Void => {
                tune.stage = Stage::Proof(search);
                self.lap(&mut tune, fit.adjuster, fit.to, None, Worth::Void);
                self.again(job, tune);
                return Ok(());
            }
            _ => return Err(self.unfit(ask, answer)),
        };
        let number = self.lap(&mut tune, fit.adjuster, fit.to, Some(Felt::Verdict(verdict)), Worth::Counts);
        self.history.counts(number, fit.to);
        self.settle(job, &tune, search.proven(verdict), How::FeltBest);
        Ok(())
    }
}
