//! A case: the machine, what the office and the operator say, and what is really wrong.

use super::act::Act;
use diagnosis::{Check, Machine};
use sim_core::bench::command::SettingList;
use sim_core::fault::{Active, FaultId};
use sim_core::num::random::Stream;
use sim_core::scene::Timed;
use sim_core::setup::{BenchId, Setup};

/// How far a statement of the operator is to be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Trust {
    /// It is so.
    True,
    /// It can mean many things.
    Vague,
    /// It is not so; the operator means well.
    Wrong,
}

/// What the operator says when asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Statement {
    /// The question.
    pub ask: String,
    /// The answer.
    pub answer: String,
    /// Whether it is so; told in the debrief.
    pub trust: Trust,
}

/// A hidden fault with the ranges that it is drawn from.
#[derive(Clone, Debug, PartialEq)]
pub struct Hidden {
    /// Which.
    pub fault: FaultId,
    /// Least and greatest severity, 0..1.
    pub severity: (f64, f64),
    /// Least and greatest place on the axis, m; both zero for a fault without a place.
    pub at_m: (f64, f64),
}

/// A case.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// Its stable id: the name of its file.
    pub id: String,
    /// Its name in lists; it must not tell the cause.
    pub title: String,
    /// 1 (one clear fault) to 5.
    pub level: u8,
    /// The machine.
    pub bench: BenchId,
    /// How this machine differs from a bench as it is delivered; everybody may know.
    pub set: SettingList,
    /// The work order as the office wrote it.
    pub order: String,
    /// What the operator says.
    pub statements: Vec<Statement>,
    /// What is wrong.
    pub hidden: Vec<Hidden>,
    /// What the operator did before the call, by which the machine came to stand as it is found.
    pub before: Vec<Timed>,
    /// How long that took, s.
    pub before_s: f64,
    /// The way of an expert.
    pub par: Vec<Act>,
    /// Checks of the proof run: all of them must come out as on the healthy machine.
    pub proof: Vec<Check>,
    /// What is behind it, for the debrief.
    pub lesson: String,
}

impl Case {
    /// The machine of this case.
    #[must_use]
    pub fn machine(&self) -> Machine {
        Machine { bench: self.bench, set: self.set.clone() }
    }

    /// The healthy machine of this case.
    #[must_use]
    pub fn setup(&self) -> Setup {
        self.machine().setup()
    }

    /// The hidden faults of a draw: whole per cent and whole millimetres, the same on every device.
    #[must_use]
    pub fn draw(&self, seed: u32) -> Vec<Active> {
        let mut stream = Stream::named(u64::from(seed), &format!("case {}", self.id));
        let mut between = |(low, high): (f64, f64), scale: f64| {
            let drawn = (low + (high - low) * stream.uniform()) * scale;
            drawn.round() / scale
        };
        let mut faults: Vec<Active> = self
            .hidden
            .iter()
            .map(|hidden| Active {
                id: hidden.fault,
                severity: between(hidden.severity, 100.0),
                at_m: between(hidden.at_m, 1e3),
            })
            .collect();
        faults.sort_by_key(|fault| fault.id);
        faults
    }

    /// What the par path takes, min.
    #[must_use]
    pub fn par_minutes(&self) -> u32 {
        self.par.iter().map(|act| u32::from(act.minutes())).sum()
    }
}
