//! Owns the comparison of two settings by pairs of laps: what is compared, in which drawn order, what a
//! pair's answer counts for. It changes no setting. It knows nothing of what the numbers mean.

use crate::chance::Lot;
use crate::plan::{AdjusterId, Confirm, MOST_LAPS_OF_A_TUNE, Step};

use super::history::Worth;
use super::state::{PairStage, PairsState, Phase};
use super::{Answer, Ask, Compared, Fit, Mismatch, News, OfPair, Session, Told};
use crate::physics::Number;

impl Session {
    fn confirm_step(&self) -> Option<&Confirm> {
        match self.plan.steps().get(self.state.step) {
            Some(Step::Confirm(confirm)) => Some(confirm),
            _ => None,
        }
    }

    /// What is compared just now, where something is.
    #[must_use]
    pub fn comparing(&self) -> Option<Compared> {
        let Phase::Compare(state) = &self.state.phase else { return None };
        let found = self.confirm_step()?.between.is_empty();
        Some(Compared { places: state.places.clone(), found })
    }

    /// Whether the rider must not know how an adjuster stands just now.
    #[must_use]
    pub fn is_hidden(&self, id: AdjusterId) -> bool {
        let Phase::Compare(state) = &self.state.phase else { return false };
        let blind = self.confirm_step().is_some_and(|confirm| confirm.blind);
        blind && state.places.iter().any(|place| place.0 == id)
    }

    /// For each pair of the running comparison whether start, or the first place, is ridden first. As
    /// many pairs begin with one as with the other, in an order that the ride's seed gives.
    #[must_use]
    pub fn order(&self) -> Vec<bool> {
        let pairs = self.confirm_step().map_or(0, |confirm| confirm.pairs);
        Lot::stream(self.seed, self.state.step as u64).balanced(pairs)
    }

    /// The settings of one lap of a pair of the running comparison; pairs are counted from 0.
    #[must_use]
    pub fn fits_of(&self, pair: u32, lap: OfPair) -> Vec<Fit> {
        let Phase::Compare(state) = &self.state.phase else { return Vec::new() };
        let first_place =
            self.order().get(pair as usize).is_some_and(|first| *first == (lap == OfPair::First));
        let fit = |&(id, first, found): &(AdjusterId, u32, u32)| {
            self.fit(id, if first_place { first } else { found })
        };
        state.places.iter().map(fit).collect()
    }

    /// Begins the pairs of a step; `true` where something is asked now.
    pub(super) fn enter_pairs(&mut self, confirm: &Confirm) -> bool {
        let mut places = Vec::new();
        for (index, &id) in confirm.adjusters.iter().enumerate() {
            let at = self.state.at[id.index()];
            let Some(dial) = self.dials[id.index()].clone() else { continue };
            let (one, other) = match confirm.between.get(index) {
                Some(&(one, other)) => (self.reach(id, one, at).0, self.reach(id, other, at).0),
                None => (dial.start(), at),
            };
            if one != other {
                places.push((id, one, other));
            }
        }
        let left = self.state.laps_left.unwrap_or(u32::MAX);
        if places.is_empty() {
            self.history.tell(News::NothingToCompare(confirm.adjusters.clone()));
        } else if left < confirm.pairs * 2 {
            self.history.tell(News::PairsDoNotFit { pairs: confirm.pairs, left });
        } else {
            if self.must_fit_first() {
                return true;
            }
            self.history.agreeing = 0;
            let state = PairsState { stage: PairStage::Begin, pair: 0, void: 0, places };
            self.state.phase = Phase::Compare(state);
            return true;
        }
        self.state.step += 1;
        false
    }

    pub(super) fn pairs_ask(&self, state: &PairsState) -> Option<Ask> {
        let confirm = self.confirm_step()?;
        let (pair, pairs, blind) = (state.pair + 1, confirm.pairs, confirm.blind);
        Some(match state.stage {
            PairStage::Begin => Ask::Pairs { pairs, blind },
            PairStage::Swap(lap) => Ask::Swap { pair, lap, fits: self.fits_of(state.pair, lap), blind },
            PairStage::First => Ask::FirstOfPair { pair, pairs },
            PairStage::Which => Ask::Which { pair, pairs },
        })
    }

