//! Owns what can stand on the command line. It does nothing with it.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::record::{DateTime, NotADateTime};

const EXAMPLES: &str = "Examples:
  clickwise demo
  clickwise new
  clickwise check plan.tune bike.tune \
    rider.tune
  clickwise ride plan.tune bike.tune rider.tune
  clickwise rehearse plan.tune bike.tune \
    rider.tune
  clickwise pressure 80 psi --at 20C,0m --then 5C,2000m
The folder plans/ has sample \
    files.";

/// Set up mountain-bike suspension by comparing laps: write a plan, check it, ride it.
#[derive(Debug, Parser)]
#[command(version, about, max_term_width = 80, after_help = EXAMPLES)]
pub(super) struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
// only the options of the command that is called are prepared
#[command(defer = true)]
pub(super) enum Command {
    /// Answer questions about your bike and save its file
    New(NewOptions),
    /// Find every problem in your files
    Check(CheckOptions),
    /// Tidy the layout of your files
    Format(FormatOptions),
    /// Ride a plan lap by lap, and save your answers and settings
    Ride(RideOptions),
    /// Try a plan on simulated riders: laps, time, how close they get
    Rehearse(RehearseOptions),
    /// Explain a problem, with a wrong and a right example
    Explain(ExplainOptions),
    /// List every word you can use in a file
    Words,
    /// Watch a simulated rider work through a plan
    Demo(DemoOptions),
    /// Work out what a gauge will read at another temperature or altitude
    Pressure(PressureOptions),
}

#[derive(Debug, Args)]
pub(super) struct NewOptions {
    /// Save the bike as this new file; - prints it to standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct ExplainOptions {
    /// The code shown with a problem, such as range-backwards
    pub code: String,
}

#[derive(Debug, Args)]
pub(super) struct CheckOptions {
    /// Your plan, bike and rider files, any of them, or a whole folder; - is standard input
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
    /// Make every fix that is offered
    #[arg(long)]
    pub fix: bool,
    /// Check again each time a file changes; Ctrl-C stops
    #[arg(long, conflicts_with_all = ["fix", "report"])]
    pub watch: bool,
    /// Exit with status 1 if there are warnings, too
    #[arg(long, value_name = "SEVERITY")]
    pub deny: Option<Deny>,
    /// Report as text, JSON or SARIF; JSON and SARIF go to standard output
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub report: CheckReport,
}

/// What counts as an error besides errors.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Deny {
    Warnings,
}

/// How problems are reported.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum CheckReport {
    Text,
    Json,
    Sarif,
}

#[derive(Debug, Args)]
pub(super) struct FormatOptions {
    /// The files to tidy; - tidies standard input and prints it
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
    /// Change nothing; show what would change and exit with status 1 if anything would
    #[arg(long)]
    pub diff: bool,
    /// Change nothing; list the files that need tidying and exit with status 1 if there are any
    #[arg(long)]
    pub check: bool,
}

#[derive(Debug, Clone, Args)]
pub(super) struct RideOptions {
    /// Your plan, bike and rider files; without any, those of the unfinished session in this folder
    pub files: Vec<PathBuf>,
    /// Save the journal in this file (default: in rides/ next to the bike's file)
    #[arg(long, value_name = "FILE")]
    pub journal: Option<PathBuf>,
    /// Save the settings in this file; - prints them to standard output
    #[arg(long, value_name = "FILE")]
    pub settings: Option<PathBuf>,
    /// Start from these saved settings, not from the starts in the files
    #[arg(long, value_name = "SETTINGS")]
    pub from: Option<PathBuf>,
    /// Count all clicks and turns again, for example after a service
    #[arg(long)]
    pub recount: bool,
    /// Read your answers from this file, starting with the first question
    #[arg(long, value_name = "FILE")]
    pub answers: Option<PathBuf>,
    /// Seed for the random order of pairs (default: a new one each time)
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u64).range(..=LARGEST_SEED))]
    pub seed: Option<u64>,
    /// Write the order of the blind pairs to this file, for your helper only
    #[arg(long, value_name = "FILE")]
    pub sheet: Option<PathBuf>,
    /// Use this date and time instead of the current one, such as 2026-05-16T14:05:00+02:00
    #[arg(long, value_name = "DATE-TIME", value_parser = moment)]
    pub as_of: Option<DateTime>,
}

fn moment(text: &str) -> Result<DateTime, String> {
    text.parse()
        .map_err(|NotADateTime| "give a date and a time, such as 2026-05-16T14:05:00+02:00".to_owned())
}

/// The largest whole number that every reader of TOML takes.
const LARGEST_SEED: u64 = i64::MAX.cast_unsigned();

#[derive(Debug, Args)]
pub(super) struct RehearseOptions {
    /// Your plan, bike and rider files
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
    /// How many sessions to simulate, split between five kinds of rider
    #[arg(long, value_name = "NUMBER", default_value_t = 10_000, value_parser = clap::value_parser!(u64).range(5..=10_000_000))]
    pub rides: u64,
    /// Seed for the random numbers
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    pub seed: u64,
    /// How much adjusters affect each other, from 0 (not at all) to 0.9. They go in pairs: the 1st and 2nd you tune, the 3rd and 4th, and so on
    #[arg(long, value_name = "SHARE", default_value_t = 0.0, value_parser = coupling)]
    pub coupling: f64,
    /// Report as text or JSON
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub report: RehearsalReport,
}

/// How a rehearsal is reported.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum RehearsalReport {
    Text,
    Json,
}

fn coupling(text: &str) -> Result<f64, String> {
    let coupling: f64 = text.parse().map_err(|_| "give a number such as 0.3".to_owned())?;
    if (0.0..=0.9).contains(&coupling) { Ok(coupling) } else { Err("give a number from 0 to 0.9".to_owned()) }
}

#[derive(Debug, Args)]
pub(super) struct DemoOptions {
    /// Pause at each question so you can follow
    #[arg(long)]
    pub slowly: bool,
}

#[derive(Debug, Args)]
pub(super) struct PressureOptions {
    /// What the gauge reads now, such as 80 psi
    #[arg(required = true, value_name = "GAUGE", allow_negative_numbers = true)]
    pub gauge: Vec<String>,
    /// Temperature and altitude now, such as 20C,0m (one is enough; C or F, m or ft)
    #[arg(long, value_name = "WHERE", allow_hyphen_values = true)]
    pub at: String,
    /// Temperature and altitude later, written the same way
    #[arg(long, value_name = "WHERE", allow_hyphen_values = true)]
    pub then: String,
}
