//! Owns how a tune or a second look begins and ends: its window, the reference lap, which way first,
//! settling, the offer of a proof lap. Its laps stand in `laps`; which lap comes next is the search's
//! business.

use std::sync::Arc;

use crate::plan::{AdjusterId, Confirm, Step, Tune};
use crate::search::{Direction, Method, Proposal, Reason, Search, SecondLook, Task, Window};

use super::state::{Phase, Stage, TuneState};
use super::{Answer, Ask, How, Mismatch, News, Session, WhyNot};

/// What is tuned just now, whichever step asks for it.
#[derive(Debug, Clone)]
pub(super) struct Job {
    pub adjuster: AdjusterId,
    pub method: Method,
    pub begin: Option<Direction>,
    pub within: Option<u32>,
    pub at_most: u32,
    /// It is a second look; none for a first one.
    pub again: Option<SecondLook>,
}

/// Whether a position is at an end of what a tune may choose.
fn is_at_an_end(tune: &TuneState, at: u32) -> bool {
    [Direction::Up, Direction::Down].into_iter().any(|way| tune.window.room(at, way) == 0)
}

impl Session {
    /// What a step has tuned; `None` where it tunes nothing.
    pub(super) fn job_of(&self, step: &Step) -> Option<Job> {
        match step {
            Step::Tune(Tune { adjuster, method, begin, within, at_most, .. }) => Some(Job {
                adjuster: *adjuster,
                method: *method,
                begin: *begin,
                within: *within,
                at_most: *at_most,
                again: None,
            }),
            Step::Revisit { adjuster, method } => {
                let top = self.state.seldom.tops[adjuster.index()].unwrap_or(0);
                let look = SecondLook::at(top);
                Some(Job {
                    adjuster: *adjuster,
                    method: *method,
                    begin: None,
                    within: Some(look.reach),
                    at_most: look.at_most,
                    again: Some(look),
                })
            }
            _ => None,
        }
    }

    pub(super) fn job(&self) -> Option<Job> {
        self.job_of(self.plan.steps().get(self.state.step)?)
    }

    /// Why the running tune proposes the lap that is asked for, where it does.
    #[must_use]
    pub fn reason(&self) -> Option<Reason> {
        match &self.state.phase {
            Phase::Tune(TuneState { stage: Stage::Lap { search, .. }, .. }) => search.reason(),
            _ => None,
        }
    }

    /// Whether the running tune is a second look.
    #[must_use]
    pub fn is_second_look(&self) -> bool {
        matches!(self.state.phase, Phase::Tune(_)) && self.job().is_some_and(|job| job.again.is_some())
    }

    /// What the running tune searches, by which method; a second look as a tune of its own window.
    #[must_use]
    pub fn tune_terms(&self) -> Option<Tune> {
        let Phase::Tune(tune) = &self.state.phase else { return None };
        let job = self.job()?;
        let method = self.task(&job, tune, None).method(job.method);
        let (adjuster, begin, within, at_most) = (job.adjuster, job.begin, job.within, job.at_most);
        Some(Tune { adjuster, method, begin, within, at_most, feel: None })
    }

    /// The positions among which the running tune chooses.
    #[must_use]
    pub fn tune_window(&self) -> Option<Window> {
        match &self.state.phase {
            Phase::Tune(tune) => Some(tune.window),
            _ => None,
        }
    }

    fn window(&self, job: &Job) -> Window {
        let index = job.adjuster.index();
        let (at, top) = (self.state.at[index], self.state.seldom.tops[index].unwrap_or(0));
        match job.within {
            Some(reach) => Window { low: at.saturating_sub(reach), high: at.saturating_add(reach).min(top) },
            None => Window { low: 0, high: top },
        }
    }

    /// Begins a tune; `true` where something is asked now.
    pub(super) fn enter_tune(&mut self, job: &Job) -> bool {
        let index = job.adjuster.index();
        if let Some(why) = self.why_not_again(job) {
            self.history.tell(News::NotAgain { adjuster: job.adjuster, why });
            self.state.step += 1;
            return false;
        }
        let window = self.window(job);
        let out_of_laps = self.state.laps_left == Some(0);
        if window.low == window.high || out_of_laps {
            if out_of_laps {
                self.history.tell(News::KeptForLaps(job.adjuster));
            }
            self.keep(job.adjuster);
            self.state.step += 1;
            return false;
        }
        if self.must_fit_first() {
            return true;
        }
        self.history.begin_tune();
        let tune = TuneState { stage: Stage::Reference, laps: 0, void: 0, since: None, window };
        if job.method != self.task(job, &tune, None).method(job.method) && job.again.is_none() {
            self.history.tell(News::Bracketed(job.adjuster));
        }
        if self.state.last_lap.as_ref() == Some(&self.state.at) {
            self.history.counts(self.history.ridden(), self.state.at[index]);
            self.after_reference(job, tune);
            return !matches!(self.state.phase, Phase::Steps);
        }
        self.state.phase = Phase::Tune(tune);
        true
    }

