//! Owns that no file has two duties in one ride, and that nothing of a person's is written over: checked
//! before the first question, for the files that are named and for those that have the usual names.

use std::path::{Path, PathBuf, absolute};

use crate::disk;
use crate::plan::Plan;
use crate::record::{may_take, settings_beside, settings_stem};
use crate::set::folder_of;
use crate::show;

use super::Exit;
use super::args::RideOptions;
use super::screen::Screen;

/// A file and what it is to this ride.
struct Duty {
    path: PathBuf,
    what: &'static str,
}

/// Refuses a command line in which one file has two duties.
///
/// # Errors
/// Where it has, which is told.
pub(super) fn of_the_command_line(
    options: &RideOptions,
    set: &[PathBuf],
    screen: Screen,
) -> Result<(), Exit> {
    apart(&named(options, set), screen)
}

/// Refuses a ride whose journal and settings, by the usual names, are files that have another duty, and
/// one that would write over what a person wrote.
///
/// # Errors
/// Where it would, which is told.
pub(super) fn of_the_ride(
    options: &RideOptions,
    set: (&[PathBuf], &Path),
    plan: &Plan,
    journal: &Path,
    screen: Screen,
) -> Result<(), Exit> {
    let (paths, folder) = set;
    let mut duties = named(options, paths);
    if options.journal.is_none() {
        duties.push(Duty { path: journal.to_owned(), what: "the journal" });
    }
    if options.settings.is_none() {
        let rider = plan.rider_name();
        let name = format!("{}.settings.toml", settings_stem(plan.bike().name(), rider));
        duties.push(Duty { path: folder.join(name), what: "the settings" });
    }
    let own = settings_beside(journal);
    if !duties.iter().any(|duty| duty.what == "the settings" && same(&duty.path, &own)) {
        duties.push(Duty { path: own, what: "the settings of this session" });
    }
    apart(&duties, screen)?;
    for (path, what) in [(&options.settings, "--settings"), (&options.sheet, "--sheet")] {
        let Some(path) = path.as_deref().filter(|path| *path != Path::new("-")) else { continue };
        let reason = if what == "--sheet" { not_a_sheet(path) } else { not_settings(path, plan) };
        if let Some(reason) = reason {
            screen.say(&format!("{}: {reason}. Name another file for `{what}`.", path.display()));
            return Err(Exit::Usage);
        }
    }
    Ok(())
}

/// The files that are named on the command line.
fn named(options: &RideOptions, set: &[PathBuf]) -> Vec<Duty> {
    let mut duties: Vec<Duty> = set
        .iter()
        .map(|path| Duty { path: path.clone(), what: "one of your plan, bike and rider files" })
        .collect();
    let others = [
        (&options.answers, "the answers"),
        (&options.journal, "the journal"),
        (&options.settings, "the settings"),
        (&options.from, "the settings to start from"),
        (&options.sheet, "the sheet for the helper"),
    ];
    for (path, what) in others {
        duties.extend(path.clone().filter(|path| path != Path::new("-")).map(|path| Duty { path, what }));
    }
    duties
}

fn apart(duties: &[Duty], screen: Screen) -> Result<(), Exit> {
    for (index, duty) in duties.iter().enumerate() {
        // settings may be read at the beginning of a ride and written at its end
        let reads = |one: &Duty, other: &Duty| {
            one.what == "the settings to start from" && other.what.starts_with("the settings")
        };
        let clash = duties[..index]
            .iter()
            .find(|other| same(&other.path, &duty.path) && !reads(other, duty) && !reads(duty, other));
        if let Some(other) = clash {
            screen.say(&format!(
                "{}: this would be both {} and {}. Name another file for one of them.",
                duty.path.display(),
                other.what,
                duty.what
            ));
            return Err(Exit::Usage);
        }
    }
    Ok(())
}

/// Whether two paths lead to one file, or would if it were there.
fn same(one: &Path, other: &Path) -> bool {
    place(one) == place(other)
}

fn place(path: &Path) -> PathBuf {
    let folder = || {
        let folder = folder_of(path).canonicalize().ok()?;
        Some(folder.join(path.file_name()?))
    };
    let there = path.canonicalize().ok().or_else(folder).or_else(|| absolute(path).ok());
    there.unwrap_or_else(|| path.to_owned())
}

/// Why settings cannot be written into a file, where there is one.
fn not_settings(path: &Path, plan: &Plan) -> Option<String> {
    let bytes = disk::read_if_there(path).ok().flatten()?;
    let text = String::from_utf8(bytes).ok();
    let reason = match text {
        Some(text) => show::not_ours(&may_take(Some(&text), plan).err()?),
        None => "it is not a text file".to_owned(),
    };
    Some(format!("{reason}, so the settings can't be saved in it"))
}

/// Why the sheet for the helper cannot take the place of a file, where there is one.
fn not_a_sheet(path: &Path) -> Option<String> {
    let bytes = disk::read_if_there(path).ok().flatten().filter(|bytes| !bytes.is_empty())?;
    let ours = bytes.starts_with(show::SHEET_TITLE.as_bytes());
    (!ours).then(|| "this file has something else in it and stays as it is".to_owned())
}
