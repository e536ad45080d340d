//! Owns the gathering of a set: the files that are named and those that they use, each once, and what is wrong with
//! a `use`. It knows nothing of what the files say besides.

use std::path::{Path, PathBuf};

use crate::language::{take_in, uses};
use crate::problem::{Code, Problem, SourceId, Sources, Span, is_harmful};

use super::confined::{Refusal, common, find, near};
use super::files::{Files, folder_of};
use super::overlay::Overlay;
use super::unread::{NotGathered, Unread};
use super::uses::{circle, refused, too_many, unreadable};

/// The most files that a set may have.
const MOST_FILES: usize = 100;

/// The largest set that is read, in bytes.
const LARGEST: usize = 64 * 1024 * 1024;

/// The most `use` lines of a set that are followed.
const MOST_USES: usize = 1_000;

/// For how many missing files of a set the nearest name is looked for, in a folder that may be large.
const MOST_NEAR: usize = 10;

/// A set of files as they were read.
pub(super) struct Gathered {
    pub sources: Sources,
    pub taken: Vec<TakenIn>,
    /// What is wrong with the bytes of a file.
    pub undecoded: Vec<Problem>,
    /// What is wrong with a `use`; the set then lacks something.
    pub unused: Vec<Problem>,
    /// How many files were named; they come first.
    pub named: usize,
}

/// One file of a set.
#[derive(Debug, Clone)]
pub(super) struct TakenIn {
    /// As the user names it.
    pub path: PathBuf,
    /// Its canonical form.
    pub canonical: PathBuf,
    /// Its path below the folder that all files of the set have in common, with `/` between its parts.
    pub plain: String,
}

/// Reads the files and those that they use, with the texts that lie over them.
///
/// # Errors
/// The files among those named that cannot be read.
pub(super) fn gather(
    files: &dyn Files,
    roots: &[PathBuf],
    overlay: &Overlay,
) -> Result<Gathered, NotGathered> {
    let named = named(files, roots, overlay)?;
    let folders: Vec<PathBuf> = named.iter().map(|(path, ..)| canonical_folder(files, path)).collect();
    let mut gathering = Gathering {
        files,
        overlay,
        all: Vec::new(),
        root: common(&folders),
        leads: Vec::new(),
        circles: Vec::new(),
        followed: 0,
        missing: 0,
        full: false,
    };
    let mut gathered = Gathered {
        sources: Sources::default(),
        taken: Vec::new(),
        undecoded: Vec::new(),
        unused: Vec::new(),
        named: 0,
    };
    for (path, canonical, bytes) in named {
        gathering.take(&mut gathered, path, canonical, &bytes);
    }
    gathered.named = gathering.all.len();
    let mut at = 0;
    while at < gathering.all.len() && !gathering.full {
        gathering.follow(&mut gathered, at);
        at += 1;
    }
    Ok(gathered)
}

/// The files that are named, each once: as they are named, their canonical paths, their bytes.
fn named(
    files: &dyn Files,
    roots: &[PathBuf],
    overlay: &Overlay,
) -> Result<Vec<(PathBuf, PathBuf, Vec<u8>)>, NotGathered> {
    let mut named: Vec<(PathBuf, PathBuf, Vec<u8>)> = Vec::new();
    let mut unread = Vec::new();
    let mut size = 0;
    for path in roots {
        let canonical = files.canonical(path).unwrap_or_else(|_| path.clone());
        if named.iter().any(|(_, known, _)| *known == canonical) {
            continue;
        }
        match overlay.read(files, &canonical, path) {
            Ok(bytes) => {
                size += bytes.len();
                if size > LARGEST {
                    unread.push(Unread::TooLarge(path.clone()));
                    break;
                }
                named.push((path.clone(), canonical, bytes));
            }
            Err(why) => unread.push(Unread::Unreadable(path.clone(), why)),
        }
    }
    if unread.is_empty() { Ok(named) } else { Err(NotGathered(unread)) }
}

/// The path by which a used file is shown, and by which it is written to: the way from the file that names
/// it, where that leads to the very file that was read. Behind a link `..` may lead elsewhere for the
/// system than for the words; the file's own path is taken then.
fn shown(files: &dyn Files, user: &Path, written: &str, found: &Path) -> PathBuf {
    let joined = user.parent().unwrap_or(Path::new("")).join(written);
    let same = files.canonical(&joined).is_ok_and(|there| there == found);
    if same { joined } else { found.to_owned() }
}

fn canonical_folder(files: &dyn Files, path: &Path) -> PathBuf {
    let folder = folder_of(path);
    files.canonical(&folder).unwrap_or(folder)
}

