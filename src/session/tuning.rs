//! Owns how a tune goes: the reference lap, which way first, laps with a verdict, settling.
//! Which lap comes next is the search's business.

use std::sync::Arc;

use crate::plan::{AdjusterId, Step, Tune};
use crate::search::{Bracket, Direction, Proposal, Reason, Search, Verdict, Window};

use super::state::{Phase, Stage, TuneState};
use super::{Answer, Ask, Felt, Fit, How, Mismatch, News, Session};

impl Session {
    fn tune_step(&self) -> Option<Tune> {
        match self.plan.steps().get(self.state.step) {
            Some(Step::Tune(tune)) => Some(tune.clone()),
            _ => None,
        }
    }

    /// Why the running tune proposes the lap that is asked for, where it does.
    #[must_use]
    pub fn reason(&self) -> Option<Reason> {
        match &self.state.phase {
            Phase::Tune(TuneState { stage: Stage::Lap { search, .. }, .. }) => search.reason(),
            _ => None,
        }
    }

    /// Begins a tune; `true` where something is asked now.
    pub(super) fn enter_tune(&mut self, step: &Tune) -> bool {
        let index = step.adjuster.index();
        let (at, top) = (self.state.at[index], self.state.tops[index].unwrap_or(0));
        let window = match step.within {
            Some(reach) => Window { low: at.saturating_sub(reach), high: at.saturating_add(reach).min(top) },
            None => Window { low: 0, high: top },
        };
        let out_of_laps = self.state.laps_left == Some(0);
        if window.low == window.high || out_of_laps {
            if out_of_laps {
                self.history.news.push(News::KeptForLaps(step.adjuster));
            }
            self.keep(step.adjuster);
            self.state.step += 1;
            return false;
        }
        if self.must_fit_first() {
            return true;
        }
        self.history.running.clear();
        let tune = TuneState { stage: Stage::Reference, laps: 0, window };
        if self.state.last_lap.as_ref() == Some(&self.state.at) {
            self.history.running.push((self.history.ridden(), at));
            self.after_reference(step, tune);
            return !matches!(self.state.phase, Phase::Steps);
        }
        self.state.phase = Phase::Tune(tune);
        true
    }

    fn keep(&mut self, id: AdjusterId) {
        let ground = &mut Arc::make_mut(&mut self.history.grounds)[id.index()];
        if ground.how == How::Set {
            ground.how = How::Kept;
        }
    }

    fn can_ride(&self, step: &Tune, tune: &TuneState) -> bool {
        tune.laps < step.at_most && self.state.laps_left != Some(0)
    }

    fn after_reference(&mut self, step: &Tune, mut tune: TuneState) {
        let at = self.state.at[step.adjuster.index()];
        if !self.can_ride(step, &tune) {
            self.settle(step, &tune, at, How::NotFinished);
            return;
        }
        let room = |direction| tune.window.room(at, direction);
        let forced = if room(Direction::Up) == 0 {
            Some(Direction::Down)
        } else if room(Direction::Down) == 0 {
            Some(Direction::Up)
        } else {
            step.begin
        };
        if let Some(direction) = forced {
            self.search(step, tune, direction);
        } else {
            tune.stage = Stage::Way;
            self.state.phase = Phase::Tune(tune);
        }
    }

    fn step_size(&self, step: &Tune) -> u32 {
        match (step.within, self.dial(step.adjuster)) {
            (None, Some(dial)) => dial.step(),
            _ => 1,
        }
    }

    fn search(&mut self, step: &Tune, tune: TuneState, direction: Direction) {
        let at = self.state.at[step.adjuster.index()];
        let bracket = Bracket::begin(tune.window, at, self.step_size(step), direction);
        self.go_on(step, tune, Search::Bracket(bracket));
    }

    /// Rides the search's next proposal, or settles.
    fn go_on(&mut self, step: &Tune, mut tune: TuneState, search: Search) {
        match search.next() {
            Proposal::Settle(place) => self.settle(step, &tune, place, How::FeltBest),
            Proposal::Ride { .. } if self.can_ride(step, &tune) => {
                tune.stage = Stage::Lap { search, retold: false };
                self.state.phase = Phase::Tune(tune);
            }
            Proposal::Ride { .. } => self.settle(step, &tune, search.settled(), How::NotFinished),
        }
    }

    fn settle(&mut self, step: &Tune, tune: &TuneState, place: u32, how: How) {
        let index = step.adjuster.index();
        self.state.at[index] = place;
        self.state.settle_due = self.state.fitted[index] != Some(place);
        self.state.phase = Phase::Steps;
        self.state.step += 1;
        if tune.laps == 0 {
            self.keep(step.adjuster);
            self.history.news.push(News::Settled { adjuster: step.adjuster, at: place, how: How::Kept });
            return;
        }
        let ground = &mut Arc::make_mut(&mut self.history.grounds)[index];
        ground.how = how;
        ground.laps = self.history.running.iter().map(|lap| lap.0).collect();
        self.history.news.push(News::Settled { adjuster: step.adjuster, at: place, how });
    }

    /// Settles a tune where it stands, by its rule.
    pub(super) fn settle_now(&mut self, tune: &TuneState) {
        let Some(step) = self.tune_step() else { return };
        let place = match &tune.stage {
            Stage::Lap { search, .. } => search.settled(),
            Stage::Reference | Stage::Way => self.state.at[step.adjuster.index()],
        };
        self.settle(&step, tune, place, How::NotFinished);
    }