    /// Hears an answer about a pair.
    pub(super) fn hear_pairs(&mut self, ask: &Ask, answer: &Answer) -> Result<(), Mismatch> {
        let Phase::Compare(mut state) = self.state.phase.clone() else {
            return Err(self.unfit(ask, answer));
        };
        let number = |number: i128| Answer::Told(Told::Value(Number::from_integer(number), None));
        let which = match answer {
            Answer::Which(which) => Some(*which),
            told if *told == number(1) => Some(OfPair::First),
            told if *told == number(2) => Some(OfPair::Second),
            _ => None,
        };
        match (ask, answer) {
            (Ask::Pairs { .. }, Answer::Skip)
            | (Ask::Swap { .. } | Ask::FirstOfPair { .. } | Ask::Which { .. }, Answer::Keep) => {
                self.end_pairs(&state);
                return Ok(());
            }
            (Ask::Pairs { .. }, Answer::Done) => state.stage = PairStage::Swap(OfPair::First),
            (Ask::Swap { fits, lap, .. }, Answer::Done) => {
                self.swapped(fits);
                state.stage = match lap {
                    OfPair::First => PairStage::First,
                    OfPair::Second => PairStage::Which,
                };
            }
            (Ask::FirstOfPair { .. } | Ask::Which { .. }, Answer::Void) => {
                self.pair_lap(Worth::Void);
                state.void += if state.stage == PairStage::Which { 2 } else { 1 };
                state.stage = PairStage::Swap(OfPair::First);
            }
            (Ask::FirstOfPair { .. }, Answer::Done) => {
                self.pair_lap(Worth::Counts);
                state.stage = PairStage::Swap(OfPair::Second);
            }
            (Ask::Which { .. }, _) => {
                let Some(which) = which else { return Err(self.unfit(ask, answer)) };
                self.pair_lap(Worth::Counts);
                let first_place_first = self.order().get(state.pair as usize).copied().unwrap_or(false);
                let for_found = first_place_first == (which == OfPair::Second);
                self.history.agreeing += u32::from(for_found);
                state.pair += 1;
                state.stage = PairStage::Swap(OfPair::First);
            }
            _ => return Err(self.unfit(ask, answer)),
        }
        let pairs = self.confirm_step().map_or(0, |confirm| confirm.pairs);
        let to_ride = (pairs - state.pair.min(pairs)) * 2 - u32::from(state.stage.is_half_done());
        let out_of_laps = self.state.laps_left.is_some_and(|left| left < to_ride);
        if state.pair >= pairs || out_of_laps || state.void >= MOST_LAPS_OF_A_TUNE {
            self.end_pairs(&state);
        } else {
            self.state.phase = Phase::Compare(state);
        }
        Ok(())
    }

    /// The settings of a lap are fitted. That takes the time of a change in every lap: the knobs are turned
    /// away and back, also where they stand there already.
    fn swapped(&mut self, fits: &[Fit]) {
        for fit in fits {
            self.state.fitted[fit.adjuster.index()] = Some(fit.to);
        }
        let slow = fits.iter().find(|fit| self.adjuster(fit.adjuster).is_slow());
        if let Some(fit) = slow.or(fits.first()) {
            self.change(fit.adjuster);
        }
    }

    fn pair_lap(&mut self, worth: Worth) {
        self.history.lap(None, None, worth);
        self.spend(1);
        self.state.last_lap = None;
    }

    /// Ends the pairs, with what they came to where any were ridden.
    fn end_pairs(&mut self, state: &PairsState) {
        let (better, pairs) = (self.history.agreeing, state.pair);
        if let Some(compared) = self.comparing().filter(|_| pairs > 0) {
            if compared.found {
                for (id, ..) in &compared.places {
                    if let Some(ground) = self.history.ground_mut(id.index()) {
                        ground.confirmed = Some((better, pairs));
                    }
                }
            }
            self.history.tell(News::Compared { compared, better, pairs });
        }
        let moved = self.ids().any(|id| self.state.fitted[id.index()] != Some(self.state.at[id.index()]));
        self.state.settle_due |= moved;
        self.state.phase = Phase::Steps;
        self.state.step += 1;
    }
}

impl PairStage {
    /// Whether the first lap of a pair is ridden and the second is not.
    fn is_half_done(self) -> bool {
        matches!(self, PairStage::Swap(OfPair::Second) | PairStage::Which)
    }
}
