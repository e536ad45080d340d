//! Owns how each question takes its answer: what is written into the bike, what is asked next.
//! It knows nothing of what is right: that is tried on the whole file afterwards.

use crate::language::TokenKind;
use crate::physics::Unit;
use crate::plan::Setup;
use crate::vocabulary::{
    AnswerWord, Clause, End, Entry, Family, Heading, Knob, NONE, NOT_COUNTED, Part, answer_word, unit_named,
    unit_word,
};

use super::judge::{self, judged};
use super::reading::{self, Item};
use super::spelling::{begins, first_word, spelt, words};
use super::{Interview, Refusal, Topic};

/// A typed line, as far as it means the same everywhere.
enum Typed {
    /// Enter alone.
    Silent,
    /// It is not there.
    Absent,
    Unknown,
    Line(String),
}

impl Typed {
    /// What a line is, and the remark behind it.
    fn of(line: &str) -> (Self, Option<String>) {
        let spelt = spelt(line);
        let typed = match spelt.text.as_str() {
            "" => Typed::Silent,
            text if text == NONE || text == "no" => Typed::Absent,
            text if answer_word(text) == Some(AnswerWord::Unknown) => Typed::Unknown,
            text => Typed::Line(text.to_owned()),
        };
        (typed, spelt.remark)
    }
}

/// The entry that says how far a part can move.
pub(super) fn travel_entry(part: Part) -> Entry {
    if part == Part::Shock { Entry::Stroke } else { Entry::Travel }
}

impl Interview {
    pub(super) fn take(&mut self, ask: &Topic, line: &str) -> Result<(), Refusal> {
        if *ask == Topic::Name {
            self.take_name(line);
            return Ok(());
        }
        let (typed, remark) = Typed::of(line);
        match ask {
            Topic::Name => {}
            Topic::Travel(part) => self.take_travel(*part, typed, remark.clone()),
            Topic::Spring(part) => self.take_spring(*part, typed, remark.clone())?,
            Topic::Adjusters(part) => self.take_adjusters(*part, typed, remark.clone())?,
            Topic::Counted => self.take_counted(&typed)?,
            Topic::Range(part, knob) => self.take_range(*part, knob, typed),
            Topic::Sag(part, knob) => self.take_clause(*part, knob, Clause::Sag, typed),
            Topic::Start(part, knob) => self.take_clause(*part, knob, Clause::Start, typed),
        }
        match ask {
            Topic::Range(part, knob) | Topic::Sag(part, knob) | Topic::Start(part, knob) => {
                self.draft.remark(*part, knob, remark);
            }
            _ => {}
        }
        Ok(())
    }

    fn ask_next(&mut self, asks: Vec<Topic>) {
        for ask in asks.into_iter().rev() {
            self.agenda.push_front(ask);
        }
    }

