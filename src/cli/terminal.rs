//! Standard output and error, colour, progress, and the interrupt key.

use feltwire::document::Date;
use feltwire::measure::Watch;
use std::io::{ErrorKind, IsTerminal, Write};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

static INTERRUPTED: AtomicBool = AtomicBool::new(false);

/// From now on the interrupt key asks the work to stop instead of killing it.
pub fn stop_on_interrupt() {
    // Without a handler the key kills the program, which is what it then should do.
    let _ = ctrlc::set_handler(|| {
        if INTERRUPTED.swap(true, Ordering::SeqCst) {
            // Asked twice: do not wait for the next safe place.
            std::process::exit(130);
        }
    });
}

/// Prints a result. A closed pipe is quiet.
pub fn print(text: &str) -> Result<(), super::exit::Failure> {
    match anstream::stdout().write_all(text.as_bytes()) {
        Err(fault) if fault.kind() != ErrorKind::BrokenPipe => {
            Err(super::exit::Failure::io("write to", "standard output", &fault))
        }
        _ => Ok(()),
    }
}

/// Says something on standard error; colours go only to a terminal that wants them.
pub fn say(text: &str) {
    let _ = anstream::stderr().write_all(text.as_bytes());
}

/// Whether messages may be coloured.
pub fn colour() -> bool {
    anstream::AutoStream::choice(&std::io::stderr()) != anstream::ColorChoice::Never
}

/// Today, by this machine's clock and time zone (UTC where the zone is not known).
pub fn today() -> Date {
    let now = time::OffsetDateTime::now_local().unwrap_or_else(|_| time::OffsetDateTime::now_utc());
    let year = u16::try_from(now.year()).unwrap_or_default();
    Date::new(year, now.month().into(), now.day()).expect("a clock gives days of the calendar")
}

/// Shows progress on a terminal and stops on the interrupt key.
#[derive(Debug, Default)]
pub struct OnTerminal {
    shown: AtomicUsize,
}

impl Watch for OnTerminal {
    fn progress(&self, task: &'static str, done: usize, total: usize) {
        let percent = (100 * done).checked_div(total).unwrap_or(100);
        if self.shown.swap(percent, Ordering::Relaxed) == percent
            || !std::io::stderr().is_terminal()
        {
            return;
        }
        let end = if done >= total { "\r\x1b[K" } else { "" };
        let _ = write!(std::io::stderr(), "\r{task} {percent:3} %{end}");
    }

    fn stop(&self) -> bool {
        INTERRUPTED.load(Ordering::Relaxed)
    }
}
