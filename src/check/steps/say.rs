//! Owns what `say` means: a text that is shown.

use crate::language::steps::Say;
use crate::plan::Step;
use crate::problem::Told;

use super::Spreader;
use crate::check::values::found;

impl Spreader<'_> {
    pub(super) fn say(&mut self, say: &Say<'_>) -> Result<(), Told> {
        let Say { line: _, text } = say;
        let (text, span) = found(*text, self.findings)?;
        self.put(Step::Say(text.clone()), span);
        Ok(())
    }
}
