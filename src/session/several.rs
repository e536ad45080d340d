//! Owns how a line is read that tells how several adjusters were found, a value for each. It knows nothing of what
//! follows from them.

use crate::plan::AdjusterId;

use super::figures::is_blank;
use super::{Ask, Extent, Heard, Mismatch, NotRead, Said, Session, Typed, What};

/// Why a part of a line does not say how an adjuster was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    NotRead(NotRead),
    Unfit(Mismatch),
}

/// What a line says of how several adjusters were found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AllBefore {
    /// What it says of each, in the bike's order, up to the first that does not fit.
    pub said: Vec<(AdjusterId, Said)>,
    /// Why the next one does not fit.
    pub trouble: Option<Trouble>,
    /// How many values it has beyond the last adjuster.
    pub too_many: usize,
}

impl Session {
    /// Reads a line with how several adjusters were found; `None` if that is not asked, or if it tells of one
    /// at most.
    #[must_use]
    pub fn all_found(&self, line: &str) -> Option<AllBefore> {
        let mut all = AllBefore { said: Vec::new(), trouble: None, too_many: 0 };
        let (mut session, mut left) = (self.clone(), line.to_owned());
        while let Some(Ask::Before(id)) = session.ask() {
            let heard = match session.hear(&left, Extent::List) {
                Ok(None) => break,
                Ok(Some(heard)) => heard,
                Err(reason) => {
                    all.trouble = Some(Trouble::NotRead(reason));
                    break;
                }
            };
            let Heard { typed: Typed::Said(said @ Said { what: What::Answer(_), .. }), left: rest, .. } =
                heard
            else {
                return None;
            };
            let What::Answer(answer) = &said.what else { return None };
            match session.answer(answer) {
                Ok(next) => session = next,
                Err(mismatch) => {
                    all.trouble = Some(Trouble::Unfit(mismatch));
                    break;
                }
            }
            all.said.push((id, said));
            left = rest;
        }
        let several = all.said.len() > 1 || all.said.len() == 1 && !is_blank(&left);
        if all.trouble.is_none() && several {
            all.too_many = left.split(',').filter(|part| !is_blank(part)).count();
        }
        several.then_some(all)
    }
}
