//! Owns what is true of the bike and of the laps ridden, whatever was taken back: a knob that was turned stays
//! turned, and a lap that was ridden is not ridden again. Nothing that is asked depends on it.

use crate::plan::{AdjusterId, FewByAdjuster};

use super::{Answer, Ask, Fit, QuestionKind, Round, Session, What};

/// What holds besides what the ride's answers say. It is worked out along the log of a ride.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Truth {
    /// Where adjusters may be that are elsewhere by the answers, by their place.
    turned: Vec<Option<u32>>,
    /// The laps that count, from the first.
    rode: Vec<Rode>,
    /// The laps that were taken back, by their place among all laps.
    taken_back: Vec<(usize, Rode)>,
}

/// One lap that was ridden.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Rode {
    /// What was asked.
    asked: QuestionKind,
    /// Where everything was.
    fitted: FewByAdjuster<Option<u32>>,
}

impl Truth {
    /// Follows what was said: the ride before and after it.
    pub fn follow(&mut self, before: &Session, what: &What, after: &Session) {
        match what {
            What::Answer(answer) => self.answered(before, answer, after),
            What::Undo => self.taken_back(before, after),
            What::Note => {}
        }
    }

    fn answered(&mut self, before: &Session, answer: &Answer, after: &Session) {
        let Some(ask) = before.ask() else { return };
        let was_ridden = self.is_ridden(before, &ask);
        let (then, now) = (before.laps().len(), after.laps().len());
        if now > then && was_ridden {
            self.taken_back.retain(|(lap, _)| !(then..now).contains(lap));
            self.stay(before, after);
        } else if now > then {
            // from here on it is another ride, with everything where it says
            self.taken_back.clear();
            self.turned.clear();
        }
        for _ in then..now {
            self.rode.push(Rode { asked: ask.kind(), fitted: after.state.fitted.clone() });
        }
        match &ask {
            Ask::Swap { fits, .. } if *answer == Answer::Finish => self.may_be_turned(fits, after),
            Ask::Fit { .. } | Ask::Swap { .. } => self.turned.clear(),
            Ask::Sag { fit, .. } | Ask::Stop { fit, .. } => self.forget(fit.adjuster),
            Ask::Before(_)
            | Ask::Count(_)
            | Ask::InNow(_)
            | Ask::Record(_)
            | Ask::Say(_)
            | Ask::Ride { .. }
            | Ask::Baseline(_)
            | Ask::Way(_)
            | Ask::Lap { .. }
            | Ask::Trial { .. }
            | Ask::Pairs { .. }
            | Ask::FirstOfPair { .. }
            | Ask::Which { .. } => {}
        }
    }

    /// What a helper was told to set, or read on a sheet, may be set though nobody said that it is.
    fn may_be_turned(&mut self, fits: &[Fit], after: &Session) {
        self.turned.resize(after.ids().len(), None);
        for fit in fits.iter().filter(|fit| after.fitted_at(fit.adjuster) != Some(fit.to)) {
            if let Some(turned) = self.turned.get_mut(fit.adjuster.index()) {
                *turned = Some(fit.to);
            }
        }
    }

    fn taken_back(&mut self, before: &Session, after: &Session) {
        // nothing is turned for a lap that was ridden already
        let asked = before.ask().filter(|ask| !self.is_ridden(before, ask));
        let asked = asked.map_or(Vec::new(), |ask| to_be_fitted(&ask));
        let may_be: Vec<Option<u32>> = before
            .ids()
            .map(|id| {
                let asked = asked.iter().find(|fit| fit.adjuster == id).map(|fit| fit.to);
                asked.or(self.may_be(id)).or(before.fitted_at(id))
            })
            .collect();
        self.turned = may_be
            .into_iter()
            .zip(after.state.fitted.iter())
            .map(|(may_be, at)| may_be.filter(|_| may_be != *at))
            .collect();
        let left = after.laps().len();
        if left < self.rode.len() {
            let taken = self.rode.split_off(left);
            self.taken_back.retain(|(lap, _)| *lap >= left + taken.len());
            self.taken_back.extend(taken.into_iter().enumerate().map(|(index, rode)| (left + index, rode)));
        }
    }

