//! The goal of a lesson's task, held against the running bench.

use super::Lab;
use super::watchers::Watchers;
use lessons::lesson::{Goal, Grader, State};
use sim_core::bench::Sim;
use sim_core::event::Event;
use sim_core::record::{Record, Sample, Tap};

/// A goal with its grader.
pub(super) struct Graded {
    goal: Goal,
    pub(super) grader: Grader,
}

impl Graded {
    /// The same goal on a bench at its start.
    pub(super) fn afresh(self, sim: &Sim) -> Self {
        Self { grader: Grader::new(&self.goal, sim), goal: self.goal }
    }
}

/// What watches a step: the page's instruments, and the grader where there is one.
pub(super) struct Eyes<'a> {
    pub(super) watchers: &'a mut Watchers,
    pub(super) grader: Option<&'a mut Grader>,
}

impl Tap for Eyes<'_> {
    fn sample(&mut self, sample: &Sample) {
        self.watchers.sample(sample);
        if let Some(grader) = &mut self.grader {
            grader.sample(sample);
        }
    }

    fn record(&mut self, record: &Record) {
        self.watchers.record(record);
        if let Some(grader) = &mut self.grader {
            grader.record(record);
        }
    }

    fn event(&mut self, event: &Event) {
        self.watchers.event(event);
        if let Some(grader) = &mut self.grader {
            grader.event(event);
        }
    }
}

impl Lab {
    /// Holds a goal against the bench from now on; another scene ends it.
    pub fn pursue(&mut self, goal: &Goal) {
        self.graded = Some(Graded { goal: goal.clone(), grader: Grader::new(goal, &self.now) });
    }

    /// How the goal stands, where there is one.
    pub fn goal_state(&self) -> Option<State> {
        self.graded.as_ref().map(|graded| graded.grader.state())
    }

    /// Whether there is a goal and it was met.
    pub fn goal_met(&self) -> bool {
        self.graded.as_ref().is_some_and(|graded| graded.grader.met())
    }
}
