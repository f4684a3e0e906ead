//! Grading: a goal held against the running bench. The grader only looks; the same run gives the same answer natively
//! and in the page.

mod meter;
mod minutes;
mod moves;
mod play;
mod span;
mod steps;

use super::goal::{Condition, Goal, Over, Scope, What};
use super::units::{self, Dimension, Unit};
use crate::lesson::goal::in_unit;
use meter::Meter;
use sim_core::bench::Sim;
use sim_core::bench::command::Command;
use sim_core::event::Event;
use sim_core::record::{Record, STEP_S, Sample, Tap};
use steps::Steps;

/// Steps between two looks at what is measured all the time: a fiftieth of a second.
const EVERY: u64 = 400;

/// How a condition stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Whether it is met.
    pub met: bool,
    /// What is asked for, in words.
    pub asked: String,
    /// What was measured last, or what is missing, in words.
    pub now: String,
}

/// How a goal stands.
#[derive(Clone, Debug, PartialEq)]
pub struct State {
    /// Whether all conditions were met at once; it stays so.
    pub met: bool,
    /// The conditions one by one, as they stand now.
    pub conditions: Vec<Standing>,
}

/// Watches one condition.
#[derive(Clone, Debug)]
struct Watcher {
    condition: Condition,
    met: bool,
    /// Holds for so long, s.
    held_s: f64,
    now: String,
}

/// The grader of one goal on one bench.
#[derive(Clone, Debug)]
pub struct Grader {
    watchers: Vec<Watcher>,
    meter: Meter,
    done: Steps,
    referenced: bool,
    steps: u64,
    met: bool,
}

impl Grader {
    /// Begins to watch a bench.
    #[must_use]
    pub fn new(goal: &Goal, sim: &Sim) -> Self {
        let watcher = |condition: &Condition| Watcher {
            condition: condition.clone(),
            met: false,
            held_s: 0.0,
            now: "nothing measured yet".to_owned(),
        };
        let mut grader = Self {
            watchers: goal.conditions.iter().map(watcher).collect(),
            meter: Meter::new(sim),
            done: Steps::new(sim),
            referenced: false,
            steps: 0,
            met: false,
        };
        grader.look(false);
        grader
    }

    /// A command was given and accepted; `sim` is the bench after it. Whatever changes the bench begins the measuring
    /// afresh, since a number belongs to the bench on which it was measured.
    pub fn did(&mut self, command: &Command, sim: &Sim) {
        self.meter.work_s += minutes::booked_s(command);
        self.done.did(command, sim);
        // What only moves, looks or measures leaves the bench as it is; all else makes another bench of it.
        if changes(command) {
            self.changed(sim);
        } else {
            self.look(false);
        }
    }

    /// The bench is another one now; measuring begins afresh. Work that was done stays done.
    pub fn changed(&mut self, sim: &Sim) {
        let work_s = self.meter.work_s;
        self.meter = Meter::new(sim);
        self.meter.work_s = work_s;
        for watcher in &mut self.watchers {
            (watcher.met, watcher.held_s) = (false, 0.0);
        }
        self.look(false);
    }

    /// How the goal stands.
    #[must_use]
    pub fn state(&self) -> State {
        let standing = |w: &Watcher| Standing { met: w.met, asked: w.condition.words(), now: w.now.clone() };
        State { met: self.met, conditions: self.watchers.iter().map(standing).collect() }
    }

    /// Whether the goal was met.
    #[must_use]
    pub fn met(&self) -> bool {
        self.met
    }

    fn look(&mut self, finished: bool) {
        let (meter, done, referenced) = (&self.meter, &self.done, self.referenced);
        let before: Vec<bool> = self.watchers.iter().map(|w| w.met).collect();
        for watcher in &mut self.watchers {
            watcher.look(meter, done, referenced, finished);
        }
        self.settle_together(&before);
        self.met |= self.watchers.iter().all(|w| w.met);
    }