    /// What the answers put elsewhere without a lap being ridden is where it was.
    fn stay(&mut self, before: &Session, after: &Session) {
        self.turned.resize(before.ids().len(), None);
        let fitted = before.state.fitted.iter().zip(after.state.fitted.iter());
        for (turned, (then, now)) in self.turned.iter_mut().zip(fitted) {
            *turned = turned.or(*then).filter(|at| Some(*at) != *now);
        }
    }

    fn forget(&mut self, id: AdjusterId) {
        if let Some(turned) = self.turned.get_mut(id.index()) {
            *turned = None;
        }
    }

    /// Where an adjuster may be, though by the answers it is elsewhere: it was asked for when something was
    /// taken back.
    #[must_use]
    pub fn may_be(&self, id: AdjusterId) -> Option<u32> {
        self.turned.get(id.index()).copied().flatten()
    }

    /// Whether the laps of a question were ridden already, with everything as it asks for, and only their answer
    /// was taken back.
    #[must_use]
    pub fn is_ridden(&self, session: &Session, ask: &Ask) -> bool {
        let laps = match ask {
            Ask::Ride { laps, .. } => *laps as usize,
            Ask::Lap { round: Round::Second, .. } => 0,
            Ask::Baseline(_) | Ask::Lap { .. } | Ask::FirstOfPair { .. } | Ask::Which { .. } => 1,
            Ask::Before(_)
            | Ask::Count(_)
            | Ask::InNow(_)
            | Ask::Sag { .. }
            | Ask::Stop { .. }
            | Ask::Record(_)
            | Ask::Say(_)
            | Ask::Fit { .. }
            | Ask::Way(_)
            | Ask::Trial { .. }
            | Ask::Pairs { .. }
            | Ask::Swap { .. } => 0,
        };
        let mut fitted = session.state.fitted.clone();
        for fit in to_be_fitted(ask) {
            fitted[fit.adjuster] = Some(fit.to);
        }
        let rode = Rode { asked: ask.kind(), fitted };
        let next = session.laps().len();
        laps > 0 && (next..next + laps).all(|lap| self.taken_back.contains(&(lap, rode.clone())))
    }

    /// What is to be turned before a question besides what it asks for, as it may be elsewhere.
    #[must_use]
    pub fn astray(&self, session: &Session, ask: &Ask) -> Vec<Fit> {
        let rides = matches!(
            ask,
            Ask::Baseline(_)
                | Ask::Lap { .. }
                | Ask::Sag { .. }
                | Ask::Ride { .. }
                | Ask::Fit { .. }
                | Ask::FirstOfPair { .. }
        );
        if !rides || self.is_ridden(session, ask) {
            return Vec::new();
        }
        let asked = to_be_fitted(ask);
        let others = session
            .ids()
            .filter(|id| !asked.iter().any(|fit| fit.adjuster == *id) && !session.is_hidden(*id));
        let astray = others.filter_map(|id| {
            let to = session.stands_at(id);
            self.may_be(id).filter(|from| *from != to).map(|from| Fit { adjuster: id, from: Some(from), to })
        });
        astray.collect()
    }

    /// The bike is where the answers say: that was checked.
    pub fn checked(&mut self) {
        self.turned.clear();
    }
}

/// What a question asks to be turned.
fn to_be_fitted(ask: &Ask) -> Vec<Fit> {
    match ask {
        Ask::Fit { fits, .. } | Ask::Swap { fits, .. } => fits.clone(),
        Ask::Baseline(fit) | Ask::Sag { fit, .. } => vec![*fit],
        Ask::Lap { fit, round: Round::First | Round::Again | Round::Trial, .. } => vec![*fit],
        Ask::Lap { round: Round::Second, .. }
        | Ask::Before(_)
        | Ask::Count(_)
        | Ask::InNow(_)
        | Ask::Stop { .. }
        | Ask::Record(_)
        | Ask::Say(_)
        | Ask::Ride { .. }
        | Ask::Way(_)
        | Ask::Trial { .. }
        | Ask::Pairs { .. }
        | Ask::FirstOfPair { .. }
        | Ask::Which { .. } => Vec::new(),
    }
}
