//! A temporary folder with files in it, in which the real program is run.

pub mod drawn_plans;
pub mod every_ride;
pub mod rides;

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// The moment at which rides of the tests happen.
pub const MOMENT: &str = "2026-05-16T14:05:00+02:00";

/// The program: the one that `CLICKWISE` names, or the one built with the tests.
pub fn program() -> PathBuf {
    std::env::var_os("CLICKWISE")
        .map_or_else(|| PathBuf::from(env!("CARGO_BIN_EXE_clickwise")), PathBuf::from)
}

/// The folder of the project.
pub fn project() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// What a run of the program gave.
pub struct Ran {
    pub status: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    /// The run, which must have ended with this status.
    #[track_caller]
    pub fn ends(self, status: i32) -> Self {
        assert_eq!(self.status, status, "status, out:\n{}\nerr:\n{}", self.out, self.err);
        self
    }
}

/// A screen with its line breaks taken out, for looking for sentences.
pub fn unbroken(screen: &str) -> String {
    screen.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What a terminal shows up to its next prompt, page by page: Enter is typed where a full screen stops, and each
/// page fits in so many rows with what is typed. A screen without a number of rows does not stop.
pub fn shown_on(session: &mut rexpect::session::PtySession, rows: usize) -> String {
    use rexpect::reader::ReadUntil;
    let mut all = String::new();
    loop {
        let ends = ["> ", "Press Enter for more."].map(|end| ReadUntil::String(end.to_owned()));
        let (page, end) = session.exp_any(Vec::from(ends)).unwrap();
        assert!(rows == 0 || page.lines().count() < rows, "over {rows} rows:\n{page}");
        all += &page;
        if end == "> " {
            return all;
        }
        session.send_line("").unwrap();
    }
}

/// A folder of its own.
pub struct Field {
    folder: tempfile::TempDir,
}

impl Field {
    pub fn new() -> Self {
        Field { folder: tempfile::tempdir().unwrap() }
    }

    /// A folder with files in it.
    pub fn with(files: &[(&str, &str)]) -> Self {
        let field = Field::new();
        for (name, text) in files {
            field.write(name, text);
        }
        field
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        std::fs::write(self.path(name), text).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// The names of the files in a folder below this one, without those that begin with a point.
    pub fn names(&self, folder: &str) -> Vec<String> {
        let Ok(entries) = std::fs::read_dir(self.path(folder)) else { return Vec::new() };
        let mut names: Vec<_> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.retain(|name| !name.starts_with('.'));
        names.sort();
        names
    }

    /// The names of the journals in a folder below this one.
    pub fn journals(&self, folder: &str) -> Vec<String> {
        let mut names = self.names(folder);
        names.retain(|name| name.ends_with(".ride.toml"));
        names
    }

    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(program());
        command.args(arguments).current_dir(self.folder.path()).env_remove("NO_COLOR");
        command
    }

    pub fn run(&self, arguments: &[&str]) -> Ran {
        ran(&self.command(arguments).stdin(Stdio::null()).output().unwrap())
    }

    /// Runs with this on standard input.
    pub fn run_with(&self, arguments: &[&str], input: impl AsRef<[u8]>) -> Ran {
        let mut child = self
            .command(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // the program may end before it has read everything
        let _ = child.stdin.take().unwrap().write_all(input.as_ref());
        ran(&child.wait_with_output().unwrap())
    }

    /// Rides a set with these answers; the settings are what it prints.
    pub fn ride(&self, files: &[&str], answers: &str) -> Ran {
        self.write("answers.txt", answers);
        let mut arguments = vec!["ride"];
        arguments.extend(files);
        arguments.extend(["--answers", "answers.txt", "--settings", "-", "--as-of", MOMENT]);
        self.run(&arguments)
    }
}

fn ran(output: &Output) -> Ran {
    Ran {
        status: output.status.code().unwrap_or(-1),
        out: String::from_utf8_lossy(&output.stdout).into_owned(),
        err: String::from_utf8_lossy(&output.stderr).into_owned(),
    }
}

/// A value of a settings text, by its path of keys.
#[track_caller]
pub fn setting(text: &str, path: &[&str]) -> toml::Value {
    let table: toml::Table = toml::from_str(text).unwrap_or_else(|error| panic!("{error}\n{text}"));
    let mut value = toml::Value::Table(table);
    for key in path {
        value = value.get(key).unwrap_or_else(|| panic!("no {key} in\n{text}")).clone();
    }
    value
}

/// A number of a settings text, whole or not.
#[track_caller]
pub fn number(value: &toml::Value) -> f64 {
    value.to_string().parse().unwrap_or_else(|_| panic!("{value} is no number"))
}
