//! Owns the gathering of a set: the files named on the command line and those that they use, each once,
//! and what is wrong with a `use`. It knows nothing of what the files say besides.

use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

use crate::language::{take_in, uses};
use crate::problem::{Code, Problem, SourceId, Sources, Span, is_harmful};
use crate::record::files;

use super::Exit;
use super::confined::{Refusal, common, find, near};
use super::screen::Screen;

/// The most files that a set may have.
const MOST_FILES: usize = 100;

/// The largest set that is read, in bytes.
const LARGEST: usize = 64 * 1024 * 1024;

/// The most `use` lines of a set that are followed.
const MOST_USES: usize = 1_000;

/// For how many missing files of a set the nearest name is looked for, in a folder that may be large.
const MOST_NEAR: usize = 10;

/// What takes the place of what the files have on the disk, by their canonical paths.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Overlay(BTreeMap<PathBuf, Vec<u8>>);

impl Overlay {
    /// Puts a text over a file.
    pub fn put(&mut self, canonical: &Path, text: impl Into<Vec<u8>>) {
        self.0.insert(canonical.to_owned(), text.into());
    }

    fn read(&self, canonical: &Path, path: &Path) -> io::Result<Vec<u8>> {
        self.0.get(canonical).map_or_else(|| files::read(path), |text| Ok(text.clone()))
    }
}

/// A set of files as they were read.
pub(super) struct Gathered {
    pub sources: Sources,
    pub taken: Vec<Taken>,
    /// What is wrong with the bytes of a file.
    pub undecoded: Vec<Problem>,
    /// What is wrong with a `use`; the set then lacks something.
    pub unused: Vec<Problem>,
    /// How many files were named; they come first.
    pub named: usize,
}