    /// Why there is no second look where one is due; `None` where there is one.
    fn why_not_again(&self, job: &Job) -> Option<WhyNot> {
        job.again?;
        let Some(stood) = &self.state.seldom.stood[job.adjuster.index()] else {
            return Some(WhyNot::NotTuned);
        };
        let mut others = self.ids().filter(|id| *id != job.adjuster).map(AdjusterId::index);
        let moved = others.any(|other| SecondLook::has_moved(stood[other], self.state.at[other]));
        (!moved).then_some(WhyNot::NothingMoved)
    }

    /// What was not changed otherwise was kept.
    pub(super) fn keep(&mut self, id: AdjusterId) {
        if let Some(ground) = self.history.ground_mut(id.index()).filter(|ground| ground.how == How::Set) {
            ground.how = How::Kept;
        }
    }

    pub(super) fn can_ride(&self, job: &Job, tune: &TuneState) -> bool {
        tune.left(job.at_most) > 0 && self.state.laps_left != Some(0)
    }

    pub(super) fn after_reference(&mut self, job: &Job, mut tune: TuneState) {
        let at = self.state.at[job.adjuster.index()];
        if !self.can_ride(job, &tune) {
            self.settle(job, &tune, at, How::NotFinished);
            return;
        }
        let narrows = self.task(job, &tune, None).method(job.method) == Method::Narrow;
        let room = |direction| tune.window.room(at, direction);
        let forced = if room(Direction::Up) == 0 {
            Some(Direction::Down)
        } else if room(Direction::Down) == 0 {
            Some(Direction::Up)
        } else {
            job.begin
        };
        if self.asks_way(job, &tune) {
            tune.stage = Stage::Way;
            self.state.phase = Phase::Tune(tune);
        } else if narrows && (is_at_an_end(&tune, at) || job.again.is_some()) {
            // nobody is asked where there is one way only; what the plan says of it is a hint
            let hint = job.begin.filter(|way| job.again.is_none() && room(*way) > 0);
            self.search(job, tune, hint);
        } else if let Some(direction) = forced {
            self.search(job, tune, Some(direction));
        } else {
            let direction = self.roomier(job, &tune);
            self.search(job, tune, Some(direction));
        }
    }

    /// Whether a tune that begins where its adjuster is asks which way comes first: the plan does not say,
    /// and there is room both ways. A second look never asks.
    pub(super) fn asks_way(&self, job: &Job, tune: &TuneState) -> bool {
        let at = self.state.at[job.adjuster.index()];
        job.begin.is_none() && job.again.is_none() && !is_at_an_end(tune, at)
    }

    /// What the search is about.
    fn task(&self, job: &Job, tune: &TuneState, toward: Option<Direction>) -> Task {
        let dial = self.dial(job.adjuster).filter(|_| job.within.is_none());
        let parts = self.plan.parts();
        Task {
            window: tune.window,
            start: self.state.at[job.adjuster.index()],
            step: dial.map_or(1, crate::plan::Dial::step),
            apart: dial.map_or(1, crate::plan::Dial::apart),
            toward,
            effort: parts.effort,
            second_question: parts.second_question,
            again: job.again,
        }
    }

    fn search(&mut self, job: &Job, tune: TuneState, toward: Option<Direction>) {
        let search = self.task(job, &tune, toward).begin(job.method, self.plan.memory());
        self.go_on(job, tune, search);
    }

    /// Rides the search's next proposal, or settles.
    pub(super) fn go_on(&mut self, job: &Job, mut tune: TuneState, search: Search) {
        match search.next() {
            Proposal::Settle(place) => {
                if self.is_proof_worth_it(job, &tune, &search) {
                    tune.stage = Stage::Offer(search);
                    self.state.phase = Phase::Tune(tune);
                } else {
                    self.settle(job, &tune, place, How::FeltBest);
                }
            }
            Proposal::Ride { against, .. } if self.can_ride(job, &tune) => {
                self.baseline_first(&tune, against);
                tune.stage = Stage::Lap { search, retold: false };
                self.state.phase = Phase::Tune(tune);
            }
            Proposal::Ride { .. } => self.settle(job, &tune, search.settled(), How::NotFinished),
        }
    }

    /// Whether a proof lap is offered: the place was never ridden, and a lap is left that no later step
    /// may need.
    fn is_proof_worth_it(&self, job: &Job, tune: &TuneState, search: &Search) -> bool {
        let spare = || {
            self.state.laps_left.is_none_or(|left| {
                let later = self.plan.steps().iter().skip(self.state.step + 1);
                left > later.map(|step| self.most_laps_of(step)).sum()
            })
        };
        job.again.is_none() && !search.has_ridden_it() && self.can_ride(job, tune) && spare()
    }

