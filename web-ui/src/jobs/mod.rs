//! Long work on a copy of the bench. What a job does is a pure function of the job ([`run`]), the same natively and in
//! the browser; there [`Jobs`] runs it beside the page, so that the page goes on painting.

pub mod call;
mod entry;
mod handle;
mod lesson;
mod recording;
mod rest;
mod share;
mod survey;
mod text;
mod travel;
pub mod words;
mod worker;

pub use handle::{Done, Jobs};
pub use lesson::LessonNumbers;
pub use recording::Recorded;
pub use survey::Surveyed;
pub use travel::{Scanned, ScannedPlace};

use crate::later::later;
use serde::{Deserialize, Serialize};
use sim_core::bench::{Bench, Sim};
use sim_core::scene::Timed;

/// Long work. The bench crosses as its exact state.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Job {
    /// The signal over the whole travel.
    TravelScan {
        /// The bench as it stands.
        #[serde(with = "text::bench")]
        bench: Box<Bench>,
    },
    /// Every inspection, and the same on a healthy bench.
    Survey {
        /// The bench as it stands.
        #[serde(with = "text::bench")]
        bench: Box<Bench>,
    },
    /// The bench runs on and is written down.
    Recording {
        /// The bench as it stands.
        #[serde(with = "text::bench")]
        bench: Box<Bench>,
        /// What it is told to do, by seconds from now.
        #[serde(with = "text::commands")]
        commands: Vec<Timed>,
        /// How long it runs, s.
        seconds: f64,
        /// Time between two rows, s.
        every_s: f64,
    },
    /// The numbers in the words of a lesson.
    Lesson {
        /// Its folder, which is its id.
        folder: String,
        /// Its files: name and text.
        files: Vec<(String, String)>,
    },
    /// A call-out.
    Call(Box<call::CallJob>),
    /// Breaks off in the middle. For tests of what happens then; no control of the page starts it.
    BreakOnPurpose,
}

/// What came of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Of [`Job::TravelScan`].
    Scanned(Scanned),
    /// Of [`Job::Survey`].
    Surveyed(Surveyed),
    /// Of [`Job::Recording`].
    Recorded(Recorded),
    /// Of [`Job::Lesson`].
    Lesson(LessonNumbers),
    /// Of [`Job::Call`].
    Call(Box<call::CallOutcome>),
}

impl Job {
    /// Its name on the page.
    pub fn name(&self) -> &'static str {
        match self {
            Self::TravelScan { .. } => "Scan of the travel",
            Self::Survey { .. } => "Survey",
            Self::Recording { .. } => "Recording",
            Self::Lesson { .. } => "Numbers of the lesson",
            Self::Call(_) => "Call-out",
            Self::BreakOnPurpose => "Break on purpose",
        }
    }
}

/// Does a job. `progress` is told the share that is done, 0..1, and never less than before.
///
/// # Errors
/// Why it could not be done, in words: a bench that is none, a number out of range, an alarm that still stands.
///
/// # Panics
/// [`Job::BreakOnPurpose`] does, as its name says.
pub fn run(job: Job, progress: &mut dyn FnMut(f64)) -> Result<Outcome, String> {
    match job {
        Job::TravelScan { bench } => travel::run(resume(*bench)?, progress).map(Outcome::Scanned),
        Job::Survey { bench } => survey::run(resume(*bench)?, progress).map(Outcome::Surveyed),
        Job::Recording { bench, commands, seconds, every_s } => {
            recording::run(resume(*bench)?, &commands, seconds, every_s, progress).map(Outcome::Recorded)
        }
        Job::Lesson { folder, files } => lesson::run(&folder, files).map(Outcome::Lesson),
        Job::Call(job) => call::run(*job, progress).map(|outcome| Outcome::Call(Box::new(outcome))),
        Job::BreakOnPurpose => {
            progress(0.5);
            panic!("broken on purpose, to test what the page does then");
        }
    }
}

/// Does a job from its JSON text and gives the outcome as JSON text: nobody who only asks has to know every outcome.
///
/// # Errors
/// The text is no job, or as [`run`].
pub fn run_text(job: &str, progress: &mut dyn FnMut(f64)) -> Result<String, String> {
    let job: Job = lessons::kept::read(job).map_err(|why| format!("The job was not understood: {why}."))?;
    let outcome = run(job, progress)?;
    serde_json::to_string(&outcome).map_err(|why| format!("The outcome cannot be written: {why}."))
}

/// Reads what came of a job.
///
/// # Errors
/// Why it was not understood.
pub fn read_outcome(text: &str) -> Result<Outcome, String> {
    lessons::kept::read(text).map_err(|why| format!("The outcome was not understood: {why}."))
}

/// [`run_text`] as a part gives it.
pub type Run = fn(&str, &mut dyn FnMut(f64)) -> Result<String, String>;

later! {
    /// [`run_text`], fetched.
    pub fn run_later() -> Run, in work = run_text
}

fn resume(bench: Bench) -> Result<Sim, String> {
    Sim::resume(bench).map_err(|why| format!("The job cannot go on with this bench: {why}."))
}

#[cfg(test)]
mod tests;
