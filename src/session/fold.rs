//! Owns the session: its state, what it asks, and which answers fit. How a tune goes stands in
//! `tuning`, how a ride opens in `opening`.

use std::sync::Arc;

use crate::physics::{Number, Unit, mixed_or_decimal};
use crate::plan::{Adjuster, AdjusterId, Condition, Dial, Plan, Setup, Step};
use crate::search::Proposal;
use crate::vocabulary::{ANSWERS, AnswerWord, Way, nearest, unit_word};

use super::history::History;
use super::state::{Phase, Stage, State, TuneState};
use super::{Answer, Ask, Fit, How, Lap, Mismatch, News, Outcome, Settled, Told};

/// A ride at one moment. It never changes; an answer gives the next one.
#[derive(Debug, Clone, PartialEq)]
pub struct Session {
    pub(super) plan: Arc<Plan>,
    pub(super) ids: Vec<AdjusterId>,
    pub(super) dials: Vec<Option<Arc<Dial>>>,
    pub(super) state: State,
    pub(super) history: History,
}

impl Session {
    /// A ride before its first question. The seed is for what is drawn by lot; no step draws yet.
    #[must_use]
    pub fn begin(plan: Arc<Plan>, _seed: u64) -> Self {
        let ids: Vec<_> = plan.bike().ids().collect();
        let dials: Vec<_> = ids
            .iter()
            .map(|&id| match &plan.bike().get(id).setup {
                Setup::Known(dial) => Some(Arc::new(dial.clone())),
                Setup::Uncounted(_) => None,
            })
            .collect();
        let phase = if plan.asks_found_first() { Phase::Found(0) } else { Phase::Count(0) };
        let state = State {
            step: 0,
            tops: dials.iter().map(|dial| dial.as_ref().map(|dial| dial.scale().top())).collect(),
            at: dials.iter().map(|dial| dial.as_ref().map_or(0, |dial| dial.start())).collect(),
            fitted: vec![None; ids.len()],
            last_lap: None,
            laps_left: plan.parts().laps,
            settle_due: false,
            found_asked: plan.asks_found_first(),
            found: vec![None; ids.len()],
            phase,
        };
        let history = History::new(ids.len());
        Session { plan, ids, dials, state, history }.advance()
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

    /// Every lap ridden so far.
    #[must_use]
    pub fn laps(&self) -> &[Lap] {
        &self.history.laps
    }

    /// What has come up since the last answer.
    #[must_use]
    pub fn news(&self) -> &[News] {
        &self.history.news
    }

    /// The same ride with nothing left to tell.
    #[must_use]
    pub fn quiet(mut self) -> Self {
        self.history.news.clear();
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
        self.state.found[id.index()].as_ref()
    }

    /// What to attend to in the running tune, where the plan says.
    #[must_use]
    pub fn feel(&self) -> Option<&str> {
        match (&self.state.phase, self.plan.steps().get(self.state.step)) {
            (Phase::Tune(_), Some(Step::Tune(tune))) => tune.feel.as_deref(),
            _ => None,
        }
    }

    /// The most laps that the running tune may still take, the present one among them.
    #[must_use]
    pub fn laps_to_go(&self) -> Option<u32> {
        match &self.state.phase {
            Phase::Tune(tune) => Some(self.tune_laps_to_go(tune)),
            _ => None,
        }
    }

    fn fit(&self, id: AdjusterId, to: u32) -> Fit {
        Fit { adjuster: id, from: self.state.fitted[id.index()], to }
    }

    /// What is asked; `None` where the plan has ended.
    #[must_use]
    pub fn ask(&self) -> Option<Ask> {
        match &self.state.phase {
            Phase::Found(index) => self.ids.get(*index).map(|&id| Ask::Found(id)),
            Phase::Count(index) => self.ids.get(*index).map(|&id| Ask::Count(id)),
            Phase::Fit => Some(self.fit_list()),
            Phase::Tune(tune) => self.tune_ask(tune),
            Phase::Steps => match self.plan.steps().get(self.state.step)? {
                Step::Say(text) => Some(Ask::Say(text.clone())),
                Step::Record(condition) => Some(Ask::Record(condition.clone())),
                Step::Ride { laps, warm_up } => {
                    Some(Ask::Ride { laps: self.laps_that_fit(*laps), warm_up: *warm_up })
                }
                Step::RecordSettings | Step::Set { .. } | Step::Tune(_) => None,
            },
            Phase::Over => None,
        }
    }

    fn fit_list(&self) -> Ask {
        let first = self.state.fitted.iter().all(Option::is_none);
        let fits = self.ids.iter().map(|&id| self.fit(id, self.state.at[id.index()]));
        Ask::Fit { fits: fits.filter(|fit| fit.from != Some(fit.to)).collect(), first }
    }

    fn tune_ask(&self, tune: &TuneState) -> Option<Ask> {
        let Some(Step::Tune(step)) = self.plan.steps().get(self.state.step) else { return None };
        let id = step.adjuster;
        match &tune.stage {
            Stage::Reference => Some(Ask::Reference(self.fit(id, self.state.at[id.index()]))),
            Stage::Way => Some(Ask::Way(id)),
            Stage::Lap { search, retold } => match search.next() {
                Proposal::Ride { at, against } => {
                    Some(Ask::Lap { fit: self.fit(id, at), against, again: *retold })
                }
                Proposal::Settle(_) => None,
            },
        }
    }

    pub(super) fn laps_that_fit(&self, laps: u32) -> u32 {
        self.state.laps_left.map_or(laps, |left| laps.min(left))
    }

    /// The session after an answer.
    ///
    /// # Errors
    /// Where the answer does not fit the question; this session stands unchanged.
    pub fn answer(&self, answer: &Answer) -> Result<Session, Mismatch> {
        let Some(ask) = self.ask() else {
            return Err(Mismatch("the ride is over; nothing is asked".to_owned()));
        };
        let mut next = self.clone();
        next.history.news.clear();
        let in_time = self.is_in_time();
        match (&ask, answer) {
            (Ask::Found(id), _) => next.hear_found(*id, answer)?,
            (Ask::Count(id), Answer::Told(told)) => next.hear_count(*id, told)?,
            (Ask::Record(condition), _) => next.hear_condition(condition, answer)?,
            (Ask::Say(_), Answer::Done) => next.state.step += 1,
            (Ask::Fit { .. }, Answer::Done) => next.fitted(),
            (Ask::Ride { laps, .. }, Answer::Done) => next.rode(*laps),
            (Ask::Reference(_) | Ask::Way(_) | Ask::Lap { .. }, _) => next.hear_tune(&ask, answer)?,
            _ => return Err(self.unfit(&ask, answer)),
        }
        if in_time && !next.is_in_time() {
            next.history.news.push(News::TimeUsedUp);
        }
        Ok(next.advance())
    }

    /// The minutes that the laps and changes so far take, by the plan's own times; `None` where the
    /// trail does not say how long a lap is.
    #[must_use]
    pub fn minutes(&self) -> Option<Number> {
        let lap = self.plan.parts().trail.as_ref()?.lap?;
        let times = |count: u32| Number::from_integer(count.into());
        Some(lap * times(self.history.ridden()) + self.plan.parts().change * times(self.history.changes))
    }

    fn is_in_time(&self) -> bool {
        match (self.minutes(), self.plan.parts().minutes) {
            (Some(minutes), Some(most)) => minutes <= most,
            _ => true,
        }
    }

    pub(super) fn unfit(&self, ask: &Ask, answer: &Answer) -> Mismatch {
        let near = match answer {
            Answer::Told(Told::Name(name)) => {
                nearest(name, ANSWERS.iter().map(|row| row.word).chain(Way::ALL.map(Way::word)))
            }
            _ => None,
        };
        let near = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
        Mismatch(format!("`{answer}` does not answer this question, it wants {}{near}", self.wanted(ask)))
    }

    /// What a question wants, in words.
    #[must_use]
    pub fn wanted(&self, ask: &Ask) -> String {
        match ask {
            Ask::Found(id) => match self.dial(*id).map(|dial| dial.scale().listed_names()) {
                Some(names) if !names.is_empty() => format!("{names} or unknown"),
                _ => format!("a number such as {}, or unknown", self.example(*id)),
            },
            Ask::Count(id) => format!("a count such as {}", self.example(*id)),
            Ask::Record(Condition::Own { unit: None, .. }) => "a text in quotes, or unknown".to_owned(),
            Ask::Record(condition) => {
                let units: Vec<_> =
                    condition.units().into_iter().map(|unit| unit_word(unit, false)).collect();
                format!("a number with {}, or unknown", units.join(" or "))
            }
            Ask::Say(_) | Ask::Fit { .. } | Ask::Ride { .. } => {
                "nothing but Enter when it is done".to_owned()
            }
            Ask::Reference(_) => "Enter when it is ridden, or void".to_owned(),
            Ask::Way(id) => {
                let rising = self.adjuster(*id).rising();
                format!("{}, {} or either", rising.word(), rising.opposite().word())
            }
            Ask::Lap { .. } => {
                let [better, worse, same, cannot_tell] =
                    [AnswerWord::Better, AnswerWord::Worse, AnswerWord::Same, AnswerWord::CannotTell]
                        .map(AnswerWord::word);
                format!("{better}, {worse}, {same} or {cannot_tell}")
            }
        }
    }

    /// A number as it could be told of an adjuster.
    #[must_use]
    pub fn example(&self, id: AdjusterId) -> &'static str {
        let unit = match &self.adjuster(id).setup {
            Setup::Known(dial) => dial.scale().unit(),
            Setup::Uncounted(uncounted) => Some(uncounted.unit()),
        };
        if unit == Some(Unit::Turns) { "2 1/2 turns" } else { "14 clicks" }
    }

