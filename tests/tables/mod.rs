//! What the methods of searching are to do with simulated riders, and how that is measured: through the
//! very session of a ride. Used by the benchmark and by a test. The numbers are the design's own, from
//! millions of simulated tunes by another program; no human data is behind them.

#![allow(dead_code, reason = "a test or benchmark uses a part of it")]

use std::sync::Arc;

use clickwise::check::check;
use clickwise::plan::Plan;
use clickwise::problem::Sources;
use clickwise::rehearsal::{Kind, Rider};
use clickwise::search::Verdict;
use clickwise::session::{Felt, Session};
use rayon::prelude::*;

/// One row: a method with a kind of rider.
pub struct Row {
    pub name: &'static str,
    /// The lines of the plan that choose the method.
    pub plan: &'static str,
    pub kind: Kind,
    /// It settles at the best that was ridden instead of by its rule.
    pub at_the_best: bool,
    /// Laps and the share within one click for each of the numbers of positions; none left out.
    expected: &'static [(f64, f64)],
}

/// The numbers of positions above the first.
pub const TOPS: [u32; 6] = [6, 8, 10, 14, 20, 30];

impl Row {
    /// Each number of positions with the laps and the share that are expected.
    pub fn cells(&self) -> impl Iterator<Item = (u32, f64, f64)> + '_ {
        let without_eight = self.expected.len() < TOPS.len();
        let tops = TOPS.into_iter().filter(move |top| !(without_eight && *top == 8));
        tops.zip(self.expected).map(|(top, (laps, share))| (top, *laps, *share))
    }
}

/// What came out of one cell.
#[derive(Debug, Clone, Copy)]
pub struct Cell {
    pub laps: f64,
    pub share: f64,
}

pub const ROWS: &[Row] = &[
    Row {
        name: "bracket, settling at the best felt",
        plan: "method bracket",
        kind: Kind::Steady,
        at_the_best: true,
        expected: &[(5.31, 0.740), (6.34, 0.694), (4.81, 0.630), (5.21, 0.588), (6.08, 0.587)],
    },
    Row {
        name: "bracket",
        plan: "method bracket",
        kind: Kind::Steady,
        at_the_best: false,
        expected: &[(5.31, 0.843), (6.34, 0.841), (4.81, 0.814), (5.21, 0.805), (6.08, 0.795)],
    },
    Row {
        name: "bracket, uneven riders",
        plan: "method bracket",
        kind: Kind::Uneven,
        at_the_best: false,
        expected: &[(5.20, 0.753), (6.26, 0.695), (4.88, 0.684), (5.23, 0.664), (5.94, 0.645)],
    },
    Row {
        name: "cross-out",
        plan: "method cross-out",
        kind: Kind::Steady,
        at_the_best: false,
        expected: &[(2.93, 0.872), (2.91, 0.914), (2.87, 0.858), (3.55, 0.888), (3.86, 0.909), (4.21, 0.903)],
    },
    Row {
        name: "cross-out, uneven riders",
        plan: "method cross-out",
        kind: Kind::Uneven,
        at_the_best: false,
        expected: &[(2.90, 0.770), (2.90, 0.705), (2.86, 0.658), (3.65, 0.653), (4.00, 0.640), (4.34, 0.628)],
    },
    Row {
        name: "narrow, quick",
        plan: "method narrow\n effort quick",
        kind: Kind::Steady,
        at_the_best: false,
        expected: &[(3.00, 0.872), (3.11, 0.884), (3.26, 0.879), (3.41, 0.900), (3.53, 0.902), (4.04, 0.901)],
    },
    Row {
        name: "narrow, normal",
        plan: "method narrow",
        kind: Kind::Steady,
        at_the_best: false,
        expected: &[(3.93, 0.916), (3.71, 0.930), (3.74, 0.922), (4.00, 0.938), (4.23, 0.941), (4.62, 0.941)],
    },
    Row {
        name: "narrow, normal, uneven riders",
        plan: "method narrow",
        kind: Kind::Uneven,
        at_the_best: false,
        expected: &[(4.00, 0.794), (3.83, 0.782), (3.88, 0.762), (4.20, 0.733), (4.41, 0.711), (4.82, 0.705)],
    },
    Row {
        name: "narrow, thorough",
        plan: "method narrow\n effort thorough",
        kind: Kind::Steady,
        at_the_best: false,
        expected: &[(5.30, 0.970), (5.06, 0.972), (5.15, 0.971), (5.50, 0.978), (5.78, 0.977), (6.09, 0.975)],
    },
    Row {
        name: "narrow, thorough, uneven riders",
        plan: "method narrow\n effort thorough",
        kind: Kind::Uneven,
        at_the_best: false,
        expected: &[(5.39, 0.861), (5.19, 0.835), (5.35, 0.816), (5.73, 0.813), (6.05, 0.806), (6.41, 0.797)],
    },
];

/// A plan from its text.
pub fn plan_of(text: &str) -> Arc<Plan> {
    let mut sources = Sources::default();
    sources.add("set.tune", text);
    let checked = check(&sources);
    Arc::new(checked.plan.unwrap_or_else(|| panic!("{:?}\n{text}", checked.problems)))
}

/// A ride to its end.
pub fn ride(plan: &Arc<Plan>, rider: &mut Rider, number: u64) -> Session {
    let mut session = Session::begin(Arc::clone(plan), number);
    while let Some(ask) = session.ask() {
        session = session.answer(&rider.answer(&session, &ask)).unwrap();
    }
    session
}

/// The laps and the share within one click of one cell.
pub fn cell(row: &Row, top: u32, rides: u64) -> Cell {
    let plan = plan_of(&format!(
        "plan \"P\"\n {}\nbike \"B\"\npart fork\n rebound 0 to {top} clicks, start {}\nsteps\n tune fork rebound\n",
        row.plan,
        top / 2
    ));
    let id = plan.bike().ids().next().unwrap();
    let one = |number: u64| {
        let mut rider = Rider::new(row.kind, 20_260_516, number);
        let session = ride(&plan, &mut rider, number);
        let mut at = session.stands_at(id);
        if row.at_the_best {
            let better = |lap: &&clickwise::session::Lap| lap.felt == Some(Felt::Verdict(Verdict::Better));
            let best = session.laps().iter().rfind(better).and_then(|lap| lap.tuned);
            at = best.map_or(top / 2, |(_, at)| at);
        }
        let close = (f64::from(at) - rider.best(id).unwrap()).abs() <= 1.0;
        (session.laps().len() as u64, u64::from(close))
    };
    let add = |one: (u64, u64), other: (u64, u64)| (one.0 + other.0, one.1 + other.1);
    let (laps, close) = (0..rides).into_par_iter().map(one).reduce(|| (0, 0), add);
    #[allow(clippy::cast_precision_loss, reason = "a number of rides")]
    let each = |sum: u64| sum as f64 / rides as f64;
    Cell { laps: each(laps), share: each(close) }
}