/// A set that is being gathered.
struct Gathering<'a> {
    files: &'a dyn Files,
    overlay: &'a Overlay,
    all: Vec<SourceId>,
    /// The folder that nothing may leave, in its canonical form.
    root: PathBuf,
    /// Which file uses which.
    leads: Vec<(usize, usize)>,
    /// Those that close a circle, which is told.
    circles: Vec<(usize, usize)>,
    /// How many `use` lines were followed.
    followed: usize,
    /// How many files were missing.
    missing: usize,
    /// There is more than is followed, which is told.
    full: bool,
}

impl Gathering<'_> {
    fn take(&mut self, gathered: &mut Gathered, path: PathBuf, canonical: PathBuf, bytes: &[u8]) {
        let (id, mut problems) = take_in(&mut gathered.sources, &path.to_string_lossy(), bytes);
        gathered.undecoded.append(&mut problems);
        let name = path.file_name().map(PathBuf::from).unwrap_or_default();
        let below = canonical_folder(self.files, &path).join(name);
        let plain = below.strip_prefix(&self.root).unwrap_or(&below).to_string_lossy().replace('\\', "/");
        gathered.taken.push(TakenIn { path, canonical, plain });
        self.all.push(id);
    }

    /// Takes in what one file uses.
    fn follow(&mut self, gathered: &mut Gathered, at: usize) {
        let id = self.all[at];
        let text = gathered.sources.get(id).text().to_owned();
        // one with a character that cannot be shown is told where it is read
        for (written, span) in
            uses(id, &text).into_iter().filter(|(written, _)| !written.chars().any(is_harmful))
        {
            self.followed += 1;
            let lead = if self.followed > MOST_USES {
                Err(too_many(span, &format!("{MOST_USES} lines with `use`")))
            } else {
                self.lead(gathered, at, &written, span)
            };
            let Err(problem) = lead else { continue };
            self.full = problem.code == Code::UseTooMany;
            gathered.unused.push(*problem);
            if self.full {
                return;
            }
        }
    }

    fn lead(
        &mut self,
        gathered: &mut Gathered,
        at: usize,
        written: &str,
        span: Span,
    ) -> Result<(), Box<Problem>> {
        let path = gathered.taken[at].path.clone();
        let known = |found: &Path| gathered.taken.iter().position(|taken| taken.canonical == found);
        let folder = canonical_folder(self.files, &path);
        let found = match find(self.files, &self.root, &folder, written, |found| known(found).is_some()) {
            Ok(found) => found,
            Err(why) => {
                self.missing += usize::from(why == Refusal::Missing);
                let sought = why == Refusal::Missing && self.missing <= MOST_NEAR;
                let near = sought.then(|| near(self.files, &self.root, &folder, written)).flatten();
                return Err(refused(&why, near, span));
            }
        };
        if let Some(known) = known(&found) {
            // the same line once more says nothing new
            if self.circles.contains(&(at, known)) {
                return Ok(());
            }
            if let Some(chain) = self.chain(known, at) {
                self.circles.push((at, known));
                let names: Vec<&str> = chain.iter().map(|&file| &*gathered.taken[file].plain).collect();
                return Err(Box::new(circle(&names, span)));
            }
            self.leads.push((at, known));
            return Ok(());
        }
        if gathered.taken.len() == MOST_FILES {
            return Err(too_many(span, &format!("{MOST_FILES} files")));
        }
        let bytes = self
            .overlay
            .read(self.files, &found, &found)
            .map_err(|why| Box::new(unreadable(&why.to_string(), span)))?;
        let read: usize = gathered.sources.iter().map(|(_, source)| source.text().len()).sum();
        if read + bytes.len() > LARGEST {
            return Err(too_many(span, "64 MiB in all its files"));
        }
        self.leads.push((at, gathered.taken.len()));
        self.take(gathered, shown(self.files, &path, written, &found), found, &bytes);
        Ok(())
    }

    /// The files by which `from` leads to `to`, both among them; `None` where it does not.
    fn chain(&self, from: usize, to: usize) -> Option<Vec<usize>> {
        let mut before = vec![None; self.all.len()];
        let mut open = vec![from];
        while let Some(here) = open.pop() {
            if here == to {
                let back =
                    std::iter::successors(Some(to), |&file| if file == from { None } else { before[file] });
                let mut chain: Vec<usize> = back.collect();
                chain.reverse();
                return Some(chain);
            }
            for &(_, next) in self.leads.iter().filter(|(user, _)| *user == here) {
                if next != from && before[next].is_none() {
                    before[next] = Some(here);
                    open.push(next);
                }
            }
        }
        None
    }
}
