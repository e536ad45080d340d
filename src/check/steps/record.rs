//! Owns what `record` means: something that is asked for once and kept with the settings.

use crate::language::RecordedNode;
use crate::language::steps::Record;
use crate::plan::{Condition, Step};
use crate::problem::{Code, Problem, Refuse, Span, Told};
use crate::vocabulary::Recordable;

use super::Spreader;
use crate::check::sections::told_twice;
use crate::check::values::found;

impl Spreader<'_> {
    pub(super) fn record(&mut self, record: &Record<'_>) -> Result<(), Told> {
        let Record { line: _, what } = record;
        let (what, span) = found(*what, self.findings)?;
        let condition = match what {
            RecordedNode::Word(Recordable::Settings) => {
                self.put(Step::RecordSettings, span);
                return Ok(());
            }
            RecordedNode::Word(Recordable::Temperature) => Condition::Temperature,
            RecordedNode::Word(Recordable::Altitude) => Condition::Altitude,
            RecordedNode::Own { name, unit } => {
                self.may_be_called(name, span)?;
                Condition::Own { name: name.clone(), unit: *unit }
            }
        };
        if let Some(first) = self.recorded.get(condition.name()) {
            return Err(self.findings.refuse(told_twice(condition.name(), span, *first)));
        }
        self.recorded.insert(condition.name().to_owned(), span);
        self.put(Step::Record(condition), span);
        Ok(())
    }

    /// Refuses the words of the language as names of what is recorded.
    fn may_be_called(&mut self, name: &str, span: Span) -> Result<(), Told> {
        let is_word = Recordable::ALL.iter().any(|word| word.word().eq_ignore_ascii_case(name));
        if !is_word && !name.trim().is_empty() {
            return Ok(());
        }
        let problem =
            Problem::new(Code::NameReserved, span, format!("you can't record something called `{name}`"));
        let help = format!("write `record {name}` without quotes, or choose another name");
        Err(self.findings.refuse(problem.help(help)))
    }
}
