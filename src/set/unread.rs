//! Owns why a set could not be gathered at all: a file that is named cannot be read.

use std::fmt;
use std::path::PathBuf;

use super::files::Unreadable;

/// A file that is named and cannot be read, by its path.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unread {
    #[error("Can't read {}: {}", .0.display(), .1)]
    Unreadable(PathBuf, Unreadable),
    /// With it the set would be larger than 64 mebibytes; the files after it were not looked at.
    #[error("{}: not read: these files together are larger than 64 MiB", .0.display())]
    TooLarge(PathBuf),
}

/// Why there is no set: the files among those named that cannot be read, in their order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotGathered(pub Vec<Unread>);

impl std::error::Error for NotGathered {}

impl fmt::Display for NotGathered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let lines: Vec<String> = self.0.iter().map(Unread::to_string).collect();
        f.write_str(&lines.join("\n"))
    }
}