    pub(super) fn hear_tune(&mut self, ask: &Ask, answer: &Answer) -> Result<(), Mismatch> {
        let (Some(step), Phase::Tune(tune)) = (self.tune_step(), self.state.phase.clone()) else {
            return Err(self.unfit(ask, answer));
        };
        if *answer == Answer::Keep {
            self.settle_now(&tune);
            return Ok(());
        }
        match ask {
            Ask::Reference(fit) => self.hear_reference(&step, tune, *fit, ask, answer),
            Ask::Way(_) => {
                let direction = self.direction(&step, &tune, ask, answer)?;
                self.search(&step, tune, direction);
                Ok(())
            }
            Ask::Lap { fit, .. } => self.hear_lap(&step, tune, *fit, ask, answer),
            _ => Err(self.unfit(ask, answer)),
        }
    }

    fn direction(
        &self,
        step: &Tune,
        tune: &TuneState,
        ask: &Ask,
        answer: &Answer,
    ) -> Result<Direction, Mismatch> {
        let adjuster = self.adjuster(step.adjuster);
        match answer {
            Answer::Way(Some(way)) => adjuster.direction(*way).ok_or_else(|| self.unfit(ask, answer)),
            Answer::Way(None) | Answer::Done => {
                let opening = if adjuster.rising().opens() { Direction::Up } else { Direction::Down };
                let at = self.state.at[step.adjuster.index()];
                let room = |direction| tune.window.room(at, direction);
                let roomier = room(opening) >= room(opening.opposite());
                Ok(if roomier { opening } else { opening.opposite() })
            }
            _ => Err(self.unfit(ask, answer)),
        }
    }

    /// Writes a lap down: where the knob stood, what it cost.
    fn lap(
        &mut self,
        tune: &mut TuneState,
        id: AdjusterId,
        position: u32,
        felt: Option<Felt>,
        void: bool,
    ) -> u32 {
        tune.laps += 1;
        self.spend(1);
        if self.state.fitted[id.index()] != Some(position) {
            self.change(id);
        }
        self.state.fitted[id.index()] = Some(position);
        let number = self.history.lap(Some((id, position)), felt, void);
        if void {
            self.state.last_lap = None;
        } else {
            self.state.at[id.index()] = position;
            self.state.last_lap = Some(self.state.at.clone());
        }
        number
    }

    fn hear_reference(
        &mut self,
        step: &Tune,
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
                self.lap(&mut tune, id, position, None, true);
                if *answer != Answer::Void {
                    self.history.news.push(News::LapVoid);
                }
                self.again(step, tune);
            }
            _ => {
                let number = self.lap(&mut tune, id, fit.to, None, false);
                self.history.running.push((number, fit.to));
                self.after_reference(step, tune);
            }
        }
        Ok(())
    }

    /// Asks the same again where laps are left, else settles.
    fn again(&mut self, step: &Tune, tune: TuneState) {
        if self.can_ride(step, &tune) {
            self.state.phase = Phase::Tune(tune);
        } else {
            self.settle_now(&tune);
        }
    }

    fn hear_lap(
        &mut self,
        step: &Tune,
        mut tune: TuneState,
        fit: Fit,
        ask: &Ask,
        answer: &Answer,
    ) -> Result<(), Mismatch> {
        let Stage::Lap { search, retold } = tune.stage.clone() else { return Err(self.unfit(ask, answer)) };
        let id = fit.adjuster;
        let (rode, felt) = match answer {
            Answer::Felt(felt) => (fit.to, *felt),
            Answer::Void => {
                self.lap(&mut tune, id, fit.to, None, true);
                self.again(step, tune);
                return Ok(());
            }
            Answer::Used(told, Some(felt)) => (self.position(id, told)?, *felt),
            _ => return Err(self.unfit(ask, answer)),
        };
        // nothing was felt at a setting that nobody asked for: nothing to count
        let countable = search.takes(rode) && felt != Felt::CannotTell;
        if rode != fit.to && !countable {
            self.lap(&mut tune, id, rode, Some(felt), true);
            self.history.news.push(News::LapVoid);
            self.again(step, tune);
            return Ok(());
        }
        let number = self.lap(&mut tune, id, rode, Some(felt), false);
        let verdict = match felt {
            Felt::Verdict(verdict) => verdict,
            Felt::CannotTell if retold => Verdict::Same,
            Felt::CannotTell => {
                tune.stage = Stage::Lap { search, retold: true };
                self.again(step, tune);
                return Ok(());
            }
        };
        self.history.running.push((number, rode));
        self.go_on(step, tune, search.hear(rode, verdict));
        Ok(())
    }

    /// The most laps that a tune may still take, the present one among them.
    pub(super) fn tune_laps_to_go(&self, tune: &TuneState) -> u32 {
        let Some(step) = self.tune_step() else { return 0 };
        let at = self.state.at[step.adjuster.index()];
        let size = self.step_size(&step);
        let either = || {
            let most = |direction| Bracket::begin(tune.window, at, size, direction).most_laps();
            most(Direction::Up).max(most(Direction::Down))
        };
        let wished = match &tune.stage {
            Stage::Reference => 1 + either(),
            Stage::Way => either(),
            Stage::Lap { search, .. } => search.most_laps(),
        };
        let allowed = step.at_most.saturating_sub(tune.laps);
        wished.min(allowed).min(self.state.laps_left.unwrap_or(u32::MAX))
    }
}
