//! Owns the comparison of two settings by pairs of laps: what is compared, in which drawn order, what a
//! pair's answer counts for. It changes no setting. It knows nothing of what the numbers mean.

use crate::chance::Lot;
use crate::physics::Number;
use crate::plan::{AdjusterId, Confirm, MOST_LAPS_OF_A_TUNE, Step};

use crate::session::history::Worth;
use crate::session::state::{PairStage, PairsState, Phase};
use crate::session::{Answer, Ask, Compared, Fit, Mismatch, News, OfPair, Session, Stated};

pub(in crate::session) fn step(session: &Session) -> Option<&Confirm> {
    match session.plan.steps().get(session.state.step) {
        Some(Step::Confirm(confirm)) => Some(confirm),
        _ => None,
    }
}

/// What is compared just now, where something is.
pub(in crate::session) fn running(session: &Session) -> Option<Compared> {
    let Phase::Compare(state) = &session.state.phase else { return None };
    let found = step(session)?.between.is_empty();
    Some(Compared { places: state.places.clone(), found })
}

/// For each pair of the running comparison whether start, or the first place, is ridden first. As
/// many pairs begin with one as with the other, in an order that the ride's seed gives.
pub(in crate::session) fn order(session: &Session) -> Vec<bool> {
    let pairs = step(session).map_or(0, |confirm| confirm.pairs);
    Lot::stream(session.seed, session.state.step as u64).balanced(pairs)
}

/// The settings of one lap of a pair of the running comparison; pairs are counted from 0.
pub(in crate::session) fn fits_of(session: &Session, pair: u32, lap: OfPair) -> Vec<Fit> {
    let Phase::Compare(state) = &session.state.phase else { return Vec::new() };
    let first_place = order(session).get(pair as usize).is_some_and(|first| *first == (lap == OfPair::First));
    let fit = |&(id, first, found): &(AdjusterId, u32, u32)| {
        session.fit(id, if first_place { first } else { found })
    };
    state.places.iter().map(fit).collect()
}

/// Begins the pairs of a step; `true` where something is asked now.
pub(super) fn enter(session: &mut Session, confirm: &Confirm) -> bool {
    let mut places = Vec::new();
    for (index, &id) in confirm.adjusters.iter().enumerate() {
        let at = session.state.at[id];
        let Some(dial) = session.dials[id].clone() else { continue };
        let (one, other) = match confirm.between.get(index) {
            Some(&(one, other)) => (session.reach(id, one, at).0, session.reach(id, other, at).0),
            None => (dial.start(), at),
        };
        if one != other {
            places.push((id, one, other));
        }
    }
    let left = session.state.laps_left.unwrap_or(u32::MAX);
    if places.is_empty() {
        session.history.tell(News::NothingToCompare(confirm.adjusters.clone()));
    } else if left < confirm.pairs * 2 {
        session.history.tell(News::PairsDoNotFit { pairs: confirm.pairs, left });
    } else {
        if session.must_fit_first() {
            return true;
        }
        session.history.agreeing = 0;
        let state = PairsState { stage: PairStage::Begin, pair: 0, void: 0, places };
        session.state.phase = Phase::Compare(state);
        return true;
    }
    session.state.step += 1;
    false
}

pub(in crate::session) fn ask(session: &Session, state: &PairsState) -> Option<Ask> {
    let confirm = step(session)?;
    let (pair, pairs, blind) = (state.pair + 1, confirm.pairs, confirm.blind);
    Some(match state.stage {
        PairStage::Begin => Ask::Pairs { pairs, blind },
        PairStage::Swap(lap) => Ask::Swap { pair, lap, fits: fits_of(session, state.pair, lap), blind },
        PairStage::First => Ask::FirstOfPair { pair, pairs },
        PairStage::Which => Ask::Which { pair, pairs },
    })
}

