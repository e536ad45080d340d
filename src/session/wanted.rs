//! Owns what a question wants, in words, and the reading of a place that a person tells.
//! It knows nothing of what follows from an answer.

use crate::physics::{Unit, mixed_or_decimal};
use crate::plan::{AdjusterId, Condition, Off, Scale, Setup};
use crate::vocabulary::{ANSWERS, AnswerWord, Way, nearest, unit_word};

use super::{Answer, Ask, Mismatch, Round, Session, Told};

impl Session {
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
            Ask::Found(id) => match self.scale(*id).map(Scale::listed_names) {
                Some(names) if !names.is_empty() => format!("{names} or unknown"),
                _ => format!("a number such as {}, or unknown", self.example(*id)),
            },
            Ask::InNow(id) => match self.scale(*id).map(Scale::listed_names) {
                Some(names) if !names.is_empty() => names,
                _ => format!("a number such as {}", self.example(*id)),
            },
            Ask::Count(id) if self.found(*id).is_none() => format!(
                "a count such as {}, or how it was found and the count: {}",
                self.example(*id),
                self.example_of_two(*id)
            ),
            Ask::Count(id) => format!("a count such as {}", self.example(*id)),
            Ask::Record(Condition::Own { unit: None, .. }) => "a text in quotes, or unknown".to_owned(),
            Ask::Record(condition) => {
                let units: Vec<_> = condition.units().into_iter().map(|unit| unit_word(unit)).collect();
                format!("a number with {}, or unknown", units.join(" or "))
            }
            Ask::Proof { .. } => "proof, or Enter to go without".to_owned(),
            Ask::Pairs { .. } => "Enter to begin, or skip".to_owned(),
            Ask::FirstOfPair { .. } => "Enter when it is ridden, or void".to_owned(),
            Ask::Which { .. } => "first, second or void".to_owned(),
            Ask::Say(_) | Ask::Fit { .. } | Ask::Ride { .. } | Ask::Swap { .. } => {
                "nothing but Enter when it is done".to_owned()
            }
            Ask::Sag { .. } => {
                let share = self.measuring().and_then(|measure| measure.travel).map_or("", |_| " or 20 %");
                format!("a sag such as 32 mm{share}, or two readings: 31/33 or 31 mm and 33 mm")
            }
            Ask::Stop { .. } => {
                let aim = self
                    .measuring()
                    .map(|measure| (measure.aim() / measure.read_to).round() * measure.read_to);
                let aim =
                    aim.map_or(String::new(), |aim| format!(" such as {} mm", Unit::Millimetre.figure(aim)));
                format!("a new sag{aim}, or `{}` in full", AnswerWord::RideAnyway.word())
            }
            Ask::Reference(_) => "Enter when it is ridden, or void".to_owned(),
            Ask::Way(id) => {
                let rising = self.adjuster(*id).rising();
                format!("{}, {} or either", rising.word(), rising.opposite().word())
            }
            Ask::Lap { round: Round::Second, .. } => "better, worse, same, or skip".to_owned(),
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
    pub fn example(&self, id: AdjusterId) -> String {
        match &self.adjuster(id).setup {
            Setup::Known(dial) | Setup::Unstarted(dial) => dial.scale().said(dial.scale().top() / 2),
            Setup::Uncounted(uncounted) if uncounted.unit() == Unit::Turns => "2 1/2 turns".to_owned(),
            Setup::Uncounted(_) => "14 clicks".to_owned(),
        }
    }

    /// How it was found and a count as they could be told of an adjuster that is not counted yet.
    #[must_use]
    pub fn example_of_two(&self, id: AdjusterId) -> &'static str {
        match self.adjuster(id).setup.unit() {
            Some(Unit::Turns) => "1 1/4 and 2 1/2",
            _ => "6 and 14",
        }
    }

    /// An adjuster's scale, once its positions are known.
    #[must_use]
    pub fn scale(&self, id: AdjusterId) -> Option<&Scale> {
        self.dial(id).map(crate::plan::Dial::scale).or(self.adjuster(id).setup.scale())
    }

    /// The position at which an adjuster was found, where that was asked and known.
    #[must_use]
    pub fn found_at(&self, id: AdjusterId) -> Option<u32> {
        self.position(id, self.found(id)?).ok()
    }

    /// The position that a person tells on an adjuster whose positions are known.
    pub(super) fn position(&self, id: AdjusterId, told: &Told) -> Result<u32, Mismatch> {
        let Some(scale) = self.scale(id) else {
            return Err(Mismatch("this adjuster is not counted yet".to_owned()));
        };
        let name = self.adjuster(id).name();
        let range = || scale.said_range();
        match told {
            // positions may be called "1", "2", "3"
            Told::Value(number, None) if scale.unit().is_none() => {
                let called = mixed_or_decimal(*number);
                let names = || scale.listed_names();
                scale
                    .named(&called)
                    .ok_or_else(|| Mismatch(format!("`{told}` is no position of {name}: {}", names())))
            }
            Told::Value(_, Some(unit)) if scale.unit() != Some(*unit) => {
                let wanted =
                    scale.unit().map_or(String::new(), |unit| format!(": it has {}", unit_word(unit)));
                Err(Mismatch(format!("`{told}` has another unit than {name}{wanted}")))
            }
            Told::Value(number, _) => scale.position(*number).map_err(|off| self.off(id, told, off)),
            Told::Name(called) => scale.named(called).ok_or_else(|| {
                let positions = if scale.all_names().is_empty() { range() } else { scale.listed_names() };
                Mismatch(format!("`{told}` is no position of {name}: {positions}"))
            }),
        }
    }

    /// Why a number is no position of an adjuster.
    fn off(&self, id: AdjusterId, told: &Told, off: Off) -> Mismatch {
        let name = self.adjuster(id).name();
        let Some(scale) = self.scale(id) else { return Mismatch(String::new()) };
        Mismatch(match off {
            Off::Between(below, above) => {
                format!(
                    "`{told}` lies between two positions of {name}: {} and {}",
                    scale.said(below),
                    scale.said(above)
                )
            }
            Off::Outside(_) => {
                format!("`{told}` is no position of {name}: {}", scale.said_range())
            }
        })
    }
}
