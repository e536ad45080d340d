//! Owns the finding of the ride to go on with: among the journals of a folder, the newest open one of the
//! same plan, bike and rider. Damaged ones are named once and put out of the way; they stop nothing.

use std::cmp::Reverse;
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use crate::disk::{self, JOURNAL, Lock, NotLocked};
use crate::engine::{is_finished, is_ride_of, was_finished};
use crate::plan::Plan;
use crate::record::{Damage, Journal, Rest, is_stem_of, read_journal, session_of};

use crate::show;

use super::Exit;
use super::clock::seconds;
use super::screen::Screen;

/// So many journals are looked at by one thread.
const MANY: usize = 64;

/// A journal that is read and locked.
pub(super) struct Held {
    pub path: PathBuf,
    pub lock: Lock,
    pub bytes: Vec<u8>,
    pub journal: Journal,
}

/// What there is to go on with.
pub(super) enum Newest {
    Open(Box<Held>),
    /// A ride that ended when its settings could not be saved.
    Unsaved(Box<Held>),
    None,
}

/// Whose journals are looked for, and where.
pub(super) struct OpenRides<'a> {
    pub folder: PathBuf,
    /// The plan, bike and rider.
    pub plan: &'a Plan,
    /// Who takes a lock.
    pub holder: &'a str,
    /// The ride whose settings the bike's file has, by its journal's name without its ending.
    pub saved: Option<String>,
    pub screen: Screen,
}

/// What a journal is good for.
enum Use {
    Open(Box<Journal>),
    /// Finished, of this plan, bike and rider.
    Finished,
    /// Of another plan, bike or rider.
    Others,
    /// To be put out of the way, and why.
    Damaged(String),
    /// Of a later format: not touched.
    Later(Damage),
    Merge(Damage),
}

/// A journal that may be open. Those with answers come before those without, then the newest first.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Candidate {
    has_answers: bool,
    /// When it was last written to, in seconds.
    time: Option<i64>,
    name: String,
}

impl OpenRides<'_> {
    /// The newest open journal; `None` if a new one is to be begun.
    ///
    /// # Errors
    /// If the newest has the marks of an unfinished merge.
    pub fn newest(&self) -> Result<Newest, Exit> {
        let (candidates, finished) = self.candidates();
        let mut is_newest = true;
        for Reverse(candidate) in candidates {
            let path = self.folder.join(&candidate.name);
            let newest =
                is_newest && finished.as_ref().is_none_or(|name| date(name) <= date(&candidate.name));
            match self.use_of(&path, newest) {
                None => continue,
                Some(Use::Open(journal)) if is_continued(&path, &journal) => {}
                Some(Use::Open(_)) => match self.hold(&path) {
                    Ok(Some(held)) if is_finished(&held.journal) => {}
                    Ok(Some(held)) => return Ok(Newest::Open(Box::new(held))),
                    Ok(None) => {}
                    Err(holder) => {
                        self.screen.say(&format!(
                            "{}: this journal is in use by another session ({holder}), so you begin a new \
                                one.",
                            path.display()
                        ));
                        return Ok(Newest::None);
                    }
                },
                Some(Use::Finished) if newest && !self.is_saved(&path) => {
                    // another run may have saved them by now
                    if let Ok(Some(held)) = self.hold(&path)
                        && !disk::finished_beside(&path)
                    {
                        return Ok(Newest::Unsaved(Box::new(held)));
                    }
                }
                Some(Use::Finished | Use::Others) => {}
                Some(Use::Damaged(why)) => {
                    self.put_aside(&path, &why);
                    continue;
                }
                Some(Use::Later(damage)) => {
                    self.screen.say(&format!(
                        "{}: {}. It is left alone.",
                        path.display(),
                        show::damage(&damage)
                    ));
                }
                Some(Use::Merge(damage)) => {
                    self.screen.say(&unmerged(&path, &damage));
                    return Err(Exit::Errors);
                }
            }
            is_newest = false;
        }
        Ok(Newest::None)
    }

    /// The journals that may be open, in the order in which they are to be looked at, and the name of the
    /// last one that is finished.
    fn candidates(&self) -> (Vec<Reverse<Candidate>>, Option<String>) {
        let mut finished = None;
        let mut candidates = Vec::new();
        let mut names = disk::journals_in(&self.folder);
        names.retain(|name| {
            is_stem_of(
                name.strip_suffix(JOURNAL).unwrap_or(name),
                self.plan.bike().name(),
                self.plan.rider_name(),
            )
        });
        // of many seasons nearly all are finished, so that is found out of several at once
        let names = names.into_par_iter().with_min_len(MANY).map(|name| {
            let path = self.folder.join(&name);
            (disk::finished_beside(&path), path, name)
        });
        for (is_finished, path, name) in names.collect::<Vec<_>>() {
            if is_finished {
                finished = Some(name);
                continue;
            }
            match disk::read(&path) {
                Ok(bytes) if bytes.is_empty() => {}
                Ok(bytes) => {
                    let answered = last_value(&bytes, "time = ");
                    let time = answered.or_else(|| STARTED.iter().find_map(|key| last_value(&bytes, key)));
                    let time = time.and_then(|time| seconds(&time));
                    candidates.push(Reverse(Candidate { has_answers: answered_any(&bytes), time, name }));
                }
                Err(error) => {
                    let reason = disk::in_words(&error);
                    self.screen.say(&format!("Can't read {}: {reason}. It is skipped.", path.display()));
                }
            }
        }
        candidates.sort();
        (candidates, finished)
    }

    /// What a journal is good for; `None` if it is gone or empty.
    fn use_of(&self, path: &Path, is_newest: bool) -> Option<Use> {
        let bytes = disk::read(path).ok().filter(|bytes| !bytes.is_empty())?;
        Some(match read_journal(&bytes) {
            Err(damage @ (Damage::Later(_) | Damage::Unreadable { .. })) => Use::Later(damage),
            Err(damage @ Damage::Merge { .. }) => Use::Merge(damage),
            Err(damage) => Use::Damaged(in_full(&damage)),
            Ok(journal) if !is_ride_of(&journal.head, self.plan) => Use::Others,
            Ok(journal) if is_finished(&journal) => Use::Finished,
            Ok(journal) => match &journal.rest {
                Rest::Damaged(damaged) if was_finished(&journal, damaged).unwrap_or(!is_newest) => {
                    Use::Damaged(format!("line {} of this journal is damaged", damaged.line))
                }
                _ => Use::Open(Box::new(journal)),
            },
        })
    }

    /// Whether a finished ride's settings are in the bike's file.
    fn is_saved(&self, path: &Path) -> bool {
        self.saved.as_deref() == Some(session_of(&path.to_string_lossy()).as_str())
    }

    /// Takes the lock of a journal and reads it again; `None` if that cannot be, who holds it if another
    /// ride does.
    fn hold(&self, path: &Path) -> Result<Option<Held>, String> {
        let lock = match Lock::take(path, self.holder) {
            Ok(lock) => lock,
            Err(NotLocked::Held(holder)) => return Err(holder),
            Err(NotLocked::Failed(error)) => {
                let reason = disk::in_words(&error);
                self.screen
                    .say(&format!("{}: you can't carry on with this session: {reason}.", path.display()));
                return Ok(None);
            }
        };
        let Ok(bytes) = disk::read(path) else { return Ok(None) };
        let Ok(journal) = read_journal(&bytes) else { return Ok(None) };
        Ok(Some(Held { path: path.to_owned(), lock, bytes, journal }))
    }

    fn put_aside(&self, path: &Path, why: &str) {
        // what another ride is writing is left to it
        let Ok(_lock) = Lock::take(path, self.holder) else { return };
        let told = match disk::put_aside(path, "damaged") {
            Ok(aside) => format!("It is renamed to {} and not changed", aside.display()),
            Err(error) => format!("It can't be renamed: {}. It is skipped", disk::in_words(&error)),
        };
        self.screen.say(&format!("{}: {why}. {told}.", path.display()));
    }
}

