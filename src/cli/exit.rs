//! How a run ends, and what is said when it does not end well.

use super::terminal::say;
use feltwire::document::packet::PacketFault;
use std::fmt::Write as _;
use std::path::PathBuf;
use std::process::ExitCode;

/// Why a command did not do what was asked.
#[derive(Debug)]
pub enum Failure {
    /// The survey is at fault; the text names every fault.
    Survey(String),
    /// The command line asks for what cannot be.
    CommandLine(String),
    /// Something could not be read or written.
    InputOutput {
        /// What was being done.
        doing: String,
        /// To which file or folder.
        path: PathBuf,
        /// What the system said.
        cause: String,
        /// What to do about it.
        remedy: Option<String>,
    },
    /// Interrupted; nothing was written.
    Stopped,
    /// A paper could not be set, or a figure not drawn: a bug of ours.
    Bug(String),
}

impl From<feltwire::measure::Stopped> for Failure {
    fn from(_: feltwire::measure::Stopped) -> Self {
        Self::Stopped
    }
}

impl From<PacketFault> for Failure {
    fn from(fault: PacketFault) -> Self {
        match fault {
            PacketFault::Stopped(_) => Self::Stopped,
            bug @ PacketFault::Bug { .. } => Self::Bug(bug.to_string()),
        }
    }
}

impl Failure {
    /// A failed read or write.
    pub fn io(doing: &str, path: impl Into<PathBuf>, cause: &dyn std::fmt::Display) -> Self {
        Self::InputOutput {
            doing: doing.to_owned(),
            path: path.into(),
            cause: cause.to_string(),
            remedy: None,
        }
    }

    /// The same, with what to do about it.
    pub fn with_remedy(mut self, words: impl Into<String>) -> Self {
        if let Self::InputOutput { remedy, .. } = &mut self {
            *remedy = Some(words.into());
        }
        self
    }

    /// Says what went wrong on standard error and gives the exit code.
    pub fn report(&self) -> ExitCode {
        match self {
            Self::Survey(faults) => {
                say(faults);
                ExitCode::from(1)
            }
            Self::CommandLine(why) => {
                say(&format!("error: {why}\n"));
                ExitCode::from(2)
            }
            Self::InputOutput { doing, path, cause, remedy } => {
                let mut text = format!("error: cannot {doing} {}: {cause}\n", path.display());
                if let Some(remedy) = remedy {
                    let _ = writeln!(text, "  {remedy}");
                }
                say(&text);
                ExitCode::from(3)
            }
            Self::Stopped => {
                say("stopped; nothing was written\n");
                ExitCode::from(130)
            }
            Self::Bug(what) => {
                say(&format!("error: {what}\n{WHAT_TO_SEND}"));
                ExitCode::from(101)
            }
        }
    }
}

/// A command line that was not understood, or one that asked for help.
pub fn refused(refusal: &clap::Error) -> ExitCode {
    // A closed pipe is no reason to complain.
    let _ = refusal.print();
    ExitCode::from(u8::try_from(refusal.exit_code()).unwrap_or(2))
}

/// Asks for what we need to find a bug.
const WHAT_TO_SEND: &str = concat!(
    "\nThis is a bug in feltwire ",
    env!("CARGO_PKG_VERSION"),
    ", not in your survey. Nothing was written.\n\
     Please send the lines above, the command you typed and the survey's folder.\n"
);

/// After a panic, asks for what we need to find the bug.
pub fn say_what_to_send_after_a_bug() {
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        usual(panic);
        say(WHAT_TO_SEND);
    }));
}
