//! The program's door: arguments, files, clock, terminal, exit codes. No other room touches these.

mod args;
mod disk;
mod exit;
mod new;
mod output;
mod packet;
mod run;
mod terminal;

use clap::Parser;
use std::process::ExitCode;

/// Reads the command line, does what it says, and answers with the exit code.
pub fn main() -> ExitCode {
    exit::say_what_to_send_after_a_bug();
    terminal::stop_on_interrupt();
    let args = match args::Args::try_parse() {
        Ok(args) => args,
        Err(refusal) => return exit::refused(&refusal),
    };
    match run::run(&args) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => failure.report(),
    }
}
