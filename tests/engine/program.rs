//! A whole program on the one face of the library: it checks a set that is held in memory, repairs its words, rides
//! it with a list of answers, and gives what `clickwise ride` would write: the journal and the settings.

use clickwise::engine::{BeginFrom, DateTime, InMemory, IntoFile, Ride, Set, Severity};

pub struct Written {
    pub repaired: Vec<(String, String)>,
    pub journal: Vec<u8>,
    pub settings: String,
}

pub fn ride(
    files: &InMemory,
    roots: &[&str],
    (now, seed): (&str, u64),
    answers: &str,
    journal: &str,
) -> Result<Written, String> {
    let set = Set::gather(files, roots).map_err(|unread| unread.to_string())?;
    let repaired = set.repaired(files).map_err(|unread| unread.to_string())?;
    let set = repaired.set;
    if let Some(problem) = set.problems().iter().find(|problem| problem.severity == Severity::Error) {
        let source = set.sources().get(problem.span.source);
        let line = source.place(problem.span.start).line;
        return Err(format!("{}:{line}: {}: {}", source.name(), problem.code.name(), problem.message));
    }
    let now: DateTime = now.parse().map_err(|no_moment| format!("{now}: {no_moment}"))?;
    let mut ride = Ride::begin(&set, &BeginFrom::default(), &now, seed).map_err(|why| why.to_string())?;
    for line in answers.lines() {
        ride.say(line, &now).map_err(|why| format!("{line}: {why:?}"))?;
    }
    ride.say_the_rest(&now).map_err(|why| format!("{why:?}"))?;
    let file = IntoFile { journal: Some(journal), ..IntoFile::default() };
    let settings = ride.settings(&now, &file).map_err(|why| format!("{why:?}"))?;
    Ok(Written { repaired: set.texts(), journal: ride.journal().to_vec(), settings })
}
