//! Input filter of a counter: a level is taken over once it has been seen N times running.
//!
//! The input is sampled by a clock, goes through two synchronising stages and then has to show the new level on `N`
//! samples running before the output follows; the delay, `(2 + N) T`, is the same for A, B and mark. A pulse of width `w`
//! passes for certain if `w >= N T`, never if `w <= (N - 1) T`, and with probability `w/T - (N - 1)` between. This file
//! does not sample: it works from the times of the edges, with the same result (a test compares both). Each edge belongs
//! to the first tick that sees it; two edges of one channel on one tick cancel; a level that differs from the output and
//! holds for `N` ticks is taken over on the `N`th of them. A change of both channels on one tick goes out as one change,
//! which the counter finds illegal.

use serde::{Deserialize, Serialize};

use crate::chain::counter::Levels;

/// Ticks of the two synchronising stages.
const SYNCHRONISING: f64 = 2.0;

/// Settings of the filter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct EdgeFilterParams {
    /// Sampling clock, Hz, 1e6..50e6.
    pub clock_hz: f64,
    /// Equal samples wanted `N`, 1..=255; 3 is usual.
    pub samples: u32,
}

impl EdgeFilterParams {
    /// Longest time from an edge to the output, s: `(2 + N) T`.
    #[must_use]
    pub fn delay_s(&self) -> f64 {
        (SYNCHRONISING + f64::from(self.samples)) / self.clock_hz
    }

    /// Probability that a lone pulse of `width_s` s passes, its phase to the clock by chance.
    #[must_use]
    pub fn pass_probability(&self, width_s: f64) -> f64 {
        (width_s * self.clock_hz - (f64::from(self.samples) - 1.0)).clamp(0.0, 1.0)
    }
}

/// The three inputs of a counter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum InputLine {
    /// Channel A.
    A,
    /// Channel B.
    B,
    /// Mark.
    Mark,
}

/// An edge at an input: the line changes its level.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct InputEdge {
    /// Which line.
    pub line: InputLine,
    /// When, s from the start of the step, 0..=h.
    pub at_s: f64,
}

/// What the filter gives out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilteredEdge {
    /// When, s from the start of the step; the synchronising stages are in it, so it may lie just past the step.
    pub at_s: f64,
    /// Channels afterwards.
    pub levels: Levels,
    /// Mark afterwards.
    pub mark: bool,
}

/// One line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
struct Line {
    input: bool,
    output: bool,
    /// Tick at which the input began to differ from the output.
    since: i64,
    /// Tick of the last change that stands, and `since` before it: a second change on that tick takes it back.
    changed_at: i64,
    since_before: i64,
}

impl Default for Line {
    fn default() -> Self {
        Self { input: false, output: false, since: LONG_AGO, changed_at: LONG_AGO, since_before: LONG_AGO }
    }
}

impl Line {
    /// Tick at which the output will follow if nothing changes.
    fn due(&self, samples: i64) -> Option<i64> {
        (self.input != self.output).then(|| self.since + samples - 1)
    }

    /// The input changes at `tick`, after everything due before it is done.
    fn toggle(&mut self, tick: i64) {
        self.input = !self.input;
        if tick == self.changed_at {
            (self.since, self.changed_at) = (self.since_before, tick - 1);
            return;
        }
        (self.since_before, self.changed_at) = (self.since, tick);
        if self.input != self.output {
            self.since = tick;
        }
    }

    /// The origin of the ticks moves up.
    fn shift(&mut self, ticks: i64) {
        for tick in [&mut self.since, &mut self.changed_at, &mut self.since_before] {
            *tick = (*tick - ticks).max(LONG_AGO);
        }
    }
}

/// Older than any filter remembers, ticks.
const LONG_AGO: i64 = -(1 << 40);

/// State of the filter.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct EdgeFilterState {
    lines: [Line; 3],
    /// Time since the last tick at the start of the step, ticks, 0..1.
    phase: f64,
}

impl EdgeFilterState {
    /// Standing at these levels.
    #[must_use]
    pub fn at(levels: Levels, mark: bool) -> Self {
        let line = |level| Line { input: level, output: level, ..Line::default() };
        Self { lines: [line(levels.a), line(levels.b), line(mark)], phase: 0.0 }
    }

    /// Levels given out now.
    #[must_use]
    pub fn levels(&self) -> (Levels, bool) {
        (Levels { a: self.lines[0].output, b: self.lines[1].output }, self.lines[2].output)
    }

    /// Levels that stand at the inputs.
    #[must_use]
    pub fn inputs(&self) -> (Levels, bool) {
        (Levels { a: self.lines[0].input, b: self.lines[1].input }, self.lines[2].input)
    }

    /// Goes through a step of `h` s with its edges in order of time, and calls `emit` at each tick on which the output
    /// changes. An edge out of order is taken at the latest time so far.
    pub fn step(
        &mut self,
        p: &EdgeFilterParams,
        h: f64,
        edges: impl IntoIterator<Item = InputEdge>,
        mut emit: impl FnMut(FilteredEdge),
    ) {
        let samples = i64::from(p.samples.max(1));
        // Ticks are numbered from the last one before the step, which is 0. The tick after the last of this step may
        // get more edges in the next one, so it is not looked at yet.
        let end = self.phase + h * p.clock_hz;
        let last = end.floor() as i64;
        let mut now = 0;
        let mut edges = edges.into_iter().peekable();
        while let Some(edge) = edges.next() {
            now = tick_of(self.phase + edge.at_s * p.clock_hz).max(now);
            self.settle(now - 1, samples, p, &mut emit);
            // All edges of this tick count before it is looked at.
            self.lines[edge.line as usize].toggle(now);
            let same = |s: &Self, e: &InputEdge| tick_of(s.phase + e.at_s * p.clock_hz) <= now;
            while let Some(e) = edges.next_if(|e| same(self, e)) {
                self.lines[e.line as usize].toggle(now);
            }
            self.settle(now.min(last), samples, p, &mut emit);
        }
        self.settle(last, samples, p, &mut emit);
        self.phase = end - last as f64;
        for line in &mut self.lines {
            line.shift(last);
        }
    }

    /// Takes over everything due up to `until`, tick by tick.
    fn settle(&mut self, until: i64, samples: i64, p: &EdgeFilterParams, emit: &mut impl FnMut(FilteredEdge)) {
        while let Some(tick) = self.lines.iter().filter_map(|l| l.due(samples)).min().filter(|t| *t <= until) {
            for line in &mut self.lines {
                if line.due(samples) == Some(tick) {
                    line.output = line.input;
                }
            }
            let (levels, mark) = self.levels();
            let at_s = (tick as f64 + SYNCHRONISING - self.phase) / p.clock_hz;
            emit(FilteredEdge { at_s, levels, mark });
        }
    }
}

/// First tick that sees an edge at `ticks` after tick 0.
fn tick_of(ticks: f64) -> i64 {
    ticks.ceil() as i64
}

#[cfg(test)]
#[path = "edge_filter_tests.rs"]
mod tests;
