//! Tells the person at the terminal what a long step is doing.
//!
//! On a terminal a step is one line that is rewritten with the elapsed time and then closed.
//! Into a file or pipe it is one plain line at the start of the step and nothing more.

use std::io::{IsTerminal, Write, stderr};
use std::time::{Duration, Instant};

/// Longest detail shown behind a step's name, so that the line does not wrap on an 80-column terminal.
const DETAIL_COLUMNS: usize = 32;

/// How steps are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// A line that is rewritten while the step runs.
    Live,
    /// One line per step.
    Lines,
    /// Nothing at all.
    Silent,
}

impl Progress {
    /// Live on a terminal, otherwise one line per step.
    pub fn on_stderr() -> Self {
        if stderr().is_terminal() { Self::Live } else { Self::Lines }
    }

    /// Begins a step; `name` says in plain words what is being done.
    pub fn step(self, name: impl Into<String>) -> Step {
        let step = Step { mode: self, name: name.into(), started: Instant::now(), open: self == Self::Live };
        match self {
            Self::Live => step.write(&format!("\r\x1b[K{} ...", step.name)),
            Self::Lines => step.write(&format!("{} ...\n", step.name)),
            Self::Silent => {}
        }
        step
    }
}

/// A step in progress. Dropping it without [`Step::done`] closes the line, so that an error message starts on its own.
#[derive(Debug)]
pub struct Step {
    mode: Progress,
    name: String,
    started: Instant,
    open: bool,
}

impl Step {
    /// Shows the elapsed time and what is being worked on right now. Only a live line shows it.
    pub fn tick(&self, detail: &str) {
        if self.mode == Progress::Live {
            let detail: String = detail.trim().chars().take(DETAIL_COLUMNS).collect();
            let elapsed = words(self.started.elapsed());
            self.write(&format!("\r\x1b[K{} ... {elapsed}  {detail}", self.name));
        }
    }

    /// Ends the step well.
    pub fn done(mut self) {
        if self.open {
            self.open = false;
            let elapsed = words(self.started.elapsed());
            self.write(&format!("\r\x1b[K{}: done in {elapsed}\n", self.name));
        }
    }

    fn write(&self, text: &str) {
        let mut out = stderr().lock();
        // A closed stderr must not stop a build.
        let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    }
}

impl Drop for Step {
    fn drop(&mut self) {
        if self.open {
            self.write("\n");
        }
    }
}

/// A duration as people say it: `0.3 s`, `12 s`, `2 min 5 s`.
fn words(time: Duration) -> String {
    let seconds = time.as_secs();
    match seconds {
        0..10 => format!("{:.1} s", time.as_secs_f64()),
        10..60 => format!("{seconds} s"),
        _ => format!("{} min {} s", seconds / 60, seconds % 60),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn elapsed_time_reads_as_people_say_it() {
        assert_eq!(words(Duration::from_millis(320)), "0.3 s");
        assert_eq!(words(Duration::from_millis(12_700)), "12 s");
        assert_eq!(words(Duration::from_secs(125)), "2 min 5 s");
    }
}
