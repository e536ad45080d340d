//! Owns a set: the files that are named and those that they use, everything that is wrong with them, their plan and
//! its proof. It knows nothing of the disk, nor of how problems are shown.

mod budget;
mod confined;
mod files;
mod gather;
mod memory;
mod overlay;
mod repair;
mod unread;
mod uses;

use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use crate::check::{Checked, Read, RestOfSet, check_trees, read};
use crate::language::Tree;
use crate::plan::Plan;
use crate::problem::{Problem, SourceId, Sources, Span, Text, Told};
use crate::walk::{Proof, prove};

use gather::{Gathered, TakenIn, gather};

pub use budget::{Allowed, over_budget};
pub use files::{Files, Unreadable, folder_of};
pub use memory::InMemory;
pub use overlay::Overlay;
pub use repair::{RepairedFile, RepairedSet};
pub use unread::{NotGathered, Unread};

/// A set as it was read. It never changes; a text that is laid over one of its files gives another set.
#[derive(Debug, Clone)]
pub struct Set {
    roots: Vec<PathBuf>,
    overlay: Overlay,
    sources: Sources,
    trees: Vec<Tree>,
    taken: Vec<TakenIn>,
    /// How many files were named; those that they use come after them.
    named: usize,
    /// All that was found, but for the plan, which is beside it.
    checked: Checked,
    plan: Option<Arc<Plan>>,
    /// The proof of the plan, and all problems with what it finds wrong, once somebody has asked for them.
    proven: OnceLock<Option<(Proof, Vec<Problem>)>>,
}

impl Set {
    /// Reads the files that are named and those that they use, and checks them together.
    ///
    /// # Errors
    /// The files among those named that cannot be read. One that is used and cannot be is a problem of the set.
    ///
    /// ```
    /// use clickwise::set::{InMemory, Set};
    ///
    /// let files = InMemory::of([
    ///     ("plan.tune", "use \"bike.tune\"\nsteps\n  tune every rebound\n"),
    ///     ("bike.tune", "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\n"),
    /// ]);
    /// let set = Set::gather(&files, &["plan.tune"]).unwrap();
    /// assert!(set.problems().iter().all(|problem| !problem.is_error()));
    /// assert!(set.proof().is_some_and(|proof| proof.ends && proof.worst_laps > 1));
    ///
    /// let missing = Set::gather(&files, &["rider.tune"]).unwrap_err();
    /// assert_eq!(missing.0.len(), 1);
    /// ```
    pub fn gather<P: AsRef<Path>>(files: &dyn Files, roots: &[P]) -> Result<Self, NotGathered> {
        Set::gather_over(files, roots, Overlay::default())
    }

    /// The same with texts that lie over the files.
    ///
    /// # Errors
    /// As for [`Set::gather`].
    ///
    /// ```
    /// use clickwise::set::{InMemory, Overlay, Set};
    ///
    /// let files = InMemory::of([("bike.tune", "bike \"Old\"\n")]);
    /// let saved = Set::gather(&files, &["bike.tune"]).unwrap();
    /// let (id, _) = saved.sources().iter().next().unwrap();
    /// let mut overlay = Overlay::default();
    /// overlay.put(saved.canonical(id), "bike \"New\"\n");
    /// let typed = Set::gather_over(&files, &["bike.tune"], overlay).unwrap();
    /// assert_eq!(typed.texts()[0].1, "bike \"New\"\n");
    /// ```
    pub fn gather_over<P: AsRef<Path>>(
        files: &dyn Files,
        roots: &[P],
        overlay: Overlay,
    ) -> Result<Self, NotGathered> {
        let roots: Vec<PathBuf> = roots.iter().map(|root| root.as_ref().to_owned()).collect();
        let Gathered { sources, taken, undecoded, unused, named } = gather(files, &roots, &overlay)?;
        // Of a file that is no text, its bytes are the one problem worth telling.
        let garbled: Vec<_> = undecoded
            .iter()
            .filter(|problem| problem.is_error())
            .map(|problem| problem.span.source)
            .collect();
        let Read { trees, problems } = read(&sources);
        // what it may say is not missed
        let told = Told::among(&unused).or(Told::among(&undecoded));
        let mut checked =
            check_trees(&sources, &trees, problems, told.map_or(RestOfSet::Here, RestOfSet::Lacking));
        checked.problems.retain(|problem| !garbled.contains(&problem.span.source));
        checked.problems.splice(0..0, undecoded.into_iter().chain(unused));
        sort(&mut checked.problems);
        // a plan is ridden only where nothing at all is wrong, its bytes and its `use` among it
        let plan = checked.plan.take().filter(|_| !checked.has_errors()).map(Arc::new);
        Ok(Set { roots, overlay, sources, trees, taken, named, checked, plan, proven: OnceLock::new() })
    }

