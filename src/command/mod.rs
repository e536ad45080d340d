//! Owns the command line: one file a subcommand, and the only place that knows arguments, the
//! clock, the environment, standard input and output.

#![allow(
    clippy::disallowed_methods,
    reason = "this is the top: clock, environment and terminal are read here"
)]

mod alone;
mod answers;
mod args;
mod begin;
mod check;
mod clock;
mod demo;
mod desk;
mod duties;
mod explain;
mod format;
mod interactive;
mod journal;
mod keys;
mod mend;
mod named;
mod new;
mod offer;
mod open_rides;
mod patience;
mod pause;
mod pen;
mod pressure;
mod rehearse;
mod repair;
mod ride;
mod screen;
mod scripted;
mod second;
mod set;
mod settings;
mod watch;

use std::process::ExitCode;

use args::{Arguments, Command};
use clap::Parser;
use screen::Screen;

/// How a run ends. Scripts rely on the numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Exit {
    Done = 0,
    /// The input has errors.
    Errors = 1,
    /// The command line is wrong.
    Usage = 2,
    /// A file cannot be read or written.
    Disk = 3,
    /// A ride, or the questions about a bike, stopped before the end; everything is kept.
    Stopped = 4,
}

/// Runs the program on the process's arguments. A command line that is wrong ends with status 2.
#[must_use]
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let screen = Screen::of_terminal();
    let exit = match &arguments.command {
        Command::New(options) => new::run(options, screen),
        Command::Check(options) if options.watch => watch::run(options, screen),
        Command::Check(options) => check::run(options, screen),
        Command::Format(options) => format::run(options, screen),
        Command::Ride(options) => ride::run(options, screen),
        Command::Rehearse(options) => rehearse::run(options, screen),
        Command::Explain(options) => explain::run(options, screen),
        Command::Words => explain::words(screen),
        Command::Demo(options) => demo::run(options, screen),
        Command::Pressure(options) => pressure::run(options, screen),
    };
    ExitCode::from(exit as u8)
}
