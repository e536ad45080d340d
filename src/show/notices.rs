//! Owns what is told beside the questions: cautions, help, what has come up, where the bike stands
//! when a ride is gone on with or left.

use crate::physics::Number;
use crate::plan::AdjusterId;
use crate::session::{Ask, How, News, Round, Session, Truth, WhyNot};
use crate::vocabulary::{ANSWERS, several};

use super::ends;
use super::page::Page;
use super::pairs;
use super::prompt::{keys, label, meaning};
use super::springs;
use super::stops;
use super::wrap::wrapped;

/// What can be answered to a question, a line for each key.
#[must_use]
pub fn help(ask: &Ask, width: usize) -> Vec<String> {
    let mut page = Page::new(width);
    page.head("What you can type");
    let keys = keys(ask);
    for row in ANSWERS.iter().filter(|row| keys.contains(&row.answer)) {
        page.item(format!("{} {}: {}", row.key, label(ask, row.answer), meaning(ask, row)).trim_start());
    }
    page.item("Add words after an answer to save a note: `worse harsh in the rocks`");
    if matches!(ask, Ask::Sag { .. } | Ask::Stop { .. }) {
        springs::procedure(&mut page);
        page.item("Type a reading in mm or %, or two at the same setting: `31 mm and 33 mm`, or `31/33`");
        page.item("If you read it at a different setting: `at 72 psi: 40 mm`");
    }
    if matches!(ask, Ask::Lap { round: Round::First | Round::Again, .. }) {
        page.item("If you rode a different setting: `rode 6: better`");
        page.item(
            "The dotted line is the range: `>` is this lap, `=` the lap you compare with, `s` the start.",
        );
    }
    page.lines
}

/// What has come up, in lines.
#[must_use]
pub fn news(session: &Session, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for news in session.news() {
        lines.extend(wrapped(&told(session, news), width, "", "  "));
    }
    lines
}

fn told(session: &Session, news: &News) -> String {
    let teller = Teller { session };
    let (name, said) = (|id: &AdjusterId| teller.name(*id), |id: &AdjusterId, at: u32| teller.said(*id, at));
    match news {
        News::Settled { adjuster, at, how } => teller.settled(*adjuster, *at, *how),
        News::KeptForLaps(adjuster) => {
            format!("The plan has no laps left, so {} stays where it is.", name(adjuster))
        }
        News::RideCut { asked, ridden: 0 } => {
            format!("The plan has no laps left, so skip the next {}.", several(*asked as usize, "lap"))
        }
        News::RideCut { asked, ridden } => {
            let asked = several(*asked as usize, "lap");
            format!("The plan is short of laps: ride only {ridden} of the next {asked}.")
        }
        News::StoppedAtEnd { adjuster, at } => {
            format!("{} is at the end of its range, {}.", name(adjuster), said(adjuster, *at))
        }
        News::BeforeUnknown { adjuster, at } => {
            let (name, at) = (name(adjuster), said(adjuster, *at));
            format!("You don't know where {name} was before, so it goes to its start, {at}.")
        }
        News::NotAgain { adjuster, why } => teller.not_again(*adjuster, *why),
        News::Bracketed(adjuster) => {
            format!("{} has too few positions for cross-out, so bracket is used.", name(adjuster))
        }
        News::NothingToCompare(adjusters) => teller.nothing_to_compare(adjusters),
        News::PairsDoNotFit { pairs, left } => {
            let (pairs, laps) = (several(*pairs as usize, "pair"), pairs * 2);
            format!("{pairs} need {laps} laps and the plan has only {left} left, so skip the pairs.")
        }
        News::Compared { compared, better, pairs } => pairs::outcome(session, compared, *better, *pairs),
        News::StartCut { adjuster, at } => {
            let (name, at) = (name(adjuster), said(adjuster, *at));
            format!("The file's start for {name} is more than you counted, so it starts at {at}.")
        }
        News::TimeUsedUp => "By the plan's lap times, your time is up. Carry on if you like.".to_owned(),
        News::Measured { adjuster, at, how, sag } => teller.measured(*adjuster, *at, *how, *sag),
        News::SagShort { adjuster, short } => stops::near(session, *adjuster, *short),
        News::RiddenAnyway { adjuster, at, sag } => teller.ridden_anyway(*adjuster, *at, *sag),
        News::SagContradicts { adjuster } => format!(
            "Read {} again at the same setting: a firmer spring can't sag more than a softer one, so this \
                reading is ignored.",
            name(adjuster)
        ),
        News::EarlierSagSetAside { adjuster } => {
            format!(
                "{}: you read this setting again and got the same, so the earlier reading that didn't fit is \
                    ignored.",
                name(adjuster)
            )
        }
        News::LapVoid => "That lap doesn't count: it was ridden at a different setting.".to_owned(),
    }
}

/// Who tells what came up in a ride.
#[derive(Clone, Copy)]
struct Teller<'a> {
    session: &'a Session,
}

