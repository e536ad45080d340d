//! Owns what makes two questions the same: what a question is about, as types, and the reading of that from its
//! written form. It reads leniently, since a file is older than the words in which it would be written now.

use std::cmp::Reverse;

use crate::plan::{Adjuster, AdjusterId};
use crate::session::{Answer, Ask, Fit, QuestionKind, Said, Session, Typed, What, read_answers};
use crate::vocabulary::{KNOBS, PARTS};

use super::Question;
use super::spellings;

/// All that makes a question the same as another.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Asked {
    kind: QuestionKind,
    adjuster: Option<AdjusterId>,
    from: Option<u32>,
    to: Option<u32>,
    against: Option<u32>,
    about: About,
}

/// What a question is about besides one adjuster.
#[derive(Debug, PartialEq, Eq)]
enum About {
    /// Nothing, or a text that is only to be read.
    Nothing,
    /// A condition, by its name.
    Condition(String),
    /// Adjusters and where each is to be, in the bike's order.
    Fits(Vec<(AdjusterId, u32)>),
    /// So many laps, or pairs; or the pair of this number.
    Number(u32),
    /// The pair and its lap, both from 1.
    LapOfPair(u32, u32),
}

impl Question {
    /// Whether this is the question that a session asks: of the same kind, about the same adjuster, the same
    /// positions on its scale, the same condition, and as many laps or pairs. How that is spelt does not count,
    /// nor do words that are only to be read.
    #[must_use]
    pub fn is(&self, session: &Session, ask: &Ask) -> bool {
        // what is written alike is the same, even where nobody could read it
        *self == Question::of(session, ask) || Asked::read(self, session) == Some(Asked::of(ask))
    }
}

impl Asked {
    /// What a session asks.
    pub fn of(ask: &Ask) -> Self {
        let (fit, against) = match ask {
            Ask::Baseline(fit) | Ask::Sag { fit, .. } | Ask::Stop { fit, .. } => (Some(*fit), None),
            Ask::Lap { fit, against, .. } | Ask::Trial { fit, against } => (Some(*fit), Some(*against)),
            Ask::Before(_)
            | Ask::Count(_)
            | Ask::InNow(_)
            | Ask::Record(_)
            | Ask::Say(_)
            | Ask::Fit { .. }
            | Ask::Ride { .. }
            | Ask::Way(_)
            | Ask::Pairs { .. }
            | Ask::Swap { .. }
            | Ask::FirstOfPair { .. }
            | Ask::Which { .. } => (None, None),
        };
        Asked {
            kind: ask.kind(),
            adjuster: ask.adjuster(),
            from: fit.and_then(|fit| fit.from),
            to: fit.map(|fit| fit.to),
            against,
            about: About::of(ask),
        }
    }

    /// What a written question asked, by the bike and the scales of a session; `None` where that cannot be told.
    pub fn read(question: &Question, session: &Session) -> Option<Self> {
        let kind = spellings::question_of(&question.ask)?;
        let adjuster = match &question.adjuster {
            Some(name) => Some(adjuster_named(session, name)?),
            None => None,
        };
        let place = |text: &Option<String>| match text {
            Some(text) => position(session, adjuster?, text).map(Some),
            None => Some(None),
        };
        Some(Asked {
            kind,
            adjuster,
            from: place(&question.from)?,
            to: place(&question.to)?,
            against: place(&question.against)?,
            about: About::read(kind, question.about.as_deref(), session)?,
        })
    }
}

impl About {
    fn of(ask: &Ask) -> Self {
        match ask {
            Ask::Record(condition) => About::Condition(condition.name().to_owned()),
            Ask::Fit { fits, .. } => {
                About::Fits(in_order(fits.iter().map(|Fit { adjuster, to, .. }| (*adjuster, *to)).collect()))
            }
            Ask::Ride { laps: number, .. }
            | Ask::Pairs { pairs: number, .. }
            | Ask::FirstOfPair { pair: number, .. }
            | Ask::Which { pair: number, .. } => About::Number(*number),
            Ask::Swap { pair, lap, .. } => About::LapOfPair(*pair, lap.number()),
            Ask::Say(_)
            | Ask::Before(_)
            | Ask::Count(_)
            | Ask::InNow(_)
            | Ask::Sag { .. }
            | Ask::Stop { .. }
            | Ask::Baseline(_)
            | Ask::Way(_)
            | Ask::Lap { .. }
            | Ask::Trial { .. } => About::Nothing,
        }
    }