/// Hears an answer about a pair.
pub(in crate::session) fn hear(session: &mut Session, ask: &Ask, answer: &Answer) -> Result<(), Mismatch> {
    let Phase::Compare(mut state) = session.state.phase.clone() else {
        return Err(session.unfit(ask, answer));
    };
    let told = |lap: &OfPair| {
        let number = Number::from_integer(lap.number().into());
        [Answer::Which(*lap), Answer::Told(Stated::Value(number, None))].contains(answer)
    };
    let which = OfPair::BOTH.into_iter().find(told);
    match (ask, answer) {
        (Ask::Pairs { .. }, Answer::Skip)
        | (Ask::Swap { .. } | Ask::FirstOfPair { .. } | Ask::Which { .. }, Answer::Finish) => {
            end(session, &state);
            return Ok(());
        }
        (Ask::Pairs { .. }, Answer::Done) => state.stage = PairStage::Swap(OfPair::First),
        (Ask::Swap { fits, lap, .. }, Answer::Done) => {
            swapped(session, fits);
            state.stage = match lap {
                OfPair::First => PairStage::First,
                OfPair::Second => PairStage::Which,
            };
        }
        (Ask::FirstOfPair { .. } | Ask::Which { .. }, Answer::Void) => {
            pair_lap(session, Worth::Void);
            state.void += if state.stage == PairStage::Which { 2 } else { 1 };
            state.stage = PairStage::Swap(OfPair::First);
        }
        (Ask::FirstOfPair { .. }, Answer::Done) => {
            pair_lap(session, Worth::Counts);
            state.stage = PairStage::Swap(OfPair::Second);
        }
        (Ask::Which { .. }, _) => {
            let Some(which) = which else { return Err(session.unfit(ask, answer)) };
            pair_lap(session, Worth::Counts);
            let first_place_first = order(session).get(state.pair as usize).copied().unwrap_or(false);
            let for_found = first_place_first == (which == OfPair::Second);
            session.history.agreeing += u32::from(for_found);
            state.pair += 1;
            state.stage = PairStage::Swap(OfPair::First);
        }
        _ => return Err(session.unfit(ask, answer)),
    }
    let pairs = step(session).map_or(0, |confirm| confirm.pairs);
    let to_ride = (pairs - state.pair.min(pairs)) * 2 - u32::from(state.stage.is_half_done());
    let out_of_laps = session.state.laps_left.is_some_and(|left| left < to_ride);
    if state.pair >= pairs || out_of_laps || state.void >= MOST_LAPS_OF_A_TUNE {
        end(session, &state);
    } else {
        session.state.phase = Phase::Compare(state);
    }
    Ok(())
}

/// The settings of a lap are fitted. That takes the time of a change in every lap: the knobs are turned
/// away and back, also where they stand there already.
fn swapped(session: &mut Session, fits: &[Fit]) {
    for fit in fits {
        session.state.fitted[fit.adjuster] = Some(fit.to);
    }
    let slow = fits.iter().find(|fit| session.adjuster(fit.adjuster).is_slow());
    if let Some(fit) = slow.or(fits.first()) {
        session.change(fit.adjuster);
    }
}

fn pair_lap(session: &mut Session, worth: Worth) {
    session.history.lap(None, None, worth);
    session.spend(1);
    session.state.last_lap = None;
}

/// Ends the pairs, with what they came to where any were ridden.
fn end(session: &mut Session, state: &PairsState) {
    let (better, pairs) = (session.history.agreeing, state.pair);
    if let Some(compared) = running(session).filter(|_| pairs > 0) {
        if compared.found {
            for (id, ..) in &compared.places {
                if let Some(ground) = session.history.ground_mut(*id) {
                    ground.confirmed = Some((better, pairs));
                }
            }
        }
        session.history.tell(News::Compared { compared, better, pairs });
    }
    let moved = session.ids().any(|id| session.state.fitted[id] != Some(session.state.at[id]));
    session.state.settle_due |= moved;
    session.state.phase = Phase::Steps;
    session.state.step += 1;
}

impl PairStage {
    /// Whether the first lap of a pair is ridden and the second is not.
    fn is_half_done(self) -> bool {
        matches!(self, PairStage::Swap(OfPair::Second) | PairStage::Which)
    }
}