    fn fitted(&mut self) {
        if self.plan.steps().iter().skip(self.state.step).any(Step::rides) {
            self.history.changes += 1;
        }
        self.state.fitted = self.state.at.iter().copied().map(Some).collect();
        self.state.settle_due = false;
        self.state.phase = Phase::Steps;
    }

    fn rode(&mut self, laps: u32) {
        for _ in 0..laps {
            self.history.lap(None, None, false);
        }
        self.spend(laps);
        self.state.last_lap = Some(self.state.at.clone());
        self.state.step += 1;
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
        for step in self.plan.steps().iter().skip(settled.state.step) {
            if let Step::Tune(tune) = step {
                let ground = &mut settled.history.grounds[tune.adjuster.index()];
                if ground.how == How::Set {
                    ground.how = How::Kept;
                }
            }
        }
        let adjusters = self.ids.iter().map(|&id| {
            let ground = &settled.history.grounds[id.index()];
            Settled {
                adjuster: id,
                dial: self.dial(id).cloned(),
                at: settled.state.at[id.index()],
                found: settled.state.found[id.index()].clone(),
                how: ground.how,
                laps: ground.laps.clone(),
                start_cut: ground.start_cut,
            }
        });
        Outcome {
            adjusters: adjusters.collect(),
            conditions: self.history.conditions.clone(),
            laps: self.history.ridden(),
            minutes: self.minutes(),
            finished: self.state.phase == Phase::Over,
        }
    }

