//! The recorder: the bench of the last minutes, so that one can go back to the moment of a fault. It keeps the whole bench
//! from time to time and everything that was done to it. A run is a pure function of the two, so any moment between is
//! computed again, bit for bit.

use super::instruments::Instruments;
use super::watchers::Watchers;
use sim_core::bench::command::Command;
use sim_core::bench::{Arrangement, Bench, Sim};
use sim_core::record::{STEP_S, Tap};
use std::collections::VecDeque;

/// Steps between two kept benches: a quarter of a second.
pub const EVERY: u64 = 5_000;
/// How far back one can go, s of model time.
pub const KEPT_S: f64 = 180.0;

/// What was done to the bench.
#[derive(Clone, Debug)]
pub enum Deed {
    /// A command.
    Command(Box<Command>),
    /// Undo or redo.
    Arrange(Box<Arrangement>),
}

impl Deed {
    /// Does it.
    ///
    /// # Errors
    /// Why the bench refused.
    pub fn act_on(&self, sim: &mut Sim) -> Result<(), String> {
        match self {
            Deed::Command(command) => sim.command(command),
            Deed::Arrange(to) => sim.arrange(to),
        }
    }
}

/// Number of the step at which a bench stands.
pub fn step_of(sim: &Sim) -> u64 {
    sim.bench().state.axis.step
}

/// The recorder.
#[derive(Clone, Debug, Default)]
pub struct Recorder {
    benches: VecDeque<Bench>,
    deeds: VecDeque<(u64, Deed)>,
}

impl Recorder {
    /// Starts with the bench as it stands.
    pub fn start(sim: &Sim) -> Self {
        Self { benches: [sim.bench().clone()].into(), deeds: VecDeque::new() }
    }

    /// Looks at the bench after a step and keeps it when it is time.
    pub fn look(&mut self, sim: &Sim) {
        let now = step_of(sim);
        if !now.is_multiple_of(EVERY) {
            return;
        }
        self.benches.push_back(sim.bench().clone());
        let oldest = now.saturating_sub((KEPT_S / STEP_S) as u64);
        // The oldest one that is kept stands at or before the oldest moment.
        while self.benches.get(1).is_some_and(|bench| bench.state.axis.step <= oldest) {
            self.benches.pop_front();
        }
        let first = self.benches.front().map_or(0, |bench| bench.state.axis.step);
        while self.deeds.front().is_some_and(|(step, _)| *step < first) {
            self.deeds.pop_front();
        }
    }

    /// Notes what was done, refused or not: doing it again has the same outcome.
    pub fn note(&mut self, sim: &Sim, deed: Deed) {
        self.deeds.push_back((step_of(sim), deed));
    }

    /// The oldest step that can be gone back to.
    pub fn first_step(&self) -> u64 {
        self.benches.front().map_or(0, |bench| bench.state.axis.step)
    }

    /// Forgets everything after a step: the run goes on from there.
    pub fn forget_after(&mut self, step: u64) {
        self.benches.retain(|bench| bench.state.axis.step <= step);
        self.deeds.retain(|(at, _)| *at <= step);
    }

    /// A replay that starts at the newest kept bench at or before a step, seen by instruments set like these.
    pub fn replay_from(&self, step: u64, instruments: &Instruments) -> Option<Replay> {
        let bench = self.benches.iter().rev().find(|bench| bench.state.axis.step <= step).or(self.benches.front())?;
        let sim = Sim::resume(bench.clone()).ok()?;
        let start = step_of(&sim);
        let deeds = self.deeds.iter().filter(|(at, _)| *at >= start).cloned().collect();
        let instruments = Instruments::of(&sim, Some(instruments));
        let watchers = Watchers { before: *sim.record(), instruments, ..Watchers::default() };
        Some(Replay { sim, watchers, deeds, start })
    }
}

/// A stretch of the past, computed again.
pub struct Replay {
    /// The bench where the replay stands.
    pub sim: Sim,
    /// What was seen on the way.
    pub watchers: Watchers,
    deeds: VecDeque<(u64, Deed)>,
    /// Step at which it began.
    pub start: u64,
}

impl Replay {
    /// Goes on to a step and does what was done there, as long as `in_time` says so (asked every few steps); true when it is there.
    pub fn run_to(&mut self, target: u64, mut in_time: impl FnMut() -> bool) -> bool {
        loop {
            let now = step_of(&self.sim);
            while let Some((at, _)) = self.deeds.front()
                && *at <= now
            {
                let Some((_, deed)) = self.deeds.pop_front() else { break };
                if let Err(why) = deed.act_on(&mut self.sim) {
                    let (time_s, place_m) = (self.sim.time_s(), self.sim.record().table_m);
                    let what = sim_core::event::What::Refused { why };
                    self.watchers.event(&sim_core::event::Event { time_s, place_m, what });
                }
            }
            if now >= target {
                return true;
            }
            self.watchers.before = *self.sim.record();
            self.sim.step_watched(&mut self.watchers);
            if now.is_multiple_of(64) && !in_time() {
                return false;
            }
        }
    }
}