impl Teller<'_> {
    fn name(self, id: AdjusterId) -> String {
        self.session.adjuster(id).name()
    }

    fn said(self, id: AdjusterId, at: u32) -> String {
        self.session.dial(id).map_or(String::new(), |dial| dial.scale().said_in_full(at))
    }

    /// A sag behind a setting; nothing where none was read.
    fn sag(self, id: AdjusterId, sag: Option<Number>) -> String {
        let facts = self.session.plan().bike().facts(self.session.adjuster(id).part);
        let travel = facts.and_then(|facts| facts.travel);
        sag.map_or(String::new(), |sag| format!(", sag {}", springs::said(sag, travel)))
    }

    fn settled(self, id: AdjusterId, at: u32, how: How) -> String {
        let (name, said) = (self.name(id), self.said(id, at));
        match how {
            How::FeltBest => {
                let means = ends::settled(self.session, id, at);
                let means = means.map_or(String::new(), |means| format!(" {means}"));
                format!("{name} is done: {said}.{means}")
            }
            How::Unchanged => format!("{name} stays at {said}."),
            How::Set | How::Measured | How::StoppedEarly => {
                format!("{name}: set to {said}, the best so far; the search was not finished.")
            }
        }
    }

    fn not_again(self, id: AdjusterId, why: WhyNot) -> String {
        let name = self.name(id);
        match why {
            WhyNot::NothingMoved => {
                let said = self.said(id, self.session.stands_at(id));
                format!("Nothing else has changed enough, so {name} stays at {said}.")
            }
            WhyNot::NotTuned => {
                format!("{name} was not tuned this time, so there is nothing to check again.")
            }
        }
    }

    fn nothing_to_compare(self, adjusters: &[AdjusterId]) -> String {
        let names: Vec<String> = adjusters.iter().map(|id| self.name(*id)).collect();
        let what = if names.is_empty() { String::new() } else { format!(" for {}", names.join(", ")) };
        format!("No pairs{what}: the start and new settings are the same, so there is nothing to compare.")
    }

    fn measured(self, id: AdjusterId, at: u32, how: How, sag: Option<Number>) -> String {
        let (name, said, sag) = (self.name(id), self.said(id, at), self.sag(id, sag));
        match how {
            How::Measured => format!("{name} is on target at {said}{sag}."),
            How::Unchanged => format!("{name} stays at {said}; not measured."),
            How::FeltBest | How::Set | How::StoppedEarly => {
                format!("{name}: set to {said}{sag}; the target was not reached.")
            }
        }
    }

    fn ridden_anyway(self, id: AdjusterId, at: u32, sag: Option<Number>) -> String {
        let (name, said, sag) = (self.name(id), self.said(id, at), self.sag(id, sag));
        format!(
            "{name} stays at {said}{sag}: it is not right, but you chose to ride it anyway. This is saved \
                with your settings."
        )
    }
}

/// What is said before the first change; common practice, no source.
#[must_use]
pub fn cautions(width: usize) -> Vec<String> {
    const CAUTIONS: [&str; 9] = [
        "Keep to the limits printed on parts.",
        "Let all air out before you open an air spring.",
        "Tighten bolts to their printed torque.",
        "Turn adjusters gently; never force them.",
        "First lap after a change: go slow.",
        "Don't read or type while riding.",
        "Stop when you are tired. If it leaks, knocks or sticks, go to a workshop.",
        "Never open a gas-charged damper.",
        "Local rules and your workshop's advice come first.",
    ];
    let mut page = Page::new(width);
    page.head("Before you ride");
    page.items(&CAUTIONS.map(str::to_owned));
    page.lines
}

/// The cautions for those who have read them on an earlier day.
#[must_use]
pub fn cautions_in_short(width: usize) -> Vec<String> {
    let text = "As before: stay within the printed limits, check bolt torques, take the first lap after a \
        change slowly. Stop when you are tired or something leaks or knocks.";
    let mut lines = vec![String::new()];
    lines.extend(wrapped(text, width, "", ""));
    lines
}

/// Where the bike must stand for a ride to go on; nothing where that is not known.
#[must_use]
pub fn standing(session: &Session, width: usize) -> Vec<String> {
    let bike = session.plan().bike();
    let known: Vec<_> = bike
        .ids()
        .filter(|id| !session.is_hidden(*id))
        .filter_map(|id| Some((id, session.fitted_at(id)?, session.dial(id)?)))
        .collect();
    let mut page = Page::new(width);
    if !known.is_empty() {
        page.head("Before you carry on, check the bike is set like this:");
    }
    for (id, at, dial) in known {
        page.item(&format!("{}: {}", bike.get(id).name(), dial.scale().said_in_full(at)));
    }
    page.lines
}

/// What is said when a ride is left: what was not turned yet, and how it goes on.
#[must_use]
pub fn parting(session: &Session, truth: &Truth, width: usize) -> Vec<String> {
    let outcome = session.so_far();
    let mut left = Vec::new();
    for settled in &outcome.adjusters {
        let at = truth.may_be(settled.adjuster).or(session.fitted_at(settled.adjuster));
        let (Some(dial), Some(at)) = (&settled.dial, at) else { continue };
        let name = session.adjuster(settled.adjuster).name();
        if session.is_hidden(settled.adjuster) {
            // where it stands must not be read, so nothing here depends on it
            let place = dial.scale().said_in_full(settled.at);
            left.push(format!(
                "Your helper may have changed {name}. If you ride before the test goes on, set it to {place} \
                    first."
            ));
        } else if at != settled.at {
            let (now, then) = (dial.scale().said_in_full(at), dial.scale().said(settled.at));
            let is = if truth.may_be(settled.adjuster).is_some() { "may be" } else { "is" };
            left.push(format!("Still to do: set {name} to {then} (it {is} at {now})."));
        }
    }
    let mut page = Page::new(width);
    page.head(match (outcome.finished, left.is_empty()) {
        (true, true) => "Finished. The bike is set as listed.",
        (true, false) => "Finished.",
        (false, _) => "Stopped early. Everything is saved; run the same command to carry on.",
    });
    for item in &left {
        page.item(item);
    }
    page.lines
}