    /// The most laps that a later step may take, or somewhat more.
    fn most_laps_of(&self, step: &Step) -> u32 {
        match step {
            Step::Ride { laps, .. } => *laps,
            Step::Confirm(Confirm { pairs, .. }) => pairs * 2,
            step => self.job_of(step).map_or(0, |job| {
                let top = self.state.seldom.tops[job.adjuster.index()].unwrap_or(0);
                let width = job.within.map_or(top, |reach| top.min(reach * 2));
                let size = self.dial(job.adjuster).filter(|_| job.within.is_none());
                let steps = width.div_ceil(size.map_or(1, crate::plan::Dial::step));
                job.at_most.min(steps + 2)
            }),
        }
    }

    pub(super) fn settle(&mut self, job: &Job, tune: &TuneState, place: u32, how: How) {
        let index = job.adjuster.index();
        self.state.at[index] = place;
        self.state.settle_due = self.state.fitted[index] != Some(place);
        self.state.phase = Phase::Steps;
        self.state.step += 1;
        if tune.ridden() == 0 {
            self.keep(job.adjuster);
            self.history.tell(News::Settled { adjuster: job.adjuster, at: place, how: How::Kept });
            return;
        }
        let looked_at_later = self.plan.steps().iter().skip(self.state.step);
        let adjuster = job.adjuster;
        if looked_at_later
            .into_iter()
            .any(|step| matches!(step, Step::Revisit { adjuster: later, .. } if *later == adjuster))
        {
            let stood = Arc::new(self.state.at.to_vec());
            Arc::make_mut(&mut self.state.seldom).stood[index] = Some(stood);
        }
        match job.again {
            Some(_) => self.history.settled_again(index, how),
            None => self.history.settled(index, how),
        }
        self.history.tell(News::Settled { adjuster: job.adjuster, at: place, how });
    }

    /// Settles a tune where it stands, by its rule.
    pub(super) fn settle_now(&mut self, tune: &TuneState) {
        let Some(job) = self.job() else { return };
        let (place, how) = match &tune.stage {
            Stage::Lap { search, .. } => (search.settled(), How::NotFinished),
            Stage::Second { search, rode, verdict } => {
                (search.hear(*rode, *verdict, None).settled(), How::NotFinished)
            }
            Stage::Offer(search) | Stage::Proof(search) => (search.settled(), How::FeltBest),
            Stage::Reference | Stage::Way => (self.state.at[job.adjuster.index()], How::NotFinished),
        };
        self.settle(&job, tune, place, how);
    }

    pub(super) fn hear_way(
        &mut self,
        job: &Job,
        tune: TuneState,
        ask: &Ask,
        answer: &Answer,
    ) -> Result<(), Mismatch> {
        let narrows = self.task(job, &tune, None).method(job.method) == Method::Narrow;
        let toward = match answer {
            Answer::Way(Some(way)) => {
                let adjuster = self.adjuster(job.adjuster);
                Some(adjuster.direction(*way).ok_or_else(|| self.unfit(ask, answer))?)
            }
            Answer::Way(None) | Answer::Done if narrows => None,
            Answer::Way(None) | Answer::Done => Some(self.roomier(job, &tune)),
            _ => return Err(self.unfit(ask, answer)),
        };
        self.search(job, tune, toward);
        Ok(())
    }

    /// The way with more room; of two alike the one toward faster or softer.
    fn roomier(&self, job: &Job, tune: &TuneState) -> Direction {
        let opens = self.adjuster(job.adjuster).rising().opens();
        let opening = if opens { Direction::Up } else { Direction::Down };
        let at = self.state.at[job.adjuster.index()];
        let room = |direction| tune.window.room(at, direction);
        if room(opening) >= room(opening.opposite()) { opening } else { opening.opposite() }
    }

    /// The most laps that a tune may still take, the present one among them.
    pub(super) fn tune_laps_to_go(&self, tune: &TuneState) -> u32 {
        let Some(job) = self.job() else { return 0 };
        let either = || {
            let most = |direction| {
                self.task(&job, tune, Some(direction)).begin(job.method, self.plan.memory()).most_laps()
            };
            most(Direction::Up).max(most(Direction::Down))
        };
        let wished = match &tune.stage {
            Stage::Reference => 1 + either(),
            Stage::Way => either(),
            Stage::Lap { search, .. } => search.most_laps(),
            Stage::Second { search, .. } => search.most_laps().saturating_sub(1),
            Stage::Offer(_) | Stage::Proof(_) => 1,
        };
        wished.min(tune.left(job.at_most)).min(self.state.laps_left.unwrap_or(u32::MAX))
    }
}