    /// The same files, one of them with another text: as it is in an editor, before it is saved. What the text uses
    /// is followed.
    ///
    /// # Errors
    /// The files among those named that cannot be read any more.
    ///
    /// ```
    /// use clickwise::problem::Code;
    /// use clickwise::set::{InMemory, Set};
    ///
    /// let files = InMemory::of([("bike.tune", "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\n")]);
    /// let set = Set::gather(&files, &["bike.tune"]).unwrap();
    /// let (id, _) = set.sources().iter().next().unwrap();
    /// let typed = set.replace(&files, id, "bike \"B\"\npart fork\n  rebuond 0 to 18 clicks\n").unwrap();
    /// assert_eq!(typed.problems()[0].code, Code::WordMisspelt);
    /// ```
    pub fn replace(
        &self,
        files: &dyn Files,
        id: SourceId,
        text: impl Into<Vec<u8>>,
    ) -> Result<Self, NotGathered> {
        let mut overlay = self.overlay.clone();
        overlay.put(self.canonical(id), text);
        Set::gather_over(files, &self.roots, overlay)
    }

    /// The texts of the set, those that are named before those that they use.
    #[must_use]
    pub fn sources(&self) -> &Sources {
        &self.sources
    }

    /// Everything that is wrong with the set, file by file, from the top: its bytes, what it uses, what it says, and
    /// what the proof of its plan finds. The proof is worked out if it was not asked for yet.
    #[must_use]
    pub fn problems(&self) -> &[Problem] {
        self.proven().map_or(&self.checked.problems, |(_, problems)| problems)
    }

    /// The same without what only the proof finds, which can take its time: none of that stops a ride.
    #[must_use]
    pub fn found(&self) -> &[Problem] {
        &self.checked.problems
    }

    /// Whether something stops a ride that is wrong, not merely absent.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.checked.has_errors()
    }

    /// The tree of a file of the set.
    #[must_use]
    pub fn tree(&self, id: SourceId) -> Option<&Tree> {
        self.trees.get(id.index())
    }

    /// The plan, where there is no error and nothing is needed.
    #[must_use]
    pub fn plan(&self) -> Option<&Arc<Plan>> {
        self.plan.as_ref()
    }

    /// The proof of the plan, where there is a plan. It is worked out once, when it is first asked for.
    #[must_use]
    pub fn proof(&self) -> Option<&Proof> {
        self.proven().map(|(proof, _)| proof)
    }

    fn proven(&self) -> Option<&(Proof, Vec<Problem>)> {
        let proven = || {
            let plan = self.plan.as_ref()?;
            let proof = prove(plan);
            let allowed = Allowed { laps: self.checked.laps_at, minutes: self.checked.minutes_at };
            let mut problems = self.checked.problems.clone();
            problems.extend(over_budget(plan, &proof, allowed));
            sort(&mut problems);
            Some((proof, problems))
        };
        self.proven.get_or_init(proven).as_ref()
    }

    /// What a ride still needs, a sentence each, where the set is only a part.
    #[must_use]
    pub fn needs(&self) -> &[Text] {
        &self.checked.needs
    }

    /// What the set holds, in a few words each: `bike "..."`, `3 adjusters`.
    #[must_use]
    pub fn holds(&self) -> &[String] {
        &self.checked.holds
    }

    /// The file in which the bike is.
    #[must_use]
    pub fn bike_source(&self) -> Option<SourceId> {
        self.checked.bike_source
    }

    /// Where the scale of each adjuster of the plan's bike is written, in the bike's order.
    #[must_use]
    pub fn scales(&self) -> &[Span] {
        &self.checked.scales
    }

    /// The folder of the bike's file; the present one where there is no bike.
    #[must_use]
    pub fn folder(&self) -> PathBuf {
        let bike = self.checked.bike_source.and_then(|id| self.taken.get(id.index()));
        bike.and_then(|bike| bike.path.parent()).unwrap_or(Path::new("")).to_owned()
    }

    /// The files as the user names them, those that are used among them.
    pub fn paths(&self) -> impl Iterator<Item = &Path> {
        self.taken.iter().map(|taken| taken.path.as_path())
    }

    /// The canonical path of a file of the set.
    #[must_use]
    pub fn canonical(&self, id: SourceId) -> &Path {
        self.taken.get(id.index()).map_or(Path::new(""), |taken| &taken.canonical)
    }

    /// The canonical paths of the files that others use.
    pub fn used(&self) -> impl Iterator<Item = &Path> {
        self.taken.iter().skip(self.named).map(|taken| taken.canonical.as_path())
    }

    /// The file of the set with this canonical path.
    #[must_use]
    pub fn id_of(&self, canonical: &Path) -> Option<SourceId> {
        self.sources.iter().map(|(id, _)| id).find(|id| self.canonical(*id) == canonical)
    }

    /// The files' paths below the folder that they have in common, with `/` between their parts, and their texts, by
    /// path: as a journal keeps them.
    #[must_use]
    pub fn texts(&self) -> Vec<(String, String)> {
        let texts = self.sources.iter().map(|(_, source)| source.text().to_owned());
        let mut texts: Vec<_> = self.taken.iter().map(|taken| taken.plain.clone()).zip(texts).collect();
        texts.sort();
        texts
    }
}

fn sort(problems: &mut [Problem]) {
    problems.sort_unstable_by_key(|problem| (problem.span.source, problem.span.start, problem.code));
}
