//! Owns the findings of a check: what is wrong, what is still needed, and the proof that one of them was told.
//! It knows nothing of what is checked.

use super::{Code, Problem, Severity, Text};

/// Says that an error or a need was told: nobody else can make one. Whoever has nothing to give must have told
/// why.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Told(());

impl Told {
    /// Whether an error is among problems that were told.
    #[must_use]
    pub fn among(problems: &[Problem]) -> Option<Told> {
        problems.iter().any(Problem::is_error).then_some(Told(()))
    }
}

/// Tells errors.
pub trait Refuse {
    /// Tells a problem for whose sake something cannot be used: it is an error, whatever its code says.
    fn refuse(&mut self, problem: Problem) -> Told;
}

impl Refuse for Vec<Problem> {
    fn refuse(&mut self, problem: Problem) -> Told {
        self.push(Problem { severity: Severity::Error, ..problem });
        Told(())
    }
}

/// What a check finds.
#[derive(Debug, Clone, Default)]
pub struct Findings {
    pub problems: Vec<Problem>,
    /// What a ride still needs, a sentence each, where a set is only a part.
    pub needs: Vec<Text>,
}

impl Findings {
    /// Tells a problem beside which all can still be used.
    pub fn tell(&mut self, problem: Problem) {
        self.problems.push(problem);
    }

    /// Whether an error of a kind is told already.
    #[must_use]
    pub fn told(&self, code: Code) -> Option<Told> {
        let of_kind = |problem: &&Problem| problem.code == code && problem.is_error();
        self.problems.iter().any(|problem| of_kind(&problem)).then_some(Told(()))
    }

    /// Tells a need for whose sake something cannot be used yet.
    pub fn need(&mut self, need: impl Into<Text>) -> Told {
        self.needs.push(need.into());
        Told(())
    }
}

impl Refuse for Findings {
    fn refuse(&mut self, problem: Problem) -> Told {
        self.problems.refuse(problem)
    }
}

impl Extend<Problem> for Findings {
    fn extend<T: IntoIterator<Item = Problem>>(&mut self, problems: T) {
        self.problems.extend(problems);
    }
}