    /// The position that a person tells on an adjuster whose positions are known.
    pub(super) fn position(&self, id: AdjusterId, told: &Told) -> Result<u32, Mismatch> {
        let Some(dial) = self.dial(id) else {
            return Err(Mismatch("this adjuster is not counted yet".to_owned()));
        };
        let scale = dial.scale();
        let range = || format!("{} to {}", scale.said(0), scale.said(scale.top()));
        match told {
            // positions may be called "1", "2", "3"
            Told::Value(number, None) if scale.unit().is_none() => {
                let name = mixed_or_decimal(*number);
                let names = || scale.listed_names();
                scale.named(&name).ok_or_else(|| {
                    Mismatch(format!("`{told}` is no position of {}: {}", self.adjuster(id).name(), names()))
                })
            }
            Told::Value(_, Some(unit)) if scale.unit() != Some(*unit) => {
                Err(Mismatch(format!("`{told}` has another unit than {}", self.adjuster(id).name())))
            }
            Told::Value(number, _) => scale.position(*number).map_err(|_| {
                Mismatch(format!("`{told}` is no position of {}: {}", self.adjuster(id).name(), range()))
            }),
            Told::Name(name) => scale.named(name).ok_or_else(|| {
                Mismatch(format!(
                    "`{told}` is no position of {}: {}",
                    self.adjuster(id).name(),
                    if scale.all_names().is_empty() { range() } else { scale.listed_names() }
                ))
            }),
        }
    }
}