    fn take_name(&mut self, line: &str) {
        let typed = line.split_whitespace().collect::<Vec<_>>().join(" ");
        let unquoted =
            typed.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).unwrap_or(&typed).trim();
        let name = if unquoted.is_empty() { silent_name() } else { unquoted };
        if name.contains('"') {
            self.news.push(
                "Names are written in double quotes, so the ones inside were changed to single quotes."
                    .to_owned(),
            );
        }
        self.draft.name = Some(name.replace('"', "'"));
    }

    fn take_travel(&mut self, part: Part, typed: Typed, remark: Option<String>) {
        match typed {
            Typed::Absent => return,
            Typed::Silent if part == Part::Shock => return,
            Typed::Silent | Typed::Unknown => {}
            Typed::Line(line) => {
                let word = travel_entry(part).words();
                let says = line.strip_prefix(word).map_or(line.as_str(), str::trim_start);
                self.draft.set_travel(part, word, says.to_owned(), remark);
            }
        }
        self.ask_next(vec![Topic::Spring(part), Topic::Adjusters(part)]);
    }

    fn take_spring(&mut self, part: Part, typed: Typed, remark: Option<String>) -> Result<(), Refusal> {
        let Typed::Line(line) = typed else { return Ok(()) };
        let (knob, says) = match reading::named(part, &line).filter(|(knob, _)| knob.is_spring()) {
            Some(named) => named,
            None => (spring_meant(part, &line)?, line),
        };
        if says.is_empty() {
            self.draft.add(part, knob.clone(), None);
            self.ask_next(vec![Topic::Range(part, knob.clone())]);
        } else {
            self.set(part, &knob, &says);
        }
        self.draft.remark(part, &knob, remark);
        Ok(())
    }

    fn take_adjusters(&mut self, part: Part, typed: Typed, remark: Option<String>) -> Result<(), Refusal> {
        let line = match typed {
            Typed::Absent => return Ok(()),
            Typed::Silent | Typed::Unknown => Knob::Rebound.word().to_owned(),
            Typed::Line(line) => line,
        };
        let mut found = Vec::new();
        for Item { knob, rest } in reading::listed(part, &line) {
            let Some(knob) = knob else { return Err(no_adjuster(part, &rest)) };
            let says = (!rest.is_empty()).then(|| reading::tidied(part, &knob, &rest));
            self.draft.add(part, knob.clone(), says);
            found.push(knob);
        }
        if let Some(reason) = judged(&self.draft.with_examples().text()).error {
            return Err(Refusal(reason));
        }
        if let Some(last) = found.last() {
            self.draft.remark(part, last, remark);
        }
        let mut asks = Vec::new();
        if self.counted.is_none() && found.iter().any(Knob::may_be_counted) {
            asks.push(Topic::Counted);
        }
        for knob in found {
            if self.draft.says(part, &knob).is_some() {
                self.count(part, &knob);
                asks.extend(self.follow_ups(part, &knob));
            } else {
                asks.push(Topic::Range(part, knob));
            }
        }
        self.ask_next(asks);
        Ok(())
    }

    fn take_counted(&mut self, typed: &Typed) -> Result<(), Refusal> {
        let end = match typed {
            Typed::Line(line) => {
                let words = Clause::Counted.row().words;
                let said = line.strip_prefix(words).map_or(line.as_str(), str::trim_start);
                let known = [End::Open, End::Closed].into_iter().find(|end| end.word() == said);
                known.ok_or_else(|| {
                    let reason = judge::clause(Part::Fork, &Knob::Rebound, Clause::Counted, said);
                    Refusal(reason.unwrap_or(format!("`{said}` names both ends. Choose one.")))
                })?
            }
            _ => End::Closed,
        };
        self.counted = Some(end);
        for (part, knob) in self.draft.known() {
            self.count(part, &knob);
        }
        Ok(())
    }

    fn take_range(&mut self, part: Part, knob: &Knob, typed: Typed) {
        let says = match typed {
            Typed::Line(line) => Some(reading::of(part, knob, &line)),
            Typed::Silent | Typed::Unknown => self.silent_range(part, knob),
            Typed::Absent => None,
        };
        match says {
            Some(says) => self.set(part, knob, &says),
            None => self.draft.leave_out(part, knob),
        }
    }

    /// What Enter alone says of an adjuster's range; `None` where it leaves the adjuster out.
    pub(super) fn silent_range(&self, part: Part, knob: &Knob) -> Option<String> {
        if knob.may_be_counted() {
            return Some(format!("{NOT_COUNTED} {}", unit_word(Unit::Clicks)));
        }
        match (knob, part) {
            (Knob::Lockout, _) => Some(format!("{} or {}", End::Open.word(), End::Closed.word())),
            (Knob::Pressure, Part::RearTyre) => {
                let front = self.draft.says(Part::FrontTyre, knob)?;
                reading::range(Part::FrontTyre, knob, front)
            }
            _ => None,
        }
    }

    fn take_clause(&mut self, part: Part, knob: &Knob, clause: Clause, typed: Typed) {
        let (Typed::Line(line), Some(says)) = (typed, self.draft.says(part, knob)) else { return };
        let says = reading::tidied(part, knob, &format!("{says}, {}", reading::clause(clause, &line)));
        self.draft.set(part, knob, says);
    }

    /// Sets an adjuster's line and asks what it leaves open.
    fn set(&mut self, part: Part, knob: &Knob, says: &str) {
        self.draft.set(part, knob, reading::tidied(part, knob, says));
        self.count(part, knob);
        self.ask_next(self.follow_ups(part, knob));
    }

    /// Writes into an adjuster's line from which end the owner counts, where that is worth a word and
    /// the checker takes it.
    fn count(&mut self, part: Part, knob: &Knob) {
        let (Some(End::Open), true) = (self.counted, knob.may_be_counted()) else { return };
        let says = self.draft.says(part, knob).and_then(|says| reading::counted(part, knob, says, End::Open));
        let Some(says) = says else { return };
        let mut trial = self.draft.clone();
        trial.set(part, knob, says);
        if judged(&trial.text()).error.is_none() {
            self.draft = trial;
        }
    }

    /// What an adjuster's line leaves open and is worth a question.
    fn follow_ups(&self, part: Part, knob: &Knob) -> Vec<Topic> {
        let Some(says) = self.draft.says(part, knob) else { return Vec::new() };
        let lacks = |clause| !reading::has(part, knob, says, clause);
        let mut asks = Vec::new();
        if knob.is_spring() && lacks(Clause::Sag) {
            asks.push(Topic::Sag(part, knob.clone()));
        }
        let choice = match judge::setup(&self.draft, part, knob) {
            Some(Setup::Known(dial)) => dial.scale().top() > 0,
            _ => true,
        };
        if choice && knob.family() != Family::Lockout && lacks(Clause::Start) {
            asks.push(Topic::Start(part, knob.clone()));
        }
        asks
    }
}

/// The name of a bike that is not given one.
pub(super) fn silent_name() -> &'static str {
    Heading::Bike.row().example.split('"').nth(1).unwrap_or_default()
}

/// The spring whose name was left out, by the unit that was typed.
fn spring_meant(part: Part, line: &str) -> Result<Knob, Refusal> {
    let units: Vec<Unit> = words(line).iter().filter_map(|word| unit_named(word)).collect();
    let has = |knob: &Knob| units.iter().any(|unit| knob.kinds().contains(&unit.kind()));
    let numbers = begins(line, &[TokenKind::Number, TokenKind::CommaNumber]);
    if numbers {
        let listed = !has(&Knob::Air) && words(line).iter().any(|word| word == "or");
        return Ok(if listed || has(&Knob::Coil) { Knob::Coil } else { Knob::Air });
    }
    let near = first_word(line).and_then(|_| judge::misspelt(part, line));
    near.map_or(Ok(Knob::Air), |reason| Err(Refusal(reason)))
}

/// Why something in a list is no adjuster.
fn no_adjuster(part: Part, typed: &str) -> Refusal {
    let named = first_word(typed).is_some();
    let reason = if named { judge::unnamed(part, typed) } else { None };
    Refusal(reason.unwrap_or(format!(
        "clickwise doesn't know an adjuster called `{typed}`. Put your own name in quotes, such as \
            \"bottoming resistance\"."
    )))
}