/// One file of a set.
pub(super) struct Taken {
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
/// Where a file of the command line cannot be read.
pub(super) fn gather(paths: &[PathBuf], overlay: &Overlay, screen: Screen) -> Result<Gathered, Exit> {
    let mut gathering = Gathering {
        overlay,
        all: Vec::new(),
        root: PathBuf::new(),
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
    let mut named: Vec<(PathBuf, PathBuf, Vec<u8>)> = Vec::new();
    let mut unread = false;
    let mut size = 0;
    for path in paths {
        let canonical = path.canonicalize().unwrap_or_else(|_| path.clone());
        if named.iter().any(|(_, known, _)| *known == canonical) {
            continue;
        }
        match overlay.read(&canonical, path) {
            Ok(bytes) => {
                size += bytes.len();
                if size > LARGEST {
                    screen.say(&format!(
                        "{}: not read: these files together are larger than 64 MiB",
                        path.display()
                    ));
                    return Err(Exit::Disk);
                }
                named.push((path.clone(), canonical, bytes));
            }
            Err(error) => {
                screen.say(&format!("{}: cannot be read: {}", path.display(), files::in_words(&error)));
                unread = true;
            }
        }
    }
    if unread {
        return Err(Exit::Disk);
    }
    let folders: Vec<PathBuf> = named.iter().map(|(path, ..)| canonical_folder(path)).collect();
    gathering.root = common(&folders);
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

/// The path by which a used file is shown, and by which it is written to: the way from the file that names
/// it, where that leads to the very file that was read. Behind a link `..` may lead elsewhere for the
/// system than for the words; the file's own path is taken then.
fn shown(user: &Path, written: &str, found: &Path) -> PathBuf {
    let joined = user.parent().unwrap_or(Path::new("")).join(written);
    let same = joined.canonicalize().is_ok_and(|there| there == found);
    if same { joined } else { found.to_owned() }
}

fn canonical_folder(path: &Path) -> PathBuf {
    let folder = files::folder_of(path);
    folder.canonicalize().unwrap_or(folder)
}

/// A set that is being gathered.
struct Gathering<'a> {
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
        let below = canonical_folder(&path).join(name);
        let plain = below.strip_prefix(&self.root).unwrap_or(&below).to_string_lossy().replace('\\', "/");
        gathered.taken.push(Taken { path, canonical, plain });
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
        let folder = canonical_folder(&path);
        let found = match find(&self.root, &folder, written, |found| known(found).is_some()) {
            Ok(found) => found,
            Err(why) => {
                self.missing += usize::from(why == Refusal::Missing);
                let sought = why == Refusal::Missing && self.missing <= MOST_NEAR;
                let near = sought.then(|| near(&self.root, &folder, written)).flatten();
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
                return Err(Box::new(circle(gathered, &chain, span)));
            }
            self.leads.push((at, known));
            return Ok(());
        }
        if gathered.taken.len() == MOST_FILES {
            return Err(too_many(span, &format!("{MOST_FILES} files")));
        }
        let bytes = self.overlay.read(&found, &found).map_err(|error| {
            let message = format!("this file cannot be read: {}", files::in_words(&error));
            Box::new(
                Problem::new(Code::UseUnreadable, span, message)
                    .help("see to it that it can be read, or leave this line out"),
            )
        })?;
        let read: usize = gathered.sources.iter().map(|(_, source)| source.text().len()).sum();
        if read + bytes.len() > LARGEST {
            return Err(too_many(span, "64 MiB in all its files"));
        }
        self.leads.push((at, gathered.taken.len()));
        self.take(gathered, shown(&path, written, &found), found, &bytes);
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

/// The problem of files that use each other in a circle; the chain is the way from the file that is
/// used back to the one that uses it.
fn circle(gathered: &Gathered, chain: &[usize], span: Span) -> Problem {
    let name = |file: usize| gathered.taken[file].plain.clone();
    let mut names: Vec<String> = chain.iter().map(|&file| name(file)).collect();
    names.insert(0, chain.last().map_or(String::new(), |&file| name(file)));
    let message = format!("these files use each other in a circle: {}", names.join(" uses "));
    Problem::new(Code::UseCircle, span, message)
        .help("leave one of these lines out; each file of a set is read once")
}

fn too_many(span: Span, what: &str) -> Box<Problem> {
    let message = format!("this set has more than {what}, so what follows is not taken in");
    Box::new(Problem::new(Code::UseTooMany, span, message).help("put what belongs together into one file"))
}

fn refused(why: &Refusal, near: Option<String>, span: Span) -> Box<Problem> {
    let outside = "only files in the folder of the files on the command line, and below it, are read";
    Box::new(match why {
        Refusal::Empty => Problem::new(Code::UseMissing, span, "no file is named here")
            .help("write its name in quotes, such as  use \"bike.tune\""),
        Refusal::Absolute => Problem::new(Code::UseOutside, span, "this path begins at the top of a disk")
            .help(format!(
                "write the way from this file to the other, such as  use \"bikes/trail.tune\"; {outside}"
            )),
        Refusal::Outside => {
            Problem::new(Code::UseOutside, span, "this path leads out of the folder").help(outside)
        }
        Refusal::Backslash(right) => Problem::new(
            Code::UseMissing,
            span,
            "folders are parted by `\\` here, which not every system reads",
        )
        .help(format!("write  use \"{right}\""))
        .fix(format!("\"{right}\"")),
        Refusal::Missing => {
            let problem = Problem::new(Code::UseMissing, span, "there is no such file");
            match near {
                Some(near) => problem.help(format!("did you mean \"{near}\"?")).fix(format!("\"{near}\"")),
                None => problem.help("the path is seen from the file in which it stands"),
            }
        }
        Refusal::Barred(kind) => {
            let message = format!("this file cannot be read: {}", files::in_words(&(*kind).into()));
            Problem::new(Code::UseUnreadable, span, message)
                .help("see to it that it can be read, or leave this line out")
        }
        Refusal::NoFile => Problem::new(Code::UseUnreadable, span, "this is a folder, or no ordinary file")
            .help("name a file, such as  use \"bike.tune\""),
    })
}
