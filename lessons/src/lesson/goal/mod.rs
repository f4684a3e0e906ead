//! Goals: one line that reads like English and says what must be measured on the bench.
//!
//! ```text
//! goal    = cond { "and" cond }
//! cond    = measure test scopes | measure ( "<" | "<=" | ">" | ">=" ) "limit" scopes | "no fault" scopes | "fault(" kind ")" scopes
//!         | [ "not" ] "done" step | "referenced" scopes
//! step    = the name of a command, or of what is recognised from commands and run
//! measure = name [ "(" channels | "head" | "drive" ")" ]
//! test    = "in" low ".." high unit | "<" "<=" ">" ">=" number unit | "=" number [ "+-" number ] unit
//! scopes  = { "after move" length [ "both ways" ] | "after" n "strokes" | "after" n "homings" | "over travel"
//!         | "over" low ".." high length | "at" speed | "within" time | "for" time }
//! ```

pub mod measure;
mod read;
pub mod step;
mod tokens;
mod words;

pub use measure::{MEASURES, Measure, Quantity};
pub use words::in_unit;

use super::slip::Slip;
use super::units::Unit;
use sim_core::monitor::MonitorKind;

/// A goal.
#[derive(Clone, Debug, PartialEq)]
pub struct Goal {
    /// As it stands in the file.
    pub text: String,
    /// What must hold, all of it.
    pub conditions: Vec<Condition>,
}

impl Goal {
    /// Reads a goal.
    ///
    /// # Errors
    /// The first word that is wrong, with what is known instead.
    pub fn parse(text: &str) -> Result<Self, Slip> {
        read::goal(text)
    }
}

/// One condition of a goal.
#[derive(Clone, Debug, PartialEq)]
pub struct Condition {
    /// What must be so.
    pub what: What,
    /// On which run.
    pub scope: Scope,
}

/// What must be so.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// A measured quantity lies in a range.
    Measured {
        /// Which.
        measure: Measure,
        /// The range, in the unit inside.
        test: Test,
        /// The unit in which the goal speaks of it.
        unit: &'static Unit,
    },
    /// A measured quantity against the limit that the control watches.
    Limit {
        /// Which.
        measure: Measure,
        /// Whether the limit must be passed; otherwise it must not.
        passed: bool,
    },
    /// No alarm.
    NoFault,
    /// This alarm came.
    Fault(MonitorKind),
    /// This was done, or was not done.
    Done {
        /// Name of the step.
        step: &'static str,
        /// Whether it must not have been done.
        not: bool,
    },
    /// Zero was taken from the reference mark in this task.
    Referenced,
}

/// A range of numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Test {
    /// Least.
    pub low: f64,
    /// Greatest.
    pub high: f64,
    /// Whether `low` itself is in it.
    pub low_in: bool,
    /// Whether `high` itself is in it.
    pub high_in: bool,
}

impl Test {
    /// Whether a number is in the range. Bounds that are in it are met a rounding early.
    pub fn holds(&self, value: f64) -> bool {
        let slack = 1e-9 * self.low.abs().max(value.abs()).max(1e-9);
        let above = if self.low_in { value >= self.low - slack } else { value > self.low };
        let below = if self.high_in { value <= self.high + slack } else { value < self.high };
        above && below
    }
}

/// On which run a condition is judged.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Scope {
    /// What it is judged over.
    pub over: Over,
    /// Of a move: one out and one back must both meet it.
    pub both_ways: bool,
    /// Only at this speed, m/s, within a tenth.
    pub at_mps: Option<f64>,
    /// It must be met this soon after the bench was last changed, s.
    pub within_s: Option<f64>,
    /// It must hold this long, s; of alarms, this long in motion.
    pub for_s: Option<f64>,
}

/// What a condition is judged over.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Over {
    /// The last moments.
    #[default]
    Now,
    /// A move of this length, m, from standing to standing; either way unless it is negative.
    Move(f64),
    /// This many strokes out and back since the bench was last changed.
    Strokes(u32),
    /// This many homings since the bench was last changed.
    Homings(u32),
    /// Every place between these, m; the whole travel where there are none.
    Travel(Option<(f64, f64)>),
}

#[cfg(test)]
mod tests;
