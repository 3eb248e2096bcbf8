//! The command line, each option defined once.

use clap::{Parser, Subcommand, ValueHint};
use std::path::PathBuf;

/// Reads the measurements of one piano and works out what its strings and hammers are, what may stay
/// and what must go, and what to order.
#[derive(Debug, Parser)]
#[command(name = "feltwire", version, max_term_width = 100, arg_required_else_help = true)]
#[command(after_help = "Examples:
  feltwire check examples/upright
  feltwire scale examples/upright

Exit status: 0 done, 1 the survey is at fault, 2 the command line is wrong, 3 something could not be
read or written, 130 interrupted, 101 a bug in the program.")]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Say what a survey holds, what it lacks, and what each missing reading would allow.
    Check(Read),
    /// The strings, note by note: tension, load, inharmonicity, each with its ±.
    Scale(Read),
}

/// A command that prints.
#[derive(Debug, clap::Args)]
pub struct Read {
    /// The survey: its folder, or its survey.toml.
    #[arg(value_hint = ValueHint::AnyPath)]
    pub survey: PathBuf,
    /// Print one JSON object for other programs.
    #[arg(long)]
    pub json: bool,
}