/// The journal in which a ride was written again and went on, if there is one: it has all of the answers.
pub(super) fn continuation(path: &Path, journal: &Journal) -> Option<PathBuf> {
    let mut numbers = (2..u32::MAX).map(|number| disk::numbered(path, number));
    let there = numbers.by_ref().map_while(|path| Some((disk::read(&path).ok()?, path)));
    there.filter_map(|(bytes, path)| Some((read_journal(&bytes).ok()?, path))).find_map(|(other, path)| {
        let goes_on = other.head == journal.head && other.entries.starts_with(&journal.entries);
        goes_on.then_some(path)
    })
}

fn is_continued(path: &Path, journal: &Journal) -> bool {
    continuation(path, journal).is_some()
}

/// Why a journal cannot be used at all, with what that costs.
pub(super) fn in_full(damage: &Damage) -> String {
    let why = show::damage(damage);
    match damage {
        Damage::NoHead => format!("{why}; it has no answers yet"),
        Damage::Head { records: 0 } => format!("{why}; it has no answers"),
        Damage::Head { records: 1 } => format!("{why}, so the 1 record after it can't be used"),
        Damage::Head { records } => format!("{why}, so the {records} records after it can't be used"),
        Damage::NoJournal | Damage::Later(_) | Damage::Unreadable { .. } | Damage::Merge { .. } => why,
    }
}

/// What to do with a journal of an unfinished merge.
pub(super) fn unmerged(path: &Path, damage: &Damage) -> String {
    let (path, damage) = (path.display(), show::damage(damage));
    format!(
        "{path}: {damage}. Keep one side, then run the same command again. Type `git checkout --ours \
            {path}` or `git checkout --theirs {path}`. Or delete the marks and the lines of one side."
    )
}

/// The date in a journal's name.
fn date(name: &str) -> &str {
    name.get(.."2026-05-16".len()).unwrap_or(name)
}

/// The value on the last line that begins so.
/// The key of a journal's beginning, and what it was once.
const STARTED: [&str; 2] = ["started = ", "began = "];

fn last_value(bytes: &[u8], key: &str) -> Option<String> {
    let lines = bytes.rsplit(|byte| *byte == b'\n');
    let mut values = lines.filter_map(|line| line.strip_prefix(key.as_bytes()));
    let value = str::from_utf8(values.next()?).ok()?;
    Some(value.trim().to_owned())
}

fn answered_any(bytes: &[u8]) -> bool {
    last_value(bytes, "[[answer]]").is_some()
}
