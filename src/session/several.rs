//! Owns how several numbers on one line are read where the bike is as the rider found it: a value for each
//! adjuster, or how one was found with its count. It knows nothing of what follows from them.

use crate::plan::AdjusterId;

use super::figures::{Group, Join, Value, is_blank};
use super::{Answer, Ask, Full, Heard, Mismatch, NotRead, Said, Session, Told, Typed, What};

/// Why a part of a line does not say how an adjuster was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    NotRead(NotRead),
    Unfit(Mismatch),
}

/// What a line says of how several adjusters were found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AllFound {
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
    pub fn all_found(&self, line: &str) -> Option<AllFound> {
        let mut all = AllFound { said: Vec::new(), trouble: None, too_many: 0 };
        let (mut session, mut left) = (self.clone(), line.to_owned());
        while let Some(Ask::Found(id)) = session.ask() {
            let heard = match session.hear(&left, true) {
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

    /// How an adjuster was found and its count, where both are told.
    pub(super) fn found_and_count(
        &self,
        id: AdjusterId,
        groups: &[Group<'_>],
        list: bool,
    ) -> Result<Option<Heard>, NotRead> {
        if self.found(id).is_some() || !is_two(groups, list) {
            return Ok(None);
        }
        let values: Vec<_> = groups.iter().flat_map(|group| &group.values).take(2).collect();
        let last = if groups[0].values.len() == 2 { &groups[0] } else { &groups[1] };
        let told = |value: &Value<'_>| -> Result<Told, NotRead> {
            let alone = Group { values: vec![value.clone()], joins: Vec::new(), ..last.clone() };
            Ok(self.place(id, &alone)?.0)
        };
        let answer = Answer::Two(told(values[0])?, told(values[1])?);
        let said = Said { what: What::Answer(answer), note: last.note.clone() };
        Ok(Some(Heard { typed: Typed::Said(said), full: Full::Otherwise, left: String::new() }))
    }
}

/// Whether a line begins with two whole numbers, in one of the ways in which two are typed. In a list of
/// answers a comma separates two of them.
fn is_two(groups: &[Group<'_>], list: bool) -> bool {
    let whole = |group: &Group<'_>| group.values.iter().all(|value| value.comma.is_none());
    let joined = |join: &Join| matches!(join, Join::Space | Join::And | Join::Slash);
    let both = |group: &Group<'_>| group.values.len() == 2 && group.joins.iter().all(joined);
    match groups {
        [one] => whole(one) && both(one),
        [one, ..] if list => whole(one) && both(one),
        [one, other] => {
            let single = [one, other].iter().all(|group| group.values.len() == 1 && whole(group));
            single && one.note.is_none()
        }
        _ => false,
    }
}
