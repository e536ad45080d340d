//! Owns what a part of a ride takes: laps, time, and in how many ways it can go. It knows nothing of
//! what happens in it.

use num_traits::Zero;

use crate::physics::Number;
use crate::plan::{AdjusterId, Plan};
use crate::session::Taken;

use super::Count;

/// What a way to somewhere takes: the most laps, the most time, how many ways there are.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cost {
    pub laps: u32,
    pub time: Time,
    pub sequences: Count,
}

/// A time in the whole parts of a minute in which a plan's own times can be told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Time(i128);

/// How long a lap and the changes of a plan take.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pace {
    lap: Time,
    change: Time,
    slow_change: Time,
    /// How many parts a minute has.
    parts: i128,
}

impl Time {
    pub const NONE: Time = Time(0);

    pub fn plus(self, other: Time) -> Self {
        Time(self.0.saturating_add(other.0))
    }

    pub fn times(self, count: u32) -> Self {
        match count {
            0 => Time::NONE,
            1 => self,
            count => Time(self.0.saturating_mul(count.into())),
        }
    }
}

impl Pace {
    /// The pace of a plan; nothing takes any time where the loop does not say how long a lap is.
    pub fn of(plan: &Plan) -> Self {
        let Some(lap) = plan.parts().loop_.as_ref().and_then(|loop_| loop_.lap) else {
            return Pace { lap: Time::NONE, change: Time::NONE, slow_change: Time::NONE, parts: 1 };
        };
        let change = plan.parts().change;
        let parts = lap.denom().saturating_mul(*change.denom());
        let time = |minutes: Number| {
            let each = parts.checked_div(*minutes.denom()).unwrap_or(1);
            Time(minutes.numer().saturating_mul(each))
        };
        let slow_change = time(Number::from_integer(Plan::SLOW_CHANGE));
        Pace { lap: time(lap), change: time(change), slow_change, parts }
    }

    /// A time in minutes.
    pub fn minutes(&self, time: Time) -> Number {
        if self.parts.is_zero() { Number::zero() } else { Number::new(time.0, self.parts) }
    }

    pub fn lap(&self) -> Time {
        self.lap
    }

    /// How long one change of an adjuster takes.
    pub fn change_of(&self, plan: &Plan, id: AdjusterId) -> Time {
        if plan.bike().get(id).is_slow() { self.slow_change } else { self.change }
    }

    /// What was taken between two moments of a ride.
    pub fn between(&self, before: Taken, after: Taken) -> Cost {
        let Taken { laps, changes, slow_changes } = after.since(before);
        let time = self.lap.times(laps).plus(self.change.times(changes));
        Cost { laps, time: time.plus(self.slow_change.times(slow_changes)), sequences: Count::ONE }
    }
}

impl Cost {
    /// Nothing was ridden.
    pub const NOTHING: Cost = Cost { laps: 0, time: Time::NONE, sequences: Count::ONE };

    /// There is no way.
    pub const NO_WAY: Cost = Cost { sequences: Count::NONE, ..Cost::NOTHING };

    /// Another way to the same place.
    pub fn or(self, other: Cost) -> Self {
        Cost {
            laps: self.laps.max(other.laps),
            time: self.time.max(other.time),
            sequences: self.sequences.plus(other.sequences),
        }
    }

    /// The worse of two in each respect.
    pub fn worse(self, other: Cost) -> Self {
        Cost {
            laps: self.laps.max(other.laps),
            time: self.time.max(other.time),
            sequences: self.sequences.max(other.sequences),
        }
    }

    /// This way, and then that one.
    pub fn then(self, other: Cost) -> Self {
        Cost {
            laps: self.laps.saturating_add(other.laps),
            time: self.time.plus(other.time),
            sequences: self.sequences.times(other.sequences),
        }
    }
}