    fn read(kind: QuestionKind, text: Option<&str>, session: &Session) -> Option<Self> {
        match kind {
            QuestionKind::Record => text.map(|name| About::Condition(name.to_owned())),
            QuestionKind::Fit => fits(session, text?).map(About::Fits),
            QuestionKind::Ride | QuestionKind::Pairs | QuestionKind::FirstOfPair | QuestionKind::Which => {
                match numbers(text?)?[..] {
                    [number] => Some(About::Number(number)),
                    _ => None,
                }
            }
            QuestionKind::Swap => match numbers(text?)?[..] {
                [pair, lap] => Some(About::LapOfPair(pair, lap)),
                _ => None,
            },
            QuestionKind::Say
            | QuestionKind::Before
            | QuestionKind::Count
            | QuestionKind::InNow
            | QuestionKind::Sag
            | QuestionKind::Stop
            | QuestionKind::Baseline
            | QuestionKind::Way
            | QuestionKind::Lap
            | QuestionKind::Second
            | QuestionKind::TrialLap
            | QuestionKind::Trial => Some(About::Nothing),
        }
    }
}

fn in_order(mut fits: Vec<(AdjusterId, u32)>) -> Vec<(AdjusterId, u32)> {
    fits.sort_unstable();
    fits
}

/// The whole numbers of a text, in order; `None` where one is too large to be any.
fn numbers(text: &str) -> Option<Vec<u32>> {
    let digits = text.split(|c: char| !c.is_ascii_digit()).filter(|digits| !digits.is_empty());
    digits.map(|digits| digits.parse().ok()).collect()
}

/// Every way in which an adjuster may have been written, in lower case; the longest first.
fn spellings_of(adjuster: &Adjuster) -> Vec<String> {
    let mut parts = vec![adjuster.part.word()];
    parts.extend(PARTS.iter().filter(|row| row.0 == adjuster.part).flat_map(|row| row.2));
    let mut knobs = vec![adjuster.knob.word()];
    knobs.extend(KNOBS.iter().filter(|row| row.knob == adjuster.knob).flat_map(|row| row.also));
    let both =
        |part: &&str| knobs.iter().map(|knob| format!("{part} {knob}").to_lowercase()).collect::<Vec<_>>();
    let mut spellings: Vec<String> = parts.iter().flat_map(both).collect();
    spellings.sort_by_key(|spelling| Reverse(spelling.len()));
    spellings
}

/// The adjuster of a bike that a name means.
fn adjuster_named(session: &Session, name: &str) -> Option<AdjusterId> {
    let bike = session.plan().bike();
    let lower = name.to_lowercase();
    bike.ids()
        .find(|id| bike.get(*id).name() == name)
        .or_else(|| bike.ids().find(|id| spellings_of(bike.get(*id)).contains(&lower)))
}

/// The position on an adjuster's scale that a text tells: by its name, by its number and unit, or, where its number
/// is written shorter than it is, as it is written now.
fn position(session: &Session, id: AdjusterId, text: &str) -> Option<u32> {
    let scale = session.scale(id)?;
    let told = || {
        let answers = read_answers(text).ok()?;
        let [Typed::Said(Said { what: What::Answer(Answer::Told(told)), note: None })] = &answers[..] else {
            return None;
        };
        session.position(id, told).ok()
    };
    let written = || (0..=scale.top()).find(|position| scale.said(*position) == text);
    scale.named(text).or_else(told).or_else(written)
}

/// The adjusters of a list and where each is to be: `fork rebound 8 clicks, shock lockout open`.
fn fits(session: &Session, list: &str) -> Option<Vec<(AdjusterId, u32)>> {
    let bike = session.plan().bike();
    let mut known: Vec<(String, AdjusterId)> = bike
        .ids()
        .flat_map(|id| spellings_of(bike.get(id)).into_iter().map(move |name| (name, id)))
        .collect();
    known.sort_by_key(|(name, _)| Reverse(name.len()));
    // what is behind an adjuster's name
    let behind = |text: &'_ str| -> Option<(AdjusterId, usize)> {
        let begins = |name: &str| {
            let (head, tail) = text.split_at_checked(name.len())?;
            (head.to_lowercase() == name && tail.starts_with(' ')).then_some(name.len() + 1)
        };
        known.iter().find_map(|(name, id)| Some((*id, begins(name)?)))
    };
    let (mut fits, mut rest) = (Vec::new(), list.trim());
    while !rest.is_empty() {
        let (id, begin) = behind(rest)?;
        // the next adjuster begins behind a comma
        let next = rest
            .match_indices(", ")
            .map(|(at, _)| at)
            .find(|at| *at > begin && behind(&rest[at + 2..]).is_some());
        let end = next.unwrap_or(rest.len());
        fits.push((id, position(session, id, rest.get(begin..end)?)?));
        rest = rest.get(end..)?.trim_start_matches(", ");
    }
    Some(in_order(fits))
}
