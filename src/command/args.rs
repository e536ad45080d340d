//! Owns what can stand on the command line. It does nothing with it.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::record::{DateTime, NotADateTime};

const EXAMPLES: &str = "\
Examples:
  clickwise demo
  clickwise new
  clickwise check plan.tune bike.tune rider.tune
  clickwise ride plan.tune bike.tune rider.tune
  clickwise rehearse plan.tune bike.tune rider.tune
  clickwise pressure 80 psi --at 20C,0m --then 5C,2000m
The folder plans/ has files to begin with.";

/// Tunes a bike's suspension by disciplined comparison: write a plan, check it, ride it.
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
    /// Ask for a bike and write its file
    New(NewOptions),
    /// Say everything that is wrong with a set of files
    Check(CheckOptions),
    /// Set files in the one layout
    Format(FormatOptions),
    /// Walk through a plan: ask, keep the journal, write the settings
    Ride(RideOptions),
    /// Ride a plan with simulated riders: laps, minutes, how near the best they end
    Rehearse(RehearseOptions),
    /// Say what a problem means, with a bad and a good example
    Explain(ExplainOptions),
    /// Print the words of the language
    Words,
    /// Play the built-in plan with a simulated rider
    Demo(DemoOptions),
    /// Say what an untouched gauge will read at another temperature or altitude
    Pressure(PressureOptions),
}

#[derive(Debug, Args)]
pub(super) struct NewOptions {
    /// Write the bike to this file, which is not there yet; - prints it on standard output
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct ExplainOptions {
    /// The code that stands beside a problem, such as range-inverted
    pub code: String,
}

#[derive(Debug, Args)]
pub(super) struct CheckOptions {
    /// The files of the set, or some of them; a folder, or files of many sets; - is standard input
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
    /// Write every repair that is offered into its file
    #[arg(long)]
    pub fix: bool,
    /// Check again whenever one of the files changes, until Ctrl-C
    #[arg(long, conflicts_with_all = ["fix", "message_format"])]
    pub watch: bool,
    /// End with status 1 if there are warnings, too
    #[arg(long, value_name = "SEVERITY")]
    pub deny: Option<Deny>,
    /// How the problems are reported; json and sarif go to standard output
    #[arg(long, value_name = "FORMAT", default_value = "human")]
    pub message_format: MessageFormat,
}

/// What counts as an error besides errors.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Deny {
    Warnings,
}

/// How problems are reported.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum MessageFormat {
    Human,
    Json,
    Sarif,
}

#[derive(Debug, Args)]
pub(super) struct FormatOptions {
    /// The files, each by itself; - sets standard input and prints it
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
    /// Write nothing; show what would change and end with status 1 if anything would
    #[arg(long)]
    pub diff: bool,
    /// Write nothing; name the files that would change and end with status 1 if there are any
    #[arg(long)]
    pub check: bool,
}

#[derive(Debug, Clone, Args)]
pub(super) struct RideOptions {
    /// The files of the set: plan, bike and rider; without any, those of the open ride in this folder
    pub files: Vec<PathBuf>,
    /// Keep the journal in this file instead of rides/ beside the bike's file
    #[arg(long, value_name = "FILE")]
    pub journal: Option<PathBuf>,
    /// Write the settings to this file; - prints them on standard output
    #[arg(long, value_name = "FILE")]
    pub settings: Option<PathBuf>,
    /// Start from these recorded settings instead of the files' starts
    #[arg(long, value_name = "SETTINGS")]
    pub from: Option<PathBuf>,
    /// Have every count made again, as after a service
    #[arg(long)]
    pub recount: bool,
    /// Take the answers from this file, the whole ride from its first question
    #[arg(long, value_name = "FILE")]
    pub answers: Option<PathBuf>,
    /// The seed for what is drawn by lot, the order of pairs; drawn itself where it is not given
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u64).range(..=LARGEST_SEED))]
    pub seed: Option<u64>,
    /// Write the order of blind pairs to this file, for the second person alone
    #[arg(long, value_name = "FILE")]
    pub sheet: Option<PathBuf>,
    /// Write this date and time instead of the clock's, such as 2026-05-16T14:05:00+02:00
    #[arg(long, value_name = "DATE-TIME", value_parser = moment)]
    pub as_of: Option<DateTime>,
}

fn moment(text: &str) -> Result<DateTime, String> {
    text.parse()
        .map_err(|NotADateTime| "write a date and a time, such as 2026-05-16T14:05:00+02:00".to_owned())
}

/// The largest whole number that every reader of TOML takes.
const LARGEST_SEED: u64 = i64::MAX.cast_unsigned();

#[derive(Debug, Args)]
pub(super) struct RehearseOptions {
    /// The files of the set: plan, bike and rider
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
    /// How many rides, shared among five kinds of riders
    #[arg(long, value_name = "NUMBER", default_value_t = 10_000, value_parser = clap::value_parser!(u64).range(5..=10_000_000))]
    pub rides: u64,
    /// The seed for what is drawn by lot
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    pub seed: u64,
    /// How much adjusters lean on each other, two and two as they are tuned: from 0 to 0.9
    #[arg(long, value_name = "SHARE", default_value_t = 0.0, value_parser = coupling)]
    pub coupling: f64,
    /// How it is reported
    #[arg(long, value_name = "FORMAT", default_value = "human")]
    pub message_format: ReportFormat,
}

/// How a rehearsal is reported.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum ReportFormat {
    Human,
    Json,
}

fn coupling(text: &str) -> Result<f64, String> {
    let coupling: f64 = text.parse().map_err(|_| "it is a number such as 0.3".to_owned())?;
    if (0.0..=0.9).contains(&coupling) { Ok(coupling) } else { Err("it is from 0 to 0.9".to_owned()) }
}

#[derive(Debug, Args)]
pub(super) struct DemoOptions {
    /// At a pace to watch
    #[arg(long)]
    pub slowly: bool,
}

#[derive(Debug, Args)]
pub(super) struct PressureOptions {
    /// What the gauge reads now: a number and psi, bar or kPa
    #[arg(required = true, value_name = "GAUGE", allow_negative_numbers = true)]
    pub gauge: Vec<String>,
    /// Where it reads so: 20C,0m or one of the two, in C or F, m or ft
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub at: String,
    /// Where it will be read, written in the same way
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub then: String,
}