    /// Conditions on the same move or the same strokes must be met by one and the same run, not one after the other.
    fn settle_together(&mut self, before: &[bool]) {
        let now: Vec<(Scope, bool)> = self.watchers.iter().map(|w| (w.condition.scope, w.met)).collect();
        for (watcher, was) in self.watchers.iter_mut().zip(before) {
            let scope = watcher.condition.scope;
            let settles = matches!(scope.over, Over::Move(_) | Over::Strokes(_));
            if settles && !was && now.iter().any(|(other, met)| *other == scope && !met) {
                watcher.met = false;
            }
        }
    }
}

/// Whether a command makes another bench of it. Moving the axis is what is measured, and looking changes nothing.
fn changes(command: &Command) -> bool {
    !command.moves_axis() && !matches!(command, Command::ZeroReadout | Command::Look(_) | Command::Flex(_))
}

impl Watcher {
    fn look(&mut self, meter: &Meter, done: &Steps, referenced: bool, finished: bool) {
        let scope = self.condition.scope;
        // What belongs to a finished move or stroke, or to homings, is settled when it was met once.
        let settled = !matches!(scope.over, Over::Now);
        if settled && self.met {
            return;
        }
        if settled && matches!(scope.over, Over::Move(_) | Over::Strokes(_)) && !finished && meter.moves.finished > 0 {
            return;
        }
        let (holds, now) = holds(&self.condition, meter, done, referenced);
        self.now = now;
        self.held_s = if holds { self.held_s + EVERY as f64 * STEP_S } else { 0.0 };
        self.met = holds
            && scope.within_s.is_none_or(|most| self.met || meter.time_s <= most)
            && (matches!(self.condition.what, What::NoFault) || scope.for_s.is_none_or(|least| self.held_s >= least));
    }
}

/// Whether a condition holds now, and what was measured, in words.
fn holds(condition: &Condition, meter: &Meter, done: &Steps, referenced: bool) -> (bool, String) {
    let scope = &condition.scope;
    match &condition.what {
        What::Measured { measure, test, unit } => {
            // Furthest outside the range is worst; inside it, what is nearest to an end.
            let worst = |value: f64| (test.low - value).max(value - test.high);
            match meter.value(measure, scope, &worst) {
                Ok(value) => (test.holds(value), format!("{} measured", in_unit(value, unit))),
                Err(waits) => (false, waits),
            }
        }
        What::Limit { passed, .. } => match meter.limit_used(scope) {
            Ok(used) => ((used >= 1.0) == *passed, format!("{:.0} % of the limit", 100.0 * used)),
            Err(waits) => (false, waits),
        },
        What::NoFault => no_fault(meter, scope.for_s),
        What::Fault(kind) => {
            let came = meter.alarms.contains(kind);
            let last = meter.alarms.last().map_or("no alarm so far".to_owned(), |k| format!("alarm: {}", k.title()));
            (came, last)
        }
        What::Done { step, not } => {
            let did = done.has(step);
            (did != *not, if did { "done" } else { "not done yet" }.to_owned())
        }
        What::Referenced => {
            (referenced, if referenced { "zero was taken" } else { "zero not taken in this task yet" }.to_owned())
        }
    }
}

fn no_fault(meter: &Meter, for_s: Option<f64>) -> (bool, String) {
    let second: &'static Unit = units::usual(Dimension::Time);
    let moved = in_unit(meter.quiet_s.floor(), second);
    match (for_s, meter.since.last.alarm) {
        (_, true) => (false, "an alarm stands".to_owned()),
        (Some(least), false) => (meter.quiet_s >= least, format!("{moved} of motion without an alarm")),
        (None, false) => {
            (meter.alarms.is_empty() && meter.quiet_s > 0.0, format!("{moved} of motion without an alarm"))
        }
    }
}

impl Tap for Grader {
    fn sample(&mut self, sample: &Sample) {
        self.meter.sample(sample);
    }

    fn record(&mut self, record: &Record) {
        let finished = self.meter.see(record) | self.done.see(record);
        self.steps += 1;
        if finished || self.steps.is_multiple_of(EVERY) {
            self.look(finished);
        }
    }

    fn event(&mut self, event: &Event) {
        self.meter.event(event);
        self.done.event(event);
        self.referenced |= matches!(event.what, sim_core::event::What::Homed { .. });
    }
}

#[cfg(test)]
mod tests;
