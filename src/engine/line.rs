//! Owns what a typed line comes to at the question that is asked: which of the ways of answering it is. It takes
//! nothing, and knows nothing of terminals.

use crate::problem::is_harmful;
use crate::session::{AllBefore, Answer, Extent, Full, Heard, Mismatch, NotRead, Said, Stated, Typed, What};
use crate::vocabulary::answer_word;

use super::ride::Ride;

/// What a typed line comes to. Nothing is taken yet.
#[derive(Debug, Clone, PartialEq)]
pub enum Line {
    /// Nothing is typed, and the question wants more than Enter.
    Blank,
    /// Enter alone, which answers.
    Enter,
    /// An answer that fits.
    Answer {
        said: Said,
        full: Full,
    },
    /// Words of the rider's own, where such are asked for.
    Text(Said),
    /// How several adjusters were found.
    Before(AllBefore),
    /// An answer with plain words behind it, which become its note.
    Noted(Said),
    /// An answer that does not fit the question; a text of the rider's own may be kept as a note.
    Unfit {
        why: Mismatch,
        note: Option<String>,
    },
    /// No answer; a text of the rider's own may be kept as a note.
    NotRead {
        why: NotRead,
        note: Option<String>,
    },
    /// Another setting was fitted; which one is not said yet.
    Another,
    Help,
    Quit,
}

impl Ride {
    /// What a typed line comes to at the question that is asked.
    ///
    /// ```
    /// use clickwise::engine::{BeginFrom, DateTime, InMemory, Line, Ride, Set};
    ///
    /// # let text = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n  tune every rebound\n";
    /// # let files = InMemory::of([("set.tune", text)]);
    /// # let set = Set::gather(&files, &["set.tune"]).unwrap();
    /// # let now: DateTime = "2026-05-16T14:05:00+02:00".parse().unwrap();
    /// let mut ride = Ride::begin(&set, &BeginFrom::default(), &now, 0).unwrap();
    /// assert_eq!(ride.read("h"), Line::Help);
    /// let Line::Enter = ride.read("") else { panic!("everything is fitted") };
    /// assert!(matches!(ride.read("bettr"), Line::NotRead { .. } | Line::Unfit { .. }));
    /// ```
    #[must_use]
    pub fn read(&self, line: &str) -> Line {
        let line = line.trim();
        if line.is_empty() && self.fits(&Said::answer(Answer::Done)) {
            return Line::Enter;
        }
        let wants_text = self.ask().is_some_and(|ask| ask.wants_text());
        if wants_text && answer_word(line).is_none() && !line.is_empty() && !line.contains('"') {
            return Line::Text(Said::answer(Answer::Text(plain(line))));
        }
        if let Some(found) = self.session().all_found(line) {
            return Line::Before(found);
        }
        match self.session().hear(line, Extent::One) {
            Ok(None) => Line::Blank,
            Ok(Some(heard)) => self.heard(heard, line),
            Err(why) if why.is_final() => Line::NotRead { why, note: None },
            Err(why) => match self.with_note(line) {
                Some(said) => Line::Noted(said),
                None => Line::NotRead { why, note: as_note(line) },
            },
        }
    }

    /// What the one answer of a line comes to, as the question has heard it.
    #[must_use]
    pub fn heard(&self, heard: Heard, line: &str) -> Line {
        let said = match heard.typed {
            Typed::Quit => return Line::Quit,
            Typed::Help => return Line::Help,
            Typed::Another => return Line::Another,
            Typed::Said(said) => said,
        };
        let Some(why) = self.misfit(&said) else { return Line::Answer { said, full: heard.full } };
        if let Some(said) = self.with_note(line) {
            return Line::Noted(said);
        }
        let own_words = matches!(said.what, What::Answer(Answer::Told(Stated::Name(_)) | Answer::Text(_)));
        Line::Unfit { why, note: if own_words { as_note(line) } else { None } }
    }

    /// An answer with plain words behind it, which become its note: `worse harsh in the rocks`.
    fn with_note(&self, line: &str) -> Option<Said> {
        let spaces: Vec<usize> = line.match_indices(' ').map(|(at, _)| at).take(2).collect();
        spaces.into_iter().rev().find_map(|at| {
            let (answer, note) = (line[..at].trim(), line[at..].trim());
            let Heard { typed: Typed::Said(said), .. } = self.session().hear(answer, Extent::One).ok()??
            else {
                return None;
            };
            let fits = matches!(&said.what, What::Answer(answer) if !matches!(answer, Answer::Told(_)));
            (fits && !note.is_empty() && self.fits(&said))
                .then(|| Said { what: said.what.clone(), note: Some(plain(note.trim_matches('"'))) })
        })
    }
}

/// A line as a note; `None` for a single letter, which is a key that was meant, or missed.
fn as_note(line: &str) -> Option<String> {
    Some(plain(line)).filter(|text| text.chars().count() > 1)
}

/// A text as it can be kept: without quotes and without what could do harm.
fn plain(text: &str) -> String {
    text.trim().replace('"', "'").chars().filter(|&c| !is_harmful(c)).collect()
}
